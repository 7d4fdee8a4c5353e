# SPDX-License-Identifier: GPL-3.0-or-later
"""Cloth figures follow from mass and bending length, and estimates stay marked as such."""

from dataclasses import fields, replace

import numpy as np
import pytest
from napfold.core.cloth import Cloth, ClothChoice, bending_rigidity_n_m, library
from napfold.core.errors import InputError

FIGURES = {field.name for field in fields(Cloth)} - {"name", "colour", "estimated"}


def test_bending_rigidity_is_peirces() -> None:
    """G[mg·cm] = W[mg/cm²] c[cm]³ in Peirce's units; 1 mg·cm = 0.0980665 µN·m."""
    w_mg_cm2, c_cm = 20.0, 1.5
    expected = w_mg_cm2 * c_cm**3 * 0.0980665e-6
    np.testing.assert_allclose(bending_rigidity_n_m(0.2, 0.015), expected, rtol=1e-12)


@pytest.mark.parametrize(
    ("kind", "along_un_m", "across_un_m"),
    [
        # expected rigidities of such cloth in round figures, µN·m
        ("microfleece", 7, 4),
        ("light plush", 14, 7),
        ("flannel fleece", 16, 9),
        ("medium fleece", 17, 9),
        ("heavy fleece", 48, 25),
        ("curly pile", 40, 20),
        ("velour knit", 13, 7),
        ("short pile", 100, 55),
        ("long pile", 280, 155),
    ],
)
def test_library_rigidities_are_of_the_expected_size(
    kind: str, along_un_m: float, across_un_m: float
) -> None:
    cloth = library()[kind]
    np.testing.assert_allclose(cloth.bending_along_n_m * 1e6, along_un_m, rtol=0.1)
    np.testing.assert_allclose(cloth.bending_across_n_m * 1e6, across_un_m, rtol=0.1)


def test_every_figure_of_the_library_is_marked_an_estimate() -> None:
    for name, cloth in library().items():
        assert cloth.name == name
        assert cloth.estimated == FIGURES
        # knits bend and stretch more easily across, and pile is part of the thickness
        assert cloth.bending_across_n_m < cloth.bending_along_n_m
        assert cloth.stretch_across_n_per_m < cloth.stretch_along_n_per_m


def test_heavy_pile_is_heavier_thicker_and_stiffer_than_light() -> None:
    light, heavy = library()["light plush"], library()["long pile"]
    for figure in ("mass_kg_m2", "thickness_m", "pile_height_m", "bending_along_n_m"):
        assert getattr(heavy, figure) > 3 * getattr(light, figure)


def test_given_figures_replace_estimates() -> None:
    choice = ClothChoice(
        kind="light plush", mass_kg_m2=0.30, bending_length_across_m=0.02, colour="#ff8000"
    )
    cloth = choice.cloth()
    kind = library()["light plush"]
    assert cloth.mass_kg_m2 == 0.30
    # the class's bending length at the greater mass
    np.testing.assert_allclose(cloth.bending_along_n_m, 0.30 * 9.80665 * 0.018**3, rtol=1e-12)
    np.testing.assert_allclose(cloth.bending_across_n_m, 0.30 * 9.80665 * 0.02**3, rtol=1e-12)
    assert cloth.thickness_m == kind.thickness_m
    assert cloth.colour == (1.0, 128 / 255, 0.0)
    assert cloth.estimated == FIGURES - {"mass_kg_m2", "bending_across_n_m"}


def test_a_plain_choice_is_the_class_itself() -> None:
    for kind, cloth in library().items():
        assert ClothChoice(kind=kind).cloth() == cloth


@pytest.mark.parametrize(
    ("figure", "value", "key"),
    [
        ("mass_kg_m2", 0.0, "cloth.mass"),
        ("mass_kg_m2", 280.0, "cloth.mass"),  # g/m² taken for kg/m²
        ("thickness_m", float("nan"), "cloth.thickness"),
        ("pile_height_m", 0.2, "cloth.pile_height"),
        ("bending_along_n_m", -1e-6, "cloth.bending_along"),
        ("stretch_across_n_per_m", 0.0, "cloth.stretch_across"),
        ("shear_n_per_m", 1e6, "cloth.shear"),
        ("friction_body", 3.0, "cloth.friction_body"),
        ("colour", (1.0, 0.5, 1.5), "cloth.colour"),
        ("colour", (1.0, 0.5), "cloth.colour"),
        ("estimated", frozenset({"weight"}), "cloth.estimated"),
    ],
)
def test_unbelievable_figures_are_refused(figure: str, value: object, key: str) -> None:
    with pytest.raises(InputError) as caught:
        replace(library()["light plush"], **{figure: value})
    assert caught.value.key == key


@pytest.mark.parametrize(
    ("choice", "key"),
    [
        ({"kind": "bark"}, "cloth.kind"),
        ({"kind": "long pile", "colour": "green"}, "cloth.colour"),
        ({"kind": "long pile", "colour": "#12345"}, "cloth.colour"),
        ({"kind": "long pile", "mass_kg_m2": 85.0}, "cloth.mass"),
        ({"kind": "long pile", "bending_length_along_m": 0.2}, "cloth.bending_length_along"),
    ],
)
def test_impossible_choices_are_refused(choice: dict[str, str], key: str) -> None:
    with pytest.raises(InputError) as caught:
        ClothChoice(**choice)
    assert caught.value.key == key

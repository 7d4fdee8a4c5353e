# SPDX-License-Identifier: GPL-3.0-or-later
"""Cloth figures follow from mass and bending length, and estimates stay marked as such."""

import json
import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.cloth import (
    FIGURES,
    HARD_PRESSURE_PA,
    LIGHT_PRESSURE_PA,
    Cloth,
    ClothChoice,
    Origin,
    bending_rigidity_n_m,
    elastic_rigidity_n_m,
    library,
)
from napfold.core.errors import InputError

from ..validate.elastica import ruler_bending_length

NAPPED = ("light plush", "flannel fleece", "velour knit", "short pile", "long pile")


def test_every_number_of_a_cloth_is_a_figure_with_range_and_words() -> None:
    others = {"name", "price_per_m", "colour", "origins", "print"}
    assert set(FIGURES) == {field.name for field in fields(Cloth)} - others
    assert all(figure.low < figure.high and figure.words for figure in FIGURES.values())


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


def test_every_figure_of_the_library_is_marked_an_estimate_with_a_deviation() -> None:
    for name, cloth in library().items():
        assert cloth.name == name
        assert cloth.estimated == set(FIGURES)
        for origin in cloth.origins:
            assert origin.sd > 0 or getattr(cloth, origin.figure) == 0
            assert name in origin.how


def test_pile_knits_are_limper_and_softer_across() -> None:
    pile = [cloth for cloth in library().values() if cloth.pile_height_m >= 0.001]
    assert len(pile) == 9
    for cloth in pile:
        assert cloth.bending_across_n_m < cloth.bending_along_n_m
        assert cloth.stretch_across_n_per_m < cloth.stretch_along_n_per_m
        assert cloth.compressed_thickness_m < 0.7 * cloth.thickness_m


def test_nap_leans_and_rubs_more_one_way() -> None:
    for name, cloth in library().items():
        ratio = cloth.friction_against_nap / cloth.friction_with_nap
        if name in NAPPED:
            assert 1.3 <= ratio <= 2  # what the nap can be expected to make
            assert cloth.nap_lean_rad > 0.1
        else:
            assert ratio == 1


@pytest.mark.parametrize(
    ("kind", "rigidity_un_m", "elastic_un_m", "friction_mn"),
    [
        # Matsudaira et al. 2015, fabrics A, B and F: B of the KES test, and half of its 2HB
        ("cotton broadcloth", 31.5, 11.57, 0.608),
        ("tropical wool", 10.4, 6.57, 0.162),
        ("polyester faille", 2.5, 1.86, 0.034),
    ],
)
def test_plain_cloths_are_the_published_ones(
    kind: str, rigidity_un_m: float, elastic_un_m: float, friction_mn: float
) -> None:
    cloth = library()[kind]
    np.testing.assert_allclose(1e6 * cloth.bending_along_n_m, rigidity_un_m, rtol=0.02)
    np.testing.assert_allclose(1e3 * cloth.bending_friction_along_n, friction_mn, rtol=0.03)
    np.testing.assert_allclose(1e6 * cloth.elastic_bending_along_n_m, elastic_un_m, rtol=0.05)
    assert cloth.elastic_bending_across_n_m == cloth.elastic_bending_along_n_m


@pytest.mark.parametrize("friction_n", [0.0, 0.1e-3, 0.35e-3, 0.8e-3])
def test_elastic_part_and_friction_together_read_the_same_on_the_ruler(friction_n: float) -> None:
    """The heavy elastica with a friction moment, solved without this table."""
    mass_kg_m2, length_m = 0.25, 0.022
    rigidity = bending_rigidity_n_m(mass_kg_m2, length_m)
    elastic = elastic_rigidity_n_m(mass_kg_m2, rigidity, friction_n)
    assert elastic <= rigidity
    read_m = ruler_bending_length(mass_kg_m2 * 9.80665, elastic, friction_n)
    np.testing.assert_allclose(read_m, length_m, rtol=0.003)


def test_thickness_falls_with_the_logarithm_of_pressure() -> None:
    cloth = library()["light plush"]
    assert cloth.thickness_at(LIGHT_PRESSURE_PA) == cloth.thickness_m
    np.testing.assert_allclose(cloth.thickness_at(HARD_PRESSURE_PA), cloth.compressed_thickness_m)
    between = math.sqrt(LIGHT_PRESSURE_PA * HARD_PRESSURE_PA)
    middle = (cloth.thickness_m + cloth.compressed_thickness_m) / 2
    np.testing.assert_allclose(cloth.thickness_at(between), middle, rtol=1e-12)
    assert cloth.thickness_at(0.0) == cloth.thickness_m
    assert cloth.thickness_at(1e6) == cloth.thickness_at(HARD_PRESSURE_PA)


@given(
    kind=st.sampled_from(sorted(library())),
    figure=st.sampled_from(sorted(FIGURES)),
    deviations=st.floats(0, 3),
)
def test_ranges_hold_the_figure_and_stay_believable(
    kind: str, figure: str, deviations: float
) -> None:
    cloth = library()[kind]
    low, high = cloth.range_of(figure, deviations)
    value = getattr(cloth, figure)
    assert FIGURES[figure].low <= low <= value * (1 + 1e-12)
    assert value * (1 - 1e-12) <= high <= FIGURES[figure].high
    if deviations == 0:
        assert (low, high) == (value, value)


def test_bending_is_known_within_a_factor_of_two_and_a_half() -> None:
    cloth = library()["light plush"]
    low, high = cloth.range_of("bending_along_n_m")
    np.testing.assert_allclose(
        [cloth.bending_along_n_m / low, high / cloth.bending_along_n_m], 2.5, rtol=1e-12
    )
    exact = replace(cloth, origins=())
    assert exact.range_of("bending_along_n_m") == (cloth.bending_along_n_m,) * 2
    assert exact.origin("bending_along_n_m") is None


def test_a_cloth_goes_through_json_and_back() -> None:
    cloth = ClothChoice(kind="curly pile", mass_kg_m2=0.36).cloth()
    words = json.loads(json.dumps(cloth.words()))
    assert Cloth.of_words(words) == cloth
    assert "mass_kg_m2" not in words["estimated"]


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
    assert cloth.estimated == set(FIGURES) - {"mass_kg_m2", "bending_across_n_m"}
    mass = cloth.origin("mass_kg_m2")
    assert mass is not None
    # lots of cloth are traded within 5 % of mass
    assert (mass.source, mass.sd) == ("shop", pytest.approx(0.05 * 0.30))
    # inner friction keeps its share of W g c², so it follows mass and bending length
    np.testing.assert_allclose(
        cloth.bending_friction_across_n / kind.bending_friction_across_n,
        0.30 / 0.26 * (0.02 / 0.014) ** 2,
        rtol=1e-12,
    )


def test_a_stated_thickness_takes_the_pressed_one_along() -> None:
    kind = library()["light plush"]
    cloth = ClothChoice(kind="light plush", thickness_m=0.0025).cloth()
    np.testing.assert_allclose(
        cloth.compressed_thickness_m, kind.compressed_thickness_m * 2.5 / 3.5, rtol=1e-12
    )
    thin = ClothChoice(kind="light plush", thickness_m=0.001).cloth()
    assert thin.ground_thickness_m == thin.compressed_thickness_m


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
        ("friction_body", 3.1, "cloth.friction_body"),
        ("compressed_thickness_m", 0.0036, "cloth.compressed_thickness"),
        ("ground_thickness_m", 0.0018, "cloth.ground_thickness"),
        ("nap_lean_rad", 1.6, "cloth.nap_lean"),
        ("bending_friction_along_n", -1e-4, "cloth.bending_friction_along"),
        ("shrinkage_across", 0.5, "cloth.shrinkage_across"),
        ("price_per_m", -1.0, "cloth.price"),
        ("colour", (1.0, 0.5, 1.5), "cloth.colour"),
        ("colour", (1.0, 0.5), "cloth.colour"),
        ("origins", (Origin("shear_n_per_m", "shop", 1.0),) * 2, "cloth.origins"),
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


@pytest.mark.parametrize(
    ("figure", "source", "sd", "key"),
    [
        ("weight", "shop", 1.0, "cloth.origins"),
        ("shear_n_per_m", "guess", 1.0, "cloth.origins.shear_n_per_m"),
        ("shear_n_per_m", "shop", -1.0, "cloth.origins.shear_n_per_m"),
        ("shear_n_per_m", "shop", float("nan"), "cloth.origins.shear_n_per_m"),
    ],
)
def test_an_origin_names_a_figure_a_source_and_a_deviation(
    figure: str, source: str, sd: float, key: str
) -> None:
    with pytest.raises(InputError) as caught:
        Origin(figure, source, sd)
    assert caught.value.key == key

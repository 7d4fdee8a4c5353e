# SPDX-License-Identifier: GPL-3.0-or-later
"""What is not known of two cloths: moves follow from slopes, thickness from circles in circles."""

import math
from dataclasses import replace

import pytest
from napfold.core.cloth import Origin, library, put_at
from napfold.core.cloth_doubt import (
    HEM_PER_THICKNESS,
    SLOPES_M,
    Doubt,
    doubts,
    ends,
    together,
    worth_draping,
)
from napfold.core.heavy_strip import bending_length_m

PLUSH, LONG = library()["light plush"], library()["long pile"]
FIGURES = ("thickness_m", *SLOPES_M["heavy"])


def of(found: tuple[Doubt, ...], figure: str) -> dict[str, Doubt]:
    return {doubt.layer: doubt for doubt in found if doubt.figure == figure}


def test_thickness_takes_room_as_rings_in_rings() -> None:
    """The lining's inside lies outer/2 + lining further in than the middle of the outer cloth."""
    found = of(doubts(LONG, PLUSH), "thickness_m")
    for layer, cloth, inwards in (("outer", LONG, 0.5), ("lining", PLUSH, 1.0)):
        origin = cloth.origin("thickness_m")
        assert origin is not None
        thicker_m = 2 * origin.sd
        assert found[layer].sleeve_m == pytest.approx(-2 * math.pi * inwards * thicker_m)
        assert found[layer].hem_m == pytest.approx(2 * inwards * HEM_PER_THICKNESS * thicker_m)


@pytest.mark.parametrize("figure", FIGURES)
def test_one_cloth_in_both_layers_errs_once(figure: str) -> None:
    twice = of(doubts(PLUSH, PLUSH), figure)
    assert set(twice) <= {"both"}
    apart = of(doubts(PLUSH, replace(PLUSH, name="another plush")), figure)
    assert set(apart) <= {"outer", "lining"}
    for way in ("hem", "sleeve"):
        summed = math.fsum(doubt.moves_m(way) for doubt in apart.values())
        assert math.fsum(doubt.moves_m(way) for doubt in twice.values()) == pytest.approx(summed)


def test_the_body_meets_the_lining_alone() -> None:
    assert set(of(doubts(LONG, PLUSH), "friction_body")) == {"lining"}


def test_what_can_be_told_is_draped_and_no_more_than_three_figures() -> None:
    found = doubts(LONG, PLUSH)
    chosen = worth_draping(found)
    assert [doubt.most_m for doubt in found] == sorted((d.most_m for d in found), reverse=True)
    assert chosen[0].figure == "thickness_m"
    assert len(chosen) == 3
    known = replace(PLUSH, origins=())
    assert doubts(known, known) == ()
    slightly = replace(PLUSH, origins=(Origin("thickness_m", "swatch", 5e-5),))
    assert worth_draping(doubts(slightly, slightly)) == ()


@pytest.mark.parametrize("figure", FIGURES)
def test_ends_change_one_figure_of_one_layer(figure: str) -> None:
    for layer, doubt in of(doubts(LONG, PLUSH), figure).items():
        pairs = ends(doubt, LONG, PLUSH)
        changed, kept = (0, 1) if layer == "outer" else (1, 0)
        cloth = (LONG, PLUSH)[changed]
        assert [getattr(pair[changed], figure) for pair in pairs] == pytest.approx(
            cloth.range_of(figure)
        )
        assert all(pair[kept] is (LONG, PLUSH)[kept] for pair in pairs)


def test_what_goes_along_goes_along() -> None:
    heavier = put_at(LONG, "mass_kg_m2", 1.2)
    assert bending_length_m(1.2, heavier.bending_along_n_m) == pytest.approx(
        bending_length_m(LONG.mass_kg_m2, LONG.bending_along_n_m)
    )
    thicker = put_at(LONG, "thickness_m", 0.02)
    assert thicker.compressed_thickness_m / 0.02 == pytest.approx(
        LONG.compressed_thickness_m / LONG.thickness_m
    )
    stiffer = put_at(LONG, "bending_along_n_m", 8 * LONG.bending_along_n_m)
    # twice the bending length, so four times the friction moment in the same share
    assert stiffer.bending_friction_along_n == pytest.approx(4 * LONG.bending_friction_along_n)
    assert stiffer.bending_across_n_m == LONG.bending_across_n_m
    slicker = put_at(LONG, "friction_with_nap", LONG.friction_with_nap / 2)
    assert slicker.friction_against_nap == pytest.approx(LONG.friction_against_nap / 2)


def test_moves_that_err_apart_add_as_squares() -> None:
    assert together((0.03, -0.04)) == pytest.approx(0.05)
    assert together(()) == 0.0

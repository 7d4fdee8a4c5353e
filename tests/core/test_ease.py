# SPDX-License-Identifier: GPL-3.0-or-later
"""Ease on tubes: every expected number follows from a radius or a width, see conftest."""

import math
from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from napfold.core.buying import flat_fit
from napfold.core.cut_line import Allowances
from napfold.core.ease import LEVELS, ease
from napfold.core.pattern import Front
from napfold.core.tape import Tape, complete

from .conftest import CUT

MakeTubes = Callable[..., Any]
FLARE_M = 0.08
FLARED = replace(CUT, side_flare_m=FLARE_M)
DEEP_NECK = replace(CUT, neck_front_depth_m=0.25)


@pytest.mark.parametrize("gap", [0.0, 0.08])
def test_ease_of_a_round_body_part(make_tubes: MakeTubes, gap: float) -> None:
    tubes = make_tubes(front_gap_m=gap)
    found = ease(tubes.drape, "hip", 0.95)
    assert found is not None
    assert found.taken == "hung"
    assert found.front_gap_m == pytest.approx(tubes.front_gap_m, abs=1e-6)
    # closed, however far it gapes
    girth = 2 * tubes.cut.body_width_m
    assert found.garment_girth_m == pytest.approx(girth, abs=1e-9)
    assert found.ease_m == pytest.approx(girth - 0.95, abs=1e-9)
    assert found.ease_m - found.room_m == pytest.approx(2 * math.pi * tubes.drape.stand_off_m)


def test_crossed_fronts_overlap(make_tubes: MakeTubes) -> None:
    found = ease(make_tubes(front_gap_m=-0.06).drape, "waist", 0.8)
    assert found is not None
    assert found.front_gap_m == pytest.approx(-0.06, abs=5e-4)
    assert found.garment_girth_m == pytest.approx(2 * 0.66, abs=1e-9)


def test_ease_above_the_corner_is_measured_flat(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    found = ease(tubes.drape, "bust", 0.96)
    assert found is not None
    assert found.taken == "flat"
    # the fronts gape above the corner as they do below it
    assert found.front_gap_m == pytest.approx(tubes.front_gap_m, abs=1e-6)
    assert found.garment_girth_m == pytest.approx(2 * tubes.cut.body_width_m, abs=1e-9)


@pytest.mark.parametrize("cut", [CUT, FLARED, DEEP_NECK], ids=["straight", "flared", "deep neck"])
@pytest.mark.parametrize("tilt", [0.0, 0.2])
def test_ease_goes_steadily_past_the_corner_under_the_arm(
    make_tubes: MakeTubes, cut: Any, tilt: float
) -> None:
    """The wrap is lifted by a millimetre at a time: the corner, 2 cm below the bust to 8 cm above it.

    Cloth of the rounding widens by its radius: counted, it would add up to 24 cm in four quarters.
    """
    drape = make_tubes(cut=cut).drape
    hung = drape.lining + np.array([0.0, 0.0, 0.02]) + tilt * drape.lining[:, [0]] * [0.0, 0.0, 1.0]
    girths, gaps, taken = [], [], []
    for lift_m in np.arange(0.0, 0.14, 0.001):
        drape.lining = hung + np.array([0.0, 0.0, lift_m])
        found = ease(drape, "bust", 0.96)
        assert found is not None
        girths.append(found.garment_girth_m)
        gaps.append(found.front_gap_m)
        taken.append(found.taken)
    assert {"hung", "flat"} == set(taken)
    # four quarters, each wider by the side's slope a millimetre of height; a tilted side counts
    # more of its own length in a millimetre
    slope = 0.0 if cut is not FLARED else FLARE_M / (cut.side_end_m - cut.sleeve_drop_m)
    assert np.abs(np.diff(girths)).max() <= 4 * slope * 0.001 * (1 + tilt) + 1e-9
    # the fronts of a tube hang alike at every height; the line of the gap turns a hair
    assert np.abs(np.diff(gaps)).max() <= 2e-5


@pytest.mark.parametrize("lift_m", [0.02, 0.05, 0.08, 0.11])
@pytest.mark.parametrize("cut", [CUT, FLARED], ids=["straight", "flared"])
def test_two_meshes_agree_where_the_level_cuts_the_corner(
    make_tubes: MakeTubes, cut: Any, lift_m: float
) -> None:
    girths = []
    for edge_m in (0.02, 0.01):
        drape = make_tubes(cut=cut, edge_m=edge_m).drape
        drape.lining[:, 2] += lift_m
        found = ease(drape, "bust", 0.96)
        assert found is not None
        girths.append(found.garment_girth_m)
    # a flared side is narrowest where the rounding stands upright, at most half an edge of 20 mm
    # from a vertex on a radius of 60 mm: 0.01² / (2 x 0.06) in each of four quarters
    assert girths[0] == pytest.approx(girths[1], abs=4 * 0.01**2 / (2 * CUT.corner_radius_m))


def test_a_closed_front_has_no_gap(make_tubes: MakeTubes) -> None:
    cut = replace(CUT, front=Front.CLOSED)
    for level in ("bust", "waist"):
        found = ease(make_tubes(cut=cut, front_gap_m=0.0).drape, level, 0.8)
        assert found is not None
        assert found.front_gap_m is None
        assert found.garment_girth_m == pytest.approx(2 * cut.body_width_m, abs=1e-9)


def test_sides_split_above_a_level_keep_their_width(make_tubes: MakeTubes) -> None:
    cut = replace(CUT, side_split_m=0.25)
    tubes = make_tubes(cut=cut)
    found = ease(tubes.drape, "hip", 0.95)
    # the split reaches 95 cm over the floor, the hip lies at 86 cm
    assert tubes.shoulder_height_m - cut.side_end_m + cut.side_split_m > 0.86
    assert found is not None
    assert found.garment_girth_m == pytest.approx(2 * cut.body_width_m, abs=1e-9)


def test_room_on_the_drape_is_what_the_flat_measures_say(make_tubes: MakeTubes) -> None:
    # the allowance of fronts that meet edge to edge would stand between them
    cut = replace(CUT, front=Front.CLOSED)
    drape = make_tubes(cut=cut, front_gap_m=0.0).drape
    drape.stand_off_m = drape.lining_cloth.thickness_m / 2
    measures, _ = complete(Tape(sex="female", given={"height": 1.68, "bust_girth": 0.965}))
    thickness_m = drape.outer_cloth.thickness_m, drape.lining_cloth.thickness_m
    flat = flat_fit(measures, cut, Allowances(), *thickness_m)
    rooms = []
    for level in LEVELS:
        found = ease(drape, level, measures.value(f"{level}_girth"))
        assert found is not None
        rooms.append(found.room_m)
    # the least room is round the largest girth
    assert min(rooms) == pytest.approx(flat.body_ease_m, abs=1e-9)


def test_no_ease_where_the_hem_leaves_the_body_bare(make_tubes: MakeTubes) -> None:
    tubes = make_tubes(cut=replace(make_tubes().cut, length_m=1.0))
    assert ease(tubes.drape, "hip", 1.0) is None
    assert ease(tubes.drape, "waist", 0.8) is not None


def test_one_front_deeper_than_the_other_is_no_gap(make_tubes: MakeTubes) -> None:
    drape = make_tubes(front_gap_m=0.0).drape
    panel = drape.panel
    flat = ease(drape, "waist", 0.8)
    # one front 5 cm behind the other, its edge a hair to this side or to that
    gaps = []
    for shift in (-0.002, 0.002):
        moved = SimpleNamespace(**{**vars(drape), "lining": drape.lining.copy()})
        moved.lining[panel.edges["front_left"]] += [shift, 0.05, 0.0]
        found = ease(moved, "waist", 0.8)
        assert found is not None
        assert found.front_gap_m is not None
        gaps.append(found.front_gap_m)
    assert flat is not None
    assert gaps[1] - gaps[0] == pytest.approx(0.004, abs=0.001)
    assert abs(gaps[0]) < 0.012


def test_cloth_that_hangs_aslant_has_the_girth_of_its_width(make_tubes: MakeTubes) -> None:
    tubes = make_tubes(front_gap_m=0.0)
    drape = tubes.drape
    level = ease(drape, "waist", 0.8)
    # sheared: every side line slants, the weft rises by a fifth of its way to the wearer's left
    drape.lining[:, 2] += 0.2 * drape.lining[:, 0]
    aslant = ease(drape, "waist", 0.8)
    assert level is not None
    assert aslant is not None
    # the plane cuts an ellipse whose width is the tube's: what is round it changes by a percent
    assert aslant.garment_girth_m == pytest.approx(level.garment_girth_m, rel=0.012)

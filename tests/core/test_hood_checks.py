# SPDX-License-Identifier: GPL-3.0-or-later
"""A hood against the head that it goes over: states at known numbers, and remedies that work."""

import math
import re
from dataclasses import replace

import pytest
from napfold.core.checks import State, checks
from napfold.core.cut_line import Allowances
from napfold.core.lay import Extra, Kind, sized
from napfold.core.lay.pieces import hood_needed_m, neck_end_m
from napfold.core.pattern import Cut, Front, Neck, Shoulder
from napfold.core.tape import Tape, complete
from napfold.core.telling import Telling
from napfold.core.units import parse_quantity

from .checked import CUT, HER, PLUSH, told_m


def hood_check(cut: Cut, units="cm", name="hood, put up", measures=HER, **size: float):
    allowances = Allowances()
    hood = sized(Extra(name="hood", kind=Kind.HOOD, **size), cut, allowances, measures)
    found = checks(measures, cut, allowances, PLUSH, PLUSH, Telling(units), extras=(hood,))
    return next(one for one in found if one.name == name)


@pytest.mark.parametrize("depth_m", [0.06, 0.10, 0.15])
def test_the_usual_hood_can_be_put_up_where_the_neck_is_not_deep(depth_m: float) -> None:
    for name in ("hood, put up", "hood, round the head"):
        one = hood_check(replace(CUT, neck_front_depth_m=depth_m), name=name)
        assert one.state is State.PASS
        assert one.told_remedy == ""


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("lacking_m", [0.03, 0.07])
def test_a_hood_that_is_too_low_is_told_how_high_it_has_to_be(units, lacking_m: float) -> None:
    # from the sewn neck, 12.7 mm below the edge, up over the head; a seam below and one over the top
    head_m = HER.value("height") - HER.value("side_neck_point_height")
    high_m = CUT.neck_front_depth_m + head_m + 2 * 0.0127
    one = hood_check(CUT, units, length_m=high_m - lacking_m)
    # with 5 cm less it ends at the hairline
    assert one.state is (State.TIGHT if lacking_m < 0.05 else State.TOO_SMALL)
    mended_m = told_m(r"lay\.piece\.length of the hood (.+?),", one.remedy)
    assert hood_check(CUT, units, length_m=mended_m).state is State.PASS
    assert mended_m == pytest.approx(high_m, abs=0.0127)


@pytest.mark.parametrize("units", ["cm", "in"])
def test_a_hood_on_a_deep_neck_asks_for_a_shallower_one(units) -> None:
    deep = replace(CUT, neck=Neck.V, neck_front_depth_m=0.35)
    one = hood_check(deep, units)
    assert one.state is State.TOO_SMALL
    shallow_m = told_m(r"cut\.neck_front_depth (.+?),", one.remedy)
    assert hood_check(replace(deep, neck_front_depth_m=shallow_m), units).state is State.PASS
    deeper = replace(deep, neck_front_depth_m=shallow_m + 0.0127)
    assert hood_check(deeper, units).state is not State.PASS


def test_a_hood_on_overlapping_fronts_ends_where_their_neck_has_risen() -> None:
    round_neck = replace(
        CUT,
        neck=Neck.ROUND,
        neck_width_m=0.2032,
        neck_front_depth_m=0.127,
        shoulder=Shoulder.SEAMED,
        front=Front.OVERLAPPING,
        front_overlap_m=0.127,
    )
    # half of an ellipse 8 in wide and 5 in deep, 2 1/2 in from its middle
    depth_m = 0.127 * math.sqrt(1 - (2.5 / 4) ** 2)
    hood = Extra(name="hood", kind=Kind.HOOD)
    assert neck_end_m(round_neck, Allowances()) == pytest.approx(depth_m, abs=1e-5)
    told = f"from the end of the sewn neck, {Telling('cm').length(depth_m)} below"
    assert told in hood_check(round_neck).numbers
    # the usual hood is sized by the same depth
    head_m = HER.value("height") - HER.value("side_neck_point_height")
    tall = sized(hood, round_neck, Allowances(), HER)
    assert hood_needed_m(round_neck, Allowances(), HER) == pytest.approx(depth_m + head_m, abs=1e-5)
    assert tall.size_m[1] == pytest.approx(
        max(0.62 * HER.value("head_girth"), depth_m + head_m) + 2 * 0.0127, abs=1e-5
    )
    # a V goes on straight down beyond the centre
    straight = replace(round_neck, neck=Neck.V)
    below_m = neck_end_m(straight, Allowances())
    assert below_m == pytest.approx(0.127 * (1 + 2.5 / 4), abs=1e-5)


SEAMS_M = 2 * 0.0127
"""A seam below and one over the top, or behind."""


@pytest.mark.parametrize("units", ["cm", "in"])
def test_a_hood_far_too_high_is_told_how_high_it_may_be(units) -> None:
    """A quarter more than the usual 0.62 of the head's girth; 30 in is 76 cm."""
    most_m = 1.25 * 0.62 * HER.value("head_girth")
    one = hood_check(CUT, units, length_m=0.762)
    assert one.state is State.TOO_LARGE
    mended_m = told_m(r"lay\.piece\.length of the hood (.+?),", one.remedy)
    assert hood_check(CUT, units, length_m=mended_m).state is State.PASS
    # in round numbers, and not beyond it
    assert most_m - 0.00635 < mended_m - SEAMS_M <= most_m
    assert hood_check(CUT, length_m=most_m + SEAMS_M).state is State.PASS
    assert hood_check(CUT, length_m=most_m + SEAMS_M + 0.001).state is State.TOO_LARGE


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("beyond_m", [0.0005, 0.002, 0.004, 0.008])
def test_no_hood_that_is_told_hangs_as_a_bag_by_its_rounding(units, beyond_m: float) -> None:
    # a neck from which a hood reaches that is so much lower than the highest
    head_m = HER.value("height") - HER.value("side_neck_point_height")
    depth_m = 1.25 * 0.62 * HER.value("head_girth") - head_m - beyond_m
    deep = replace(CUT, neck=Neck.V, neck_front_depth_m=depth_m)
    one = hood_check(deep, units, length_m=0.40)
    length_m = told_m(r"lay\.piece\.length of the hood (.+?),", one.remedy)
    depths = re.findall(r"cut\.neck_front_depth (.+)", one.remedy)
    mended = replace(
        deep,
        neck_front_depth_m=parse_quantity("length", "told", depths[0]) if depths else depth_m,
    )
    assert hood_check(mended, units, length_m=length_m).state is State.PASS


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("length_m", [0.30, 0.60])
def test_on_a_deep_neck_a_written_hood_is_told_with_the_neck(units, length_m: float) -> None:
    """Neither too low a hood nor one that hangs as a bag: the highest, and a neck that it reaches from."""
    deep = replace(CUT, neck=Neck.V, neck_front_depth_m=0.35)
    one = hood_check(deep, units, length_m=length_m)
    assert one.state is (State.TOO_SMALL if length_m < 0.5 else State.TOO_LARGE)
    mended = replace(deep, neck_front_depth_m=told_m(r"cut\.neck_front_depth (.+)", one.remedy))
    high_m = told_m(r"lay\.piece\.length of the hood (.+?),", one.remedy)
    assert hood_check(mended, units, length_m=high_m).state is State.PASS


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize(
    ("spare_m", "state"),
    [
        (0.0101, State.PASS),
        (0.0099, State.TIGHT),
        (-0.0001, State.TOO_SMALL),
        (-0.2, State.TOO_SMALL),
    ],
)
def test_a_hood_is_deep_enough_to_go_round_the_head_but_for_the_face(
    units, spare_m: float, state: State
) -> None:
    """Half of the girth less the face, as broad as the head; 2 cm of ease make it easy."""
    least_m = (HER.value("head_girth") - HER.value("head_breadth")) / 2
    # the inch of the face edge is turned in, a seam lies behind
    width_m = max(least_m + spare_m + 0.0254 + 0.0127, 2 * 0.0254)
    one = hood_check(CUT, units, "hood, round the head", width_m=width_m)
    assert one.state is state
    if state is State.PASS:
        assert one.remedy == ""
        return
    assert one.key == "lay.piece.width"
    assert one.told_remedy.startswith("make the width of the hood ")
    mended_m = told_m(r"lay\.piece\.width of the hood (.+?),", one.remedy)
    assert mended_m == pytest.approx(least_m + 0.01 + 0.0254 + 0.0127, abs=0.0064)
    again = hood_check(CUT, units, "hood, round the head", width_m=mended_m)
    assert again.state is State.PASS


def test_the_head_of_a_hood_is_told_as_an_estimate_unless_it_was_measured() -> None:
    measured, _ = complete(Tape(sex="female", given={"height": 1.68, "head_girth": 0.60}))
    told = hood_check(CUT, name="hood, round the head").numbers
    estimate_m = HER.value("head_girth")
    assert f"round a head estimated at {Telling('cm').length(estimate_m)}" in told
    told = hood_check(CUT, name="hood, round the head", measures=measured).numbers
    assert "round a head of 60 cm" in told


def test_no_hood_is_asked_about_where_there_is_none() -> None:
    found = checks(HER, CUT, Allowances(), PLUSH, PLUSH, Telling("cm"))
    assert not any(one.name.startswith("hood") for one in found)

# SPDX-License-Identifier: GPL-3.0-or-later
"""The checks before cutting: their states at known numbers, and remedies that work."""

import math
import re
from dataclasses import replace

import pytest
from napfold.core.buying import flat_fit
from napfold.core.checks import State, checks
from napfold.core.cloth import ClothChoice
from napfold.core.cut_line import Allowances
from napfold.core.making import turning
from napfold.core.pattern import Cut, Front, Shoulder, sized_to_neck
from napfold.core.telling import Telling
from napfold.core.units import parse_quantity

from .checked import CUT, HER, PLUSH, told_m

BULK_M = math.pi * PLUSH.thickness_m
"""On the body; in a sleeve all of the lining and half of the outer lie within."""

SLEEVE_BULK_M = 3 * BULK_M


def check(name: str, cut: Cut = CUT, measures=HER, cloth=PLUSH, units="cm"):
    found = checks(measures, cut, Allowances(), cloth, cloth, Telling(units))
    return next(one for one in found if one.name == name)


def body_cut(ease_m: float) -> Cut:
    """A body part with so much ease round the hip, the largest girth."""
    # the fronts, sewn 12.7 mm inside their edges, leave a gap that covers nothing
    return replace(CUT, body_width_m=(1.04 + ease_m + BULK_M + 2 * 0.0127) / 2)


@pytest.mark.parametrize(
    ("ease_m", "state"),
    [
        (0.134, State.PASS),
        (0.132, State.TIGHT),
        (0.052, State.TIGHT),
        (0.050, State.TOO_SMALL),
        (-0.02, State.TOO_SMALL),
    ],
)
def test_body_by_its_ease(ease_m: float, state: State) -> None:
    assert check("body", body_cut(ease_m)).state is state


@pytest.mark.parametrize(
    ("ease_m", "state"), [(0.051, State.PASS), (0.049, State.TIGHT), (-0.001, State.TOO_SMALL)]
)
def test_hip_needs_room_to_sit(ease_m: float, state: State) -> None:
    assert check("hip, sitting", body_cut(ease_m)).state is state


def test_a_wrap_that_ends_over_the_hip_is_not_asked_about_sitting() -> None:
    short = replace(CUT, length_m=0.9)
    with pytest.raises(StopIteration):
        check("hip, sitting", short)


@pytest.mark.parametrize(
    ("extra_m", "state"), [(0.061, State.PASS), (0.059, State.TIGHT), (-0.001, State.TOO_SMALL)]
)
def test_upper_arm_by_its_room(extra_m: float, state: State) -> None:
    drop_m = (HER.value("upper_arm_girth") + extra_m + SLEEVE_BULK_M) / 2
    assert check("upper arm", replace(CUT, sleeve_drop_m=drop_m)).state is state


def test_depth_under_the_arm() -> None:
    kimono_m = HER.value("armscye_girth") / 2 + 0.051
    name = "depth under the arm, reaching"
    assert check(name, replace(CUT, sleeve_drop_m=kimono_m + 1e-6)).state is State.PASS
    assert check(name, replace(CUT, sleeve_drop_m=kimono_m - 1e-6)).state is State.TIGHT
    armpit_m = HER.value("shoulder_point_height") - HER.value("axilla_height")
    assert check(name, replace(CUT, sleeve_drop_m=armpit_m + 0.039)).state is State.TOO_SMALL


def test_long_pile_does_not_turn_through_a_small_sleeve() -> None:
    fur = ClothChoice(kind="long pile").cloth()
    small = replace(CUT, sleeve_drop_m=0.15, length_m=2.0)
    one = check("turning through a sleeve", small, cloth=fur)
    assert turning(small, fur, fur).goes == "not"
    assert one.state is State.TOO_SMALL
    assert "leave" in one.told_remedy
    assert check("turning through a sleeve").state is State.PASS


@pytest.mark.parametrize(("length_m", "state"), [(2.6, State.PASS), (2.80, State.TIGHT)])
def test_a_hem_near_the_floor_trips(length_m: float, state: State) -> None:
    one = check("hem over the floor", replace(CUT, length_m=length_m))
    top_m = HER.value("back_neck_point_height") + 0.0127 + 0.025
    assert (top_m - length_m / 2 >= 0.10) == (state is State.PASS)
    assert one.state is state


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize(
    ("name", "field", "small_m"),
    [("body", "body_width_m", 0.54), ("upper arm", "sleeve_drop_m", 0.165)],
)
def test_the_remedy_mends_it(name: str, field: str, small_m: float, units) -> None:
    small = replace(CUT, **{field: small_m})
    one = check(name, small, units=units)
    assert one.state is not State.PASS
    words = one.remedy.removeprefix(f"make cut.{field.removesuffix('_m')} ")
    mended = replace(small, **{field: parse_quantity("length", field, words)})
    again = check(name, mended, units=units)
    assert again.state is State.PASS
    assert again.told_remedy == ""


NARROW_NECK = replace(CUT, neck_width_m=0.12, neck_front_depth_m=0.08)


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize(
    ("name", "cut"),
    [
        ("neck", NARROW_NECK),
        ("head through the neck", replace(CUT, front=Front.CLOSED, neck_front_depth_m=0.11)),
    ],
)
def test_a_neck_of_the_told_width_passes_and_one_step_less_does_not(name, cut, units) -> None:
    one = check(name, cut, units=units)
    assert one.state is not State.PASS
    (words,) = re.findall(r"cut\.neck_width (.+?),", one.remedy)
    width_m = parse_quantity("length", "neck_width", words)
    assert check(name, replace(cut, neck_width_m=width_m)).state is State.PASS
    step_m = 0.005 if units == "cm" else 0.00635
    assert check(name, replace(cut, neck_width_m=width_m - step_m)).state is not State.PASS


def test_where_no_width_will_do_the_neck_is_told_without_a_number() -> None:
    slim = replace(CUT, front=Front.CLOSED, body_width_m=0.30, neck_width_m=0.18)
    one = check("head through the neck", slim)
    assert one.state is State.TOO_SMALL
    assert one.told_remedy.startswith("make the neck width or the front neck depth larger")


CLOSED = replace(CUT, front=Front.CLOSED, neck_width_m=0.24, neck_front_depth_m=0.16)


@pytest.mark.parametrize(
    ("short_m", "changes", "told"),
    [
        (0.079, {}, False),
        (0.081, {}, True),
        (0.14, {}, True),
        (0.14, {"cuff_depth_m": 0.06}, True),
        (0.14, {"sleeve_shortened_m": 0.07}, False),
        (0.14, {"sleeve_shortened_m": 0.05}, True),
    ],
)
def test_sleeves_far_short_of_the_wrist_are_told_unless_asked_for(short_m, changes, told) -> None:
    cut = replace(CUT, **changes)
    past_m = flat_fit(HER, cut, Allowances(), PLUSH.thickness_m, PLUSH.thickness_m).past_wrist_m
    cut = replace(cut, cloth_width_m=cut.cloth_width_m - 2 * (past_m + short_m))
    names = {one.name for one in checks(HER, cut, Allowances(), PLUSH, PLUSH, Telling("cm"))}
    name = "sleeve end against the wrist"
    assert (name in names) is told
    if told:
        one = check(name, cut)
        assert one.state is State.TIGHT
        (words,) = re.findall(r"cut\.cloth_width (.+?),", one.remedy)
        mended = replace(cut, cloth_width_m=parse_quantity("length", "cloth_width", words))
        # up to the wrist but for what was chosen, the cuff turned back
        after_m = flat_fit(
            HER, mended, Allowances(), PLUSH.thickness_m, PLUSH.thickness_m
        ).past_wrist_m
        assert 0 <= after_m + cut.sleeve_shortened_m <= 0.0055


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("spare_m", [0.0, 0.01, 0.06, 0.40])
def test_no_remedy_is_wider_than_the_cloth(units: str, spare_m: float) -> None:
    cut = replace(CUT, cloth_width_m=1.20)
    most_m = 1.20 + spare_m
    found = checks(HER, cut, Allowances(), PLUSH, PLUSH, Telling(units), most_m)
    one = next(one for one in found if one.name == "sleeve end against the wrist")
    widths = re.findall(r"cut\.cloth_width (.+?),", one.remedy)
    if spare_m < 0.005:
        # there is nothing wider to cut
        assert not widths
        assert "wider cloths" in one.remedy
        return
    told_m = parse_quantity("length", "cloth_width", widths[0])
    assert 1.20 < told_m <= most_m + 1e-9
    assert ("the most that these cloths give" in one.remedy) == (spare_m < 0.1)


def test_a_closed_front_asks_for_the_head_and_not_for_turning() -> None:
    names = {one.name for one in checks(HER, CLOSED, Allowances(), PLUSH, PLUSH, Telling("cm"))}
    assert "head through the neck" in names
    assert not {"neck", "turning through a sleeve"} & names


@pytest.mark.parametrize(
    ("ease_m", "state"), [(0.021, State.PASS), (0.019, State.TIGHT), (-0.001, State.TOO_SMALL)]
)
def test_the_head_goes_through_a_closed_neck(ease_m: float, state: State) -> None:
    # sized to the neck base: its girth and an ease make the head's girth, the lining and this ease
    base_m, head_m = HER.value("neck_base_girth"), HER.value("head_girth") + BULK_M
    cut = sized_to_neck(replace(CLOSED, neck_ease_m=head_m + ease_m - base_m), base_m)
    assert check("head through the neck", cut).state is state


@pytest.mark.parametrize(
    ("ease_m", "state"), [(0.021, State.PASS), (0.019, State.TIGHT), (-0.001, State.TOO_SMALL)]
)
def test_the_hand_goes_through_a_tapered_sleeve(ease_m: float, state: State) -> None:
    sewn_m = HER.value("hand_girth") + BULK_M + ease_m
    # a narrowed sleeve is straight at its end: as wide where it is sewn as at its edge
    one = check("hand through the sleeve end", replace(CUT, wrist_opening_m=sewn_m))
    assert one.state is state
    assert one.key == "cut.wrist_opening"


def test_a_long_closed_hem_is_held_against_the_stride() -> None:
    """By hand: a step of 0.41 of 1.68 m parts the legs at the hem by its share below the crotch."""
    long = replace(CLOSED, length_m=2.4, body_width_m=0.55)
    one = check("hem against the stride", long)
    assert one.state is State.TOO_SMALL
    crotch_m = HER.value("inside_leg_height")
    height_m = HER.value("side_neck_point_height") - (1.2 - 0.0127)
    needed_m = 2 * 0.41 * 1.68 * (1 - height_m / crotch_m) + HER.value("calf_girth")
    told = [float(words) for words in re.findall(r"(\d+(?:\.\d+)?) cm", one.numbers)]
    assert told[0] == pytest.approx(100 * (1.1 - BULK_M), abs=0.3)
    assert told[-1] == pytest.approx(100 * needed_m, abs=0.6)
    # both remedies mend it
    flare, split = re.findall(r"(\d+(?:\.\d+)?) cm", one.told_remedy)
    for key, value in (("side_flare_m", flare), ("side_split_m", split)):
        mended = replace(long, **{key: float(value) / 100}, corner_radius_m=0.05)
        assert check("hem against the stride", mended).state is State.PASS


def test_an_open_front_leaves_the_stride_free() -> None:
    long = replace(CUT, length_m=2.4, body_width_m=0.60)
    with pytest.raises(StopIteration):
        check("hem against the stride", long)
    assert "leaves the stride free" in check("hem over the floor", long).numbers


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize(
    ("short_m", "cuff_m", "spare_m", "words"),
    [
        # the cuff alone, both together, neither reaches, no cuff to take
        (0.10, 0.12, 0.05, "cut.cuff_depth"),
        (0.13, 0.12, 0.10, "and cut.cuff_depth"),
        (0.18, 0.06, 0.05, "closes"),
        (0.18, 0.06, 0.0, "closes"),
        (0.18, 0.0, 0.05, "closes"),
    ],
)
def test_a_remedy_for_short_sleeves_reaches_the_wrist_or_tells_how_far_it_goes(
    units, short_m, cuff_m, spare_m, words
) -> None:
    def past_m(cut) -> float:
        return flat_fit(HER, cut, Allowances(), PLUSH.thickness_m, PLUSH.thickness_m).past_wrist_m

    cut = replace(CUT, cuff_depth_m=cuff_m)
    cut = replace(cut, cloth_width_m=cut.cloth_width_m - 2 * (past_m(cut) + short_m))
    most_m = cut.cloth_width_m + spare_m
    found = checks(HER, cut, Allowances(), PLUSH, PLUSH, Telling(units), most_m)
    one = next(one for one in found if one.name == "sleeve end against the wrist")
    assert words in one.remedy
    number = r"([\d/. ]+ (?:cm|in))"

    def told(pattern: str, otherwise_m: float) -> float:
        length = re.search(pattern.replace("#", number), one.remedy)
        return parse_quantity("length", "told", length[1].strip()) if length else otherwise_m

    mended = replace(
        cut,
        cloth_width_m=told("cut.cloth_width #", cut.cloth_width_m),
        cuff_depth_m=0.0 if "leave out" in one.remedy else told("cut.cuff_depth #", cuff_m),
    )
    assert mended.cloth_width_m <= most_m + 1e-9
    if "closes" not in one.remedy:
        assert past_m(mended) >= -1e-6
        return
    assert past_m(mended) < 0
    closed_m = past_m(mended) - past_m(cut)
    # told to the millimetre or eighth of an inch of each side, never more than it is
    assert -1e-9 <= closed_m - told("closes #", 0.0) < 0.0032
    assert told("of the #", 0.0) == pytest.approx(short_m, abs=0.0033)


def test_a_sloped_sleeve_is_as_deep_as_it_is_square_to_its_shoulder() -> None:
    level = replace(CUT, shoulder=Shoulder.SEAMED)
    sloped = replace(level, shoulder_drop_m=0.08)
    one = check("depth under the arm, reaching", sloped)
    fall_m = (
        0.08 * (0.33 - 0.09) / (0.725 - 0.09)
    )  # half the body's width of the way to the sleeve end
    assert one.numbers.startswith(f"{Telling('cm').length(0.26 - fall_m)} deep")
    mended = replace(sloped, sleeve_drop_m=told_m(r"cut\.sleeve_drop (.+?),", one.remedy))
    assert check("depth under the arm, reaching", mended).state is State.PASS
    assert one.state is State.TIGHT

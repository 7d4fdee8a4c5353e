# SPDX-License-Identifier: GPL-3.0-or-later
"""The completed tape against published survey figures and laws of conditioning."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.errors import InputError
from napfold.core.tape import Tape, complete, measure_names
from napfold.core.units import RangeError

FOUR = {"height": 1.64, "bust_girth": 0.96, "waist_girth": 0.80, "hip_girth": 1.04}


def test_empty_tape_gives_the_survey_means() -> None:
    # published means of the 2012 survey of US Army personnel (NATICK/TR-15/007)
    women, _ = complete(Tape(sex="female"))
    men, _ = complete(Tape(sex="male"))
    assert women.value("height") == pytest.approx(1.6285, abs=5e-4)
    assert women.value("hip_girth") == pytest.approx(1.0213, abs=5e-4)
    assert men.value("height") == pytest.approx(1.756, abs=1e-3)
    assert men.value("bust_girth") == pytest.approx(1.059, abs=1e-3)
    assert women["height"].sd_m == pytest.approx(0.0642, abs=5e-4)


def test_four_tapes_give_the_regression() -> None:
    # least-squares regression of fullest-hip height and upper arm on the same four tapes
    measures, warnings = complete(Tape(sex="female", given=FOUR))
    assert warnings == ()
    assert measures.value("hip_height") == pytest.approx(0.8434, abs=1e-3)
    arm = 0.0083 - 0.0273 * 1.64 + 0.0915 * 0.96 + 0.1648 * 0.80 + 0.1315 * 1.04
    assert measures.value("upper_arm_girth") == pytest.approx(arm, abs=1e-3)
    assert measures["upper_arm_girth"].sd_m == pytest.approx(0.0132, abs=3e-4)


def test_given_values_are_kept_and_marked() -> None:
    measures, _ = complete(Tape(sex="male", given={"chest_girth": 1.1, "stature": 1.9}))
    assert measures["bust_girth"] == (1.1, 0.0, True)
    assert measures["height"] == (1.9, 0.0, True)
    assert not measures["hip_girth"].given
    assert measures["hip_girth"].sd_m > 0.01


@settings(max_examples=25, deadline=None)
@given(
    extra=st.sampled_from(["waist_girth", "inside_leg_height", "wrist_girth", "shoulder_length"]),
    sex=st.sampled_from(["female", "male", "unstated"]),
)
def test_another_tape_never_adds_doubt(extra: str, sex: str) -> None:
    # conditioning a normal distribution cannot raise a variance; for the mixture of both sexes
    # it can, so there only the spread within a sex is compared
    base = {"height": 1.7, "bust_girth": 1.0}
    before, _ = complete(Tape(sex=sex, given=base))
    more = base | {extra: before.value(extra)}
    after, _ = complete(Tape(sex=sex, given=more))
    if sex != "unstated":
        assert all(after[name].sd_m <= before[name].sd_m + 1e-9 for name in before)
    assert after.value(extra) == before.value(extra)


def test_unstated_sex_lies_between() -> None:
    given_values = {"height": 1.70, "bust_girth": 1.0, "hip_girth": 1.0}
    women, _ = complete(Tape(sex="female", given=given_values))
    men, _ = complete(Tape(sex="male", given=given_values))
    both, _ = complete(Tape(given=given_values))
    assert 0.02 < both.female_share < 0.98
    for name in ("waist_girth", "underbust_girth", "biacromial_breadth"):
        low, high = sorted((women.value(name), men.value(name)))
        assert low < both.value(name) < high
        assert both[name].sd_m > min(women[name].sd_m, men[name].sd_m)


def test_large_bodies_have_the_arms_of_civilians() -> None:
    # NHANES 2017-2020: mid-arm girth 0.513 - 0.0045 ht + 0.1089 waist + 0.2033 hip (cm), women;
    # at the armpit 1.5 cm more
    tape = {"height": 1.60, "bust_girth": 1.28, "navel_waist_girth": 1.24, "hip_girth": 1.32}
    measures, _ = complete(Tape(sex="female", given=tape))
    civil = (0.513 - 0.0045 * 160 + 0.1089 * 124 + 0.2033 * 132) / 100 + 0.015
    assert measures.value("upper_arm_girth") == pytest.approx(civil, abs=1e-4)
    # and a taped arm always stands
    measures, _ = complete(Tape(sex="female", given=tape | {"upper_arm_girth": 0.47}))
    assert measures.value("upper_arm_girth") == 0.47


def test_contradictions_are_told_in_standard_deviations() -> None:
    _, warnings = complete(Tape(sex="female", given=FOUR | {"waist_girth": 1.0}))
    assert any("waist girth is" in w and "standard deviations more" in w for w in warnings)
    _, warnings = complete(
        Tape(sex="female", given={"height": 1.5, "back_neck_point_to_wrist": 0.95})
    )
    assert any("back neck point to wrist" in w for w in warnings)


def test_impossible_tapes_are_refused() -> None:
    with pytest.raises(RangeError, match="exchanged") as caught:
        complete(Tape(sex="female", given=FOUR | {"waist_girth": 1.9}))
    # what it says is allowed is indeed allowed
    complete(Tape(sex="female", given=FOUR | {"waist_girth": caught.value.high_si - 1e-6}))
    assert caught.value.high_si < 1.9
    with pytest.raises(InputError, match="unit"):
        Tape(given={"height": 168.0})
    with pytest.raises(InputError, match="Use one of these names"):
        Tape(given={"shoe_size": 0.4})
    with pytest.raises(InputError, match="twice"):
        Tape(given={"bust_girth": 0.9, "chest_girth": 0.9})
    with pytest.raises(InputError):
        Tape(given={"hip_girth": math.nan})
    with pytest.raises(InputError):
        Tape(sex="tall")


def test_children_get_the_caution() -> None:
    _, warnings = complete(Tape(given={"height": 1.1}))
    assert any("child" in w and "adults only" in w for w in warnings)


def test_shoulder_slope_sets_the_shoulder_point() -> None:
    slope = math.radians(20.0)
    measures, _ = complete(Tape(sex="female", given=FOUR | {"shoulder_slope": slope}))
    drop = measures.value("side_neck_point_height") - measures.value("shoulder_point_height")
    assert drop == pytest.approx(measures.value("shoulder_length") * math.sin(slope), abs=1e-9)
    assert "shoulder_slope" in measure_names()

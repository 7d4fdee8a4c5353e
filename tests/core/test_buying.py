# SPDX-License-Identifier: GPL-3.0-or-later
"""From a wish to cloth and back, by the flat measures."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.buying import (
    HEMS,
    ROOM,
    SLEEVE_ENDS,
    SLEEVE_ROOM,
    Wish,
    corrected_length_m,
    flat_fit,
    levels,
)
from napfold.core.cloth import ClothChoice
from napfold.core.cut_line import Allowances
from napfold.core.errors import InputError
from napfold.core.lay import LayChoice, Order
from napfold.core.money import Money
from napfold.core.pattern import Cut
from napfold.core.purchasing import best_purchase, lengths_compared, purchase_for
from napfold.core.tape import Tape, complete

from .options import CUTS

PLUSH = ClothChoice(
    kind="light plush", bolt_width_m=2.2, shrinkage_along=0.0, shrinkage_across=0.0, price_per_m=10
)
CUT = Cut(cloth_width_m=1.45, length_m=0.9144, body_width_m=0.66, sleeve_drop_m=0.20)
ORDER = Order(
    name="wrap",
    cut=CUT,
    allowances=Allowances(),
    outer=PLUSH,
    lining=replace(PLUSH, colour="#112233"),
    choice=LayChoice(),
)
HER, _ = complete(Tape(sex="female", given={"height": 1.68, "bust_girth": 0.965}))
HIM, _ = complete(Tape(sex="male", given={"height": 1.83, "bust_girth": 1.10}))
# a chest so much the largest girth that the words are the chest's
BROAD, _ = complete(
    Tape(
        sex="male",
        given={"height": 1.83, "bust_girth": 1.15, "waist_girth": 0.9, "hip_girth": 1.0},
    )
)
CHILD, _ = complete(Tape(given={"height": 1.30, "bust_girth": 0.66}))


def test_flat_hem_is_back_neck_point_less_sewn_back() -> None:
    fit = flat_fit(HER, CUT, Allowances(), 0.0035, 0.0035)
    back_m = 0.9144 / 2 - 0.0127 - 0.025
    assert fit.hem.height_m == pytest.approx(HER.value("back_neck_point_height") - back_m)
    # the ring of the sleeve is twice the drop
    # inside both layers: half of the outer and all of the lining
    arm_m = 0.40 - 2 * 3.1416 * (0.00175 + 0.0035) - HER.value("upper_arm_girth")
    assert fit.sleeve_extra_m == pytest.approx(arm_m, abs=1e-5)


def test_flat_measures_of_options() -> None:
    plain = flat_fit(HER, CUTS["plain"], Allowances(), 0.0, 0.0)
    # a shoulder that falls by 8 cm over 64.5 cm takes its share from the sleeve, front and back
    sloped = flat_fit(HER, CUTS["sloped"], Allowances(), 0.0, 0.0)
    lost_m = 2 * 0.08 * (0.34 - 0.09) / (0.735 - 0.09)
    assert plain.sleeve_extra_m - sloped.sleeve_extra_m == pytest.approx(lost_m)
    # the back hangs lower by half of what it is longer, the front higher
    longer = flat_fit(HER, CUTS["longer back"], Allowances(), 0.0, 0.0)
    assert plain.hem.height_m - longer.hem.height_m == pytest.approx(0.05)
    # behind, a high back begins where the others are 2.5 cm deep
    high = flat_fit(HER, CUTS["high back"], Allowances(), 0.0, 0.0)
    assert plain.hem.height_m - high.hem.height_m == pytest.approx(0.025)
    for name, shorter_m in (("shortened", 0.15), ("cuff", 0.08)):
        fit = flat_fit(HER, CUTS[name], Allowances(), 0.0, 0.0)
        assert plain.past_wrist_m - fit.past_wrist_m == pytest.approx(shorter_m)


@pytest.mark.parametrize("measures", [HER, HIM, CHILD])
@pytest.mark.parametrize("hem", HEMS)
@pytest.mark.parametrize("units", ["cm", "in"])
def test_a_wished_hem_is_reached_and_a_step_less_is_shorter(measures, hem, units) -> None:
    wished_m = levels(measures)[HEMS[hem]]
    # no cut is shorter than 60 cm; the sewn back is half of it less hem and neck
    least_m = 0.30 - 0.0127 - 0.025
    if measures.value("back_neck_point_height") - wished_m < least_m:
        with pytest.raises(InputError, match=r"wish\.hem is"):
            purchase_for(measures, ORDER, Wish(hem=hem), Money(), units)
        return
    found = purchase_for(measures, ORDER, Wish(hem=hem), Money(), units)
    # where it is wished, to a step of the cut of which half hangs behind, and no longer
    assert wished_m - 0.0064 / 2 <= found.wished.fit.hem.height_m <= wished_m + 1e-9
    step_m = 0.1143 if units == "in" else 0.10
    for bolt in found.wished.lay.bolts:
        assert bolt.bought_m / step_m == pytest.approx(round(bolt.bought_m / step_m))
        # the shortest length sold that holds it
        assert bolt.exact_m <= bolt.bought_m + 1e-9 < bolt.exact_m + step_m + 1e-6
    if found.less is not None:
        assert found.less.bought_m == pytest.approx(found.wished.bought_m - 2 * step_m)
        assert found.less.fit.hem.height_m > wished_m - 1e-9
    if found.used_up is not None:
        assert found.used_up.bought_m == pytest.approx(found.wished.bought_m)
        assert found.used_up.fit.hem.height_m < found.wished.fit.hem.height_m
        for bolt in found.used_up.lay.bolts:
            assert bolt.bought_m - bolt.exact_m < 0.0064


@pytest.mark.parametrize("measures", [HER, HIM])
@pytest.mark.parametrize("end", SLEEVE_ENDS)
def test_a_wished_sleeve_end_is_reached(measures, end: str) -> None:
    full = purchase_for(measures, ORDER, Wish(sleeve_end=end), Money(), "cm").wished
    expected_m = {
        "elbow": -measures.value("elbow_to_wrist"),
        "wrist": 0.0,
        "knuckles": full.fit.hand_m,
    }[end]
    assert expected_m - 1e-9 <= full.fit.past_wrist_m < expected_m + 0.005


def test_sleeves_reach_as_far_as_the_cloth() -> None:
    narrow = replace(ORDER, outer=replace(PLUSH, bolt_width_m=1.403))
    full = purchase_for(HIM, narrow, Wish(sleeve_end="knuckles"), Money(), "cm").wished
    assert full.order.cut.cloth_width_m == pytest.approx(1.40)
    assert full.fit.past_wrist_m < 0


@pytest.mark.parametrize("ease_m", [0.08, 0.15, 0.30])
def test_room_in_centimetres_is_granted_to_the_next_step(ease_m: float) -> None:
    granted = purchase_for(
        BROAD, ORDER, Wish(body=ease_m, sleeve=ease_m / 2), Money(), "cm"
    ).wished.fit
    # widths go up in steps of 5 mm, girths by twice that
    assert ease_m - 1e-9 <= granted.body_ease_m < ease_m + 0.0101
    assert ease_m / 2 - 1e-9 <= granted.sleeve_extra_m < ease_m / 2 + 0.0101


@pytest.mark.parametrize("wish", [{"body": -0.01}, {"sleeve": 1.01}, {"body": "huge"}])
def test_room_that_is_no_wish_is_told(wish) -> None:
    with pytest.raises(InputError, match="wish"):
        Wish(**wish)


@pytest.mark.parametrize("room", ROOM)
@pytest.mark.parametrize("sleeve", SLEEVE_ROOM)
def test_wished_room_is_given_in_the_same_words(room: str, sleeve: str) -> None:
    wish = Wish(body=room, sleeve=sleeve, hem="knee")
    full = purchase_for(BROAD, ORDER, wish, Money(), "cm").wished
    assert full.fit.sleeve_words == SLEEVE_ROOM[sleeve]
    assert full.fit.body_words == room


@settings(max_examples=40, deadline=None)
@given(
    outer_m=st.floats(0.9, 3.0),
    lining_m=st.floats(0.9, 3.0),
    repeat_m=st.sampled_from([0.0, 0.32]),
)
def test_cloth_in_hand_is_enough_and_no_more_could_be_cut(outer_m, lining_m, repeat_m) -> None:
    order = replace(ORDER, choice=LayChoice(print_repeat_m=repeat_m))
    best = best_purchase(HER, order, [outer_m, lining_m], Money(), "cm")
    least_m = min(outer_m, lining_m)
    for bolt in best.lay.bolts:
        assert bolt.exact_m <= least_m + 1e-6
    assert best.order.cut.length_m > least_m - 0.005 - 1e-6


def test_cloth_in_hand_for_both_layers_is_shared() -> None:
    same = replace(ORDER, lining=PLUSH, choice=LayChoice(print_repeat_m=0.3))
    best = best_purchase(HER, same, [2.0], Money(), "cm")
    # with a repeat of 30 cm the second layer begins at 90 or 120 cm: 0.9 + 0.9 fits, 1.2 + 0.905 not
    assert best.order.cut.length_m == pytest.approx(0.9)


def test_three_lengths_with_their_cost() -> None:
    rows = lengths_compared(HER, ORDER, Money(), "cm")
    assert [words for words, _ in rows] == ["1 m", "1 1/2 m", "2 m"]
    assert [row.cost.total for _, row in rows] == pytest.approx([20, 30, 40])
    hems = [row.fit.hem.height_m for _, row in rows]
    assert hems[0] - hems[1] == pytest.approx(0.25)


def test_a_drape_mends_the_length() -> None:
    # the hem hangs 2 cm too high: 4 cm more, half in front and half behind
    assert corrected_length_m(CUT, 0.82, 0.80) == pytest.approx(CUT.length_m + 0.04)


def test_a_length_too_short_for_the_cut_is_left_out() -> None:
    long = replace(ORDER, cut=replace(CUT, length_m=1.6, side_split_m=0.3))
    # 50 cm of half length hold no sleeve of 20 cm, split of 30 cm and seam between
    assert [words for words, _ in lengths_compared(HER, long, Money(), "cm")] == ["1 1/2 m", "2 m"]


@pytest.mark.parametrize(
    "wish", [{"hem": "nowhere"}, {"sleeve_end": "shoulder"}, {"body": "huge"}, {"sleeve": "loose"}]
)
def test_unknown_words_are_told(wish) -> None:
    with pytest.raises(InputError, match="Choose one"):
        Wish(**wish)

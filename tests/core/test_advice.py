# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks of a fit, the changes they ask for, and reach, on tubes of known size."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from napfold.core.advice import cheapest
from napfold.core.buying import Wish
from napfold.core.cloth import ClothChoice
from napfold.core.cut_line import Allowances
from napfold.core.fit import Fit, measure_fit
from napfold.core.fit_checks import FitCheck, fit_checks
from napfold.core.lay import LayChoice, Order
from napfold.core.pattern import Cut, Front
from napfold.core.reach import Raised, find_reach, raised, reach_words, side_stretch
from napfold.core.tape import Tape, complete
from napfold.core.telling import Telling

MEASURES, _ = complete(Tape(given={"height": 1.68, "bust_girth": 0.96}))
TELL = Telling("cm")


def fit_of(tubes: Any) -> Fit:
    return measure_fit(tubes.drape, MEASURES, tubes.skin_distance)


def by_name(fit: Fit, cut: Cut, wish: Wish | None = None) -> dict[str, FitCheck]:
    return {check.name: check for check in fit_checks(fit, cut, MEASURES, wish, TELL)}


def test_a_narrow_sleeve_asks_for_half_of_what_it_lacks(make_tubes: Callable[..., Any]) -> None:
    cut = replace(make_tubes().cut, sleeve_drop_m=0.18)
    fit = fit_of(make_tubes(cut=cut))
    check = by_name(fit, cut)["room round the upper arm"]
    room = fit.sleeves["left"].room["upper arm"]
    assert room is not None
    assert room.extra_girth_m < 0.06
    assert not check.holds
    assert check.key == "sleeve_drop"
    assert check.cut is not None
    lacking = (0.06 - room.extra_girth_m) / 2
    # up to the next step of the reader's round numbers
    assert lacking <= check.cut.sleeve_drop_m - 0.18 < lacking + 0.01
    again = fit_of(make_tubes(cut=check.cut))
    assert by_name(again, check.cut)["room round the upper arm"].holds


def test_a_deep_sleeve_asks_for_less_and_a_wish_for_its_hem(
    make_tubes: Callable[..., Any],
) -> None:
    tubes = make_tubes()
    fit = fit_of(tubes)
    deep = replace(fit.sleeves["left"].hang, below_m=0.11)
    sleeves = {"left": replace(fit.sleeves["left"], hang=deep), "right": fit.sleeves["right"]}
    found = by_name(replace(fit, sleeves=sleeves), tubes.cut)["sleeve over cups and candles"]
    assert not found.holds
    assert found.cut is not None
    # 3 cm less deep at its end is 6 cm less round; the upper arm keeps its room
    assert found.key == "wrist_opening"
    assert found.cut.wrist_opening_m == pytest.approx(2 * tubes.cut.sleeve_drop_m - 0.06)
    assert found.cut.sleeve_drop_m == tubes.cut.sleeve_drop_m
    assert by_name(fit, tubes.cut)["hem clear of the floor"].holds
    # a closed front cannot gape
    closed = replace(tubes.cut, front=Front.CLOSED)
    assert "fronts at the waist" in by_name(fit, tubes.cut)
    assert "fronts at the waist" not in by_name(fit, closed)
    # the hem hangs at 70 cm: 10 cm lower takes 20 cm of length
    wished = by_name(fit, tubes.cut, Wish(hem=0.60))["hem as wished"]
    assert not wished.holds
    assert wished.cut is not None
    assert wished.cut.length_m == pytest.approx(tubes.cut.length_m + 0.20)
    assert by_name(fit, tubes.cut, Wish(hem=0.71))["hem as wished"].holds


def test_a_wish_for_room_asks_for_the_bounds_of_its_class(
    make_tubes: Callable[..., Any],
) -> None:
    tubes = make_tubes()
    fit = fit_of(tubes)
    room = fit.sleeves["left"].room["upper arm"]
    assert room is not None
    # 10 to 15 cm of extra girth; the body part is 132 cm round, 36 cm more than the bust
    wish = Wish(sleeve="coat", body="loose")
    found = by_name(fit, tubes.cut, wish)
    sleeve, body = found["sleeve as wished"], found["body as wished"]
    assert sleeve.holds == (0.100 - 0.003 <= room.extra_girth_m <= 0.150 + 0.003)
    assert not body.holds
    assert body.cut is not None
    assert body.cut.body_width_m == pytest.approx(0.66 - (0.36 - 0.305) / 2, abs=0.006)
    assert by_name(fit, tubes.cut, Wish(body="very loose"))["body as wished"].holds
    # the same in metres: that much and no other
    assert by_name(fit, tubes.cut, Wish(body=0.36))["body as wished"].holds
    for ease_m in (0.26, 0.46):
        told = by_name(fit, tubes.cut, Wish(body=ease_m))["body as wished"]
        assert not told.holds
        assert told.cut is not None
        assert told.cut.body_width_m == pytest.approx(0.66 + (ease_m - 0.36) / 2, abs=0.006)


def test_the_change_that_takes_no_cloth_comes_first(make_tubes: Callable[..., Any]) -> None:
    cut = make_tubes().cut
    order = Order(
        name="wrap",
        cut=cut,
        allowances=Allowances(),
        outer=ClothChoice(kind="light plush"),
        lining=ClothChoice(kind="medium fleece"),
        choice=LayChoice(),
    )

    def check(name: str, **changed: float) -> FitCheck:
        return FitCheck(
            name=name, holds=False, rule="", found="", cut=replace(cut, **changed), key="length"
        )

    wanted = [
        check("longer", length_m=1.7),
        check("deeper", sleeve_drop_m=0.24),
        check("deeper still", sleeve_drop_m=0.24),
        check("wider than any bolt", cloth_width_m=2.4),
        check("a little longer", length_m=1.5),
        check("wider body", body_width_m=0.70),
    ]
    found = cheapest(wanted, order, "cm")
    assert [change.check.name for change in found] == ["deeper", "wider body", "a little longer"]
    assert [change.cloth_m for change in found[:2]] == [0.0, 0.0]
    # both layers 10 cm longer, and what shops sell on top
    assert 0.2 <= found[2].cloth_m < 0.5
    assert found[0].area_m2 < found[1].area_m2


def test_reach_is_where_the_straight_line_passes_the_bound() -> None:
    asked = []

    def measure(degrees: float) -> Raised:
        asked.append(degrees)
        # a hem that rises 1 mm for every 3 degrees reaches 3 cm at 90
        return Raised(degrees, degrees / 3000, degrees / 1e5)

    reach = find_reach(measure)
    assert reach.degrees == pytest.approx(90.0)
    assert reach.stopped_by == "lift"
    assert asked == [80.0, 120.0, 100.0, 90.0]
    assert reach_words(reach) == "level, as to reach across a table"
    free = find_reach(lambda degrees: Raised(degrees, 0.0, 0.0))
    assert free.degrees is None
    assert "over the head" in reach_words(free)
    taut = find_reach(lambda degrees: Raised(degrees, 0.0, degrees / 2000))
    assert taut.degrees == pytest.approx(40.0)
    assert taut.stopped_by == "stretch"


def test_a_raised_garment_is_compared_along_its_hem(make_tubes: Callable[..., Any]) -> None:
    hanging, lifted = make_tubes().drape, make_tubes().drape
    left = lifted.panel.flat[:, 0] > 0.2
    lifted.outer[left, 2] += 0.04
    found = raised(75.0, lifted, hanging)
    assert found.lift_m == pytest.approx(0.04)
    assert raised(75.0, hanging, hanging).lift_m == 0.0
    # seams of the stand-in follow its cylinder
    assert side_stretch(hanging) == pytest.approx(0.0, abs=0.01)
    hanging.outer[:, 2] = 1.40 + 1.05 * (hanging.outer[:, 2] - 1.40)
    low = np.abs(hanging.panel.flat[:, 1]) > 0.3
    assert low.any()
    assert side_stretch(hanging) > 0.03

# SPDX-License-Identifier: GPL-3.0-or-later
"""Ranges: what figures do to one side adds up as squares; words say whether a test is worth it."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from napfold.core.cloth import Cloth, library
from napfold.core.cloth_doubt import Doubt, doubts, together
from napfold.core.fit import Fit, measure_fit
from napfold.core.fit_range import Reading, fit_range, reading
from napfold.core.tape import Tape, complete
from napfold.core.telling import Telling

PAIR = library()["long pile"], library()["light plush"]
BASE = Reading(0.80, 0.06)


@pytest.fixture(scope="module")
def fit(make_tubes: Callable[..., Any]) -> Fit:
    tubes = make_tubes()
    measures, _ = complete(Tape(given={"height": 1.68, "bust_girth": 0.96}))
    return measure_fit(tubes.drape, measures, tubes.skin_distance)


def open_figures(pair: tuple[Cloth, Cloth]) -> dict[str, Doubt]:
    return {f"{doubt.figure} {doubt.layer}": doubt for doubt in doubts(*pair)}


def test_a_reading_is_hem_and_mean_sleeve(make_tubes: Callable[..., Any], fit: Fit) -> None:
    read = reading(make_tubes().drape)
    assert read.hem_m == fit.hem.centre_back.height_m
    rooms = [sleeve.room["upper arm"] for sleeve in fit.sleeves.values()]
    girths = [room.extra_girth_m for room in rooms if room is not None]
    assert read.sleeve_m == pytest.approx(sum(girths) / 2)


def test_without_drapes_the_range_is_the_estimate(fit: Fit) -> None:
    told = fit_range(fit, *PAIR)
    assert not told.draped
    reach_m = together(tuple(doubt.hem_m for doubt in doubts(*PAIR)))
    assert told.hem.value_m == fit.hem.centre_back.height_m
    assert told.hem.value_m - told.hem.low_m == pytest.approx(reach_m)
    assert told.hem.high_m - told.hem.value_m == pytest.approx(reach_m)
    assert told.sleeve is not None
    assert told.sleeve.width_m == pytest.approx(
        2 * together(tuple(doubt.sleeve_m for doubt in doubts(*PAIR)))
    )


def test_draped_ends_replace_the_estimate_and_add_as_squares(fit: Fit) -> None:
    # two figures in doubt and no others, by hand
    known = [replace(cloth, origins=()) for cloth in PAIR]
    outer = replace(
        known[0],
        origins=tuple(
            origin for origin in PAIR[0].origins if origin.figure in ("thickness_m", "mass_kg_m2")
        ),
    )
    thick, heavy = (
        open_figures((outer, known[1]))[f"{figure} outer"]
        for figure in ("thickness_m", "mass_kg_m2")
    )
    told = fit_range(
        fit,
        outer,
        known[1],
        BASE,
        {
            thick: (Reading(0.77, 0.08), Reading(0.84, 0.03)),
            # both ends lower the hem
            heavy: (Reading(0.79, 0.06), Reading(0.76, 0.06)),
        },
    )
    assert told.draped
    assert all(cause.draped for cause in told.causes)
    hem_m = fit.hem.centre_back.height_m
    assert told.hem.low_m == pytest.approx(hem_m - 0.05)
    assert told.hem.high_m == pytest.approx(hem_m + 0.04)
    assert told.sleeve is not None
    assert told.sleeve.low_m == pytest.approx(told.sleeve.value_m - 0.03)
    assert told.sleeve.high_m == pytest.approx(told.sleeve.value_m + 0.02)


def test_a_drape_that_failed_leaves_the_estimate(fit: Fit) -> None:
    doubt = doubts(*PAIR)[0]
    told = fit_range(fit, *PAIR, BASE, {doubt: (Reading(0.78, 0.10), None)})
    cause = next(cause for cause in told.causes if cause.doubt == doubt)
    assert not cause.draped
    assert cause.hem_m == pytest.approx((-0.02, doubt.hem_m))
    assert cause.sleeve_m == pytest.approx((0.04, doubt.sleeve_m))


def test_an_exact_cloth_has_no_range(fit: Fit) -> None:
    exact = replace(PAIR[1], origins=())
    told = fit_range(fit, exact, exact)
    assert told.hem.width_m == 0.0
    assert told.causes == ()


def test_ends_are_told_with_one_unit() -> None:
    assert Telling("cm").between(0.603, 0.622) == "60.5 to 62 cm"
    assert Telling("in").between(0.61, 0.6223) == "24 to 24 1/2 in"
    assert Telling("cm").between(0.6, 0.601) == "hardly more or less"

# SPDX-License-Identifier: GPL-3.0-or-later
"""What a drape is checked for: each with its rule, what was found, and a cut that would mend it.

The cut is worked out by flat measures; what it does is found by a drape (`advice`).
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from .buying import (
    NICE_M,
    SLEEVE_ROOM,
    Wish,
    corrected_length_m,
    wished_hem_m,
    wished_past_wrist_m,
)
from .checks import BODY_TIGHT_M, LOW_M, SLEEVE_PASS_M
from .errors import InputError
from .fit import Fit
from .landing import AT_M
from .pattern import Cut, Front
from .phrases import phrase
from .roominess import BODY_CLASSES, SLEEVE_CLASSES, class_bounds
from .sleeve_air import DIPS_M
from .tape import Measures
from .telling import Telling
from .units import UnitSystem

__all__ = ["FitCheck", "fit_checks", "number_m"]

NEARLY_M = 0.003
"""What lacks less than the mesh can tell does not lack."""

GAPE_M = 0.05
"""Fronts farther apart than this at the waist gape: our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FitCheck:
    """One check of a drape.

    Attributes
    ----------
    name
        What is looked at.
    holds
        Whether it is as it should be.
    rule, found
        When it holds, and what was measured, in words.
    cut
        The cut that would mend it by flat measures; ``None`` where it holds or no such wrap can be
        cut.
    key
        The number of the job file that this cut changes.
    """

    name: str
    holds: bool
    rule: str
    found: str
    cut: Cut | None = None
    key: str = ""


def number_m(cut: Cut, key: str) -> float:
    """A number of the cut, metres; of a straight sleeve's end its girth."""
    value_m: float | None = getattr(cut, f"{key}_m")
    return cut.sleeve_opening_m if value_m is None else value_m


def fit_checks(
    fit: Fit, cut: Cut, measures: Measures, wish: Wish | None, tell: Telling
) -> tuple[FitCheck, ...]:
    """All checks of a drape that hung this cut."""
    return (
        *_sleeve(fit, cut, tell),
        *_body(fit, cut, tell),
        *_room_wished(fit, cut, wish, tell),
        *_hem(fit, cut, measures, wish, tell),
        *_sleeve_end(fit, cut, measures, wish, tell),
    )


def _sleeve(fit: Fit, cut: Cut, tell: Telling) -> Iterator[FitCheck]:
    rooms = [sleeve.room["upper arm"] for sleeve in fit.sleeves.values()]
    girths = [room.extra_girth_m for room in rooms if room is not None]
    if girths:
        extra_m = min(girths)
        yield _check(
            phrase("room round the upper arm"),
            phrase("{length} or more, as in a shirt sleeve", length=tell.length(SLEEVE_PASS_M)),
            tell.length(extra_m),
            cut,
            "sleeve_drop",
            lacking_m=(SLEEVE_PASS_M - extra_m) / 2,
            tell=tell,
        )
    hang_m = max(sleeve.hang.below_m for sleeve in fit.sleeves.values())
    yield _check(
        phrase("sleeve over cups and candles"),
        phrase("hangs {length} below a level forearm at most", length=tell.small(DIPS_M)),
        tell.small(hang_m),
        cut,
        "wrist_opening",
        # a narrower end keeps the room round the upper arm
        lacking_m=2 * (DIPS_M - hang_m),
        tell=tell,
        wants_less=True,
    )


def _body(fit: Fit, cut: Cut, tell: Telling) -> Iterator[FitCheck]:
    eases = {level: ease for level, ease in fit.ease.items() if ease is not None}
    if eases:
        level = min(eases, key=lambda name: eases[name].ease_m)
        ease_m = eases[level].ease_m
        yield _check(
            phrase("body over clothes"),
            phrase("{length} of ease or more", length=tell.length(BODY_TIGHT_M)),
            phrase("{length} at the {level}", length=tell.length(ease_m), level=phrase(level)),
            cut,
            "body_width",
            lacking_m=(BODY_TIGHT_M - ease_m) / 2,
            tell=tell,
        )
    waist = fit.ease["waist"]
    open_front = cut.front is not Front.CLOSED
    if open_front and waist is not None and waist.front_gap_m is not None:
        gap_m = waist.front_gap_m
        yield _check(
            phrase("fronts at the waist"),
            phrase("no more than {length} apart", length=tell.length(GAPE_M)),
            phrase(
                "{length} apart" if gap_m > 0 else "{length} over each other",
                length=tell.length(abs(gap_m)),
            ),
            cut,
            "body_width",
            lacking_m=(gap_m - GAPE_M) / 2,
            tell=tell,
        )


def _room_wished(fit: Fit, cut: Cut, wish: Wish | None, tell: Telling) -> Iterator[FitCheck]:
    """Room as wished: within the bounds of its class, or near its number."""
    if wish is None:
        return
    room, ease = fit.sleeves["left"].room["upper arm"], fit.ease["bust"]
    for key, wished, classes, value_m in (
        (
            "sleeve_drop",
            SLEEVE_ROOM[wish.sleeve] if isinstance(wish.sleeve, str) else wish.sleeve,
            SLEEVE_CLASSES,
            None if room is None else room.extra_girth_m,
        ),
        ("body_width", wish.body, BODY_CLASSES, None if ease is None else ease.ease_m),
    ):
        if wished is None or value_m is None:
            continue
        low, high, word = _room_bounds(wished, classes, tell)
        below_m = 0.0 if low is None else max(low - value_m, 0.0)
        above_m = 0.0 if high is None else max(value_m - high, 0.0)
        yield _wished(
            phrase("sleeve as wished" if key == "sleeve_drop" else "body as wished"),
            word,
            phrase("{length} to spare", length=tell.length(value_m)),
            cut,
            key,
            off_m=below_m - above_m,
            wanted_m=number_m(cut, key) + (below_m - above_m) / 2,
            tell=tell,
            near_m=NEARLY_M,
        )


def _room_bounds(
    wished: str | float, classes: tuple[tuple[float, str], ...], tell: Telling
) -> tuple[float | None, float | None, str]:
    """From how much ease to how much, metres, and how that is told."""
    if isinstance(wished, float):
        return wished, wished, tell.length(wished)
    bounds = class_bounds(classes)
    low, high = next((low, high) for low, high, name in bounds if name == wished)
    return low, high, phrase(wished)


def _hem(
    fit: Fit, cut: Cut, measures: Measures, wish: Wish | None, tell: Telling
) -> Iterator[FitCheck]:
    lowest_m, back_m = fit.hem.lowest_m, fit.hem.centre_back.height_m
    yield _check(
        phrase("hem clear of the floor"),
        phrase("{length} or more", length=tell.length(LOW_M)),
        tell.length(lowest_m),
        cut,
        "length",
        lacking_m=-2 * (LOW_M - lowest_m),
        tell=tell,
        wants_less=True,
    )
    wished_m = None if wish is None else wished_hem_m(measures, wish)
    if wished_m is not None:
        wanted_m = corrected_length_m(cut, back_m, wished_m)
        yield _wished(
            phrase("hem as wished"),
            phrase(
                "within {near} of {height} over the floor",
                near=tell.length(AT_M),
                height=tell.length(wished_m),
            ),
            tell.length(back_m),
            cut,
            "length",
            off_m=wished_m - back_m,
            wanted_m=wanted_m,
            tell=tell,
        )


def _sleeve_end(
    fit: Fit, cut: Cut, measures: Measures, wish: Wish | None, tell: Telling
) -> Iterator[FitCheck]:
    sleeve = fit.sleeves["left"]
    past_m = sleeve.past_wrist_m
    wished_m = None if wish is None else wished_past_wrist_m(measures, wish)
    if wished_m is None:
        yield _check(
            phrase("hands free"),
            phrase("the sleeve ends before the knuckles"),
            phrase(
                "{distance} past the wrist" if past_m > 0 else "{distance} short of the wrist",
                distance=tell.length(abs(past_m)),
            ),
            cut,
            "cloth_width",
            lacking_m=-2 * (past_m - sleeve.hand_m),
            tell=tell,
            wants_less=True,
        )
    else:
        yield _wished(
            phrase("sleeve end as wished"),
            phrase(
                "within {near} of the {place}",
                near=tell.length(AT_M),
                place=phrase(wish.sleeve_end or "" if wish else ""),
            ),
            phrase(
                "{distance} past it" if past_m > wished_m else "{distance} short of it",
                distance=tell.length(abs(past_m - wished_m)),
            ),
            cut,
            "cloth_width",
            off_m=past_m - wished_m,
            wanted_m=cut.cloth_width_m - 2 * (past_m - wished_m),
            tell=tell,
        )


def _check(
    name: str,
    rule: str,
    found: str,
    cut: Cut,
    key: str,
    *,
    lacking_m: float,
    tell: Telling,
    wants_less: bool = False,
) -> FitCheck:
    """A check that holds unless the flat measure lacks something; less is wanted if negative."""
    holds = lacking_m >= -NEARLY_M if wants_less else lacking_m <= NEARLY_M
    if holds:
        return FitCheck(name=name, holds=True, rule=rule, found=found)
    changed = _changed(cut, key, number_m(cut, key) + lacking_m, tell.units, down=wants_less)
    return FitCheck(name=name, holds=False, rule=rule, found=found, cut=changed, key=key)


def _wished(
    name: str,
    rule: str,
    found: str,
    cut: Cut,
    key: str,
    *,
    off_m: float,
    wanted_m: float,
    tell: Telling,
    near_m: float = AT_M,
) -> FitCheck:
    """A wish is granted where the measure is near enough, by default within what is called "at"."""
    if abs(off_m) <= near_m:
        return FitCheck(name=name, holds=True, rule=rule, found=found)
    changed = _changed(cut, key, wanted_m, tell.units, down=None)
    return FitCheck(name=name, holds=False, rule=rule, found=found, cut=changed, key=key)


def _changed(
    cut: Cut, key: str, value_m: float, units: UnitSystem, *, down: bool | None
) -> Cut | None:
    """The cut with one number changed, in round numbers of the reader's units."""
    step_m = NICE_M[units]
    steps = value_m / step_m
    whole = round(steps) if down is None else math.floor(steps) if down else math.ceil(steps)
    changed: dict[str, Any] = {f"{key}_m": whole * step_m}
    try:
        return replace(cut, **changed)
    except InputError:
        return None

# SPDX-License-Identifier: GPL-3.0-or-later
"""Every variant against the first one, in words, whatever and however much they differ in."""

from collections.abc import Iterator, Sequence

from .comparison import (
    LENGTH_MATTERS_M,
    MASS_MATTERS_KG,
    STAND_OFF_MATTERS_M,
    Outcome,
    choices,
    differing,
    wearer,
)
from .report_tables import Cell, table
from .telling import Telling

__all__ = ["differences_told"]

ALIKE = "alike"


def differences_told(outcomes: Sequence[Outcome], tell: Telling) -> Iterator[str]:
    """The table, where there is more than one variant in the first one's pose."""
    first, *rest = outcomes
    others = [one for one in rest if one.pose == first.pose]
    if not others:
        return
    rows: list[tuple[str, list[Cell]]] = [
        ("What differs", [(_what(first, one, tell), "") for one in others]),
        (
            "Hem, centre back",
            [_length(*_hems(first, one), "lower", "higher", tell) for one in others],
        ),
        (
            "Sleeve room",
            [_length(*_rooms(first, one), "less", "more", tell) for one in others],
        ),
        (
            "Sleeve ends",
            [_length(*_ends(first, one), "higher up", "farther down", tell) for one in others],
        ),
        (
            "Ease at the bust",
            [_length(*_eases(first, one), "less", "more", tell) for one in others],
        ),
        ("Outside off the body", [_off(first, one, tell) for one in others]),
        ("Weight", [_weight(first, one, tell) for one in others]),
    ]
    yield table(
        [one.heading for one in others],
        f"Against {first.name}. “{ALIKE.capitalize()}”: no more apart than the same wrap put on again.",
        rows,
    )


def _what(first: Outcome, other: Outcome, tell: Telling) -> str:
    before, after = (choices(one, tell) | wearer(one, tell) for one in (first, other))
    names = differing([before, after])
    return "; ".join(f"{name} {after.get(name, 'estimated')}" for name in names) or "nothing"


Pair = tuple[float | None, float | None]


def _hems(first: Outcome, other: Outcome) -> Pair:
    return first.fit.hem.centre_back.height_m, other.fit.hem.centre_back.height_m


def _ends(first: Outcome, other: Outcome) -> Pair:
    return first.fit.sleeves["left"].past_wrist_m, other.fit.sleeves["left"].past_wrist_m


def _rooms(first: Outcome, other: Outcome) -> Pair:
    rooms = (one.fit.sleeves["left"].room["upper arm"] for one in (first, other))
    before, after = (None if room is None else room.extra_girth_m for room in rooms)
    return before, after


def _eases(first: Outcome, other: Outcome) -> Pair:
    eases = (one.fit.ease["bust"] for one in (first, other))
    before, after = (None if ease is None else ease.ease_m for ease in eases)
    return before, after


def _length(before: float | None, after: float | None, less: str, more: str, tell: Telling) -> Cell:
    if before is None or after is None:
        return "not to be compared", "one of them does not reach"
    change_m = after - before
    if abs(change_m) < LENGTH_MATTERS_M:
        return ALIKE, ""
    return f"{tell.length(abs(change_m))} {more if change_m > 0 else less}", ""


def _off(first: Outcome, other: Outcome, tell: Telling) -> Cell:
    change_m = other.fit.stand_off.outer_face_m - first.fit.stand_off.outer_face_m
    if abs(change_m) < STAND_OFF_MATTERS_M:
        return ALIKE, ""
    return f"{tell.small(abs(change_m))} {'farther' if change_m > 0 else 'closer'}", ""


def _weight(first: Outcome, other: Outcome, tell: Telling) -> Cell:
    change_kg = other.fit.mass.garment_kg - first.fit.mass.garment_kg
    if abs(change_kg) < MASS_MATTERS_KG:
        return ALIKE, ""
    return f"{tell.mass(abs(change_kg))} {'heavier' if change_kg > 0 else 'lighter'}", ""

# SPDX-License-Identifier: GPL-3.0-or-later
"""One wrap in several poses: a table of poses and measures for each variant."""

from collections.abc import Iterator, Sequence
from html import escape

from .comparison import Outcome
from .ease import LEVELS
from .report_tables import Cell, landing_cell, table
from .sleeve_room import STATIONS
from .telling import Telling

__all__ = ["poses_told"]

UPRIGHT = ("standing", "arms out", "reaching up", "reaching forward")
"""Poses between which a hem's height over the floor can be compared."""


def poses_told(outcomes: Sequence[Outcome], tell: Telling) -> Iterator[str]:
    """A table for each variant that was draped in more than one pose."""
    groups: dict[str, list[Outcome]] = {}
    for outcome in outcomes:
        groups.setdefault(outcome.variant or outcome.name, []).append(outcome)
    for name, group in groups.items():
        if len(group) > 1:
            heading = name[:1].upper() + name[1:]
            yield table(
                [outcome.pose for outcome in group], f"{heading}, pose by pose", _rows(group, tell)
            )
    if any(len(group) > 1 for group in groups.values()):
        note = (
            "With wide sleeves a raised arm lifts the hem: most at the side of the arm, less in "
            "front, less again behind. Falls into other folds move a hem by a finger's breadth."
        )
        yield f'<p class="note">{escape(note)}</p>'


def _rows(group: Sequence[Outcome], tell: Telling) -> list[tuple[str, list[Cell]]]:
    still = next((one for one in group if one.pose == "standing"), None)
    fits = [one.fit for one in group]
    rows: list[tuple[str, list[Cell]]] = [
        ("Hem, centre back", [landing_cell(f.hem.centre_back, tell) for f in fits]),
        ("Hem, left side", [landing_cell(f.hem.left_side, tell) for f in fits]),
        ("Hem, left front", [landing_cell(f.hem.front_left, tell) for f in fits]),
    ]
    if still is not None:
        rows.append(("Against standing", [_rise(one, still, tell) for one in group]))
    rows += [
        ("Sat on", [("yes" if f.worn.seat.sat_on else "no", "") for f in fits]),
        ("Left sleeve ends", [(_past_wrist(one, tell), "") for one in group]),
        *(
            (f"Room at the {station}", [_room(one, station, tell) for one in group])
            for station in STATIONS
        ),
        ("Hangs below the forearm", [_hang(one, tell) for one in group]),
        *((f"Ease at the {level}", [_ease(one, level, tell) for one in group]) for level in LEVELS),
    ]
    return rows


def _rise(outcome: Outcome, still: Outcome, tell: Telling) -> Cell:
    if outcome is still:
        return "–", ""
    if outcome.pose not in UPRIGHT:
        return "not to be compared", "the body sits or lies"
    told = []
    for place in ("centre_back", "left_side", "front_left"):
        now, before = (getattr(one.fit.hem, place).height_m for one in (outcome, still))
        name = {"centre_back": "behind", "left_side": "side", "front_left": "front"}[place]
        told.append(f"{name} {_signed(now - before, tell)}")
    return "the hem rises: " + ", ".join(told), ""


def _signed(rise_m: float, tell: Telling) -> str:
    told = tell.length(abs(rise_m))
    return told if told == tell.length(0.0) else f"{'+' if rise_m > 0 else '−'}{told}"


def _past_wrist(outcome: Outcome, tell: Telling) -> str:
    past_m = outcome.fit.sleeves["left"].past_wrist_m
    return f"{tell.length(abs(past_m))} {'past' if past_m > 0 else 'short of'} the wrist"


def _room(outcome: Outcome, station: str, tell: Telling) -> Cell:
    rooms = outcome.fit.sleeves["left"].room
    room = next(found for name, found in rooms.items() if name == station)
    if room is None:
        return "not reached", ""
    half = tell.small(max(room.median_gap_m, 0.0))
    return (
        f"{tell.length(room.extra_girth_m)} more than the arm",
        f"half the way round {half} clear",
    )


def _hang(outcome: Outcome, tell: Telling) -> Cell:
    hang = outcome.fit.sleeves["left"].hang
    return tell.length(hang.below_m), "measured" if hang.measured else "an estimate"


def _ease(outcome: Outcome, level: str, tell: Telling) -> Cell:
    ease = next(found for name, found in outcome.fit.ease.items() if name == level)
    if ease is None:
        return "not reached", ""
    more = []
    gap_m = ease.front_gap_m
    if gap_m is not None:
        more.append(f"fronts {'overlap' if gap_m < 0 else 'gap'} {tell.small(abs(gap_m))}")
    if ease.taken == "flat":
        more.append("measured flat")
    return tell.length(ease.ease_m), "; ".join(more)

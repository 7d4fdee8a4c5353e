# SPDX-License-Identifier: GPL-3.0-or-later
"""The table of every measure of every variant."""

from collections.abc import Mapping, Sequence

from .comparison import Outcome
from .ease import LEVELS, SITTING_TAKES_M, Ease, Level
from .fit import BackLength, Mass
from .folds import Folds
from .hung_length import HungLength
from .reach import Reach, reach_words
from .report_tables import RESTS_M, Cell, landing_cell, table
from .sleeve_air import SleeveAir, SleeveHang
from .sleeve_room import STATIONS, SleeveRoom, Station
from .telling import Telling
from .worn import Seat, Worn

__all__ = ["figures_table"]


def figures_table(outcomes: Sequence[Outcome], tell: Telling) -> str:
    """Every measure of every variant."""
    fits = [one.fit for one in outcomes]
    rows: list[tuple[str, list[Cell]]] = [
        ("Length", []),
        ("Hem over the floor, lowest", [(tell.length(f.hem.lowest_m), "") for f in fits]),
        ("Hem over the floor, highest", [(tell.length(f.hem.highest_m), "") for f in fits]),
        ("Right side", [landing_cell(f.hem.right_side, tell) for f in fits]),
        ("Centre front, right", [landing_cell(f.hem.front_right, tell) for f in fits]),
        ("Below the back neck point", [_below_neck(f.back, tell) for f in fits]),
        (
            "Centre back, neck edge to hem",
            [
                (
                    f"{tell.length(f.back.drop_m)} straight down",
                    f"{tell.small(f.back.along_cloth_m)} along the hanging cloth, "
                    f"{tell.small(f.back.flat_m)} flat",
                )
                for f in fits
            ],
        ),
        ("Where the length goes, behind", [_hung(f.hung["back"], tell) for f in fits]),
        ("Where the length goes, in front", [_hung(f.hung["front"], tell) for f in fits]),
        ("Does one sit on it?", [_seat(f.worn.seat, tell) for f in fits]),
        ("Left sleeve", []),
        ("Opening, all round", [(tell.length(f.sleeves["left"].opening_m), "") for f in fits]),
        *(_room_row(station, outcomes, tell) for station in STATIONS),
        (
            "Rounded corner below the armpit",
            [(tell.length(f.sleeves["left"].underarm_below_armpit_m), "") for f in fits],
        ),
        ("Air in it", [_air(f.sleeves["left"].air, tell) for f in fits]),
        *_reaches(outcomes),
        ("Hangs below a level forearm", [_hang(f.sleeves["left"].hang, tell) for f in fits]),
        ("Body", []),
        *((f"Ease at the {level}", [_ease(f.ease[level], tell) for f in fits]) for level in LEVELS),
        ("The same sitting down", [_sitting(f.ease, tell) for f in fits]),
        ("Neck edge off the skin", [_neck(f.worn, tell) for f in fits]),
        ("Pile and weight", []),
        (
            "Outside stands off the skin",
            [(tell.small(f.stand_off.outer_face_m), "shoulders and chest") for f in fits],
        ),
        ("Folds along the hem", [_folds(f.folds, tell) for f in fits]),
        ("Outer cloth", [(tell.mass(f.mass.outer_kg), "") for f in fits]),
        ("Lining", [(tell.mass(f.mass.lining_kg), "") for f in fits]),
        ("Carried by neck and shoulders", [_carried(f.worn, tell) for f in fits]),
        ("Folded for the post", [_folded(f.mass, tell) for f in fits]),
    ]
    return table(
        [one.heading for one in outcomes],
        "Measured on the drape; sleeves: the left one.",
        rows,
    )


def _below_neck(back: BackLength, tell: Telling) -> Cell:
    straight = f"{tell.length(back.from_back_neck_point_m)} straight down"
    if back.along_body_m is None:
        return straight, ""
    return straight, f"{tell.length(back.along_body_m)} along the body, as a tape lies"


def _hung(hung: HungLength, tell: Telling) -> Cell:
    """Flat against hung, and what is between."""
    parts = [
        f"{_sign(hung.slid_m, tell)} slid over the shoulder",
        f"{_sign(hung.stretched_m, tell)} by stretch",
        f"{_sign(-hung.over_shoulder_m, tell)} over shoulder and chest",
        f"{_sign(-hung.aslant_m, tell)} aslant and in folds below",
    ]
    return (
        f"{tell.length(hung.flat_m)} flat, {tell.length(hung.drop_m)} straight down",
        f"{', '.join(parts)}; beside the neck, from the shoulder, which with the cloth on it lies "
        f"{tell.length(hung.shoulder_m)} over the floor",
    )


def _sign(value_m: float, tell: Telling) -> str:
    told = tell.small(abs(value_m))
    return told if told == tell.small(0.0) else f"{'+' if value_m > 0 else '−'}{told}"


def _seat(seat: Seat, tell: Telling) -> Cell:
    answer = "yes" if seat.sat_on else "no"
    if seat.under_m2 is not None:
        return answer, f"{tell.about_area(seat.under_m2)} of it lie between body and seat"
    told = tell.length(abs(seat.below_seat_m))
    side = "below" if seat.below_seat_m > 0 else "above"
    where = "at the seat's lower end" if told == tell.length(0.0) else f"{told} {side} the seat"
    return answer, f"an estimate: standing, it ends {where}"


def _air(air: SleeveAir | None, tell: Telling) -> Cell:
    if air is None:
        return "not measured", "no section of the arm lies within the sleeve"
    return tell.volume(air.air_m3), f"over {tell.length(air.length_m)} of the arm"


def _reaches(outcomes: Sequence[Outcome]) -> list[tuple[str, list[Cell]]]:
    """A row, if it was tried for any variant."""
    if all(outcome.reach is None for outcome in outcomes):
        return []
    return [("Arms can be raised", [_reach(outcome.reach) for outcome in outcomes])]


def _reach(reach: Reach | None) -> Cell:
    if reach is None:
        return "not tried", ""
    if reach.degrees is None:
        return reach_words(reach), "before the wrap is pulled up"
    why = "the hem rises by more" if reach.stopped_by == "lift" else "its side is stretched by more"
    return (
        f"{5 * round(reach.degrees / 5)} degrees: {reach_words(reach)}",
        f"forward, 90 is level; beyond it {why} than it should; give or take 10",
    )


def _hang(hang: SleeveHang, tell: Telling) -> Cell:
    how = "measured" if hang.measured else "an estimate: the arm hangs in this pose"
    return tell.length(hang.below_m), how


def _folds(folds: Folds, tell: Telling) -> Cell:
    if not folds.count:
        return "none", ""
    sharp = f"the sharpest bend round {tell.length(folds.sharp_radius_m)} of radius"
    return f"{folds.count}, {tell.small(folds.depth_m)} deep", sharp


def _room_row(
    station: Station, outcomes: Sequence[Outcome], tell: Telling
) -> tuple[str, list[Cell]]:
    def cell(room: SleeveRoom | None) -> Cell:
        if room is None:
            return "not reached", "the sleeve ends before it"
        more = f"{tell.length(room.extra_girth_m)} more than the arm"
        if room.smallest_gap_m < RESTS_M:
            clear = "rests on the arm"
        else:
            clear = f"at least {tell.small(room.smallest_gap_m)} clear of the skin"
        half = f"{tell.small(max(room.median_gap_m, 0.0))} or more half the way round"
        return more, f"{clear}, {half}; taken {room.taken}"

    rooms = [one.fit.sleeves["left"].room[station] for one in outcomes]
    return f"Room at the {station}", [cell(room) for room in rooms]


def _ease(ease: Ease | None, tell: Telling) -> Cell:
    if ease is None:
        return "not reached", "part of the hem hangs above it, or the body leans"
    more = [f"{tell.length(ease.room_m)} inside the pile"]
    gap_m = ease.front_gap_m
    if gap_m is not None and gap_m < 0:
        more.append(f"fronts overlap by {tell.small(-gap_m)}")
    elif gap_m is not None:
        more.append(f"fronts hang {tell.small(gap_m)} apart")
    if ease.taken == "flat":
        more.append("measured flat, under the arms")
    return tell.length(ease.ease_m), "; ".join(more)


def _sitting(eases: Mapping[Level, Ease | None], tell: Telling) -> Cell:
    """What is left of the ease when waist and hip have spread on a seat."""
    told = []
    for level, (least_m, most_m) in SITTING_TAKES_M.items():
        ease = eases[level]
        if ease is not None:
            ends = tell.between(ease.ease_m - most_m, ease.ease_m - least_m)
            told.append(f"{level} {ends}")
    return "; ".join(told) or "not reached", "an estimate: waist and hip spread on a seat"


def _neck(worn: Worn, tell: Telling) -> Cell:
    least = tell.small(max(worn.neck_least_m, 0.0))
    return (
        f"{tell.small(max(worn.neck_median_m, 0.0))} or more half the way round",
        f"{least} at the nearest",
    )


def _carried(worn: Worn, tell: Telling) -> Cell:
    area = tell.about_area(worn.touching_m2)
    return (
        tell.mass(worn.carried_kg),
        f"presses with {tell.pressure(worn.pressure_pa)}, on {area} of shoulders (estimates)",
    )


def _folded(mass: Mass, tell: Telling) -> Cell:
    side = tell.length(mass.folded_m3 ** (1 / 3))
    return tell.volume(mass.folded_m3), f"as a cube {side} a side, lightly pressed; an estimate"

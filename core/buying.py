# SPDX-License-Identifier: GPL-3.0-or-later
"""From a wish to a cut, by the flat measures alone.

The cloth is taken to hang straight down from the back neck point and to run straight from there to
the wrist. Folds, arms and pile move the real hem: what is found here is a first answer, which
`corrected_length_m` mends with a drape's.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from .cut_line import Allowances
from .errors import InputError
from .landing import Landing, land
from .lay import Order, widest_cut_m
from .least_room import bulk_in_sleeve_m
from .pattern import LEAST_LENGTH_M, LEAST_SIDE_M, Cut, fitted
from .phrases import phrase
from .roominess import BODY_CLASSES, SLEEVE_CLASSES, body_class, class_bounds, sleeve_class
from .tape import Measures
from .units import UnitSystem, require_range

__all__ = [
    "HEMS",
    "NICE_M",
    "ROOM",
    "SITTING_EASE_M",
    "SLEEVE_ENDS",
    "SLEEVE_ROOM",
    "FlatFit",
    "Wish",
    "corrected_length_m",
    "flat_fit",
    "levels",
    "rounded_down_m",
    "rounded_up_m",
    "wished_cut",
    "wished_past_wrist_m",
]

HEMS: Mapping[str, str] = MappingProxyType(
    {
        "bust": "the bust line",
        "waist": "the waist",
        "hip": "the fullest hip",
        "crotch": "the crotch",
        "mid-thigh": "mid-thigh",
        "knee": "the knee",
        "calf": "the fullest calf",
        "ankle": "the ankle",
    }
)
"""Where a hem may be wished, and how that level is told."""
SLEEVE_ENDS = ("elbow", "wrist", "knuckles")
ROOM = tuple(name for _, name in BODY_CLASSES[1:])
SLEEVE_ROOM: Mapping[str, str] = MappingProxyType(
    dict(
        zip(
            ("tight", "close", "shirt", "jacket", "coat", "wide"),
            (n for _, n in SLEEVE_CLASSES[1:]),
            strict=True,
        )
    )
)
MOST_EASE_M = 1.0
"""More ease than this is no wish for a wrap."""
_OPEN_CLASS_M = 0.05
"""So far beyond the beginning of a class without an end."""
SITTING_EASE_M = 0.05
"""Least ease at the hip: a hip girth grows by 4 to 7 cm in sitting (trade's figure)."""
STRAIGHTER_M = 0.065
"""How much further down the arm a sleeve ends than the tape's way over shoulder and bent elbow tells:
48 to 83 mm in drapes of four wraps on bodies of 152 to 183 cm, standing, where the hem at the centre
back hung 10 mm lower to 22 mm higher than by flat measures (`python -m tests.bench.flat_measures`)."""
_KNUCKLES_SHARE = 0.56
"""Wrist to knuckles over hand length, as the mannequin has it."""
NICE_M: Mapping[UnitSystem, float] = MappingProxyType({"cm": 0.005, "in": 0.00635})
"""Steps to which a proposed measure of a cut is rounded up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What the maker would like; None leaves a choice as the cut has it.

    Parameters
    ----------
    hem
        A level of `HEMS`, or a height over the floor in metres.
    sleeve_end
        One of `SLEEVE_ENDS`.
    body, sleeve
        Room: one of the words of `ROOM` and `SLEEVE_ROOM`, or metres more than the largest girth and
        than the upper arm.
    draped
        Whether to grant it on drapes instead of by flat measures.
    """

    hem: str | float | None = None
    sleeve_end: str | None = None
    body: str | float | None = None
    sleeve: str | float | None = None
    draped: bool = False

    def __post_init__(self) -> None:
        words = (
            ("hem", self.hem, tuple(HEMS)),
            ("sleeve_end", self.sleeve_end, SLEEVE_ENDS),
            ("body", self.body, ROOM),
            ("sleeve", self.sleeve, tuple(SLEEVE_ROOM)),
        )
        for key, room in (("body", self.body), ("sleeve", self.sleeve)):
            if isinstance(room, float):
                require_range(
                    f"wish.{key}", room, 0.0, MOST_EASE_M, "write how much more than the girth it "
                    "should be round", quantity="length",
                )  # fmt: skip
        for key, word, allowed in words:
            if isinstance(word, str) and word not in allowed:
                raise InputError(
                    f"wish.{key}", f'"{word}"', ", ".join(allowed), "choose one of these words"
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatFit:
    """Where a cut would land by the flat measures: an estimate.

    Attributes
    ----------
    hem
        The sewn hem at the centre back.
    past_wrist_m
        Sewn sleeve end past the wrist, metres; negative: short of it.
    hand_m
        Wrist to knuckles, metres.
    body_ease_m, body_words
        Room round the largest girth, the lining's own thickness and the gap of an open front taken off.
    sleeve_extra_m, sleeve_words
        Room round the upper arm, likewise.
    """

    hem: Landing
    past_wrist_m: float
    hand_m: float
    body_ease_m: float
    body_words: str
    sleeve_extra_m: float
    sleeve_words: str


def levels(measures: Measures) -> dict[str, float]:
    """Heights of the levels over the floor by the name to be read, metres."""
    height = {name: measures.value(f"{name}_height") for name in ("bust", "waist", "hip")}
    height["crotch"] = measures.value("inside_leg_height")
    height["knee"] = measures.value("knee_height")
    height["mid-thigh"] = (height["crotch"] + height["knee"]) / 2
    height["calf"] = measures.value("calf_height")
    height["ankle"] = measures.value("ankle_height")
    named: dict[str, float] = {phrase(words): height[name] for name, words in HEMS.items()}
    return named | {phrase("the floor"): 0.0}


def flat_fit(
    measures: Measures,
    cut: Cut,
    allowances: Allowances,
    outer_thickness_m: float,
    lining_thickness_m: float,
) -> FlatFit:
    """Where a cut would land on a wearer, by flat measures."""
    hem_m = measures.value("back_neck_point_height") - _back_length_m(cut, allowances)
    sleeve_m = cut.wrist_m - allowances.sleeve_end_m - cut.cuff_depth_m
    around_m = 2 * cut.body_width_m - allowances.front_gap_m(cut) - math.pi * lining_thickness_m
    body_m = around_m - measures.largest_girth_m
    inside_m = 2 * cut.sleeve_depth_m - bulk_in_sleeve_m(outer_thickness_m, lining_thickness_m)
    arm_m = inside_m - measures.value("upper_arm_girth")
    return FlatFit(
        hem=land(hem_m, levels(measures)),
        past_wrist_m=sleeve_m - _to_sleeve_end_m(measures, "wrist"),
        hand_m=_KNUCKLES_SHARE * measures.value("hand_length"),
        body_ease_m=body_m,
        body_words=body_class(body_m),
        sleeve_extra_m=arm_m,
        sleeve_words=sleeve_class(arm_m),
    )


def _back_length_m(cut: Cut, allowances: Allowances) -> float:
    """Sewn centre back, from the neck to the hem."""
    return cut.back_m - allowances.hem_m - cut.back_neck_m


def corrected_length_m(cut: Cut, draped_hem_m: float, wished_hem_m: float) -> float:
    """The cut's length that a drape's hem asks for: twice what the hem is off, front and back."""
    return cut.length_m + 2 * (draped_hem_m - wished_hem_m)


def wished_hem_m(measures: Measures, wish: Wish) -> float | None:
    """Height over the floor of the wished hem, metres."""
    if wish.hem is None or isinstance(wish.hem, float):
        return wish.hem
    return levels(measures)[HEMS[wish.hem]]


def wished_past_wrist_m(measures: Measures, wish: Wish) -> float | None:
    """Wished sleeve end past the wrist, metres; None without such a wish."""
    if wish.sleeve_end is None:
        return None
    wrist_m = _to_sleeve_end_m(measures, "wrist")
    return _to_sleeve_end_m(measures, wish.sleeve_end) - wrist_m


def rounded_up_m(value_m: float, units: UnitSystem) -> float:
    """A length in the steps of a proposed measure, no less than this, metres."""
    return NICE_M[units] * math.ceil(value_m / NICE_M[units] - 1e-6)


def rounded_down_m(value_m: float, units: UnitSystem) -> float:
    """The same, no more than this, metres."""
    return NICE_M[units] * math.floor(value_m / NICE_M[units] + 1e-6)


def wished_cut(measures: Measures, order: Order, wish: Wish, units: UnitSystem) -> Cut:
    """The smallest cut in round numbers that grants the wish, its sleeves as far as the bolts reach.

    Raises
    ------
    InputError
        No such wrap can be cut.
    """

    def up(value_m: float) -> float:
        return rounded_up_m(value_m, units)

    allowances = order.allowances
    outer_m, lining_m = (choice.cloth().thickness_m for choice in (order.outer, order.lining))
    changes: dict[str, Any] = {}
    if wish.body is not None:
        around_m = _wished_round_m(measures, wish.body)
        gap_m = allowances.front_gap_m(order.cut)
        changes["body_width_m"] = up((around_m + gap_m + math.pi * lining_m) / 2)
    if wish.sleeve is not None:
        if isinstance(wish.sleeve, float):
            ease_m = wish.sleeve
        else:
            ease_m = _ease_m(dict(_bounds(SLEEVE_CLASSES))[SLEEVE_ROOM[wish.sleeve]])
        fall_m = order.cut.shoulder_fall_m(order.cut.body_width_m / 2)
        inside_m = measures.value("upper_arm_girth") + ease_m
        depth_m = (inside_m + bulk_in_sleeve_m(outer_m, lining_m)) / 2
        changes["sleeve_drop_m"] = up(depth_m + fall_m)
    if wish.sleeve_end is not None:
        cut = order.cut
        beyond_m = allowances.sleeve_end_m + cut.cuff_depth_m + cut.sleeve_shortened_m
        changes["cloth_width_m"] = min(
            up(2 * (_to_sleeve_end_m(measures, wish.sleeve_end) + beyond_m)),
            rounded_down_m(widest_cut_m(order), units),
        )
    hem_m = wished_hem_m(measures, wish)
    if hem_m is not None:
        top_m = measures.value("back_neck_point_height")
        # half the length, and what the back is longer, less the sewn centre back
        kept_m = allowances.hem_m + order.cut.back_neck_m - order.cut.back_longer_m / 2
        drop_m = changes.get("sleeve_drop_m", order.cut.sleeve_drop_m)
        require_range(
            "wish.hem",
            hem_m,
            0.0,
            top_m + kept_m - max(drop_m + LEAST_SIDE_M, LEAST_LENGTH_M / 2),
            "wish the hem between the floor and a hand below the sleeves",
            quantity="length",
        )
        changes["length_m"] = up(2 * (top_m - hem_m + kept_m))
    return fitted(order.cut, **changes)


def _wished_round_m(measures: Measures, room: str | float) -> float:
    """How far round inside the body part should be, room to sit included."""
    girth = {level: measures.value(f"{level}_girth") for level in ("bust", "waist", "hip")}
    if isinstance(room, float):
        return max(max(girth.values()) + room, girth["hip"] + SITTING_EASE_M)
    ease_m = _ease_m(dict(_bounds(BODY_CLASSES))[room])
    sitting_m = max(SITTING_EASE_M, ease_m / 2)
    return max(girth["bust"] + ease_m, girth["waist"] + ease_m, girth["hip"] + sitting_m)


def _bounds(
    classes: tuple[tuple[float, str], ...],
) -> list[tuple[str, tuple[float, float | None]]]:
    return [(name, (low or 0.0, high)) for low, high, name in class_bounds(classes)]


def _ease_m(bounds: tuple[float, float | None]) -> float:
    low_m, high_m = bounds
    return low_m + _OPEN_CLASS_M if high_m is None else (low_m + high_m) / 2


def _to_sleeve_end_m(measures: Measures, end: str) -> float:
    """How far a sleeve reaches from the centre that ends there, metres."""
    wrist_m = measures.value("back_neck_point_to_wrist") - STRAIGHTER_M
    if end == "elbow":
        return wrist_m - measures.value("elbow_to_wrist")
    if end == "knuckles":
        return wrist_m + _KNUCKLES_SHARE * measures.value("hand_length")
    return wrist_m

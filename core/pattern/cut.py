# SPDX-License-Identifier: GPL-3.0-or-later
"""The cut: a maker's choices, each checked against what the others leave room for."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from ..errors import InputError
from ..nap import NapDown
from ..units import require_range

__all__ = [
    "LEAST_LENGTH_M",
    "LEAST_SIDE_M",
    "LEAST_SLEEVE_M",
    "Corner",
    "Cut",
    "Front",
    "Neck",
    "Shoulder",
    "fitted",
    "largest_overlap_m",
]

# Least sizes that can be sewn and turned, in metres: a sleeve or side shorter than this is a bulge
LEAST_SLEEVE_M = 0.05
LEAST_SIDE_M = 0.05
LEAST_SHOULDER_M = 0.05
LEAST_LENGTH_M = 0.6
LEAST_CORNER_M = 0.01
LEAST_OPENING_M = 0.12
"""No sleeve end is smaller: a child's hand goes through."""
CUFF_BEYOND_M = 0.02
"""A sleeve is straight so far beyond what its turned-back cuff covers."""
STRAIGHT_END_M = 0.05
"""A sleeve that narrows is straight so far from its cut edge: the widest allowance."""
MOST_TAPER = math.tan(math.radians(45))
"""How steeply a sleeve may narrow, or a side flare: beyond, seams pull on the bias."""
MOST_OVERLAP = 0.8
"""Share of the neck's width by which fronts may overlap."""
LEAST_FRONT_CORNER = math.radians(40)
"""No sharper corner between neckline and front edge can be turned."""


class Neck(StrEnum):
    """Named necklines, by what lies in front of the shoulder line and behind it."""

    ROUND = "round"
    OVAL = "oval"
    V = "V"
    HIGH_BACK = "high back"


class Front(StrEnum):
    """How the two fronts meet."""

    EDGE_TO_EDGE = "edge to edge"
    OVERLAPPING = "overlapping"
    CLOSED = "closed"


class Corner(StrEnum):
    """How side and underarm meet under the arm."""

    ROUND = "round"
    DIAGONAL = "diagonal"
    SQUARE = "square"


class Shoulder(StrEnum):
    """Whether front and back are one length of cloth."""

    ON_THE_FOLD = "on the fold"
    SEAMED = "seamed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The choices that make the flat pattern, all lengths in metres.

    Parameters
    ----------
    cloth_width_m
        Usable width of the cloth, wrist to wrist.
    length_m
        Bought length: front and back together, from hem to hem over the shoulders.
    body_width_m
        Full flat width of the body part under the arms, side seam to side seam.
    sleeve_drop_m
        Depth under the shoulder line at which side and underarm meet; the flat circumference of a
        straight sleeve is twice this.
    corner, corner_radius_m
        The inner corner under the arm, and how large it is: the radius of a round one, how far from
        the corner a diagonal one begins. A square one has no size.
    neck, neck_width_m, neck_front_depth_m, neck_back_depth_m
        Neckline: its style, full width on the shoulder line, depth in front and behind. A high back
        runs straight along the shoulder line behind.
    neck_ease_m
        By how much the neckline is longer than the wearer's neck base, where its width was chosen
        so; None where the width was chosen.
    front, front_overlap_m
        How the fronts meet; by how much they lie on one another where they overlap.
    shoulder, shoulder_drop_m
        Whether the shoulders are folded or seamed; how far a seam falls from neck to sleeve end.
    wrist_opening_m
        Flat circumference of the sleeve end, where it is sewn; None for a straight sleeve.
    sleeve_shortened_m
        By how much each sleeve ends before the edge of the cloth.
    cuff_depth_m
        How much of the sleeve is turned back to the outside, 0 for none.
    hem_curve_m
        How far the hem rises from its middle to the side seams.
    back_longer_m
        By how much the back hangs lower than the front, in the middle.
    side_flare_m
        By how much each side is wider at the hem than under the arm.
    side_split_m
        How far the side seams are left open from the hem up.
    nap
        Down which half the nap strokes smooth, in both layers.

    Raises
    ------
    RangeError
        A length is outside what can be cut, with the range that the other choices leave.
    InputError
        Two choices do not go together.
    """

    cloth_width_m: float
    length_m: float
    body_width_m: float
    sleeve_drop_m: float
    corner: Corner = Corner.ROUND
    corner_radius_m: float = 0.10
    neck: Neck = Neck.ROUND
    neck_width_m: float = 0.18
    neck_front_depth_m: float = 0.09
    neck_back_depth_m: float = 0.025
    neck_ease_m: float | None = None
    front: Front = Front.EDGE_TO_EDGE
    front_overlap_m: float = 0.12
    shoulder: Shoulder = Shoulder.ON_THE_FOLD
    shoulder_drop_m: float = 0.0
    wrist_opening_m: float | None = None
    sleeve_shortened_m: float = 0.0
    cuff_depth_m: float = 0.0
    hem_curve_m: float = 0.0
    back_longer_m: float = 0.0
    side_flare_m: float = 0.0
    side_split_m: float = 0.0
    nap: NapDown = NapDown.IN_FRONT

    def __post_init__(self) -> None:
        if self.front is Front.OVERLAPPING and not self.seamed:
            raise InputError(
                "cut.front",
                f'"{self.front}"',
                f'"{Front.EDGE_TO_EDGE}" or "{Front.CLOSED}" with the shoulders on the fold',
                f'write shoulder = "{Shoulder.SEAMED}" beside it: two fronts wider than half do not '
                "come out of one folded length",
            )
        # in this order each range only uses values that have passed
        for name, low_m, high_m, remedy in self._ranges():
            value_m: float = getattr(self, f"{name}_m")
            # nothing of what may be left out is always allowed
            most_m = high_m if low_m else max(high_m, 0.0)
            require_range(f"cut.{name}", value_m, low_m, most_m, remedy, quantity="length")

    @property
    def limits(self) -> dict[str, tuple[float, float]]:
        """Least and greatest of each length, as the other choices leave it, by its name, metres."""
        return {
            name: (low_m, high_m if low_m else max(high_m, 0.0))
            for name, low_m, high_m, _ in self._ranges()
        }

    def _ranges(self) -> Iterator[tuple[str, float, float, str]]:
        """Name, least, greatest and remedy of each length."""
        yield "cloth_width", 0.6, 3.2, "write the usable width of the bolt"
        yield "length", LEAST_LENGTH_M, 4.0, "write the length you would buy, before folding"
        yield (
            "body_width",
            0.3,
            self.cloth_width_m - 2 * LEAST_SLEEVE_M,
            "keep the body narrower than the cloth, so that a sleeve is left on each side",
        )
        yield (
            "sleeve_shortened",
            0.0,
            (self.cloth_width_m - self.body_width_m) / 2 - LEAST_SLEEVE_M,
            "leave some sleeve beside the body",
        )
        yield (
            "back_longer",
            0.0,
            min(0.5, self.length_m - LEAST_LENGTH_M),
            "keep the front long enough to be a front, or buy a longer piece",
        )
        yield (
            "hem_curve",
            0.0,
            min(0.25, self.front_m / 2 - LEAST_SIDE_M),
            "let the hem rise less towards the sides",
        )
        yield (
            "sleeve_drop",
            0.08,
            self.side_end_m - LEAST_SIDE_M,
            "make the sleeve deep enough for an arm, and less deep than half the length",
        )
        yield from self._shoulder_and_sleeve_ranges()
        yield (
            "side_flare",
            0.0,
            min(self.sleeve_m, MOST_TAPER * (self.side_end_m - self.sleeve_drop_m)),
            "keep the flared hem inside the width of the cloth",
        )
        yield (
            "side_split",
            0.0,
            self.side_end_m - self.sleeve_drop_m - LEAST_SIDE_M,
            "leave some of the side seam sewn under the arm",
        )
        if self.corner is not Corner.SQUARE:
            yield (
                "corner_radius",
                LEAST_CORNER_M,
                self.largest_corner_m,
                "make the corner small enough for the sleeve and the side that it joins",
            )
        yield from self._neck_ranges()

    def _shoulder_and_sleeve_ranges(self) -> Iterator[tuple[str, float, float, str]]:
        yield (
            "shoulder_drop",
            0.0,
            min(0.3, self.sleeve_drop_m / 2) if self.seamed else 0.0,
            "keep the slope of the shoulder under half the sleeve drop"
            if self.seamed
            else f'a fold is straight: write shoulder = "{Shoulder.SEAMED}" for a shoulder that slopes',
        )
        yield (
            "cuff_depth",
            0.0,
            (self.sleeve_m - CUFF_BEYOND_M - LEAST_SLEEVE_M) / 2,
            "a turned-back cuff covers as much sleeve again: make it less deep, or the sleeve longer",
        )
        if self.wrist_opening_m is not None:
            depth_m = self.sleeve_depth_m
            taper_m = MOST_TAPER * (self.sleeve_m - self.straight_end_m)
            yield (
                "wrist_opening",
                max(LEAST_OPENING_M, 2 * (depth_m - taper_m)),
                2 * depth_m,
                "a sleeve narrows from the body to the wrist: choose less than twice the sleeve drop, "
                "and enough for the hand",
            )

    def _neck_ranges(self) -> Iterator[tuple[str, float, float, str]]:
        yield (
            "neck_width",
            0.10,
            min(0.40, self.body_width_m - 2 * LEAST_SHOULDER_M),
            "keep the neck opening narrower than the body, so that it rests on the shoulders",
        )
        yield (
            "neck_front_depth",
            0.02,
            min(0.40, (self.side_end_m - LEAST_SIDE_M) / self._neck_goes_down),
            "keep the neck opening above the hem",
        )
        yield (
            "neck_back_depth",
            0.01,
            min(0.20, self.side_end_m - LEAST_SIDE_M),
            "keep the back neck shallow, so that the wrap stays on the shoulders",
        )
        if self.front is Front.OVERLAPPING:
            yield (
                "front_overlap",
                0.02,
                largest_overlap_m(self.neck, self.neck_width_m, self.neck_front_depth_m),
                "keep the overlap narrower than the neck opening, and narrower still under a deep "
                "neck, whose edge would rise to a point at the front edge",
            )

    @property
    def _neck_goes_down(self) -> float:
        """Depth of the front neck at its lowest point, as a share of its depth at the centre."""
        beyond = self.front is Front.OVERLAPPING and self.neck is Neck.V
        return 1 + MOST_OVERLAP if beyond else 1.0

    @property
    def seamed(self) -> bool:
        """Whether front and back are cut apart and joined on the shoulders."""
        return self.shoulder is Shoulder.SEAMED

    @property
    def overlap_half_m(self) -> float:
        """How far each front reaches beyond the centre line, metres."""
        return self.front_overlap_m / 2 if self.front is Front.OVERLAPPING else 0.0

    @property
    def wrist_m(self) -> float:
        """From the centre line to the edge of the cloth at the sleeve end, metres."""
        return self.cloth_width_m / 2 - self.sleeve_shortened_m

    @property
    def sleeve_m(self) -> float:
        """From the side line under the arm to the edge of the cloth at the sleeve end, metres."""
        return (self.cloth_width_m - self.body_width_m) / 2 - self.sleeve_shortened_m

    @property
    def front_m(self) -> float:
        """From the shoulder line to the edge of the cloth at the hem, centre front, metres."""
        return (self.length_m - self.back_longer_m) / 2

    @property
    def back_m(self) -> float:
        """From the shoulder line to the edge of the cloth at the hem, centre back, metres."""
        return (self.length_m + self.back_longer_m) / 2

    @property
    def side_end_m(self) -> float:
        """From the shoulder line down to the hem at the side seams, front and back alike, metres."""
        return self.front_m - self.hem_curve_m

    @property
    def hem_side_m(self) -> float:
        """From the centre line to the side seam at the hem, metres."""
        return self.body_width_m / 2 + self.side_flare_m

    @property
    def back_neck_m(self) -> float:
        """Depth of the neckline behind the shoulder line, metres."""
        return 0.0 if self.neck is Neck.HIGH_BACK else self.neck_back_depth_m

    def half_width_m(self, depth_m: float) -> float:
        """From the centre line to the side so far under the shoulder line, metres."""
        across_m, down_m = self.side_run
        share = min(max((depth_m - self.sleeve_drop_m) / down_m, 0.0), 1.0)
        return self.body_width_m / 2 + share * across_m

    def shoulder_fall_m(self, across_m: float) -> float:
        """How far the shoulder line lies under the neck's height at a distance from the centre."""
        neck_m = self.neck_width_m / 2
        return self.shoulder_drop_m * (across_m - neck_m) / (self.wrist_m - neck_m)

    @property
    def sleeve_depth_m(self) -> float:
        """Half the sleeve's flat circumference at the body: the drop less what the shoulder falls."""
        return self.sleeve_drop_m - self.shoulder_fall_m(self.body_width_m / 2)

    @property
    def sleeve_opening_m(self) -> float:
        """Flat circumference of the sleeve end, metres."""
        if self.wrist_opening_m is None:
            return 2 * self.sleeve_depth_m
        return self.wrist_opening_m

    @property
    def sleeve_end_m(self) -> float:
        """Depth of the underarm at the sleeve end under the neck's height, metres."""
        return self.shoulder_drop_m + self.sleeve_opening_m / 2

    @property
    def straight_end_m(self) -> float:
        """How much of the sleeve is straight at its end, metres.

        A cuff turns back over it; of a sleeve that narrows, so that it is as wide where it is sewn as
        at its cut edge.
        """
        if self.cuff_depth_m:
            return 2 * self.cuff_depth_m + CUFF_BEYOND_M
        narrows = self.wrist_opening_m is not None
        return min(STRAIGHT_END_M, self.sleeve_m / 2) if narrows else 0.0

    @property
    def underarm_run(self) -> tuple[float, float]:
        """From the corner under the arm outwards and down to where the sleeve is straight, metres."""
        across_m = self.sleeve_m - self.straight_end_m
        end_m = self.wrist_m - self.straight_end_m
        fall_m = self.shoulder_fall_m(end_m) + self.sleeve_opening_m / 2 - self.sleeve_drop_m
        return across_m, fall_m

    @property
    def side_run(self) -> tuple[float, float]:
        """From the corner under the arm outwards and down to the hem, metres."""
        return self.side_flare_m, self.side_end_m - self.sleeve_drop_m

    @property
    def corner_half_tangent(self) -> float:
        """Tangent of half the angle in which side and underarm meet: 1 for a right angle."""
        (ax, ay), (bx, by) = self.side_run, self.underarm_run
        cosine = (ax * bx + ay * by) / (math.hypot(ax, ay) * math.hypot(bx, by))
        return math.sqrt((1 - cosine) / (1 + cosine))

    @property
    def largest_corner_m(self) -> float:
        """The largest corner for which side and underarm have room, metres."""
        split_m = self.side_split_m * math.hypot(*self.side_run) / self.side_run[1]
        along_m = min(math.hypot(*self.side_run) - split_m, math.hypot(*self.underarm_run))
        return along_m * (1.0 if self.corner is Corner.DIAGONAL else self.corner_half_tangent)


def largest_overlap_m(neck: Neck, width_m: float, front_depth_m: float) -> float:
    """By how much fronts may overlap under a neck of this width and depth, metres.

    Beyond the centre a V goes on down; a curve rises, and more steeply the deeper the neck is. The
    slope is an ellipse's; an oval is flatter as far out as fronts may reach.
    """
    share = MOST_OVERLAP
    if neck is not Neck.V:
        slope = width_m / (2 * front_depth_m * math.tan(LEAST_FRONT_CORNER))
        share = min(share, slope / math.hypot(1.0, slope))
    return share * width_m


def fitted(cut: Cut, **changes: Any) -> Cut:
    """The cut with these changes, its corner no larger than they leave room for.

    Raises
    ------
    RangeError
        There is no such cut.
    """
    wanted: dict[str, Any] = {"corner": cut.corner, "corner_radius_m": cut.corner_radius_m}
    wanted |= changes
    probe = replace(cut, **changes | {"corner": Corner.SQUARE})
    probe = replace(probe, corner=wanted["corner"], corner_radius_m=LEAST_CORNER_M)
    size_m = min(wanted["corner_radius_m"], probe.largest_corner_m)
    return replace(probe, corner_radius_m=size_m)

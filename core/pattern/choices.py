# SPDX-License-Identifier: GPL-3.0-or-later
"""A maker's choices and what follows from them, whether or not they go together."""

import math
from dataclasses import dataclass
from enum import StrEnum

from ..nap import NapDown

__all__ = ["CUFF_BEYOND_M", "Choices", "Corner", "Front", "Neck", "Shoulder"]

CUFF_BEYOND_M = 0.02
"""A sleeve is straight so far beyond what its turned-back cuff covers."""
STRAIGHT_END_M = 0.05
"""A sleeve that narrows is straight so far from its cut edge: the widest allowance."""


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
class Choices:
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

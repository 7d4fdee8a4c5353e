# SPDX-License-Identifier: GPL-3.0-or-later
"""Hem, side, corner and sleeve of one half of the outline, on the wearer's left, v turned to negative.

This is the one place that knows how side and underarm meet.
"""

import math

from .choices import Corner
from .curves import Arc, Cubic, Line, Piece, Point
from .cut import Cut

__all__ = ["hem_pieces", "sleeve_end_pieces", "split_pieces", "underarm_pieces"]

NOTHING_M = 1e-9
HEM_SHARE = 0.5
"""How far the handles of a curved hem reach from the middle and from the side."""


def hem_pieces(cut: Cut, *, front: bool) -> tuple[Piece, ...]:
    """From the centre, or the edge of an overlapping front, to the side seam."""
    centre_m = cut.front_m if front else cut.back_m
    begins = (0.0, -centre_m)
    ends = (cut.hem_side_m, -cut.side_end_m)
    edge = (-cut.overlap_half_m, -centre_m) if front else begins
    if centre_m - cut.side_end_m < NOTHING_M:
        return (Line(start=edge, end=ends),)
    reach_m = HEM_SHARE * cut.hem_side_m
    curve = Cubic(
        start=begins,
        first=(reach_m, begins[1]),
        last=(ends[0] - reach_m, ends[1]),
        end=ends,
    )
    return (curve,) if edge == begins else (Line(start=edge, end=begins), curve)


def split_pieces(cut: Cut) -> tuple[Piece, ...]:
    """The open part of the side, from the hem up; nothing where the side is sewn down to the hem."""
    if cut.side_split_m < NOTHING_M:
        return ()
    return (Line(start=(cut.hem_side_m, -cut.side_end_m), end=_side_at(cut, _split_end_m(cut))),)


def underarm_pieces(cut: Cut) -> tuple[Piece, ...]:
    """The seam from the hem, or from the end of the split, round the corner to the sleeve end."""
    bottom = _side_at(cut, _split_end_m(cut))
    corner = (cut.body_width_m / 2, -cut.sleeve_drop_m)
    end = (cut.wrist_m, -cut.sleeve_end_m)
    straight_from = (
        (cut.wrist_m - cut.straight_end_m, corner[1] - cut.underarm_run[1])
        if cut.straight_end_m
        else end
    )
    down, out = _along(cut.side_run), _along(cut.underarm_run)
    size_m = cut.corner_radius_m
    reach_m = size_m if cut.corner is Corner.DIAGONAL else size_m / cut.corner_half_tangent
    low = _moved(corner, down, reach_m)
    high = _moved(corner, out, reach_m)
    if cut.corner is Corner.SQUARE:
        turn: tuple[Piece, ...] = ()
        low = high = corner
    else:
        # no crumbs where the corner takes up the whole side or the whole sleeve
        low = bottom if math.dist(low, bottom) < NOTHING_M else low
        high = straight_from if math.dist(high, straight_from) < NOTHING_M else high
        turn = (
            (Line(start=low, end=high),)
            if cut.corner is Corner.DIAGONAL
            else (_rounding(cut, low, high, down),)
        )
    straights = ((bottom, low), (high, straight_from), (straight_from, end))
    side, under, cuff = (
        (Line(start=start, end=stop),) if start != stop else () for start, stop in straights
    )
    return (*side, *turn, *under, *cuff)


def sleeve_end_pieces(cut: Cut) -> tuple[Piece, ...]:
    """From the underarm up to the shoulder line."""
    return (
        Line(start=(cut.wrist_m, -cut.sleeve_end_m), end=(cut.wrist_m, -cut.shoulder_drop_m + 0.0)),
    )


def _split_end_m(cut: Cut) -> float:
    return cut.side_end_m - cut.side_split_m


def _side_at(cut: Cut, depth_m: float) -> Point:
    """The place on the side line so far under the shoulder line."""
    across_m, down_m = cut.side_run
    share = (depth_m - cut.sleeve_drop_m) / down_m
    return cut.body_width_m / 2 + share * across_m, -depth_m


def _along(run: tuple[float, float]) -> Point:
    """Unit vector of a run outwards and down."""
    length = math.hypot(*run)
    return run[0] / length, -run[1] / length + 0.0


def _moved(point: Point, along: Point, distance_m: float) -> Point:
    return point[0] + distance_m * along[0], point[1] + distance_m * along[1]


def _rounding(cut: Cut, low: Point, high: Point, down: Point) -> Arc:
    """The circle that side and underarm run into, walked from the side up to the sleeve."""
    radius_m = cut.corner_radius_m
    # the centre lies beside the side line, outwards
    outward = (-down[1], down[0])
    centre = _moved(low, outward, radius_m)
    start = math.atan2(-outward[1] + 0.0, -outward[0])
    turn = math.pi - 2 * math.atan(cut.corner_half_tangent)
    return Arc(
        centre=centre,
        radius_x_m=radius_m,
        radius_v_m=radius_m,
        start_angle=start,
        end_angle=start - turn,
        start=low,
        end=high,
    )

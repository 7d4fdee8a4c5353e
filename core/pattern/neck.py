# SPDX-License-Identifier: GPL-3.0-or-later
"""The neckline: one half of it in front or behind, from the shoulder line to the centre and beyond."""

import math
from collections.abc import Collection
from dataclasses import replace

from ..units import require_range
from .choices import Neck
from .curves import Arc, Cubic, Line, Piece, Point, until_across
from .cut import Cut
from .ranges import LEAST_SHOULDER_M, largest_overlap_m

__all__ = ["HEAD_EASE_M", "neck_length_m", "neck_pieces", "sized_to_head", "sized_to_neck"]

HEAD_EASE_M = 0.02
"""A sewn neckline is so much longer than the girth of the head that goes through it."""
OVAL_SHARE = 0.8
"""How far the handles of an oval's curve reach; 0.552 would be a quarter of an ellipse."""


def neck_pieces(cut: Cut, *, front: bool) -> tuple[Piece, ...]:
    """From the shoulder line to the centre, v turned to negative behind too; on the wearer's left.

    An overlapping front goes on beyond the centre: the curve as its own mirror image, a V straight on.
    """
    width_m, depth_m = cut.neck_width_m / 2, cut.neck_front_depth_m if front else cut.back_neck_m
    start, centre = (width_m, 0.0), (0.0, -depth_m)
    beyond_m = cut.overlap_half_m if front else 0.0
    if depth_m == 0 or (front and cut.neck is Neck.V):
        half: Piece = Line(start=start, end=centre)
    elif cut.neck is Neck.OVAL:
        half = Cubic(
            start=start,
            first=(width_m, -OVAL_SHARE * depth_m),
            last=(OVAL_SHARE * width_m, -depth_m),
            end=centre,
        )
    else:
        half = _quarter(width_m, depth_m, 0.0, -math.pi / 2, start, centre)
    return (half, _beyond(half, beyond_m)) if beyond_m else (half,)


def _quarter(
    width_m: float, depth_m: float, start_angle: float, end_angle: float, start: Point, end: Point
) -> Arc:
    return Arc(
        centre=(0.0, 0.0),
        radius_x_m=width_m,
        radius_v_m=depth_m,
        start_angle=start_angle,
        end_angle=end_angle,
        start=start,
        end=end,
    )


def _beyond(half: Piece, beyond_m: float) -> Piece:
    """The neckline from the centre to the edge of an overlapping front."""
    (width_m, _), (_, low) = half.start, half.end
    if isinstance(half, Line):
        end = (-beyond_m, low * (1 + beyond_m / width_m))
        return Line(start=half.end, end=end)
    if isinstance(half, Cubic):
        return until_across(half.mirrored(-1, 1).reversed(), -beyond_m)
    angle = -math.pi / 2 - math.asin(beyond_m / width_m)
    end = (-beyond_m, half.radius_v_m * math.sin(angle))
    return _quarter(width_m, half.radius_v_m, -math.pi / 2, angle, half.end, end)


def neck_length_m(cut: Cut) -> float:
    """Length of the whole neckline round the neck, overlaps left out, metres."""
    halves = (neck_pieces(cut, front=front)[0] for front in (True, False))
    return 2 * math.fsum(half.length_m for half in halves)


def sized_to_neck(cut: Cut, neck_base_girth_m: float) -> Cut:
    """The cut with the neck as wide as its ease over the wearer's neck base asks for.

    Raises
    ------
    RangeError
        No neck between the least and the greatest width is as long as that.
    """
    if cut.neck_ease_m is None:
        return cut
    low_m, high_m = 0.10, min(0.40, cut.body_width_m - 2 * LEAST_SHOULDER_M)

    def wide(width_m: float) -> Cut:
        most_m = largest_overlap_m(cut.neck, width_m, cut.neck_front_depth_m)
        overlap_m = min(cut.front_overlap_m, most_m)
        return replace(cut, neck_width_m=width_m, front_overlap_m=overlap_m)

    shortest_m, longest_m = (neck_length_m(wide(width_m)) for width_m in (low_m, high_m))
    require_range(
        "cut.neck_ease",
        cut.neck_ease_m,
        shortest_m - neck_base_girth_m,
        longest_m - neck_base_girth_m,
        "the neck's width follows from its length and its depths: choose another ease, or change "
        "neck_front_depth",
        quantity="length",
    )
    # the length grows with the width
    for _ in range(50):
        middle_m = (low_m + high_m) / 2
        if neck_length_m(wide(middle_m)) < neck_base_girth_m + cut.neck_ease_m:
            low_m = middle_m
        else:
            high_m = middle_m
    return replace(cut, neck_width_m=high_m)


def sized_to_head(cut: Cut, head_girth_m: float, grows: Collection[str]) -> Cut:
    """The cut with a neck through which a head goes.

    What ``grows`` (of the fields ``neck_width_m`` and ``neck_front_depth_m``) grows in proportion, to
    whole millimetres and no farther than the rest of the cut leaves room for.
    """
    most_m = {name: cut.limits[name.removesuffix("_m")][1] for name in grows}

    def grown(share: float) -> Cut:
        lengths = {
            name: math.ceil(1000 * share * getattr(cut, name) - 1e-6) / 1000 for name in grows
        }
        return replace(cut, **{name: min(lengths[name], most_m[name]) for name in grows})

    least, most = 1.0, max((most_m[name] / getattr(cut, name) for name in grows), default=1.0)
    if neck_length_m(cut) >= head_girth_m + HEAD_EASE_M:
        return cut
    for _ in range(40):
        middle = (least + most) / 2
        if neck_length_m(grown(middle)) < head_girth_m + HEAD_EASE_M:
            least = middle
        else:
            most = middle
    return grown(most)

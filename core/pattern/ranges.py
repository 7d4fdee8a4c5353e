# SPDX-License-Identifier: GPL-3.0-or-later
"""What each length of a cut may be, as the others leave it."""

import math
from collections.abc import Iterator

from .choices import CUFF_BEYOND_M, Choices, Corner, Front, Neck, Shoulder

__all__ = [
    "LEAST_CORNER_M",
    "LEAST_LENGTH_M",
    "LEAST_SHOULDER_M",
    "LEAST_SIDE_M",
    "LEAST_SLEEVE_M",
    "largest_overlap_m",
    "ranges",
]

# Least sizes that can be sewn and turned, in metres: a sleeve or side shorter than this is a bulge
LEAST_SLEEVE_M = 0.05
LEAST_SIDE_M = 0.05
LEAST_SHOULDER_M = 0.05
LEAST_LENGTH_M = 0.6
LEAST_CORNER_M = 0.01
LEAST_OPENING_M = 0.12
"""No sleeve end is smaller: a child's hand goes through."""
MOST_TAPER = math.tan(math.radians(45))
"""How steeply a sleeve may narrow, or a side flare: beyond, seams pull on the bias."""
MOST_OVERLAP = 0.8
"""Share of the neck's width by which fronts may overlap."""
LEAST_FRONT_CORNER = math.radians(40)
"""No sharper corner between neckline and front edge can be turned."""


def ranges(cut: Choices) -> Iterator[tuple[str, float, float, str]]:
    """Name, least, greatest and remedy of each length."""
    yield "cloth_width", 0.6, 3.2, "write the usable width of the bolt"
    yield "length", LEAST_LENGTH_M, 4.0, "write the length you would buy, before folding"
    yield (
        "body_width",
        0.3,
        cut.cloth_width_m - 2 * LEAST_SLEEVE_M,
        "keep the body narrower than the cloth, so that a sleeve is left on each side",
    )
    yield (
        "sleeve_shortened",
        0.0,
        (cut.cloth_width_m - cut.body_width_m) / 2 - LEAST_SLEEVE_M,
        "leave some sleeve beside the body",
    )
    yield (
        "back_longer",
        0.0,
        min(0.5, cut.length_m - LEAST_LENGTH_M),
        "keep the front long enough to be a front, or buy a longer piece",
    )
    yield (
        "hem_curve",
        0.0,
        min(0.25, cut.front_m / 2 - LEAST_SIDE_M),
        "let the hem rise less towards the sides",
    )
    yield (
        "sleeve_drop",
        0.08,
        cut.side_end_m - LEAST_SIDE_M,
        "make the sleeve deep enough for an arm, and less deep than half the length",
    )
    yield from _shoulder_and_sleeve_ranges(cut)
    yield (
        "side_flare",
        0.0,
        min(cut.sleeve_m, MOST_TAPER * (cut.side_end_m - cut.sleeve_drop_m)),
        "keep the flared hem inside the width of the cloth",
    )
    yield (
        "side_split",
        0.0,
        cut.side_end_m - cut.sleeve_drop_m - LEAST_SIDE_M,
        "leave some of the side seam sewn under the arm",
    )
    if cut.corner is not Corner.SQUARE:
        yield (
            "corner_radius",
            LEAST_CORNER_M,
            cut.largest_corner_m,
            "make the corner small enough for the sleeve and the side that it joins",
        )
    yield from _neck_ranges(cut)


def _shoulder_and_sleeve_ranges(cut: Choices) -> Iterator[tuple[str, float, float, str]]:
    yield (
        "shoulder_drop",
        0.0,
        min(0.3, cut.sleeve_drop_m / 2) if cut.seamed else 0.0,
        "keep the slope of the shoulder under half the sleeve drop"
        if cut.seamed
        else f'a fold is straight: write shoulder = "{Shoulder.SEAMED}" for a shoulder that slopes',
    )
    yield (
        "cuff_depth",
        0.0,
        (cut.sleeve_m - CUFF_BEYOND_M - LEAST_SLEEVE_M) / 2,
        "a turned-back cuff covers as much sleeve again: make it less deep, or the sleeve longer",
    )
    if cut.wrist_opening_m is not None:
        depth_m = cut.sleeve_depth_m
        taper_m = MOST_TAPER * (cut.sleeve_m - cut.straight_end_m)
        yield (
            "wrist_opening",
            max(LEAST_OPENING_M, 2 * (depth_m - taper_m)),
            2 * depth_m,
            "a sleeve narrows from the body to the wrist: choose less than twice the sleeve drop, "
            "and enough for the hand",
        )


def _neck_ranges(cut: Choices) -> Iterator[tuple[str, float, float, str]]:
    yield (
        "neck_width",
        0.10,
        min(0.40, cut.body_width_m - 2 * LEAST_SHOULDER_M),
        "keep the neck opening narrower than the body, so that it rests on the shoulders",
    )
    yield (
        "neck_front_depth",
        0.02,
        min(0.40, (cut.side_end_m - LEAST_SIDE_M) / _neck_goes_down(cut)),
        "keep the neck opening above the hem",
    )
    yield (
        "neck_back_depth",
        0.01,
        min(0.20, cut.side_end_m - LEAST_SIDE_M),
        "keep the back neck shallow, so that the wrap stays on the shoulders",
    )
    if cut.front is Front.OVERLAPPING:
        yield (
            "front_overlap",
            0.02,
            largest_overlap_m(cut.neck, cut.neck_width_m, cut.neck_front_depth_m),
            "keep the overlap narrower than the neck opening, and narrower still under a deep "
            "neck, whose edge would rise to a point at the front edge",
        )


def _neck_goes_down(cut: Choices) -> float:
    """Depth of the front neck at its lowest point, as a share of its depth at the centre."""
    beyond = cut.front is Front.OVERLAPPING and cut.neck is Neck.V
    return 1 + MOST_OVERLAP if beyond else 1.0


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

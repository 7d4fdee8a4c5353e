# SPDX-License-Identifier: GPL-3.0-or-later
"""The least that a cut must hold of its wearer: below it no such wrap can be put on."""

import math

from .pattern import LEAST_SIDE_M, LEAST_SLEEVE_M, Cut
from .tape import Measures
from .units import require_range

__all__ = ["bulk_in_sleeve_m", "least_sleeve_drop_m", "require_room"]


def require_room(cut: Cut, measures: Measures, thickness_m: float) -> None:
    """Refuse a cut that the wearer cannot get into.

    The body part goes round the wearer once with its front and once with its back, so its flat
    width must be at least half the largest of bust, waist and hip girth; the sleeve likewise half
    of what lies round the upper arm, measured in the middle of two layers of ``thickness_m``. Both
    are bare minima without ease.

    Raises
    ------
    RangeError
        The body width or the sleeve drop is too small.
    """
    require_range(
        "cut.body_width",
        cut.body_width_m,
        measures.largest_girth_m / 2,
        2 * (cut.wrist_m - LEAST_SLEEVE_M),
        "make the body at least half as wide as the wearer's largest girth",
        quantity="length",
    )
    require_range(
        "cut.sleeve_drop",
        cut.sleeve_drop_m,
        least_sleeve_drop_m(measures, thickness_m) + cut.sleeve_drop_m - cut.sleeve_depth_m,
        cut.side_end_m - LEAST_SIDE_M,
        "make the sleeve drop at least half the girth of the wearer's upper arm with both layers "
        "round it",
        quantity="length",
    )


def least_sleeve_drop_m(measures: Measures, thickness_m: float) -> float:
    """Half of the circle through the middle of two layers round the upper arm: (girth + π t) / 2."""
    return (measures.value("upper_arm_girth") + math.pi * thickness_m) / 2


def bulk_in_sleeve_m(outer_thickness_m: float, lining_thickness_m: float) -> float:
    """What both layers take of a sleeve's girth: 2 π times the way from the outer's middle inwards.

    The outer is as long round as it is cut; the lining, cut as long, wrinkles within it, and an arm
    smooths it.
    """
    return 2 * math.pi * (outer_thickness_m / 2 + lining_thickness_m)

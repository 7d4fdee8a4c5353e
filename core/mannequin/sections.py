# SPDX-License-Identifier: GPL-3.0-or-later
"""Breadths and depths of sections of trunk and thigh, from girths."""

import math
from collections.abc import Mapping

import numpy as np

from ..tape import Measures
from .frame import between

__all__ = [
    "THIGH_BEHIND_HIP_M",
    "breadth_for",
    "depth_ratio",
    "ellipse_half_axes",
    "perimeter_factor",
    "ratio_for",
    "thigh_section",
]

# Depth over breadth of trunk sections against girth in m, women and men: constant and slope,
# computed from the U.S. Army survey of 1988 (calipers).
RATIO_BY_GIRTH = {
    "bust": ((0.6155, 0.2660), (0.6763, 0.0817)),
    "navel_waist": ((0.5846, 0.1507), (0.6180, 0.1314)),
    "waist": ((0.5846, 0.1507), (0.6180, 0.1314)),  # no caliper there: as at the navel
    "hip": ((0.5176, 0.1504), (0.5042, 0.2269)),
}
# about the 1st percentile of women and the 99th of men or women, whichever is farther
SURVEYED_GIRTHS_M = {
    "bust": (0.78, 1.18),
    "navel_waist": (0.68, 1.25),
    "waist": (0.68, 1.25),
    "hip": (0.86, 1.22),
}
INNER_GAP_M = 0.014  # between thigh and mirror plane
THIGH_RATIO = 1.16  # depth over breadth of a thigh that has room
MOST_THIGH_RATIO = 1.6  # thighs too big for the hip stand out at the sides rather than in front
THIGH_BEHIND_HIP_M = 0.022  # the back of the thigh lies this far in front of the seat


def depth_ratio(m: Measures, level: str) -> float:
    """Depth over breadth at a level (``bust``, ``waist``, ``navel_waist``, ``hip``).

    Beyond the girths surveyed it is that of the last of them.
    """
    girth = float(np.clip(m.value(f"{level}_girth"), *SURVEYED_GIRTHS_M[level]))
    women, men = (constant + slope * girth for constant, slope in RATIO_BY_GIRTH[level])
    return between(men, women, m.female_share)


def perimeter_factor(ratio: float, n: float) -> float:
    """Girth over breadth of a superellipse."""
    t = np.linspace(0.0, 0.5 * math.pi, 200)
    x = 0.5 * np.cos(t) ** (2.0 / n)
    y = 0.5 * ratio * np.sin(t) ** (2.0 / n)
    return float(4.0 * np.hypot(np.diff(x), np.diff(y)).sum())


def breadth_for(m: Measures, level: str, n: float) -> float:
    """Breadth of a section with the level's girth and depth ratio as a superellipse."""
    return m.value(f"{level}_girth") / perimeter_factor(depth_ratio(m, level), n)


def ellipse_half_axes(girth_m: float, depth_over_breadth: float) -> tuple[float, float]:
    """Half breadth and half depth of the ellipse with that girth (Ramanujan's first formula)."""
    r = depth_over_breadth
    around = math.pi * (3.0 * (1.0 + r) - math.sqrt((3.0 + r) * (1.0 + 3.0 * r)))
    return girth_m / around, girth_m / around * r


def ratio_for(girth_m: float, half_breadth_m: float) -> float:
    """Depth over breadth of the ellipse with that girth and half breadth."""
    low, high = 0.5, 3.0
    for _ in range(40):
        ratio = 0.5 * (low + high)
        if ellipse_half_axes(girth_m, ratio)[0] > half_breadth_m:
            low = ratio
        else:
            high = ratio
    return 0.5 * (low + high)


def thigh_section(m: Measures, scale: Mapping[str, float]) -> tuple[float, float, float, float]:
    """Girth of the thigh's shape, depth over breadth, x of its centre, and half its depth.

    The thighs just clear the mirror plane and, where they can, stay within the breadth of the hip.
    """
    girth = m.value("thigh_girth") * scale.get("thigh", 1.0)
    half_hip = 0.5 * breadth_for(m, "hip", 2.7) * scale.get("hip", 1.0)
    most = 0.5 * (0.995 * half_hip - INNER_GAP_M)
    ratio = min(max(THIGH_RATIO, ratio_for(girth, most)), MOST_THIGH_RATIO)
    half_breadth, half_depth = ellipse_half_axes(girth, ratio)
    return girth, ratio, half_breadth + INNER_GAP_M, half_depth

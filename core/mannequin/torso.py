# SPDX-License-Identifier: GPL-3.0-or-later
"""Shapes of the trunk: rib cage to crotch, shoulder girdle, breasts or chest, buttocks."""

import math
from collections.abc import Mapping

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import Frame, between
from .sections import THIGH_BEHIND_HIP_M, depth_ratio, perimeter_factor, thigh_section
from .shapes import Ellipsoid, Loft, Shape, Union, make_loft, monotone_curve, natural_curve

__all__ = ["hip_back_y", "make_trunk"]

EXPONENT = {"hip": (2.75, 2.65), "navel_waist": (2.35, 2.4), "waist": (2.3, 2.35)}


def make_trunk(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Union:
    """The trunk without neck, arms and legs.

    ``scale`` holds what the fitting tunes: for a level its size (factor) and depth (factor), and
    ``breast``, how far the breasts stand out (m).
    """
    barrel = _barrel(m, frame, scale)
    shapes: list[Shape] = [barrel, _shoulder_girdle(m, frame, scale), _buttock(m, frame)]
    radii = [0.050, 0.030]
    if m.female_share > 0.02:
        shapes.append(_breast(m, frame, scale))
        radii.append(0.042)
    return Union(tuple(shapes), tuple(radii))


def _section(
    m: Measures, level: str, girth: float, ratio: float, n: float, scale: Mapping[str, float]
) -> tuple[float, float]:
    """Half breadth and depth of a section with about that girth."""
    deeper = scale.get(f"{level}_depth", 1.0)
    breadth = girth / perimeter_factor(ratio * deeper, n) * scale.get(level, 1.0)
    return 0.5 * breadth, breadth * ratio * deeper


def _rib_ratio(m: Measures) -> float:
    """Depth over breadth of the rib cage without the breasts: rounder in larger bodies."""
    return 0.73 + 0.18 * (m.value("underbust_girth") - 0.80)


def _back_curve(m: Measures, frame: Frame, at: FloatArray) -> FloatArray:
    """The middle of the back in profile: y at heights ``at``."""
    v = m.value
    level = frame.levels
    hollow = between(0.020, 0.032, m.female_share) - 0.05 * (v("waist_girth") - 0.8)
    hip_back = hip_back_y(m, frame)
    lumbar = 0.45 * level["navel_waist"] + 0.55 * level["waist"]
    tip = frame["shoulder_point"][2]
    heights = np.array(
        [level["crotch"], level["hip"], lumbar, level["axilla"] - 0.01, tip, tip + 0.05]
    )
    y = np.array(
        [
            hip_back - 0.022,
            hip_back,
            min(frame.back_y, hip_back) - hollow,
            frame.back_y,
            frame.back_y - 0.022,
            frame.back_y - 0.050,
        ]
    )
    result: FloatArray = natural_curve(heights, y[:, None], at)[:, 0]
    return result


def hip_back_y(m: Measures, frame: Frame) -> float:
    """Where the seat is, in profile."""
    return frame.back_y + between(0.004, 0.018, m.female_share)


def _barrel(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Loft:
    v = m.value
    f = m.female_share
    level = frame.levels
    tip = frame["shoulder_point"][2]
    size: dict[str, tuple[float, float, float]] = {}
    for name, (women, men) in EXPONENT.items():
        n = between(men, women, f)
        a, d = _section(m, name, v(f"{name}_girth"), depth_ratio(m, name), n, scale)
        size[name] = (a, d, n)
    a, d = _section(m, "underbust", v("underbust_girth"), _rib_ratio(m), 2.5, scale)
    size["underbust"] = (a, d, 2.5)
    ribs = between(v("bust_girth"), 0.55 * v("underbust_girth") + 0.45 * v("upper_chest_girth"), f)
    ratio = between(depth_ratio(m, "bust") - 0.02, _rib_ratio(m), f)
    n = between(2.9, 2.6, f)
    a, d = _section(m, "bust", ribs, ratio, n, {k: x for k, x in scale.items() if k == "bust"})
    if f < 0.5:
        d *= scale.get("bust_depth", 1.0)
    size["bust"] = (a, d, n)
    chest_a, chest_d = 0.985 * a, between(0.95, 0.93, f) * d
    hip_a, hip_d, hip_n = size["hip"]
    navel_a, navel_d, navel_n = size["navel_waist"]
    rows = [
        # height, depth, half breadth, exponent, share of the depth in front of the widest place
        (level["hip"], hip_d, 0.975 * hip_a, hip_n, 0.47),
        (
            between(level["hip"], level["navel_waist"], 0.52),
            0.0,  # set below, from the slope of the belly
            0.60 * hip_a + 0.40 * navel_a,
            0.5 * (hip_n + navel_n),
            0.49,
        ),
        (level["navel_waist"], navel_d, navel_a, navel_n, 0.52),
        (level["waist"], size["waist"][1], size["waist"][0], size["waist"][2], 0.53),
        (level["underbust"], size["underbust"][1], size["underbust"][0], 2.5, 0.54),
        (level["bust"], d, size["bust"][0], n, 0.54),
        (level["axilla"], chest_d, chest_a, 2.55, 0.48),
        (between(level["axilla"], tip, 0.45), 0.84 * chest_d, 0.95 * chest_a, 2.4, 0.44),
        (between(level["axilla"], tip, 0.86), 0.62 * chest_d, 0.76 * chest_a, 2.2, 0.42),
        (tip + 0.025, 0.36 * chest_d, 0.42 * chest_a, 2.1, 0.42),
    ]
    table = np.array(rows)
    back = _back_curve(m, frame, table[:, 0])
    # the belly runs in a straight slope from navel to hip
    front = back - table[:, 1]
    front[1] = between(front[0], front[2], 0.55) - 0.002
    sections = np.column_stack(
        [np.zeros(len(table)), front, back, table[:, 2], table[:, 3], table[:, 4]]
    )
    seat = _seat_sections(m, frame, scale, sections[0])
    return make_loft(
        np.concatenate([seat[:, 0], table[:, 0]]),
        np.concatenate([seat[:, 1:], sections]),
        curve=monotone_curve,
    )


def _seat_sections(
    m: Measures, frame: Frame, scale: Mapping[str, float], hip: FloatArray
) -> FloatArray:
    """Sections from the crotch upwards that end in the outline of both thighs."""
    level = frame.levels
    _, _, thigh_x, half_depth = thigh_section(m, scale)
    thigh_back = hip_back_y(m, frame) - THIGH_BEHIND_HIP_M
    thigh_front = thigh_back - 2.0 * half_depth
    outer = 2.0 * thigh_x
    crotch = level["crotch"]
    rows = [
        (
            crotch + 0.016,
            0.0,
            thigh_front + 0.070,
            thigh_back - 0.050,
            0.80 * outer,
            2.1,
            0.45,
        ),
        (
            between(crotch, level["hip"], 0.45),
            0.0,
            between(thigh_front, hip[1], 0.55) + 0.010,
            between(thigh_back, hip[2], 0.60),
            between(0.93 * outer, hip[3], 0.40),
            2.5,
            0.47,
        ),
    ]
    return np.array(rows)


def _shoulder_girdle(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Loft:
    """A bar along x under the shoulder line, from the middle to past the shoulder point."""
    tip, neck = frame["shoulder_point"], frame["side_neck_point"]
    lift = scale.get("shoulder", -0.006)
    run = tip[0] - neck[0]
    fall = (neck[2] - tip[2]) / run
    y = frame.back_y
    grown = 1.0 + 0.5 * (m.value("upper_chest_girth") - 0.93)
    rows = []
    for share, half, front, back in (
        (-0.60, 0.046, 0.126, 0.020),
        (-0.20, 0.046, 0.128, 0.021),
        (0.25, 0.042, 0.132, 0.026),
        (0.65, 0.038, 0.134, 0.036),
        (0.97, 0.034, 0.130, 0.048),
        (1.10, 0.026, 0.122, 0.060),
        (1.20, 0.010, 0.106, 0.078),
    ):
        x = neck[0] + share * run
        dip = 0.005 * math.sin(math.pi * min(max(share, 0.0), 1.0))
        top = neck[2] - fall * max(x - neck[0], 0.0) + lift - dip
        if share > 1.0:
            top -= 0.5 * (x - tip[0])
        half *= grown
        rows.append((x, top - half, y - front * grown, y - back, half, 2.15, 0.5))
    table = np.array(rows)
    table[:, 0] = np.maximum(table[:, 0], np.linspace(0.0, 1e-3, len(table)))
    # u is height, v is depth, s is x
    axes = np.array([[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0]])
    sections = np.column_stack(
        [table[:, 1], table[:, 2], table[:, 3], table[:, 4], table[:, 5], table[:, 6]]
    )
    return make_loft(table[:, 0], sections, axes=axes)


def _turned_outward(degrees: float) -> FloatArray:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])


def _breast(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Ellipsoid:
    """A fuller lower and a longer upper half, turned outward a little."""
    v = m.value
    z = frame.levels["bust"]
    below = z - frame.levels["underbust"]
    cup = max(v("bust_girth") - v("underbust_girth"), 0.0)
    out = max(0.030 + scale.get("breast", 0.0), 0.002)
    sunk = 0.045
    rib_front = frame.back_y - _rib_ratio(m) * v("underbust_girth") / 2.72
    centre = np.array([0.41 * v("bust_point_breadth"), rib_front + sunk, z - 0.003])
    radii = np.array([0.050 + 0.06 * cup, sunk + out, max(0.88 * below, 0.036)])
    return Ellipsoid(centre, radii, 1.9 * max(below, 0.05), _turned_outward(16.0))


def _buttock(m: Measures, frame: Frame) -> Ellipsoid:
    girth = m.value("hip_girth")
    back = hip_back_y(m, frame)
    out = between(0.000, 0.006, m.female_share)
    centre = np.array([0.066 * girth, back - 0.080 * girth + out, frame.levels["hip"] - 0.010])
    radii = np.array([0.074 * girth, 0.080 * girth, 0.085 * girth])
    return Ellipsoid(centre, radii, 0.110 * girth, np.eye(3))

# SPDX-License-Identifier: GPL-3.0-or-later
"""Shape of the trunk: one flowing loft from the crotch to the neck."""

from collections.abc import Mapping
from functools import partial

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import Frame, between
from .head import neck_rows
from .sections import depth_ratio, perimeter_factor
from .shapes import Loft, flowing_curve, make_loft, natural_curve

__all__ = ["hip_back_y", "make_trunk", "rib_ratio"]

EXPONENT = {"hip": (2.9, 2.9), "navel_waist": (2.55, 2.55), "waist": (2.4, 2.4)}
SHOULDER_EXPONENT = 2.3
LEAST_APART_M = 0.004
RIBS_ROUNDING = -0.5  # narrower ribs are deeper
BESIDE_ARM = 0.12  # of the arm's girth: the trunk's side lies so far inside of the joint
MOST_NARROWING = 0.35  # of the trunk's side towards the armpit
CHEST_ARCH = 1.7  # 1: a straight line from bust to neck
FLOW_SHARE = 0.0115  # of the hip girth: over what length the outline is evened out


def _section(
    level: str, girth: float, ratio: float, n: float, scale: Mapping[str, float]
) -> tuple[float, float]:
    """Half breadth and depth of a section with about that girth."""
    deeper = scale.get(f"{level}_depth", 1.0)
    breadth = girth / perimeter_factor(ratio * deeper, n) * scale.get(level, 1.0)
    return 0.5 * breadth, breadth * ratio * deeper


def rib_ratio(m: Measures) -> float:
    """Depth over breadth of the rib cage without the breasts: rounder in larger bodies."""
    return 0.72 + 0.20 * (m.value("underbust_girth") - 0.80)


def _back_curve(m: Measures, frame: Frame, at: FloatArray) -> FloatArray:
    """The middle of the back in profile: y at heights ``at``, from the crotch to the neck."""
    v = m.value
    level = frame.levels
    hollow = between(0.017, 0.027, m.female_share) - 0.04 * (v("waist_girth") - 0.8)
    hip_back = hip_back_y(m, frame)
    lumbar = 0.45 * level["navel_waist"] + 0.55 * level["waist"]
    tip = frame["shoulder_point"][2]
    neck = frame["back_neck_point"]
    heights = np.array(
        [level["crotch"], level["hip"], lumbar, level["axilla"] - 0.005, tip, neck[2]]
    )
    y = np.array(
        [
            hip_back - 0.018,
            hip_back - 0.008,
            min(frame.back_y, hip_back) - hollow,
            frame.back_y,
            between(neck[1], frame.back_y, 0.72),
            neck[1],
        ]
    )
    result: FloatArray = natural_curve(heights, y[:, None], at)[:, 0]
    return result


def hip_back_y(m: Measures, frame: Frame) -> float:
    """Where the seat is, in profile."""
    return frame.back_y + between(0.004, 0.014, m.female_share)


def make_trunk(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Loft:
    """The trunk with the neck, without head, arms and legs.

    ``scale`` holds what the fitting tunes: for a level its size (factor) and depth (factor), and
    the heights of the shoulder line over its two points (m).
    """
    v = m.value
    f = m.female_share
    level = frame.levels
    tip, side = frame["shoulder_point"], frame["side_neck_point"]
    size: dict[str, tuple[float, float, float]] = {}
    for name, (women, men) in EXPONENT.items():
        n = between(men, women, f) * scale.get(f"{name}_square", 1.0)
        a, d = _section(name, v(f"{name}_girth"), depth_ratio(m, name), n, scale)
        size[name] = (a, d, n)
    under_ratio = between(rib_ratio(m), depth_ratio(m, "waist"), 0.6) + 0.025 * (1.0 - f)
    under_a, under_d = _section("underbust", v("underbust_girth"), under_ratio, 2.45, scale)
    ribs = between(v("bust_girth"), 0.62 * v("underbust_girth") + 0.36 * v("upper_chest_girth"), f)
    ratio = between(depth_ratio(m, "bust") - 0.03, rib_ratio(m), f)
    n = between(2.85, 2.75, f)
    n *= scale.get("bust_square", 1.0)
    a, d = _section("bust", ribs, ratio, n, {"bust": scale.get("bust", 1.0)})
    narrower = scale.get("ribs", 1.0)
    a, d = narrower * a, narrower**RIBS_ROUNDING * d * scale.get("bust_depth", 1.0)
    axilla = level["axilla"]
    # the trunk leaves the arm its place, but reaches it
    beside_arm = frame["shoulder"][0] - BESIDE_ARM * v("upper_arm_girth")
    narrowed = a - MOST_NARROWING * (axilla - level["bust"])
    armpit_a = max(min(a, beside_arm), narrowed, 0.80 * tip[0])
    hip_a, hip_d, hip_n = size["hip"]
    navel_a, navel_d, navel_n = size["navel_waist"]
    crotch = level["crotch"]
    # the line from side neck point to shoulder point, lifted so that the skin passes both
    top, end = (
        side[2] + scale.get("side_neck_point", 0.0),
        tip[2] + scale.get("shoulder_point", 0.0),
    )
    rows = [
        # height, depth, half breadth, exponent, share of the depth in front of the widest place
        (crotch - 0.12, 0.70 * hip_d, 0.80 * hip_a, 2.3, 0.47),
        (crotch - 0.02, 0.88 * hip_d, 0.93 * hip_a, 2.4, 0.47),
        (level["hip"], hip_d, hip_a, hip_n, 0.47),
        (
            between(level["hip"], level["navel_waist"], 0.52),
            0.0,  # set below, from the slope of the belly
            between(navel_a, hip_a, 0.58),
            0.5 * (hip_n + navel_n),
            0.49,
        ),
        (level["navel_waist"], navel_d, navel_a, navel_n, 0.52),
        (level["waist"], size["waist"][1], size["waist"][0], size["waist"][2], 0.53),
        (level["underbust"], under_d, under_a, 2.45, 0.54),
        (level["bust"], d, a, n, 0.53),
        (axilla, 0.97 * d, armpit_a, 2.45, 0.50),
        (
            between(axilla, end, 0.42),
            0.88 * d,
            max(between(0.97 * armpit_a, 0.90 * tip[0], 0.5), 0.85 * tip[0]),
            2.4,
            0.46,
        ),
        (between(axilla, end, 0.78), 0.74 * d, 0.92 * tip[0], SHOULDER_EXPONENT, 0.44),
    ]
    table = np.array(rows)
    neck = neck_rows(m, frame, scale)
    back = _back_curve(m, frame, table[:, 0])
    # the belly runs in a straight slope from navel to hip
    front = back - table[:, 1]
    front[3] = between(front[2], front[4], 0.55) - 0.002
    # and the chest in an arch from the bust to the pit of the neck
    pit = frame["front_neck_point"]
    rise = np.clip((table[8:, 0] - level["bust"]) / (pit[2] - level["bust"]), 0.0, 1.0)
    front[8:] = front[7] + rise**CHEST_ARCH * (pit[1] - front[7])
    sections = np.column_stack(
        [np.zeros(len(table)), front, back, table[:, 2], table[:, 3], table[:, 4]]
    )
    shoulders = _shoulder_rows(m, frame, neck, front[-1], (end, top))
    stations = np.concatenate([table[:, 0], shoulders[:, 0], neck[:, 0]])
    return make_loft(
        # unusual tapes may bring sections too close: keep them apart, bottom up
        np.maximum.accumulate(stations - LEAST_APART_M * np.arange(len(stations)))
        + LEAST_APART_M * np.arange(len(stations)),
        np.concatenate([sections, shoulders[:, 1:], neck[:, 1:]]),
        curve=partial(flowing_curve, flow_m=FLOW_SHARE * v("hip_girth")),
    )


def _shoulder_rows(
    m: Measures, frame: Frame, neck: FloatArray, front_below: float, heights: tuple[float, float]
) -> FloatArray:
    """Sections whose ends run along the shoulder line, from the shoulder point to the neck."""
    tip, side = frame["shoulder_point"], frame["side_neck_point"]
    rows = []
    for share in (0.02, 0.35, 0.70, 0.97):
        z = between(*heights, share)
        back = _back_curve(m, frame, np.array([z]))[0]
        front = between(front_below, neck[0, 2], 0.12 + 0.84 * share)
        rows.append(
            [z, 0.0, front, back, between(tip[0], side[0], share), between(2.2, 2.05, share), 0.46]
        )
    return np.array(rows)

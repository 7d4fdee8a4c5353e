# SPDX-License-Identifier: GPL-3.0-or-later
"""Joint centres and landmarks of the bind pose, from the measures.

The bind pose: upright, the arms straight and raised 55 degrees to the side, the legs straight.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures

__all__ = [
    "ALONG_ARM",
    "BIND_ABDUCTION",
    "HANGING_ABDUCTION",
    "HANGING_ELBOW",
    "Frame",
    "back_length_allowance",
    "between",
    "elbow_allowance",
    "make_frame",
]

BIND_ABDUCTION = math.radians(55.0)
ALONG_ARM: FloatArray = np.array([math.sin(BIND_ABDUCTION), 0.0, -math.cos(BIND_ABDUCTION)])
# The shoulder joint lies the radius of the upper arm below the shoulder point, and a little more.
JOINT_DEEPER_M = 0.002
POINT_TO_JOINT = 0.97  # of that depth counts along the arm's length from the shoulder point
OVER_SHOULDER = 1.03  # a tape over the round of the shoulder against the straight line
NECK_GIRTH_OVER_HALF_BREADTH = 6.6  # of an ellipse a tenth deeper than broad
NECK_FILLET_M = 0.004
NECK_ROOT_BEFORE_BACK_M = 0.092  # the axis of the neck before the shoulder blades
LEVEL_MEASURES = MappingProxyType(
    {
        "axilla": "axilla_height",
        "bust": "bust_height",
        "waist": "waist_height",
        "navel_waist": "navel_waist_height",
        "hip": "hip_height",
        "crotch": "inside_leg_height",
        "gluteal_fold": "gluteal_fold_height",
        "knee": "knee_height",
        "calf": "calf_height",
        "ankle": "ankle_height",
    }
)
APART_M = (
    ("ankle", "calf", 0.12),
    ("calf", "knee", 0.08),
    ("knee", "crotch", 0.20),
    ("crotch", "hip", 0.012),
    ("hip", "navel_waist", 0.07),
    ("navel_waist", "waist", 0.02),
    ("waist", "bust", 0.05),
    ("bust", "axilla", 0.030),
)
WAIST_BELOW_RIBS_M = 0.024  # least room between the bottom of the bust and the waist
MOST_BACK_ALLOWANCE_M = 0.070
# How an arm hangs when the height of the wrist is taken.
HANGING_ABDUCTION, HANGING_ELBOW = math.radians(10.0), math.radians(15.0)
STEEPEST_RUN = 0.7  # of the shoulder's length
CHIN_SHARE = 0.868  # chin height over stature


@dataclass(frozen=True, slots=True)
class Frame:
    """Points (3,) and levels (heights) by name, metres, wearer's left side where a side matters."""

    points: Mapping[str, FloatArray]
    levels: Mapping[str, float]
    back_y: float  # where the shoulder blades are

    def __getitem__(self, name: str) -> FloatArray:
        return self.points[name]


def between(low: float, high: float, share: float) -> float:
    """``low`` at share 0, ``high`` at share 1."""
    return low + share * (high - low)


def make_frame(m: Measures) -> Frame:
    """Joint centres, landmarks and levels."""
    v = m.value
    biacromial = v("biacromial_breadth")
    arm_radius = v("upper_arm_girth") / (2.0 * math.pi)
    tip_z, side_z, run = _shoulder_line(m)
    back_y = 0.108 + 0.16 * (v("bust_girth") - 0.95)
    middle_y = back_y - 0.098
    # the side neck point lies outside of the neck; its distance from the shoulder point is taped
    neck_x = v("neck_girth") / NECK_GIRTH_OVER_HALF_BREADTH + NECK_FILLET_M
    side_neck_x = max(0.5 * biacromial - run, neck_x)
    by_breadth = m["biacromial_breadth"].given and not m["shoulder_length"].given
    tip_x = 0.5 * biacromial if by_breadth else side_neck_x + run
    tip = np.array([tip_x, middle_y + 0.002, tip_z])
    shoulder_x = max(0.5 * v("bideltoid_breadth") - arm_radius, 0.47 * biacromial)
    below = arm_radius + JOINT_DEEPER_M
    shoulder = np.array([shoulder_x, middle_y, tip[2] - below])
    # the tape along the hanging arm starts at the shoulder point, above the joint
    neck_root_y = back_y - NECK_ROOT_BEFORE_BACK_M
    back_neck = np.array(
        [0.0, neck_root_y - 0.002 + 0.168 * v("neck_girth"), v("back_neck_point_height")]
    )
    longer = _arm_factor(m, tip, back_neck, below)
    upper = longer * v("shoulder_point_to_elbow") - POINT_TO_JOINT * below
    elbow = shoulder + upper * ALONG_ARM
    wrist = elbow + longer * v("elbow_to_wrist") * ALONG_ARM
    hip_x = 0.26 * v("hip_breadth")
    levels = _levels(m)
    points = {
        "back_neck_point": back_neck,
        "neck_root": np.array([0.0, neck_root_y, v("back_neck_point_height")]),
        "side_neck_point": np.array([side_neck_x, middle_y + 0.016, side_z]),
        "front_neck_point": np.array([0.0, back_y - 0.150, v("front_neck_point_height")]),
        "shoulder_point": tip,
        "shoulder": shoulder,
        "elbow": elbow,
        "wrist": wrist,
        "knuckles": wrist + 0.56 * v("hand_length") * ALONG_ARM,
        "finger_tip": wrist + v("hand_length") * ALONG_ARM,
        "hip": np.array([hip_x, 0.0, v("trochanter_height") + 0.01]),
        "knee": np.array([hip_x + 0.004, -0.002, v("knee_height")]),
        "ankle": np.array([hip_x + 0.008, 0.030, v("ankle_height")]),
        "top_of_head": np.array([0.0, -0.01, v("height")]),
        "chin": np.array([0.0, -0.09, CHIN_SHARE * v("height")]),
    }
    return Frame(points, levels, back_y)


def _shoulder_line(m: Measures) -> tuple[float, float, float]:
    """Heights of shoulder point and side neck point, and how far apart they are in breadth.

    Their distance is the shoulder length. Where the estimated height of the side neck point
    would have the line steeper or flatter than shoulders are, it gives way.
    """
    v = m.value
    length, tip_z, side_z = (
        v(name) for name in ("shoulder_length", "shoulder_point_height", "side_neck_point_height")
    )
    if not m["side_neck_point_height"].given:
        side_z = tip_z + length * math.sin(v("shoulder_slope"))
    drop = side_z - tip_z
    run = math.sqrt(max(length**2 - drop**2, (STEEPEST_RUN * length) ** 2))
    return tip_z, side_z, run


def elbow_allowance(m: Measures) -> float:
    """How much longer a tape over the bent elbow reads than the straight arm, m."""
    v = m.value
    upper = v("bent_upper_arm_length") - v("shoulder_point_to_elbow")
    fore = v("bent_forearm_hand_length") - v("hand_length") - v("elbow_to_wrist")
    return upper + fore


def back_length_allowance(m: Measures) -> float:
    """How much longer a tape along the hollow of the back reads than the drop to the waist, m.

    What both say where both are taped; else the difference of the survey's means.
    """
    taped, waist = m["back_neck_point_to_waist"], m["waist_height"]
    if taped.given and waist.given:
        over = taped.value_m - (m.value("back_neck_point_height") - waist.value_m)
        return min(max(over, 0.0), MOST_BACK_ALLOWANCE_M)
    return between(0.028, 0.031, m.female_share)


def _arm_factor(m: Measures, tip: FloatArray, back_neck: FloatArray, below_m: float) -> float:
    """Factor on the arm's lengths that makes a taped arm come out.

    The tape runs from the back neck point over the shoulder point and the bent elbow to the
    wrist (ISO 8559-1). Without it the height of the wrist, if given, says how long the hanging
    arm is. The shoulder joint lies ``below_m`` under the shoulder point.
    """
    v = m.value
    upper, fore = v("shoulder_point_to_elbow"), v("elbow_to_wrist")
    if m["back_neck_point_to_wrist"].given:
        over = OVER_SHOULDER * float(np.linalg.norm(tip - back_neck))
        factor = (v("back_neck_point_to_wrist") - over - elbow_allowance(m)) / (upper + fore)
    elif m["wrist_height"].given:
        down, forward = math.cos(HANGING_ABDUCTION), math.cos(HANGING_ELBOW)
        drop = float(tip[2]) - v("wrist_height") - below_m * (1.0 - POINT_TO_JOINT * down)
        factor = drop / (down * (upper + forward * fore))
    else:
        return 1.0
    return min(max(factor, 0.7), 1.4)


def _keep_apart(levels: dict[str, float], given: set[str]) -> None:
    """Part levels that an unusual tape brings too close or out of order.

    Estimates give way to the given levels, downwards first; of two given levels the lower stays.
    """
    ceiling: dict[str, float] = {}
    for lower, upper, apart in reversed(APART_M):
        if upper in given:
            ceiling[upper] = levels[upper]
        if upper in ceiling:
            ceiling[lower] = ceiling[upper] - apart
        if lower not in given:
            levels[lower] = min(levels[lower], ceiling.get(lower, math.inf))
    for lower, upper, apart in APART_M:
        levels[upper] = max(levels[upper], levels[lower] + apart)


def _levels(m: Measures) -> dict[str, float]:
    v = m.value
    cup = max(v("bust_girth") - v("underbust_girth"), 0.0)
    below_bust = 0.058 + 0.006 * m.female_share + 0.15 * m.female_share * max(cup - 0.13, 0.0)
    levels = {name: v(measure) for name, measure in LEVEL_MEASURES.items()}
    given = {name for name, measure in LEVEL_MEASURES.items() if m[measure].given}
    if "waist" not in given:
        if m["back_neck_point_to_waist"].given:
            drop = v("back_neck_point_to_waist") - back_length_allowance(m)
            levels["waist"] = v("back_neck_point_height") - drop
            given.add("waist")
        else:  # in large bodies the estimates come too close
            most = levels["bust"] - below_bust - WAIST_BELOW_RIBS_M
            levels["waist"] = min(levels["waist"], most)
    _keep_apart(levels, given)
    levels["mid_thigh"] = 0.5 * (levels["crotch"] + levels["knee"])
    # the tape round the thigh lies in the gluteal fold, but clear of the crotch
    levels["thigh"] = min(levels["gluteal_fold"], levels["crotch"] - 0.035)
    levels["underbust"] = min(
        max(levels["bust"] - below_bust, levels["waist"] + 0.016), levels["bust"] - 0.035
    )
    return levels

# SPDX-License-Identifier: GPL-3.0-or-later
"""Joint centres and landmarks of the bind pose, from the measures.

The bind pose: upright, the arms straight and raised 55 degrees to the side, the legs straight.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

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
MIDDLE_BEFORE_BACK_M, TIP_BEHIND_M = 0.098, 0.002
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
# How far elbows and shoulders give way where sleeve and height of the wrist are both given: some
# two standard deviations of what is estimated of them.
MOST_ROUND_ELBOW_M, MOST_LIFT_M = 0.020, 0.025
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
    agreed = _agreement(m)
    back_y = _back_y(m)
    line = _shoulder_line(m, agreed.lift_m)
    arm_radius = v("upper_arm_girth") / (2.0 * math.pi)
    shoulder_x = max(0.5 * v("bideltoid_breadth") - arm_radius, 0.47 * v("biacromial_breadth"))
    shoulder = np.array([shoulder_x, line.tip[1] - TIP_BEHIND_M, line.tip[2] - line.below_m])
    # the tape along the hanging arm starts at the shoulder point, above the joint
    longer = _arm_m(m, line, agreed.elbow_m) / _usual_arm_m(m)
    longer = min(max(longer, 0.7), 1.4)
    upper = longer * v("shoulder_point_to_elbow") - POINT_TO_JOINT * line.below_m
    elbow = shoulder + upper * ALONG_ARM
    wrist = elbow + longer * v("elbow_to_wrist") * ALONG_ARM
    hip_x = 0.26 * v("hip_breadth")
    levels = _levels(m)
    points = {
        "back_neck_point": line.back_neck,
        "neck_root": np.array([0.0, back_y - NECK_ROOT_BEFORE_BACK_M, v("back_neck_point_height")]),
        "side_neck_point": line.side_neck,
        "front_neck_point": np.array([0.0, back_y - 0.150, v("front_neck_point_height")]),
        "shoulder_point": line.tip,
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


class _Shoulder(NamedTuple):
    """Points (3,) of the shoulder line, and how far under its outer end the joint lies."""

    tip: FloatArray
    side_neck: FloatArray
    back_neck: FloatArray
    below_m: float


class _Agreement(NamedTuple):
    """How far estimates give way so that sleeve and height of the wrist are both met."""

    elbow_m: float  # a tape round the bent elbow is so much longer than the straight arm
    lift_m: float  # of the shoulder point


def _back_y(m: Measures) -> float:
    return 0.108 + 0.16 * (m.value("bust_girth") - 0.95)


def _shoulder_line(m: Measures, lift_m: float) -> _Shoulder:
    """From side neck point to shoulder point; their distance is the shoulder length.

    Where the estimated height of the side neck point would have the line steeper or flatter than
    shoulders are, it gives way.
    """
    v = m.value
    length, tip_z, side_z = (
        v(name) for name in ("shoulder_length", "shoulder_point_height", "side_neck_point_height")
    )
    tip_z += lift_m
    if not m["side_neck_point_height"].given:
        side_z = tip_z + length * math.sin(v("shoulder_slope"))
    run = math.sqrt(max(length**2 - (side_z - tip_z) ** 2, (STEEPEST_RUN * length) ** 2))
    # the side neck point lies outside of the neck; its distance from the shoulder point is taped
    neck_x = v("neck_girth") / NECK_GIRTH_OVER_HALF_BREADTH + NECK_FILLET_M
    half = 0.5 * v("biacromial_breadth")
    side_x = max(half - run, neck_x)
    by_breadth = m["biacromial_breadth"].given and not m["shoulder_length"].given
    back_y = _back_y(m)
    middle_y = back_y - MIDDLE_BEFORE_BACK_M
    back_neck_y = back_y - NECK_ROOT_BEFORE_BACK_M - 0.002 + 0.168 * v("neck_girth")
    return _Shoulder(
        np.array([half if by_breadth else side_x + run, middle_y + TIP_BEHIND_M, tip_z]),
        np.array([side_x, middle_y + 0.016, side_z]),
        np.array([0.0, back_neck_y, v("back_neck_point_height")]),
        v("upper_arm_girth") / (2.0 * math.pi) + JOINT_DEEPER_M,
    )


def elbow_allowance(m: Measures) -> float:
    """How much longer a tape over the bent elbow reads than the straight arm, m."""
    return _agreement(m).elbow_m


def _usual_arm_m(m: Measures) -> float:
    return m.value("shoulder_point_to_elbow") + m.value("elbow_to_wrist")


def _agreement(m: Measures) -> _Agreement:
    """Estimates that make sleeve and height of the wrist agree where both are given."""
    v = m.value
    upper = v("bent_upper_arm_length") - v("shoulder_point_to_elbow")
    fore = v("bent_forearm_hand_length") - v("hand_length") - v("elbow_to_wrist")
    usual = upper + fore
    if not (m["back_neck_point_to_wrist"].given and m["wrist_height"].given):
        return _Agreement(usual, 0.0)
    line = _shoulder_line(m, 0.0)
    over = _arm_of_sleeve_m(m, line, usual) - _arm_of_wrist_m(m, line)
    round_elbow = min(max(over, -MOST_ROUND_ELBOW_M), MOST_ROUND_ELBOW_M)
    if m["shoulder_point_height"].given or m["shoulder_slope"].given:
        return _Agreement(usual + round_elbow, 0.0)
    lift = (over - round_elbow) * math.cos(HANGING_ABDUCTION)
    return _Agreement(usual + round_elbow, min(max(lift, -MOST_LIFT_M), MOST_LIFT_M))


def _arm_m(m: Measures, line: _Shoulder, elbow_m: float) -> float:
    """Length of the arm from shoulder point to wrist that makes a taped arm come out.

    The tape runs from the back neck point over the shoulder point and the bent elbow to the
    wrist (ISO 8559-1). Without it the height of the wrist, if given, says how long the hanging
    arm is. Where both are estimates the arm is in the middle: bones alone make it too short.
    """
    if m["back_neck_point_to_wrist"].given:
        return _arm_of_sleeve_m(m, line, elbow_m)
    if m["wrist_height"].given:
        return _arm_of_wrist_m(m, line)
    return 0.5 * (_arm_of_sleeve_m(m, line, elbow_m) + _arm_of_wrist_m(m, line))


def _arm_of_sleeve_m(m: Measures, line: _Shoulder, elbow_m: float) -> float:
    over = OVER_SHOULDER * float(np.linalg.norm(line.tip - line.back_neck))
    return m.value("back_neck_point_to_wrist") - over - elbow_m


def _arm_of_wrist_m(m: Measures, line: _Shoulder) -> float:
    down, forward = math.cos(HANGING_ABDUCTION), math.cos(HANGING_ELBOW)
    upper, fore = m.value("shoulder_point_to_elbow"), m.value("elbow_to_wrist")
    drop = float(line.tip[2]) - m.value("wrist_height")
    drop -= line.below_m * (1.0 - POINT_TO_JOINT * down)
    return drop * (upper + fore) / (down * (upper + forward * fore))


def back_length_allowance(m: Measures) -> float:
    """How much longer a tape along the hollow of the back reads than the drop to the waist, m.

    What both say where both are taped; else the difference of the survey's means.
    """
    taped, waist = m["back_neck_point_to_waist"], m["waist_height"]
    if taped.given and waist.given:
        over = taped.value_m - (m.value("back_neck_point_height") - waist.value_m)
        return min(max(over, 0.0), MOST_BACK_ALLOWANCE_M)
    return between(0.028, 0.031, m.female_share)


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

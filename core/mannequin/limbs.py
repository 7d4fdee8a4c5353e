# SPDX-License-Identifier: GPL-3.0-or-later
"""Shapes of the left arm with its hand, and of the left leg with its foot."""

import math
from collections.abc import Mapping
from functools import partial

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import ALONG_ARM, Frame, between
from .sections import THIGH_BEHIND_HIP_M, breadth_for, ellipse_half_axes, thigh_section
from .shapes import Held, Loft, Plate, Union, flowing_curve, make_loft
from .torso import hip_back_y

__all__ = [
    "ARMPIT_JOINT_M",
    "LEAST_ARMPIT_M",
    "LOWER_THIGH_ABOVE_KNEE_M",
    "RELAXED_FOREARM",
    "make_arm",
    "make_leg",
]

RELAXED_FOREARM = 0.965  # the survey's forearm is flexed; relaxed it is this much of it
LOWER_THIGH_ABOVE_KNEE_M = 0.065

LEG_FLOW_M = 0.020
# How far flesh rounds the armpit; where the arm would join the trunk too low even with the least
# of it, the arm's root is hollowed out below by what is missing.
ARMPIT_JOINT_M, LEAST_ARMPIT_M = 0.022, 0.028
SLENDER, STOUT = 0.19, 0.27  # girth of the upper arm over height
FLATTER = 0.20  # deeper for its breadth is the stoutest arm
SOLE_M = 0.0015  # rounding at the ankle swells the sole by this much

DEPTH: FloatArray = np.array([0.0, 1.0, 0.0])
ARM_AXES: FloatArray = np.stack([np.cross(DEPTH, ALONG_ARM), DEPTH, ALONG_ARM])


def _ring(s: float, u: float, y: float, girth: float, ratio: float, n: float = 2.05) -> list[float]:
    half_u, half_v = ellipse_half_axes(girth, ratio)
    return [s, u, y - half_v, y + half_v, half_u, n, 0.5]


def _side(z: float, outer: float, breadth: float, y: float, half_d: float) -> list[float]:
    """A horizontal section that reaches outwards to x = ``outer``."""
    return [z, outer - 0.5 * breadth, y - half_d, y + half_d, 0.5 * breadth, 2.2, 0.5]


def _hollowed(ring: list[float], hollow: float) -> list[float]:
    """A ring of the arm with its underside raised by ``hollow``."""
    s, u, front, back, half_u, n, share = ring
    return [s, u - 0.5 * hollow, front, back, half_u - 0.5 * hollow, n, share]


def make_arm(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Union:
    """The arm along the bind direction; u points to the palm side, v back, s to the hand."""
    v = m.value
    origin = frame["shoulder"]
    upper = float(np.linalg.norm(frame["elbow"] - origin))
    fore = float(np.linalg.norm(frame["wrist"] - frame["elbow"]))
    top = v("upper_arm_girth") * scale.get("upper_arm", 1.0)
    elbow = v("elbow_girth") * scale.get("elbow", 1.0)
    forearm = v("forearm_girth") * RELAXED_FOREARM * scale.get("forearm", 1.0)
    wrist = v("wrist_girth") * scale.get("wrist", 1.0)
    radius = top / (2.0 * math.pi)
    # a stout arm lies flat against the trunk
    flat = FLATTER * float(np.clip((top / v("height") - SLENDER) / (STOUT - SLENDER), 0.0, 1.0))
    hollow = max(LEAST_ARMPIT_M - scale.get("armpit", ARMPIT_JOINT_M), 0.0)
    rows = [
        _hollowed(_ring(-0.35 * radius, 0.007, 0.0, 0.96 * top, 1.10 + flat), hollow),
        _hollowed(_ring(0.14 * upper, -0.003, -0.001, 1.02 * top, 1.12 + flat), 0.8 * hollow),
        _ring(0.34 * upper, 0.0, -0.002, 1.00 * top, 1.08 + flat),
        _ring(0.56 * upper, 0.0, -0.004, between(elbow, top, 0.78), 1.07 + 0.7 * flat),
        _ring(0.80 * upper, 0.0, -0.002, between(elbow, top, 0.26), 1.02),
        _ring(upper, 0.0, 0.000, elbow, 1.00),
        _ring(upper + 0.22 * fore, 0.0, -0.002, forearm, 1.03),
        _ring(upper + 0.55 * fore, 0.0, -0.001, between(wrist, forearm, 0.56), 1.12),
        _ring(upper + 0.86 * fore, 0.0, 0.0, between(wrist, forearm, 0.10), 1.30),
        _ring(upper + fore, 0.0, 0.0, wrist, 1.42),
    ]
    rows.append(_ring(upper + fore + 0.16 * v("hand_length"), 0.0, 0.0, 0.72 * wrist, 1.8))
    table = np.array(rows)
    limb = make_loft(table[:, 0], table[:, 1:], origin, ARM_AXES, cap_m=0.7 * radius)
    hand = Union((_palm(m, frame["wrist"]), _thumb(m, frame["wrist"])), (0.016,))
    middle = 0.5 * (frame["wrist"] + frame["finger_tip"])
    return Union((limb, Held(hand, middle, 0.7 * v("hand_length"))), (0.024,))


def _palm(m: Measures, wrist: FloatArray) -> Plate:
    """The hand with closed fingers, a little curved to the palm side."""
    hand, half = m.value("hand_length"), 0.5 * m.value("hand_breadth")
    shape = np.array(
        [
            # share of the hand's length, half breadth over that of the hand, half thickness
            (0.06, 0.68, 0.092),
            (0.20, 0.86, 0.092),
            (0.34, 0.97, 0.088),
            (0.48, 1.00, 0.084),
            (0.62, 0.97, 0.078),
            (0.78, 0.88, 0.074),
            (0.88, 0.76, 0.070),
            (0.93, 0.60, 0.066),
        ]
    )
    share, broad, thick = shape[:, 0], shape[:, 1] * half, shape[:, 2] * hand
    share = share * (1.0 - shape[-1, 2]) / shape[-1, 0]  # the round end reaches the finger tip
    table = np.stack([0.055 * hand * share**2, np.maximum(broad - thick, 0.0), thick], axis=1)
    return Plate(wrist + share[0] * hand * ALONG_ARM, ARM_AXES, (share - share[0]) * hand, table)


def _thumb(m: Measures, wrist: FloatArray) -> Plate:
    """From the front edge of the palm, about 30 degrees off the hand."""
    hand, breadth = m.value("hand_length"), m.value("hand_breadth")
    start = wrist + 0.15 * hand * ALONG_ARM - 0.24 * breadth * DEPTH + 0.034 * hand * ARM_AXES[0]
    lean = math.radians(30.0)
    direction = math.cos(lean) * ALONG_ARM - math.sin(lean) * DEPTH
    axes = np.stack([ARM_AXES[0], np.cross(ARM_AXES[0], direction), direction])
    table = np.array([[0.0, 0.004, 0.084], [0.0, 0.006, 0.076], [0.0, 0.004, 0.068]])
    return Plate(start, axes, np.array([0.0, 0.22, 0.40]) * hand, table * hand)


def make_leg(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Union:
    """The leg by horizontal sections, with the foot."""
    v = m.value
    level = frame.levels
    knee, ankle = frame["knee"], frame["ankle"]
    knee_z, calf_z, ankle_z = level["knee"], level["calf"], level["ankle"]
    fold_z, crotch_z, hip_z = level["thigh"], level["crotch"], level["hip"]
    thigh, thigh_ratio, thigh_x, thigh_d = thigh_section(m, scale)
    lower = v("lower_thigh_girth") * scale.get("lower_thigh", 1.0)
    at_knee = v("knee_girth") * scale.get("knee", 1.0)
    calf = v("calf_girth") * scale.get("calf", 1.0)
    at_ankle = v("ankle_girth") * scale.get("ankle", 1.0)
    # the back of the thigh lies a little in front of the seat
    seat_y = hip_back_y(m, frame) - THIGH_BEHIND_HIP_M - thigh_d
    half_hip = 0.5 * breadth_for(m, "hip", 2.7) * scale.get("hip", 1.0)
    # above the hip it only lends its outline to the mixture with the trunk
    end_z = hip_z + 0.07
    middle = 0.55 * thigh + 0.45 * lower
    middle_x = max(between(thigh_x, knee[0], 0.45), ellipse_half_axes(middle, 1.12)[0] + 0.020)
    above_knee_x = max(between(knee[0], middle_x, 0.25), ellipse_half_axes(lower, 1.07)[0] + 0.024)
    knee_x = max(knee[0], ellipse_half_axes(at_knee, 1.05)[0] + 0.026)
    calf_x = max(knee_x + 0.002, ellipse_half_axes(calf, 1.05)[0] + 0.026)
    rows = [
        [0.018, ankle[0], ankle[1] - 0.026, ankle[1] + 0.026, 0.027, 2.1, 0.5],
        _ring(ankle_z, ankle[0], ankle[1] - 0.004, 1.06 * at_ankle, 1.24),
        _ring(ankle_z + 0.055, ankle[0], ankle[1] - 0.006, at_ankle, 1.16),
        _ring(
            between(ankle_z, calf_z, 0.58),
            between(ankle[0], calf_x, 0.58),
            0.026,
            between(at_ankle, calf, 0.52),
            1.09,
        ),
        _ring(calf_z, calf_x, 0.024, calf, 1.04),
        _ring(
            between(calf_z, knee_z, 0.64),
            between(calf_x, knee_x, 0.64),
            0.012,
            0.30 * calf + 0.66 * at_knee,
            1.03,
        ),
        _ring(knee_z, knee_x, -0.001, at_knee, 1.06),
        _ring(knee_z + LOWER_THIGH_ABOVE_KNEE_M, above_knee_x, -0.002, lower, 1.08),
        _ring(level["mid_thigh"], middle_x, between(seat_y, -0.002, 0.55) - 0.006, middle, 1.12),
        _ring(fold_z, thigh_x, seat_y, thigh, thigh_ratio),
        _ring(
            min(crotch_z + 0.012, between(crotch_z, hip_z, 0.5)),
            thigh_x,
            seat_y,
            0.985 * thigh,
            thigh_ratio,
        ),
        _side(hip_z, half_hip, 0.97 * half_hip, seat_y + 0.004, 1.02 * thigh_d),
        _side(end_z, 0.95 * half_hip, 0.92 * half_hip, seat_y + 0.006, thigh_d),
    ]
    table = np.array(rows)
    limb = make_loft(table[:, 0], table[:, 1:], curve=partial(flowing_curve, flow_m=LEG_FLOW_M))
    length = v("foot_length")
    sole = np.array([ankle[0], ankle[1] - 0.3 * length, 0.0])
    return Union((limb, Held(_foot(m, frame), sole, 0.6 * length)), (0.030,))


def _foot(m: Measures, frame: Frame) -> Loft:
    """Along the foot from heel to toes, turned out a little; u across, v upwards, s forwards."""
    length, breadth = m.value("foot_length"), m.value("foot_breadth")
    ankle = frame["ankle"]
    turn = math.radians(6.0)
    forward = np.array([math.sin(turn), -math.cos(turn), 0.0])
    side = np.array([math.cos(turn), math.sin(turn), 0.0])
    heel = np.array([ankle[0], ankle[1], SOLE_M]) - 0.215 * length * forward
    rows = []
    for share, half, top, shift in (
        (0.000, 0.10, 0.026, 0.000),
        (0.015, 0.20, 0.036, 0.000),
        (0.070, 0.315, 0.056, 0.000),
        (0.200, 0.350, 0.074, 0.000),
        (0.350, 0.350, 0.074, 0.000),
        (0.500, 0.390, 0.060, -0.001),
        (0.700, 0.490, 0.040, -0.003),
        (0.850, 0.450, 0.028, -0.006),
        (0.940, 0.350, 0.023, -0.010),
        (0.985, 0.190, 0.017, -0.014),
        (1.000, 0.070, 0.012, -0.016),
    ):
        rows.append([share * length, shift, 0.0, top * length / 0.25, half * breadth, 2.6, 0.42])
    table = np.array(rows)
    axes = np.stack([side, np.array([0.0, 0.0, 1.0]), forward])
    return make_loft(table[:, 0], table[:, 1:], heel, axes)

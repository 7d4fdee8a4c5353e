# SPDX-License-Identifier: GPL-3.0-or-later
"""Bones, and where a pose moves them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import BIND_ABDUCTION, Frame
from .head import NECK_AXIS_FORWARD_M
from .poses import Limbs, Pose

__all__ = ["BONES", "PARENTS", "Skeleton", "bone_motions", "build_skeleton", "shortest_turn"]

SIDES = ("left", "right")
# A limb's turn about its own length is spread along it: the bone ends in a turning bone.
_LIMB_PARENTS = {
    "clavicle": "chest",
    "upper_arm": "clavicle",
    "upper_arm_turn": "upper_arm",
    "forearm": "upper_arm_turn",
    "forearm_turn": "forearm",
    "hand": "forearm_turn",
    "thigh": "pelvis",
    "shank": "thigh",
    "foot": "shank",
}
BONES: tuple[str, ...] = (
    "pelvis",
    "waist",
    "chest",
    "neck",
    "head",
    *(f"{bone}_{side}" for side in SIDES for bone in _LIMB_PARENTS),
)
PARENTS: Mapping[str, str] = {
    "waist": "pelvis",
    "chest": "waist",
    "neck": "chest",
    "head": "neck",
    **{
        f"{bone}_{side}": parent if parent in ("chest", "pelvis") else f"{parent}_{side}"
        for side in SIDES
        for bone, parent in _LIMB_PARENTS.items()
    },
}
# Collar bone and shoulder blade take about a third of an arm's elevation from some 30 degrees on
# (Inman 1944), and about half of that third lifts the shoulder point. Here the lift begins past the
# bind pose, where the shoulder points are those of a standing person, and is the same in all with
# the arm raised high.
GIRDLE_START = math.radians(66.0)
GIRDLE_SHARE = 0.21
# The knee turns about the rear of the condyles: behind the middle of the leg.
KNEE_AXIS_BACK_M = 0.010


@dataclass(frozen=True, slots=True)
class Skeleton:
    """Where each bone starts (its joint) in the bind pose; x to the wearer's left."""

    joints: Mapping[str, FloatArray]


def build_skeleton(m: Measures, frame: Frame) -> Skeleton:
    """Joint centres: limbs from the frame, the spine from the levels."""
    v = m.value
    joints = {
        "pelvis": np.array([0.0, frame["hip"][1], frame["hip"][2]]),
        "waist": np.array([0.0, 0.035, 0.5 * (v("navel_waist_height") + v("iliac_crest_height"))]),
        "chest": np.array([0.0, 0.045, v("waist_height") + 0.02]),
        "neck": frame["neck_root"] - np.array([0.0, NECK_AXIS_FORWARD_M, 0.0]),
        "head": np.array([0.0, 0.005, frame["chin"][2] + 0.035]),
    }
    left = {
        "clavicle": np.array([0.018, 0.0, frame["shoulder_point"][2] - 0.015]),
        "upper_arm": frame["shoulder"],
        "upper_arm_turn": frame["shoulder"],
        "forearm": frame["elbow"],
        "forearm_turn": frame["elbow"],
        "hand": frame["wrist"],
        "thigh": frame["hip"],
        "shank": frame["knee"] + np.array([0.0, KNEE_AXIS_BACK_M, 0.0]),
        "foot": frame["ankle"],
    }
    for bone, joint in left.items():
        joints[f"{bone}_left"] = joint
        joints[f"{bone}_right"] = joint * np.array([-1.0, 1.0, 1.0])
    return Skeleton({bone: joints[bone] for bone in BONES})


def _turn(axis: int, angle: float) -> FloatArray:
    """Rotation matrix by ``angle`` about the x (0), y (1) or z (2) axis."""
    c, s = math.cos(angle), math.sin(angle)
    one, two = (axis + 1) % 3, (axis + 2) % 3
    matrix = np.eye(3)
    matrix[one, one] = matrix[two, two] = c
    matrix[one, two], matrix[two, one] = -s, s
    return matrix


def bone_motions(skeleton: Skeleton, pose: Pose) -> tuple[FloatArray, FloatArray]:
    """Rotation (b, 3, 3) and shift (b, 3) of each bone: a bind point p moves to R p + shift."""
    local = {bone: np.eye(3) for bone in BONES}
    # forward is -y: a positive turn about x carries down to forward
    local["pelvis"] = _turn(0, -pose.recline)
    local["waist"] = _turn(0, 0.5 * pose.trunk_flexion)
    local["chest"] = _turn(0, 0.5 * pose.trunk_flexion)
    local["neck"] = _turn(0, 0.5 * pose.neck_flexion)
    local["head"] = _turn(0, 0.5 * pose.neck_flexion)
    for side in SIDES:
        limbs: Limbs = getattr(pose, side)
        sign = 1.0 if side == "left" else -1.0
        arm = (
            _turn(0, -limbs.shoulder_flexion)
            @ _turn(1, -sign * limbs.shoulder_abduction)
            @ _turn(2, -sign * limbs.shoulder_rotation)
        )
        girdle = _girdle(arm, sign)
        local[f"clavicle_{side}"] = girdle
        bind = _turn(1, -sign * BIND_ABDUCTION)
        whole = girdle.T @ arm @ bind.T
        swing = shortest_turn(-bind[:, 2], -whole @ bind[:, 2])
        local[f"upper_arm_{side}"] = swing
        local[f"upper_arm_turn_{side}"] = swing.T @ whole
        # limb joints turn in the hanging frame of their limb
        local[f"forearm_{side}"] = bind @ _turn(0, -limbs.elbow_flexion) @ bind.T
        local[f"forearm_turn_{side}"] = bind @ _turn(2, -sign * limbs.forearm_rotation) @ bind.T
        local[f"thigh_{side}"] = _turn(0, -limbs.hip_flexion) @ _turn(
            1, -sign * limbs.hip_abduction
        )
        local[f"shank_{side}"] = _turn(0, limbs.knee_flexion)
        local[f"foot_{side}"] = _turn(0, -limbs.ankle_flexion)
    rotations: dict[str, FloatArray] = {}
    shifts: dict[str, FloatArray] = {}
    for bone in BONES:
        joint = skeleton.joints[bone]
        if bone == "pelvis":
            rotation, moved = local[bone], joint
        else:
            parent = PARENTS[bone]
            rotation = rotations[parent] @ local[bone]
            moved = rotations[parent] @ joint + shifts[parent]
        rotations[bone] = rotation
        shifts[bone] = moved - rotation @ joint
    return np.stack([rotations[b] for b in BONES]), np.stack([shifts[b] for b in BONES])


def shortest_turn(start: FloatArray, end: FloatArray) -> FloatArray:
    """Rotation matrix that turns one unit vector into another the shortest way (not opposite)."""
    axis = np.cross(start, end)
    cross = np.array([[0.0, -axis[2], axis[1]], [axis[2], 0.0, -axis[0]], [-axis[1], axis[0], 0.0]])
    result: FloatArray = np.eye(3) + cross + cross @ cross / (1.0 + float(start @ end))
    return result


def _girdle(arm: FloatArray, sign: float) -> FloatArray:
    """Turn of the shoulder girdle: towards where the arm points, once it is well raised.

    At the bind pose it is the identity, and nearly so below it: the body is built with its
    shoulder points where a standing person's are, and they must not sink when the arms do.
    """
    down = -arm[:, 2]  # where the hanging arm's length points to
    elevation = math.acos(min(max(-down[2], -1.0), 1.0))
    rise = GIRDLE_SHARE * (_past(elevation) - _past(BIND_ABDUCTION))
    forward = -down[1] * math.sin(elevation)
    # lifts in the frontal plane; swings forward a little with an arm that points forward
    return _turn(2, -sign * 0.12 * max(forward, 0.0)) @ _turn(1, -sign * rise)


def _past(elevation: float) -> float:
    """Elevation past the start, rounded so that the girdle moves without a jerk."""
    soft = math.radians(7.0)
    return soft * math.log1p(math.exp((elevation - GIRDLE_START) / soft))

# SPDX-License-Identifier: GPL-3.0-or-later
"""The tape laid round a finished mannequin: what its mesh measures, under the tape's names.

Taken on the bind pose, upright with the arms to the side, as for a chest girth with room for the
tape; the height of the wrist is taken with the arms hanging.
"""

import math

import numpy as np

from .fitting import UPPER_ARM_SHARE, neck_reach
from .frame import (
    BIND_ABDUCTION,
    HANGING_ABDUCTION,
    HANGING_ELBOW,
    OVER_SHOULDER,
    POINT_TO_JOINT,
    back_length_allowance,
    elbow_allowance,
)
from .head import NECK_ABOVE_BACK_POINT_M, NECK_TILT
from .limbs import LOWER_THIGH_ABOVE_KNEE_M, RELAXED_FOREARM
from .mannequin import Mannequin, PosedBody
from .measuring import armpit_height, hull_girth, section_points, top_of_section
from .poses import symmetric
from .skeleton import BONES, bone_motions

__all__ = ["measure_body"]

BIND = symmetric(shoulder_abduction=math.degrees(BIND_ABDUCTION))
HANGING = symmetric(
    shoulder_abduction=math.degrees(HANGING_ABDUCTION), elbow_flexion=math.degrees(HANGING_ELBOW)
)
LEFT_LEG = 3


def measure_body(mannequin: Mannequin) -> dict[str, float]:
    """Measures in metres, by the names of the tape.

    Girths are hull perimeters of slices, breadths and depths the extent of the same slices;
    heights are those of the mesh where it has the feature (top, crotch, shoulder) and of the
    landmark elsewhere.
    """
    body = mannequin.posed(BIND)
    mark = body.landmarks
    result = {"height": float(body.vertices[:, 2].max())}
    for level in ("bust", "underbust", "waist", "navel_waist", "hip"):
        points = body.trunk_slice(mark[level][2])
        result[f"{level}_girth"] = hull_girth(points)
        result[f"{level}_breadth"], result[f"{level}_depth"] = np.ptp(points, axis=0).tolist()
    for name, height in (
        ("thigh", mark["thigh"][2]),
        ("lower_thigh", mark["knee"][2] + LOWER_THIGH_ABOVE_KNEE_M),
        ("knee", mark["knee"][2]),
        ("calf", mark["calf"][2]),
        ("ankle", mark["ankle"][2] + 0.055),
    ):
        result[f"{name}_girth"] = _leg_girth(body, float(height))
    result["upper_arm_girth"] = body.limb_girth("shoulder_left", "elbow_left", UPPER_ARM_SHARE)
    result["elbow_girth"] = body.limb_girth("elbow_left", "wrist_left", 0.0)
    result["forearm_girth"] = body.limb_girth("elbow_left", "wrist_left", 0.22) / RELAXED_FOREARM
    result["wrist_girth"] = body.limb_girth("elbow_left", "wrist_left", 1.0)
    result["neck_girth"] = _neck_girth(mannequin, body)
    result.update(_heights(mannequin, body))
    tip, neck = mark["shoulder_point_left"], mark["side_neck_point_left"]
    result["shoulder_length"] = float(np.linalg.norm(tip - neck))
    result["biacromial_breadth"] = 2.0 * float(tip[0])
    result["foot_length"] = _foot_length(body)
    result["back_neck_point_to_wrist"] = _neck_to_wrist(mannequin, body)
    result["wrist_height"] = _hanging_wrist_height(mannequin)
    return result


def _hanging_wrist_height(mannequin: Mannequin) -> float:
    hand = BONES.index("hand_left")
    rotations, shifts = bone_motions(mannequin.skeleton, HANGING)
    wrist = rotations[hand] @ mannequin.skeleton.joints["hand_left"] + shifts[hand]
    return float(wrist[2] - mannequin.vertices[:, 2].min())


def _neck_to_wrist(mannequin: Mannequin, body: PosedBody) -> float:
    """From the back neck point over shoulder point and bent elbow to the wrist."""
    tip, joint = body.landmarks["shoulder_point_left"], body.joints
    back = np.linalg.norm(tip - body.landmarks["back_neck_point"])
    depth = tip[2] - joint["shoulder_left"][2]
    upper = np.linalg.norm(joint["elbow_left"] - joint["shoulder_left"]) + POINT_TO_JOINT * depth
    fore = np.linalg.norm(joint["wrist_left"] - joint["elbow_left"])
    arm = float(upper + fore) + elbow_allowance(mannequin.measures)
    return OVER_SHOULDER * float(back) + arm


def _leg_girth(body: PosedBody, height: float) -> float:
    leg = (body.part == LEFT_LEG)[body.triangles].any(axis=1)
    segments, _ = section_points(
        body.vertices, body.triangles[leg], np.array([0.0, 0.0, height]), np.array([0.0, 0.0, 1.0])
    )
    points = segments.reshape(-1, 3)[:, :2]
    return hull_girth(points[points[:, 0] > 0.002])


def _neck_girth(mannequin: Mannequin, body: PosedBody) -> float:
    centre = body.joints["neck"] + np.array([0.0, 0.0, NECK_ABOVE_BACK_POINT_M])
    normal = np.array([0.0, -math.sin(NECK_TILT), math.cos(NECK_TILT)])
    segments, _ = section_points(body.vertices, body.triangles, centre, normal)
    offset = segments.reshape(-1, 3) - centre
    flat = np.stack([offset[:, 0], offset @ np.cross(normal, [1.0, 0.0, 0.0])], axis=1)
    return hull_girth(flat[(flat**2).sum(axis=1) < neck_reach(mannequin.measures) ** 2])


def _heights(mannequin: Mannequin, body: PosedBody) -> dict[str, float]:
    mark_of = body.landmarks
    middle = np.abs(body.vertices[:, 0]) < 1e-9
    z = body.vertices[:, 2]
    between_legs = middle & (z > mark_of["knee"][2]) & (z < mark_of["crotch"][2] + 0.05)
    heights = {
        "inside_leg_height": float(z[between_legs].min()),
    }
    for name in ("shoulder_point", "side_neck_point"):
        mark = mark_of[f"{name}_left"]
        heights[f"{name}_height"] = float(top_of_section(body.vertices, body.triangles, mark)[2])
    for name in ("back_neck_point", "front_neck_point"):
        heights[f"{name}_height"] = float(mark_of[name][2])
    for name in ("bust", "waist", "navel_waist", "hip", "knee", "calf", "ankle"):
        heights[f"{name}_height"] = float(mark_of[name][2])
    drop = mark_of["back_neck_point"][2] - mark_of["waist"][2]
    allowance = back_length_allowance(mannequin.measures)
    heights["back_neck_point_to_waist"] = float(drop) + allowance
    heights["axilla_height"] = armpit_height(
        body.vertices,
        body.triangles,
        body.joints["shoulder_left"],
        float(mark_of["axilla"][2]),
    )
    return heights


def _foot_length(body: PosedBody) -> float:
    """Along the foot, which turns out a little."""
    foot = body.vertices[(body.part == LEFT_LEG) & (body.vertices[:, 2] < 0.05)][:, :2]
    angle = np.radians(np.arange(0.0, 13.0))
    return float(np.ptp(foot @ np.stack([np.sin(angle), -np.cos(angle)]), axis=0).max())

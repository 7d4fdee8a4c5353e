# SPDX-License-Identifier: GPL-3.0-or-later
"""The mannequin: a body built from a tape, and that body in a pose."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray, IntArray
from ..tape import Measures
from .measuring import hull_girth, section_points, slice_points
from .poses import Pose
from .skeleton import Skeleton, bone_motions
from .skinning import motion_quaternions, move_points

__all__ = ["Mannequin", "PosedBody", "vertex_normals"]

PARTS = ("trunk", "arm_left", "arm_right", "leg_left", "leg_right")  # numbers of the parts
ARMS = (1, 2)
HAND_BREADTH_M = 0.080
ARM_JOINTS = ("shoulder", "elbow", "wrist", "knuckles", "finger_tip")
LIMB_REACH_M = 0.16  # a bent limb is cut twice: what is farther from the station does not count
LEVELS = (
    "axilla",
    "bust",
    "underbust",
    "waist",
    "navel_waist",
    "hip",
    "crotch",
    "gluteal_fold",
    "thigh",
    "mid_thigh",
    "knee",
    "calf",
    "ankle",
)


@dataclass(frozen=True, slots=True)
class PosedBody:
    """A body in a pose, its lowest point on the floor (z = 0).

    ``landmarks`` and ``joints`` map names (``bust``, ``shoulder_point_left``, ``elbow_left``,
    ...) to points (3,). Triangles are counter-clockwise seen from outside.
    """

    vertices: FloatArray
    triangles: IntArray
    normals: FloatArray
    part: IntArray
    landmarks: Mapping[str, FloatArray]
    joints: Mapping[str, FloatArray]
    pose: Pose

    def trunk_slice(self, height_m: float) -> FloatArray:
        """Points (k, 2) in x and y where a horizontal plane cuts the body, arms left out."""
        arms = np.isin(self.part, ARMS)[self.triangles].any(axis=1)
        return slice_points(self.vertices, self.triangles[~arms], height_m)

    def limb_girth(self, start: str, end: str, fraction: float) -> float:
        """Tape girth across a limb, at ``fraction`` of the way between two of its joints."""
        part = PARTS.index(("arm_" if start.startswith(ARM_JOINTS) else "leg_") + side_of(start))
        mine = (self.part == part)[self.triangles].all(axis=1)
        along = self.joints[end] - self.joints[start]
        centre = self.joints[start] + fraction * along
        along = along / np.linalg.norm(along)
        segments, _ = section_points(self.vertices, self.triangles[mine], centre, along)
        points = segments.reshape(-1, 3) - centre
        first = np.cross(np.array([0.34, 0.94, 0.0]), along)
        first = first / np.linalg.norm(first)
        flat = points @ np.stack([first, np.cross(along, first)], axis=1)
        return hull_girth(flat[(flat**2).sum(axis=1) <= LIMB_REACH_M**2])


def side_of(name: str) -> str:
    """``left`` or ``right``, the end of a joint's name."""
    return name.rsplit("_", 1)[1]


@dataclass(frozen=True, slots=True)
class Mannequin:
    """A body in its bind pose (arms straight, 55 degrees to the side), ready to be posed."""

    measures: Measures
    warnings: tuple[str, ...]
    vertices: FloatArray  # (n, 3)
    triangles: IntArray  # (t, 3)
    mirror: IntArray  # (n,) vertex at (-x, y, z)
    part: IntArray  # (n,) 0 trunk and head, 1 left arm, 2 right arm, 3 left leg, 4 right leg
    weights: FloatArray  # (n, b)
    landmarks: Mapping[str, FloatArray]
    landmark_weights: FloatArray
    skeleton: Skeleton

    def posed(self, pose: Pose) -> PosedBody:
        """The body in a pose, standing, sitting or lying on z = 0."""
        rotations, shifts = bone_motions(self.skeleton, pose)
        motions = motion_quaternions(rotations, shifts)
        vertices = move_points(self.vertices, self.weights, motions)
        names = list(self.landmarks)
        marks = move_points(
            np.stack([self.landmarks[name] for name in names]), self.landmark_weights, motions
        )
        floor = np.array([0.0, 0.0, vertices[:, 2].min()])
        vertices -= floor
        bones = self.skeleton.joints
        centres = {
            bone: rotation @ joint + shift - floor
            for (bone, joint), rotation, shift in zip(bones.items(), rotations, shifts, strict=True)
        }
        joints = {JOINT_NAMES.get(bone, bone): centre for bone, centre in centres.items()}
        landmarks = {name: mark - floor for name, mark in zip(names, marks, strict=True)}
        for side in ("left", "right"):
            joints[f"knuckles_{side}"] = landmarks.pop(f"knuckles_{side}")
            joints[f"finger_tip_{side}"] = landmarks.pop(f"finger_tip_{side}")
        return PosedBody(
            vertices,
            self.triangles,
            vertex_normals(vertices, self.triangles),
            self.part,
            MappingProxyType(landmarks),
            MappingProxyType(joints),
            pose,
        )

    def arm_gap_m(self, pose: Pose) -> float:
        """Least distance of the left arm from the trunk, a hand's breadth below the armpit."""
        body = self.posed(pose)
        level = body.landmarks["axilla"] - np.array([0.0, 0.0, HAND_BREADTH_M])
        outlines = []
        for part in (0, PARTS.index("arm_left")):
            mine = (self.part == part)[self.triangles].all(axis=1)
            segments, _ = section_points(
                body.vertices, self.triangles[mine], level, np.array([0.0, 0.0, 1.0])
            )
            outlines.append(segments.reshape(-1, 3)[:, :2])
        trunk, arm = outlines
        if not len(trunk) or not len(arm):
            return float("inf")
        between_all = np.linalg.norm(trunk[:, None] - arm[None], axis=2)
        return float(between_all.min())

    def with_room(self, pose: Pose, gap_m: float) -> Pose:
        """The pose with both arms moved sideways, if need be, until cloth has room beside them.

        A wide body cannot hang its arms as straight as a slim one; with cloth between, less so.
        """
        for _ in range(8):
            missing = gap_m - self.arm_gap_m(pose)
            if missing <= 1e-4:
                break
            # the armpit level is about this far below the shoulder joint
            turn = min(missing / (HAND_BREADTH_M + 0.05) + 0.002, math.radians(6.0))
            pose = replace(
                pose,
                **{
                    side: replace(
                        getattr(pose, side),
                        shoulder_abduction=getattr(pose, side).shoulder_abduction + turn,
                    )
                    for side in ("left", "right")
                },
            )
        return pose


JOINT_NAMES = MappingProxyType(
    {
        f"{bone}_{side}": f"{joint}_{side}"
        for side in ("left", "right")
        for bone, joint in (
            ("upper_arm", "shoulder"),
            ("forearm", "elbow"),
            ("hand", "wrist"),
            ("thigh", "hip_joint"),
            ("shank", "knee"),
            ("foot", "ankle"),
        )
    }
    | {"pelvis": "pelvis", "waist": "lower_spine", "chest": "upper_spine"}
)


def vertex_normals(vertices: FloatArray, triangles: IntArray) -> FloatArray:
    """Unit normals (n, 3), faces weighted by area."""
    corner = vertices[triangles]
    face = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    normals = np.stack(
        [
            np.bincount(triangles.reshape(-1), np.repeat(face[:, axis], 3), len(vertices))
            for axis in range(3)
        ],
        axis=1,
    )
    result: FloatArray = normals / np.sqrt((normals**2).sum(axis=1, keepdims=True))
    return result

# SPDX-License-Identifier: GPL-3.0-or-later
"""The mannequin: a body built from a tape, and that body in a pose."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray, IntArray
from ..slices import Slices, finished
from ..tape import Measures
from .clearance import (
    HAND_BREADTH_M,
    ArmGaps,
    FreeArm,
    arm_gaps,
    free_arms,
    hung_easily,
    pose_with_room,
)
from .flattening import flattened, seat_flesh
from .furniture import FURNITURE, HELD
from .posed_body import PARTS, PosedBody
from .poses import HANDS_APART_M, HANGING, LYING, POSES, SEATED, Pose
from .skeleton import Skeleton, bone_motions
from .skinning import motion_quaternions, move_points

__all__ = ["HAND_BREADTH_M", "LEVELS", "PARTS", "Mannequin", "PosedBody"]

ANKLE_REGION_M = 0.02
LEAST_HOLDING_M = 0.022
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
        """The body in a pose, its lowest point as high over z = 0 as the pose says."""
        rotations, shifts = bone_motions(self.skeleton, pose)
        motions = motion_quaternions(rotations, shifts)
        vertices = move_points(self.vertices, self.weights, motions)
        names = list(self.landmarks)
        marks = move_points(
            np.stack([self.landmarks[name] for name in names]), self.landmark_weights, motions
        )
        floor = np.array([0.0, 0.0, vertices[:, 2].min() - pose.above_floor_m])
        vertices -= floor
        bones = self.skeleton.joints
        centres = {
            bone: rotation @ joint + shift - floor
            for (bone, joint), rotation, shift in zip(bones.items(), rotations, shifts, strict=True)
        }
        joints = {
            JOINT_NAMES.get(bone, bone): centre
            for bone, centre in centres.items()
            if "_turn_" not in bone
        }
        landmarks = {name: mark - floor for name, mark in zip(names, marks, strict=True)}
        for side in ("left", "right"):
            joints[f"knuckles_{side}"] = landmarks.pop(f"knuckles_{side}")
            joints[f"finger_tip_{side}"] = landmarks.pop(f"finger_tip_{side}")
        return PosedBody(
            vertices,
            self.triangles,
            self.part,
            MappingProxyType(landmarks),
            MappingProxyType(joints),
            pose,
        )

    def arm_gaps(self, body: PosedBody) -> ArmGaps:
        """The narrowest places between the left arm and the rest of this body in a pose."""
        return arm_gaps(body, self._free_arms()["left"])

    def _free_arms(self) -> dict[str, FreeArm]:
        joints, axilla_m = self.skeleton.joints, float(self.landmarks["axilla"][2])
        shoulder, elbow = joints["upper_arm_left"], joints["forearm_left"]
        return free_arms(self.vertices, self.part, shoulder, elbow, axilla_m)

    def _making_room(self, pose: Pose, room_m: float, hands_apart_m: float | None) -> Slices[Pose]:
        arms = self._free_arms()
        return (yield from pose_with_room(self.posed, arms, pose, room_m, hands_apart_m))

    def pose_with_room(self, name: str, room_m: float) -> Pose:
        """A named pose with room for cloth on this body: the way to ask for one to be draped in.

        ``room_m`` is kept between each arm (from a hand's breadth under the armpit on) and trunk,
        head, legs and other arm, and between the body and what it rests on.

        Raises
        ------
        KeyError
            There is no such pose.
        """
        return finished(self._posing(name, room_m))

    def _posing(self, name: str, room_m: float) -> Slices[Pose]:
        # arms that hold something before a leaning chest press into it with less
        beside_m = max(room_m, LEAST_HOLDING_M) if name in HELD else room_m
        pose = yield from self._making_room(POSES[name], beside_m, HANDS_APART_M.get(name))
        if name in HANGING:
            pose = yield from self._making_room(hung_easily(pose, POSES[name]), beside_m, None)
        if name in LYING:
            pose = yield from self._heels_down(pose)
        if pose.above_floor_m > 0.0:
            pose = replace(pose, above_floor_m=pose.above_floor_m + room_m)
        return pose

    def supported(self, name: str, room_m: float) -> PosedBody:
        """The body in a named pose with room for cloth, with its chair or bed, and its book."""
        return finished(self.taking_place(name, room_m))

    def taking_place(self, name: str, room_m: float) -> Slices[PosedBody]:
        """`supported` in slices."""
        pose = yield from self._posing(name, room_m)
        body = self.posed(pose)
        yield
        if name in SEATED:
            body = flattened(body, seat_flesh(self.weights))
            yield
        furniture, held = FURNITURE.get(name), HELD.get(name)
        return replace(
            body,
            supports=furniture(body, room_m) if furniture else (),
            held=held(body) if held else (),
        )

    def _heels_down(self, pose: Pose) -> Slices[Pose]:
        """The pose with the thighs turned until heels and seat lie equally deep."""
        feet = self.vertices[:, 2] < self.landmarks["ankle"][2] + ANKLE_REGION_M
        for _ in range(4):
            yield
            body = self.posed(pose)
            height = body.vertices[:, 2]
            reach = body.joints["hip_joint_left"][1] - body.joints["ankle_left"][1]
            turn = float(height[~feet].min() - height[feet].min()) / float(reach)
            limbs = replace(pose.left, hip_flexion=pose.left.hip_flexion + turn)
            pose = replace(pose, left=limbs, right=limbs)
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

# SPDX-License-Identifier: GPL-3.0-or-later
"""How far the arms keep from the rest of a posed body, and poses that give cloth room there."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from ..slices import Slices
from .frame import ALONG_ARM
from .posed_body import PARTS, PosedBody
from .poses import LIMITS_DEGREES, Limbs, Pose

__all__ = ["ArmGaps", "FreeArm", "Gap", "free_arms", "hung_easily", "pose_with_room"]

HAND_BREADTH_M = 0.080
# Between arm and trunk a hand's breadth under the armpit cloth is pinched anyway: there so much of
# the room must be clear, and all of it from the length of a hand under the armpit on. Asked for all
# of it from the first, large bodies would stand with their arms 30 degrees out.
PINCHED_SHARE, HAND_LENGTH_M = 0.6, 0.16
FAR_M = 0.15  # gaps are looked for up to this
SPREAD_M = 0.012  # nearest vertices this much farther than the nearest of all are looked at too
FACING = 0.6  # cosine up to which a vertex's normal says how far its surface is
DEEP_M = 0.06  # an arm point this close behind the skin is inside
MOST_TURN = math.radians(6.0)
ROUNDS = 16
BENDING_SHARE = 0.25  # bending the elbow is preferred to spreading the arms from this share on
# An arm that hangs so much wider than usual has its elbow turned out and bent so far, and its palm
# turned back to the thigh.
EASED_BY = math.radians(12.0)
EASY_ROTATION, EASY_BEND, EASY_TURN_BACK = (math.radians(d) for d in (40.0, 13.0, 30.0))
NEAR_ENOUGH_M = 1e-4
HANDS_NEAR_ENOUGH_M = 0.005
SPARE_M = 0.010


@dataclass(frozen=True, slots=True)
class FreeArm:
    """Vertices of one arm from a hand's breadth under the armpit on, and what it may touch.

    ``share`` is the share of the room that each must keep from the trunk; ``forearm`` are those
    past the elbow, with the hand.
    """

    arm: IntArray
    share: FloatArray
    forearm: IntArray
    trunk: IntArray
    legs: IntArray
    other_arm: IntArray


@dataclass(frozen=True, slots=True)
class Gap:
    """The place between an arm and another part that gives cloth the least room.

    ``width_m`` is the room that it gives: the gap there over the ``share`` of the room that must
    be clear there; negative if the arm is inside. ``point`` (3,) is on the arm, ``direction``
    (3,) the unit vector away from the other part. Beyond `FAR_M` nothing is looked for: the width
    is then `FAR_M`.
    """

    width_m: float
    share: float
    point: FloatArray
    direction: FloatArray

    def missing_m(self, room_m: float) -> float:
        """How much wider the gap must be to give that room, m; negative if it does."""
        return self.share * (room_m - self.width_m)


@dataclass(frozen=True, slots=True)
class ArmGaps:
    """From one arm to the trunk with neck and head, to the legs, and to the other arm.

    ``forearm`` is the gap between forearm with hand and the trunk.
    """

    trunk: Gap
    forearm: Gap
    legs: Gap
    other_arm: Gap


def free_arms(
    vertices: FloatArray,
    part: IntArray,
    shoulder: FloatArray,
    elbow: FloatArray,
    axilla_m: float,
) -> dict[str, FreeArm]:
    """Which vertices of the bind pose are free arm, by side; left ``shoulder``, ``elbow`` (3,)."""
    folded = vertices.copy()
    folded[:, 0] = np.abs(folded[:, 0])
    along = (folded - shoulder) @ ALONG_ARM
    below = along - (shoulder[2] - axilla_m)
    free = below > HAND_BREADTH_M
    way = (below - HAND_BREADTH_M) / (HAND_LENGTH_M - HAND_BREADTH_M)
    share = np.clip(PINCHED_SHARE + (1.0 - PINCHED_SHARE) * way, PINCHED_SHARE, 1.0)
    fore = along > float(np.linalg.norm(elbow - shoulder))

    def rows(mask: BoolArray) -> IntArray:
        return np.flatnonzero(mask)

    on_left, on_right = (part == PARTS.index(f"arm_{side}") for side in ("left", "right"))
    left, right = rows(on_left & free), rows(on_right & free)
    trunk, legs = rows(part == 0), rows(part >= PARTS.index("leg_left"))
    return {
        "left": FreeArm(left, share[left], rows(on_left & fore), trunk, legs, right),
        "right": FreeArm(right, share[right], rows(on_right & fore), trunk, legs, left),
    }


def arm_gaps(body: PosedBody, free: FreeArm) -> ArmGaps:
    """The narrowest places between one arm and the rest of the body."""
    return ArmGaps(
        trunk=_gap(body, free.arm, free.trunk, free.share),
        forearm=_gap(body, free.forearm, free.trunk),
        legs=_gap(body, free.arm, free.legs),
        other_arm=_gap(body, free.arm, free.other_arm),
    )


def _gap(body: PosedBody, arm: IntArray, other: IntArray, shares: FloatArray | None = None) -> Gap:
    share = np.ones(len(arm)) if shares is None else shares
    points, surface, normals = body.vertices[arm], body.vertices[other], body.normals[other]
    near = _within(surface, points)
    surface, normals = surface[near], normals[near]
    within = np.flatnonzero(_within(points, surface)) if len(surface) else np.zeros(0, np.int64)
    if not len(within):
        return Gap(FAR_M, 1.0, np.zeros(3), np.zeros(3))
    points, share = points[within], share[within]
    square = (points**2).sum(axis=1)[:, None] + (surface**2).sum(axis=1) - 2.0 * points @ surface.T
    nearest = np.argmin(square, axis=1)
    offset = points - surface[nearest]
    away = np.sqrt((offset**2).sum(axis=1))
    height = (offset * normals[nearest]).sum(axis=1)
    facing = np.abs(height) > FACING * away
    width = np.where(facing, height, away)
    room = np.where(width > 0.0, width / share, width)
    given = away / share
    looked_at = (given < given.min() + SPREAD_M) | (facing & (height < 0.0) & (away < DEEP_M))
    least = int(np.argmin(np.where(looked_at, room, np.inf)))
    return Gap(
        min(float(room[least]), FAR_M),
        float(share[least]),
        points[least],
        normals[nearest[least]],
    )


def _within(points: FloatArray, others: FloatArray) -> BoolArray:
    low, high = others.min(axis=0) - FAR_M, others.max(axis=0) + FAR_M
    result: BoolArray = ((points > low) & (points < high)).all(axis=1)
    return result


def pose_with_room(
    posed: Callable[[Pose], PosedBody],
    free: dict[str, FreeArm],
    pose: Pose,
    room_m: float,
    hands_apart_m: float | None = None,
) -> Slices[Pose]:
    """The pose with the arms moved, if need be, until ``room_m`` of cloth has room beside them.

    A wide body cannot hang its arms as straight as a slim one; with cloth between, less so. Away
    from the trunk an arm is raised to the side; away from the thighs it is raised to the side or
    bent, where that helps. Hands that hold something are turned towards each other until they
    are ``hands_apart_m`` apart, as far as there is room.
    """
    alike = pose.left == pose.right
    for _ in range(ROUNDS):
        body = posed(pose)
        yield

        def moved(side: str, limbs: Limbs, body: PosedBody = body) -> Limbs:
            gaps = arm_gaps(body, free[side])
            return _moved_arm(limbs, side, body, gaps, room_m, hands_apart_m)

        left = moved("left", pose.left)
        yield
        right = left if alike else moved("right", pose.right)
        if (left, right) == (pose.left, pose.right):
            break
        pose = replace(pose, left=left, right=right)
    return pose


def hung_easily(pose: Pose, usual: Pose) -> Pose:
    """A pose in which arms hang wider than usual, with elbows turned out and bent.

    Upper arms that a wide trunk holds out do not make the whole arm stand out: the forearms still
    hang down.
    """

    def eased(limbs: Limbs, before: Limbs) -> Limbs:
        wider = limbs.shoulder_abduction - before.shoulder_abduction
        share = min(max(wider, 0.0) / EASED_BY, 1.0)
        return replace(
            limbs,
            shoulder_rotation=before.shoulder_rotation + share * EASY_ROTATION,
            elbow_flexion=max(limbs.elbow_flexion, before.elbow_flexion + share * EASY_BEND),
            forearm_rotation=before.forearm_rotation - share * EASY_TURN_BACK,
        )

    return replace(pose, left=eased(pose.left, usual.left), right=eased(pose.right, usual.right))


def _moved_arm(
    limbs: Limbs,
    side: str,
    body: PosedBody,
    gaps: ArmGaps,
    room_m: float,
    hands_apart_m: float | None,
) -> Limbs:
    shoulder, elbow = (body.joints[f"{joint}_{side}"] for joint in ("shoulder", "elbow"))
    turns = dict.fromkeys(("shoulder_abduction", "elbow_flexion", "shoulder_rotation"), 0.0)
    for gap in (gaps.trunk, gaps.legs):
        missing = gap.missing_m(room_m)
        if missing <= NEAR_ENOUGH_M:
            continue
        joint, lever = "shoulder_abduction", float(np.linalg.norm(gap.point - shoulder))
        if gap is gaps.legs:
            sideways = lever * abs(float(gap.direction[0]))
            bending = _rise_by_bending(body, side, gap)
            if bending > BENDING_SHARE * sideways:
                joint, lever = "elbow_flexion", bending
            else:
                lever = sideways
        turns[joint] = max(turns[joint], min(missing / lever + 0.002, MOST_TURN))
    missing = room_m - gaps.other_arm.width_m
    spare_m = min(gaps.forearm.width_m, gaps.legs.width_m) - room_m
    if missing > NEAR_ENOUGH_M:
        lever = float(np.linalg.norm(gaps.other_arm.point - elbow))
        turns["shoulder_rotation"] = -min(missing / lever + 0.002, MOST_TURN)
    elif hands_apart_m is not None and spare_m > SPARE_M:
        hands = np.linalg.norm(body.joints["knuckles_left"] - body.joints["knuckles_right"])
        excess = 0.5 * (float(hands) - hands_apart_m)
        if excess > HANDS_NEAR_ENOUGH_M:
            reach = float(np.linalg.norm(body.joints[f"knuckles_{side}"] - elbow))
            turns["shoulder_rotation"] = min(excess / reach, MOST_TURN)
    return replace(
        limbs,
        **{joint: _limited(joint, getattr(limbs, joint) + turn) for joint, turn in turns.items()},
    )


def _rise_by_bending(body: PosedBody, side: str, gap: Gap) -> float:
    """How fast (m/rad) bending the elbow takes the narrowest place away from the other part."""
    shoulder, elbow, wrist = (
        body.joints[f"{joint}_{side}"] for joint in ("shoulder", "elbow", "wrist")
    )
    axis = np.cross(elbow - shoulder, wrist - elbow)
    length = float(np.linalg.norm(axis))
    if length < 1e-6:
        return 0.0
    return float(np.cross(axis / length, gap.point - elbow) @ gap.direction)


def _limited(joint: str, angle: float) -> float:
    low, high = LIMITS_DEGREES[joint]
    return min(max(angle, math.radians(low)), math.radians(high))

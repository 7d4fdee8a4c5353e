# SPDX-License-Identifier: GPL-3.0-or-later
"""The twin of an own body: a mannequin with its measures, in the pose that comes closest to it.

A garment is dressed on a body whose arms can be moved; an own body cannot move. So its twin is
dressed and takes its pose, and then the own body stands in the twin's place.

The pose is found by point-to-plane registration (Chen and Medioni 1992) over joint angles in
place of one rigid motion: the twin's skin is drawn to the tangent planes at the closest places of
the own body, from a start that its joints give.
"""

import math
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray
from ..tape import Tape
from .building import build_mannequin
from .distance import BodyDistance, Nearest
from .mannequin import Mannequin, PosedBody
from .own_body import OwnBody
from .poses import LIMITS_DEGREES, POSES, Limbs, Pose

__all__ = ["posed", "twin"]

SIDES = ("left", "right")
ARM_ANGLES = ("shoulder_abduction", "shoulder_flexion", "shoulder_rotation", "elbow_flexion")
LEG_ANGLES = ("hip_abduction", "hip_flexion")
ROUNDS = 8
STILL = math.radians(0.05)
NUDGE = math.radians(0.5)
MOST_POINTS = 3000
TRUSTED_M = 0.02  # a place farther off counts less, as its inverse (Huber 1964)
HELD_SHARE = 1e-3
PLAY = math.radians(12.0)  # from the start, of angles that the skin does not tell
LEAST_BEND = math.radians(15.0)  # a straighter elbow does not show which way it bends
LEVEL = 0.1  # an arm within so many radians of the axis of flexion
SHIFT_ROUNDS = 4


def twin(own: OwnBody, tape: Tape | None = None) -> tuple[Mannequin, Pose]:
    """A mannequin with an own body's measures, and the pose in which it comes closest to it.

    Parameters
    ----------
    own
        The body.
    tape
        The measures to build from, if more are known than those of the mesh.
    """
    mannequin = build_mannequin(tape or Tape(sex=own.sex, given=own.measures))
    surface = _distance_to(own)
    # arms that the own body has not would be drawn to its sides
    shown = ~np.isin(mannequin.part, [1 + SIDES.index(side) for side in _armless(own)])
    pick = np.flatnonzero(shown)[:: max(len(mannequin.vertices) // MOST_POINTS, 1)]
    start = _angles(_first_pose(own))
    angles, shift = start.copy(), np.zeros(2)
    for _ in range(ROUNDS):
        here = _skin(mannequin, angles)[pick]
        moves = [
            (_skin(mannequin, _nudged(angles, index, nudge))[pick] - here) / nudge
            for index, nudge in enumerate(_nudges(angles).tolist())
        ]
        nearest = surface.nearest(here + np.append(shift, 0.0))
        step = _step(nearest, np.stack(moves, axis=-1), angles - start)
        angles = _within_limits(angles + step[:-2])
        shift += step[-2:]
        if np.abs(step[:-2]).max() < STILL:
            break
    return mannequin, _pose(angles)


def posed(own: OwnBody, mannequin: Mannequin, pose: Pose) -> PosedBody:
    """The own body in the place of its twin.

    Each vertex belongs to the part (trunk, arm, leg) of the twin that it is closest to; landmarks
    and joints that the own body does not show are the twin's.
    """
    body = mannequin.posed(pose)
    surface = _distance_to(body)
    shift = np.append(_shift(own, surface), 0.0)
    vertices = own.vertices + shift
    found = surface.nearest(vertices)
    nearest = body.triangles[found.triangle, found.weights.argmax(axis=1)]
    landmarks = dict(body.landmarks)
    for name, mark in own.landmarks.items():
        moved = mark + shift
        on_skin = "point" in name
        landmarks[name] = moved if on_skin else np.append(landmarks[name][:2], moved[2])
    joints = dict(body.joints) | {name: joint + shift for name, joint in own.joints.items()}
    return PosedBody(
        vertices,
        own.triangles,
        body.part[nearest],
        MappingProxyType(landmarks),
        MappingProxyType(joints),
        pose,
    )


def _distance_to(body: OwnBody | PosedBody) -> BodyDistance:
    distance = BodyDistance(body)
    distance.set_pose(body)
    return distance


def _step(nearest: Nearest, moves: FloatArray, strayed: FloatArray) -> FloatArray:
    """Angles and shift (k + 2,) that bring n points to the surface, least squares.

    ``moves`` (n, 3, k) is how the points move with the angles, ``strayed`` (k,) how far the
    angles are from their start.
    """
    off = nearest.distance
    rows = np.einsum("ij,ijk->ik", nearest.direction, moves)
    rows = np.concatenate([rows, nearest.direction[:, :2]], axis=1)
    weight = np.minimum(TRUSTED_M / np.maximum(np.abs(off), 1e-9), 1.0)
    square = (rows * weight[:, None]).T @ rows
    slope = rows.T @ (weight * off)
    # as if a share of the points held every angle to its start within PLAY
    hold = HELD_SHARE * len(off) * (TRUSTED_M / PLAY) ** 2
    angles = np.arange(len(strayed))
    square[angles, angles] += hold
    slope[angles] += hold * strayed
    result: FloatArray = -np.linalg.solve(square, slope)
    return result


def _shift(own: OwnBody, surface: BodyDistance) -> FloatArray:
    """How far (2,) along the floor an own body goes to stand where the surface is."""
    points = own.vertices[:: max(len(own.vertices) // MOST_POINTS, 1)]
    shift = np.zeros(2)
    for _ in range(SHIFT_ROUNDS):
        nearest = surface.nearest(points + np.append(shift, 0.0))
        shift += _step(nearest, np.zeros((len(points), 3, 0)), np.zeros(0))
    return shift


def _skin(mannequin: Mannequin, angles: FloatArray) -> FloatArray:
    return mannequin.posed(_pose(angles)).vertices


def _angles(pose: Pose) -> FloatArray:
    """The angles that are sought, radians: those of both arms and both legs."""
    names = (*ARM_ANGLES, *LEG_ANGLES)
    return np.array([getattr(getattr(pose, side), name) for side in SIDES for name in names])


def _pose(angles: FloatArray) -> Pose:
    names = (*ARM_ANGLES, *LEG_ANGLES)
    left, right = (
        Limbs(**dict(zip(names, half.tolist(), strict=True))) for half in np.split(angles, 2)
    )
    return Pose(left=left, right=right)


def _within_limits(angles: FloatArray) -> FloatArray:
    names = (*ARM_ANGLES, *LEG_ANGLES) * len(SIDES)
    return np.array([_limited(name, at) for name, at in zip(names, angles.tolist(), strict=True)])


def _nudges(angles: FloatArray) -> FloatArray:
    """A small change of each angle that keeps it within its limits."""
    return np.where(_within_limits(angles + NUDGE) < angles + NUDGE, -NUDGE, NUDGE)


def _nudged(angles: FloatArray, index: int, nudge: float) -> FloatArray:
    nudged = angles.copy()
    nudged[index] += nudge
    return nudged


def _first_pose(own: OwnBody) -> Pose:
    """The pose that an own body's joints show; hanging arms where they show none."""
    hanging = POSES["standing"]
    return Pose(
        left=_first_limbs(own, "left", hanging.left),
        right=_first_limbs(own, "right", hanging.right),
    )


def _armless(own: OwnBody) -> list[str]:
    return [side for side in SIDES if f"wrist_{side}" not in own.joints]


def _first_limbs(own: OwnBody, side: str, hanging: Limbs) -> Limbs:
    if side in _armless(own):
        return hanging
    shoulder, elbow, wrist = (
        own.joints[f"{joint}_{side}"] for joint in ("shoulder", "elbow", "wrist")
    )
    return _arm_angles(elbow - shoulder, wrist - elbow, 1.0 if side == "left" else -1.0)


def _arm_angles(upper: FloatArray, fore: FloatArray, sign: float) -> Limbs:
    """Angles of an arm whose parts point along ``upper`` and ``fore`` (3,); sign 1 on the left.

    The arm hangs along -z, is turned inward about z by the rotation, raised to the side about y
    by the abduction a and turned forward about x by the flexion f: it then points along
    (sin a, -sin f cos a, -cos f cos a). The elbow, if it is bent, tells the rotation; a straight
    arm is taken to be swung up from hanging without a twist, also where f means little (a near a
    right angle).
    """
    mirror = np.array([sign, 1.0, 1.0])
    along, fore = (part / np.linalg.norm(part) * mirror for part in (upper, fore))
    out, back, up = along.tolist()
    abduction = math.asin(min(max(out, -1.0), 1.0))
    # an arm level to the side points the same way at any flexion
    flexion = math.atan2(-back, -up) if math.hypot(back, up) > LEVEL else 0.0
    if abs(flexion) > 0.5 * math.pi:  # raised over the side, not over the front
        abduction, flexion = math.pi - abduction, flexion - math.copysign(math.pi, flexion)
    c, s = math.cos(flexion), math.sin(flexion)
    about_x = np.array([[1.0, 0.0, 0.0], [0.0, c, s], [0.0, -s, c]])
    c, s = math.cos(abduction), math.sin(abduction)
    about_y = np.array([[c, 0.0, -s], [0.0, 1.0, 0.0], [s, 0.0, c]])
    raised = about_x @ about_y
    bent = raised.T @ fore  # the forearm on an upper arm that hangs
    elbow = math.acos(min(max(-float(bent[2]), -1.0), 1.0))
    if elbow > LEAST_BEND:
        rotation = math.atan2(-bent[0], -bent[1])
    else:
        twist = raised.T @ _swing(along)
        rotation = -math.atan2(twist[1, 0], twist[0, 0])
    angles = zip(ARM_ANGLES, (abduction, flexion, rotation, elbow), strict=True)
    return Limbs(**{name: _limited(name, angle) for name, angle in angles})


def _swing(along: FloatArray) -> FloatArray:
    """The least rotation (3, 3) that takes -z to a unit vector (Rodrigues)."""
    down = np.array([0.0, 0.0, -1.0])
    cosine = float(down @ along)
    x, y, z = np.cross(down, along).tolist()
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    result: FloatArray = np.eye(3) + cross + cross @ cross / max(1.0 + cosine, 1e-9)
    return result


def _limited(name: str, angle: float) -> float:
    low, high = (math.radians(degrees) for degrees in LIMITS_DEGREES[name])
    return min(max(angle, low), high)

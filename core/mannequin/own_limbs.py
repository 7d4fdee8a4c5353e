# SPDX-License-Identifier: GPL-3.0-or-later
"""The limbs of an own body: the line through each arm's and leg's middle, and the joints on it.

An arm is what lies beyond the side of the trunk and reaches over the armpit, so it may hang, be
held out or raised. Spheres round the shoulder cut it into rings; the middles of the rings follow
the arm round an elbow bent by up to a right angle. Joints have no mark on the skin: they are put
where the survey's lengths of hand, forearm and upper arm put them on that line, the wrist also
where the arm is narrowest there.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from ..sections import level_crossing, segment_lengths
from ..tape import Measures
from .fitting import UPPER_ARM_SHARE
from .frame import make_frame
from .mannequin import PARTS, PosedBody
from .mesh_repair import Solid, connected_components
from .outlines import Slicer
from .own_trunk import SideCuts, likeliest
from .poses import symmetric

__all__ = ["Arm", "arm_girths", "find_arms", "leg_joints"]

RING_STEP_M = 0.008
FIRST_RING_M = 0.10  # from the shoulder; nearer ones take in the trunk
LEAST_ARM_M = 0.30
FLESH_OVER_M = 0.005  # stands over the shoulder point beside a hanging arm, as on the mannequins
SHOULDER_PLAY_M = 0.02
TAPER_STEP, TAPER_STEPS = 0.06, 7  # stations down the upper arm, shares of its length
MOST_TAPER = 0.06  # of the girth from one station to the next; skin of the armpit ends faster
MOST_RISE = 0.08  # towards the armpit an arm grows less than its taper below says
WRIST_SD_M = 0.012  # of hand length as a person holds the hand
WRIST_REACH = 3  # of these up and down
KNUCKLES_SHARE = 0.56  # of the hand's length


@dataclass(frozen=True, slots=True)
class Arm:
    """One arm: ``joints`` maps ``shoulder`` to ``finger_tip`` to points (3,), on its skin."""

    vertices: FloatArray
    triangles: IntArray
    joints: Mapping[str, FloatArray]

    @property
    def length_m(self) -> float:
        """From the shoulder over the elbow to the wrist."""
        chain = np.stack([self.joints[name] for name in ("shoulder", "elbow", "wrist")])
        return float(np.linalg.norm(np.diff(chain, axis=0), axis=1).sum())

    def girth_m(self, start: str, end: str, share: float) -> float:
        """What a tape reads across it, ``share`` of the way between two joints."""
        joints = {f"{name}_left": joint for name, joint in self.joints.items()}
        alone = np.full(len(self.vertices), PARTS.index("arm_left"))
        body = PosedBody(self.vertices, self.triangles, alone, {}, joints, symmetric())
        return body.limb_girth(f"{start}_left", f"{end}_left", share)


def find_arms(solid: Solid, cuts: SideCuts, measures: Measures) -> dict[str, Arm]:
    """The arms by side; one that is not found, or shorter than an arm, is left out."""
    found = {}
    for side, sign in (("left", 1.0), ("right", -1.0)):
        triangles = _beyond(solid, cuts, sign)
        if len(triangles):
            shoulder = _shoulder(solid.vertices, triangles, sign, cuts, measures)
            arm = _arm(solid.vertices, triangles, shoulder, measures)
            if arm is not None:
                found[side] = arm
    return found


def arm_girths(arms: Mapping[str, Arm]) -> dict[str, float]:
    """Girths of the upper arm and the wrist as on a tape, the mean of both sides, metres."""
    if not arms:
        return {}
    return {
        "upper_arm_girth": float(np.mean([_upper_arm_girth(arm) for arm in arms.values()])),
        "wrist_girth": float(
            np.mean([arm.girth_m("elbow", "wrist", 1.0) for arm in arms.values()])
        ),
    }


def _upper_arm_girth(arm: Arm) -> float:
    """As near the armpit as the arm shows by itself, and from there up as it tapers below."""
    shares = UPPER_ARM_SHARE + TAPER_STEP * np.arange(TAPER_STEPS)
    girths = np.array([arm.girth_m("shoulder", "elbow", share) for share in shares.tolist()])
    drop = girths[:-1] - girths[1:]
    webbed = np.flatnonzero(drop > MOST_TAPER * girths[:-1])
    first = min(int(webbed[-1]) + 1, len(drop) - 1) if len(webbed) else 0
    rise = first * max(float(drop[first]), 0.0)
    return float(girths[first]) + min(rise, MOST_RISE * float(girths[first]))


def _beyond(solid: Solid, cuts: SideCuts, sign: float) -> IntArray:
    """Triangles of the largest piece beyond one side that reaches above the armpit."""
    outside = cuts.beyond(solid.vertices, sign) > 0.0
    triangles = solid.triangles[outside[solid.triangles].all(axis=1)]
    label = connected_components(
        len(solid.vertices), triangles[:, [0, 1]].reshape(-1), triangles[:, [1, 2]].reshape(-1)
    )
    names, part = np.unique(label[triangles[:, 0]], return_inverse=True)
    top = np.full(len(names), -np.inf)
    np.maximum.at(top, part, solid.vertices[triangles, 2].max(axis=1))
    size = np.bincount(part) * (top > cuts.height)
    if not size.any():
        return np.zeros((0, 3), dtype=np.int64)
    result: IntArray = triangles[part == int(size.argmax())]
    return result


def _arm(
    vertices: FloatArray, triangles: IntArray, shoulder: FloatArray, measures: Measures
) -> Arm | None:
    own = np.unique(triangles)
    away = np.linalg.norm(vertices - shoulder, axis=1)
    longest = float(away[own].max())
    if longest < LEAST_ARM_M:
        return None
    tip = vertices[own[np.argmax(away[own])]]
    line, girths = _rings(vertices, triangles, away, np.arange(FIRST_RING_M, longest, RING_STEP_M))
    line = np.concatenate([shoulder[None], line, tip[None]])
    steps = np.linalg.norm(np.diff(line, axis=0), axis=1)
    marks = np.concatenate([[0.0], np.cumsum(steps)])

    def at(mark: float) -> FloatArray:
        return np.array([np.interp(mark, marks, line[:, axis]) for axis in range(3)])

    hand = measures.value("hand_length")
    expected = marks[-1] - hand
    near = np.abs(marks[1:-1] - expected) <= WRIST_REACH * WRIST_SD_M
    wrist = expected
    if near.sum() > WRIST_REACH:
        wrist = likeliest(marks[1:-1][near], girths[near], -1.0, expected, WRIST_SD_M)
    frame = make_frame(measures)
    upper, fore = (
        float(np.linalg.norm(frame[end] - frame[start]))
        for start, end in (("shoulder", "elbow"), ("elbow", "wrist"))
    )
    elbow = wrist * upper / (upper + fore)
    joints = {
        "shoulder": shoulder,
        "elbow": at(elbow),
        "wrist": at(wrist),
        "knuckles": at(wrist + KNUCKLES_SHARE * (marks[-1] - wrist)),
        "finger_tip": tip,
    }
    return Arm(vertices, triangles, joints)


def _shoulder(
    vertices: FloatArray, triangles: IntArray, sign: float, cuts: SideCuts, measures: Measures
) -> FloatArray:
    """The joint: as far out as the survey has it, under the shoulder, in the middle of the arm.

    An arm held forward has no middle there; the joint is near where it lies from the back.
    """
    frame = make_frame(measures)
    joint, tip = frame["shoulder"], frame["shoulder_point"]
    out = sign * joint[0]
    ring = level_crossing(sign * (vertices[:, 0] - out), triangles).points(vertices)
    length = segment_lengths(ring)
    middle_y = float((ring.mean(axis=1)[:, 1] * length).sum() / max(length.sum(), 1e-9))
    usual_y = cuts.back_y + joint[1] - frame.back_y
    y = min(max(middle_y, usual_y - SHOULDER_PLAY_M), usual_y + SHOULDER_PLAY_M)
    top = float(ring[..., 2].max()) if len(ring) else cuts.height
    return np.array([out, y, top - FLESH_OVER_M - (tip[2] - joint[2])])


def _rings(
    vertices: FloatArray, triangles: IntArray, away: FloatArray, radii: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Middle (k, 3) and length round (k,) of the rings that spheres cut of an arm."""
    middles, lengths = [], []
    for radius in radii.tolist():
        ring = level_crossing(away - radius, triangles).points(vertices)
        length = segment_lengths(ring)
        if length.sum() <= 0.0:
            continue
        middles.append((ring.mean(axis=1) * length[:, None]).sum(axis=0) / length.sum())
        lengths.append(length.sum())
    return np.array(middles).reshape(-1, 3), np.array(lengths)


def leg_joints(slicer: Slicer, measures: Measures, crotch: float) -> dict[str, FloatArray]:
    """Knees and ankles, in the middle of the legs at the survey's heights; none if legs touch."""
    joints: dict[str, FloatArray] = {}
    for joint in ("knee", "ankle"):
        height = measures.value(f"{joint}_height") * crotch / measures.value("inside_leg_height")
        outlines = slicer.outlines(height)[:2]
        if len(outlines) < 2:
            continue
        right, left = sorted((outline.middle for outline in outlines), key=lambda at: float(at[0]))
        joints[f"{joint}_left"] = np.append(left, height)
        joints[f"{joint}_right"] = np.append(right, height)
    return joints

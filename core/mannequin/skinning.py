# SPDX-License-Identifier: GPL-3.0-or-later
"""How the skin follows the bones: weights, and dual quaternions that keep volume.

Dual quaternion skinning: Kavan et al., ACM Trans. Graphics 27 (2008) 105.
"""

import numpy as np

from ..arrays import FloatArray, IntArray
from ..slices import Slices
from ..tape import Measures
from .frame import Frame
from .shapes import ramp
from .skeleton import BONES, PARENTS
from .surface import BodyShapes

__all__ = ["motion_quaternions", "move_points", "skin_weights"]

SMOOTHING_ROUNDS = 56
WRIST_WIDTH_M = 0.033  # half of the stretch over which the skin bends, at wrist and ankle
# Shares of a girth there: a thick limb needs a longer way round a bend for its inner side.
SHOULDER_WIDTH = 0.26
SHOULDER_MOST_M = 0.090
ELBOW_WIDTH = 0.26
HIP_WIDTH = 0.115
HIP_MOST_M = 0.125
HIP_WIDER_BEHIND = 0.3
KNEE_WIDTH = 0.21
GROIN_RISE = 0.8
# The side of the trunk ceases to follow the arm from so far over the axilla, over that drop.
SIDE_TOP_M, SIDE_FADES_M = 0.012, 0.035
BESIDE_TRUNK_M = 0.016  # over its skin the arm begins
HELD_BELOW_BUST_M = 0.050
ARM_ALONE = (0.15, 0.46)
OTHER_SIDE = np.array(
    [
        BONES.index(f"{bone.removesuffix('left')}right")
        if bone.endswith("left")
        else BONES.index(f"{bone.removesuffix('right')}left")
        if bone.endswith("right")
        else BONES.index(bone)
        for bone in BONES
    ]
)
UPPER_ARM_TURNS = (0.0, 0.85)
FOREARM_TURNS = (0.10, 0.95)


def skin_weights(
    shapes: BodyShapes,
    m: Measures,
    frame: Frame,
    vertices: FloatArray,
    triangles: IntArray,
    mirror: IntArray,
) -> Slices[FloatArray]:
    """Weight (n, b) of every bone at every vertex; each row sums to 1."""
    v = m.value
    trunk, arm, leg = shapes.parts(vertices)
    z = vertices[:, 2]
    shoulder_half = min(SHOULDER_WIDTH * v("upper_arm_girth"), SHOULDER_MOST_M)
    nearer = np.minimum(trunk, leg) - arm
    on_arm = ramp(0.3 + nearer / (2.0 * shoulder_half))
    # half way to the elbow the arm is nothing but arm, however thick
    along = _share_along(vertices, frame["shoulder"], frame["elbow"], ARM_ALONE)
    alone = ramp(along) * ramp(nearer / shoulder_half)
    on_arm = np.maximum(on_arm, alone)
    # the side of the trunk below the armpit stays with the trunk: a chest girth keeps in a pose
    side = ramp((frame.levels["axilla"] + SIDE_TOP_M - z) / SIDE_FADES_M)
    side *= ramp(1.5 - np.maximum(trunk, 0.0) / BESIDE_TRUNK_M)
    on_arm *= 1.0 - side
    on_leg = _below_hip(vertices, m, frame) * (1.0 - on_arm)
    on_trunk = 1.0 - on_arm - on_leg
    spine = _spine_weights(vertices, m, frame)
    weights = {bone: on_trunk * share for bone, share in spine.items()}
    limbs = {"clavicle": weights.pop("clavicle")}
    limbs |= {bone: on_arm * share for bone, share in _arm_weights(vertices, m, frame).items()}
    limbs |= {bone: on_leg * share for bone, share in _leg_weights(vertices, m, frame).items()}
    # near the mirror plane a vertex belongs to both sides
    left = ramp(0.5 + vertices[:, 0] / 0.04)
    for bone, weight in limbs.items():
        weights[f"{bone}_left"] = weight * left
        weights[f"{bone}_right"] = weight * (1.0 - left)
    stacked = np.stack([weights[bone] for bone in BONES], axis=1)
    held = side * ramp(1.0 + (z - frame.levels["bust"]) / HELD_BELOW_BUST_M)
    yield
    return (yield from _smooth(stacked, triangles, mirror, 1.0 - np.maximum(alone, held)))


def _spine_weights(vertices: FloatArray, m: Measures, frame: Frame) -> dict[str, FloatArray]:
    """Shares of the trunk's bones, bottom up, and of the collar bone; they sum to 1."""
    v = m.value
    x, z = np.abs(vertices[:, 0]), vertices[:, 2]
    navel, waist = v("navel_waist_height"), v("waist_height")
    hip = v("hip_height")
    neck, chin = v("back_neck_point_height"), frame["chin"][2]
    above_pelvis = ramp((z - (0.65 * navel + 0.35 * hip)) / (waist - navel + 0.06))
    above_waist = ramp((z - (waist - 0.03)) / 0.12)
    lean = z + 0.45 * vertices[:, 1]  # the root of the neck slopes down to the front
    above_chest = ramp((lean - (neck - 0.045)) / 0.075) * ramp(
        1.6 - x / (0.5 * v("biacromial_breadth")) * 2.0
    )
    above_neck = ramp((z - 0.5 * vertices[:, 1] - (chin - 0.005)) / 0.05)
    tip = frame["shoulder_point"]
    girdle = ramp((x - 0.25 * tip[0]) / (0.65 * tip[0])) * ramp(
        (z - (v("axilla_height") - 0.03)) / (tip[2] - v("axilla_height"))
    )
    from_chest = above_pelvis * above_waist
    chest, from_neck = from_chest * (1.0 - above_chest), from_chest * above_chest
    return {
        "pelvis": 1.0 - above_pelvis,
        "waist": above_pelvis * (1.0 - above_waist),
        "chest": chest * (1.0 - girdle),
        "clavicle": chest * girdle,
        "neck": from_neck * (1.0 - above_neck),
        "head": from_neck * above_neck,
    }


def _arm_weights(vertices: FloatArray, m: Measures, frame: Frame) -> dict[str, FloatArray]:
    """Shares of the arm's bones; they sum to 1."""
    shoulder, elbow, wrist = frame["shoulder"], frame["elbow"], frame["wrist"]
    forearm = _past_joint(vertices, shoulder, elbow, ELBOW_WIDTH * m.value("elbow_girth"))
    hand = _past_joint(vertices, elbow, wrist, WRIST_WIDTH_M)
    upper_turn = _share_along(vertices, shoulder, elbow, UPPER_ARM_TURNS)
    fore_turn = _share_along(vertices, elbow, wrist, FOREARM_TURNS)
    return {
        "upper_arm": (1.0 - forearm) * (1.0 - upper_turn),
        "upper_arm_turn": (1.0 - forearm) * upper_turn,
        "forearm": forearm * (1.0 - hand) * (1.0 - fore_turn),
        "forearm_turn": forearm * (1.0 - hand) * fore_turn,
        "hand": forearm * hand,
    }


def _leg_weights(vertices: FloatArray, m: Measures, frame: Frame) -> dict[str, FloatArray]:
    """Shares of the leg's bones; they sum to 1."""
    z = vertices[:, 2]
    knee_half = KNEE_WIDTH * m.value("knee_girth")
    shank = ramp(0.5 + (frame["knee"][2] - z) / (2.0 * knee_half))
    foot = ramp(0.5 + (frame["ankle"][2] + 0.012 - z) / (2.0 * WRIST_WIDTH_M))
    return {"thigh": 1.0 - shank, "shank": shank * (1.0 - foot), "foot": shank * foot}


def _below_hip(vertices: FloatArray, m: Measures, frame: Frame) -> FloatArray:
    """How far a vertex goes with the thigh: across the groin, the seat and the outer hip.

    The line half way rises outwards, like the groin; skin behind the joint, which stretches when
    the thigh is lifted, takes longer to go over.
    """
    hip = frame["hip"]
    x, y, z = np.abs(vertices[:, 0]), vertices[:, 1], vertices[:, 2]
    half = min(HIP_WIDTH * m.value("hip_girth"), HIP_MOST_M) * (
        1.0 + HIP_WIDER_BEHIND * ramp(0.5 + y / 0.2)
    )
    middle = hip[2] + GROIN_RISE * (x - hip[0])
    return ramp(0.5 + (middle - z) / (2.0 * half))


def _share_along(
    vertices: FloatArray, start: FloatArray, end: FloatArray, stations: tuple[float, float]
) -> FloatArray:
    """0 to 1 in even steps between two stations (shares of the length) along a limb."""
    along = end - start
    folded = vertices.copy()
    folded[:, 0] = np.abs(folded[:, 0])
    share = (folded - start) @ along / float(along @ along)
    low, high = stations
    result: FloatArray = np.clip((share - low) / (high - low), 0.0, 1.0)
    return result


def _past_joint(
    vertices: FloatArray, start: FloatArray, joint: FloatArray, half_m: float
) -> FloatArray:
    """Ramp along a limb of the left side (and its mirror image) through a joint."""
    along = joint - start
    length = float(np.linalg.norm(along))
    folded = vertices.copy()
    folded[:, 0] = np.abs(folded[:, 0])
    s = (folded - joint) @ (along / length)
    return ramp(0.5 + s / (2.0 * half_m))


def _smooth(
    weights: FloatArray, triangles: IntArray, mirror: IntArray, share: FloatArray
) -> Slices[FloatArray]:
    """Even out weights along the surface, so that no crease shows where shapes meet.

    ``share`` (n,) is 0 where a vertex keeps its weights. Half of the body is worked on: what the
    other half holds is the same with the sides exchanged, to the last bit.
    """
    count = len(weights)
    half = np.flatnonzero(np.arange(count) <= mirror)
    middle = half[mirror[half] == half]
    weights[middle] = 0.5 * (weights[middle] + weights[middle][:, OTHER_SIDE])
    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    mine = start <= mirror[start]
    start, end = start[mine], end[mine]
    order = np.argsort(start, kind="stable")
    start, end = start[order], end[order]
    degree = np.bincount(start, minlength=count)
    across = np.unique(end[end > mirror[end]])  # neighbours on the other side
    # neighbours side by side, filled up with a vertex that weighs nothing
    place = np.arange(len(start)) - np.repeat(np.cumsum(degree) - degree, degree)
    neighbours = np.full((int(degree.max()), count), count)
    neighbours[place, start] = end
    moving = half[share[half] > 0.0]
    pull = 0.5 * share[moving, None] / degree[moving, None]
    weights = np.concatenate([weights, np.zeros((1, weights.shape[1]))])
    for _ in range(SMOOTHING_ROUNDS):
        yield
        weights[across] = weights[mirror[across]][:, OTHER_SIDE]
        total = sum(weights[column] for column in neighbours[:, moving])
        weights[moving] += pull * (total - degree[moving, None] * weights[moving])
    weights = weights[:-1]
    weights[half] /= weights[half].sum(axis=1, keepdims=True)
    weights[middle] = 0.5 * (weights[middle] + weights[middle][:, OTHER_SIDE])
    others = mirror[half]
    weights[others] = weights[half][:, OTHER_SIDE]
    return weights


def motion_quaternions(rotations: FloatArray, shifts: FloatArray) -> FloatArray:
    """Unit dual quaternions (b, 8) of rigid motions, real part first, scalar first.

    Each is on the same half sphere as its parent's, so that blends go the short way round.
    """
    real = _quaternions(rotations)
    for index, bone in enumerate(BONES):
        if bone in PARENTS and real[index] @ real[BONES.index(PARENTS[bone])] < 0.0:
            real[index] *= -1.0
    w, turn = real[:, :1], real[:, 1:]
    along = -0.5 * (shifts * turn).sum(axis=1, keepdims=True)
    return np.concatenate([real, along, 0.5 * (w * shifts + np.cross(shifts, turn))], axis=1)


def _quaternions(rotations: FloatArray) -> FloatArray:
    """Unit quaternions (b, 4) of rotation matrices (b, 3, 3), scalar first.

    From the largest component of each (Shepperd 1978): each row of the symmetric products of the
    components with one another is the quaternion itself, the one with the largest square exactest.
    """
    trace = np.trace(rotations, axis1=1, axis2=2)
    products = np.zeros((len(rotations), 4, 4))
    products[:, 0, 0] = 1.0 + trace
    products[:, 1:, 1:] = rotations + rotations.transpose(0, 2, 1)
    for i in range(3):
        j, m = (i + 1) % 3, (i + 2) % 3
        products[:, 1 + i, 1 + i] += 1.0 - trace
        products[:, 0, 1 + i] = products[:, 1 + i, 0] = rotations[:, m, j] - rotations[:, j, m]
    largest = products.diagonal(axis1=1, axis2=2).argmax(axis=1)
    real: FloatArray = products[np.arange(len(products)), largest]
    real /= np.linalg.norm(real, axis=1, keepdims=True)
    return real


def move_points(points: FloatArray, weights: FloatArray, motions: FloatArray) -> FloatArray:
    """Points (n, 3) moved by the blend of the bones' motions (``motion_quaternions``)."""
    blend = weights @ motions
    blend /= np.sqrt((blend[:, :4] ** 2).sum(axis=1))[:, None]
    w, x, y, z, dw, dx, dy, dz = blend.T
    px, py, pz = points.T
    # v + 2 r × (r × v + w v), and the shift 2 (w d - d_w r + r × d)
    ax = y * pz - z * py + w * px
    ay = z * px - x * pz + w * py
    az = x * py - y * px + w * pz
    result: FloatArray = np.stack(
        [
            px + 2.0 * (y * az - z * ay + w * dx - dw * x + y * dz - z * dy),
            py + 2.0 * (z * ax - x * az + w * dy - dw * y + z * dx - x * dz),
            pz + 2.0 * (x * ay - y * ax + w * dz - dw * z + x * dy - y * dx),
        ],
        axis=1,
    )
    return result

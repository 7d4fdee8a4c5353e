# SPDX-License-Identifier: GPL-3.0-or-later
"""How the skin follows the bones: weights, and dual quaternions that keep volume.

Dual quaternion skinning: Kavan et al., ACM Trans. Graphics 27 (2008) 105.
"""

import numpy as np

from ..arrays import FloatArray, IntArray
from ..tape import Measures
from .frame import Frame
from .shapes import ramp
from .skeleton import BONES, PARENTS
from .surface import BodyShapes

__all__ = ["motion_quaternions", "move_points", "skin_weights"]

SMOOTHING_ROUNDS = 12
SHOULDER_WIDTH_M = 0.050
HIP_WIDTH_M = 0.080
JOINT_WIDTH_M = 0.055


def skin_weights(
    shapes: BodyShapes,
    m: Measures,
    frame: Frame,
    vertices: FloatArray,
    triangles: IntArray,
    mirror: IntArray,
) -> FloatArray:
    """Weight (n, b) of every bone at every vertex; each row sums to 1."""
    v = m.value
    trunk, arm, leg = shapes.parts(vertices)
    x, z = np.abs(vertices[:, 0]), vertices[:, 2]
    on_arm = ramp(0.3 + (np.minimum(trunk, leg) - arm) / (2.0 * SHOULDER_WIDTH_M))
    # the side of the trunk below the armpit stays with the trunk
    below = ramp((v("axilla_height") + 0.010 - z) / 0.045)
    on_arm *= 1.0 - below * ramp(1.5 - np.maximum(trunk, 0.0) / 0.016)
    on_leg = ramp(0.5 + (np.minimum(trunk, arm) - leg) / (2.0 * HIP_WIDTH_M)) * (1.0 - on_arm)
    on_trunk = 1.0 - on_arm - on_leg
    weights = {bone: np.zeros(len(vertices)) for bone in BONES}

    # spine, bottom up
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
    weights["pelvis"] = on_trunk * (1.0 - above_pelvis)
    weights["waist"] = on_trunk * above_pelvis * (1.0 - above_waist)
    chest = on_trunk * above_pelvis * above_waist * (1.0 - above_chest)
    weights["neck"] = on_trunk * above_pelvis * above_waist * above_chest * (1.0 - above_neck)
    weights["head"] = on_trunk * above_pelvis * above_waist * above_chest * above_neck
    tip = frame["shoulder_point"]
    girdle = ramp((x - 0.25 * tip[0]) / (0.65 * tip[0])) * ramp(
        (z - (v("axilla_height") - 0.03)) / (tip[2] - v("axilla_height"))
    )
    weights["chest"] = chest * (1.0 - girdle)
    forearm = _past_joint(vertices, frame["shoulder"], frame["elbow"])
    hand = _past_joint(vertices, frame["elbow"], frame["wrist"], 0.6)
    shank = ramp(0.5 + (frame["knee"][2] - z) / (2.0 * JOINT_WIDTH_M))
    foot = ramp(0.5 + (frame["ankle"][2] + 0.012 - z) / (1.2 * JOINT_WIDTH_M))
    limbs = {
        "clavicle": chest * girdle,
        "upper_arm": on_arm * (1.0 - forearm),
        "forearm": on_arm * forearm * (1.0 - hand),
        "hand": on_arm * forearm * hand,
        "thigh": on_leg * (1.0 - shank),
        "shank": on_leg * shank * (1.0 - foot),
        "foot": on_leg * shank * foot,
    }
    # near the mirror plane a vertex belongs to both sides
    left = ramp(0.5 + vertices[:, 0] / 0.04)
    for bone, weight in limbs.items():
        weights[f"{bone}_left"] = weight * left
        weights[f"{bone}_right"] = weight * (1.0 - left)
    stacked = np.stack([weights[bone] for bone in BONES], axis=1)
    stacked = _smooth(stacked, triangles)
    return _symmetric(stacked, mirror)


def _past_joint(
    vertices: FloatArray, start: FloatArray, joint: FloatArray, width: float = 1.0
) -> FloatArray:
    """Ramp along a limb of the left side (and its mirror image) through a joint."""
    along = joint - start
    length = float(np.linalg.norm(along))
    folded = vertices * np.array([1.0, 1.0, 1.0])
    folded[:, 0] = np.abs(folded[:, 0])
    s = (folded - joint) @ (along / length)
    return ramp(0.5 + s / (2.0 * width * JOINT_WIDTH_M))


def _smooth(weights: FloatArray, triangles: IntArray) -> FloatArray:
    """Even out weights along the surface, so that no crease shows where shapes meet."""
    count = len(weights)
    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    order = np.argsort(start, kind="stable")
    start, end = start[order], end[order]
    degree = np.bincount(start, minlength=count)
    first = np.concatenate([[0], np.cumsum(degree)[:-1]])
    for _ in range(SMOOTHING_ROUNDS):
        mean = np.add.reduceat(weights[end], first, axis=0) / degree[:, None]
        weights = 0.5 * weights + 0.5 * mean
    result: FloatArray = weights / weights.sum(axis=1, keepdims=True)
    return result


def _symmetric(weights: FloatArray, mirror: IntArray) -> FloatArray:
    """Make both sides alike to the last bit."""
    other = np.array(
        [
            BONES.index(b[:-4] + "right" if b.endswith("left") else b[:-5] + "left")
            if b.endswith(("left", "right"))
            else BONES.index(b)
            for b in BONES
        ]
    )
    result: FloatArray = 0.5 * (weights + weights[mirror][:, other])
    return result


def motion_quaternions(rotations: FloatArray, shifts: FloatArray) -> FloatArray:
    """Unit dual quaternions (b, 8) of rigid motions, real part first, scalar first.

    Each is on the same half sphere as its parent's, so that blends go the short way round.
    """
    result = np.zeros((len(BONES), 8))
    for index, bone in enumerate(BONES):
        real = _quaternion(rotations[index])
        if bone in PARENTS and real @ result[BONES.index(PARENTS[bone]), :4] < 0.0:
            real = -real
        w, xyz = real[0], real[1:]
        t = shifts[index]
        result[index, :4] = real
        result[index, 4] = -0.5 * float(t @ xyz)
        result[index, 5:] = 0.5 * (w * t + np.cross(t, xyz))
    return result


def _quaternion(rotation: FloatArray) -> FloatArray:
    """Unit quaternion of a rotation matrix, from the largest component (Shepperd 1978)."""
    trace = float(np.trace(rotation))
    squares = np.array([trace, *np.diag(rotation)])
    k = int(np.argmax(squares))
    q = np.zeros(4)
    if k == 0:
        q[0] = 1.0 + trace
        q[1:] = [
            rotation[2, 1] - rotation[1, 2],
            rotation[0, 2] - rotation[2, 0],
            rotation[1, 0] - rotation[0, 1],
        ]
    else:
        i = k - 1
        j, m = (i + 1) % 3, (i + 2) % 3
        q[0] = rotation[m, j] - rotation[j, m]
        q[1 + i] = 1.0 + 2.0 * rotation[i, i] - trace
        q[1 + j] = rotation[i, j] + rotation[j, i]
        q[1 + m] = rotation[i, m] + rotation[m, i]
    result: FloatArray = q / np.linalg.norm(q)
    return result


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

# SPDX-License-Identifier: GPL-3.0-or-later
"""The inner passes of the drape over cloth and contacts: pure functions on arrays, in array code.

``passes_compiled`` holds the same functions for machines with Numba. Both give the same answers up
to rounding, and a test holds each to the other.
"""

import numpy as np
from numpy.typing import NDArray

from ..arrays import BoolArray, FloatArray, IntArray
from .sums import sum_at

__all__ = [
    "balls",
    "bends",
    "bent",
    "derivatives",
    "layers",
    "membrane",
    "membrane_blocks",
    "presses",
    "rubs",
    "sways",
]

SingleArray = NDArray[np.float32]


def derivatives(
    positions: FloatArray, triangles: IntArray, inverse: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """How places change across and along the cloth, each (3, t): one row an axis."""
    axes = positions.T.copy()
    start = axes[:, triangles[:, 0]]
    first, second = axes[:, triangles[:, 1]] - start, axes[:, triangles[:, 2]] - start
    flat = inverse.reshape(-1, 4).T.copy()
    return first * flat[0] + second * flat[2], first * flat[1] + second * flat[3]


def membrane(
    positions: FloatArray,
    triangles: IntArray,
    inverse: FloatArray,
    stiffness_n_m: FloatArray,
    wrinkling_n_m: FloatArray,
    most_wrinkled: float,
    compression: float,
) -> tuple[float, FloatArray]:
    """Energy in J of stretch and shear and its gradient (n, 3) in N.

    Parameters
    ----------
    positions
        (n, 3) nodes.
    triangles
        (t, 3) nodes of each.
    inverse
        (t, 2, 2) inverse of the flat edge matrix, per metre.
    stiffness_n_m
        (t, 3) area times stiffness across, along and in shear, N·m.
    wrinkling_n_m, most_wrinkled
        (t, 2) area times stiffness across and along while cloth wrinkles, N·m, and the strain, as a
        positive number, up to which compression makes it do so.
    compression
        Stiffness in further compression over stiffness in tension.
    """
    across, along = derivatives(positions, triangles, inverse)
    flat, stiffness = inverse.reshape(-1, 4).T.copy(), stiffness_n_m.T.copy()
    energy = np.zeros(len(triangles))
    stress = []
    sides = zip((across, along), stiffness[:2], wrinkling_n_m.T.copy(), strict=True)
    for derivative, stretch, wrinkling in sides:
        length = np.sqrt(_product(derivative, derivative))
        strain = length - 1
        beyond = np.minimum(strain + most_wrinkled, 0.0)
        load = np.where(strain < 0, wrinkling, stretch) * (strain - beyond)
        force = load + compression * stretch * beyond
        energy += load * (strain - beyond) + (load + force) * beyond
        stress.append(derivative * (force / np.maximum(length, 1e-9)))
    shear = _product(across, along)
    force = stiffness[2] * shear
    energy += force * shear
    across_stress = stress[0] + along * force
    along_stress = stress[1] + across * force
    second = across_stress * flat[0] + along_stress * flat[1]
    third = across_stress * flat[2] + along_stress * flat[3]
    gradient = _scattered(triangles, (-second - third, second, third), len(positions))
    return 0.5 * float(energy.sum()), gradient


def _product(first: FloatArray, second: FloatArray) -> FloatArray:
    """Scalar products (t,) of vectors (3, t)."""
    product: FloatArray = first[0] * second[0] + first[1] * second[1] + first[2] * second[2]
    return product


def _swaying(
    slide: FloatArray, out: FloatArray, sway_m: FloatArray, stiffness_n_per_m: FloatArray
) -> tuple[float, FloatArray]:
    """Energy and slope (3, k) of springs that give way, by slides (3, k) less what goes along out."""
    slide = slide - _product(slide, out) * out
    square = _product(slide, slide)
    held = np.minimum(1.0, sway_m / np.maximum(np.sqrt(square), 1e-12))
    pull = stiffness_n_per_m * held
    return float((pull * square * (1 - 0.5 * held)).sum()), pull * slide


def _scattered(corners: IntArray, forces: tuple[FloatArray, ...], size: int) -> FloatArray:
    """Sum (size, 3) of forces, one (3, t) for each column of corners (t, k)."""
    places = corners.T.ravel()
    axes = [np.concatenate(axis) for axis in zip(*forces, strict=True)]
    return np.stack([sum_at(places, axis, size) for axis in axes], axis=1)


def membrane_blocks(
    positions: FloatArray,
    triangles: IntArray,
    inverse: FloatArray,
    stiffness_n_m: FloatArray,
    turning_strain: float,
) -> FloatArray:
    """(t, 3, 3, 3, 3) bounded second derivatives by corner, corner, axis, axis, N/m.

    Parameters as in `membrane`; ``turning_strain`` is the strain that a step is expected to add.
    """
    across, along = derivatives(positions, triangles, inverse)
    spread = np.stack([-inverse[:, 0] - inverse[:, 1], inverse[:, 0], inverse[:, 1]], axis=1)
    identity = np.eye(3)
    blocks = np.zeros((len(triangles), 3, 3, 3, 3))
    for column, derivative in enumerate((across, along)):
        length = np.maximum(np.sqrt((derivative**2).sum(axis=0)), 1e-9)
        unit = (derivative / length).T
        stiffness = stiffness_n_m[:, column]
        turning = stiffness * np.minimum(np.abs(1 - 1 / length) + turning_strain, 1.0)
        directed = (stiffness - turning)[:, None, None] * unit[:, :, None] * unit[:, None, :]
        directed += turning[:, None, None] * identity
        pairs = spread[:, :, None, column] * spread[:, None, :, column]
        blocks += pairs[..., None, None] * directed[:, None, None]
    shear = stiffness_n_m[:, 2]
    turning = shear * np.abs((across * along).sum(axis=0))
    pairs = np.einsum("tia,tja->tij", spread, spread) * turning[:, None, None]
    blocks += pairs[..., None, None] * identity
    slide = spread[:, :, :1] * along.T[:, None] + spread[:, :, 1:] * across.T[:, None]
    slide *= np.sqrt(shear)[:, None, None]
    blocks += slide[:, :, None, :, None] * slide[:, None, :, None, :]
    return blocks


def layers(
    positions: FloatArray,
    outer: IntArray,
    lining: IntArray,
    normal: FloatArray,
    turns: BoolArray,
    gap_m: FloatArray,
    stiffness_n_per_m: FloatArray,
    anchor: FloatArray,
    sway_m: FloatArray,
    sway_stiffness_n_per_m: FloatArray,
) -> tuple[float, FloatArray]:
    """Energy in J of layer pairs pressed and rubbed together, and its gradient (n, 3) in N.

    Parameters
    ----------
    positions
        (n, 3) nodes.
    outer, lining
        (t, 3) nodes of the paired triangles.
    normal, turns
        (t, 3) unit direction from lining to outer, and (t,) whether instead it is the mean normal
        that the two triangles have now, so that what presses a pair also turns it.
    gap_m, stiffness_n_per_m
        (t,) distance that the middles keep, and resistance to less.
    anchor, sway_m, sway_stiffness_n_per_m
        (t, 3) where the pair sticks, (t,) how far it sways before it slides, and with what spring.
    """
    axes = positions.T.copy()
    up, under = (np.take(axes, corners.T, axis=1) for corners in (outer, lining))
    both = _doubled_normals(up) + _doubled_normals(under)
    size = np.maximum(np.sqrt(_product(both, both)), 1e-30)
    out = np.where(turns, both / size, normal.T)
    apart = up.mean(axis=1) - under.mean(axis=1)
    distance = _product(apart, out)
    from_anchor = apart - anchor.T
    swaying, pull = _swaying(from_anchor, out, sway_m, sway_stiffness_n_per_m)
    depth = np.maximum(gap_m - distance, 0.0)
    force = stiffness_n_per_m * depth
    energy = 0.5 * float(force @ depth) + swaying
    push = (force * out - pull) / 3
    leaning = force * (apart - distance * out) + _product(from_anchor, out) * pull
    turning = np.where(turns, -leaning / size, 0.0)
    corners = np.concatenate([lining, outer], axis=1)
    pulls = [push + turn for turn in _turned(under, turning)]
    pulls += [turn - push for turn in _turned(up, turning)]
    return energy, _scattered(corners, tuple(pulls), len(positions))


def _cross(first: FloatArray, second: FloatArray) -> FloatArray:
    """Vector products (3, t)."""
    (a, b, c), (x, y, z) = first, second
    return np.stack([b * z - c * y, c * x - a * z, a * y - b * x])


def _doubled_normals(corners: FloatArray) -> FloatArray:
    """(3, t) normals of triangles with corners (3, 3, t), as long as twice their areas."""
    return _cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])


def _turned(corners: FloatArray, slope: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Slope by each corner of what has the slope (3, t) by the triangles' doubled normals."""
    second = _cross(corners[:, 2] - corners[:, 0], slope)
    third = _cross(slope, corners[:, 1] - corners[:, 0])
    return -second - third, second, third


def balls(
    positions: FloatArray, pairs: IntArray, stiffness_n_per_m: FloatArray, diameter_m: float
) -> tuple[float, FloatArray]:
    """Energy in J of points nearer than a diameter, and its gradient (n, 3) in N by nodes (n, 3).

    Of each pair (p, 4) one point lies midway between the first two nodes, one between the others.
    """
    gap = _midway(positions, pairs)
    length = np.maximum(np.sqrt(_product(gap, gap)), 1e-9)
    near = np.flatnonzero(length < diameter_m)
    depth = diameter_m - length[near]
    force = stiffness_n_per_m[near] * depth
    push = 0.5 * gap[:, near] * (force / length[near])
    pulls = (-push, -push, push, push)
    return 0.5 * float(force @ depth), _scattered(pairs[near], pulls, len(positions))


def _midway(positions: FloatArray, pairs: IntArray) -> FloatArray:
    """(3, p) from the middle of the last two nodes of pairs (p, 4) to the middle of the first two."""
    axes = positions.T.copy()
    one, two, three, four = (axes[:, nodes] for nodes in pairs.T)
    gap: FloatArray = 0.5 * (one + two - three - four)
    return gap


def rubs(
    positions: FloatArray,
    pairs: IntArray,
    normal: FloatArray,
    anchor: FloatArray,
    sway_m: FloatArray,
    stiffness_n_per_m: FloatArray,
) -> tuple[float, FloatArray]:
    """Energy in J of pairs of points that rub, and its gradient (n, 3) in N.

    Parameters
    ----------
    positions
        (n, 3) nodes.
    pairs
        (p, 4) nodes; what counts is the middle of the first two less that of the others.
    normal
        (p, 3) unit direction along which a pair presses and does not rub.
    anchor, sway_m, stiffness_n_per_m
        (p, 3) where the pair sticks, (p,) how far it sways before it slides, and with what spring.
    """
    slide = _midway(positions, pairs) - anchor.T
    energy, pull = _swaying(slide, normal.T.copy(), sway_m, stiffness_n_per_m)
    pull = 0.5 * pull
    return energy, _scattered(pairs, (pull, pull, -pull, -pull), len(positions))


def bent(
    positions: FloatArray, nodes: IntArray, weights: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Unit normals (t, 3) of triangles and three curvatures (t, 3) of each along it.

    Parameters
    ----------
    positions
        (n, 3) nodes.
    nodes, weights
        (t, 6), the triangle's corners first, and (t, 6, 3) that give the curvatures of the nodes'
        heights, per square metre.
    """
    axes = np.take(positions.T.copy(), nodes.T.copy(), axis=1)
    normal = np.cross(axes[:, 1] - axes[:, 0], axes[:, 2] - axes[:, 0], axis=0)
    normal /= np.maximum(np.sqrt(_product(normal, normal)), 1e-30)
    bend = (weights.T * _product(axes, normal[:, None])).sum(axis=1)
    return normal.T.copy(), bend.T.copy()


def bends(
    positions: FloatArray,
    nodes: IntArray,
    weights: FloatArray,
    normal: FloatArray,
    anchor: FloatArray,
    sway_per_m: float,
    stiffness_n_m3: FloatArray,
) -> tuple[float, FloatArray]:
    """Energy in J of bends that rub within the cloth, and its gradient (n, 3) in N.

    Parameters
    ----------
    positions, nodes, weights
        As in `bent`.
    normal
        (t, 3) unit direction along which heights count.
    anchor, sway_per_m, stiffness_n_m3
        (t, 3) curvatures that stick, how far they sway before they slip, and (t,) with what spring.
    """
    axes, out, weight = positions.T.copy(), normal.T.copy(), weights.T.copy()
    corners = nodes.T.copy()
    height = _product(np.take(axes, corners, axis=1), out[:, None])
    change = (weight * height).sum(axis=1) - anchor.T
    square = _product(change, change)
    held = np.minimum(1.0, sway_per_m / np.maximum(np.sqrt(square), 1e-12))
    pull = stiffness_n_m3 * held
    lift = _product(weight, (pull * change)[:, None])
    push = [sum_at(corners.ravel(), (lift * axis).ravel(), len(positions)) for axis in out]
    return float((pull * square * (1 - 0.5 * held)).sum()), np.stack(push, axis=1)


def presses(
    positions: FloatArray,
    nodes: IntArray,
    normal: FloatArray,
    level_m: FloatArray,
    soft_m: FloatArray,
    stiffness_n_per_m: FloatArray,
    hardening: float,
) -> tuple[float, FloatArray]:
    """Energy in J of nodes (k,) pressed into half spaces, and its gradient (n, 3) in N.

    Parameters
    ----------
    positions
        (n, 3) nodes.
    nodes, normal, level_m
        (k,), (k, 3), (k,): each node keeps to ``normal · position >= level_m``.
    soft_m, stiffness_n_per_m
        (k,) depth from which on the push is harder, and resistance up to it.
    hardening
        Resistance from there on over that before, added to it.
    """
    out = normal.T.copy()
    depth = level_m - _product(positions.T[:, nodes], out)
    deep = np.flatnonzero(depth > 0)
    depth, stiffness = depth[deep], stiffness_n_per_m[deep]
    hard = np.maximum(depth - soft_m[deep], 0.0)
    energy = 0.5 * float((stiffness * (depth**2 + hardening * hard**2)).sum())
    push = -stiffness * (depth + hardening * hard) * out[:, deep]
    return energy, _scattered(nodes[deep, None], (push,), len(positions))


def sways(
    positions: FloatArray,
    normal: FloatArray,
    anchor: FloatArray,
    sway_m: FloatArray,
    stiffness_n_per_m: FloatArray,
) -> tuple[float, FloatArray]:
    """Energy in J of nodes that stick to a surface and slide, and its gradient (n, 3) in N.

    Parameters
    ----------
    positions
        (n, 3) nodes.
    normal
        (n, 3) unit direction of the surface, along which a node presses and does not slide.
    anchor, sway_m, stiffness_n_per_m
        (n, 3) where the node sticks, (n,) how far it sways before it slides, and with what spring.
    """
    slide = (positions - anchor).T.copy()
    energy, pull = _swaying(slide, normal.T.copy(), sway_m, stiffness_n_per_m)
    return energy, pull.T.copy()

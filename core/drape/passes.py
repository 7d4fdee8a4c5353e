# SPDX-License-Identifier: GPL-3.0-or-later
"""The inner passes of the drape over cloth and contacts: pure functions on arrays, in array code.

``passes_compiled`` holds the same functions for machines with Numba. Both give the same answers up
to rounding, and a test holds each to the other.
"""

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import BoolArray, FloatArray, IntArray
from .sums import sum_at

__all__ = [
    "balls",
    "bends",
    "bent",
    "derivatives",
    "laid_out",
    "layers",
    "membrane",
    "membrane_blocks",
    "presses",
    "rubs",
    "sways",
]

SingleArray = NDArray[np.float32]


def laid_out(constants: NDArray[Any]) -> NDArray[Any]:
    """Constants (t, ...) as the passes here read them fastest."""
    return np.asfortranarray(constants)


def derivatives(
    positions: FloatArray, triangles: IntArray, inverse: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """How places change across and along the cloth, each (3, t): one row an axis."""
    first, second = _sides(_corners(positions, triangles))
    flat = _rows(inverse)
    across, along = first * flat[0, 0], first * flat[1, 0]
    across += second * flat[0, 1]
    along += second * flat[1, 1]
    return across, along


def _rows(values: NDArray[Any]) -> NDArray[Any]:
    """The columns of values (t, ...), each as a row by itself."""
    return np.ascontiguousarray(values.T)


def _corners(positions: FloatArray, nodes: IntArray) -> FloatArray:
    """(3, k, t) places, axis by axis, of nodes (t, k)."""
    # all are known to be there; without looking it takes half the time
    places: FloatArray = np.take(_rows(positions), _rows(nodes), axis=1, mode="clip")
    return places


def _sides(corners: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The two sides (3, t) of triangles with corners (3, 3, t) that leave the first one."""
    return corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]


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
    flat, stiffness, wrinkling = (
        _rows(values) for values in (inverse, stiffness_n_m, wrinkling_n_m)
    )
    shear = _product(across, along)
    force = stiffness[2] * shear
    energy = 0.5 * float(force @ shear)
    stress = along * force, across * force
    sides = zip((across, along), stress, stiffness[:2], wrinkling, strict=True)
    for derivative, pull, stretch, slack in sides:
        length = np.sqrt(_product(derivative, derivative))
        strain = length - 1
        taut, beyond = np.maximum(strain, 0.0), np.minimum(strain + most_wrinkled, 0.0)
        wrinkled = strain - taut - beyond
        load = slack * wrinkled
        tension, more = stretch * taut, compression * stretch * beyond
        energy += 0.5 * float(tension @ taut + load @ wrinkled + more @ beyond)
        energy += float(load @ beyond)
        pull += derivative * ((tension + load + more) / np.maximum(length, 1e-9))
    forces = np.zeros((3, 3, len(triangles)))
    for corner in (1, 2):
        forces[:, corner] = stress[0] * flat[0, corner - 1]
        forces[:, corner] += stress[1] * flat[1, corner - 1]
        forces[:, 0] -= forces[:, corner]
    return energy, _scattered(triangles, forces, len(positions))


def _product(first: FloatArray, second: FloatArray) -> FloatArray:
    """Scalar products (t,) of vectors (3, t)."""
    product: FloatArray = np.einsum("kt,kt->t", first, second)
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


def _scattered(nodes: IntArray, forces: Iterable[FloatArray], size: int) -> FloatArray:
    """Sum (size, 3) of forces at nodes (t, k), those (k, t) along each axis."""
    places = _rows(nodes).ravel()
    sums = np.zeros((size, 3))
    for axis, along in enumerate(forces):
        sums[:, axis] = sum_at(places, along.ravel(), size)
    return sums


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
    up, under = (_corners(positions, nodes) for nodes in (outer, lining))
    sides = _sides(up), _sides(under)
    both = _cross(*sides[0]) + _cross(*sides[1])
    size = np.maximum(np.sqrt(_product(both, both)), 1e-30)
    out = both / size
    np.copyto(out, normal.T, where=~turns)
    between = up - under
    apart = (between[:, 0] + between[:, 1] + between[:, 2]) / 3
    distance = _product(apart, out)
    from_anchor = apart - anchor.T
    swaying, pull = _swaying(from_anchor, out, sway_m, sway_stiffness_n_per_m)
    depth = np.maximum(gap_m - distance, 0.0)
    force = stiffness_n_per_m * depth
    energy = 0.5 * float(force @ depth) + swaying
    push = (force * out - pull) / 3
    leaning = force * (apart - distance * out) + _product(from_anchor, out) * pull
    turning = leaning * (turns / -size)
    forces = np.zeros((3, 6, len(outer)))
    for first, (one, other), pressing in ((0, sides[0], -push), (3, sides[1], push)):
        # slope by each corner of what has the slope `turning` by the triangles' doubled normals
        second, third = _cross(other, turning), _cross(turning, one)
        forces[:, first] = pressing - second - third
        forces[:, first + 1] = pressing + second
        forces[:, first + 2] = pressing + third
    return energy, _scattered(np.concatenate([outer.T, lining.T]).T, forces, len(positions))


def _cross(first: FloatArray, second: FloatArray) -> FloatArray:
    """Vector products (3, t)."""
    (a, b, c), (x, y, z) = first, second
    return np.stack([b * z - c * y, c * x - a * z, a * y - b * x])


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
    return 0.5 * float(force @ depth), _at_pairs(pairs[near], -push, len(positions))


def _midway(positions: FloatArray, pairs: IntArray) -> FloatArray:
    """(3, p) from the middle of the last two nodes of pairs (p, 4) to the middle of the first two."""
    one, two, three, four = _corners(positions, pairs).swapaxes(0, 1)
    gap: FloatArray = 0.5 * (one + two - three - four)
    return gap


def _at_pairs(pairs: IntArray, pull: FloatArray, size: int) -> FloatArray:
    """Sum (size, 3) of a pull (3, p) at the first two nodes of pairs (p, 4), against it at the rest."""
    return _scattered(pairs, np.stack([pull, pull, -pull, -pull], axis=1), size)


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
    energy, pull = _swaying(slide, _rows(normal), sway_m, stiffness_n_per_m)
    return energy, _at_pairs(pairs, 0.5 * pull, len(positions))


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
    places = _corners(positions, nodes)
    normal = _cross(*_sides(places))
    normal /= np.maximum(np.sqrt(_product(normal, normal)), 1e-30)
    height = np.einsum("kit,kt->it", places, normal)
    bend = np.einsum("kit,it->kt", weights.T, height)
    return normal.T, bend.T


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
    out, weight, corners = (_rows(values) for values in (normal, weights, nodes))
    x, y, z = (np.take(axis, corners, mode="clip") for axis in _rows(positions))
    height = x * out[0] + y * out[1] + z * out[2]
    change = np.einsum("kit,it->kt", weight, height) - anchor.T
    square = _product(change, change)
    held = np.minimum(1.0, sway_per_m / np.maximum(np.sqrt(square), 1e-12))
    pull = stiffness_n_m3 * held
    lift = np.einsum("kit,kt->it", weight, pull * change)
    energy = float((pull * square * (1 - 0.5 * held)).sum())
    return energy, _scattered(nodes, (lift * axis for axis in out), len(positions))


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
    out = _rows(normal)
    depth = level_m - _product(_corners(positions, nodes[:, None])[:, 0], out)
    deep = np.flatnonzero(depth > 0)
    depth, stiffness = depth[deep], stiffness_n_per_m[deep]
    hard = np.maximum(depth - soft_m[deep], 0.0)
    energy = 0.5 * float((stiffness * (depth**2 + hardening * hard**2)).sum())
    push = -stiffness * (depth + hardening * hard) * out[:, deep]
    return energy, _scattered(nodes[deep, None], push[:, None], len(positions))


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
    slide = _rows(positions - anchor)
    energy, pull = _swaying(slide, _rows(normal), sway_m, stiffness_n_per_m)
    return energy, pull.T.copy()

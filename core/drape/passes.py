# SPDX-License-Identifier: GPL-3.0-or-later
"""The inner passes of the drape: pure functions on arrays, in array code.

``passes_compiled`` holds the same functions for machines with Numba (`close_between` only serves
`piercings` here); `chosen` gives whichever is there. Both give the same answers up to rounding, and a test holds each to the other.
"""

from functools import lru_cache
from types import ModuleType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import FloatArray, IntArray
from .sums import sum_at, vectors_at

__all__ = [
    "add_scattered",
    "balls",
    "chosen",
    "close_between",
    "layers",
    "membrane",
    "membrane_blocks",
    "pack_fronts",
    "piercings",
    "rubs",
    "solve_fronts",
    "sparse_product",
    "sum_at",
]

SingleArray = NDArray[np.float32]

ON_EDGE = 1e-9
FLAT = 1e-18


@lru_cache(maxsize=1)
def chosen() -> ModuleType:
    """The compiled passes where Numba is installed, else this module."""
    from . import passes

    try:
        from . import passes_compiled
    except ImportError:
        return passes
    return passes_compiled


def add_scattered(whole: FloatArray, places: IntArray, part: FloatArray) -> None:
    """Add a square part (k, k) to rows and columns ``places`` (k,) of a square whole."""
    rows = np.zeros((len(places), len(whole)), dtype=part.dtype)
    rows[:, places] = part
    whole[places] += rows


def pack_fronts(
    own: list[IntArray],
    later: list[IntArray],
    inverses: list[SingleArray],
    links: list[SingleArray],
) -> tuple[Any, ...]:
    """Eliminated fronts in the form that `solve_fronts` reads.

    Of each front, in the order of elimination: its own coordinates (w,) and the later ones (l,)
    that it touches, the lower triangular inverse (w, w) of its Cholesky factor and that factor's
    rows (l, w) for the later ones.
    """
    return own, later, inverses, links


def solve_fronts(packed: tuple[Any, ...], right: FloatArray) -> FloatArray:
    """Solve the equations of `pack_fronts` for one right-hand side, in single precision."""
    own, later, inverses, links = packed
    work = right.astype(np.float32)
    for mine, others, inverse, link in zip(own, later, inverses, links, strict=True):
        part = inverse @ work[mine]
        work[mine] = part
        work[others] -= link @ part
    for mine, others, inverse, link in reversed(list(zip(*packed, strict=True))):
        work[mine] = (work[mine] - work[others] @ link) @ inverse
    return work.astype(np.float64)


def sparse_product(columns: IntArray, values: FloatArray, vectors: FloatArray) -> FloatArray:
    """Product of a matrix in padded rows (n, w) with vectors (n, 3)."""
    result: FloatArray = np.einsum("nw,nwk->nk", values, vectors[columns])
    return result


def _derivatives(
    positions: FloatArray, triangles: IntArray, inverse: FloatArray
) -> tuple[FloatArray, FloatArray]:
    corner = positions.T[:, triangles]
    first = corner[..., 1] - corner[..., 0]
    second = corner[..., 2] - corner[..., 0]
    across = first * inverse[:, 0, 0] + second * inverse[:, 1, 0]
    along = first * inverse[:, 0, 1] + second * inverse[:, 1, 1]
    return across, along


def membrane(
    positions: FloatArray,
    triangles: IntArray,
    inverse: FloatArray,
    stiffness_n_m: FloatArray,
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
    compression
        Stiffness in compression over stiffness in tension.
    """
    across, along = _derivatives(positions, triangles, inverse)
    energy = np.zeros(len(triangles))
    stress = []
    for column, derivative in enumerate((across, along)):
        length = np.sqrt((derivative**2).sum(axis=0))
        strain = length - 1
        stiffness = stiffness_n_m[:, column]
        force = np.where(strain < 0, compression * stiffness, stiffness) * strain
        energy += 0.5 * force * strain
        stress.append(derivative * (force / np.maximum(length, 1e-9)))
    shear = (across * along).sum(axis=0)
    force = stiffness_n_m[:, 2] * shear
    energy += 0.5 * force * shear
    across_stress = stress[0] + along * force
    along_stress = stress[1] + across * force
    second = across_stress * inverse[:, 0, 0] + along_stress * inverse[:, 0, 1]
    third = across_stress * inverse[:, 1, 0] + along_stress * inverse[:, 1, 1]
    corner = np.stack([-second - third, second, third], axis=2).reshape(3, -1).T
    return float(energy.sum()), vectors_at(triangles.ravel(), corner, len(positions))


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
    across, along = _derivatives(positions, triangles, inverse)
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
    normal
        (t, 3) unit direction from lining to outer.
    gap_m, stiffness_n_per_m
        (t,) distance that the middles keep, and resistance to less.
    anchor, sway_m, sway_stiffness_n_per_m
        (t, 3) where the pair sticks, (t,) how far it sways before it slides, and with what spring.
    """
    apart = (positions[outer] - positions[lining]).mean(axis=1)
    distance = (apart * normal).sum(axis=1)
    slide = apart - anchor
    slide -= (slide * normal).sum(axis=1, keepdims=True) * normal
    length = np.sqrt((slide**2).sum(axis=1))
    held = np.minimum(1.0, sway_m / np.maximum(length, 1e-12))
    pull = sway_stiffness_n_per_m * held
    depth = np.maximum(gap_m - distance, 0.0)
    force = stiffness_n_per_m * depth
    energy = 0.5 * float(force @ depth) + float((pull * length**2 * (1 - 0.5 * held)).sum())
    corner = np.repeat((force[:, None] * normal - pull[:, None] * slide) / 3, 3, axis=0)
    gradient = vectors_at(lining.ravel(), corner, len(positions))
    gradient -= vectors_at(outer.ravel(), corner, len(positions))
    return energy, gradient


def balls(
    positions: FloatArray, pairs: IntArray, stiffness_n_per_m: FloatArray, diameter_m: float
) -> tuple[float, FloatArray]:
    """Energy in J of pairs (p, 2) of nodes nearer than a diameter, and its gradient (n, 3) in N."""
    first, second = pairs[:, 0], pairs[:, 1]
    gap = positions[first] - positions[second]
    length = np.maximum(np.sqrt((gap**2).sum(axis=1)), 1e-9)
    depth = np.maximum(diameter_m - length, 0.0)
    force = stiffness_n_per_m * depth
    push = gap * (force / length)[:, None]
    size = len(positions)
    gradient = vectors_at(second, push, size) - vectors_at(first, push, size)
    return float(0.5 * (force * depth).sum()), gradient


def rubs(
    positions: FloatArray,
    pairs: IntArray,
    normal: FloatArray,
    anchor: FloatArray,
    sway_m: FloatArray,
    stiffness_n_per_m: FloatArray,
) -> tuple[float, FloatArray]:
    """Energy in J of pairs (p, 2) of nodes that rub, and its gradient (n, 3) in N.

    Parameters
    ----------
    positions
        (n, 3) nodes.
    pairs
        (p, 2) nodes; what counts is the first's place less the second's.
    normal
        (p, 3) unit direction along which a pair presses and does not rub.
    anchor, sway_m, stiffness_n_per_m
        (p, 3) where the pair sticks, (p,) how far it sways before it slides, and with what spring.
    """
    first, second = pairs[:, 0], pairs[:, 1]
    slide = positions[first] - positions[second] - anchor
    slide -= (slide * normal).sum(axis=1, keepdims=True) * normal
    square = (slide**2).sum(axis=1)
    held = np.minimum(1.0, sway_m / np.maximum(np.sqrt(square), 1e-12))
    pull = stiffness_n_per_m * held
    push = pull[:, None] * slide
    size = len(positions)
    gradient = vectors_at(first, push, size) - vectors_at(second, push, size)
    return float((pull * square * (1 - 0.5 * held)).sum()), gradient


def close_between(first: FloatArray, second: FloatArray, radius_m: float) -> IntArray:
    """Pairs (p, 2) of a first point (n, 3) and a second (k, 3) nearer than a radius.

    The second points are sorted into cubes as wide as the radius; cubes in a row along z follow
    each other, so that each first point looks along nine runs of them. Pairs come in the order of
    the first points.
    """
    low = np.minimum(first.min(axis=0), second.min(axis=0))
    high = np.maximum(first.max(axis=0), second.max(axis=0))
    span = np.floor((high - low) / radius_m).astype(np.int64) + 3
    stride = np.array([span[1] * span[2], span[2], 1])
    start, key = (
        (np.floor((points - low) / radius_m).astype(np.int64) + 1) @ stride
        for points in (first, second)
    )
    order = np.argsort(key, kind="stable")
    key = key[order]
    rows = (np.arange(-1, 2)[:, None] * stride[0] + np.arange(-1, 2) * stride[1]).ravel()
    begin = np.searchsorted(key, start[:, None] + (rows - 1), side="left").ravel()
    length = np.searchsorted(key, start[:, None] + (rows + 1), side="right").ravel() - begin
    one = np.repeat(np.repeat(np.arange(len(first)), len(rows)), length)
    other = order[np.arange(len(one)) - np.repeat(np.cumsum(length) - length - begin, length)]
    near = ((first[one] - second[other]) ** 2).sum(axis=1) < radius_m**2
    return np.stack([one[near], other[near]], axis=1)


def piercings(positions: FloatArray, edges: IntArray, triangles: IntArray) -> IntArray:
    """Pairs (p, 2) of an edge (e, 2) and a triangle (t, 3) that it passes through, none its own.

    Segment and triangle after Möller and Trumbore 1997 (Journal of Graphics Tools 2:21).
    """
    ends, corners = positions[edges], positions[triangles]
    middle, centre = ends.mean(axis=1), corners.mean(axis=1)
    edge_m = np.sqrt(((ends[:, 0] - middle) ** 2).sum(axis=1))
    triangle_m = np.sqrt(((corners - centre[:, None]) ** 2).sum(axis=2).max(axis=1))
    pairs = close_between(middle, centre, float(edge_m.max() + triangle_m.max()))
    edge, triangle = pairs[:, 0], pairs[:, 1]
    # most are too far apart, or on one side of the triangle's plane
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    level = (normal * centre).sum(axis=1)
    reach = (edge_m[edge] + triangle_m[triangle]) ** 2
    near = ((middle[edge] - centre[triangle]) ** 2).sum(axis=1) < reach
    edge, triangle = edge[near], triangle[near]
    sides = [(normal[triangle] * ends[edge, end]).sum(axis=1) - level[triangle] for end in (0, 1)]
    across = sides[0] * sides[1] < 0
    edge, triangle = edge[across], triangle[across]
    apart = (edges[edge][:, :, None] != triangles[triangle][:, None, :]).all(axis=(1, 2))
    edge, triangle = edge[apart], triangle[apart]
    along = ends[edge, 1] - ends[edge, 0]
    origin = corners[triangle, 0]
    first, second = corners[triangle, 1] - origin, corners[triangle, 2] - origin
    turned = np.cross(along, second)
    scale = (first * turned).sum(axis=1)
    flat = np.abs(scale) < FLAT
    scale = np.where(flat, 1.0, scale)
    relative = ends[edge, 0] - origin
    b = (relative * turned).sum(axis=1) / scale
    c = (along * np.cross(relative, first)).sum(axis=1) / scale
    inside = (b > ON_EDGE) & (c > ON_EDGE) & (b + c < 1 - ON_EDGE) & ~flat
    return np.stack([edge[inside], triangle[inside]], axis=1)

# SPDX-License-Identifier: GPL-3.0-or-later
"""What lies near what: nodes that may touch, edges that pierce triangles; in array code.

``search_compiled`` holds the same functions for machines with Numba, `runs_near` and its like apart.
"""

from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from ..arrays import BoolArray, FloatArray, IntArray

__all__ = ["close_pairs", "near_pairs", "piercings", "runs_near"]

SingleArray = NDArray[np.float32]

ON_EDGE = 1e-9
FLAT = 1e-18
ROUNDING_M = 1e-5
"""More than single precision loses of a few metres."""

PORTION = 40_000
"""Pairs looked at together: their arrays stay in the processor's cache."""


def close_pairs(points: FloatArray, rest: FloatArray, radius_m: float, apart_m: float) -> IntArray:
    """Pairs (p, 2), each once, of points nearer than a radius that lie farther apart on the cloth.

    Parameters
    ----------
    points
        (n, 3) places in space.
    rest
        (n, 2, 2) the two flat places of each, m.
    radius_m, apart_m
        Nearer than the first in space, farther than the second on the cloth.

    Returns
    -------
    The pairs in the order of the first point, the smaller of the two, then of the other.
    """
    order, _, begin, length = runs_near(points, points, radius_m)
    # from each point only to those that come later in that order
    later = np.maximum(begin, np.arange(1, len(points) + 1)[:, None])
    begin, length = later, np.maximum(begin + length - later, 0)
    axes = [axis[order] for axis in (points - points.mean(axis=0)).T.astype(np.float32)]
    across, along = (np.ascontiguousarray(axis[order]) for axis in rest[:, 0].T)
    counts = np.cumsum(length.sum(axis=1))
    portions = np.searchsorted(counts, np.arange(0, counts[-1], PORTION), side="right")
    found = [np.zeros((0, 2), dtype=np.int64)]
    for low, high in pairwise([*np.unique(portions).tolist(), len(points)]):
        one, other = _pairs_of_runs(begin[low:high], length[low:high])
        one += low
        x, y, z = (axis[one] - axis[other] for axis in axes)
        near = np.flatnonzero(x * x + y * y + z * z < (radius_m + ROUNDING_M) ** 2)
        one, other = one[near], other[near]
        # most are neighbours on the cloth, as their first flat places already show
        x, y = across[one] - across[other], along[one] - along[other]
        apart = np.flatnonzero(x * x + y * y > apart_m**2)
        first, second = order[one[apart]], order[other[apart]]
        near = ((points[first] - points[second]) ** 2).sum(axis=1) < radius_m**2
        first, second = first[near], second[near]
        between = rest[first][:, :, None] - rest[second][:, None]
        far = (between**2).sum(axis=3).min(axis=(1, 2)) > apart_m**2
        found.append(np.sort(np.stack([first[far], second[far]], axis=1), axis=1))
    return _in_order(np.concatenate(found))


def _in_order(pairs: IntArray) -> IntArray:
    ordered: IntArray = pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]
    return ordered


def runs_near(first: FloatArray, second: FloatArray, radius_m: float) -> tuple[IntArray, ...]:
    """Where second points (k, 3) nearer than a radius to each first point (n, 3) may be.

    The second points are sorted into cubes as wide as the radius; cubes in a row along z follow
    each other, so that each first point looks along nine runs of them.

    Returns
    -------
    The order (n,) of the first points and (k,) of the second by their cubes; then for the first
    points in that order, where each run begins and how long it is (n, 9).
    """
    low = np.minimum(first.min(axis=0), second.min(axis=0))
    high = np.maximum(first.max(axis=0), second.max(axis=0))
    span = np.floor((high - low) / radius_m).astype(np.int64) + 3
    stride = np.array([span[1] * span[2], span[2], 1])
    start, key = (
        (np.floor((points - low) / radius_m).astype(np.int64) + 1) @ stride
        for points in (first, second)
    )
    first_order, order = np.argsort(start, kind="stable"), np.argsort(key, kind="stable")
    start, key = start[first_order], key[order]
    rows = (np.arange(-1, 2)[:, None] * stride[0] + np.arange(-1, 2) * stride[1]).ravel()
    begin = np.searchsorted(key, start[:, None] + (rows - 1), side="left")
    length = np.searchsorted(key, start[:, None] + (rows + 1), side="right") - begin
    return first_order, order, begin, length


def piercings(positions: FloatArray, edges: IntArray, triangles: IntArray) -> IntArray:
    """Pairs (p, 2) of an edge (e, 2) and a triangle (t, 3) that it passes through, none its own.

    Looked for around bounding spheres in single precision, then beside the triangles' planes, in
    portions that stay in the processor's cache. Segment and triangle after Möller and Trumbore
    1997 (Journal of Graphics Tools 2:21). Pairs are in the order of edges, then of triangles.
    """
    ends, corners = positions[edges], positions[triangles]
    middle, centre = ends.mean(axis=1), corners.mean(axis=1)
    edge_m = np.sqrt(((ends[:, 0] - middle) ** 2).sum(axis=1))
    triangle_m = np.sqrt(((corners - centre[:, None]) ** 2).sum(axis=2).max(axis=1))
    radius_m = float(edge_m.max() + triangle_m.max())
    edge_order, order, begin, length = runs_near(middle, centre, radius_m)
    origin = middle.mean(axis=0)
    balls = _columns(middle[edge_order] - origin, edge_m[edge_order] + ROUNDING_M)
    others = _columns(centre[order] - origin, triangle_m[order])
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal /= np.maximum(np.sqrt((normal**2).sum(axis=1, keepdims=True)), FLAT)
    planes = _columns(normal[order], ((centre - origin) * normal).sum(axis=1)[order])
    tips = [_columns(ends[edge_order, end] - origin) for end in (0, 1)]
    edge_nodes, triangle_nodes = edges[edge_order].T.copy(), triangles[order].T.copy()
    counts = np.cumsum(length.sum(axis=1))
    portions = np.searchsorted(counts, np.arange(0, counts[-1], PORTION), side="right")
    found = [np.zeros((0, 2), dtype=np.int64)]
    for low, high in pairwise([*np.unique(portions).tolist(), len(edges)]):
        one, other = _pairs_of_runs(begin[low:high], length[low:high])
        one += low
        x, y, z = (balls[axis][one] - others[axis][other] for axis in range(3))
        near = x * x + y * y + z * z < (balls[3][one] + others[3][other]) ** 2
        one, other = one[near], other[near]
        x, y, z, level = (column[other] for column in planes)
        first, second = (a[one] * x + b[one] * y + c[one] * z - level for a, b, c in tips)
        # on both sides, or within rounding of the plane, as where a corner is shared
        across = np.minimum(first, second) < ROUNDING_M
        across &= np.maximum(first, second) > -ROUNDING_M
        one, other = one[across], other[across]
        apart = np.ones(len(one), dtype=bool)
        for mine, corner in product(edge_nodes, triangle_nodes):
            apart &= mine[one] != corner[other]
        edge, triangle = edge_order[one[apart]], order[other[apart]]
        pierced = _pierced(positions[edges[edge]], positions[triangles[triangle]])
        found.append(np.stack([edge[pierced], triangle[pierced]], axis=1))
    return _in_order(np.concatenate(found))


def near_pairs(first: FloatArray, second: FloatArray, radius_m: float) -> tuple[IntArray, IntArray]:
    """Every first point (n, 3) and second point (k, 3) nearer than a radius, as two lists (p,)."""
    order, other_order, begin, length = runs_near(first, second, radius_m)
    one, other = _pairs_of_runs(begin, length)
    one, other = order[one], other_order[other]
    near = ((first[one] - second[other]) ** 2).sum(axis=1) <= radius_m**2
    return one[near], other[near]


def _columns(*parts: FloatArray) -> list[SingleArray]:
    """The columns of vectors (n, 3) and further values (n,), each on its own."""
    columns = [column for part in parts for column in np.atleast_2d(part.T)]
    return [np.ascontiguousarray(column, dtype=np.float32) for column in columns]


def _pairs_of_runs(begin: IntArray, length: IntArray) -> tuple[IntArray, IntArray]:
    """Row and place of every entry of runs (n, r) that begin somewhere."""
    flat = length.ravel()
    rows = np.repeat(np.arange(len(length)), length.sum(axis=1))
    places = np.arange(len(rows)) + np.repeat(begin.ravel() - np.cumsum(flat) + flat, flat)
    return rows, places


def _pierced(ends: FloatArray, corners: FloatArray) -> BoolArray:
    """Which of the segments (p, 2, 3) pierce their triangles (p, 3, 3)."""
    along = ends[:, 1] - ends[:, 0]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    relative = ends[:, 0] - corners[:, 0]
    normal = np.cross(first, second)
    level = (normal * relative).sum(axis=1)
    across = level * (level + (normal * along).sum(axis=1)) < 0
    turned = np.cross(along, second)
    scale = (first * turned).sum(axis=1)
    flat = np.abs(scale) < FLAT
    scale = np.where(flat, 1.0, scale)
    b = (relative * turned).sum(axis=1) / scale
    c = (along * np.cross(relative, first)).sum(axis=1) / scale
    inside: BoolArray = (b > ON_EDGE) & (c > ON_EDGE) & (b + c < 1 - ON_EDGE)
    inside &= across & ~flat
    return inside

# SPDX-License-Identifier: GPL-3.0-or-later
"""The closest of many triangles: a tree of boxes, searched with array code.

The tree is complete and binary over groups of ``LEAF`` triangles that lie together in the bind
pose. A pose moves the boxes, not the tree. Searching level by level keeps, for every point, the
boxes that are nearer than the best distance known so far, so the answer is exact.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray

__all__ = [
    "Boxes",
    "Search",
    "Tree",
    "build_tree",
    "closest_on_triangles",
    "search",
    "triangle_planes",
]

LEAF = 4
LEVELS_AT_ONCE = 3
COARSE_DEPTH = 9
CHUNK = 4096


@dataclass(frozen=True, slots=True)
class Tree:
    """``order`` (2^depth, LEAF): triangles of every leaf; some may stand twice."""

    depth: int
    order: IntArray


@dataclass(frozen=True, slots=True)
class Boxes:
    """Box corners of all nodes, (2^(depth + 1) - 1, 3) each; the children of i are 2i+1, 2i+2."""

    low: FloatArray
    high: FloatArray


@dataclass(frozen=True, slots=True)
class Search:
    """Closest triangle (n,), its corners' weights (n, 3) and the squared distance (n,)."""

    triangle: IntArray
    weights: FloatArray
    square: FloatArray


def build_tree(vertices: FloatArray, triangles: IntArray) -> Tree:
    """Halve the triangles again and again, each group across its longest side."""
    count = len(triangles)
    depth = max(int(np.ceil(np.log2(max(count / LEAF, 1.0)))), 0)
    centroids = vertices[triangles].mean(axis=1)
    # pad to full leaves; a triangle that stands twice does no harm
    order = np.concatenate([np.arange(count), np.arange(LEAF * 2**depth - count) % count])
    for level in range(depth):
        groups = order.reshape(2**level, -1)
        position = centroids[groups]
        axis = np.ptp(position, axis=1).argmax(axis=1)
        key = np.take_along_axis(position, axis[:, None, None], axis=2)[:, :, 0]
        order = np.take_along_axis(groups, np.argsort(key, axis=1, kind="stable"), axis=1)
    return Tree(depth, order.reshape(-1, LEAF))


def fit_boxes(tree: Tree, corners: FloatArray) -> Boxes:
    """Boxes round the triangles with ``corners`` (t, 3, 3)."""
    triangle_low, triangle_high = corners.min(axis=1), corners.max(axis=1)
    low = [triangle_low[tree.order].min(axis=1)]
    high = [triangle_high[tree.order].max(axis=1)]
    for _ in range(tree.depth):
        low.append(np.minimum(low[-1][0::2], low[-1][1::2]))
        high.append(np.maximum(high[-1][0::2], high[-1][1::2]))
    return Boxes(np.concatenate(low[::-1]), np.concatenate(high[::-1]))


def triangle_planes(corners: FloatArray) -> tuple[FloatArray, FloatArray]:
    """What the closest point needs of each triangle (t, 13), and unit normals (t, 3).

    The row holds the first corner, both edges from it, their dot products e11, e12, e22 and one
    over the square of twice the area.
    """
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    e11 = np.einsum("ij,ij->i", first, first)
    e12 = np.einsum("ij,ij->i", first, second)
    e22 = np.einsum("ij,ij->i", second, second)
    cross = np.cross(first, second)
    square = np.einsum("ij,ij->i", cross, cross) + 1e-30
    planes = np.concatenate(
        [corners[:, 0], first, second, np.stack([e11, e12, e22, 1.0 / square], axis=1)], axis=1
    )
    return planes, cross / np.sqrt(square)[:, None]


def closest_on_triangles(points: FloatArray, planes: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Weights (n, 3) of the closest point of one triangle each, and the squared distance (n,).

    Inside a triangle all weights are positive; on an edge or corner the others are exactly 0.
    """
    d = points - planes[:, 0:3]
    x = np.einsum("ij,ij->i", d, planes[:, 3:6])
    y = np.einsum("ij,ij->i", d, planes[:, 6:9])
    e11, e12, e22, scale = planes[:, 9:13].T
    b = (e22 * x - e12 * y) * scale
    c = (e11 * y - e12 * x) * scale
    a = 1.0 - b - c
    outside = np.flatnonzero((b <= 0.0) | (c <= 0.0) | (a <= 0.0))
    if outside.size:
        a[outside], b[outside], c[outside] = _closest_on_edges(
            x[outside], y[outside], e11[outside], e12[outside], e22[outside]
        )
    square = (
        np.einsum("ij,ij->i", d, d)
        - 2.0 * (b * x + c * y)
        + b * b * e11
        + 2.0 * b * c * e12
        + c * c * e22
    )
    return np.stack([a, b, c], axis=1), np.maximum(square, 0.0)


def _closest_on_edges(
    x: FloatArray, y: FloatArray, e11: FloatArray, e12: FloatArray, e22: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Weights of the three corners at the closest point of a triangle's outline."""
    zero = np.zeros_like(x)
    first = np.clip(x / e11, 0.0, 1.0)
    second = np.clip(y / e22, 0.0, 1.0)
    third = np.clip((y - x - e12 + e11) / (e11 + e22 - 2.0 * e12), 0.0, 1.0)
    a = np.stack([1.0 - first, 1.0 - second, zero])
    b = np.stack([first, zero, 1.0 - third])
    c = np.stack([zero, second, third])
    cost = -2.0 * (b * x + c * y) + b * b * e11 + 2.0 * b * c * e12 + c * c * e22
    pick = cost.argmin(axis=0)
    column = np.arange(len(x))
    return a[pick, column], b[pick, column], c[pick, column]


def search(
    points: FloatArray, start: IntArray | None, tree: Tree, boxes: Boxes, planes: FloatArray
) -> Search:
    """Closest triangle to each point (n, 3).

    ``start`` (n,) may name triangles near the points: they make the search faster and leave its
    result as it is.
    """
    triangle = _coarse_start(points, tree, planes) if start is None else start.copy()
    weights, square = closest_on_triangles(points, planes[triangle])
    for first in range(0, len(points), CHUNK):
        part = slice(first, first + CHUNK)
        _improve(points[part], triangle[part], weights[part], square[part], tree, boxes, planes)
    return Search(triangle, weights, square)


def _coarse_start(points: FloatArray, tree: Tree, planes: FloatArray) -> IntArray:
    """The nearest to each point of a few hundred triangles spread over the surface."""
    spread = tree.order[:: max(2 ** (tree.depth - COARSE_DEPTH), 1), 0]
    position = planes[spread, 0:3].astype(np.float32)
    middle = position.mean(axis=0)
    position -= middle
    half_square = 0.5 * (position**2).sum(axis=1)
    score = (points - middle).astype(np.float32) @ position.T - half_square
    result: IntArray = spread[score.argmax(axis=1)]
    return result


def _improve(
    points: FloatArray,
    triangle: IntArray,
    weights: FloatArray,
    square: FloatArray,
    tree: Tree,
    boxes: Boxes,
    planes: FloatArray,
) -> None:
    """Replace the answers, in place, by those of nearer triangles where there are any."""
    rows = np.arange(len(points))
    nodes = np.zeros(len(points), dtype=np.int64)
    level = 0
    while level < tree.depth:
        step = min(LEVELS_AT_ONCE, tree.depth - level)
        width = 2**step
        level += step
        # the grandchildren of a node stand side by side
        nodes = ((nodes + 1) * width - 1)[:, None] + np.arange(width)
        rows = np.repeat(rows, width)
        nodes = nodes.reshape(-1)
        gap = np.maximum(boxes.low[nodes] - points[rows], points[rows] - boxes.high[nodes])
        np.maximum(gap, 0.0, out=gap)
        kept = np.einsum("ij,ij->i", gap, gap) < square[rows]
        rows, nodes, gap = rows[kept], nodes[kept], gap[kept]
        if level < tree.depth and len(rows):
            # one triangle of every point's nearest box lowers the bound for what follows
            order = np.lexsort((np.einsum("ij,ij->i", gap, gap), rows))
            first = order[np.concatenate([[True], np.diff(rows[order]) > 0])]
            row, below = rows[first], tree.depth - level
            leaf = (nodes[first] + 1) * 2**below - 2**tree.depth + 2 ** (below - 1)
            _take_better(points, row, tree.order[leaf, 0], triangle, weights, square, planes)
    candidates = tree.order[nodes - (2**tree.depth - 1)].reshape(-1)
    rows = np.repeat(rows, LEAF)
    _take_better(points, rows, candidates, triangle, weights, square, planes)


def _take_better(
    points: FloatArray,
    rows: IntArray,
    candidates: IntArray,
    triangle: IntArray,
    weights: FloatArray,
    square: FloatArray,
    planes: FloatArray,
) -> None:
    new_weights, new_square = closest_on_triangles(points[rows], planes[candidates])
    better = np.flatnonzero(new_square < square[rows])
    # the last of several writes to one row must be the nearest
    better = better[np.argsort(-new_square[better], kind="stable")]
    rows = rows[better]
    triangle[rows] = candidates[better]
    weights[rows] = new_weights[better]
    square[rows] = new_square[better]

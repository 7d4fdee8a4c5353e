# SPDX-License-Identifier: GPL-3.0-or-later
"""The closest of many triangles: a tree of boxes, searched with array code.

The tree is complete and binary, with one triangle in every leaf; triangles that lie together in
the bind pose stand together. A pose moves the boxes, not the tree. The distance to any triangle
bounds the search from above: going down level by level keeps, for every point, the boxes that are
not farther than that, so the answer is exact however the first triangle was chosen.

Pairs of points and boxes are gathered with ``take`` and worked on in chunks that stay in the
processor's cache: both save several times over.
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

LEVELS_AT_ONCE = 3
COARSE_DEPTH = 9
CHUNK = 1024

LOST_M = 0.06
"""A start farther away than this is not trusted: the search looks for a better one first."""


@dataclass(frozen=True, slots=True)
class Tree:
    """``order`` (2^depth): the triangle of every leaf; some may stand twice."""

    depth: int
    order: IntArray


@dataclass(frozen=True, slots=True)
class Boxes:
    """Box corners of all nodes, (2^(depth + 1) - 1, 3) each; the children of i are 2i+1, 2i+2."""

    low: FloatArray
    high: FloatArray


@dataclass(frozen=True, slots=True)
class Search:
    """Closest triangle (n,), its corners' weights (n, 3) and the squared distance (n,), m².

    Where no triangle is within reach the square is infinite, and the triangle any of the tree.
    """

    triangle: IntArray
    weights: FloatArray
    square: FloatArray


def build_tree(vertices: FloatArray, triangles: IntArray) -> Tree:
    """Halve the triangles again and again, each group across its longest side."""
    count = len(triangles)
    depth = int(np.ceil(np.log2(count)))
    centroids = vertices[triangles].mean(axis=1)
    # pad to full leaves; a triangle that stands twice does no harm
    order = np.arange(2**depth) % count
    for level in range(depth):
        groups = order.reshape(2**level, -1)
        position = centroids[groups]
        axis = np.ptp(position, axis=1).argmax(axis=1)
        key = np.take_along_axis(position, axis[:, None, None], axis=2)[:, :, 0]
        order = np.take_along_axis(groups, np.argsort(key, axis=1, kind="stable"), axis=1)
    return Tree(depth, order.reshape(-1))


def fit_boxes(tree: Tree, corners: FloatArray) -> Boxes:
    """Boxes round the triangles with ``corners`` (t, 3, 3)."""
    first, second, third = corners.take(tree.order, axis=0).transpose(1, 0, 2)
    low = [np.minimum(np.minimum(first, second), third)]
    high = [np.maximum(np.maximum(first, second), third)]
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
    feet = _feet(points, planes)
    pick = feet.costs.argmin(axis=0)
    (s, t, u), (a, b, c), zero = feet.shares, feet.inner, np.zeros(len(points))
    weights = [
        np.choose(pick, [1.0 - s, 1.0 - t, zero, a]),
        np.choose(pick, [s, zero, 1.0 - u, b]),
        np.choose(pick, [zero, t, u, c]),
    ]
    return np.stack(weights, axis=1), feet.squares()


@dataclass(frozen=True, slots=True)
class _Feet:
    """The feet of points on the three edges and the plane of one triangle each.

    ``shares`` are the ways (n,) along the edges, from the first corner to either other one and
    from the second to the third; ``inner`` the weights (n,) of the foot on the plane. ``costs``
    (4, n) are the squared distances to these four feet less ``base`` (n,), that of the first
    corner; infinite for a foot on the plane outside the triangle.
    """

    shares: tuple[FloatArray, FloatArray, FloatArray]
    inner: tuple[FloatArray, FloatArray, FloatArray]
    costs: FloatArray
    base: FloatArray

    def squares(self) -> FloatArray:
        square: FloatArray = self.costs.min(axis=0) + self.base
        return np.maximum(square, 0.0, out=square)


def _feet(points: FloatArray, planes: FloatArray) -> _Feet:
    # columns that lie together in memory are worked on several times faster than the rows' parts
    columns = np.ascontiguousarray(planes.T)
    d = points.T - columns[0:3]
    x, y = _dot(d, columns[3:6]), _dot(d, columns[6:9])
    e11, e12, e22, scale = columns[9:13]
    b, c = (e22 * x - e12 * y) * scale, (e11 * y - e12 * x) * scale
    a = 1.0 - b - c
    inside = np.minimum(np.minimum(a, b), c) > 0.0
    s, on_first = _along_edge(x, e11)
    t, on_second = _along_edge(y, e22)
    u, on_third = _along_edge(y - x + e11 - e12, e11 + e22 - 2.0 * e12)
    on_third += e11 - 2.0 * x
    on_face = np.where(inside, -(b * x + c * y), np.inf)
    costs = np.stack([on_first, on_second, on_third, on_face])
    return _Feet((s, t, u), (a, b, c), costs, _dot(d, d))


def _dot(one: FloatArray, other: FloatArray) -> FloatArray:
    total: FloatArray = one[0] * other[0]
    total += one[1] * other[1]
    total += one[2] * other[2]
    return total


def _along_edge(along: FloatArray, edge_square: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Share of the way along an edge, and the squared distance less that of the edge's start."""
    share = along / edge_square
    np.maximum(share, 0.0, out=share)
    np.minimum(share, 1.0, out=share)
    return share, share * (share * edge_square - 2.0 * along)


def search(
    points: FloatArray,
    start: IntArray,
    tree: Tree,
    boxes: Boxes,
    planes: FloatArray,
    reach_m: float = np.inf,
) -> Search:
    """Closest triangle to each point (n, 3).

    Parameters
    ----------
    start
        (n,) a triangle of the tree near each point, or -1. It makes the search faster and leaves
        its distances as they are.
    reach_m
        Only triangles nearer than this are looked for.
    """
    points = np.ascontiguousarray(points)
    chunks = [slice(first, first + CHUNK) for first in range(0, len(points), CHUNK)]
    found = [
        _search_chunk(points[chunk], start[chunk], tree, boxes, planes, reach_m**2)
        for chunk in chunks
    ]
    triangle = np.concatenate([start[:0], *found])
    weights, square = closest_on_triangles(points, planes.take(triangle, axis=0))
    square[square >= reach_m**2] = np.inf
    return Search(triangle, weights, square)


def _search_chunk(
    points: FloatArray,
    start: IntArray,
    tree: Tree,
    boxes: Boxes,
    planes: FloatArray,
    reach_square: float,
) -> IntArray:
    triangle, bound = _begin(points, start, tree, planes, reach_square)
    rows, candidates = _within(points, bound, tree, boxes)
    if not len(rows):
        return triangle
    squares = _feet(points.take(rows, axis=0), planes.take(candidates, axis=0)).squares()
    # the pairs of one point stand side by side
    firsts = np.flatnonzero(np.diff(rows, prepend=-1))
    least = np.minimum.reduceat(squares, firsts)
    best = np.flatnonzero(squares == least.repeat(np.diff(firsts, append=len(rows))))
    best = best[squares[best] < bound[rows[best]]]
    triangle[rows[best]] = candidates[best]
    return triangle


def _begin(
    points: FloatArray, start: IntArray, tree: Tree, planes: FloatArray, reach_square: float
) -> tuple[IntArray, FloatArray]:
    """A triangle for each point to begin with, and the square to look for nearer ones within."""
    triangle = start.copy()
    bound = np.minimum(_feet(points, planes.take(start, axis=0)).squares(), reach_square)
    lost = np.flatnonzero((start < 0) | (bound > LOST_M**2))
    if len(lost):
        stray = points.take(lost, axis=0)
        triangle[lost] = _coarse_start(stray, tree, planes)
        square = _feet(stray, planes.take(triangle[lost], axis=0)).squares()
        bound[lost] = np.minimum(square, reach_square)
    return triangle, bound


def _coarse_start(points: FloatArray, tree: Tree, planes: FloatArray) -> IntArray:
    """A near triangle to each point: of a few hundred spread ones, then of those round it."""
    level = min(COARSE_DEPTH, tree.depth)
    width = 2 ** (tree.depth - level)
    corners = planes[:, 0:3]
    position = corners[tree.order[width // 2 :: width]].astype(np.float32)
    middle = position.mean(axis=0)
    position -= middle
    half_square = 0.5 * (position**2).sum(axis=1)
    score = (points - middle).astype(np.float32) @ position.T - half_square
    leaf = width * score.argmax(axis=1)
    while width > 1:
        step = min(2**LEVELS_AT_ONCE, width)
        width //= step
        leaves = leaf[:, None] + width * np.arange(step)
        away = corners.take(tree.order.take(leaves + width // 2), axis=0) - points[:, None]
        nearest = np.einsum("ijk,ijk->ij", away, away).argmin(axis=1)
        leaf += width * nearest
    result: IntArray = tree.order[leaf]
    return result


def _within(
    points: FloatArray, bound: FloatArray, tree: Tree, boxes: Boxes
) -> tuple[IntArray, IntArray]:
    """Pairs of points and triangles whose boxes are within the point's squared bound."""
    rows = np.arange(len(points))
    nodes = np.zeros(len(points), dtype=np.int64)
    for level in range(0, tree.depth, LEVELS_AT_ONCE):
        width = 2 ** min(LEVELS_AT_ONCE, tree.depth - level)
        # the grandchildren of a node stand side by side
        nodes = (((nodes + 1) * width - 1)[:, None] + np.arange(width)).reshape(-1)
        rows = rows.repeat(width)
        place = points.take(rows, axis=0)
        gap = boxes.low.take(nodes, axis=0)
        gap -= place
        place -= boxes.high.take(nodes, axis=0)
        np.maximum(gap, place, out=gap)
        np.maximum(gap, 0.0, out=gap)
        gap *= gap
        kept = np.flatnonzero(gap @ np.ones(3) <= bound.take(rows))
        rows, nodes = rows.take(kept), nodes.take(kept)
    return rows, tree.order.take(nodes - (2**tree.depth - 1))

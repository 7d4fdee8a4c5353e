# SPDX-License-Identifier: GPL-3.0-or-later
"""The closest of many triangles: a tree of boxes, searched with array code.

The tree is complete and binary, with one triangle in every leaf; triangles that lie together in
the bind pose stand together. A pose moves the boxes, not the tree. The distance to any triangle
bounds the search from above: going down three levels at once keeps, for every point, the boxes
that are not farther than that, then the discs round single triangles, so the answer is exact
however the first triangle was chosen. Boxes and discs only sort out: single precision does, with
a bound a little wider than its rounding.

Points asked about again after a small move are not sent down the tree: a `Memory` keeps the
triangles that were a little farther than the closest one, and how far point and body may move
before another could come closer than these.

Pairs of points and boxes are gathered with ``take`` and worked on in chunks that stay in the
processor's cache: both save several times over.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import FloatArray, IntArray

SingleArray = NDArray[np.float32]
SmallArray = NDArray[np.int32]

__all__ = [
    "Boxes",
    "Memory",
    "Search",
    "Tree",
    "build_tree",
    "closest_on_triangles",
    "farthest_m",
    "fit_boxes",
    "search",
    "triangle_planes",
]

LEVELS_AT_ONCE = 3
COARSE_DEPTH = 9
CHUNK = 1024
ONES = np.ones(8, dtype=np.float32)

LOST_M = 0.06
"""A start farther away than this is not trusted: the search looks for a better one first."""


@dataclass(frozen=True, slots=True)
class Tree:
    """``order`` (2^depth): the triangle of every leaf; some may stand twice."""

    depth: int
    order: IntArray


@dataclass(frozen=True, slots=True)
class Boxes:
    """Where the nodes and leaves of a tree lie, in single precision.

    ``sides`` (2^(depth + 1) - 1, 8) are the boxes of all nodes, the children of i being 2i + 1
    and 2i + 2: the lower corner and a zero, then the upper corner's negative and a zero. Less the
    point and its negative, what stays positive are the ways to the box. ``discs`` (2^depth, 8)
    hold the triangles of the leaves: centre, unit normal, radius and a zero.
    """

    sides: SingleArray
    discs: SingleArray

    @property
    def low(self) -> SingleArray:
        """Lower corners of all boxes (., 3)."""
        return self.sides[:, 0:3]

    @property
    def high(self) -> SingleArray:
        """Upper corners of all boxes (., 3)."""
        return -self.sides[:, 4:7]


SLACK_M = 0.0025
"""Points that moved by less since they were last sent down get their neighbours remembered."""

MOST_NEAR = 48
"""More leaves round one point are not remembered; about a third as many usually lie there."""


@dataclass(slots=True)
class Memory:
    """What earlier searches in the same tree found out about n points.

    ``near`` (n, `MOST_NEAR`) are leaves of which the first ``count`` (n,) hold: all within some
    radius of ``at`` (n, 3), where the points were then. ``sure_m`` (n,) is that radius plus the
    ``travel_m`` (1,) of then: how far the body's surface has moved at most since the beginning.
    """

    at: FloatArray
    near: SmallArray
    count: IntArray
    sure_m: FloatArray
    travel_m: FloatArray

    @classmethod
    def of_nothing(cls, count: int) -> "Memory":
        """Of ``count`` points not yet asked about."""
        return cls(
            at=np.full((count, 3), np.inf),
            near=np.zeros((count, MOST_NEAR), dtype=np.int32),
            count=np.zeros(count, dtype=np.int64),
            sure_m=np.full(count, -np.inf),
            travel_m=np.zeros(1),
        )

    def part(self, rows: slice) -> "Memory":
        """A view of some of the points."""
        return Memory(
            self.at[rows], self.near[rows], self.count[rows], self.sure_m[rows], self.travel_m
        )


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


def farthest_m(before: FloatArray, after: FloatArray) -> float:
    """How far the farthest of points (n, 3) moved: no place between them moved farther."""
    moved = after - before
    return float(np.sqrt(np.einsum("ij,ij->i", moved, moved).max()))


def fit_boxes(tree: Tree, corners: FloatArray) -> Boxes:
    """Boxes and discs round the triangles with ``corners`` (t, 3, 3)."""
    first, second, third = np.ascontiguousarray(corners.take(tree.order, axis=0).transpose(1, 2, 0))
    sides = np.zeros((2 ** (tree.depth + 1) - 1, 8), dtype=np.float32)
    low, high = (
        pick(pick(first, second), third).astype(np.float32) for pick in (np.minimum, np.maximum)
    )
    for level in reversed(range(tree.depth + 1)):
        nodes = slice(2**level - 1, 2 ** (level + 1) - 1)
        sides[nodes, 0:3], sides[nodes, 4:7] = low.T, -high.T
        low = np.minimum(low[:, 0::2], low[:, 1::2])
        high = np.maximum(high[:, 0::2], high[:, 1::2])
    return Boxes(sides, _discs(first, second, third))


def _discs(first: FloatArray, second: FloatArray, third: FloatArray) -> SingleArray:
    """Discs (k, 8) round triangles given as columns (3, k); balls where one has no area."""
    discs = np.zeros((first.shape[1], 8), dtype=np.float32)
    centre = (first + second + third) / 3.0
    one, other = second - first, third - first
    normal = _cross(one, other)
    spokes = [_dot(spoke, spoke) for spoke in (first - centre, second - centre, third - centre)]
    discs[:, 0:3] = centre.T
    discs[:, 3:6] = (normal / np.sqrt(_dot(normal, normal) + 1e-30)).T
    discs[:, 6] = np.sqrt(np.maximum(np.maximum(spokes[0], spokes[1]), spokes[2]))
    return discs


def triangle_planes(corners: FloatArray) -> tuple[FloatArray, FloatArray]:
    """What the closest point needs of each triangle (t, 13), and unit normals (t, 3).

    The row holds the first corner, both edges from it, their dot products e11, e12, e22 and one
    over the square of twice the area.
    """
    start, second, third = np.ascontiguousarray(corners.transpose(1, 2, 0))
    one, other = second - start, third - start
    cross = _cross(one, other)
    square = _dot(cross, cross) + 1e-30
    planes = np.zeros((len(corners), 13))
    planes[:, 0:3], planes[:, 3:6], planes[:, 6:9] = start.T, one.T, other.T
    planes[:, 9], planes[:, 10], planes[:, 11] = (
        _dot(one, one),
        _dot(one, other),
        _dot(other, other),
    )
    planes[:, 12] = 1.0 / square
    return planes, np.ascontiguousarray((cross / np.sqrt(square)).T)


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


def _dot(one: NDArray[Any], other: NDArray[Any]) -> NDArray[Any]:
    total: NDArray[Any] = one[0] * other[0]
    total += one[1] * other[1]
    total += one[2] * other[2]
    return total


def _cross(one: FloatArray, other: FloatArray) -> FloatArray:
    turns = ((1, 2), (2, 0), (0, 1))
    return np.stack([one[i] * other[j] - one[j] * other[i] for i, j in turns])


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
    memory: Memory | None = None,
) -> Search:
    """Closest triangle to each point (n, 3).

    Parameters
    ----------
    start
        (n,) a triangle of the tree near each point, or -1. It makes the search faster and leaves
        its distances as they are.
    reach_m
        Only triangles nearer than this are looked for.
    memory
        What is known of the same points in the same tree; it is brought up to date.
    """
    points = np.ascontiguousarray(points)
    memory = memory or Memory.of_nothing(len(points))
    found = Search(
        triangle=start.copy(),
        weights=np.tile([1.0, 0.0, 0.0], (len(points), 1)),
        square=np.full(len(points), np.inf),
    )
    for first in range(0, len(points), CHUNK):
        chunk = slice(first, first + CHUNK)
        part = Search(found.triangle[chunk], found.weights[chunk], found.square[chunk])
        _search_chunk(points[chunk], tree, boxes, planes, reach_m, memory.part(chunk), part)
    return found


def _search_chunk(
    points: FloatArray,
    tree: Tree,
    boxes: Boxes,
    planes: FloatArray,
    reach_m: float,
    memory: Memory,
    found: Search,
) -> None:
    """Search for a few points, with the triangles to begin with in ``found``, and fill that in."""
    offset = points - memory.at
    gone_m = np.sqrt(np.einsum("ij,ij->i", offset, offset)) + memory.travel_m
    # what was out of reach and cannot have come within it needs no more
    awake = np.flatnonzero((memory.count > 0) | (gone_m + reach_m > memory.sure_m))
    if not len(awake):
        return
    near = points.take(awake, axis=0)
    triangle, bound = _begin(near, found.triangle.take(awake), tree, planes, reach_m**2)
    rows, leaves = _near(points, awake, bound, gone_m, tree, boxes, memory)
    if len(rows):
        candidates = tree.order.take(leaves)
        squares = _feet(near.take(rows, axis=0), planes.take(candidates, axis=0)).squares()
        # the pairs of one point stand side by side
        firsts = np.flatnonzero(np.diff(rows, prepend=-1))
        least = np.minimum.reduceat(squares, firsts)
        best = np.flatnonzero(squares == least.repeat(np.diff(firsts, append=len(rows))))
        best = best[squares[best] < bound[rows[best]]]
        triangle[rows[best]] = candidates[best]
    weights, square = closest_on_triangles(near, planes.take(triangle, axis=0))
    square[square >= reach_m**2] = np.inf
    found.triangle[awake], found.weights[awake], found.square[awake] = triangle, weights, square


def _near(
    points: FloatArray,
    awake: IntArray,
    bound: FloatArray,
    gone_m: FloatArray,
    tree: Tree,
    boxes: Boxes,
    memory: Memory,
) -> tuple[IntArray, IntArray]:
    """Places in ``awake`` (k,) and leaves whose discs are within the point's squared bound (k,)."""
    root = np.sqrt(bound)
    known = root + gone_m[awake] <= memory.sure_m[awake]
    single = points.take(awake, axis=0).astype(np.float32)
    # what is remembered
    rows = np.flatnonzero(known)
    count = memory.count[awake[rows]]
    kept = memory.near[awake[rows]]
    leaves = kept[np.arange(MOST_NEAR) < count[:, None]].astype(np.int64)
    rows = rows.repeat(count)
    gap = _disc_squares(single, rows, leaves, boxes)
    # the others are sent down the tree, with room to move where they come again
    new = np.flatnonzero(~known)
    if len(new):
        again = gone_m[awake[new]] - memory.travel_m < SLACK_M
        radius_m = root[new] + SLACK_M * again
        limit = widened(radius_m**2)
        down, found = _within(single[new], limit, tree, boxes)
        apart = _disc_squares(single[new], down, found, boxes)
        inside = np.flatnonzero(apart <= limit.take(down))
        down, found, apart = down[inside], found[inside], apart[inside]
        sure_m = np.where(again, radius_m, -np.inf)
        _remember(points, awake[new], sure_m, down, found, memory)
        rows, leaves = np.concatenate([rows, new[down]]), np.concatenate([leaves, found])
        gap = np.concatenate([gap, apart])
    close = np.flatnonzero(gap <= widened(bound).take(rows))
    return rows.take(close), leaves.take(close)


def _remember(
    points: FloatArray,
    new: IntArray,
    radius_m: FloatArray,
    rows: IntArray,
    leaves: IntArray,
    memory: Memory,
) -> None:
    """Keep which leaves are within the radius (k,) of the points numbered ``new`` (k,).

    Where that is minus infinity, only where the points were.
    """
    count = np.bincount(rows, minlength=len(new))
    place = np.arange(len(rows)) - (np.cumsum(count) - count).repeat(count)
    fits = place < MOST_NEAR
    memory.near[new[rows[fits]], place[fits]] = leaves[fits]
    memory.count[new] = count
    memory.at[new] = points[new]
    memory.sure_m[new] = np.where(count <= MOST_NEAR, radius_m, -np.inf) + memory.travel_m


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


def steps_down(depth: int) -> list[int]:
    """Levels to go down at once, from the root to the leaves; what is left over comes first."""
    steps = [LEVELS_AT_ONCE] * (depth // LEVELS_AT_ONCE)
    return [depth % LEVELS_AT_ONCE, *steps] if depth % LEVELS_AT_ONCE or not steps else steps


def _within(
    points: SingleArray, limit: SingleArray, tree: Tree, boxes: Boxes
) -> tuple[IntArray, IntArray]:
    """Pairs of points and leaves whose parents' boxes are within the squared limit (n,)."""
    places = np.zeros((len(points), 8), dtype=np.float32)
    places[:, 0:3], places[:, 4:7] = points, -points
    rows = np.arange(len(points))
    nodes = np.zeros(len(points), dtype=np.int64)
    for number, levels in enumerate(steps_down(tree.depth)):
        if number > 0:
            ways = boxes.sides.take(nodes, axis=0)
            ways -= places.take(rows, axis=0)
            np.maximum(ways, 0.0, out=ways)
            ways *= ways
            kept = np.flatnonzero(ways @ ONES <= limit.take(rows))
            rows, nodes = rows.take(kept), nodes.take(kept)
        # the grandchildren of a node stand side by side
        width = 2**levels
        nodes = (((nodes + 1) * width - 1)[:, None] + np.arange(width)).reshape(-1)
        rows = rows.repeat(width)
    return rows, nodes - (2**tree.depth - 1)


def _disc_squares(
    points: SingleArray, rows: IntArray, leaves: IntArray, boxes: Boxes
) -> SingleArray:
    """Squared distances (k,) of pairs of points and discs."""
    discs = np.ascontiguousarray(boxes.discs.take(leaves, axis=0).T)
    for axis in range(3):
        discs[axis] -= points[:, axis].take(rows)
    height = _dot(discs[0:3], discs[3:6])
    height *= height
    aside = _dot(discs[0:3], discs[0:3])
    aside -= height
    np.maximum(aside, 0.0, out=aside)
    np.sqrt(aside, out=aside)
    aside -= discs[6]
    np.maximum(aside, 0.0, out=aside)
    aside *= aside
    aside += height
    return aside


def widened(square: NDArray[Any]) -> SingleArray:
    """Squared distances (n,) in single precision, larger by more than what that rounds away."""
    root = np.sqrt(square) * (1 + 2e-5) + 1e-5
    result: SingleArray = (root * root).astype(np.float32)
    return result

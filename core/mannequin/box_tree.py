# SPDX-License-Identifier: GPL-3.0-or-later
"""A tree of boxes round triangles, gone down with array code.

Triangles that lie together in the bind pose stand together. A pose moves the boxes, not the tree.
Boxes only sort out: single precision does, with a limit a little wider than its rounding.

The boxes of a node's children stand side by side, one array for each coordinate, so that array code
fetches them as one row.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import BoolArray, FloatArray, IntArray
from .triangles import triangle_planes

__all__ = [
    "FAR_M",
    "PosedTree",
    "SingleArray",
    "Tree",
    "build_tree",
    "least_distance_m",
    "posed_tree",
    "probable_places",
    "widened",
    "within",
]

SingleArray = NDArray[np.float32]

LEVELS_AT_ONCE = 3
MOST_IN_LEAF = 9
MOST_PROBED = 512
ROUNDING_SHARE, ROUNDING_M = 2e-5, 1e-5
"""More than single precision rounds a distance by."""

FAR_M = 1e6
"""Where boxes lie that only fill up a leaf: farther than anything."""


@dataclass(frozen=True, slots=True)
class Tree:
    """Triangles in an order, and how they are parted again and again.

    The whole is parted into ``widths[0]`` nodes, each of these into ``widths[1]`` and so on; with
    the last step come the places of single triangles. ``order`` (k,) is the triangle at each place.
    Some stand twice, to fill up a leaf; ``filled`` (k,) is false for these.
    """

    widths: IntArray
    order: IntArray
    filled: BoolArray


@dataclass(frozen=True, slots=True)
class PosedTree:
    """A tree with its triangles where they are in one pose.

    ``middle`` and ``half`` are the middles and half sides (3, b) of all boxes, those of the first
    step first. ``planes`` (13, k) and ``normals`` (3, k) are those of `triangles.triangle_planes`,
    by place.
    """

    tree: Tree
    middle: SingleArray
    half: SingleArray
    planes: FloatArray
    normals: FloatArray

    def steps(self) -> list[tuple[SingleArray, SingleArray]]:
        """Views of middles and half sides (3, parents, width) for each step down."""
        counts = np.cumprod(self.tree.widths)
        ends = np.cumsum(counts)
        return [
            (
                self.middle[:, end - count : end].reshape(3, -1, width),
                self.half[:, end - count : end].reshape(3, -1, width),
            )
            for end, count, width in zip(ends, counts, self.tree.widths, strict=True)
        ]


def build_tree(vertices: FloatArray, triangles: IntArray, most_in_leaf: int = MOST_IN_LEAF) -> Tree:
    """Halve the triangles again and again, each group across its longest side.

    Parameters
    ----------
    vertices, triangles
        (n, 3), m, and (t, 3), t at least 1.
    most_in_leaf
        So many triangles or fewer are not parted into groups any more.
    """
    count = len(triangles)
    depth = max((count - 1) // most_in_leaf, 0).bit_length()
    centroids = vertices[triangles].mean(axis=1)
    order, bounds = np.arange(count), np.array([0, count])
    for _ in range(depth):
        position, size = centroids[order], np.diff(bounds)
        low, high = (
            pick.reduceat(position, bounds[:-1], axis=0) for pick in (np.minimum, np.maximum)
        )
        group = np.arange(len(size)).repeat(size)
        key = position[np.arange(count), (high - low).argmax(axis=1)[group]]
        order = order[np.lexsort((key, group))]
        bounds = np.sort(np.concatenate([bounds, bounds[:-1] + size // 2]))
    size = np.diff(bounds)
    place = np.arange(size.max())
    leaves = order[bounds[:-1, None] + np.minimum(place, size[:, None] - 1)]
    rest = 2 ** (depth % LEVELS_AT_ONCE)
    steps = [2**LEVELS_AT_ONCE] * (depth // LEVELS_AT_ONCE)
    widths = np.array([*([rest] if rest > 1 else []), *steps, len(place)])
    return Tree(widths, leaves.reshape(-1), (place < size[:, None]).reshape(-1))


def posed_tree(tree: Tree, corners: FloatArray) -> PosedTree:
    """The tree with the ``corners`` (3, 3, k) of the triangles at its places: their columns, m."""
    low, high = corners.min(axis=0).astype(np.float32), corners.max(axis=0).astype(np.float32)
    lows, highs = [low], [high]
    for width in tree.widths[:0:-1]:
        low, high = low.reshape(3, -1, width).min(axis=2), high.reshape(3, -1, width).max(axis=2)
        lows.append(low)
        highs.append(high)
    low, high = np.hstack(lows[::-1]), np.hstack(highs[::-1])
    middle, half = 0.5 * (low + high), 0.5 * (high - low)
    middle[:, -len(tree.order) :][:, ~tree.filled] = FAR_M
    planes, normals = triangle_planes(corners)
    return PosedTree(tree, middle, half, planes, normals)


def probable_places(points: FloatArray, posed: PosedTree) -> IntArray:
    """A place near each point (3, n): of a few hundred spread boxes, then of those in it."""
    single = points.astype(np.float32)
    steps = [middle for middle, _ in posed.steps()]
    # the last step has places that only fill up a leaf, far away
    few = [middle for middle in steps[:-1] if middle[0].size <= MOST_PROBED] or steps[:1]
    middles = few[-1].reshape(3, -1)
    centre = middles.mean(axis=1, keepdims=True)
    middles = middles - centre
    # the nearest has the largest dot product less half of its own square
    ones = np.ones((points.shape[1], 1), dtype=np.float32)
    half_squares = -0.5 * (middles**2).sum(axis=0, keepdims=True)
    score = np.hstack([(single - centre).T, ones]) @ np.vstack([middles, half_squares])
    node: IntArray = score.argmax(axis=1)
    for boxes in steps[len(few) :]:
        away = boxes.take(node, axis=1)
        away -= single[:, :, None]
        away *= away
        node *= boxes.shape[2]
        node += away.sum(axis=0).argmin(axis=1)
    return node


def least_distance_m(points: FloatArray, posed: PosedTree) -> FloatArray:
    """What each point (3, n) is away at least, metres: the distance (n,) to the nearest first box."""
    middle, half = posed.steps()[0]
    rows = np.arange(points.shape[1])
    squares = _box_squares(points.astype(np.float32), rows, np.zeros_like(rows), middle, half)
    nearest = np.sqrt(squares.reshape(len(rows), middle.shape[2]).min(axis=1)).astype(np.float64)
    least: FloatArray = nearest * (1 - ROUNDING_SHARE) - ROUNDING_M
    return least


def within(points: FloatArray, radius_m: FloatArray, posed: PosedTree) -> tuple[IntArray, IntArray]:
    """Points (3, n) and places whose boxes are not farther than the point's radius (n,).

    Returns
    -------
    The pairs: rows (k,) in ascending order, and places (k,).
    """
    single, limit = points.astype(np.float32), widened(radius_m)
    rows = np.arange(points.shape[1])
    nodes = np.zeros_like(rows)
    for middle, half in posed.steps():
        width = middle.shape[2]
        square = _box_squares(single, rows, nodes, middle, half)
        near = np.flatnonzero(square <= limit.take(rows).repeat(width))
        parent = near // width
        rows, nodes = rows.take(parent), nodes.take(parent)
        # child c of node i is i * width + c
        nodes -= parent
        nodes *= width
        nodes += near
    return rows, nodes


def _box_squares(
    points: SingleArray, rows: IntArray, nodes: IntArray, middle: SingleArray, half: SingleArray
) -> SingleArray:
    """Squared distances (k * width,) of points to the boxes of all children of a node each (k,)."""
    width = middle.shape[2]
    total: SingleArray = np.zeros(len(rows) * width, dtype=np.float32)
    for axis in range(3):
        gap = middle[axis].take(nodes, axis=0).reshape(-1)
        gap -= points[axis].take(rows).repeat(width)
        np.abs(gap, out=gap)
        gap -= half[axis].take(nodes, axis=0).reshape(-1)
        np.maximum(gap, 0.0, out=gap)
        gap *= gap
        total += gap
    return total


def widened(distance_m: FloatArray) -> SingleArray:
    """Squares (n,) of distances in single precision, larger by more than what that rounds away."""
    wide = distance_m * (1 + ROUNDING_SHARE) + ROUNDING_M
    result: SingleArray = (wide * wide).astype(np.float32)
    return result

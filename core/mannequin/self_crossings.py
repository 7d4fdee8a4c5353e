# SPDX-License-Identifier: GPL-3.0-or-later
"""Where a surface passes through itself: pairs of its triangles that cross.

Pairs of boxes of a tree are followed down as long as they overlap, all pairs of a level at once;
pairs of triangles that are left are tested exactly. Triangles with a common corner are no pair:
where a surface passes through itself, others cross beside them.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from .box_tree import build_tree
from .mesh_repair import connected_components

__all__ = ["Crossing", "crossing_pairs", "crossings"]

CHUNK = 500_000  # pairs of boxes at once
LEAST_REACH_M = 1e-6  # beyond a plane: rounding makes flat places cross
EDGES = ((0, 1), (1, 2), (2, 0))


@dataclass(frozen=True, slots=True)
class Crossing:
    """One place where the surface passes through itself.

    ``pairs`` of triangles cross there; ``middle`` (3,) of their box and its diagonal ``size_m``.
    """

    pairs: int
    middle: FloatArray
    size_m: float


def crossings(vertices: FloatArray, triangles: IntArray) -> list[Crossing]:
    """All places, the largest first; pairs that hang together over corners are one place."""
    pairs, points = crossing_pairs(vertices, triangles)
    if not len(pairs):
        return []
    corners, index = np.unique(triangles[pairs].reshape(len(pairs), 6), return_inverse=True)
    index = index.reshape(-1, 6)
    label = connected_components(len(corners), index[:, :-1].reshape(-1), index[:, 1:].reshape(-1))
    _, place = np.unique(label[index[:, 0]], return_inverse=True)
    count = int(place.max()) + 1
    low, high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
    np.minimum.at(low, place, points)
    np.maximum.at(high, place, points)
    size = np.linalg.norm(high - low, axis=1)
    many = np.bincount(place)
    return [
        Crossing(int(many[at]), 0.5 * (low[at] + high[at]), float(size[at]))
        for at in np.argsort(-size, kind="stable").tolist()
    ]


def crossing_pairs(vertices: FloatArray, triangles: IntArray) -> tuple[IntArray, FloatArray]:
    """Pairs (k, 2) of triangles that cross, first < second, and a point (k, 3) of each crossing."""
    found, points = [], []
    for pairs in _close_pairs(vertices, triangles):
        first, second = triangles[pairs[:, 0]], triangles[pairs[:, 1]]
        apart = (first[:, :, None] != second[:, None, :]).all(axis=(1, 2))
        pairs = pairs[apart]
        a, b = vertices[triangles[pairs[:, 0]]], vertices[triangles[pairs[:, 1]]]
        astride = _astride(a, b) & _astride(b, a)
        crosses, point = _cross(a[astride], b[astride])
        found.append(pairs[astride][crosses])
        points.append(point[crosses])
    pairs = np.concatenate(found)
    # leaves of the tree are padded with triangles that stand twice
    _, once = np.unique(pairs @ [len(triangles), 1], return_index=True)
    return pairs[once], np.concatenate(points)[once]


def _close_pairs(vertices: FloatArray, triangles: IntArray) -> list[IntArray]:
    """Pairs (k, 2) of triangles whose boxes overlap, first < second, in chunks; some twice."""
    # with one or two triangles in a leaf the places are the leaves of a binary tree
    order = build_tree(vertices, triangles, most_in_leaf=2).order
    depth = len(order).bit_length() - 1
    corners = vertices[triangles[order]]
    low, high = [corners.min(axis=1)], [corners.max(axis=1)]
    for _ in range(depth):
        low.append(np.minimum(low[-1][0::2], low[-1][1::2]))
        high.append(np.maximum(high[-1][0::2], high[-1][1::2]))
    nodes = [np.zeros((1, 2), dtype=np.int64)]
    for level in range(1, depth + 1):
        # both children of one node with both of the other, and each node with itself
        below, above = low[depth - level], high[depth - level]
        nodes = [part for pairs in nodes for part in _children(pairs, below, above)]
    ends: list[IntArray] = []
    for pairs in nodes:
        ordered = np.sort(order[pairs], axis=1)
        ends.append(ordered[ordered[:, 0] < ordered[:, 1]])
    return ends


def _children(pairs: IntArray, low: FloatArray, high: FloatArray) -> list[IntArray]:
    result = []
    for first in range(0, len(pairs), CHUNK):
        i, j = pairs[first : first + CHUNK].T
        down = np.concatenate(
            [np.stack([2 * i + s, 2 * j + t], axis=1) for s in (0, 1) for t in (0, 1)]
        )
        down = down[down[:, 0] <= down[:, 1]]
        i, j = down.T
        meet = (low[i] <= high[j]).all(axis=1) & (low[j] <= high[i]).all(axis=1)
        result.append(down[meet])
    return result


def _astride(a: FloatArray, b: FloatArray) -> BoolArray:
    """Whether the triangles ``b`` (n, 3, 3) reach to both sides of the planes of ``a``."""
    normal = np.cross(a[:, 1] - a[:, 0], a[:, 2] - a[:, 0])
    side = np.einsum("ijk,ik->ij", b - a[:, :1], normal)
    least = LEAST_REACH_M * np.linalg.norm(normal, axis=1)
    result: BoolArray = (side.min(axis=1) < -least) & (side.max(axis=1) > least)
    return result


def _cross(a: FloatArray, b: FloatArray) -> tuple[BoolArray, FloatArray]:
    """Whether triangles (n, 3, 3) cross: an edge of one passes through the other; and where."""
    crosses, point = np.zeros(len(a), dtype=bool), np.zeros((len(a), 3))
    for one, other in ((a, b), (b, a)):
        for start, end in EDGES:
            p, q = one[:, start], one[:, end]
            to_p, to_q = _volume(other, p), _volume(other, q)
            turns = np.stack(
                [_turn(p, q, other[:, corner], other[:, following]) for corner, following in EDGES]
            )
            through = (to_p * to_q < 0.0) & ((turns > 0.0).all(axis=0) | (turns < 0.0).all(axis=0))
            share = to_p[through] / (to_p[through] - to_q[through])
            point[through] = p[through] + share[:, None] * (q[through] - p[through])
            crosses |= through
    return crosses, point


def _volume(triangle: FloatArray, point: FloatArray) -> FloatArray:
    """Six times the signed volume (n,) that triangles span with points."""
    normal = np.cross(triangle[:, 1] - triangle[:, 0], triangle[:, 2] - triangle[:, 0])
    result: FloatArray = np.einsum("ij,ij->i", point - triangle[:, 0], normal)
    return result


def _turn(p: FloatArray, q: FloatArray, a: FloatArray, b: FloatArray) -> FloatArray:
    """On which side (n,) of the line from p to q the edge from a to b passes."""
    result: FloatArray = np.einsum("ij,ij->i", np.cross(q - p, a - p), b - p)
    return result

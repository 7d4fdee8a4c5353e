# SPDX-License-Identifier: GPL-3.0-or-later
"""Cuts through triangle meshes, in array code.

One idea serves every measure: a value is given at each vertex (height over a plane, distance
across the flat cloth, ...) and the line where it is zero is followed through the triangles. The
result is a bag of directed segments. Lengths, sums of angles and distances need no more than the
bag, so nothing here sorts segments into chains.
"""

from dataclasses import dataclass

import numpy as np

from .arrays import BoolArray, FloatArray, IntArray

__all__ = [
    "Crossing",
    "closed_round",
    "distance_to_segments",
    "groups",
    "level_crossing",
    "plane_axes",
    "segment_lengths",
    "smoothed_lengths",
    "weighted_quantile",
    "winding",
]


@dataclass(frozen=True, slots=True)
class Crossing:
    """The segments in which a level line crosses triangles.

    Attributes
    ----------
    triangle
        (k,) row of the triangle that holds the segment.
    corners
        (k, 2, 2) vertices of the two mesh edges on which the segment starts and ends.
    weight
        (k, 2) share of the second vertex of each of those edges, 0 to 1.
    """

    triangle: IntArray
    corners: IntArray
    weight: FloatArray

    def __len__(self) -> int:
        return len(self.triangle)

    def points(self, values: FloatArray) -> FloatArray:
        """Interpolate ``values`` (n, d) to the segments' ends: (k, 2, d), same unit."""
        weight = self.weight[..., None]
        first, second = values[self.corners[..., 0]], values[self.corners[..., 1]]
        return np.asarray(first * (1.0 - weight) + second * weight)

    def where(self, keep: BoolArray | IntArray) -> "Crossing":
        """Return only the segments in ``keep`` ((k,) bool, or rows)."""
        return Crossing(self.triangle[keep], self.corners[keep], self.weight[keep])


def level_crossing(level: FloatArray, triangles: IntArray) -> Crossing:
    """Follow the line ``level = 0`` through ``triangles``.

    Parameters
    ----------
    level
        (n,) value at each vertex. Zero counts as positive, so a line of vertices that lies exactly
        on the level is found once, from its negative side.
    triangles
        (t, 3) vertex rows. Segments are directed so that, seen from the side from which the
        triangle turns counter-clockwise, the positive part lies on their right.
    """
    above = level[triangles] >= 0.0
    count = above.sum(axis=1)
    crossed = np.flatnonzero((count == 1) | (count == 2))
    lone_is_above = count[crossed] == 1
    lone = np.argmax(above[crossed] == lone_is_above[:, None], axis=1)
    rows = triangles[crossed]
    picks = np.arange(len(crossed))
    corner = rows[picks, lone]
    following = rows[picks, (lone + 1) % 3]
    previous = rows[picks, (lone + 2) % 3]
    start = np.where(lone_is_above, previous, following)
    end = np.where(lone_is_above, following, previous)
    corners = np.stack([np.stack([corner, start], axis=1), np.stack([corner, end], axis=1)], axis=1)
    first, second = level[corners[..., 0]], level[corners[..., 1]]
    return Crossing(crossed, corners, first / (first - second))


def segment_lengths(points: FloatArray) -> FloatArray:
    """Lengths (k,) of segments (k, 2, d), in the points' unit."""
    return np.asarray(np.linalg.norm(points[:, 1] - points[:, 0], axis=-1))


def smoothed_lengths(hung: FloatArray, flat: FloatArray) -> FloatArray:
    """Lengths (k,) of segments as they hang (k, 2, 3), no less than on the cut (k, 2, 2).

    What the drape pushes together lies in wrinkles finer than its mesh (`drape.membrane`).
    """
    return np.maximum(segment_lengths(hung), segment_lengths(flat))


def groups(crossing: Crossing) -> IntArray:
    """Number (k,) of the connected line to which each segment belongs, from 0.

    Segments are connected where they meet on the same mesh edge.
    """
    keys = np.sort(crossing.corners, axis=2).reshape(-1, 2)
    _, node = np.unique(keys, axis=0, return_inverse=True)
    start, end = node.reshape(-1, 2).T
    label = np.arange(node.max(initial=-1) + 1)
    while True:
        smallest = np.minimum(label[start], label[end])
        joined = label.copy()
        np.minimum.at(joined, start, smallest)
        np.minimum.at(joined, end, smallest)
        joined = joined[joined]
        if np.array_equal(joined, label):
            break
        label = joined
    _, number = np.unique(label[start], return_inverse=True)
    return np.asarray(number, dtype=np.int64).reshape(-1)


def winding(segments: FloatArray, about: FloatArray) -> FloatArray:
    """Turns that each segment (k, 2, 2) makes round points (p, 2): (p, k), counter-clockwise +.

    The sum over a closed line is a whole number: not zero if the line goes round the point.
    """
    arm = segments[None] - about[:, None, None, :]
    start, end = arm[:, :, 0], arm[:, :, 1]
    sine = start[..., 0] * end[..., 1] - start[..., 1] * end[..., 0]
    cosine = (start * end).sum(axis=-1)
    return np.asarray(np.arctan2(sine, cosine) / (2.0 * np.pi))


def closed_round(
    crossing: Crossing, segments: FloatArray, about: FloatArray
) -> list[tuple[float, IntArray]]:
    """Find the closed lines that go once round a point, the shortest first.

    Parameters
    ----------
    crossing
        The segments' connections.
    segments
        (k, 2, 2) their ends in the plane of view.
    about
        (2,) the point.

    Returns
    -------
    list
        (length in the plane of view, rows of the segments) for each such line.
    """
    if not len(crossing):
        return []
    number = groups(crossing)
    turns = np.bincount(number, weights=winding(segments, about[None])[0])
    length = np.bincount(number, weights=segment_lengths(segments))
    keys = np.sort(crossing.corners, axis=2).reshape(-1, 2)
    _, node = np.unique(keys, axis=0, return_inverse=True)
    node = node.reshape(-1)
    loose = np.bincount(node)[node].reshape(-1, 2).min(axis=1) < 2
    open_ended = np.bincount(number, weights=loose) > 0
    # a segment through the point itself can leave a hair's breadth of a turn
    found = np.flatnonzero(~open_ended & (np.abs(np.abs(turns) - 1.0) < 1e-6))
    shortest_first = found[np.argsort(length[found], kind="stable")]
    return [(float(length[line]), np.flatnonzero(number == line)) for line in shortest_first]


def distance_to_segments(points: FloatArray, segments: FloatArray) -> FloatArray:
    """Distance (p,) from points (p, d) to the nearest of the segments (k, 2, d)."""
    start = segments[:, 0]
    along = segments[:, 1] - start
    square = np.maximum((along**2).sum(axis=-1), np.finfo(np.float64).tiny)
    offset = points[:, None] - start[None]
    share = np.clip((offset * along).sum(axis=-1) / square, 0.0, 1.0)
    gap = offset - share[..., None] * along
    return np.asarray(np.sqrt((gap**2).sum(axis=-1)).min(axis=1))


def plane_axes(normal: FloatArray) -> FloatArray:
    """Two unit axes (2, 3) of the plane across ``normal`` (3,), right-handed with it."""
    unit = normal / np.linalg.norm(normal)
    steady = np.eye(3)[np.argmin(np.abs(unit))]
    first = np.cross(steady, unit)
    first /= np.linalg.norm(first)
    return np.stack([first, np.cross(unit, first)])


def weighted_quantile(values: FloatArray, weights: FloatArray, share: float) -> float:
    """Return the smallest value (k,) that has at least ``share`` of the weight at or below it."""
    order = np.argsort(values, kind="stable")
    total = np.cumsum(weights[order])
    row = int(np.searchsorted(total, share * total[-1]))
    return float(values[order[min(row, len(order) - 1)]])

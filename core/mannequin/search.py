# SPDX-License-Identifier: GPL-3.0-or-later
"""The closest of many triangles to each point: remembered, or looked for in a tree of boxes.

The distance to any triangle bounds the search from above: going down the tree keeps, for every
point, the boxes that are not farther than that, so the answer is exact however the first triangle
was chosen. Points asked about again after a small move are not sent down the tree (`memory`).

Pairs of points and triangles are gathered with ``take`` and worked on in chunks that stay in the
processor's cache: both save several times over.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from .box_tree import PosedTree, probable_places, within
from .candidates import Candidates, measured
from .memory import AGAIN_M, SLACK_M, Memory, recalled, remember
from .triangles import closest_on_triangles

__all__ = ["Search", "search"]

CHUNK = 2048

LOST_M = 0.06
"""A start farther away than this is not trusted: the search looks for a better one first."""


@dataclass(frozen=True, slots=True)
class Search:
    """The closest triangles to n points.

    ``place`` (n,) is the triangle's place in the tree, ``weights`` (3, n) are its corners' and
    ``square`` (n,) is the squared distance, m². Where no triangle is within reach the square is
    infinite and the place any of the tree.
    """

    place: IntArray
    weights: FloatArray
    square: FloatArray

    @classmethod
    def from_start(cls, start: IntArray) -> "Search":
        """Nothing found yet but places (n,) to begin with."""
        weights = np.zeros((3, len(start)))
        weights[0] = 1.0
        return cls(start.copy(), weights, np.full(len(start), np.inf))


def search(
    points: FloatArray,
    start: IntArray,
    posed: PosedTree,
    reach_m: float = np.inf,
    memory: Memory | None = None,
) -> Search:
    """Closest triangle to each point (3, n), m.

    Parameters
    ----------
    start
        (n,) a place in the tree near each point, or -1. It makes the search faster and leaves its
        distances as they are.
    reach_m
        Only triangles nearer than this are looked for.
    memory
        What is known of the same points and the same tree; it is brought up to date.
    """
    found = Search.from_start(start)
    unknown = np.arange(len(start))
    if memory is not None:
        rows, places, unknown = recalled(points, reach_m, memory)
        _take_over(found, measured(points, rows, places, posed), reach_m)
    for first in range(0, len(unknown), CHUNK):
        rows = unknown[first : first + CHUNK]
        _look_for(points, rows, posed, reach_m, memory, found)
    return found


def _look_for(
    points: FloatArray,
    rows: IntArray,
    posed: PosedTree,
    reach_m: float,
    memory: Memory | None,
    found: Search,
) -> None:
    """Search for the points numbered ``rows`` in the tree; fill in what is found."""
    some = points.take(rows, axis=1)
    place, bound_m = _begin(some, found.place.take(rows), posed)
    found.place[rows] = place
    radius_m = np.minimum(bound_m, reach_m)
    if memory is None:
        _take_over(found, measured(some, *within(some, radius_m, posed), posed), reach_m, rows)
        return
    # what comes again will come again; and beyond the reach there is little to keep
    worth = (memory.moved_m(points, rows) < AGAIN_M) | (bound_m > reach_m)
    radius_m += SLACK_M * worth
    candidates = measured(some, *within(some, radius_m, posed), posed)
    _take_over(found, candidates, reach_m, rows)
    radius_m[~worth] = -np.inf
    remember(some, rows, radius_m, candidates, posed, memory)


def _begin(points: FloatArray, start: IntArray, posed: PosedTree) -> tuple[IntArray, FloatArray]:
    """A place for each point to begin with, and the distance there."""
    place = np.maximum(start, 0)
    _, square = closest_on_triangles(points, posed.planes.take(place, axis=1))
    lost = np.flatnonzero((start < 0) | (square > LOST_M**2))
    if len(lost):
        stray = points.take(lost, axis=1)
        place[lost] = probable_places(stray, posed)
        planes = posed.planes.take(place.take(lost), axis=1)
        _, square[lost] = closest_on_triangles(stray, planes)
    return place, np.sqrt(square)


def _take_over(
    found: Search, candidates: Candidates, reach_m: float, rows: IntArray | None = None
) -> None:
    """Fill in the nearest candidates within reach; their points are ``rows`` of all."""
    nearest = candidates.nearest
    nearest = nearest[candidates.squares.take(nearest) < reach_m**2]
    at = candidates.rows.take(nearest)
    at = at if rows is None else rows.take(at)
    found.place[at] = candidates.places.take(nearest)
    found.square[at] = candidates.squares.take(nearest)
    found.weights[:, at] = candidates.weights.take(nearest, axis=1)

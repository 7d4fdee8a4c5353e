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
from .box_tree import PosedTree, least_distance_m, probable_places, within
from .candidates import Candidates, measured
from .memory import AGAIN_M, SLACK_M, Memory, recalled, remember
from .triangles import closest_on_triangles, dot

__all__ = ["Search", "search"]

CHUNK = 2048

LOST_M = 0.06
"""A start farther away than this is not trusted: the search looks for a better one first."""


@dataclass(frozen=True, slots=True)
class Search:
    """The closest triangles to n points.

    ``place`` (n,) is the triangle's place in the tree, ``weights`` (3, n) are its corners',
    ``away`` (3, n) is the way from the closest point to the point asked about, m, and ``square``
    (n,) the square of that, m². Where no triangle is within reach the square is infinite, and the
    rest tells of the first corner of some triangle.
    """

    place: IntArray
    weights: FloatArray
    away: FloatArray
    square: FloatArray

    @classmethod
    def from_start(cls, start: IntArray) -> "Search":
        """Nothing found yet but places (n,) to begin with."""
        weights = np.zeros((3, len(start)))
        weights[0] = 1.0
        return cls(start.copy(), weights, np.zeros_like(weights), np.full(len(start), np.inf))

    def fill_in_missing(self, points: FloatArray, posed: PosedTree) -> None:
        """Tell of some corner where none of the points (3, n) is within reach."""
        rows = np.flatnonzero(np.isinf(self.square))
        corner = posed.planes[:3].take(self.place.take(rows), axis=1)
        self.away[:, rows] = points.take(rows, axis=1) - corner


def search(
    points: FloatArray,
    start: IntArray,
    posed: PosedTree,
    reach_m: float,
    memory: Memory,
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
    rows, places, unknown = recalled(points, reach_m, memory)
    _take_over(found, measured(points, rows, places, posed), reach_m, np.arange(len(start)))
    if np.isfinite(reach_m):
        least_m = least_distance_m(points.take(unknown, axis=1), posed)
        far = least_m > reach_m
        memory.out_of_reach(points, unknown[far], least_m[far])
        unknown = unknown[~far]
    for first in range(0, len(unknown), CHUNK):
        rows = unknown[first : first + CHUNK]
        _look_for(points, rows, posed, reach_m, memory, found)
    found.fill_in_missing(points, posed)
    return found


def _look_for(
    points: FloatArray,
    rows: IntArray,
    posed: PosedTree,
    reach_m: float,
    memory: Memory,
    found: Search,
) -> None:
    """Search for the points numbered ``rows`` in the tree; fill in what is found."""
    some = points.take(rows, axis=1)
    place, bound_m = _begin(some, found.place.take(rows), posed)
    found.place[rows] = place
    # what comes again will come again; what is out of reach, for longer if it is farther
    again = memory.moved_m(points, rows) < AGAIN_M
    radius_m = np.where(
        bound_m < reach_m, bound_m + SLACK_M * again, np.minimum(bound_m, reach_m + SLACK_M)
    )
    candidates = measured(some, *within(some, radius_m, posed), posed)
    _take_over(found, candidates, reach_m, rows)
    remember(some, rows, radius_m, again, reach_m, candidates, memory)


def _begin(points: FloatArray, start: IntArray, posed: PosedTree) -> tuple[IntArray, FloatArray]:
    """A place for each point to begin with, and the distance there."""
    place, distance_m = start.copy(), np.full(len(start), np.inf)
    _measure_at(points, np.flatnonzero(start >= 0), place, distance_m, posed)
    lost = np.flatnonzero(distance_m > LOST_M)
    if len(lost):
        place[lost] = probable_places(points.take(lost, axis=1), posed)
        _measure_at(points, lost, place, distance_m, posed)
    return place, distance_m


def _measure_at(
    points: FloatArray, rows: IntArray, place: IntArray, distance_m: FloatArray, posed: PosedTree
) -> None:
    """Fill in the distances of some of the points from their places."""
    planes = posed.planes.take(place.take(rows), axis=1)
    _, away = closest_on_triangles(points.take(rows, axis=1), planes)
    distance_m[rows] = np.sqrt(dot(away, away))


def _take_over(found: Search, candidates: Candidates, reach_m: float, rows: IntArray) -> None:
    """Fill in the nearest candidates within reach; their points are ``rows`` of all."""
    nearest = candidates.nearest
    nearest = nearest[candidates.squares.take(nearest) < reach_m**2]
    at = rows.take(candidates.rows.take(nearest))
    found.place[at] = candidates.places.take(nearest)
    found.square[at] = candidates.squares.take(nearest)
    found.weights[:, at] = candidates.weights.take(nearest, axis=1)
    found.away[:, at] = candidates.away.take(nearest, axis=1)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Pairs of points and triangles that may be closest, measured; and the nearest of each point."""

from dataclasses import dataclass

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from .box_tree import PosedTree
from .triangles import closest_on_triangles, dot

__all__ = ["Candidates", "measured"]

CHUNK = 8192


@dataclass(frozen=True, slots=True)
class Candidates:
    """Pairs of points and triangles.

    Attributes
    ----------
    rows, places
        (k,) number of the point, in ascending order, and the triangle's place in the tree.
    weights, away, squares
        (3, k), (3, k) and (k,): where the triangle's closest point is, the way from there to the
        point, m, and the square of that.
    nearest
        (n,) which pair is the nearest of each point that has any, in the order of points.
    """

    rows: IntArray
    places: IntArray
    weights: FloatArray
    away: FloatArray
    squares: FloatArray
    nearest: IntArray


def measured(points: FloatArray, rows: IntArray, places: IntArray, posed: PosedTree) -> Candidates:
    """Measure pairs (k,) of points (3, n) and places; the rows must ascend."""
    weights, away = np.zeros((3, len(rows))), np.zeros((3, len(rows)))
    for begin in range(0, len(rows), CHUNK):
        some = slice(begin, begin + CHUNK)
        weights[:, some], away[:, some] = closest_on_triangles(
            points.take(rows[some], axis=1), posed.planes.take(places[some], axis=1)
        )
    squares = dot(away, away)
    first = _firsts(rows)
    least = np.minimum.reduceat(squares, first) if len(rows) else squares
    nearest = np.flatnonzero(squares == least.repeat(np.diff(first, append=len(rows))))
    # of several that are equally near the first
    nearest = nearest[_firsts(rows.take(nearest))]
    return Candidates(rows, places, weights, away, squares, nearest)


def _firsts(rows: IntArray) -> IntArray:
    """Where each run of the same number begins."""
    begins: BoolArray = np.ones(len(rows), dtype=bool)
    np.not_equal(rows[1:], rows[:-1], out=begins[1:])
    return np.flatnonzero(begins)

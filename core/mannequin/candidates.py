# SPDX-License-Identifier: GPL-3.0-or-later
"""Pairs of points and triangles that may be closest, measured; and the nearest of each point."""

from dataclasses import dataclass

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from .box_tree import PosedTree
from .triangles import closest_on_triangles

__all__ = ["Candidates", "measured"]

CHUNK = 8192


@dataclass(frozen=True, slots=True)
class Candidates:
    """Pairs of points and triangles.

    Attributes
    ----------
    rows, places
        (k,) number of the point, in ascending order, and the triangle's place in the tree.
    weights, squares
        (3, k) and (k,): of the closest point of the triangle, and the squared distance, m².
    nearest
        (n,) which pair is the nearest of each point that has any, in the order of points.
    """

    rows: IntArray
    places: IntArray
    weights: FloatArray
    squares: FloatArray
    nearest: IntArray


def measured(points: FloatArray, rows: IntArray, places: IntArray, posed: PosedTree) -> Candidates:
    """Measure pairs (k,) of points (3, n) and places; the rows must ascend."""
    weights, squares = np.zeros((3, len(rows))), np.zeros(len(rows))
    for begin in range(0, len(rows), CHUNK):
        some = slice(begin, begin + CHUNK)
        weights[:, some], squares[some] = closest_on_triangles(
            points.take(rows[some], axis=1), posed.planes.take(places[some], axis=1)
        )
    first = _firsts(rows)
    least = np.minimum.reduceat(squares, first) if len(rows) else squares
    nearest = np.flatnonzero(squares == least.repeat(np.diff(first, append=len(rows))))
    # of several that are equally near the first
    nearest = nearest[_firsts(rows.take(nearest))]
    return Candidates(rows, places, weights, squares, nearest)


def _firsts(rows: IntArray) -> IntArray:
    """Where each run of the same number begins."""
    begins: BoolArray = np.ones(len(rows), dtype=bool)
    np.not_equal(rows[1:], rows[:-1], out=begins[1:])
    return np.flatnonzero(begins)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Whether cloth passes through cloth: edges that pierce triangles."""

import numpy as np

from ..arrays import FloatArray, IntArray
from ..slices import Slices, finished
from .backend import chosen

__all__ = ["pierced", "piercings", "sheet_edges"]

EDGES_A_SLICE = 6000
"""So many edges are looked at without a pause; looking up the triangles again costs little."""


def sheet_edges(triangles: IntArray) -> IntArray:
    """(e, 2) edges of triangles (t, 3), each once."""
    edges = triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    unique: IntArray = np.unique(np.sort(edges, axis=1), axis=0)
    return unique


def piercings(positions: FloatArray, edges: IntArray, triangles: IntArray) -> IntArray:
    """Pairs (p, 2) of an edge (e, 2) and a triangle (t, 3) that it passes through, none its own."""
    return finished(pierced(positions, edges, triangles))


def pierced(positions: FloatArray, edges: IntArray, triangles: IntArray) -> Slices[IntArray]:
    """`piercings` in slices."""
    found = []
    for first in range(0, len(edges), EDGES_A_SLICE):
        part = edges[first : first + EDGES_A_SLICE]
        pairs: IntArray = chosen("search").piercings(positions, part, triangles)
        found.append(pairs + np.array([first, 0]))
        yield
    return np.concatenate(found)

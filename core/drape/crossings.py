# SPDX-License-Identifier: GPL-3.0-or-later
"""Whether cloth passes through cloth: edges that pierce triangles."""

import numpy as np

from ..arrays import FloatArray, IntArray
from .backend import chosen

__all__ = ["piercings", "sheet_edges"]


def sheet_edges(triangles: IntArray) -> IntArray:
    """(e, 2) edges of triangles (t, 3), each once."""
    edges = triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    unique: IntArray = np.unique(np.sort(edges, axis=1), axis=0)
    return unique


def piercings(positions: FloatArray, edges: IntArray, triangles: IntArray) -> IntArray:
    """Pairs (p, 2) of an edge (e, 2) and a triangle (t, 3) that it passes through, none its own."""
    found: IntArray = chosen("search").piercings(positions, edges, triangles)
    return found

# SPDX-License-Identifier: GPL-3.0-or-later
"""From a coarse panel mesh to a finer one of the same pattern."""

import numpy as np

from ..arrays import FloatArray
from ..panels import PanelMesh
from .search import near_pairs
from .sums import vectors_at

__all__ = ["carried_over"]

INWARD = 0.02


def carried_over(coarse: PanelMesh, positions: FloatArray, fine: PanelMesh) -> FloatArray:
    """Positions (n, 3) of the fine mesh's vertices on the coarse mesh's surface.

    Every fine vertex is looked up by its flat place, drawn a little into its own triangles so that
    the two sides of the front cut are told apart.
    """
    flat = fine.spread
    centre = flat[fine.triangles].mean(axis=1)
    corners = fine.triangles.ravel()
    count = np.bincount(corners, minlength=len(flat))[:, None]
    around = vectors_at(corners, np.repeat(centre, 3, axis=0), len(flat))
    places = flat + INWARD * (around / count - flat)
    triangle = coarse.spread[coarse.triangles]
    middle = triangle.mean(axis=1)
    reach_m = float(np.sqrt(((triangle - middle[:, None]) ** 2).sum(axis=2).max()))
    row, other = near_pairs(_upright(places), _upright(middle), reach_m)
    weights = _weights(places[row], triangle[other])
    # of each place the triangle that it lies deepest in, last after sorting
    order = np.lexsort((weights.min(axis=1), row))
    last = order[np.searchsorted(row[order], np.arange(len(places)), side="right") - 1]
    corners = coarse.triangles[other[last]]
    result: FloatArray = np.einsum("nw,nwc->nc", weights[last], positions[corners])
    return result


def _upright(places: FloatArray) -> FloatArray:
    return np.column_stack([places, np.zeros(len(places))])


def _weights(places: FloatArray, triangles: FloatArray) -> FloatArray:
    """Weights (k, 3) of places (k, 2) in flat triangles (k, 3, 2)."""
    first, second = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    relative = places - triangles[:, 0]
    area = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    b = (relative[:, 0] * second[:, 1] - relative[:, 1] * second[:, 0]) / area
    c = (first[:, 0] * relative[:, 1] - first[:, 1] * relative[:, 0]) / area
    return np.stack([1 - b - c, b, c], axis=1)

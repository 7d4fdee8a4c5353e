# SPDX-License-Identifier: GPL-3.0-or-later
"""From a coarse panel mesh to a finer one of the same pattern."""

import numpy as np

from ..arrays import FloatArray
from ..panels import PanelMesh
from .sums import vectors_at

__all__ = ["carried_over"]

CANDIDATES = 8
INWARD = 0.02
CHUNK = 512


def carried_over(coarse: PanelMesh, positions: FloatArray, fine: PanelMesh) -> FloatArray:
    """Positions (n, 3) of the fine mesh's vertices on the coarse mesh's surface.

    Every fine vertex is looked up by its flat place, drawn a little into its own triangles so that
    the two sides of the front cut are told apart.
    """
    centre = fine.flat[fine.triangles].mean(axis=1)
    corners = fine.triangles.ravel()
    count = np.bincount(corners, minlength=len(fine.flat))[:, None]
    around = vectors_at(corners, np.repeat(centre, 3, axis=0), len(fine.flat))
    places = fine.flat + INWARD * (around / count - fine.flat)
    triangle = coarse.flat[coarse.triangles]
    middle = triangle.mean(axis=1)
    result = np.zeros((len(places), 3))
    for start in range(0, len(places), CHUNK):
        place = places[start : start + CHUNK]
        square = ((place[:, None] - middle) ** 2).sum(axis=2)
        near = np.argpartition(square, CANDIDATES, axis=1)[:, :CANDIDATES]
        weights = _weights(place, triangle[near])
        best = weights.min(axis=2).argmax(axis=1)
        row = np.arange(len(place))
        chosen = coarse.triangles[near[row, best]]
        result[start : start + CHUNK] = np.einsum(
            "kw,kwc->kc", weights[row, best], positions[chosen]
        )
    return result


def _weights(places: FloatArray, triangles: FloatArray) -> FloatArray:
    """Weights (k, w, 3) of places (k, 2) in flat triangles (k, w, 3, 2)."""
    first = triangles[:, :, 1] - triangles[:, :, 0]
    second = triangles[:, :, 2] - triangles[:, :, 0]
    relative = places[:, None] - triangles[:, :, 0]
    area = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
    b = (relative[..., 0] * second[..., 1] - relative[..., 1] * second[..., 0]) / area
    c = (first[..., 0] * relative[..., 1] - first[..., 1] * relative[..., 0]) / area
    return np.stack([1 - b - c, b, c], axis=2)

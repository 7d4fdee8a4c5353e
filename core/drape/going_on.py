# SPDX-License-Identifier: GPL-3.0-or-later
"""Going on from an earlier drape: the same wrap after one changed number.

The mesh of the earlier drape is moved to the new cut, and its layers are carried along with the
body, so that both start in their order and nearly in place.
"""

import numpy as np

from ..arrays import FloatArray
from ..mannequin import BodyDistance, PosedBody
from ..panels import PanelMesh
from ..pattern import Pattern
from ..recut import recut
from .result import Drape

__all__ = ["Start", "start_from"]

LIKE_BODY_M = 0.1
"""A body whose skin lies farther from the earlier one's at any place is another body or pose."""

Start = tuple[PanelMesh, FloatArray, FloatArray]
"""A panel mesh, and the positions (n, 3) of its outer and its lining to start from."""


def start_from(
    earlier: Drape, pattern: Pattern, body: PosedBody, edge_length_m: float
) -> Start | None:
    """Where to go on from an earlier drape; None where wrap or body have become too unlike it."""
    if earlier.panel.edge_length_m != edge_length_m or not earlier.converged:
        return None
    before = earlier.body
    if len(before.vertices) != len(body.vertices) or len(before.supports) != len(body.supports):
        return None
    moved = body.vertices - before.vertices
    if np.abs(moved).max() > LIKE_BODY_M:
        return None
    panel = recut(earlier.panel, pattern)
    if panel is None:
        return None
    if not moved.any():
        return panel, earlier.outer, earlier.lining
    distance = BodyDistance(before)
    outer, lining = (
        layer + _of_nearest(distance, layer, before, moved)
        for layer in (earlier.outer, earlier.lining)
    )
    return panel, outer, lining


def _of_nearest(
    distance: BodyDistance, points: FloatArray, body: PosedBody, values: FloatArray
) -> FloatArray:
    """What values (m, 3) on the body's vertices are at the places nearest to points (n, 3)."""
    nearest = distance.nearest(points)
    corners = values[body.triangles[nearest.triangle]]
    result: FloatArray = np.einsum("nk,nkc->nc", nearest.weights, corners)
    return result

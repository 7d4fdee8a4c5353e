# SPDX-License-Identifier: GPL-3.0-or-later
"""Whether cloth passes through cloth: edges that pierce triangles."""

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from .self_contact import close_pairs

__all__ = ["piercing_edges", "sheet_edges"]

ON_EDGE = 1e-9


def sheet_edges(triangles: IntArray) -> IntArray:
    """(e, 2) edges of triangles (t, 3), each once."""
    edges = triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    unique: IntArray = np.unique(np.sort(edges, axis=1), axis=0)
    return unique


def piercing_edges(positions: FloatArray, edges: IntArray, triangles: IntArray) -> IntArray:
    """Indices (k,) of the edges (e, 2) that pass through a triangle (t, 3) they do not touch."""
    ends = positions[edges]
    corners = positions[triangles]
    middle, centre = ends.mean(axis=1), corners.mean(axis=1)
    reach = (
        np.sqrt(((ends[:, 0] - middle) ** 2).sum(axis=1)).max()
        + np.sqrt(((corners - centre[:, None]) ** 2).sum(axis=2)).max()
    )
    pairs = np.sort(close_pairs(np.concatenate([middle, centre]), float(reach)), axis=1)
    count = len(edges)
    pairs = pairs[(pairs[:, 0] < count) & (pairs[:, 1] >= count)]
    edge, triangle = pairs[:, 0], pairs[:, 1] - count
    apart = (edges[edge][:, :, None] != triangles[triangle][:, None, :]).all(axis=(1, 2))
    edge, triangle = edge[apart], triangle[apart]
    pierced = _pierces(ends[edge], corners[triangle])
    found: IntArray = np.unique(edge[pierced])
    return found


def _pierces(ends: FloatArray, corners: FloatArray) -> BoolArray:
    """Möller and Trumbore 1997 (Journal of Graphics Tools 2:21), for segments (k, 2, 3)."""
    along = ends[:, 1] - ends[:, 0]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    across = np.cross(along, second)
    scale = (first * across).sum(axis=1)
    flat = np.abs(scale) < 1e-18
    scale = np.where(flat, 1.0, scale)
    relative = ends[:, 0] - corners[:, 0]
    b = (relative * across).sum(axis=1) / scale
    turned = np.cross(relative, first)
    c = (along * turned).sum(axis=1) / scale
    place = (second * turned).sum(axis=1) / scale
    inside = (b > ON_EDGE) & (c > ON_EDGE) & (b + c < 1 - ON_EDGE)
    pierces: BoolArray = inside & (place > ON_EDGE) & (place < 1 - ON_EDGE) & ~flat
    return pierces

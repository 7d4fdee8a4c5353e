# SPDX-License-Identifier: GPL-3.0-or-later
"""Bending of a sheet that is flat at rest, as one constant matrix.

While a flat sheet bends without stretching, the second derivatives of its position vector with
respect to the flat coordinates are normal to it and equal its curvatures (do Carmo, Differential
Geometry of Curves and Surfaces, section 4-3: the Christoffel symbols of a flat metric vanish). So

    energy = 1/2 ∫ D_across |x_uu|² + D_along |x_vv|² + 2 sqrt(D_across D_along) |x_uv|²

is the bending energy of an orthotropic plate without Poisson coupling, and it is quadratic in the
positions. On each triangle the second derivatives are those of the one quadratic through the
triangle's three corners and the three opposite corners of its neighbours. That is exact for every
uniform curvature on every mesh: no factor depends on the mesh's shape or direction.
"""

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray

__all__ = ["bending_triplets", "opposite_corners"]


def opposite_corners(triangles: IntArray) -> IntArray:
    """Give for each triangle and corner the far corner of the neighbour across from that corner.

    Parameters
    ----------
    triangles
        (t, 3) corner indices of a consistently oriented manifold mesh.

    Returns
    -------
    (t, 3) vertex index, or -1 where the edge across from the corner is on the boundary.
    """
    count = len(triangles)
    start = triangles[:, [1, 2, 0]].ravel()
    end = triangles[:, [2, 0, 1]].ravel()
    corner = triangles.ravel()
    size = int(triangles.max()) + 1
    key = start * size + end
    order = np.argsort(key, kind="stable")
    twin_key = end * size + start
    place = np.minimum(np.searchsorted(key[order], twin_key), 3 * count - 1)
    twin = order[place]
    found = key[twin] == twin_key
    return np.where(found, corner[twin], -1).reshape(count, 3)


def _second_derivative_weights(points: FloatArray) -> FloatArray:
    """Weights (t, 3, 6) that give f_uu, f_vv, f_uv at six flat points (t, 6, 2) in metres."""
    centred = points - points.mean(axis=1, keepdims=True)
    scale = np.sqrt((centred**2).sum(axis=2).mean(axis=1))[:, None]
    u, v = centred[..., 0] / scale, centred[..., 1] / scale
    rows = np.stack([np.ones_like(u), u, v, u * u / 2, v * v / 2, u * v], axis=2)
    weights: FloatArray = np.linalg.inv(rows)[:, 3:, :] / (scale**2)[:, :, None]
    return weights


def _curvature_areas(
    triangles: IntArray, neighbours: IntArray, areas: FloatArray, whole: BoolArray
) -> FloatArray:
    """Area for which each triangle's curvature stands.

    A triangle at the boundary has no curvature of its own; its area goes in equal parts to those
    neighbours that have one (the half-hinges along a free edge).
    """
    start = triangles[:, [1, 2, 0]]
    size = int(triangles.max()) + 1
    end = triangles[:, [2, 0, 1]]
    key = (start * size + end).ravel()
    order = np.argsort(key, kind="stable")
    twin_key = (end * size + start).ravel()
    place = np.minimum(np.searchsorted(key[order], twin_key), key.size - 1)
    other = np.where(neighbours.ravel() >= 0, order[place] // 3, 0).reshape(triangles.shape)
    takes = (neighbours >= 0) & whole[other] & ~whole[:, None]
    share = areas / np.maximum(takes.sum(axis=1), 1)
    result = np.where(whole, areas, 0.0)
    np.add.at(result, other[takes], np.broadcast_to(share[:, None], takes.shape)[takes])
    return result


def bending_triplets(
    flat: FloatArray, triangles: IntArray, across_n_m: float, along_n_m: float
) -> tuple[IntArray, IntArray, FloatArray]:
    """Rows, columns and values (N/m) of the bending matrix K of one sheet.

    The energy is 1/2 Σ x·Kx over the three coordinates. Entries repeat; their sum is meant.

    Parameters
    ----------
    flat
        (n, 2) flat positions, metres: across, along.
    triangles
        (t, 3) corners.
    across_n_m, along_n_m
        Bending rigidity for bending along each of the two directions, N·m.
    """
    neighbours = opposite_corners(triangles)
    corners = flat[triangles]
    side = corners[:, 1:] - corners[:, :1]
    areas = (side[:, 0, 0] * side[:, 1, 1] - side[:, 0, 1] * side[:, 1, 0]) / 2
    whole = (neighbours >= 0).all(axis=1)
    area = _curvature_areas(triangles, neighbours, areas, whole)[whole]
    stencil = np.concatenate([triangles[whole], neighbours[whole]], axis=1)
    weights = _second_derivative_weights(flat[stencil])
    twist = 2 * np.sqrt(across_n_m * along_n_m)
    rigidity = np.array([across_n_m, along_n_m, twist])
    blocks = np.einsum("tki,k,tkj,t->tij", weights, rigidity, weights, area)
    rows = np.broadcast_to(stencil[:, :, None], blocks.shape)
    columns = np.broadcast_to(stencil[:, None, :], blocks.shape)
    return rows.ravel(), columns.ravel(), blocks.ravel()

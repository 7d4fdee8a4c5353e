# SPDX-License-Identifier: GPL-3.0-or-later
"""The closest point of a triangle, for many points with one triangle each.

Everything is in columns: an array of points is (3, n), so that all x lie together in memory. Array
code on such columns is several times faster than on rows.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import FloatArray

__all__ = ["closest_on_triangles", "cross", "dot", "triangle_planes"]

TINY = 1e-30
"""Least square of an edge (m²) and of an area (m⁴): a triangle without area counts as its edges."""


def triangle_planes(corners: FloatArray) -> tuple[FloatArray, FloatArray]:
    """What the closest point needs of triangles (13, t), and their unit normals (3, t).

    Parameters
    ----------
    corners
        (3, 3, t) the corners' columns, m, counter-clockwise seen from where the normal points.

    Returns
    -------
    The first corner, both edges from it, their dot products e11, e12, e22 and one over the square
    of twice the area; and the normals.
    """
    start, second, third = corners
    one, other = second - start, third - start
    normals = cross(one, other)
    square = dot(normals, normals) + TINY
    planes = np.zeros((13, start.shape[1]))
    planes[0:3], planes[3:6], planes[6:9] = start, one, other
    planes[9], planes[10], planes[11] = dot(one, one), dot(one, other), dot(other, other)
    planes[9:12:2] += TINY
    planes[12] = 1.0 / square
    normals /= np.sqrt(square)
    return planes, normals


def closest_on_triangles(points: FloatArray, planes: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The closest point of one triangle each.

    Parameters
    ----------
    points
        (3, n), m.
    planes
        (13, n) of `triangle_planes`.

    Returns
    -------
    Weights (3, n) of the corners, and the way (3, n) from the closest point to the point asked
    about, m. Inside a triangle all weights are positive; on an edge or corner the others are
    exactly 0.
    """
    away = points - planes[0:3]
    x, y = dot(away, planes[3:6]), dot(away, planes[6:9])
    e11, e12, e22, scale = planes[9:13]
    # the foot on the plane
    b = e22 * x
    b -= e12 * y
    b *= scale
    c = e11 * y
    c -= e12 * x
    c *= scale
    a = 1.0 - b
    a -= c
    on_face = np.minimum(np.minimum(a, b), c) > 0.0
    # the feet on the edges, of which the nearest counts
    second, least = _along_edge(x, e11)
    third, square = _along_edge(y, e22)
    nearer = square < least
    np.minimum(least, square, out=least)
    second *= ~nearer
    third *= nearer
    start = e11 - e12
    opposite = start - e12
    opposite += e22
    np.maximum(opposite, TINY, out=opposite)
    start -= x
    start += y
    share, square = _along_edge(start, opposite)
    square += e11
    square -= x
    square -= x
    nearer = square < least
    np.copyto(third, share, where=nearer)
    np.subtract(1.0, share, out=share)
    np.copyto(second, share, where=nearer)
    # inside the triangle the plane's foot is nearer
    np.copyto(second, b, where=on_face)
    np.copyto(third, c, where=on_face)
    away -= planes[3:6] * second
    away -= planes[6:9] * third
    weights = np.stack([1.0 - second, second, third])
    weights[0] -= third
    nearer &= ~on_face
    weights[0] *= ~nearer
    return weights, away


def _along_edge(along: FloatArray, edge_square: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Share of the way along an edge, and the square of the distance less that of the start."""
    share = along / edge_square
    np.maximum(share, 0.0, out=share)
    np.minimum(share, 1.0, out=share)
    square = share * edge_square
    square -= along
    square -= along
    square *= share
    return share, square


def dot(one: NDArray[Any], other: NDArray[Any]) -> NDArray[Any]:
    """Dot products (n,) of columns (3, n)."""
    total: NDArray[Any] = one[0] * other[0]
    total += one[1] * other[1]
    total += one[2] * other[2]
    return total


def cross(one: FloatArray, other: FloatArray) -> FloatArray:
    """Cross products of columns (3, n)."""
    turns = ((1, 2), (2, 0), (0, 1))
    return np.stack([one[i] * other[j] - one[j] * other[i] for i, j in turns])

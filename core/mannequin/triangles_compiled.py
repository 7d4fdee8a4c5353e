# SPDX-License-Identifier: GPL-3.0-or-later
"""The search of ``triangles`` for machines with Numba: the same answers, faster.

Import this module only where Numba is installed.
"""

import numba
import numpy as np

from ..arrays import FloatArray, IntArray
from .triangles import Boxes, Search, Tree

__all__ = ["search"]


def search(
    points: FloatArray,
    start: IntArray,
    tree: Tree,
    boxes: Boxes,
    planes: FloatArray,
    reach_m: float = np.inf,
) -> Search:
    """As ``triangles.search``."""
    triangle = np.zeros(len(points), dtype=np.int64)
    weights = np.zeros((len(points), 3))
    square = np.zeros(len(points))
    _search(
        np.ascontiguousarray(points),
        start,
        tree.order,
        boxes.low,
        boxes.high,
        planes,
        reach_m**2,
        triangle,
        weights,
        square,
    )
    return Search(triangle, weights, square)


@numba.njit(cache=True, inline="always")
def _box(px, py, pz, low, high, node):  # type: ignore[no-untyped-def]
    gx = max(low[node, 0] - px, px - high[node, 0], 0.0)
    gy = max(low[node, 1] - py, py - high[node, 1], 0.0)
    gz = max(low[node, 2] - pz, pz - high[node, 2], 0.0)
    return gx * gx + gy * gy + gz * gz


@numba.njit(cache=True)
def _closest(px, py, pz, plane):  # type: ignore[no-untyped-def]
    """Weights of the second and third corner, whether on the outline's edge, squared distance."""
    dx, dy, dz = px - plane[0], py - plane[1], pz - plane[2]
    x = dx * plane[3] + dy * plane[4] + dz * plane[5]
    y = dx * plane[6] + dy * plane[7] + dz * plane[8]
    e11, e12, e22, scale = plane[9], plane[10], plane[11], plane[12]
    b = (e22 * x - e12 * y) * scale
    c = (e11 * y - e12 * x) * scale
    a = 1.0 - b - c
    if b <= 0.0 or c <= 0.0 or a <= 0.0:
        t = min(max(x / e11, 0.0), 1.0)
        best = -2.0 * t * x + t * t * e11
        a, b, c = 1.0 - t, t, 0.0
        t = min(max(y / e22, 0.0), 1.0)
        cost = -2.0 * t * y + t * t * e22
        if cost < best:
            best = cost
            a, b, c = 1.0 - t, 0.0, t
        t = min(max((y - x - e12 + e11) / (e11 + e22 - 2.0 * e12), 0.0), 1.0)
        u = 1.0 - t
        cost = -2.0 * (u * x + t * y) + u * u * e11 + 2.0 * u * t * e12 + t * t * e22
        if cost < best:
            a, b, c = 0.0, u, t
    square = (
        dx * dx
        + dy * dy
        + dz * dz
        - 2.0 * (b * x + c * y)
        + b * b * e11
        + 2.0 * b * c * e12
        + c * c * e22
    )
    return a, b, c, max(square, 0.0)


@numba.njit(cache=True)
def _search(points, start, order, low, high, planes, reach_square, triangle, weights, square):  # type: ignore[no-untyped-def]
    leaves = order.shape[0]
    stack = np.zeros(64, dtype=np.int64)
    gaps = np.zeros(64)
    for row in range(points.shape[0]):
        px, py, pz = points[row, 0], points[row, 1], points[row, 2]
        found = start[row] if start[row] >= 0 else order[0]
        wa, wb, wc, best = _closest(px, py, pz, planes[found])
        reached = best < reach_square
        best = min(best, reach_square)
        size = 1
        stack[0] = 0
        gaps[0] = _box(px, py, pz, low, high, 0)
        while size > 0:
            size -= 1
            if gaps[size] >= best:
                continue
            node = stack[size]
            if node >= leaves - 1:
                candidate = order[node - leaves + 1]
                a, b, c, distance = _closest(px, py, pz, planes[candidate])
                if distance < best:
                    best = distance
                    reached = True
                    wa, wb, wc = a, b, c
                    found = candidate
                continue
            left = _box(px, py, pz, low, high, 2 * node + 1)
            right = _box(px, py, pz, low, high, 2 * node + 2)
            near, far = 2 * node + 1, 2 * node + 2
            if right < left:
                near, far = far, near
                left, right = right, left
            if right < best:
                stack[size] = far
                gaps[size] = right
                size += 1
            if left < best:
                stack[size] = near
                gaps[size] = left
                size += 1
        triangle[row] = found
        weights[row, 0], weights[row, 1], weights[row, 2] = wa, wb, wc
        square[row] = best if reached else np.inf

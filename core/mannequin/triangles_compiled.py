# SPDX-License-Identifier: GPL-3.0-or-later
"""The search of ``triangles`` for machines with Numba: the same answers, faster.

Import this module only where Numba is installed.
"""

import numba
import numpy as np

from ..arrays import FloatArray, IntArray
from .triangles import LEVELS_AT_ONCE, SLACK_M, Boxes, Memory, Search, Tree, steps_down

__all__ = ["search"]

WIDTH = 2**LEVELS_AT_ONCE
STACK = 128
"""Nodes that wait: at most seven at each step down, of which there are fewer than sixteen."""


def search(
    points: FloatArray,
    start: IntArray,
    tree: Tree,
    boxes: Boxes,
    planes: FloatArray,
    reach_m: float = np.inf,
    memory: Memory | None = None,
) -> Search:
    """As ``triangles.search``."""
    memory = memory or Memory.of_nothing(len(points))
    triangle = start.copy()
    weights = np.tile([1.0, 0.0, 0.0], (len(points), 1))
    square = np.full(len(points), np.inf)
    _search(
        np.ascontiguousarray(points),
        start,
        tree.order,
        2 ** steps_down(tree.depth)[0],
        boxes.sides,
        boxes.discs,
        planes,
        reach_m,
        memory.at,
        memory.near,
        memory.count,
        memory.sure_m,
        memory.travel_m[0],
        triangle,
        weights,
        square,
    )
    return Search(triangle, weights, square)


@numba.njit(cache=True, inline="always")
def _box(px, py, pz, sides, node):  # type: ignore[no-untyped-def]
    gx = max(sides[node, 0] - px, sides[node, 4] + px, 0.0)
    gy = max(sides[node, 1] - py, sides[node, 5] + py, 0.0)
    gz = max(sides[node, 2] - pz, sides[node, 6] + pz, 0.0)
    return gx * gx + gy * gy + gz * gz


@numba.njit(cache=True, inline="always")
def _disc(px, py, pz, discs, leaf):  # type: ignore[no-untyped-def]
    wx, wy, wz = discs[leaf, 0] - px, discs[leaf, 1] - py, discs[leaf, 2] - pz
    height = wx * discs[leaf, 3] + wy * discs[leaf, 4] + wz * discs[leaf, 5]
    height *= height
    aside = np.sqrt(max(wx * wx + wy * wy + wz * wz - height, 0.0)) - discs[leaf, 6]
    return height + max(aside, 0.0) ** 2


@numba.njit(cache=True, inline="always")
def _widened(square):  # type: ignore[no-untyped-def]
    root = np.sqrt(square) * (1.0 + 2e-5) + 1e-5
    return root * root


@numba.njit(cache=True)
def _closest(px, py, pz, plane):  # type: ignore[no-untyped-def]
    """Weights of the three corners and the squared distance."""
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
def _search(  # type: ignore[no-untyped-def]
    points,
    start,
    order,
    first_width,
    sides,
    discs,
    planes,
    reach_m,
    at,
    near,
    count,
    sure_m,
    travel_m,
    triangle,
    weights,
    square,
):
    leaves, most_near = order.shape[0], near.shape[1]
    stack = np.zeros(STACK, dtype=np.int64)
    gaps = np.zeros(STACK)
    found = order[0]
    for row in range(points.shape[0]):
        px, py, pz = points[row, 0], points[row, 1], points[row, 2]
        dx, dy, dz = px - at[row, 0], py - at[row, 1], pz - at[row, 2]
        moved_m = np.sqrt(dx * dx + dy * dy + dz * dz)
        # what was out of reach and cannot have come within it needs no more
        if count[row] == 0 and reach_m + moved_m + travel_m <= sure_m[row]:
            continue
        # what is near the last point is often near this one
        if start[row] >= 0:
            found = start[row]
        wa, wb, wc, best = _closest(px, py, pz, planes[found])
        reached = best < reach_m * reach_m
        best = min(best, reach_m * reach_m)
        limit = _widened(best)
        if np.sqrt(best) + moved_m + travel_m <= sure_m[row]:
            for place in range(count[row]):
                leaf = near[row, place]
                if _disc(px, py, pz, discs, leaf) <= limit:
                    a, b, c, distance = _closest(px, py, pz, planes[order[leaf]])
                    if distance < best:
                        reached = True
                        found = order[leaf]
                        wa, wb, wc, best = a, b, c, distance
                        limit = _widened(best)
        else:
            # down the tree; round points that come again, all leaves a little farther are kept
            again = moved_m < SLACK_M
            radius_m = np.sqrt(best) + SLACK_M
            outer = _widened(radius_m * radius_m) if again else limit
            kept = 0
            stack[0] = 0
            gaps[0] = 0.0
            size = 1
            while size > 0:
                size -= 1
                if gaps[size] > outer:
                    continue
                node = stack[size]
                width = first_width if node == 0 else WIDTH
                child = (node + 1) * width - 1
                if child >= leaves - 1:
                    for leaf in range(child - leaves + 1, child - leaves + 1 + width):
                        gap = _disc(px, py, pz, discs, leaf)
                        if gap > outer:
                            continue
                        if again:
                            if kept < most_near:
                                near[row, kept] = leaf
                            kept += 1
                        if gap > limit:
                            continue
                        a, b, c, distance = _closest(px, py, pz, planes[order[leaf]])
                        if distance < best:
                            reached = True
                            found = order[leaf]
                            wa, wb, wc, best = a, b, c, distance
                            limit = _widened(best)
                            if not again:
                                outer = limit
                    continue
                # the nearest child comes up first
                least, nearest = outer, -1
                for other in range(child, child + width):
                    gap = _box(px, py, pz, sides, other)
                    if gap <= outer:
                        stack[size] = other
                        gaps[size] = gap
                        if gap < least:
                            least, nearest = gap, size
                        size += 1
                if nearest >= 0:
                    stack[nearest], stack[size - 1] = stack[size - 1], stack[nearest]
                    gaps[nearest], gaps[size - 1] = gaps[size - 1], gaps[nearest]
            at[row, 0], at[row, 1], at[row, 2] = px, py, pz
            count[row] = kept
            sure_m[row] = radius_m + travel_m if again and kept <= most_near else -np.inf
        triangle[row] = found
        weights[row, 0], weights[row, 1], weights[row, 2] = wa, wb, wc
        square[row] = best if reached else np.inf

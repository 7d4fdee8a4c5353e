# SPDX-License-Identifier: GPL-3.0-or-later
"""The search of ``search`` for machines with Numba: the same answers, faster.

Import this module only where Numba is installed.
"""

import numba
import numpy as np

from ..arrays import FloatArray, IntArray
from .box_tree import PosedTree
from .memory import AGAIN_M, FAR_M, KEPT, LEAST_M, ROUNDING, SLACK_M, Memory
from .search import Search

__all__ = ["search"]

STACK = 192
"""Nodes that wait: at most seven at each step down, of which there are fewer than 24."""


def search(
    points: FloatArray,
    start: IntArray,
    posed: PosedTree,
    reach_m: float = np.inf,
    memory: Memory | None = None,
) -> Search:
    """As ``search.search``."""
    found = Search.from_start(start)
    known = memory or Memory.of_nothing(len(start))
    _search(
        points,
        posed.middle,
        posed.half,
        posed.planes,
        reach_m,
        memory is not None,
        known.at,
        known.foot,
        known.count,
        known.sure_m,
        known.surface_m,
        known.place,
        known.distance_m,
        known.slope,
        known.travel_m,
        found.place,
        found.weights,
        found.square,
    )
    return found


@numba.njit(cache=True, inline="always")
def _wider(distance):  # type: ignore[no-untyped-def]
    """The square of a distance, larger by more than what single precision rounds away."""
    wide = distance * (1.0 + 2e-5) + 1e-5
    return np.float32(wide * wide)


@numba.njit(cache=True, inline="always")
def _gap(px, py, pz, middle, half, node, child):  # type: ignore[no-untyped-def]
    """The squared distance to a box, in single precision."""
    nothing = np.float32(0.0)
    gx = max(abs(middle[0, node, child] - px) - half[0, node, child], nothing)
    gy = max(abs(middle[1, node, child] - py) - half[1, node, child], nothing)
    gz = max(abs(middle[2, node, child] - pz) - half[2, node, child], nothing)
    return gx * gx + gy * gy + gz * gz


@numba.njit(cache=True, inline="always")
def _swap(stack, gaps, one, other):  # type: ignore[no-untyped-def]
    for entry in range(2):
        stack[one, entry], stack[other, entry] = stack[other, entry], stack[one, entry]
    gaps[one], gaps[other] = gaps[other], gaps[one]


@numba.njit(cache=True)
def _closest(px, py, pz, planes, place):  # type: ignore[no-untyped-def]
    """Weights of the three corners and the squared distance."""
    dx, dy, dz = px - planes[0, place], py - planes[1, place], pz - planes[2, place]
    x = dx * planes[3, place] + dy * planes[4, place] + dz * planes[5, place]
    y = dx * planes[6, place] + dy * planes[7, place] + dz * planes[8, place]
    e11, e12 = planes[9, place], planes[10, place]
    e22, scale = planes[11, place], planes[12, place]
    b = (e22 * x - e12 * y) * scale
    c = (e11 * y - e12 * x) * scale
    a = 1.0 - b - c
    if min(a, b, c) > 0.0:
        square = -(b * x + c * y)
    else:
        b = min(max(x / e11, 0.0), 1.0)
        square = b * (b * e11 - 2.0 * x)
        a, c = 1.0 - b, 0.0
        t = min(max(y / e22, 0.0), 1.0)
        other = t * (t * e22 - 2.0 * y)
        if other < square:
            square = other
            a, b, c = 1.0 - t, 0.0, t
        w = e11 - e12 - x + y
        e33 = max(e11 - 2.0 * e12 + e22, 1e-30)
        t = min(max(w / e33, 0.0), 1.0)
        other = t * (t * e33 - 2.0 * w) + e11 - 2.0 * x
        if other < square:
            square = other
            a, b, c = 0.0, 1.0 - t, t
    return a, b, c, max(square + dx * dx + dy * dy + dz * dz, 0.0)


@numba.njit(cache=True)
def _keep(  # type: ignore[no-untyped-def]
    row, kept, px, py, pz, planes, place, b, c, places, distance_m, slope
):
    """Keep a triangle near a point, in the place of the farthest where all are taken.

    The number kept, and the distance of what is left out, else infinity.
    """
    wx = px - planes[0, place] - b * planes[3, place] - c * planes[6, place]
    wy = py - planes[1, place] - b * planes[4, place] - c * planes[7, place]
    wz = pz - planes[2, place] - b * planes[5, place] - c * planes[8, place]
    length = np.sqrt(wx * wx + wy * wy + wz * wz)
    left_out = np.inf
    slot = kept
    if kept == places.shape[1]:
        slot = 0
        for other in range(1, kept):
            if distance_m[row, other] > distance_m[row, slot]:
                slot = other
        if distance_m[row, slot] <= length:
            return kept, length
        left_out = distance_m[row, slot]
    else:
        kept += 1
    scale = 1.0 / length if length > LEAST_M else 0.0
    places[row, slot] = place
    distance_m[row, slot] = length
    slope[0, row, slot] = wx * scale
    slope[1, row, slot] = wy * scale
    slope[2, row, slot] = wz * scale
    return kept, left_out


@numba.njit(cache=True)
def _search(  # type: ignore[no-untyped-def]
    points,
    middle,
    half,
    planes,
    reach_m,
    remembers,
    at,
    foot,
    count,
    sure_m,
    surface_m,
    places,
    distance_m,
    slope,
    travel_m,
    found,
    weights,
    square,
):
    last_step = len(middle) - 1
    stack = np.zeros((STACK, 2), dtype=np.int64)
    gaps = np.zeros(STACK, dtype=np.float32)
    tangent = np.zeros(KEPT, dtype=np.float32)
    factor, more_m = ROUNDING
    place = 0
    for row in range(points.shape[1]):
        px, py, pz = points[0, row], points[1, row], points[2, row]
        dx, dy, dz = px - at[0, row], py - at[1, row], pz - at[2, row]
        surface = travel_m - surface_m[row]
        moved_m = np.sqrt(dx * dx + dy * dy + dz * dz) + surface
        best = reach_m * reach_m
        if count[row] == 0:
            # what was out of reach and cannot have come within it needs no more
            if reach_m + moved_m <= sure_m[row]:
                continue
        else:
            fx, fy, fz = px - foot[0, row], py - foot[1, row], pz - foot[2, row]
            limit_m = np.sqrt(fx * fx + fy * fy + fz * fz) + surface
            limit_m = min(limit_m * factor + more_m, reach_m)
            if limit_m + moved_m <= sure_m[row]:
                sx, sy, sz = np.float32(dx), np.float32(dy), np.float32(dz)
                for slot in range(KEPT):
                    tangent[slot] = (
                        slope[0, row, slot] * sx
                        + slope[1, row, slot] * sy
                        + slope[2, row, slot] * sz
                        + distance_m[row, slot]
                    )
                for slot in range(count[row]):
                    if tangent[slot] <= limit_m + surface:
                        near = places[row, slot]
                        a, b, c, distance = _closest(px, py, pz, planes, near)
                        if distance < best:
                            best = distance
                            limit_m = min(limit_m, np.sqrt(best) * factor + more_m)
                            found[row], square[row] = near, best
                            weights[0, row], weights[1, row], weights[2, row] = a, b, c
                continue
        # what is near the last point is often near this one
        if found[row] >= 0:
            place = found[row]
        a, b, c, distance = _closest(px, py, pz, planes, place)
        worth = remembers and (moved_m < AGAIN_M or distance > best)
        slack_m = SLACK_M if worth else 0.0
        if distance < best:
            best = distance
            square[row] = best
            weights[0, row], weights[1, row], weights[2, row] = a, b, c
        # down the tree
        qx, qy, qz = np.float32(px), np.float32(py), np.float32(pz)
        left_out = np.inf
        kept = 0
        outer = _wider(np.sqrt(best) + slack_m)
        stack[0, 0], stack[0, 1], gaps[0] = 0, 0, 0.0
        size = 1
        while size > 0:
            size -= 1
            if gaps[size] > outer:
                continue
            step, node = stack[size]
            boxes, sides = middle[step], half[step]
            width = boxes.shape[2]
            least, nearest = outer, -1
            for child in range(width):
                gap = _gap(qx, qy, qz, boxes, sides, node, child)
                if gap > outer:
                    continue
                below = node * width + child
                if step < last_step:
                    # the nearest child comes up first
                    stack[size, 0], stack[size, 1], gaps[size] = step + 1, below, gap
                    if gap < least:
                        least, nearest = gap, size
                    size += 1
                    continue
                a, b, c, distance = _closest(px, py, pz, planes, below)
                if distance < best:
                    best = distance
                    outer = _wider(np.sqrt(best) + slack_m)
                    place = below
                    square[row] = best
                    weights[0, row], weights[1, row], weights[2, row] = a, b, c
                if worth and _wider(np.sqrt(distance)) <= outer:
                    kept, out_m = _keep(
                        row, kept, px, py, pz, planes, below, b, c, places, distance_m, slope
                    )
                    left_out = min(left_out, out_m)
            if nearest >= 0:
                _swap(stack, gaps, nearest, size - 1)
        found[row] = place
        if remembers:
            at[0, row], at[1, row], at[2, row] = px, py, pz
            surface_m[row] = travel_m
            count[row] = kept
            sure_m[row] = min(np.sqrt(best) + slack_m, left_out) if worth else -np.inf
            distance_m[row, kept:] = FAR_M
            slope[:, row, kept:] = 0.0
            if kept > 0:
                first = np.argmin(distance_m[row, :kept])
                foot[0, row] = px - slope[0, row, first] * distance_m[row, first]
                foot[1, row] = py - slope[1, row, first] * distance_m[row, first]
                foot[2, row] = pz - slope[2, row, first] * distance_m[row, first]

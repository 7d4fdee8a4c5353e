# SPDX-License-Identifier: GPL-3.0-or-later
"""The search of ``search`` for machines with Numba: the same answers, faster.

Import this module only where Numba is installed.
"""

import numba
import numpy as np

from ..arrays import FloatArray, IntArray
from .box_tree import FAR_M, PosedTree
from .memory import AGAIN_M, LEAST_M, ROUNDING, SLACK_M, Memory
from .search import Search
from .triangles import TINY

__all__ = ["search"]

STACK = 192
"""Nodes that wait: at most seven at each step down, of which there are fewer than 24."""


def search(
    points: FloatArray,
    start: IntArray,
    posed: PosedTree,
    reach_m: float,
    memory: Memory,
) -> Search:
    """As ``search.search``."""
    found = Search.from_start(start)
    _search(
        points,
        posed.tree.widths,
        posed.middle,
        posed.half,
        posed.planes,
        np.array([reach_m, SLACK_M, AGAIN_M]),
        memory.at,
        memory.foot,
        memory.count,
        memory.sure_m,
        memory.surface_m,
        memory.place,
        memory.distance_m,
        memory.slope,
        memory.travel_m,
        found.place,
        found.weights,
        found.away,
        found.square,
    )
    found.fill_in_missing(points, posed)
    return found


@numba.njit(cache=True, inline="always")
def _wider(distance):  # type: ignore[no-untyped-def]
    """The square of a distance, larger by more than what single precision rounds away."""
    wide = distance * (1.0 + 2e-5) + 1e-5
    return np.float32(wide * wide)


@numba.njit(cache=True, inline="always")
def _radius(best, reach_m, more_m, slack_m):  # type: ignore[no-untyped-def]
    """How far to look, with the square of the least distance known: farther by ``more_m``."""
    least_m = np.sqrt(best)
    return least_m + more_m if least_m < reach_m else min(least_m, reach_m + slack_m)


@numba.njit(cache=True, inline="always")
def _gap(px, py, pz, middle, half, box):  # type: ignore[no-untyped-def]
    """The squared distance to a box, in single precision."""
    nothing = np.float32(0.0)
    gx = max(abs(middle[0, box] - px) - half[0, box], nothing)
    gy = max(abs(middle[1, box] - py) - half[1, box], nothing)
    gz = max(abs(middle[2, box] - pz) - half[2, box], nothing)
    return gx * gx + gy * gy + gz * gz


@numba.njit(cache=True, inline="always")
def _swap(stack, gaps, one, other):  # type: ignore[no-untyped-def]
    for entry in range(2):
        stack[one, entry], stack[other, entry] = stack[other, entry], stack[one, entry]
    gaps[one], gaps[other] = gaps[other], gaps[one]


@numba.njit(cache=True)
def _closest(px, py, pz, planes, place):  # type: ignore[no-untyped-def]
    """Weights of the three corners, the way from the closest point, and its square."""
    wx, wy, wz = px - planes[0, place], py - planes[1, place], pz - planes[2, place]
    x = wx * planes[3, place] + wy * planes[4, place] + wz * planes[5, place]
    y = wx * planes[6, place] + wy * planes[7, place] + wz * planes[8, place]
    e11, e12 = planes[9, place], planes[10, place]
    e22, scale = planes[11, place], planes[12, place]
    b = (e22 * x - e12 * y) * scale
    c = (e11 * y - e12 * x) * scale
    a = 1.0 - b - c
    if min(a, b, c) <= 0.0:
        b = min(max(x / e11, 0.0), 1.0)
        least = b * (b * e11 - 2.0 * x)
        a, c = 1.0 - b, 0.0
        t = min(max(y / e22, 0.0), 1.0)
        square = t * (t * e22 - 2.0 * y)
        if square < least:
            least = square
            a, b, c = 1.0 - t, 0.0, t
        along = e11 - e12 - x + y
        e33 = max(e11 - 2.0 * e12 + e22, TINY)
        t = min(max(along / e33, 0.0), 1.0)
        square = t * (t * e33 - 2.0 * along) + e11 - 2.0 * x
        if square < least:
            a, b, c = 0.0, 1.0 - t, t
    wx -= b * planes[3, place] + c * planes[6, place]
    wy -= b * planes[4, place] + c * planes[7, place]
    wz -= b * planes[5, place] + c * planes[8, place]
    return a, b, c, wx, wy, wz, wx * wx + wy * wy + wz * wz


@numba.njit(cache=True)
def _keep(row, kept, place, here, places, distance_m, slope):  # type: ignore[no-untyped-def]
    """Keep a triangle near a point, in the place of the farthest where all are taken.

    The number kept, and the distance of what is left out, else infinity.
    """
    length = np.sqrt(here[6])
    left_out = np.inf
    slot = kept
    if kept == places.shape[1]:
        slot = np.argmax(distance_m[row])
        if distance_m[row, slot] <= length:
            return kept, length
        left_out = distance_m[row, slot]
    else:
        kept += 1
    scale = 1.0 / length if length > LEAST_M else 0.0
    places[row, slot] = place
    distance_m[row, slot] = length
    for axis in range(3):
        slope[axis, row, slot] = here[3 + axis] * scale
    return kept, left_out


@numba.njit(cache=True)
def _search(  # type: ignore[no-untyped-def]
    points,
    widths,
    middle,
    half,
    planes,
    limits_m,
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
    away,
    square,
):
    # constants of other modules come as arguments: Numba's cache would not see them change
    reach_m, slack_m, again_m = limits_m
    most_kept = places.shape[1]
    last_step = len(widths) - 1
    # where the boxes of each step begin
    begins = np.zeros(len(widths), dtype=np.int64)
    count_before = 1
    for step in range(last_step):
        count_before *= widths[step]
        begins[step + 1] = begins[step] + count_before
    stack = np.zeros((STACK, 2), dtype=np.int64)
    gaps = np.zeros(STACK, dtype=np.float32)
    tangent = np.zeros(most_kept, dtype=np.float32)
    factor, more_m = ROUNDING
    nothing = (1.0, 0.0, 0.0, 0.0, 0.0, 0.0, np.inf)
    place = 0
    for row in range(points.shape[1]):
        px, py, pz = points[0, row], points[1, row], points[2, row]
        dx, dy, dz = px - at[0, row], py - at[1, row], pz - at[2, row]
        surface = travel_m - surface_m[row]
        moved_m = np.sqrt(dx * dx + dy * dy + dz * dz) + surface
        limit_m = reach_m
        if count[row] > 0:
            fx, fy, fz = px - foot[0, row], py - foot[1, row], pz - foot[2, row]
            limit_m = np.sqrt(fx * fx + fy * fy + fz * fz) + surface
            limit_m = min(limit_m * factor + more_m, reach_m)
        best = reach_m * reach_m
        nearest = nothing
        if limit_m + moved_m <= sure_m[row]:
            # what is kept is enough; what is out of reach has nothing kept
            sx, sy, sz = np.float32(dx), np.float32(dy), np.float32(dz)
            if count[row] > 0:
                for slot in range(most_kept):
                    tangent[slot] = (
                        slope[0, row, slot] * sx
                        + slope[1, row, slot] * sy
                        + slope[2, row, slot] * sz
                        + distance_m[row, slot]
                    )
            for slot in range(count[row]):
                if tangent[slot] <= limit_m + surface:
                    here = _closest(px, py, pz, planes, places[row, slot])
                    if here[6] < best:
                        nearest, best = here, here[6]
                        found[row] = places[row, slot]
                        limit_m = min(limit_m, np.sqrt(best) * factor + more_m)
        else:
            # down the tree; what is near the last point is often near this one
            if found[row] >= 0:
                place = found[row]
            again = moved_m < again_m
            more = slack_m if again else 0.0
            nearest = _closest(px, py, pz, planes, place)
            best = nearest[6]
            radius_m = sure = _radius(best, reach_m, more, slack_m)
            outer = _wider(radius_m)
            kept = 0
            qx, qy, qz = np.float32(px), np.float32(py), np.float32(pz)
            stack[0, 0], stack[0, 1], gaps[0] = 0, 0, 0.0
            size = 1
            while size > 0:
                size -= 1
                if gaps[size] > outer:
                    continue
                step, node = stack[size]
                width = widths[step]
                least, first = outer, -1
                for child in range(width):
                    below = node * width + child
                    gap = _gap(qx, qy, qz, middle, half, begins[step] + below)
                    if gap > outer:
                        continue
                    if step < last_step:
                        # the nearest child comes up first
                        stack[size, 0], stack[size, 1], gaps[size] = step + 1, below, gap
                        if gap < least:
                            least, first = gap, size
                        size += 1
                        continue
                    here = _closest(px, py, pz, planes, below)
                    if here[6] < best:
                        place, nearest, best = below, here, here[6]
                        radius_m = _radius(best, reach_m, more, slack_m)
                        sure = min(sure, radius_m)
                        outer = _wider(radius_m)
                    if again and here[6] <= radius_m * radius_m:
                        kept, out_m = _keep(row, kept, below, here, places, distance_m, slope)
                        sure = min(sure, out_m)
                if first >= 0:
                    _swap(stack, gaps, first, size - 1)
            found[row] = place
            at[0, row], at[1, row], at[2, row] = px, py, pz
            surface_m[row] = travel_m
            reached = best < reach_m * reach_m
            count[row] = kept if reached else 0
            sure_m[row] = sure if again or not reached else -np.inf
            distance_m[row, count[row] :] = FAR_M
            slope[:, row, count[row] :] = 0.0
            foot[0, row], foot[1, row] = px - nearest[3], py - nearest[4]
            foot[2, row] = pz - nearest[5]
            if best >= reach_m * reach_m:
                nearest = nothing
        for axis in range(3):
            weights[axis, row], away[axis, row] = nearest[axis], nearest[3 + axis]
        square[row] = nearest[6]

# SPDX-License-Identifier: GPL-3.0-or-later
"""What is known of points that are asked about again after a small move.

For each point a few triangles are kept, all within some radius of it, and for each of them the
distance and the direction in which it grows. The distance to a triangle is a convex function of the
point, so it lies nowhere under its tangent: triangles whose tangent is above the distance to one
known place cannot be the closest. Mostly one or two are left.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import BoolArray, FloatArray, IntArray
from .box_tree import FAR_M, SingleArray
from .candidates import Candidates
from .triangles import dot

__all__ = ["AGAIN_M", "KEPT", "ROUNDING", "SLACK_M", "Memory", "farthest_m", "recalled", "remember"]

KEPT = 24
"""Triangles kept for a point: the nearest of those within the radius."""

SLACK_M = 0.006
"""Radius within which triangles are kept, beyond the closest one."""

AGAIN_M = 0.004
"""Points that moved farther since they were looked for will hardly stay within the slack."""

ROUNDING = (1.0 + 1e-5, 1e-6)
"""Factor and metres by which a distance is widened, more than single precision rounds."""

LEAST_M = 1e-7
"""Nearer than this to a triangle there is no telling in which direction its distance grows."""

CHUNK = 4096


@dataclass(slots=True)
class Memory:
    """What earlier searches of one tree found out about n points.

    Attributes
    ----------
    at, foot
        (3, n) where the points were when they were last looked for, and the closest place then.
    count
        (n,) how many triangles are kept.
    sure_m
        (n,) no other triangle was within this radius of ``at``; minus infinity if not known. With
        nothing kept and a radius the point was out of reach.
    surface_m
        (n,) the ``travel_m`` of then.
    place, distance_m, slope
        (n, `KEPT`), the same, and (3, n, `KEPT`): the places in the tree of the triangles kept,
        their distances and the gradients of these. What is beyond the count lies far away.
    travel_m
        How far the surface has moved at most, in all poses taken since the beginning.
    """

    at: FloatArray
    foot: FloatArray
    count: IntArray
    sure_m: FloatArray
    surface_m: FloatArray
    place: NDArray[np.int32]
    distance_m: SingleArray
    slope: SingleArray
    travel_m: float = 0.0

    @classmethod
    def of_nothing(cls, count: int) -> "Memory":
        """Of ``count`` points not yet asked about."""
        return cls(
            at=np.full((3, count), np.inf),
            foot=np.full((3, count), np.inf),
            count=np.zeros(count, dtype=np.int64),
            sure_m=np.full(count, -np.inf),
            surface_m=np.zeros(count),
            place=np.zeros((count, KEPT), dtype=np.int32),
            distance_m=np.zeros((count, KEPT), dtype=np.float32),
            slope=np.zeros((3, count, KEPT), dtype=np.float32),
        )

    def out_of_reach(self, points: FloatArray, rows: IntArray, least_m: FloatArray) -> None:
        """Keep that those of points (3, n) at ``rows`` (k,) are ``least_m`` (k,) away at least."""
        self.at[:, rows], self.surface_m[rows] = points.take(rows, axis=1), self.travel_m
        self.count[rows], self.sure_m[rows] = 0, least_m

    def moved_m(self, points: FloatArray, rows: IntArray | slice = slice(None)) -> FloatArray:
        """How far some of points (3, n) moved over the surface since they were looked for."""
        offset = points[:, rows] - self.at[:, rows]
        moved: FloatArray = np.sqrt(dot(offset, offset))
        moved += self.travel_m - self.surface_m[rows]
        return moved


def farthest_m(before: FloatArray, after: FloatArray) -> float:
    """How far the farthest of points (n, 3) moved: no place between them moved farther."""
    moved = after - before
    return float(np.sqrt(np.einsum("ij,ij->i", moved, moved).max()))


def recalled(
    points: FloatArray, reach_m: float, memory: Memory
) -> tuple[IntArray, IntArray, IntArray]:
    """Of points (3, n), which triangles may be the closest, as far as the memory is certain.

    Returns
    -------
    rows, places
        Pairs (k,) of a point and the place of a triangle, rows ascending. Points that have no pair
        and need not be searched for either are out of reach.
    unknown
        (u,) points that must be searched for.
    """
    moved_m = memory.moved_m(points)
    unknown = moved_m + reach_m > memory.sure_m
    held = np.flatnonzero(memory.count)
    rows, places = [held[:0]], [held[:0]]
    for first in range(0, len(held), CHUNK):
        some = held[first : first + CHUNK]
        certain, row, place = _certain_pairs(points, some, moved_m[some], reach_m, memory)
        unknown[some] = ~certain
        rows.append(row)
        places.append(place)
    return np.concatenate(rows), np.concatenate(places), np.flatnonzero(unknown)


def _certain_pairs(
    points: FloatArray, some: IntArray, moved_m: FloatArray, reach_m: float, memory: Memory
) -> tuple[BoolArray, IntArray, IntArray]:
    """Whether enough is known of some points (c,), and the pairs (k,) of those of which it is."""
    # a run of points is looked at in place, others are gathered
    run = some[-1] - some[0] == len(some) - 1
    rows = slice(some[0], some[-1] + 1) if run else some
    point = points[:, rows]
    surface_m = memory.travel_m - memory.surface_m[rows]
    away = point - memory.foot[:, rows]
    limit_m = np.sqrt(dot(away, away))
    limit_m += surface_m
    factor, more_m = ROUNDING
    limit_m = np.minimum(limit_m * factor + more_m, reach_m)
    certain = limit_m + moved_m <= memory.sure_m[rows]
    limit_m += surface_m
    limit_m[~certain] = -1.0
    offset = (point - memory.at[:, rows]).astype(np.float32)[:, :, None]
    tangent = memory.slope[0, rows] * offset[0]
    for axis in (1, 2):
        tangent += memory.slope[axis, rows] * offset[axis]
    tangent += memory.distance_m[rows]
    pairs = np.flatnonzero(tangent <= limit_m.astype(np.float32)[:, None])
    place = memory.place[rows].reshape(-1).take(pairs).astype(np.int64)
    return certain, some.take(pairs // KEPT), place


def remember(
    points: FloatArray,
    rows: IntArray,
    radius_m: FloatArray,
    again: BoolArray,
    reach_m: float,
    candidates: Candidates,
    memory: Memory,
) -> None:
    """Keep what was found near points (3, k), which are those at ``rows`` (k,) of the memory.

    Within ``radius_m`` (k,) there are no triangles but the candidates. Of points that came
    ``again`` (k,) the triangles are kept, of those out of reach how far the nearest is.
    """
    memory.at[:, rows], memory.surface_m[rows] = points, memory.travel_m
    distance_m = np.sqrt(candidates.squares)
    nearest = candidates.nearest
    row = candidates.rows.take(nearest)
    least_m = radius_m.copy()
    least_m[row] = np.minimum(distance_m.take(nearest), radius_m.take(row))
    holds = again & (least_m < reach_m)
    memory.count[rows], memory.sure_m[rows] = 0, np.where(least_m < reach_m, -np.inf, least_m)
    near = np.flatnonzero(
        holds.take(candidates.rows) & (distance_m <= radius_m.take(candidates.rows))
    )
    if not len(near):
        return
    foot = points.take(row, axis=1) - candidates.away.take(nearest, axis=1)
    memory.foot[:, rows.take(row)] = foot
    row, distance_m = candidates.rows.take(near), distance_m.take(near)
    slot, radius_m = _slots(row, distance_m, radius_m)
    kept = np.flatnonzero(slot < KEPT)
    near, row, slot, distance_m = (part.take(kept) for part in (near, row, slot, distance_m))
    held = np.flatnonzero(holds)
    count = np.bincount(row, minlength=len(rows))
    place = rows.take(held)
    memory.count[place], memory.sure_m[place] = count.take(held), radius_m.take(held)
    memory.distance_m[place], memory.slope[:, place] = FAR_M, 0.0
    at = rows.take(row)
    memory.place[at, slot] = candidates.places.take(near)
    memory.distance_m[at, slot] = distance_m
    scale = (distance_m > LEAST_M) / np.maximum(distance_m, LEAST_M)
    for axis in range(3):
        memory.slope[axis, at, slot] = candidates.away[axis].take(near) * scale


def _slots(
    row: IntArray, distance_m: FloatArray, radius_m: FloatArray
) -> tuple[IntArray, FloatArray]:
    """Numbers (k,) of pairs within their point, and the radii (n,) up to which `KEPT` are all.

    Where there are more, the nearest come first.
    """
    count = np.bincount(row, minlength=len(radius_m))
    slot = np.arange(len(row)) - (np.cumsum(count) - count).repeat(count)
    many = np.flatnonzero(count > KEPT)
    if not len(many):
        return slot, radius_m
    line = np.full(len(radius_m), -1)
    line[many] = np.arange(len(many))
    crowded = np.flatnonzero((count > KEPT).take(row))
    cell = line.take(row.take(crowded)), slot.take(crowded)
    distances = np.full((len(many), int(count.max())), np.inf)
    distances[cell] = distance_m.take(crowded)
    order = distances.argpartition(KEPT, axis=1)
    rank = np.zeros_like(order)
    np.put_along_axis(rank, order, np.arange(order.shape[1]), axis=1)
    slot[crowded] = rank[cell]
    radius_m = radius_m.copy()
    radius_m[many] = distances[np.arange(len(many)), order[:, KEPT]]
    return slot, radius_m

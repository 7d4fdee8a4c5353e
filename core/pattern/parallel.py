# SPDX-License-Identifier: GPL-3.0-or-later
"""Lines beside an outline: parallels of its pieces, made longer or shorter until they meet.

Parallels of straight lines and circles are exact. Those of ellipses and cubics are chains of arcs,
true to 0.25 mm.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from ..arrays import FloatArray
from .curves import Arc, Line, Piece, Point, arc_through

__all__ = ["inside", "joined", "meeting", "parallel"]

Pieces = tuple[Piece, ...]
SAMPLES = 1024
ARCS_A_QUARTER = 16
SAME_M = 1e-9


def parallel(pieces: Sequence[Piece], distance_m: float) -> Pieces:
    """The line at a distance on the right of a chain, on the left where it is negative.

    Where a curve is bent more sharply than the distance its parallel crosses itself, and what lies
    nearer to the curve than the distance is left out; sharp corners are made by lines that meet.
    """
    if distance_m == 0:
        return tuple(pieces)
    if all(
        isinstance(piece, Line) or (isinstance(piece, Arc) and piece.circular) for piece in pieces
    ):
        moved = [_moved(piece, distance_m) for piece in pieces]
        return joined([(piece,) for piece in moved if piece is not None])
    points = _sampled(pieces, closed=False)
    chains = _beside(points, -distance_m, closed=False)
    return joined(chains)


def _moved(piece: Piece, distance_m: float) -> Piece | None:
    """A line or circle moved to its right; None where nothing is left of the circle."""
    if isinstance(piece, Line):
        (x, v), _ = piece.directions
        dx, dv = distance_m * v, -distance_m * x
        return Line(
            start=(piece.start[0] + dx, piece.start[1] + dv),
            end=(piece.end[0] + dx, piece.end[1] + dv),
        )
    assert isinstance(piece, Arc)
    # a circle walked counter-clockwise has its centre on the left
    grows = 1 if piece.end_angle > piece.start_angle else -1
    radius_m = piece.radius_x_m + grows * distance_m
    if radius_m <= SAME_M:
        return None
    share = radius_m / piece.radius_x_m
    start, end = (
        (
            piece.centre[0] + share * (x - piece.centre[0]),
            piece.centre[1] + share * (v - piece.centre[1]),
        )
        for x, v in (piece.start, piece.end)
    )
    return replace(piece, radius_x_m=radius_m, radius_v_m=radius_m, start=start, end=end)


def joined(chains: Sequence[Sequence[Piece]]) -> Pieces:
    """One open chain out of several, each made longer or shorter until it meets the next."""
    parts = [list(chain) for chain in chains]
    for before, after in pairwise(parts):
        _meet(before, after, before_kept=False, after_kept=False)
    return tuple(piece for part in parts for piece in part)


def meeting(chains: Sequence[Sequence[Piece]], kept: Sequence[bool]) -> list[Pieces]:
    """The chains of a closed ring, each made longer or shorter until it meets its neighbours.

    Chains that are ``kept`` stay as they are, and their neighbours end on them.
    """
    parts = [list(chain) for chain in chains]
    for one in range(len(parts)):
        other = (one + 1) % len(parts)
        _meet(parts[one], parts[other], before_kept=kept[one], after_kept=kept[other])
    return [tuple(part) for part in parts]


def _meet(before: list[Piece], after: list[Piece], *, before_kept: bool, after_kept: bool) -> None:
    """Let the end of one chain and the start of the next come together."""
    if math.dist(before[-1].end, after[0].start) < SAME_M:
        if not after_kept:
            after[0] = replace(after[0], start=before[-1].end)
        elif not before_kept:
            before[-1] = replace(before[-1], end=after[0].start)
        return
    place = _crossing(before[-1], after[0])
    if place is None and (before_kept or after_kept):
        return
    if place is None:
        before.append(Line(start=before[-1].end, end=after[0].start))
        return
    if not before_kept:
        _end_at(before, place)
    if not after_kept:
        turned = [piece.reversed() for piece in reversed(after)]
        _end_at(turned, place)
        after[:] = [piece.reversed() for piece in reversed(turned)]
    if not before_kept and not after_kept:
        after[0] = replace(after[0], start=before[-1].end)


def _crossing(before: Piece, after: Piece) -> Point | None:
    """Where the tangent at the end of a piece crosses that at the start of another."""
    (ax, av), (bx, bv) = before.directions[1], after.directions[0]
    turn = ax * bv - av * bx
    if abs(turn) < 1e-6:
        return None
    dx, dv = after.start[0] - before.end[0], after.start[1] - before.end[1]
    along = (dx * bv - dv * bx) / turn
    return before.end[0] + along * ax, before.end[1] + along * av


def _end_at(chain: list[Piece], place: Point) -> None:
    """Make a chain longer or shorter, so that it ends at a place on the tangent at its end."""
    x, v = chain[-1].directions[1]
    end = chain[-1].end
    ahead_m = (place[0] - end[0]) * x + (place[1] - end[1]) * v
    if abs(ahead_m) < SAME_M:
        chain[-1] = replace(chain[-1], end=place)
        return
    if ahead_m > 0 and not isinstance(chain[-1], Line):
        chain.append(Line(start=end, end=place))
        return
    while len(chain) > 1 and chain[-1].length_m <= -ahead_m:
        ahead_m += chain.pop().length_m
    last = chain[-1]
    if isinstance(last, Line):
        chain[-1] = replace(last, end=place)
    elif isinstance(last, Arc) and ahead_m < 0:
        share = 1 + ahead_m / last.length_m
        angle = last.start_angle + share * (last.end_angle - last.start_angle)
        x, v = last.at(np.array([share * last.length_m]))[0]
        chain[-1] = replace(last, end_angle=angle, end=(float(x), float(v)))


def inside(pieces: Sequence[Piece], distance_m: float) -> Pieces:
    """The closed curve inside a closed one at a distance, as arcs, true to 0.25 mm."""
    points = _sampled(pieces, closed=True)
    signed = math.fsum(piece.swept_area_m2 for piece in pieces)
    chains = _beside(points, math.copysign(distance_m, signed), closed=True)
    ring: list[Piece] = []
    for chain, following in pairwise([*chains, chains[0]]):
        ring += chain
        if math.dist(chain[-1].end, following[0].start) > 1e-12:
            ring.append(Line(start=chain[-1].end, end=following[0].start))
    if signed < 0:
        ring = [piece.reversed() for piece in reversed(ring)]
    return tuple(ring)


def _sampled(pieces: Sequence[Piece], *, closed: bool) -> FloatArray:
    """Points along a chain, each piece sampled alike."""
    each = SAMPLES // len(pieces)
    points = [piece.place(np.linspace(0, 1, each, endpoint=False)) for piece in pieces]
    return np.concatenate(points if closed else [*points, [pieces[-1].end]])


def _beside(points: FloatArray, left_m: float, *, closed: bool) -> list[list[Piece]]:
    """Chains of arcs on the left of sampled points, where nothing of the line is nearer."""
    if closed:
        along = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    else:
        along = np.gradient(points, axis=0, edge_order=2)
    along /= np.linalg.norm(along, axis=1)[:, None]
    left = np.stack([-along[:, 1], along[:, 0]], axis=1)
    beside = points + left_m * left
    squared = (beside**2).sum(axis=1)[:, None] - 2 * beside @ points.T + (points**2).sum(axis=1)
    kept = np.flatnonzero(squared.min(axis=1) >= (abs(left_m) - 4e-6) ** 2)
    if closed:
        breaks = np.flatnonzero(np.diff(kept) > 1)
        # begin at a break, so that no run goes over the end of the list
        if len(breaks):
            kept = np.roll(kept, -(breaks[0] + 1))
        runs = np.split(kept, np.flatnonzero(np.diff(kept) % len(points) != 1) + 1)
    else:
        runs = np.split(kept, np.flatnonzero(np.diff(kept) != 1) + 1)
    whole = closed and len(runs) == 1
    return [_arcs(beside[run], closed=whole) for run in runs if len(run) > 2]


def _arcs(points: FloatArray, *, closed: bool) -> list[Piece]:
    """Arcs through evenly chosen points of a dense chain."""
    if closed:
        points = np.concatenate([points, points[:1]])
    count = max(2, round(4 * ARCS_A_QUARTER * len(points) / SAMPLES))
    places = np.linspace(0, len(points) - 1, 2 * count + 1).round().astype(int)
    chosen = [(float(x), float(v)) for x, v in points[places]]
    return [arc_through(*chosen[index : index + 3]) for index in range(0, len(chosen) - 2, 2)]

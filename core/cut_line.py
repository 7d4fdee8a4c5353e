# SPDX-License-Identifier: GPL-3.0-or-later
"""What is marked on the cloth: the lines to cut, the lines to stitch, notches, grain and nap.

The pattern's outline is where the seams lie and where the cloth ends. At hem and sleeve ends the
cut line is the edge of the cloth and the stitch line lies inside it; at underarm and neck the stitch
line is the outline and the cut line leaves the allowance beside it; the fronts are cut apart on the
centre line and stitched beside it. Coordinates are the pattern's, in metres.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from .arrays import FloatArray
from .pattern import Arc, Cut, Line, Neck, Pattern
from .units import require_range

__all__ = [
    "Allowances",
    "CutLine",
    "Notch",
    "arc_through",
    "build_cut_line",
    "corner_radius_m",
    "finished_cut",
]

Point = tuple[float, float]
Pieces = tuple[Line | Arc, ...]

LEAST_ALLOWANCE_M, MOST_ALLOWANCE_M = 0.004, 0.050
NECK_SAMPLES = 1024
ARCS_A_QUARTER = 16
NOTCH_M = 0.005


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowances:
    """Cloth kept beyond the stitch line at each kind of edge, metres.

    Half an inch is what home-sewing instructions for plush and fur cloth ask for: it curls and its
    edges shed.

    Raises
    ------
    RangeError
        An allowance is under 4 mm or over 5 cm.
    """

    underarm_m: float = 0.0127
    hem_m: float = 0.0127
    sleeve_end_m: float = 0.0127
    front_m: float = 0.0127
    neck_m: float = 0.0127

    def __post_init__(self) -> None:
        for name in ("underarm", "hem", "sleeve_end", "front", "neck"):
            require_range(
                f"sewing.{name}_allowance",
                getattr(self, f"{name}_m"),
                LEAST_ALLOWANCE_M,
                MOST_ALLOWANCE_M,
                "keep enough cloth beside the seam to hold it, and no more than can be turned",
                quantity="length",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A short snip from the cut edge inwards, and what meets there."""

    at: Point
    towards: Point
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """One layer as it is marked.

    Attributes
    ----------
    outline
        The outer cut line, counter-clockwise from the front hem on the wearer's left, closed.
    neck
        The neck's cut line, closed.
    front
        The cut down the centre front, from the hem to the neck's cut line.
    stitch
        Stitch lines by the names of the pattern's edges.
    notches
        Snips at the points that meet.
    grain, nap
        Arrows from tail to head: along the cloth; the way the nap strokes smooth.
    """

    outline: Pieces
    neck: Pieces
    front: Line
    stitch: Mapping[str, Pieces]
    notches: tuple[Notch, ...]
    grain: Line
    nap: Line

    @property
    def area_m2(self) -> float:
        """Cloth in one layer after cutting, in closed form."""
        outer = math.fsum(piece.swept_area_m2 for piece in self.outline)
        return outer - math.fsum(piece.swept_area_m2 for piece in self.neck)


def finished_cut(cut: Cut, allowances: Allowances) -> Cut:
    """The cut whose pattern is what hangs when hem and sleeve ends are sewn.

    The fronts' allowance is not in it: sewn edge to edge they stand twice that far apart.
    """
    return replace(
        cut,
        length_m=cut.length_m - 2 * allowances.hem_m,
        cloth_width_m=cut.cloth_width_m - 2 * allowances.sleeve_end_m,
        corner_radius_m=min(
            cut.corner_radius_m,
            (cut.cloth_width_m - cut.body_width_m) / 2 - allowances.sleeve_end_m,
            cut.length_m / 2 - allowances.hem_m - cut.sleeve_drop_m,
        ),
    )


def build_cut_line(pattern: Pattern, allowances: Allowances) -> CutLine:
    """Draw what is marked on one layer.

    Raises
    ------
    RangeError
        The neck's allowance would close the neck opening.
    """
    cut = pattern.cut
    depth_m = cut.neck_front_depth_m + cut.neck_back_depth_m
    require_range(
        "sewing.neck_allowance",
        allowances.neck_m,
        LEAST_ALLOWANCE_M,
        0.4 * min(cut.neck_width_m, depth_m),
        "make the neck opening larger or its allowance smaller",
        quantity="length",
    )
    half_m, wrist_m = cut.length_m / 2, cut.cloth_width_m / 2
    neck = _inside(pattern.edges["neck"].pieces, allowances.neck_m)
    neck_front_m = min(piece.start[1] for piece in neck)
    nap_x_m = -0.72 * cut.body_width_m / 2
    nap_v_m = half_m * cut.nap.stroke[1]
    grain_x_m = 0.72 * cut.body_width_m / 2
    return CutLine(
        outline=_outline(cut, allowances),
        neck=neck,
        front=Line(start=(0.0, -half_m), end=(0.0, neck_front_m)),
        stitch=_stitch(pattern, allowances),
        notches=tuple(_notches(cut, allowances, neck, wrist_m)),
        grain=Line(start=(grain_x_m, 0.55 * half_m), end=(grain_x_m, -0.55 * half_m)),
        nap=Line(start=(nap_x_m, -0.55 * nap_v_m), end=(nap_x_m, 0.55 * nap_v_m)),
    )


def corner_radius_m(cut: Cut, allowances: Allowances) -> float:
    """Radius of the cut line round the inner corner: parallel to the seam, so smaller; 0 is sharp."""
    return max(cut.corner_radius_m - allowances.underarm_m, 0.0)


def _outline(cut: Cut, allowances: Allowances) -> Pieces:
    """The outer cut line, quarter by quarter, counter-clockwise."""
    hem, wrist = cut.length_m / 2, cut.cloth_width_m / 2
    side = cut.body_width_m / 2 + allowances.underarm_m
    drop = cut.sleeve_drop_m + allowances.underarm_m
    radius = corner_radius_m(cut, allowances)
    corners: list[Pieces] = []
    for x_sign, v_sign in ((1, -1), (1, 1), (-1, 1), (-1, -1)):
        low = (x_sign * side, v_sign * (drop + radius))
        high = (x_sign * (side + radius), v_sign * drop)
        start = math.pi if x_sign > 0 else 0.0
        pieces: list[Line | Arc] = [Line(start=(x_sign * side, v_sign * hem), end=low)]
        if radius > 0:
            pieces.append(
                Arc(
                    centre=(high[0], low[1]),
                    radius_x_m=radius,
                    radius_v_m=radius,
                    start_angle=start,
                    end_angle=start + x_sign * v_sign * math.pi / 2,
                    start=low,
                    end=high,
                )
            )
        pieces.append(Line(start=high, end=(x_sign * wrist, v_sign * drop)))
        if x_sign * v_sign > 0:
            pieces = [piece.reversed() for piece in reversed(pieces)]
        corners.append(tuple(piece for piece in pieces if piece.length_m > 1e-9))
    closed: list[Line | Arc] = []
    for corner, following in pairwise([*corners, corners[0]]):
        closed += [*corner, Line(start=corner[-1].end, end=following[0].start)]
    return tuple(closed)


def _inside(pieces: Pieces, distance_m: float) -> Pieces:
    """The closed curve inside a closed one at a distance, as arcs, true to 0.25 mm.

    Where the curve is bent more sharply than the distance, its parallel crosses itself; what lies
    nearer to another part of the curve than the distance is left out.
    """
    each = NECK_SAMPLES // len(pieces)
    points = np.concatenate(
        [piece.at(np.linspace(0, piece.length_m, each, endpoint=False)) for piece in pieces]
    )
    along = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    along /= np.linalg.norm(along, axis=1)[:, None]
    # the neck is walked clockwise round its opening, as the outline of the cloth
    signed = math.fsum(piece.swept_area_m2 for piece in pieces)
    inward = np.stack([-along[:, 1], along[:, 0]], axis=1) * math.copysign(1.0, signed)
    parallel = points + distance_m * inward
    squared = (parallel**2).sum(axis=1)[:, None] - 2 * parallel @ points.T + (points**2).sum(axis=1)
    kept = np.flatnonzero(squared.min(axis=1) >= (distance_m - 4e-6) ** 2)
    breaks = np.flatnonzero(np.diff(kept) > 1)
    # begin at a break, so that no run goes over the end of the list
    if len(breaks):
        kept = np.roll(kept, -(breaks[0] + 1))
    runs = np.split(kept, np.flatnonzero(np.diff(kept) % NECK_SAMPLES != 1) + 1)
    chains = [_arcs(parallel[run], closed=len(runs) == 1) for run in runs if len(run) > 2]
    joined: list[Line | Arc] = []
    for chain, following in pairwise([*chains, chains[0]]):
        joined += chain
        if math.dist(chain[-1].end, following[0].start) > 1e-12:
            joined.append(Line(start=chain[-1].end, end=following[0].start))
    if signed < 0:
        joined = [piece.reversed() for piece in reversed(joined)]
    return tuple(joined)


def _arcs(points: FloatArray, *, closed: bool) -> list[Line | Arc]:
    """Arcs through evenly chosen points of a dense chain."""
    if closed:
        points = np.concatenate([points, points[:1]])
    count = max(2, round(4 * ARCS_A_QUARTER * len(points) / NECK_SAMPLES))
    places = np.linspace(0, len(points) - 1, 2 * count + 1).round().astype(int)
    chosen = [(float(x), float(v)) for x, v in points[places]]
    return [arc_through(*chosen[index : index + 3]) for index in range(0, len(chosen) - 2, 2)]


def arc_through(start: Point, middle: Point, end: Point) -> Line | Arc:
    """The circle's arc through three points; a line where they lie in one."""
    (ax, ay), (bx, by), (cx, cy) = start, middle, end
    twice = 2 * ((bx - ax) * (cy - ay) - (by - ay) * (cx - ax))
    if abs(twice) < 1e-9 * math.dist(start, end):
        return Line(start=start, end=end)
    b2 = (bx - ax) ** 2 + (by - ay) ** 2
    c2 = (cx - ax) ** 2 + (cy - ay) ** 2
    centre = (
        ax + ((cy - ay) * b2 - (by - ay) * c2) / twice,
        ay + ((bx - ax) * c2 - (cx - ax) * b2) / twice,
    )
    radius = math.dist(centre, start)
    angles = [math.atan2(v - centre[1], x - centre[0]) for x, v in (start, end)]
    turn = (angles[1] - angles[0]) % (2 * math.pi)
    if twice < 0:
        turn -= 2 * math.pi
    return Arc(
        centre=centre,
        radius_x_m=radius,
        radius_v_m=radius,
        start_angle=angles[0],
        end_angle=angles[0] + turn,
        start=start,
        end=end,
    )


def _stitch(pattern: Pattern, allowances: Allowances) -> Mapping[str, Pieces]:
    cut = pattern.cut
    side, drop = cut.body_width_m / 2, cut.sleeve_drop_m
    hem = cut.length_m / 2 - allowances.hem_m
    wrist = cut.cloth_width_m / 2 - allowances.sleeve_end_m
    beside = allowances.front_m
    neck = cut.neck_width_m / 2
    # where the line beside the centre front meets the neck
    share = beside / neck
    rise = 1 - share if cut.neck is Neck.V else math.sqrt(1 - share**2)
    neck_front = -cut.neck_front_depth_m * rise
    lines = {
        "hem_front_left": Line(start=(beside, -hem), end=(side, -hem)),
        "sleeve_end_left": Line(start=(wrist, -drop), end=(wrist, drop)),
        "hem_back": Line(start=(side, hem), end=(-side, hem)),
        "sleeve_end_right": Line(start=(-wrist, drop), end=(-wrist, -drop)),
        "hem_front_right": Line(start=(-side, -hem), end=(-beside, -hem)),
        "front_right": Line(start=(-beside, -hem), end=(-beside, neck_front)),
        "front_left": Line(start=(beside, neck_front), end=(beside, -hem)),
    }
    curves = {name: pattern.edges[name].pieces for name in pattern.edges if "underarm" in name}
    curves["neck"] = tuple(
        _beside_the_front(piece, beside) for piece in pattern.edges["neck"].pieces
    )
    return MappingProxyType({name: (line,) for name, line in lines.items()} | curves)


def _beside_the_front(piece: Line | Arc, beside_m: float) -> Line | Arc:
    """A quarter of the neck, cut off where it comes nearer to the centre front than this."""
    if min(piece.start[1], piece.end[1]) >= 0:
        return piece
    at_centre = piece.start[0] == 0
    inner = piece if at_centre else piece.reversed()
    sign = math.copysign(1.0, inner.end[0])
    if isinstance(inner, Line):
        share = beside_m / abs(inner.end[0])
        line = replace(inner, start=(sign * beside_m, inner.start[1] * (1 - share)))
        return line if at_centre else line.reversed()
    away = math.asin(beside_m / inner.radius_x_m)
    angle = inner.start_angle + sign * away
    start = (sign * beside_m, -inner.radius_v_m * math.cos(away))
    shorter = replace(inner, start_angle=angle, start=start)
    return shorter if at_centre else shorter.reversed()


def _notches(cut: Cut, allowances: Allowances, neck: Pieces, wrist_m: float) -> list[Notch]:
    """Snips where layers meet: fold at both sleeve ends and at the neck, centre back, curve ends."""
    half = cut.length_m / 2
    side = cut.body_width_m / 2 + allowances.underarm_m
    drop = cut.sleeve_drop_m + allowances.underarm_m
    radius = corner_radius_m(cut, allowances)
    back_neck = max(piece.start[1] for piece in neck)
    fold_neck = min(neck, key=lambda piece: (piece.start[1] ** 2, -piece.start[0])).start[0]
    notches = [
        Notch(at=(0.0, half), towards=(0.0, -1.0), name="centre back"),
        Notch(at=(0.0, back_neck), towards=(0.0, 1.0), name="centre back neck"),
    ]
    for sign in (1.0, -1.0):
        notches.append(Notch(at=(sign * wrist_m, 0.0), towards=(-sign, 0.0), name="shoulder fold"))
        notches.append(
            Notch(at=(sign * abs(fold_neck), 0.0), towards=(sign, 0.0), name="shoulder fold")
        )
        for way in (1.0, -1.0):
            notches.append(
                Notch(
                    at=(sign * side, way * (drop + radius)),
                    towards=(-sign, 0.0),
                    name="side, curve begins",
                )
            )
            notches.append(
                Notch(
                    at=(sign * (side + radius), way * drop),
                    towards=(0.0, -way),
                    name="underarm, curve begins",
                )
            )
    return notches

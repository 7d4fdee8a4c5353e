# SPDX-License-Identifier: GPL-3.0-or-later
"""One layer as it is marked, part by part."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from types import MappingProxyType

import numpy as np

from ..pattern import (
    Cut,
    Front,
    Line,
    Pattern,
    Piece,
    build_pattern,
    inside,
    meeting,
    parallel,
    sewn,
    until_across,
)
from ..units import require_range
from .allowances import LEAST_ALLOWANCE_M, Allowances
from .marks import Notch, arrows, folds, front_notches, middle_m, notches, opening_notches

__all__ = ["CutLine", "Part", "build_cut_line", "cut_line_of"]

Pieces = tuple[Piece, ...]
KEPT_CUT_LINES = 64


@dataclass(frozen=True, kw_only=True)
class Part:
    """One piece of cloth of a layer as it is marked.

    Attributes
    ----------
    name
        "layer", or "back", "front", "front left", "front right" where the shoulders are seamed.
    cut
        Cut lines by the names of the pattern's edges, counter-clockwise; they make the outline.
    neck
        The neck's cut line: closed and apart in a whole layer, else a part of the outline.
    front
        The cut down the centre front of a whole layer, from the hem to the neck's cut line; or None.
    stitch
        Stitch lines by the names of the pattern's edges.
    notches
        Snips at the points that meet.
    folds
        Lines that are folded or matched, by name.
    grain, nap
        Arrows from tail to head: along the cloth; the way the nap strokes smooth.
    """

    name: str
    cut: Mapping[str, Pieces]
    neck: Pieces
    front: Line | None
    stitch: Mapping[str, Pieces]
    notches: tuple[Notch, ...]
    folds: tuple[tuple[str, Line], ...]
    grain: Line
    nap: Line

    @property
    def outline(self) -> Pieces:
        """The outer cut line, counter-clockwise, closed."""
        return tuple(piece for chain in self.cut.values() for piece in chain)

    @property
    def whole(self) -> bool:
        """Whether it is a layer in one piece, its neck cut out of the middle."""
        return self.name == "layer"

    @property
    def area_m2(self) -> float:
        """Cloth in it after cutting, in closed form."""
        outer = math.fsum(piece.swept_area_m2 for piece in self.outline)
        hole = math.fsum(piece.swept_area_m2 for piece in self.neck) if self.whole else 0.0
        return outer - hole

    @cached_property
    def bounds_m(self) -> tuple[float, float, float, float]:
        """Least and greatest x, least and greatest v."""
        points = np.concatenate([piece.place(np.linspace(0, 1, 33)) for piece in self.outline])
        (left, low), (right, high) = points.min(axis=0), points.max(axis=0)
        # a pattern's figures are known to a nanometre
        return float(left), float(right), float(low), float(high)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """One layer as it is marked, part by part; the back or the whole comes first."""

    parts: tuple[Part, ...]

    @property
    def stitch(self) -> Mapping[str, Pieces]:
        """Stitch lines of all parts by the names of the pattern's edges."""
        found: dict[str, Pieces] = {}
        for part in self.parts:
            for name, pieces in part.stitch.items():
                found[name] = (*found.get(name, ()), *pieces)
        return MappingProxyType(found)

    @property
    def area_m2(self) -> float:
        """Cloth in one layer after cutting, in closed form."""
        return math.fsum(part.area_m2 for part in self.parts)


def build_cut_line(pattern: Pattern, allowances: Allowances, opening_m: float = 0.0) -> CutLine:
    """Draw what is marked on one layer; ``opening_m`` of the back hem stay open for turning.

    Raises
    ------
    RangeError
        The neck's allowance would close the neck opening.
    """
    cut = pattern.cut
    require_range(
        "sewing.neck_allowance",
        allowances.neck_m,
        LEAST_ALLOWANCE_M,
        0.4 * min(cut.neck_width_m, cut.neck_front_depth_m + cut.back_neck_m),
        "make the neck opening larger or its allowance smaller",
        quantity="length",
    )
    return CutLine(parts=tuple(_parts(pattern, allowances, opening_m)))


@lru_cache(maxsize=KEPT_CUT_LINES)
def cut_line_of(cut: Cut, allowances: Allowances, opening_m: float = 0.0) -> CutLine:
    """`build_cut_line` for the pattern of a cut, kept: one sheet asks for the same one hundreds of times.

    Raises
    ------
    RangeError
        The neck's allowance would close the neck opening.
    """
    return build_cut_line(build_pattern(cut), allowances, opening_m)


def _parts(pattern: Pattern, allowances: Allowances, opening_m: float) -> Iterator[Part]:
    cut, edges = pattern.cut, pattern.edges
    ring = [name for name in edges if not name.startswith(("neck", "front", "shoulder"))]
    if not cut.seamed:
        neck = inside(edges["neck"].pieces, allowances.neck_m)
        loop = [(name, edges[name].pieces) for name in ring]
        yield _part("layer", pattern, allowances, loop, neck, opening_m)
        return
    halves = _halved(pattern)
    back = [(name, halves[name]) for name in _around(halves, "back")]
    yield _part("back", pattern, allowances, back, (), opening_m)
    if cut.front is Front.CLOSED:
        front = [(name, halves[name]) for name in _around(halves, "front")]
        yield _part("front", pattern, allowances, front, ())
        return
    for side in ("left", "right"):
        loop = [(name, halves[name]) for name in _around(halves, f"front {side}")]
        yield _part(f"front {side}", pattern, allowances, loop, ())


def _halved(pattern: Pattern) -> dict[str, Pieces]:
    """All edges, those over the shoulders divided into their front and back parts."""
    found = {name: edge.pieces for name, edge in pattern.edges.items()}
    for side in ("left", "right"):
        for half, quarter in (("front", pattern.front), ("back", pattern.back)):
            found[f"sleeve_end_{side} {half}"] = quarter.seen(
                "sleeve_end", side, front=half == "front"
            )
            found[f"neck {half} {side}"] = quarter.seen("neck", side, front=half == "front")
    return found


_SIDES = {
    "front left": ("hem_front_left", "split_front_left", "underarm_front_left",
                   "sleeve_end_left front", "shoulder_front_left", "neck front left", "front_left"),
    "front right": ("front_right", "neck front right", "shoulder_front_right",
                    "sleeve_end_right front", "underarm_front_right", "split_front_right",
                    "hem_front_right"),
    "back": ("neck back right", "neck back left", "shoulder_back_left", "sleeve_end_left back", "underarm_back_left",
             "split_back_left", "hem_back", "split_back_right", "underarm_back_right",
             "sleeve_end_right back", "shoulder_back_right"),
}  # fmt: skip
"""The edges round each part, counter-clockwise; both halves of a neck one after the other."""


def _around(halves: Mapping[str, Pieces], part: str) -> list[str]:
    if part == "front":
        names = [*_SIDES["front left"], *_SIDES["front right"]]
    else:
        names = list(_SIDES[part])
    return [name for name in names if name in halves]


def _part(
    name: str,
    pattern: Pattern,
    allowances: Allowances,
    loop: Sequence[tuple[str, Pieces]],
    hole: Pieces,
    opening_m: float = 0.0,
) -> Part:
    """One part; ``hole`` is the neck's cut line in a whole layer."""
    cut = pattern.cut
    beside = [allowances.beside(edge, cut) for edge, _ in loop]
    cuts = meeting(
        [parallel(pieces, out_m) for (_, pieces), (out_m, _) in zip(loop, beside, strict=True)],
        [False] * len(loop),
    )
    neck = hole or tuple(
        piece
        for (edge, _), chain in zip(loop, cuts, strict=True)
        if edge.startswith("neck")
        for piece in chain
    )
    slit = None
    if hole and cut.front is not Front.CLOSED:
        slit = Line(start=(0.0, -cut.front_m), end=(0.0, middle_m(neck, front=True)))
    marks = dict(zip((edge for edge, _ in loop), cuts, strict=True))
    stitch = _stitch(pattern, allowances, loop, whole=bool(hole))
    return Part(
        name=name,
        cut=MappingProxyType(marks),
        neck=neck,
        front=slit,
        stitch=stitch,
        notches=(
            *notches(cut, name, marks, stitch, neck),
            *front_notches(marks, slit),
            *opening_notches(marks, opening_m),
        ),
        folds=tuple(folds(cut, allowances, name, neck)),
        **arrows(cut, name),
    )


def _stitch(
    pattern: Pattern, allowances: Allowances, loop: Sequence[tuple[str, Pieces]], *, whole: bool
) -> Mapping[str, Pieces]:
    """Stitch lines; those of seams between the halves run on to the edge of the cloth."""
    cut = pattern.cut
    inner = list(loop)
    if whole and cut.front is not Front.CLOSED:
        inner += [
            (edge, pattern.edges[edge].pieces) for edge in ("front_right", "neck", "front_left")
        ]
    chains, kept = [], []
    for edge, pieces in inner:
        distance_m = allowances.beside(edge, cut)[1]
        chains.append(
            _beside_the_fronts(pieces, allowances.front_m)
            if edge.startswith("neck") and cut.front is Front.EDGE_TO_EDGE
            else parallel(pieces, -distance_m)
        )
        kept.append(sewn(edge) or edge.startswith("neck"))
    found: dict[str, Pieces] = {}
    for (edge, _), chain in zip(inner, meeting(chains, kept), strict=True):
        name = "neck" if edge.startswith("neck") else edge.partition(" ")[0]
        found[name] = (*found.get(name, ()), *chain)
    if whole and cut.front is Front.CLOSED:
        found["neck"] = pattern.edges["neck"].pieces
    return MappingProxyType(found)


def _beside_the_fronts(pieces: Pieces, beside_m: float) -> Pieces:
    """A neckline cut off where it comes nearer to the centre front than this."""
    ends = []
    for piece in pieces:
        if piece.end[0] == 0 and piece.end[1] < 0:
            piece = until_across(piece, math.copysign(beside_m, piece.start[0]))
        elif piece.start[0] == 0 and piece.start[1] < 0:
            turned = piece.reversed()
            piece = until_across(turned, math.copysign(beside_m, turned.start[0])).reversed()
        ends.append(piece)
    return tuple(ends)

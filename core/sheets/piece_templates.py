# SPDX-License-Identifier: GPL-3.0-or-later
"""Small pieces at true size: those whose outline has a curve."""

import math

from ..cut_line import Allowances
from ..lay import Extra, Kind
from ..lay.pieces import POCKET_HEM_M, ROUNDINGS_M
from ..pattern import Arc, Line, Piece, Point, parallel
from . import wording
from .drawing import Drawing, Path, Text

__all__ = ["piece_drawings"]


def piece_drawings(extras: tuple[Extra, ...], allowances: Allowances) -> tuple[Drawing, ...]:
    """A template of every piece that is not a plain rectangle."""
    return tuple(_drawing(extra, allowances) for extra in extras if extra.kind in ROUNDINGS_M)


def _drawing(extra: Extra, allowances: Allowances) -> Drawing:
    """Cut line, stitch line and the arrow of the nap."""
    width_m, length_m = extra.size_m
    radius_m = min(ROUNDINGS_M[extra.kind], 0.45 * min(width_m, length_m))
    corners = (
        (True, True, False, False) if extra.kind is Kind.POCKET else (False, False, True, False)
    )
    cut = _outline(width_m, length_m, radius_m, corners)
    paths = [Path(layer="CUT", pieces=cut, name=extra.name)]
    # sewn or turned in all round but at the edge that is hemmed: a pocket's upper, a hood's face
    open_edge = (0.0, length_m) if extra.kind is Kind.POCKET else (0.0, 0.0)
    sewn = [piece for piece in cut if not _is_open(piece, extra.kind, open_edge)]
    paths.append(
        Path(layer="STITCH", pieces=parallel(sewn, -allowances.underarm_m), name=extra.name)
    )
    if extra.kind is Kind.POCKET:
        fold_m = length_m - POCKET_HEM_M
        fold = Line(start=(0.0, fold_m), end=(width_m, fold_m))
        paths.append(Path(layer="GRAIN", pieces=(fold,), name="fold"))
    # in the lower part, so that the square by which the print is checked has room above
    middle, head_m = width_m / 2, 0.10 * length_m
    arrow = Line(start=(middle, 0.30 * length_m), end=(middle, head_m))
    barbs = [Line(start=(middle + sign * 0.005, head_m + 0.012), end=arrow.end) for sign in (1, -1)]
    paths += [Path(layer="GRAIN", pieces=(line,), name="nap") for line in (arrow, *barbs)]
    texts = tuple(
        Text(words=words, at=(0.025, 0.22 * length_m - 0.006 * row), size_mm=3.2)
        for row, words in enumerate(
            wording.piece_words(
                extra.name, extra.count, extra.layer, mirrored=extra.kind is Kind.HOOD
            )
        )
    )
    name = wording.piece_name(extra.name)
    return Drawing(name, tuple(paths), texts)


def _is_open(piece: Piece, kind: Kind, place: Point) -> bool:
    """Whether a side is the edge that is hemmed: level at a place for a pocket, upright for a hood."""
    axis = 1 if kind is Kind.POCKET else 0
    return all(abs(end[axis] - place[axis]) < 1e-9 for end in (piece.start, piece.end))


def _outline(
    width_m: float, length_m: float, radius_m: float, rounded: tuple[bool, bool, bool, bool]
) -> tuple[Piece, ...]:
    """A rectangle counter-clockwise from its upper left corner, some of its corners rounded.

    The corners in order: lower left, lower right, upper right, upper left.
    """
    places = ((0.0, 0.0), (width_m, 0.0), (width_m, length_m), (0.0, length_m))
    ways = ((0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0))
    pieces: list[Piece] = []
    here: Point = places[3]
    for number, ((x, v), is_round) in enumerate(zip(places, rounded, strict=True)):
        (ax, av), (bx, bv) = ways[number], ways[(number + 1) % 4]
        reach_m = radius_m if is_round else 0.0
        begins = (x - reach_m * ax, v - reach_m * av)
        pieces.append(Line(start=here, end=begins))
        here = begins
        if is_round:
            centre = (begins[0] + reach_m * bx, begins[1] + reach_m * bv)
            here = (x + reach_m * bx, v + reach_m * bv)
            start = math.atan2(begins[1] - centre[1], begins[0] - centre[0])
            pieces.append(
                Arc(
                    centre=centre,
                    radius_x_m=reach_m,
                    radius_v_m=reach_m,
                    start_angle=start,
                    end_angle=start + math.pi / 2,
                    start=begins,
                    end=here,
                )
            )
    return tuple(pieces)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Small pieces at true size: those whose outline has a curve."""

import math
from collections.abc import Iterator, Sequence

from ..cut_line import Allowances
from ..lay import Extra, Kind
from ..lay.pieces import HOOD_FACE_M, POCKET_HEM_M, ROUNDINGS_M
from ..pattern import Arc, Cubic, Line, Piece, Point, parallel
from . import wording
from .drawing import Drawing, Path, Text, notch_line

__all__ = ["HOOD_FOLD", "HOOD_NECK", "HOOD_NOTCH", "HOOD_SEAM", "piece_drawings", "piece_outline"]

HOOD_NECK, HOOD_SEAM, HOOD_FOLD, HOOD_NOTCH = "hood neck", "hood seam", "face fold", "shoulder"
HOOD_SHAPED = (0.14, 0.50)
"""Between these shares of its length a hood narrows to its neck edge."""
SAME_M = 1e-6


def piece_drawings(extras: tuple[Extra, ...], allowances: Allowances) -> tuple[Drawing, ...]:
    """A template of every piece that is not a plain rectangle."""
    draw = {Kind.POCKET: _pocket, Kind.HOOD: _hood}
    return tuple(draw[extra.kind](extra, allowances) for extra in extras if extra.kind in draw)


def piece_outline(extra: Extra) -> tuple[Piece, ...]:
    """The cut line of a piece, counter-clockwise from its upper left corner, the nap running down."""
    width_m, length_m = extra.size_m
    if extra.kind is Kind.HOOD:
        foot_m = width_m if extra.neck_edge_m is None else extra.neck_edge_m
        return _hood_outline(width_m, length_m, foot_m, _radius_m(extra))
    rounded = extra.kind is Kind.POCKET
    radius_m = _radius_m(extra) if rounded else 0.0
    return _outline(width_m, length_m, radius_m, (rounded, rounded, False, False))


def _pocket(pocket: Extra, allowances: Allowances) -> Drawing:
    """Turned in all round but at its upper edge, which is hemmed."""
    width_m, length_m = pocket.size_m
    cut = piece_outline(pocket)
    around = [piece for piece in cut if piece.start[1] < length_m or piece.end[1] < length_m]
    fold_m = length_m - POCKET_HEM_M
    paths = (
        Path(layer="CUT", pieces=cut, name=pocket.name),
        Path(layer="STITCH", pieces=parallel(around, -allowances.underarm_m), name=pocket.name),
        Path(
            layer="GRAIN",
            pieces=(Line(start=(0.0, fold_m), end=(width_m, fold_m)),),
            name="fold",
        ),
        *_nap(width_m, length_m),
    )
    words = wording.piece_words(pocket.name, pocket.count, pocket.layer)
    hem = Text(words=wording.POCKET_HEM, at=(0.025, fold_m + 0.003), size_mm=3.2)
    return Drawing(
        wording.piece_name(pocket.name), paths, (hem, *_rows(words, 0.025, 0.22 * length_m))
    )


def _hood(hood: Extra, allowances: Allowances) -> Drawing:
    """One half: its face edge turned in, its neck edge below, the seam behind and over the top."""
    width_m, length_m = hood.size_m
    foot_m = width_m if hood.neck_edge_m is None else hood.neck_edge_m
    face, neck, *back = piece_outline(hood)
    seam = parallel(back, -allowances.underarm_m)
    sewn_m = allowances.neck_m
    neck_seam = Line(start=(0.0, sewn_m), end=(foot_m - allowances.underarm_m, sewn_m))
    turned = Line(start=(HOOD_FACE_M, length_m), end=(HOOD_FACE_M, 0.0))
    notch_m = foot_m - allowances.underarm_m - hood.neck_back_m
    paths = (
        Path(layer="CUT", pieces=(face, neck, *back), name=hood.name),
        Path(layer="STITCH", pieces=(neck_seam,), name=HOOD_NECK),
        Path(layer="STITCH", pieces=seam, name=HOOD_SEAM),
        Path(layer="GRAIN", pieces=(turned,), name=HOOD_FOLD),
        Path(layer="NOTCH", pieces=(notch_line((notch_m, 0.0), (0.0, 1.0)),), name=HOOD_NOTCH),
        *_nap(width_m, length_m),
    )
    words = wording.piece_words(hood.name, hood.count, hood.layer) + wording.HOOD
    left_m = HOOD_FACE_M + 0.015
    return Drawing(
        wording.piece_name(hood.name),
        paths,
        (
            *_rows(words, left_m, 0.30 * length_m),
            Text(words=wording.HOOD_NECK, at=(left_m, sewn_m + 0.003), size_mm=3.2),
            Text(words=wording.HOOD_NOTCH, at=(notch_m + 0.002, 0.003), size_mm=2.8),
            Text(
                words=wording.HOOD_FACE,
                at=(HOOD_FACE_M - 0.003, 0.06),
                size_mm=3.2,
                turn_degrees=90,
            ),
        ),
    )


def _radius_m(extra: Extra) -> float:
    return min(ROUNDINGS_M[extra.kind], 0.45 * min(extra.size_m))


def _nap(width_m: float, length_m: float) -> Iterator[Path]:
    """The arrow, in the lower part: the square by which the print is checked has room above."""
    middle, head_m = width_m / 2, 0.10 * length_m
    arrow = Line(start=(middle, 0.30 * length_m), end=(middle, head_m))
    barbs = [Line(start=(middle + sign * 0.005, head_m + 0.012), end=arrow.end) for sign in (1, -1)]
    for line in (arrow, *barbs):
        yield Path(layer="GRAIN", pieces=(line,), name="nap")


def _rows(words: Sequence[str], left_m: float, top_m: float) -> Iterator[Text]:
    for row, told in enumerate(words):
        yield Text(words=told, at=(left_m, top_m - 0.006 * row), size_mm=3.2)


def _hood_outline(
    width_m: float, length_m: float, foot_m: float, radius_m: float
) -> tuple[Piece, ...]:
    """Face edge, neck edge, back and top; where the neck is the narrower the back curves in to it.

    The back begins square to the neck edge, so that the sewn hood's lower edge has no point in it.
    """
    face, neck, back, *top = _outline(width_m, length_m, radius_m, (False, False, True, False))
    if width_m - foot_m < SAME_M:
        return (face, neck, back, *top)
    first_m, last_m = HOOD_SHAPED[0] * length_m, HOOD_SHAPED[1] * length_m
    middle_m = (first_m + last_m) / 2
    shaped = (
        Line(start=(foot_m, 0.0), end=(foot_m, first_m)),
        Cubic(
            start=(foot_m, first_m),
            first=(foot_m, middle_m),
            last=(width_m, middle_m),
            end=(width_m, last_m),
        ),
        Line(start=(width_m, last_m), end=back.end),
    )
    return (face, Line(start=neck.start, end=(foot_m, 0.0)), *shaped, *top)


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

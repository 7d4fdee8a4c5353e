# SPDX-License-Identifier: GPL-3.0-or-later
"""Small pieces sized to wearer and cut, where their size is left out.

The sizes are the trade's usual ones (estimates); all have their allowance in them.
"""

import math
from collections import Counter
from dataclasses import dataclass, replace

from ..cut_line import Allowances, cut_line_of, finished_cut
from ..errors import InputError
from ..pattern import HEAD_EASE_M, Cut, Piece
from ..tape import CHILD_HEIGHT_M, Measures
from .choice import Extra, Kind

__all__ = [
    "HOOD_FACE_M",
    "POCKET_HEM_M",
    "ROUNDINGS_M",
    "HoodFit",
    "hood_fit",
    "hood_needed_m",
    "neck_end_m",
    "sewn_neck_m",
    "sized",
]

POCKET_M = (0.16, 0.18)
POCKET_HEM_M = 0.03
HOOD_DEPTH_SHARE, HOOD_HEIGHT_SHARE = 0.47, 0.62
"""Of the head's girth: from the face to the back seam, and from the neck over the crown."""
HOOD_GROWS = 1.25
"""So much higher than usual a hood may be to reach up from a deep neck; beyond that it hangs as a bag (an estimate)."""
HOOD_FACE_M = 0.0254
"""So much of the face edge of a hood is turned in: an inch, as its template says."""
COLLAR_STAND_M, CUFF_DEPTH_M, BELT_WIDTH_M = 0.05, 0.08, 0.05
BELT_ENDS_M = 0.90
SQUARE_M = 0.20
SAME_M = 1e-6
ROUNDINGS_M = {Kind.POCKET: 0.03, Kind.HOOD: 0.10}
"""Radius of a pocket's lower corners, and of a hood's upper back one."""


def sized(extra: Extra, cut: Cut, allowances: Allowances, measures: Measures) -> Extra:
    """The piece with its sides filled in.

    Raises
    ------
    InputError
        A belt is wanted on a garment of a child's size, or a band on a sleeve end that is turned back.
    """
    if extra.kind is Kind.CUFF and cut.cuff_depth_m:
        raise InputError(
            "lay.piece.kind",
            f'"{Kind.CUFF}"',
            "no cuff band where cut.cuff_depth turns the sleeve end back",
            "leave out the piece or cut.cuff_depth",
        )
    if extra.kind is Kind.BELT and measures.value("height") < CHILD_HEIGHT_M:
        raise InputError(
            "lay.piece.kind",
            f'"{Kind.BELT}"',
            "no long ties on a garment of a child's size: they catch and they strangle",
            "leave the belt out",
        )
    if extra.kind is Kind.PLAIN:
        return extra
    usual_m = _size_m(extra, cut, allowances, measures)
    width_m = usual_m[0] if extra.width_m is None else extra.width_m
    length_m = usual_m[1] if extra.length_m is None else extra.length_m
    sides = replace(extra, width_m=width_m, length_m=length_m)
    if extra.kind is not Kind.HOOD:
        return sides
    edge_m = min(_hood_edge_m(cut, allowances), width_m)
    return replace(sides, neck_edge_m=edge_m, neck_back_m=_back_neck_m(cut, allowances))


def _size_m(
    extra: Extra, cut: Cut, allowances: Allowances, measures: Measures
) -> tuple[float, float]:
    """Width and length, allowances included."""
    both_m = 2 * allowances.underarm_m
    head_m = measures.value("head_girth")
    pocket_m = (POCKET_M[0] + both_m, POCKET_M[1] + POCKET_HEM_M + allowances.underarm_m)
    sizes = {
        Kind.POCKET: pocket_m,
        Kind.HOOD: (
            # at its neck edge as wide as the neck asks for, above it at least as the head does
            max(
                _hood_edge_m(cut, allowances),
                HOOD_DEPTH_SHARE * head_m + HOOD_FACE_M + allowances.underarm_m,
            ),
            max(
                HOOD_HEIGHT_SHARE * head_m,
                min(hood_needed_m(cut, allowances, measures), _highest_hood_m(measures)),
            )
            + allowances.neck_m
            + allowances.underarm_m,
        ),
        # folded lengthwise, both long edges are sewn to the neck
        Kind.COLLAR: (
            sewn_neck_m(cut, allowances) + both_m,
            2 * COLLAR_STAND_M + 2 * allowances.neck_m,
        ),
        # the strips of a belt are joined: a whole one is longer than most pieces of cloth
        Kind.BELT: (
            2 * BELT_WIDTH_M + both_m,
            (measures.value("waist_girth") + BELT_ENDS_M) / extra.count + both_m,
        ),
        Kind.CUFF: (
            finished_cut(cut, allowances).sleeve_opening_m + both_m,
            2 * CUFF_DEPTH_M + both_m,
        ),
        Kind.SQUARE: (SQUARE_M, SQUARE_M),
    }
    return sizes[extra.kind]


def sewn_neck_m(cut: Cut, allowances: Allowances) -> float:
    """The neck's stitch line, from one sewn front edge to the other where the front is open, metres."""
    return math.fsum(piece.length_m for piece in _neck_seam(cut, allowances))


def neck_end_m(cut: Cut, allowances: Allowances) -> float:
    """How far below the shoulder line the sewn neck ends in front, metres.

    An open front ends it at its sewn edges: where fronts overlap, beyond the centre, where a round neck
    has risen again and a V gone on down. A closed one has no end: its deepest point.
    """
    met = Counter(
        (round(x / SAME_M), round(v / SAME_M))
        for piece in _neck_seam(cut, allowances)
        for x, v in (piece.start, piece.end)
    )
    free = [place for place, pieces in met.items() if pieces == 1]
    return -SAME_M * min(v for _, v in free or met)


def hood_needed_m(cut: Cut, allowances: Allowances, measures: Measures) -> float:
    """Up the face from the end of the sewn neck over the crown, metres.

    An estimate: the shoulder line lies at the side of the neck, and the edge runs straight up.
    """
    head_m = measures.value("height") - measures.value("side_neck_point_height")
    return neck_end_m(cut, allowances) + head_m


@dataclass(frozen=True, slots=True, kw_only=True)
class HoodFit:
    """One half of a hood as it is sewn, against the head that it goes over, metres.

    Attributes
    ----------
    edge_m
        The face edge, from the neck's seam to the one over the top.
    needed_m, highest_m
        What takes it from the end of the sewn neck over the crown, and the most that still hangs well:
        estimates.
    deep_m
        From the turned face edge to the back seam.
    least_deep_m, easy_deep_m
        Half of the way round the head from one side of the face to the other, without and with ease:
        estimates.
    """

    edge_m: float
    needed_m: float
    highest_m: float
    deep_m: float
    least_deep_m: float
    easy_deep_m: float


def hood_fit(hood: Extra, cut: Cut, allowances: Allowances, measures: Measures) -> HoodFit:
    """A hood whose size is known on a cut and its wearer."""
    width_m, length_m = hood.size_m
    # the face is as wide as the head is broad: from there on a hood slips back
    least_m = (measures.value("head_girth") - measures.value("head_breadth")) / 2
    return HoodFit(
        edge_m=length_m - allowances.neck_m - allowances.underarm_m,
        needed_m=hood_needed_m(cut, allowances, measures),
        highest_m=_highest_hood_m(measures),
        deep_m=width_m - HOOD_FACE_M - allowances.underarm_m,
        least_deep_m=least_m,
        easy_deep_m=least_m + HEAD_EASE_M / 2,
    )


def _highest_hood_m(measures: Measures) -> float:
    return HOOD_GROWS * HOOD_HEIGHT_SHARE * measures.value("head_girth")


def _back_neck_m(cut: Cut, allowances: Allowances) -> float:
    """The neck's stitch line from centre back to a shoulder, metres."""
    behind = (
        piece
        for piece in _neck_seam(cut, allowances)
        if min(piece.start[1], piece.end[1]) > -SAME_M
    )
    return math.fsum(piece.length_m for piece in behind) / 2


def _neck_seam(cut: Cut, allowances: Allowances) -> tuple[Piece, ...]:
    return cut_line_of(cut, allowances).stitch["neck"]


def _hood_edge_m(cut: Cut, allowances: Allowances) -> float:
    """The neck edge of one half: half the sewn neck, what the face turns in, the seam behind."""
    return sewn_neck_m(cut, allowances) / 2 + HOOD_FACE_M + allowances.underarm_m

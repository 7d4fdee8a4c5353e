# SPDX-License-Identifier: GPL-3.0-or-later
"""The measures of the cut neck in words, so that its template can be checked or drawn by hand."""

from ..cut_line import middle_m
from ..pattern import Arc
from ..pattern.neck import neck_pieces
from .garment import Garment
from .plan_words import NECK_MEASURES

__all__ = ["neck_measures"]

LEVEL_M = 5e-4
"""A neck that rises or falls less than this behind ends on the shoulder line."""


def neck_measures(garment: Garment, shoulder_line: str) -> str:
    """Width, depth in front, depth or rise behind of the cut line, and radii where it is round.

    ``shoulder_line`` is the name of the line from which depths are measured.
    """
    neck, tell = garment.neck.neck, garment.tell.chosen
    width_m = 2 * max(abs(x) for piece in neck for x, _ in (piece.start, piece.end))
    behind_m = middle_m(neck, front=False)
    way = "behind" if behind_m > LEVEL_M else "before" if behind_m < -LEVEL_M else "level"
    told = [
        NECK_MEASURES["cut"].format(
            width=tell(width_m),
            front=tell(-middle_m(neck, front=True)),
            behind=NECK_MEASURES[way].format(depth=tell(abs(behind_m)), line=shoulder_line),
            line=shoulder_line,
        )
    ]
    if garment.cut.overlap_half_m:
        edge_m = min(piece.end[1] for piece in garment.mark.parts[1].neck)
        told.append(NECK_MEASURES["beyond"].format(depth=tell(-edge_m), line=shoulder_line))
    for half in ("front", "back"):
        radius_m = _radius_m(garment, front=half == "front")
        if radius_m:
            told.append(
                NECK_MEASURES["round"].format(
                    half=NECK_MEASURES[half], radius=tell(radius_m), line=shoulder_line
                )
            )
    allowance = tell(garment.allowances.neck_m)
    told.append(NECK_MEASURES["sewn"].format(allowance=allowance, line=shoulder_line))
    return " ".join(told)


def _radius_m(garment: Garment, *, front: bool) -> float:
    """Radius of a half of the cut neck that is an arc of a circle round the neck's middle; else 0."""
    half = neck_pieces(garment.cut, front=front)[0]
    if not isinstance(half, Arc) or abs(half.radius_x_m - half.radius_v_m) > LEVEL_M:
        return 0.0
    return half.radius_x_m - garment.allowances.neck_m

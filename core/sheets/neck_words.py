# SPDX-License-Identifier: GPL-3.0-or-later
"""The measures of the cut neck in words, so that its template can be checked or drawn by hand."""

from collections.abc import Sequence

import numpy as np

from ..cut_line import Part, middle_m
from ..pattern import Arc, Piece
from ..pattern.neck import neck_pieces
from .garment import Garment
from .plan_words import NECK_MEASURES

__all__ = ["neck_measures"]

SAMPLES = 129
FINE, ON_THE_ARC_M = 1025, 1e-4
"""So finely the cut line is looked along for where it leaves an arc."""
LEVEL_M = 5e-4
"""A neck that rises or falls less than this behind ends on the shoulder line."""


def neck_measures(garment: Garment, shoulder_line: str) -> str:
    """What a ruler finds on the cut line of the templates, and radii where it is round.

    ``shoulder_line`` is the name of the line from which depths are measured.
    """
    told = [
        _of_parts(garment, shoulder_line)
        if garment.cut.seamed
        else _of_a_whole(garment, shoulder_line)
    ]
    tell = garment.tell.chosen
    for half in ("front", "back"):
        radius_m = _radius_m(garment, front=half == "front")
        if radius_m:
            told.append(
                NECK_MEASURES["round"].format(
                    half=NECK_MEASURES[half],
                    radius=tell(radius_m),
                    line=shoulder_line,
                    ends=_arc_ends(garment, half, radius_m, shoulder_line),
                )
            )
    allowance = tell(garment.allowances.neck_m)
    told.append(NECK_MEASURES["sewn"].format(allowance=allowance, line=shoulder_line))
    return " ".join(told)


def _of_a_whole(garment: Garment, line: str) -> str:
    """The neck of a layer on the fold: how wide on the fold, how deep in front and behind."""
    neck, tell = garment.mark.parts[0].neck, garment.tell.chosen
    across_m = crossed_m(neck)
    # a high back is cut in front of the fold all along
    half_m = max(abs(x) for piece in neck for x, _ in (piece.start, piece.end))
    wide = NECK_MEASURES["corners" if across_m is None else "on the line"]
    half_m = half_m if across_m is None else across_m
    behind_m = middle_m(neck, front=False)
    way = "behind" if behind_m > LEVEL_M else "before" if behind_m < -LEVEL_M else "level"
    return NECK_MEASURES["whole"].format(
        wide=wide.format(line=line, half=tell(half_m)),
        front=tell(-middle_m(neck, front=True)),
        behind=NECK_MEASURES[way].format(depth=tell(abs(behind_m)), line=line),
        line=line,
    )


def _of_parts(garment: Garment, line: str) -> str:
    """The necks of a back and of a front, each as its own template shows it."""
    found = {
        "front" if part.name.startswith("front") else "back": _of_a_part(garment, part, line)
        for part in garment.mark.parts[:2]
    }
    return NECK_MEASURES["parts"].format_map(found)


def _of_a_part(garment: Garment, part: Part, line: str) -> str:
    tell, front = garment.tell.chosen, part.name != "back"
    across_m, middle = crossed_m(part.neck), middle_m(part.neck, front=front)
    depth_m = -middle if front else middle
    way = "behind" if depth_m > LEVEL_M else "before" if depth_m < -LEVEL_M else "level"
    depth = (
        NECK_MEASURES["from line"].format(depth=tell(depth_m), line=line)
        if front
        else NECK_MEASURES[way].format(depth=tell(abs(depth_m)), line=line)
    )
    told = NECK_MEASURES["along"].format(depth=depth)
    if across_m is not None:
        told = NECK_MEASURES["across"].format(line=line, across=tell(across_m)) + told
    if front and garment.cut.overlap_half_m:
        # a curve rises again beyond the centre line, a V goes on falling
        _, end_v = min(end for piece in part.neck for end in (piece.start, piece.end))
        inner = NECK_MEASURES["from line"].format(depth=tell(-end_v), line=line)
        told += ", " + NECK_MEASURES["inner edge"].format(depth=inner)
    return told


def crossed_m(neck: Sequence[Piece]) -> float | None:
    """How far from the centre line a neck's cut line crosses the shoulder line; None if it never does."""
    points = np.concatenate([piece.place(np.linspace(0, 1, SAMPLES)) for piece in neck])
    (x1, v1), (x2, v2) = points[:-1].T, points[1:].T
    met = (np.minimum(v1, v2) <= 0) & (np.maximum(v1, v2) >= 0) & (v1 != v2)
    if not met.any():
        return None
    share = v1[met] / (v1[met] - v2[met])
    return float(np.abs(x1[met] + share * (x2[met] - x1[met])).max())


def _arc_ends(garment: Garment, half: str, radius_m: float, line: str) -> str:
    """Where the cut line leaves the arc short of the shoulder line; nothing where it does not."""
    parts = garment.mark.parts
    part = next(one for one in parts if one.name == "layer" or one.name.startswith(half))
    sign, across_m = -1 if half == "front" else 1, crossed_m(part.neck)
    x, v = np.concatenate([piece.place(np.linspace(0, 1, FINE)) for piece in part.neck]).T
    on_arc = (sign * v >= 0) & (np.abs(np.hypot(x, v) - radius_m) < ON_THE_ARC_M)
    if across_m is None or not on_arc.any():
        return ""
    last = np.flatnonzero(on_arc)[np.argmin(np.abs(v[on_arc]))]
    off_m = abs(float(v[last]))
    if off_m < LEVEL_M:
        return ""
    tell = garment.tell.chosen
    return NECK_MEASURES["arc ends"].format(
        off=tell(off_m),
        way=NECK_MEASURES[f"arc ends {half}"],
        out=tell(abs(float(x[last]))),
        across=tell(across_m),
        line=line,
    )


def _radius_m(garment: Garment, *, front: bool) -> float:
    """Radius of a half of the cut neck that is an arc of a circle round the neck's middle; else 0."""
    half = neck_pieces(garment.cut, front=front)[0]
    if not isinstance(half, Arc) or abs(half.radius_x_m - half.radius_v_m) > LEVEL_M:
        return 0.0
    return half.radius_x_m - garment.allowances.neck_m

# SPDX-License-Identifier: GPL-3.0-or-later
"""The two curves of a wrap at true size: its neck and its corner under the arm.

All other lines are straight and given by measure, so most makers need no more than these.
"""

import math
from collections.abc import Iterator

from ..cut_line import Allowances, CutLine, corner_radius_m
from ..paper import PAPERS, Mark, Page, Words
from ..paper import Line as Strokes
from ..pattern import Arc, Cut, Line
from . import wording
from .drawing import Drawing, Path, Text, bounds_mm, marks, notch_line
from .picture_words import PICTURE
from .tiling import FOUR_INCHES_MM, MARGIN_MM, SQUARE_MM, test_square, tiled

__all__ = ["corner_drawing", "neck_drawing", "template_pages"]

BEYOND_M = 0.010
GAP_MM = 8.0
HEADING_MM = 10.0


def neck_drawing(cut: Cut, line: CutLine) -> Drawing:
    """The neck on the fold: cut and stitch line, fold and centre front."""
    half_m = cut.neck_width_m / 2
    front_m = cut.neck_front_depth_m
    fold = Line(start=(-half_m, 0.0), end=(half_m, 0.0))
    centre = Line(start=(0.0, line.front.end[1]), end=(0.0, -front_m))
    inner_m = max(piece.start[0] for piece in line.neck)
    return Drawing(
        wording.NECK_NAME,
        (
            Path(layer="CUT", pieces=line.neck, name="neck"),
            Path(layer="STITCH", pieces=line.stitch["neck"], name="neck"),
            Path(layer="GRAIN", pieces=(fold,), name="fold"),
            Path(layer="CUT", pieces=(centre,), name="centre front"),
            *(
                Path(
                    layer="NOTCH",
                    pieces=(notch_line((sign * inner_m, 0.0), (sign, 0.0)),),
                    name="fold",
                )
                for sign in (1.0, -1.0)
            ),
        ),
        (
            Text(words=wording.FOLD, at=(-0.6 * half_m, 0.002), size_mm=3.2),
            Text(words=wording.NECK[0], at=(-0.6 * half_m, -0.016), size_mm=2.8),
            Text(words=wording.NECK[1], at=(-0.6 * half_m, -0.022), size_mm=2.8),
            Text(
                words=wording.CENTRE_FRONT,
                at=(-0.002, -front_m + 0.028),
                size_mm=2.8,
                turn_degrees=90,
            ),
        ),
    )


def corner_drawing(cut: Cut, allowances: Allowances) -> Drawing:
    """The corner under the wearer's left arm, front; turned over it serves the other three."""
    side, drop = cut.body_width_m / 2, cut.sleeve_drop_m
    seam_m, cut_m = cut.corner_radius_m, corner_radius_m(cut, allowances)
    reach_m = seam_m + BEYOND_M
    beside_m = allowances.underarm_m

    def round_(x: float, v: float, radius: float) -> tuple[Line | Arc, ...]:
        low, high = (x, v - radius), (x + radius, v)
        pieces: list[Line | Arc] = [Line(start=(x, -drop - reach_m), end=low)]
        if radius > 0:
            pieces.append(
                Arc(
                    centre=(high[0], low[1]),
                    radius_x_m=radius,
                    radius_v_m=radius,
                    start_angle=math.pi,
                    end_angle=math.pi / 2,
                    start=low,
                    end=high,
                )
            )
        pieces.append(Line(start=high, end=(side + reach_m, v)))
        return tuple(pieces)

    notches = [
        notch_line((side + beside_m, -drop - beside_m - cut_m), (-1.0, 0.0)),
        notch_line((side + beside_m + cut_m, -drop - beside_m), (0.0, 1.0)),
    ]
    return Drawing(
        wording.CORNER_NAME,
        (
            Path(
                layer="CUT",
                pieces=round_(side + beside_m, -drop - beside_m, cut_m),
                name="corner",
            ),
            Path(layer="STITCH", pieces=round_(side, -drop, seam_m), name="corner"),
            *(Path(layer="NOTCH", pieces=(notch,), name="curve begins") for notch in notches),
        ),
        (
            Text(words=PICTURE["underarm"], at=(side + 0.55 * reach_m, -drop + 0.003), size_mm=3.2),
            Text(
                words=PICTURE["side"],
                at=(side - 0.003, -drop - 0.9 * reach_m),
                size_mm=3.2,
                turn_degrees=90,
            ),
            *(
                Text(
                    words=words,
                    at=(side + 0.45 * reach_m, -drop - 0.4 * reach_m - 0.004 * row),
                    size_mm=2.6,
                )
                for row, words in enumerate(wording.CORNER)
            ),
        ),
    )


def template_pages(
    name: str, cut: Cut, allowances: Allowances, line: CutLine, paper: str
) -> tuple[Page, ...]:
    """Neck and corner on one page where it has room for both, else each over its own sheets."""
    neck, corner = neck_drawing(cut, line), corner_drawing(cut, allowances)
    width_mm, height_mm = PAPERS[paper]
    neck_left, neck_right, neck_low, neck_high = bounds_mm(neck)
    left, right, low, high = bounds_mm(corner)
    lower_mm = max(high - low + 4, FOUR_INCHES_MM)
    tall_mm = HEADING_MM + neck_high - neck_low + GAP_MM + lower_mm
    wide_mm = max(neck_right - neck_left, 0.4 * (right - left) + FOUR_INCHES_MM)
    if tall_mm > height_mm - 2 * MARGIN_MM or wide_mm > width_mm - 2 * MARGIN_MM:
        return (*_alone(neck, name, paper), *_alone(corner, name, paper))
    top = MARGIN_MM + HEADING_MM
    corner_top = top + neck_high - neck_low + GAP_MM
    foot = corner_top + lower_mm

    def drawn() -> Iterator[Mark]:
        square_left = width_mm - MARGIN_MM - FOUR_INCHES_MM
        yield from test_square(square_left, foot - FOUR_INCHES_MM)
        yield Words(
            text=wording.template_heading(name), at=(MARGIN_MM, MARGIN_MM + 4), size_mm=4, bold=True
        )
        middle = (neck_left + neck_right) / 2
        yield from marks(neck, middle - width_mm / 2, neck_high + top)
        yield from marks(corner, left - MARGIN_MM - 4, high + corner_top + 5)
        yield Strokes(
            points=(
                (MARGIN_MM, corner_top - GAP_MM / 2),
                (width_mm - MARGIN_MM, corner_top - GAP_MM / 2),
            ),
            width_mm=0.1,
            ink=0.6,
        )

    return (Page(f"templates {paper}", width_mm, height_mm, tuple(drawn())),)


def _alone(drawing: Drawing, name: str, paper: str) -> tuple[Page, ...]:
    """One template on a page of its own if it has room, else over several sheets."""
    width_mm, height_mm = PAPERS[paper]
    left, right, low, high = bounds_mm(drawing)
    room_mm = width_mm - 2 * MARGIN_MM, height_mm - 2 * MARGIN_MM - HEADING_MM - 6
    if right - left > room_mm[0] or high - low > room_mm[1]:
        return tiled(drawing, paper)
    middle = (left + right) / 2
    return (
        Page(
            f"{drawing.name} {paper}",
            width_mm,
            height_mm,
            (
                *test_square(
                    (width_mm - SQUARE_MM) / 2, height_mm - MARGIN_MM - FOUR_INCHES_MM - 4
                ),
                *marks(drawing, middle - width_mm / 2, high + MARGIN_MM + HEADING_MM + 6),
                Words(
                    text=wording.template_heading(name),
                    at=(MARGIN_MM, MARGIN_MM + 4),
                    size_mm=4,
                    bold=True,
                ),
            ),
        ),
    )

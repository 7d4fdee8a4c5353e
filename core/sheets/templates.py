# SPDX-License-Identifier: GPL-3.0-or-later
"""The curves of a wrap at true size: its neck, its corner under the arm, a hem that is not straight.

All other lines are straight and given by measure, so most makers need no more than these.
"""

import math
from collections.abc import Iterator, Mapping

from ..cut_line import Allowances, CutLine, Part, under_arm
from ..paper import PAPERS, Mark, Page, Words, wrapped
from ..paper import Line as Strokes
from ..pattern import Cut, Line, Piece, Point
from . import wording
from .drawing import Drawing, Path, Text, bounds_mm, marks, notch_line, within
from .picture_words import PICTURE
from .print_check import CHECK_HIGH_MM, CHECK_WIDE_MM, clear_place, print_check
from .tiling import MARGIN_MM, tiled

__all__ = [
    "corner_drawing",
    "hem_drawings",
    "neck_drawings",
    "template_drawings",
    "template_pages",
]

Pieces = tuple[Piece, ...]
LEAST_CORNER_M = 0.05
"""So much of both lines is drawn at the least."""

BEYOND_M = 0.010
GAP_MM = 8.0
HEADING_MM = 10.0


def neck_drawings(cut: Cut, line: CutLine) -> tuple[Drawing, ...]:
    """The neck, laid on the shoulder fold; of a seamed layer that of the back and that of a front."""
    if not cut.seamed:
        return (_whole_neck(cut, line.parts[0]),)
    return tuple(_part_neck(cut, part) for part in line.parts[:2])


def _whole_neck(cut: Cut, part: Part) -> Drawing:
    """Cut and stitch line, fold and centre front."""
    half_m = cut.neck_width_m / 2
    front_m = cut.neck_front_depth_m
    fold = Line(start=(-half_m, 0.0), end=(half_m, 0.0))
    paths = [
        Path(layer="CUT", pieces=part.neck, name="neck"),
        Path(layer="STITCH", pieces=part.stitch["neck"], name="neck"),
        Path(layer="GRAIN", pieces=(fold,), name="fold"),
    ]
    texts = [
        Text(words=wording.FOLD, at=(-0.6 * half_m, 0.002), size_mm=3.2),
        Text(words=wording.NECK[0], at=(-0.6 * half_m, -0.016), size_mm=2.8),
        Text(words=wording.NECK[1], at=(-0.6 * half_m, -0.022), size_mm=2.8),
    ]
    if part.front is not None:
        centre = Line(start=(0.0, part.front.end[1]), end=(0.0, -front_m))
        paths.append(Path(layer="CUT", pieces=(centre,), name="centre front"))
        texts.append(
            Text(
                words=wording.CENTRE_FRONT,
                at=(-0.002, -front_m + 0.028),
                size_mm=2.8,
                turn_degrees=90,
            )
        )
    paths += _notches_near(part, (0.0, 0.0), cut.neck_width_m)
    return Drawing(wording.NECK_NAME, tuple(paths), tuple(texts))


def _part_neck(cut: Cut, part: Part) -> Drawing:
    """The neck of a back or a front with the beginning of its shoulder seams and its centre line."""
    back = part.name == "back"
    reach_m = cut.neck_width_m / 2 + 0.05
    low_m = cut.back_neck_m if back else cut.neck_front_depth_m
    sign = 1 if back else -1
    centre = Line(start=(0.0, sign * (low_m - 0.012)), end=(0.0, sign * (low_m + 0.03)))
    shoulders = [name for name in part.cut if name.startswith("shoulder")]
    paths = [
        Path(layer="CUT", pieces=part.neck, name="neck"),
        Path(layer="STITCH", pieces=part.stitch["neck"], name="neck"),
        Path(layer="GRAIN", pieces=(centre,), name="centre"),
    ]
    for name in shoulders:
        near, sewn = (within(lines[name], (0.0, 0.0), reach_m) for lines in (part.cut, part.stitch))
        paths.append(Path(layer="CUT", pieces=near, name="shoulder"))
        paths.append(Path(layer="STITCH", pieces=sewn, name="shoulder"))
    paths += _notches_near(part, (0.0, 0.0), cut.neck_width_m + low_m)
    left_m = max(part.bounds_m[0], -0.055)
    lines = wording.part_neck(part.name)
    # read downwards, beyond the end of the centre line
    top = low_m + 0.036 + 0.005 * (len(lines) - 1) if back else -(low_m + 0.042)
    if cut.overlap_half_m and not back:
        # under the shoulder: a slanted neck goes on across the centre line
        left_m, top = cut.neck_width_m / 2 + 0.005, -0.03
    texts = [
        Text(words=words, at=(left_m + 0.003, top - 0.005 * row), size_mm=2.8)
        for row, words in enumerate(lines)
    ]
    return Drawing(wording.NECK_NAMES[part.name], tuple(paths), tuple(texts))


def corner_drawing(cut: Cut, allowances: Allowances, line: CutLine) -> Drawing:
    """The corner under the wearer's left arm, front; turned over it serves the other three."""
    part = next(part for part in line.parts if "underarm_front_left" in part.cut)
    arm = under_arm(cut, allowances)
    knee = (arm.knee[0], -arm.knee[1])
    size_m = max(math.dist(arm.knee, arm.side), math.dist(arm.knee, arm.under), LEAST_CORNER_M)
    reach_m = size_m + BEYOND_M
    drop = cut.sleeve_drop_m

    def chain(lines: Mapping[str, Pieces]) -> Pieces:
        whole = (*lines.get("split_front_left", ()), *lines["underarm_front_left"])
        return within(whole, knee, reach_m)

    stitch = chain(part.stitch)
    low, under = stitch[0].start, stitch[-1].end
    # the words stand inside the cloth, beside the stitch line
    side = min(min(piece.start[0], piece.end[0]) for piece in stitch)
    return Drawing(
        wording.CORNER_NAME,
        (
            Path(layer="CUT", pieces=chain(part.cut), name="corner"),
            Path(layer="STITCH", pieces=stitch, name="corner"),
            *_notches_near(part, knee, reach_m),
        ),
        (
            Text(
                words=PICTURE["underarm"],
                at=(under[0] - 0.022, max(under[1], -drop) + 0.003),
                size_mm=3.2,
            ),
            Text(
                words=PICTURE["side"],
                at=(min(low[0], side) - 0.002, low[1] + 0.004),
                size_mm=3.2,
                turn_degrees=90,
            ),
            *(
                Text(
                    words=words,
                    at=(side + 0.45 * reach_m, -drop - 0.45 * reach_m - 0.004 * row),
                    size_mm=2.6,
                )
                for row, words in enumerate(wording.CORNER)
            ),
        ),
    )


def hem_drawings(cut: Cut, line: CutLine) -> tuple[Drawing, ...]:
    """Half of each hem that is not straight, from the centre line to the side."""
    found = []
    for half, rise_m in (("front", cut.hem_curve_m), ("back", cut.back_longer_m + cut.hem_curve_m)):
        if not rise_m or (half == "back" and rise_m == cut.hem_curve_m):
            continue
        name = "hem_front_left" if half == "front" else "hem_back"
        part = next(part for part in line.parts if name in part.cut)
        middle_m = cut.front_m if half == "front" else cut.back_m
        sign = -1 if half == "front" else 1
        centre = Line(start=(0.0, sign * middle_m), end=(0.0, sign * (middle_m - rise_m - 0.04)))
        serves = half if cut.back_longer_m else "both"
        found.append(
            Drawing(
                wording.HEM_NAMES[serves],
                (
                    Path(layer="CUT", pieces=_on_the_left(part.cut[name]), name="hem"),
                    Path(layer="STITCH", pieces=_on_the_left(part.stitch[name]), name="hem"),
                    Path(layer="GRAIN", pieces=(centre,), name="centre"),
                ),
                tuple(
                    Text(
                        words=words,
                        at=(0.012, sign * (middle_m - rise_m - 0.02) - 0.005 * row),
                        size_mm=2.8,
                    )
                    for row, words in enumerate(wording.HEM)
                ),
            )
        )
    return tuple(found)


def _on_the_left(pieces: Pieces) -> Pieces:
    """What of a chain lies on the wearer's left."""
    return tuple(piece for piece in pieces if min(piece.start[0], piece.end[0]) > -1e-6)


def _notches_near(part: Part, place: Point, reach_m: float) -> list[Path]:
    return [
        Path(layer="NOTCH", pieces=(notch_line(notch.at, notch.towards),), name=notch.name)
        for notch in part.notches
        if math.dist(notch.at, place) < reach_m
    ]


def template_drawings(cut: Cut, allowances: Allowances, line: CutLine) -> tuple[Drawing, ...]:
    """All curves of a cut: neck, corner, hem."""
    return (
        *neck_drawings(cut, line),
        corner_drawing(cut, allowances, line),
        *hem_drawings(cut, line),
    )


def template_pages(
    name: str,
    cut: Cut,
    allowances: Allowances,
    line: CutLine,
    paper: str,
    pieces: tuple[Drawing, ...] = (),
) -> tuple[Page, ...]:
    """Neck, corner and the square on one page where it has room, else each over its own sheets.

    ``pieces`` are more templates, one after the other.
    """
    neck, *others = (*template_drawings(cut, allowances, line), *pieces)
    if cut.seamed:
        return tuple(page for one in (neck, *others) for page in _alone(one, name, paper))
    corner, *hems = others
    more = tuple(page for one in hems for page in _alone(one, name, paper))
    width_mm, height_mm = PAPERS[paper]
    neck_left, neck_right, neck_low, neck_high = bounds_mm(neck)
    left, right, low, high = bounds_mm(corner)
    # corner and square side by side, apart: neither is cut through the other
    corner_mm = right - left
    lower_mm = max(high - low + 5, CHECK_HIGH_MM)
    tall_mm = HEADING_MM + neck_high - neck_low + GAP_MM + lower_mm
    wide_mm = max(neck_right - neck_left, 4 + corner_mm + GAP_MM / 2 + CHECK_WIDE_MM)
    if tall_mm > height_mm - 2 * MARGIN_MM or wide_mm > width_mm - 2 * MARGIN_MM:
        return (*_alone(neck, name, paper), *_alone(corner, name, paper), *more)
    top = MARGIN_MM + HEADING_MM
    corner_top = top + neck_high - neck_low + GAP_MM
    foot = corner_top + lower_mm

    def drawn() -> Iterator[Mark]:
        yield from print_check(width_mm - MARGIN_MM - CHECK_WIDE_MM, foot - CHECK_HIGH_MM)
        yield from _heading(name, width_mm)
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

    return (Page(f"templates {paper}", width_mm, height_mm, tuple(drawn())), *more)


def _alone(drawing: Drawing, name: str, paper: str) -> tuple[Page, ...]:
    """One template on a page of its own if it has room, else over several sheets."""
    width_mm, height_mm = PAPERS[paper]
    left, right, low, high = bounds_mm(drawing)
    room_mm = width_mm - 2 * MARGIN_MM, height_mm - 2 * MARGIN_MM - HEADING_MM - 6
    if right - left > room_mm[0] or high - low > room_mm[1]:
        return tiled(drawing, paper)
    middle = (left + right) / 2
    top = MARGIN_MM + HEADING_MM + 6
    drawn = tuple(marks(drawing, middle - width_mm / 2, high + top))
    window = (MARGIN_MM, top, width_mm - MARGIN_MM, height_mm - MARGIN_MM)
    place, crossed = clear_place(drawn, window)
    return (
        Page(
            f"{drawing.name} {paper}",
            width_mm,
            height_mm,
            (*print_check(*place, crossed=crossed), *drawn, *_heading(name, width_mm)),
        ),
    )


def _heading(name: str, width_mm: float) -> Iterator[Mark]:
    """What stands over templates, in as many lines as it needs."""
    lines = wrapped(wording.template_heading(name), 4, width_mm - 2 * MARGIN_MM, bold=True)
    for row, line in enumerate(lines):
        yield Words(text=line, at=(MARGIN_MM, MARGIN_MM + 4 + 5 * row), size_mm=4, bold=True)

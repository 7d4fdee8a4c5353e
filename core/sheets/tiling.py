# SPDX-License-Identifier: GPL-3.0-or-later
"""A drawing at true size over many sheets of paper, to be trimmed and joined.

Each sheet shows its part and as much beyond it as the sheets overlap. The trim marks bound the
part; neighbouring sheets are laid trim line on trim line. Sheets on which no line falls are left
out, and the map on the first page shows which.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from ..paper import PAPERS, Line, Mark, Page, Words, moved, wrapped
from . import wording
from .clear_words import Window, box_of, clear_words, on_one_sheet
from .drawing import Drawing, bounds_mm, marks, points_mm
from .print_check import CHECK_HIGH_MM, CHECK_WIDE_MM, clear_place, print_check

__all__ = ["one_page", "tiled"]

MARGIN_MM = 12.0
"""Unprinted margin that every printer leaves free."""
OVERLAP_MM = 12.0
HEAD_MM = 9.0
Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """Columns and rows of parts, the drawing's upper left corner being that of part A1."""

    left_mm: float
    top_mm: float
    part_width_mm: float
    part_height_mm: float
    columns: int
    rows: int
    used: frozenset[tuple[int, int]]

    @property
    def places(self) -> list[tuple[int, int]]:
        """Column and row of each part that is used, in the order in which they are printed."""
        return sorted(self.used, key=lambda place: (place[1], place[0]))

    def name(self, column: int, row: int) -> str:
        return f"{chr(ord('A') + row)}{column + 1}"


def one_page(drawing: Drawing, margin_mm: float = 20.0) -> Page:
    """The whole drawing on one sheet as large as it needs, for a plotter."""
    left, right, low, high = bounds_mm(drawing)
    wide = max(right - left, CHECK_WIDE_MM) + 2 * margin_mm
    tall = max(high - low, CHECK_HIGH_MM) + 2 * margin_mm
    window = (margin_mm, margin_mm, wide - margin_mm, tall - margin_mm)
    drawn = on_one_sheet(
        tuple(marks(drawing, left - margin_mm, high + margin_mm)),
        [window],
        _outline_mm(drawing, left - margin_mm, high + margin_mm),
    )
    place, crossed = clear_place(drawn, window)
    return Page(
        f"{drawing.name} {wording.ONE_PAGE}",
        wide,
        tall,
        (
            *drawn,
            *print_check(*place, drawn if crossed else ()),
            Words(text=drawing.name, at=(margin_mm, margin_mm - 8), size_mm=5, bold=True),
        ),
    )


def tiled(drawing: Drawing, paper: str) -> tuple[Page, ...]:
    """The map of the sheets, and then the sheets, for a paper of `PAPERS`."""
    width_mm, height_mm = PAPERS[paper]
    left, right, low, high = bounds_mm(drawing)
    part_width = width_mm - 2 * MARGIN_MM - OVERLAP_MM
    part_height = height_mm - 2 * MARGIN_MM - OVERLAP_MM - HEAD_MM
    columns = math.ceil((right - left) / part_width)
    rows = math.ceil((high - low) / part_height)
    # in the middle of the parts, so that no sheet holds a hair's breadth
    grid_left = (left + right - columns * part_width) / 2
    grid_top = (low + high + rows * part_height) / 2
    grid = _Grid(
        left_mm=grid_left,
        top_mm=grid_top,
        part_width_mm=part_width,
        part_height_mm=part_height,
        columns=columns,
        rows=rows,
        used=frozenset(_used(drawing, grid_left, grid_top, part_width, part_height)),
    )
    parts = [_part_of(grid, place) for place in grid.places]
    drawn = on_one_sheet(tuple(marks(drawing, 0.0, 0.0)), parts, _outline_mm(drawing, 0.0, 0.0))
    return (
        _map_page(drawing, grid, paper, len(parts)),
        *(_part_page(drawing.name, drawn, grid, paper, place) for place in grid.places),
    )


def _outline_mm(drawing: Drawing, left_mm: float, top_mm: float) -> list[Point]:
    """The closed cut line of a drawing, if it has one, as `marks` places it."""
    cuts = [path.pieces for path in drawing.paths if path.layer == "CUT"]
    closed = [chain for chain in cuts if math.dist(chain[0].start, chain[-1].end) < 1e-6]
    return [(x - left_mm, top_mm - y) for x, y in points_mm(closed[0])] if closed else []


def _part_of(grid: _Grid, place: tuple[int, int]) -> Window:
    """Left, top, right and foot of a part in the drawing, down growing."""
    column, row = place
    left = grid.left_mm + column * grid.part_width_mm
    top = row * grid.part_height_mm - grid.top_mm
    return left, top, left + grid.part_width_mm, top + grid.part_height_mm


def _used(
    drawing: Drawing, left: float, top: float, wide: float, high: float
) -> Iterator[tuple[int, int]]:
    """Parts on which a line of the drawing falls."""
    for path in drawing.paths:
        points = points_mm(path.pieces)
        for (x1, y1), (x2, y2) in pairwise(points):
            steps = max(1, math.ceil(math.hypot(x2 - x1, y2 - y1) / 2.0))
            for step in range(steps + 1):
                share = step / steps
                x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
                yield int((x - left) // wide), int((top - y) // high)


def _part_page(
    title: str, drawn: Sequence[Mark], grid: _Grid, paper: str, place: tuple[int, int]
) -> Page:
    """One sheet; the drawing's marks are placed from its own origin."""
    width_mm, height_mm = PAPERS[paper]
    column, row = place
    name = grid.name(column, row)
    # the part's own rectangle on the page; half of the overlap lies on every side of it
    x, y = MARGIN_MM + OVERLAP_MM / 2, MARGIN_MM + HEAD_MM + OVERLAP_MM / 2
    part_left = grid.left_mm + column * grid.part_width_mm
    part_top = grid.top_mm - row * grid.part_height_mm
    window = (MARGIN_MM, MARGIN_MM + HEAD_MM, width_mm - MARGIN_MM, height_mm - MARGIN_MM)
    here = tuple(_clipped((moved(mark, x - part_left, y + part_top) for mark in drawn), window))
    rim = (x, y, x + grid.part_width_mm, y + grid.part_height_mm)
    place_mm, crossed = clear_place(here, rim)
    room_mm = width_mm - 2 * MARGIN_MM - 14
    head = (
        wrapped(title, 3.2, room_mm)[0],
        wording.tile_head(grid.places.index(place) + 1, len(grid.used)),
    )
    square = tuple(print_check(*place_mm, here if crossed else ()))
    return Page(
        f"{title} {name}",
        width_mm,
        height_mm,
        (
            *square,
            *here,
            *_trim_marks(grid, place, (x, y), (*here, *square)),
            Words(text=name, at=(MARGIN_MM, MARGIN_MM + 5), size_mm=6.5, bold=True),
            *(
                Words(text=line, at=(MARGIN_MM + 14, MARGIN_MM + 2.2 + 4 * row), size_mm=3.2)
                for row, line in enumerate(head)
            ),
        ),
    )


JOINT_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)
"""Where along a trim line the name of its neighbour may stand, the best first."""


def _trim_marks(
    grid: _Grid, place: tuple[int, int], corner: Point, drawn: Sequence[Mark]
) -> Iterator[Mark]:
    """The part's rim, and on it the names of the sheets that are joined there, clear of the lines."""
    (column, row), (x, y) = place, corner
    right, foot = x + grid.part_width_mm, y + grid.part_height_mm
    rim = ((x, y), (right, y), (right, foot), (x, foot))
    yield Line(points=rim, closed=True, width_mm=0.2, dashes_mm=(1.0, 1.5), ink=0.3)
    reach = OVERLAP_MM / 2
    for cx, cy in rim:
        for dx, dy in ((reach, 0.0), (0.0, reach)):
            yield Line(points=((cx - dx, cy - dy), (cx + dx, cy + dy)), width_mm=0.35)
    window = (x - reach, y - reach, right + reach, foot + reach)
    # beyond the trim line, or inside it where a line runs along beyond
    sides: tuple[tuple[tuple[int, int], float, tuple[float, float]], ...] = (
        ((column - 1, row), 90.0, (x - 4.4, x + 2.2)),
        ((column + 1, row), 90.0, (right + 2.2, right - 4.4)),
        ((column, row - 1), 0.0, (y - 2.0, y + 4.4)),
        ((column, row + 1), 0.0, (foot + 4.4, foot - 2.0)),
    )
    for neighbour, turn, beside in sides:
        if neighbour not in grid.used:
            continue
        ends = (y, foot) if turn else (x, right)
        places = [
            Words(
                text=wording.joins(grid.name(*neighbour)),
                at=(off, along) if turn else (along, off),
                size_mm=3.0,
                anchor="middle",
                turn_degrees=turn,
                ink=0.3,
            )
            for off in beside
            for along in (ends[0] + share * (ends[1] - ends[0]) for share in JOINT_SHARES)
        ]
        yield clear_words(places, drawn, window)


def _map_page(drawing: Drawing, grid: _Grid, paper: str, sheets: int) -> Page:
    """Which sheet lies where, over the drawing made small."""
    width_mm, height_mm = PAPERS[paper]
    wide, high = grid.columns * grid.part_width_mm, grid.rows * grid.part_height_mm
    room_mm = width_mm - 2 * MARGIN_MM
    scale = min(room_mm / wide, (height_mm - 181) / high)
    left, top = (width_mm - scale * wide) / 2, MARGIN_MM + 46

    def small(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple(
            (left + scale * (x - grid.left_mm), top + scale * (grid.top_mm - y)) for x, y in points
        )

    heading = wrapped(wording.map_heading(drawing.name), 5, room_mm, bold=True)
    words_top = MARGIN_MM + 8 + 6 * len(heading)
    found: list[Mark] = [
        Words(text=line, at=(MARGIN_MM, MARGIN_MM + 5 + 6 * number), size_mm=5, bold=True)
        for number, line in enumerate(heading)
    ]
    for number, line in enumerate(
        wrapped(" ".join((wording.map_words(sheets, OVERLAP_MM), *drawing.notes)), 3.6, room_mm)
    ):
        found.append(Words(text=line, at=(MARGIN_MM, words_top + 4.8 * number), size_mm=3.6))
    lines = [small(points_mm(path.pieces)) for path in drawing.paths]
    found += (Line(points=points, width_mm=0.2, ink=0.55) for points in lines)
    strokes = np.array([stroke for points in lines for stroke in pairwise(points)])
    part_wide, part_high = scale * grid.part_width_mm, scale * grid.part_height_mm
    for column, row in sorted(grid.used):
        x, y = left + column * part_wide, top + row * part_high
        rim = ((x, y), (x + part_wide, y), (x + part_wide, y + part_high), (x, y + part_high))
        found.append(Line(points=rim, closed=True, width_mm=0.3, ink=0.4))
        size_mm = min(5.0, part_wide / 3)
        places = [
            (x + across * part_wide, y + down * part_high)
            for down in (0.5, 0.3, 0.7)
            for across in (0.5, 0.25, 0.75)
        ]
        # the first that has room, else the one that has most
        middle = max(places, key=lambda place: min(size_mm, _room_mm(place, strokes)))
        at = (middle[0], middle[1] + 0.35 * size_mm)
        name = grid.name(column, row)
        found.append(Words(text=name, at=at, size_mm=size_mm, anchor="middle", bold=True))
    found += print_check((width_mm - CHECK_WIDE_MM) / 2, height_mm - MARGIN_MM - CHECK_HIGH_MM)
    return Page(f"{drawing.name} {wording.MAP}", width_mm, height_mm, tuple(found))


def _room_mm(place: Point, strokes: npt.NDArray[np.float64]) -> float:
    """How far a place is from the nearest of (n, 2, 2) strokes from end to end, millimetres."""
    start, along = strokes[:, 0], strokes[:, 1] - strokes[:, 0]
    to_place = np.array(place) - start
    share = (to_place * along).sum(axis=1) / np.maximum((along**2).sum(axis=1), 1e-12)
    off = to_place - np.clip(share, 0.0, 1.0)[:, None] * along
    return float(np.hypot(off[:, 0], off[:, 1]).min())


def _clipped(drawn: Iterator[Mark], window: tuple[float, float, float, float]) -> Iterator[Mark]:
    """What of the marks lies in a window: strokes cut at its rim, words wholly inside."""
    left, top, right, foot = window
    for mark in drawn:
        if isinstance(mark, Words):
            box = box_of(mark)
            if left <= box[0] and top <= box[1] and box[2] <= right and box[3] <= foot:
                yield mark
            continue
        for run in _runs(mark.points, window):
            yield Line(
                points=tuple(run),
                width_mm=mark.width_mm,
                dashes_mm=mark.dashes_mm,
                ink=mark.ink,
            )


def _runs(
    points: Sequence[Point], window: tuple[float, float, float, float]
) -> Iterator[list[Point]]:
    """Connected parts of a chain that lie in a window."""
    run: list[Point] = []
    for start, end in pairwise(points):
        part = _segment_inside(start, end, window)
        if part is None:
            continue
        if run and run[-1] == part[0]:
            run.append(part[1])
        else:
            if run:
                yield run
            run = list(part)
    if run:
        yield run


def _segment_inside(
    start: Point, end: Point, window: tuple[float, float, float, float]
) -> tuple[Point, Point] | None:
    """The part of a segment inside a rectangle (Liang and Barsky 1984)."""
    (x1, y1), (x2, y2) = start, end
    left, top, right, foot = window
    first, last = 0.0, 1.0
    for way, room in (
        (x1 - x2, x1 - left),
        (x2 - x1, right - x1),
        (y1 - y2, y1 - top),
        (y2 - y1, foot - y1),
    ):
        if way == 0:
            if room < 0:
                return None
        elif way < 0:
            first = max(first, room / way)
        else:
            last = min(last, room / way)
    if first >= last:
        return None

    def at(share: float) -> Point:
        if share in (0.0, 1.0):
            return (start, end)[int(share)]
        return x1 + share * (x2 - x1), y1 + share * (y2 - y1)

    return at(first), at(last)

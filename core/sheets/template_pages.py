# SPDX-License-Identifier: GPL-3.0-or-later
"""Templates on paper: as many on a page as it holds beside the square by which the print is checked."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..cut_line import Allowances, CutLine
from ..paper import PAPERS, Line, Mark, Page, Words, text_width_mm, wrapped
from ..pattern import Cut
from . import wording
from .drawing import Drawing, bounds_mm, marks
from .print_check import clear_place, print_check
from .templates import BEYOND_M, LEGS_M, template_drawings
from .tiling import MARGIN_MM, tiled

__all__ = ["template_pages"]

GAP_MM, LINE_MM = 8.0, 4.0
TITLE_MM, NOTE_MM = 3.6, 2.8


def template_pages(
    name: str,
    cut: Cut,
    allowances: Allowances,
    line: CutLine,
    paper: str,
    pieces: tuple[Drawing, ...] = (),
) -> tuple[Page, ...]:
    """Neck, corner and the square on one page where it has room; what is larger over several sheets.

    A neck or a corner that has no room with its stitch line is drawn without it; a neck on the fold
    that has no room even so is drawn as a half. ``pieces`` are more templates. The corner has long
    straight edges where no more paper is taken for them, no stitch line left out, no square crossed.
    """
    drawings = template_drawings(cut, allowances, line)
    halved = not cut.seamed and _to_be_halved(drawings, cut, allowances, line, name, paper)
    legs = (
        tuple(_pages((*drawn, *pieces), name, paper))
        for drawn in (
            template_drawings(cut, allowances, line, halved=halved, legs_m=legs_m)
            for legs_m in (BEYOND_M, *LEGS_M)
        )
    )
    short = next(legs)
    return next((longer for longer in legs if _dashes(longer) == _dashes(short)), short)


def _to_be_halved(
    drawings: Sequence[Drawing],
    cut: Cut,
    allowances: Allowances,
    line: CutLine,
    name: str,
    paper: str,
) -> bool:
    """Whether a neck on the fold is drawn as a half."""
    if _held(drawings[:2], name, paper) is not None:
        return False
    half = template_drawings(cut, allowances, line, halved=True)
    too_wide = _held(drawings[:1], name, paper) is None
    return too_wide or _held(half[:2], name, paper) is not None


def _dashes(pages: Sequence[Page]) -> list[frozenset[tuple[float, ...]]]:
    """The kinds of lines on each page: whether it has stitch lines, and a square that is crossed."""
    return [
        frozenset(mark.dashes_mm for mark in page.marks if isinstance(mark, Line)) for page in pages
    ]


def _pages(drawings: Sequence[Drawing], name: str, paper: str) -> Iterator[Page]:
    """Each page with as many of the drawings as it holds, in their order."""
    waiting = list(drawings)
    while waiting:
        fitting = (
            (count, page)
            for count in range(len(waiting), 0, -1)
            if (page := _held(waiting[:count], name, paper)) is not None
        )
        count, page = next(fitting, (1, None))
        if page is None:
            yield from _alone(waiting[0], name, paper)
        else:
            yield page
        del waiting[:count]


def _held(drawings: Sequence[Drawing], name: str, paper: str) -> Page | None:
    """A page with all of these, with stitch lines if it has room for them."""
    whole = _page(drawings, name, paper)
    if whole is not None or not all(one.name in wording.BARE for one in drawings):
        return whole
    return _page([_bare(one) for one in drawings], name, paper)


def _alone(drawing: Drawing, name: str, paper: str) -> tuple[Page, ...]:
    """A drawing that leaves no room for the square beside it: on one page, else over several."""
    page = _page([drawing], name, paper, crossed=True)
    return (page,) if page is not None else tiled(drawing, paper)


def _bare(drawing: Drawing) -> Drawing:
    """Without its stitch lines."""
    paths = tuple(path for path in drawing.paths if path.layer != "STITCH")
    return replace(drawing, paths=paths)


def _page(
    drawings: Sequence[Drawing], name: str, paper: str, *, crossed: bool = False
) -> Page | None:
    """The drawings in rows and the square clear of them; None if the page has no room.

    ``crossed`` lets the square lie, dotted, where lines go through it.
    """
    width_mm, height_mm = PAPERS[paper]
    right, foot = width_mm - MARGIN_MM, height_mm - MARGIN_MM
    heading = wrapped(wording.template_heading(name), 4, right - MARGIN_MM, bold=True)
    drawn: list[Mark] = []
    top = row_top = MARGIN_MM + 5 * len(heading) + 2
    x, row_foot = MARGIN_MM, top
    for drawing in drawings:
        least_x, most_x, least_y, most_y = _extent_mm(drawing)
        wide, high = most_x - least_x, most_y - least_y
        head = 2 + LINE_MM * (1 + len(drawing.notes))
        noted = max((text_width_mm(note, NOTE_MM) for note in drawing.notes), default=0.0)
        if x > MARGIN_MM and x + max(wide, noted) > right:
            x, row_top = MARGIN_MM, row_foot + GAP_MM / 2
        if x + wide > right or row_top + head + high > foot:
            return None
        drawn += _titled(drawing, x, row_top)
        drawn += marks(drawing, least_x - x, most_y + row_top + head)
        row_foot = max(row_foot, row_top + head + high)
        x += wide + GAP_MM
    place, hit = clear_place(drawn, (MARGIN_MM, top, right, foot))
    if hit and not crossed:
        return None
    words = (
        Words(text=line, at=(MARGIN_MM, MARGIN_MM + 4 + 5 * row), size_mm=4, bold=True)
        for row, line in enumerate(heading)
    )
    title = ", ".join(drawing.name for drawing in drawings)
    return Page(
        f"{title} {paper}",
        width_mm,
        height_mm,
        (*print_check(*place, drawn if hit else ()), *drawn, *words),
    )


def _extent_mm(drawing: Drawing) -> tuple[float, float, float, float]:
    """Least and greatest x, least and greatest y of all lines and words."""
    left, right, low, high = bounds_mm(drawing)
    for text in drawing.texts:
        x, y = 1000 * text.at[0], 1000 * text.at[1]
        wide = text_width_mm(text.words, text.size_mm, bold=text.bold)
        ends = (
            (x - text.size_mm, y, x, y + wide)
            if text.turn_degrees
            else (x, y, x + wide, y + text.size_mm)
        )
        left, low = min(left, ends[0]), min(low, ends[1])
        right, high = max(right, ends[2]), max(high, ends[3])
    return left, right, low, high


def _titled(drawing: Drawing, x: float, top: float) -> Iterator[Mark]:
    """The drawing's name and notes, above it."""
    yield Words(text=drawing.name, at=(x, top + LINE_MM), size_mm=TITLE_MM, bold=True)
    for row, note in enumerate(drawing.notes, start=2):
        yield Words(text=note, at=(x, top + LINE_MM * row), size_mm=NOTE_MM)

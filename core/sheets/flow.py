# SPDX-License-Identifier: GPL-3.0-or-later
"""Headings, paragraphs, tables and numbered steps, set on pages or as one HTML document."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from html import escape

from ..paper import PAPERS, Line, Mark, Page, Words, held_together, moved, page_svg, wrapped

__all__ = ["Block", "Heading", "Items", "Paragraph", "Picture", "Rows", "Step", "document", "pages"]

MARGIN_MM, FOOT_MM = 14.0, 16.0
LEADING = 1.32
BESIDE_MM = 100.0
"""A picture no wider than this stands beside its words."""
GAP_MM = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Marks in a frame of this size; ``summary`` says in words what is seen."""

    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...]
    summary: str


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of the document (level 1) or of a part (level 2)."""

    text: str
    level: int = 2


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph."""

    text: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Items:
    """A list; ``boxes`` gives each a box to tick."""

    items: tuple[str, ...]
    boxes: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """A table; ``shares`` are the columns' shares of the width."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the work, with its picture."""

    number: int
    title: str
    lines: tuple[str, ...]
    picture: Picture | None = None


Block = Heading | Paragraph | Items | Picture | Rows | Step


@dataclass(frozen=True, slots=True)
class _GoesOn:
    """Rows of a table whose head stands above them."""

    table: Rows


@dataclass(frozen=True, slots=True)
class _Begun:
    """A part of a list or table that goes on below it."""

    part: Items | Rows | _GoesOn


_Set = Block | _GoesOn | _Begun


@dataclass(frozen=True, slots=True)
class _Setting:
    """Width of the print and size of the type."""

    width_mm: float
    size_mm: float

    def text(
        self, text: str, x: float, y: float, width: float, *, bold: bool = False, size: float = 0.0
    ) -> tuple[list[Mark], float]:
        """Lines of text whose first stands under y, and where the next thing begins."""
        size = size or self.size_mm
        found: list[Mark] = []
        for line in wrapped(text, size, width, bold=bold):
            y += LEADING * size
            found.append(Words(text=line, at=(x, y), size_mm=size, bold=bold))
        return found, y


def pages(name: str, blocks: Sequence[Block], paper: str, size_mm: float) -> tuple[Page, ...]:
    """Set the blocks on pages of a paper; only tables and lists are broken, between their rows.

    Parameters
    ----------
    name
        Stands at the foot of each page with its number.
    size_mm
        Height of the type.
    """
    width_mm, height_mm = PAPERS[paper]
    setting = _Setting(width_mm - 2 * MARGIN_MM, size_mm)
    room_mm = height_mm - MARGIN_MM - FOOT_MM
    filled: list[list[Mark]] = [[]]
    y = 0.0
    for group in _kept_together(blocks):
        marks, foot = _set_group(group, setting)
        if y > 0 and y + foot > room_mm:
            filled.append([])
            y = 0.0
            marks, foot = _set_group([_headed(block) for block in group], setting)
        filled[-1] += [moved(mark, MARGIN_MM, MARGIN_MM + y) for mark in marks]
        y += foot + (0.0 if isinstance(group[-1], _Begun) else 0.8 * size_mm)
    total = len(filled)
    return tuple(
        Page(
            f"{name} {number}",
            width_mm,
            height_mm,
            (
                *marks,
                Words(
                    text=f"{name}, page {number} of {total}",
                    at=(width_mm / 2, height_mm - 9),
                    size_mm=3.0,
                    anchor="middle",
                ),
            ),
        )
        for number, marks in enumerate(filled, start=1)
    )


def _set_group(group: Sequence[_Set], setting: _Setting) -> tuple[list[Mark], float]:
    """Marks of blocks under one another, and where they end."""
    marks: list[Mark] = []
    foot = 0.0
    for block in group:
        new, foot = _set(block, setting, foot)
        marks += new
    return marks, foot


def _headed(block: _Set) -> _Set:
    """What goes on with a table on a new page has the table's head again."""
    match block:
        case _GoesOn(table):
            return table
        case _Begun(_GoesOn(table)):
            return _Begun(table)
        case _:
            return block


def _kept_together(blocks: Sequence[Block]) -> Iterator[list[_Set]]:
    """Headings with what follows them, pictures with what stands before them.

    Of lists and tables at least two rows stay together.
    """
    waiting: list[_Set] = []
    for number, block in enumerate(blocks):
        following = blocks[number + 1] if number + 1 < len(blocks) else None
        if isinstance(block, Heading) or isinstance(following, Picture):
            waiting.append(block)
            continue
        if isinstance(block, Rows) and len(block.rows) > 3:
            first, *middle, last = (
                block.rows[:2],
                *zip(block.rows[2:-2], strict=False),
                block.rows[-2:],
            )
            yield [*waiting, _Begun(replace(block, rows=first))]
            for rows in middle:
                yield [_Begun(_GoesOn(replace(block, rows=rows)))]
            yield [_GoesOn(replace(block, rows=last))]
            waiting = []
            continue
        if isinstance(block, Items) and len(block.items) > 3:
            for items in (block.items[:2], *zip(block.items[2:-2], strict=False)):
                yield [*waiting, _Begun(Items(items, block.boxes))]
                waiting = []
            yield [replace(block, items=block.items[-2:])]
            continue
        yield [*waiting, block]
        waiting = []
    if waiting:
        yield waiting


def _set(block: _Set, setting: _Setting, y: float) -> tuple[list[Mark], float]:
    """Marks of a block that begins at y, and where it ends."""
    size, width = setting.size_mm, setting.width_mm
    match block:
        case Heading(text, level):
            scale = 1.75 if level == 1 else 1.25
            found, foot = setting.text(text, 0, y + 0.3 * size, width, bold=True, size=scale * size)
            return found, foot + (0.5 * size if level == 1 else 0.0)
        case Paragraph(text, bold):
            return setting.text(text, 0, y, width, bold=bold)
        case Items(items, boxes):
            return _set_items(items, boxes, setting, y)
        case Rows():
            return _set_rows(block, setting, y)
        case _GoesOn(table):
            return _set_rows(table, setting, y, headed=False)
        case _Begun(part):
            return _set(part, setting, y)
        case Picture():
            left = (width - block.width_mm) / 2
            return (
                [moved(mark, left, y + 2) for mark in block.marks],
                y + block.height_mm + 4,
            )
        case Step():
            return _set_step(block, setting, y)


def _set_items(
    items: tuple[str, ...], boxes: bool, setting: _Setting, y: float
) -> tuple[list[Mark], float]:
    found: list[Mark] = []
    size = setting.size_mm
    for item in items:
        foot = y + LEADING * size
        if boxes:
            side, top = 0.8 * size, foot - 0.72 * size
            rim = ((0.0, top), (side, top), (side, top + side), (0.0, top + side))
            found.append(Line(points=rim, closed=True, width_mm=0.25))
        else:
            found.append(Words(text="•", at=(0.2 * size, foot), size_mm=size))
        new, y = setting.text(item, 1.5 * size, y, setting.width_mm - 1.5 * size)
        found += new
        y += 0.25 * size
    return found, y


def _set_rows(
    rows: Rows, setting: _Setting, y: float, *, headed: bool = True
) -> tuple[list[Mark], float]:
    found: list[Mark] = []
    size = setting.size_mm * 0.95
    lefts, left = [], 0.0
    for share in rows.shares:
        lefts.append(left)
        left += share * setting.width_mm
    for number, row in enumerate((rows.head, *rows.rows) if headed else rows.rows):
        is_head = headed and number == 0
        foots = [y]
        for x, share, cell in zip(lefts, rows.shares, row, strict=True):
            new, foot = setting.text(
                cell, x, y, share * setting.width_mm - 2, bold=is_head, size=size
            )
            found += new
            foots.append(foot)
        y = max(foots) + 0.5 * size
        found.append(
            Line(
                points=((0, y), (setting.width_mm, y)),
                width_mm=0.35 if is_head else 0.1,
                ink=0.0 if is_head else 0.5,
            )
        )
    return found, y


def _set_step(step: Step, setting: _Setting, y: float) -> tuple[list[Mark], float]:
    size = setting.size_mm
    picture = step.picture
    beside = picture is not None and picture.width_mm <= BESIDE_MM
    width = setting.width_mm - (picture.width_mm + GAP_MM if picture and beside else 0)
    lead = f"{step.number}. {step.title}"
    found, foot = setting.text(lead, 0, y, width, bold=True, size=1.12 * size)
    for line in step.lines:
        new, foot = setting.text(line, 0, foot + 0.25 * size, width)
        found += new
    if picture is None:
        return found, foot
    if beside:
        found += [moved(mark, width + GAP_MM, y + 2) for mark in picture.marks]
        return found, max(foot, y + picture.height_mm + 2)
    left = (setting.width_mm - picture.width_mm) / 2
    found += [moved(mark, left, foot + 3) for mark in picture.marks]
    return found, foot + picture.height_mm + 5


def document(title: str, parts: Sequence[Sequence[Block]], *, large: bool) -> str:
    """One HTML document that needs nothing else, its pictures drawn in it."""
    body = "\n".join(
        f"<section>\n{''.join(_html(block) for block in blocks)}</section>" for blocks in parts
    )
    size = "150%" if large else "100%"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>\n"
        f"html {{ font-size: {size}; }}\n{_STYLE}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


_STYLE = """body { font: 1rem/1.45 Helvetica, Arial, sans-serif; color: #000; background: #fff;
  max-width: 60rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 1.7rem; } h2 { font-size: 1.25rem; margin-top: 2rem; }
table { border-collapse: collapse; width: 100%; } th, td { text-align: left; vertical-align: top;
  padding: .3rem .6rem .3rem 0; border-bottom: 1px solid #999; } th { border-bottom: 2px solid #000; }
.step { display: flex; flex-wrap: wrap; gap: 1.5rem; margin: 1.5rem 0; break-inside: avoid; }
.step > div { flex: 1 1 20rem; } .step svg { flex: 0 1 auto; max-width: 100%; height: auto; }
svg { max-width: 100%; height: auto; } h3 { margin: 0 0 .4rem; } .boxes { list-style: none; padding: 0; }
@media print { section { break-before: page; } section:first-child { break-before: auto; } }
"""


def _html(block: Block) -> str:
    match block:
        case Heading(text, level):
            return f"<h{level}>{_told(text)}</h{level}>\n"
        case Paragraph(text, bold):
            inner = f"<strong>{_told(text)}</strong>" if bold else _told(text)
            return f"<p>{inner}</p>\n"
        case Items(items, boxes):
            mark = "☐ " if boxes else ""
            kind = ' class="boxes"' if boxes else ""
            return f"<ul{kind}>{''.join(f'<li>{mark}{_told(i)}</li>' for i in items)}</ul>\n"
        case Rows():
            head = "".join(f"<th>{_told(cell)}</th>" for cell in block.head)
            rows = "".join(
                f"<tr>{''.join(f'<td>{_told(cell)}</td>' for cell in row)}</tr>"
                for row in block.rows
            )
            return f"<table><tr>{head}</tr>{rows}</table>\n"
        case Picture():
            return f"<figure>{_svg(block)}</figure>\n"
        case Step():
            lines = "".join(f"<p>{_told(line)}</p>" for line in block.lines)
            picture = _svg(block.picture) if block.picture else ""
            return (
                f'<div class="step"><div><h3>{block.number}. {_told(block.title)}</h3>{lines}'
                f"</div>{picture}</div>\n"
            )


def _told(text: str) -> str:
    """Text for HTML in which no line ends within a quantity."""
    return escape(held_together(text))


def _svg(picture: Picture) -> str:
    """The picture as an element, described for those who do not see it."""
    page = Page(picture.summary, picture.width_mm, picture.height_mm, picture.marks)
    return page_svg(page).replace("<svg ", '<svg role="img" ', 1)

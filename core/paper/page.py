# SPDX-License-Identifier: GPL-3.0-or-later
"""A page: its size and what stands on it, in millimetres from its upper left corner."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

__all__ = [
    "PAPERS",
    "Line",
    "Mark",
    "Page",
    "Words",
    "held_together",
    "moved",
    "text_width_mm",
    "wrapped",
]

PAPERS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
)
"""Width and height in millimetres: ISO 216, and 8 1/2 by 11 in."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Straight strokes from point to point.

    ``ink`` and ``fill`` are from 0 (black) to 1 (paper); without ``fill`` the inside stays paper.
    """

    points: tuple[Point, ...]
    width_mm: float = 0.25
    closed: bool = False
    dashes_mm: tuple[float, ...] = ()
    ink: float = 0.0
    fill: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of text whose foot stands on a point; ``size_mm`` is the type's full height."""

    text: str
    at: Point
    size_mm: float = 3.4
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False
    turn_degrees: float = 0.0
    ink: float = 0.0


Mark = Line | Words


def moved(mark: Mark, right_mm: float, down_mm: float) -> Mark:
    """The same mark somewhere else."""
    if isinstance(mark, Line):
        return replace(mark, points=tuple((x + right_mm, y + down_mm) for x, y in mark.points))
    return replace(mark, at=(mark.at[0] + right_mm, mark.at[1] + down_mm))


@dataclass(frozen=True, slots=True)
class Page:
    """One page; its name becomes part of a file's."""

    name: str
    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...]


# Advance widths of Helvetica in thousandths of its size, from space to tilde (Adobe's public font
# metrics of the standard PDF fonts)
_WIDTHS = (
    *(278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278),
    *(556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556),
    *(1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778),
    *(667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556),
    *(333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556),
    *(556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584),
)
_OTHER_WIDTH = 584
_BOLD = 1.08
"""Bold type is at most so much wider."""


def text_width_mm(text: str, size_mm: float, *, bold: bool = False) -> float:
    """How wide a line of text is set, at most."""
    widths = sum(
        _WIDTHS[ord(sign) - 32] if 32 <= ord(sign) < 127 else _OTHER_WIDTH for sign in text
    )
    return widths / 1000 * size_mm * (_BOLD if bold else 1.0)


NO_BREAK_SPACE = "\u00a0"
_QUANTITY_SPACE = re.compile(
    r"(?<=\d) (?=(?:\d+/\d+|%|mm|cm|m|in|inch|inches|yd|yards?|ft|kg|g|oz|lbs?|x)(?!\w))"
    r"|(?<=\d x) (?=\w)"
)
"""Between a number, its fraction and its unit, and in "2 x pocket"."""


def held_together(text: str) -> str:
    """The text with spaces that do not break between a number, its fraction and its unit."""
    return _QUANTITY_SPACE.sub(NO_BREAK_SPACE, text)


def wrapped(text: str, size_mm: float, width_mm: float, *, bold: bool = False) -> list[str]:
    """The text in lines that are no wider than this, broken between words; quantities stay whole."""
    lines: list[str] = []
    for held in held_together(" ".join(text.split())).split(" ") if text else ():
        word = held.replace(NO_BREAK_SPACE, " ")
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(longer, size_mm, bold=bold) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines

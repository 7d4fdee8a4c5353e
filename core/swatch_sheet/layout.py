# SPDX-License-Identifier: GPL-3.0-or-later
"""What the pages of the swatch sheet have in common."""

from collections.abc import Iterator

from ..paper import Mark, Words, wrapped

__all__ = ["LEADING", "SMALL_MM", "TEXT_MM", "TOP_MM", "WIDE_MM", "heading", "paragraph"]

WIDE_MM = 186.0
"""Width of what is printed: both papers have it with room for every printer's margin."""
TOP_MM = 14.0
TEXT_MM, SMALL_MM = 3.3, 2.7
LEADING = 1.28


def heading(left: float, text: str) -> Iterator[Mark]:
    """What the page is."""
    yield Words(text=text, at=(left, TOP_MM + 5), size_mm=6.4, bold=True)


def paragraph(
    left: float, top: float, width: float, text: str, size: float = TEXT_MM, lead: str = ""
) -> tuple[list[Mark], float]:
    """A paragraph that begins with a bold line, if any, and where the next may begin."""
    marks: list[Mark] = []
    y = top
    if lead:
        marks.append(Words(text=lead, at=(left, y), size_mm=size + 0.3, bold=True))
        y += LEADING * size * 1.1
    for line in wrapped(text, size, width):
        marks.append(Words(text=line, at=(left, y), size_mm=size))
        y += LEADING * size
    return marks, y + 0.6 * size

# SPDX-License-Identifier: GPL-3.0-or-later
"""The page with the 41.5 degree line at true size, and the square to check the print by."""

import math
from collections.abc import Iterator

from ..paper import Line, Mark, Words
from .layout import SMALL_MM, TEXT_MM, TOP_MM, WIDE_MM, heading, paragraph

__all__ = ["CHORD_SHARE", "LINE_DOWN_MM", "LINE_OUT_MM", "SQUARE_MM", "line_page"]

SQUARE_MM = 100.0
LINE_OUT_MM, LINE_DOWN_MM = 100.0, 88.5
"""The line falls 88.5 mm on 100 mm: 41.5 degrees."""
CHORD_SHARE = 0.967
"""Straight distance from the edge to the tip of a strip on that line, over its overhang: the heavy
elastica of twice the bending length (tests/validate/elastica.py)."""

INCH_MM = 25.4
PLATFORM_MM = 72.0
MOST_OVERHANG_MM = 130
Point = tuple[float, float]


def line_page(left: float) -> Iterator[Mark]:
    """Marks of the page, its print beginning so far from the left."""
    yield from heading(left, "Swatch tests 1: the 41.5 degree line, at true size")
    yield Words(
        text="Print at 100 %, not fitted to the page. Measure the square below before you trust the "
        "line.",
        at=(left, TOP_MM + 11),
    )
    corner = (left + PLATFORM_MM, TOP_MM + 27)
    yield from _template(corner, left)
    square_top = corner[1] + LINE_DOWN_MM + 14
    yield from _square(left, square_top)
    aside = left + SQUARE_MM + 10
    texts = (
        (
            "Use of the line",
            "Cut or fold this page along the bold level line and fix it to the side of a box or a "
            "shelf, the level line flush with the top, the corner at the edge. Lay a strip 2.5 cm "
            "(1 in) wide and 20 cm (8 in) long on top, a ruler on it, and push both slowly out over "
            "the edge, away from you. Stop when the tip of the hanging strip touches the slanted "
            "line, seen level from the side.",
        ),
        (
            "What to write",
            "The overhang: how far the strip was pushed out, measured along the strip. The scale on "
            "the slanted line tells it too, where the tip touches. Read both ends and both faces of "
            "three strips cut along the cloth's length and three cut across. Pile up means with the "
            "pile on the upper side.",
        ),
        (
            "What it tells",
            "Half the overhang is the bending length. Light plush can be expected to jut out 2.5 to "
            "4 cm (1 to 1 5/8 in), long pile 5 to 7 cm (2 to 2 3/4 in).",
        ),
    )
    y = square_top + 3
    for lead, text in texts:
        marks, y = paragraph(aside, y, WIDE_MM - SQUARE_MM - 10, text, lead=lead)
        yield from marks


def _template(corner: Point, left: float) -> Iterator[Mark]:
    x, y = corner
    end = (x + LINE_OUT_MM, y + LINE_DOWN_MM)
    yield Line(points=((left, y), corner), width_mm=0.8)
    yield Words(text="top of the box or shelf", at=(left, y - 2))
    yield Words(text="edge", at=(x, y - 2), anchor="middle", bold=True)
    yield Line(points=(corner, (end[0], y)), dashes_mm=(2, 1.5), ink=0.5)
    yield Line(points=((end[0], y), end), dashes_mm=(2, 1.5), ink=0.5)
    yield Words(text="100 mm out", at=((x + end[0]) / 2, y - 2), anchor="middle", ink=0.3)
    yield Words(
        text="88.5 mm down",
        at=(end[0] + 2, y + LINE_DOWN_MM / 2),
        anchor="middle",
        turn_degrees=90,
        ink=0.3,
    )
    yield Line(points=(corner, end), width_mm=0.5)
    yield from _overhang_scale(corner)


def _overhang_scale(corner: Point) -> Iterator[Mark]:
    """Marks on the slanted line where the tip of a strip of so much overhang touches it."""
    slope = math.atan2(LINE_DOWN_MM, LINE_OUT_MM)

    def place(along_mm: float, below_mm: float) -> Point:
        return (
            corner[0] + along_mm * math.cos(slope) - below_mm * math.sin(slope),
            corner[1] + along_mm * math.sin(slope) + below_mm * math.cos(slope),
        )

    def words(text: str, along_mm: float, below_mm: float) -> Words:
        return Words(
            text=text,
            at=place(along_mm, below_mm),
            size_mm=SMALL_MM,
            anchor="middle",
            turn_degrees=math.degrees(slope),
        )

    def tick(overhang_mm: float, size: float) -> Line:
        chord_mm = CHORD_SHARE * overhang_mm
        return Line(points=(place(chord_mm, 0.0), place(chord_mm, size)), width_mm=0.2)

    for millimetres in range(10, MOST_OVERHANG_MM + 1):
        whole, half = millimetres % 10 == 0, millimetres % 5 == 0
        yield tick(millimetres, 4.0 if whole else 3.0 if half else 1.6)
        if whole:
            yield words(str(millimetres // 10), CHORD_SHARE * millimetres, 6.8)
    for eighths in range(4, int(MOST_OVERHANG_MM / INCH_MM * 8) + 1):
        whole, quarter = eighths % 8 == 0, eighths % 2 == 0
        overhang_mm = eighths / 8 * INCH_MM
        yield tick(overhang_mm, -4.0 if whole else -2.8 if quarter else -1.6)
        if whole:
            yield words(str(eighths // 8), CHORD_SHARE * overhang_mm, -4.8)
    yield words("overhang of the strip, cm", 62.0, 11.5)
    yield words("overhang of the strip, in", 62.0, -9.5)


def _square(left: float, top: float) -> Iterator[Mark]:
    """The square of 10 cm with a scale on two sides."""
    right, bottom = left + SQUARE_MM, top + SQUARE_MM
    yield Line(
        points=((left, top), (right, top), (right, bottom), (left, bottom)),
        closed=True,
        width_mm=0.5,
    )
    for millimetres in range(1, 100):
        size = 5.0 if millimetres % 10 == 0 else 3.5 if millimetres % 5 == 0 else 2.0
        x = left + millimetres
        yield Line(points=((x, top), (x, top + size)), width_mm=0.15)
        if millimetres % 10 == 0:
            yield Words(
                text=str(millimetres // 10), at=(x, top + 8), size_mm=SMALL_MM, anchor="middle"
            )
    for eighths in range(1, 32):
        size = 5.0 if eighths % 8 == 0 else 3.5 if eighths % 4 == 0 else 2.0
        x = left + eighths / 8 * INCH_MM
        if x < right:
            yield Line(points=((x, bottom), (x, bottom - size)), width_mm=0.15)
        if eighths % 8 == 0:
            yield Words(
                text=str(eighths // 8), at=(x, bottom - 6.5), size_mm=SMALL_MM, anchor="middle"
            )
    middle = left + SQUARE_MM / 2
    lines = (
        "test square: 10 cm by 10 cm",
        "(3 15/16 in)",
        "Cut one of cloth by it, or four in a row:",
        "grams of one x 100 = grams per square metre",
    )
    for number, text in enumerate(lines):
        yield Words(
            text=text,
            at=(middle, top + 44 + 5 * number),
            anchor="middle",
            bold=number < 2,
            size_mm=TEXT_MM,
        )
    yield Words(text="cm", at=(left + 2, top + 8), size_mm=SMALL_MM)
    yield Words(text="in", at=(left + 2, bottom - 6.5), size_mm=SMALL_MM)

# SPDX-License-Identifier: GPL-3.0-or-later
"""The kinds of lines in the pictures of a sheet, each with what it means."""

from ..paper import text_width_mm
from .flow import Picture
from .garment import Garment
from .picture_words import LEGEND, PICTURE
from .sketch import CLOTH_INK, RIGHT_SIDE_INK, Sketch, rectangle

__all__ = ["legend"]

MOST_COLUMNS = 3
SAMPLE_MM, ROW_MM, MARGIN_MM = 14.0, 7.0, 2.5
LEFT_MM, WORDS_OFF_MM = 3.0, 2.0


def legend(garment: Garment) -> Picture:
    """Rows of samples, drawn as the pictures draw them."""
    widest_mm = max(text_width_mm(words, garment.text_mm) for words in LEGEND.values())
    each_mm = LEFT_MM + SAMPLE_MM + WORDS_OFF_MM + widest_mm
    columns = max(min(int(garment.wide_mm / each_mm), MOST_COLUMNS), 1)
    rows = -(-len(LEGEND) // columns)
    sketch = Sketch(1.0, 0.0, 0.0, garment.text_mm)
    height_mm = rows * ROW_MM + 2 * MARGIN_MM
    rectangle(sketch, 0.0, -height_mm, garment.wide_mm, height_mm, width_mm=0.15)
    for number, (kind, words) in enumerate(LEGEND.items()):
        row, column = divmod(number, columns)
        left = LEFT_MM + column * garment.wide_mm / columns
        at = -MARGIN_MM - (row + 0.5) * ROW_MM
        _sample(sketch, kind, left, at)
        down_mm = 0.35 * garment.text_mm
        sketch.word(words, (left + SAMPLE_MM + WORDS_OFF_MM, at), anchor="start", down_mm=down_mm)
    return sketch.picture(garment.wide_mm, height_mm, PICTURE["legend"])


def _sample(sketch: Sketch, kind: str, left: float, at: float) -> None:
    ends = [(left, at), (left + SAMPLE_MM, at)]
    middle = left + SAMPLE_MM / 2
    match kind:
        case "cut":
            sketch.line(ends, width_mm=0.7)
        case "sewn":
            sketch.line(ends, width_mm=0.8, dashes_mm=(2.0, 1.0))
        case "fold":
            sketch.fold(ends[0], ends[1])
        case "notch":
            sketch.line(ends, width_mm=0.35)
            sketch.line([(middle, at), (middle, at - 2.5)], width_mm=0.9)
        case "nap":
            sketch.arrow(ends[0], ends[1])
        case "cloth":
            rectangle(sketch, left, at - 2.0, SAMPLE_MM, 4.0, fill=CLOTH_INK, width_mm=0.2)
        case "right side":
            rectangle(sketch, left, at - 2.0, SAMPLE_MM, 4.0, fill=RIGHT_SIDE_INK, width_mm=0.2)

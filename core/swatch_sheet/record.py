# SPDX-License-Identifier: GPL-3.0-or-later
"""The page to write readings on; its second column has the keys of a job's swatch table."""

from collections.abc import Iterator

from ..paper import Line, Mark, Words
from .layout import SMALL_MM, TOP_MM, WIDE_MM, heading

__all__ = ["RECORD_KEYS", "record_page"]

# What to read, its key in the job file, and what the sheet asks for; rows without a key are heads
_ROWS = (
    ("Weigh", "", ""),
    ("sides of the piece", "piece", ""),
    ("mass", "piece_mass", ""),
    ("smallest step of the scale", "scale_step", "1 g"),
    ("Overhang to the line", "", ""),
    ("along, pile up", "overhang_along_pile_up", ""),
    ("along, pile down", "overhang_along_pile_down", ""),
    ("across, pile up", "overhang_across_pile_up", ""),
    ("across, pile down", "overhang_across_pile_down", ""),
    ("Loop", "", ""),
    ("strip from clip to clip", "loop_strip", "20 cm"),
    ("height, strip cut along", "loop_height_along", ""),
    ("height, strip cut across", "loop_height_across", ""),
    ("Hung strips", "", ""),
    ("width of the strips", "strip_width", "5 cm"),
    ("marks, before", "marks_apart", "10 cm"),
    ("weight on along and across", "strip_load", "500 g"),
    ("marks, strip cut along", "marks_along", ""),
    ("marks, strip cut across", "marks_across", ""),
    ("weight on 45 degrees", "bias_load", "25 g"),
    ("marks, strip at 45 degrees", "marks_bias", ""),
    ("Stack", "", ""),
    ("plies", "stack_plies", "4"),
    ("board", "stack_board", "10 x 10 cm"),
    ("light weight", "stack_light_load", "200 g"),
    ("height under it", "stack_light", ""),
    ("heavy weight", "stack_heavy_load", "10 kg"),
    ("height under it", "stack_heavy", ""),
    ("Tilt", "", ""),
    ("pile on pile, with the nap", "tilt_with_nap", ""),
    ("pile on pile, against the nap", "tilt_against_nap", ""),
    ("wrong side on wrong side", "tilt_backs", ""),
    ("pile on cotton", "tilt_cotton", ""),
    ("Round piece", "", ""),
    ("piece and plate, width", "round_piece, round_plate", "30, 18 cm"),
    ("shadow, plate included", "round_shadow", ""),
    ("or its radii, 12 or more", "round_radii", ""),
    ("Wash", "", ""),
    ("marks, before", "wash_marks", "50 cm"),
    ("after, along", "washed_along", ""),
    ("after, across", "washed_across", ""),
)
_ROW_MM = 5.6
_CELLS = 4


RECORD_KEYS = tuple(name for _, key, _ in _ROWS for name in key.split(", ") if name)


def record_page(left: float) -> Iterator[Mark]:
    """Marks of the page, its print beginning so far from the left."""
    yield from heading(left, "Swatch tests 3: record")
    y = TOP_MM + 13
    yield Words(text="Cloth and shop:", at=(left, y))
    yield Line(points=((left + 26, y + 0.8), (left + 110, y + 0.8)), width_mm=0.2)
    yield Words(text="Date:", at=(left + 116, y))
    yield Line(points=((left + 126, y + 0.8), (left + WIDE_MM, y + 0.8)), width_mm=0.2)
    yield Words(
        text="Write each reading with its unit, centimetres or inches, grams or ounces. The word in "
        "the second column is its name in the job file.",
        at=(left, y + 5.5),
        size_mm=SMALL_MM,
    )
    top = y + 8
    words_mm, key_mm = 47.0, 44.0
    cell_mm = (WIDE_MM - words_mm - key_mm) / _CELLS
    for number, (text, key, usual) in enumerate(_ROWS):
        foot = top + _ROW_MM * (number + 1)
        baseline = foot - 1.6
        if not key:
            yield Line(
                points=(
                    (left, foot - _ROW_MM),
                    (left + WIDE_MM, foot - _ROW_MM),
                    (left + WIDE_MM, foot),
                    (left, foot),
                ),
                closed=True,
                width_mm=0.1,
                ink=0.6,
                fill=0.92,
            )
            yield Words(text=text, at=(left + 1, baseline), bold=True)
            continue
        yield Words(text=text, at=(left + 1, baseline), size_mm=3.1)
        yield Words(text=key, at=(left + words_mm, baseline), size_mm=SMALL_MM, ink=0.25)
        yield Line(points=((left, foot), (left + WIDE_MM, foot)), width_mm=0.1, ink=0.6)
        for cell in range(_CELLS):
            x = left + words_mm + key_mm + cell * cell_mm
            yield Line(points=((x, foot - _ROW_MM), (x, foot)), width_mm=0.1, ink=0.6)
        if usual:
            yield Words(
                text=f"{usual}?",
                at=(left + words_mm + key_mm + 1, baseline),
                size_mm=SMALL_MM,
                ink=0.55,
            )

# SPDX-License-Identifier: GPL-3.0-or-later
"""The picture of a seam in section."""

from collections.abc import Sequence

from .flow import Picture
from .garment import Garment
from .sketch import Sketch

__all__ = ["seam_section"]

STITCH_MM = 50.0
"""Where the stitch goes through the plies."""


def seam_section(
    garment: Garment, layers: Sequence[str], summary: str, *, shorn: bool = False
) -> Picture:
    """Plies in section, edges together, with the stitch; pile as short hairs.

    ``shorn`` leaves the pile out of the allowance.
    """
    sketch = Sketch(1.0, 0.0, 0.0, garment.text_mm)
    for row, (name, pile_up) in enumerate(_plies(layers)):
        y = -8.0 - 9.0 * row
        sketch.line([(4, y), (62, y)], width_mm=0.8)
        way = 3.0 if pile_up else -3.0
        for hair in range(28):
            x = 5.0 + 2.05 * hair
            if shorn and x > STITCH_MM - 1.0:
                break
            sketch.line([(x, y), (x + 0.8, y + way)], width_mm=0.12)
        sketch.word(name, (64.0, y), anchor="start", down_mm=1)
    foot = -8.0 - 9.0 * (len(layers) - 1)
    sketch.line([(STITCH_MM, -2.5), (STITCH_MM, foot - 5.5)], width_mm=0.6, dashes_mm=(2, 1))
    told = garment.tell.chosen(garment.allowances.underarm_m)
    sketch.across(STITCH_MM, 62, foot - 5.5, told, off_mm=3)
    return sketch.picture(garment.small_mm + 10, 17.0 - foot, summary)


def _plies(layers: Sequence[str]) -> list[tuple[str, bool]]:
    """Name and whether the pile points up; the pile of both lies inside, face on face."""
    return [(name, row == 1) for row, name in enumerate(layers)]

# SPDX-License-Identifier: GPL-3.0-or-later
"""The printed swatch-test sheet: the 41.5 degree line at true size, how to test, a record to fill in.

The sheet asks for what `napfold.core.swatch.READINGS` takes as usual, and its record has the keys
of a job's swatch table.
"""

from ..paper import PAPERS, Page
from .how import how_page
from .layout import WIDE_MM
from .line import CHORD_SHARE, LINE_DOWN_MM, LINE_OUT_MM, SQUARE_MM, line_page
from .record import RECORD_KEYS, record_page

__all__ = [
    "CHORD_SHARE",
    "LINE_DOWN_MM",
    "LINE_OUT_MM",
    "RECORD_KEYS",
    "SQUARE_MM",
    "swatch_sheet",
]


def swatch_sheet(paper: str) -> tuple[Page, ...]:
    """The sheet's pages for a paper of `PAPERS`."""
    width_mm, height_mm = PAPERS[paper]
    left = (width_mm - WIDE_MM) / 2
    pages = (("line", line_page), ("how", how_page), ("record", record_page))
    return tuple(
        Page(f"swatch sheet {number} {name}", width_mm, height_mm, tuple(marks(left)))
        for number, (name, marks) in enumerate(pages, start=1)
    )

# SPDX-License-Identifier: GPL-3.0-or-later
"""The swatch sheet as files: one PDF for each paper, and each page as SVG."""

from pathlib import Path

from .files import write_text
from .paper import PAPERS, page_svg
from .paper.pdf import write_pdf
from .swatch_sheet import swatch_sheet

__all__ = ["write_swatch_sheet"]


def write_swatch_sheet(folder: Path) -> tuple[Path, ...]:
    """Write the sheet for every paper; the PDFs come first.

    Raises
    ------
    FileError
        A file cannot be written.
    """
    prints, drawings = [], []
    for paper in PAPERS:
        pages = swatch_sheet(paper)
        prints.append(folder / f"swatch_sheet_{paper}.pdf")
        write_pdf(prints[-1], "Napfold: swatch tests", pages)
        for number, page in enumerate(pages, start=1):
            drawings.append(folder / f"swatch_sheet_{paper}_{number}.svg")
            write_text(drawings[-1], page_svg(page))
    return (*prints, *drawings)

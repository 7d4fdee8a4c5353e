# SPDX-License-Identifier: GPL-3.0-or-later
"""Pages as one PDF at true size. It stays out of Blender, which has no writer of PDF."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from ..errors import FileError
from ..files import whole_file
from .page import Line, Page, Words

__all__ = ["write_pdf"]

POINT_MM = 25.4 / 72
FONTS = {False: "Helvetica", True: "Helvetica-Bold"}
"""Two of the fonts that every reader of PDF has; they know western European letters."""


def write_pdf(path: Path, title: str, pages: Sequence[Page]) -> None:
    """Write the pages, whole or not at all; the same pages give the same bytes.

    Raises
    ------
    FileError
        The file cannot be written, or ReportLab is not installed.
    """
    try:
        from reportlab.pdfgen.canvas import Canvas
    except ImportError as error:
        raise FileError(
            f"{path} cannot be written: the Python package reportlab is missing. Install it, or use "
            "the SVG files, which hold the same pages."
        ) from error
    with whole_file(path) as temporary:
        canvas = Canvas(str(temporary), invariant=1, pageCompression=1)
        canvas.setTitle(title)
        canvas.setCreator("Napfold")
        for page in pages:
            canvas.setPageSize((page.width_mm / POINT_MM, page.height_mm / POINT_MM))
            # millimetres from the upper left corner, as the page has them
            canvas.translate(0, page.height_mm / POINT_MM)
            canvas.scale(1 / POINT_MM, 1 / POINT_MM)
            for mark in page.marks:
                if isinstance(mark, Line):
                    _draw_line(canvas, mark)
                else:
                    _draw_words(canvas, mark)
            canvas.showPage()
        canvas.save()


def _draw_line(canvas: Any, line: Line) -> None:
    canvas.setLineWidth(line.width_mm)
    canvas.setStrokeGray(line.ink)
    canvas.setDash(*([list(line.dashes_mm)] if line.dashes_mm else []))
    path = canvas.beginPath()
    (x, y), *rest = line.points
    path.moveTo(x, -y)
    for x, y in rest:
        path.lineTo(x, -y)
    if line.closed:
        path.close()
    if line.fill is not None:
        canvas.setFillGray(line.fill)
    canvas.drawPath(path, stroke=1, fill=0 if line.fill is None else 1)


def _draw_words(canvas: Any, words: Words) -> None:
    canvas.saveState()
    canvas.translate(words.at[0], -words.at[1])
    canvas.rotate(-words.turn_degrees)
    canvas.setFillGray(words.ink)
    canvas.setFont(FONTS[words.bold], words.size_mm)
    draw = {
        "start": canvas.drawString,
        "middle": canvas.drawCentredString,
        "end": canvas.drawRightString,
    }[words.anchor]
    draw(0, 0, words.text)
    canvas.restoreState()

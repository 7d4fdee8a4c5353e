# SPDX-License-Identifier: GPL-3.0-or-later
"""The maker's sheets as files, a folder for each variant of a job."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from .cut_line import CutLine
from .dxf import write_dxf
from .files import folder_names, write_text
from .job import Job
from .lay import lay_orders
from .paper import PAPERS, page_svg
from .paper.pdf import write_pdf
from .sheets import wording
from .sheets.drawing import pattern_drawings
from .sheets.flow import document, pages
from .sheets.making_words import WORDS
from .sheets.piece_templates import piece_drawings
from .sheets.plan import batch_plan, cutting_plan
from .sheets.purchase import doubts_told
from .sheets.sewing import sewing_order
from .sheets.sheet_job import SheetJob, sheet_job
from .sheets.template_pages import template_pages
from .sheets.tiling import one_page, tiled
from .units import RangeError
from .wish_on_drape import grant_on_drapes

__all__ = ["write_making_sheets"]

TEXT_MM, LARGE_TEXT_MM = 3.5, 5.0
PICTURE_TEXT_MM, LARGE_PICTURE_TEXT_MM = 2.9, 3.6


def write_making_sheets(
    job: Job,
    folder: Path,
    *,
    large: bool = False,
    together: bool = False,
    tell: Callable[[str, float], None] = lambda _step, _fraction: None,
    warn: Callable[[str], None] = lambda _words: None,
) -> tuple[Path, ...]:
    """Write the sheets of every variant; what a maker looks at first comes first.

    ``together`` adds a lay of all variants on the same cloths: a batch of several sizes. ``tell`` is
    told what is going on where a wish is granted on drapes, ``warn`` what a check does not let pass.

    Raises
    ------
    InputError
        A variant cannot be laid or cut.
    SolverError
        A wish's wrap could not be draped.
    FileError
        A file cannot be written.
    """
    try:
        return _written(job, folder, tell, warn, large=large, together=together)
    except RangeError as error:
        raise error.retold(error.key, job.units, None) from error


def _written(
    job: Job,
    folder: Path,
    tell: Callable[[str, float], None],
    warn: Callable[[str], None],
    *,
    large: bool,
    together: bool,
) -> tuple[Path, ...]:
    variants = job.expand()
    written: list[Path] = []
    wraps: dict[str, SheetJob] = {}
    folders = folder_names(name for name, _ in variants)
    for (name, variant), own in zip(variants, folders, strict=True):
        inside = folder / own if len(variants) > 1 else folder
        heading = job.name if name == job.name else f"{job.name}, {name}"
        sheet = sheet_job(variant, text_mm=LARGE_PICTURE_TEXT_MM if large else PICTURE_TEXT_MM)
        for words in doubts_told(sheet, by_key=True):
            warn(f"{heading}: {words}")
        batch = _batch_title(job) if together else ""
        written += _write_variant(sheet, heading, inside, tell, large=large, batch=batch)
        wraps[name] = sheet
    if together:
        written += _write_batch(job, wraps, folder, large=large)
    return tuple(written)


def _batch_title(job: Job) -> str:
    return f"{job.name}: {WORDS['batch']}"


def _write_batch(
    job: Job, wraps: Mapping[str, SheetJob], folder: Path, *, large: bool
) -> list[Path]:
    """One lay for all variants, as a page and on paper."""
    orders = [replace(sheet.order, name=name) for name, sheet in wraps.items()]
    blocks = batch_plan(wraps, lay_orders(orders, job.units), job.name)
    written = [folder / "batch.html"]
    write_text(written[0], document(job.name, [blocks], large=large))
    title = _batch_title(job)
    for paper in PAPERS:
        written.append(folder / f"batch_{paper}.pdf")
        size_mm = LARGE_TEXT_MM if large else TEXT_MM
        write_pdf(written[-1], title, pages(title, blocks, paper, size_mm))
    return written


def _write_variant(
    sheet: SheetJob,
    heading: str,
    folder: Path,
    tell: Callable[[str, float], None],
    *,
    large: bool,
    batch: str,
) -> list[Path]:
    """The sheets of one variant; ``batch`` is the title of the sheet of all, if there is one."""
    job = sheet.job
    if not batch and job.wish is not None and job.wish.draped:
        sheet = replace(sheet, draped=grant_on_drapes(job, tell))
    parts = (cutting_plan(sheet, heading, batch=batch), sewing_order(sheet, heading))
    page = folder / "making.html"
    write_text(page, document(heading, parts, large=large))
    written = [page]
    line = sheet.garment.mark
    size_mm = LARGE_TEXT_MM if large else TEXT_MM
    for paper in PAPERS:
        for stem, blocks in zip(("cutting_plan", "sewing_order"), parts, strict=True):
            path = folder / f"{stem}_{paper}.pdf"
            title = stem.replace("_", " ")
            write_pdf(
                path, f"{heading}: {title}", pages(f"{heading}, {title}", blocks, paper, size_mm)
            )
            written.append(path)
        path = folder / f"templates_{paper}.pdf"
        pieces = piece_drawings(sheet.extras, job.allowances)
        write_pdf(
            path, heading, template_pages(heading, job.cut, job.allowances, line, paper, pieces)
        )
        written.append(path)
    return written + _write_pattern(heading, line, folder)


def _write_pattern(heading: str, line: CutLine, folder: Path) -> list[Path]:
    """The pattern of one layer, each part over sheets, as one sheet, as drawings."""
    written = []
    for stem, drawing in pattern_drawings(f"{heading}: {wording.PATTERN_NAME}", line):
        for paper in PAPERS:
            written.append(folder / f"{stem}_{paper}.pdf")
            write_pdf(written[-1], drawing.name, tiled(drawing, paper))
        whole = one_page(drawing)
        written.append(folder / f"{stem}_one_page.pdf")
        write_pdf(written[-1], drawing.name, [whole])
        written.append(folder / f"{stem}.svg")
        write_text(written[-1], page_svg(whole))
        written.append(folder / f"{stem}.dxf")
        write_dxf(written[-1], drawing)
    return written

# SPDX-License-Identifier: GPL-3.0-or-later
"""Pages for a browser: the maker's sheets of a job, the report of the wraps in view."""

from pathlib import Path

from bpy.types import Scene

from ..core.comparison import Outcome
from ..core.files import folder_names, write_text
from ..core.job import Job
from ..core.paper import page_svg
from ..core.report import Report, write_report
from ..core.sheets import wording
from ..core.sheets.drawing import pattern_drawings
from ..core.sheets.flow import document
from ..core.sheets.plan import cutting_plan
from ..core.sheets.sewing import sewing_order
from ..core.sheets.sheet_job import sheet_job
from ..core.sheets.tiling import one_page
from ..core.slices import finished
from . import bodies
from .bench import in_view
from .figures import Figure
from .jobs import read_text, turned
from .lengths import units_of
from .session import measured

__all__ = ["write_pages", "write_sheets"]


def write_sheets(job: Job, folder: Path) -> Path:
    """Write ``making.html`` and ``pattern.svg`` (one for each piece of a layer); gives the page.

    Raises
    ------
    NapfoldError
        The job cannot be laid, or a file cannot be written.
    """
    sheet = sheet_job(job)
    page = folder / "making.html"
    parts = (cutting_plan(sheet, job.name), sewing_order(sheet, job.name))
    write_text(page, document(job.name, parts, large=False))
    name = f"{job.name}: {wording.PATTERN_NAME}"
    for stem, drawing in pattern_drawings(name, sheet.garment.mark):
        write_text(folder / f"{stem}.svg", page_svg(one_page(drawing)))
    return page


def write_pages(scene: Scene, folder: Path) -> Path:
    """Write the report of every wrap in view that was draped; gives the page.

    Raises
    ------
    NapfoldError
        A drape cannot be read, or the file cannot be written.
    """
    shown = [(name, figure) for name, figure in in_view(scene) if figure.job_text]
    slugs = folder_names(name for name, _ in shown)
    outcomes = tuple(
        _outcome(name, figure, slug) for (name, figure), slug in zip(shown, slugs, strict=True)
    )
    report = Report(
        title=scene.napfold.title,
        units=units_of(scene),
        views=(),
        outcomes=outcomes,
        no_pictures="Pictures are taken by themselves in Blender.",
    )
    write_report(folder / "report.html", report)
    return folder / "report.html"


def _outcome(name: str, figure: Figure, slug: str) -> Outcome:
    """A figure measured again on its drape."""
    job = read_text(figure.job_text)
    worn = turned(job) if figure.key.turned else job
    mannequin = finished(bodies.built(worn.tape))
    return finished(measured(worn, mannequin, figure.drape, name=name, slug=slug))[0]

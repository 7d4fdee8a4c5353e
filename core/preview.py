# SPDX-License-Identifier: GPL-3.0-or-later
"""The main job: from a job file to settled wraps, their fit, their pictures and a report."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryFile

from .blender_process import NO_BLENDER, has_blender, photograph
from .comparison import Outcome
from .errors import InputError, NapfoldError
from .files import folder_names
from .job import Job
from .least_room import require_room
from .mannequin.own_body import OwnBody
from .measures_file import write_measures
from .plots.gallery import Hung, gallery
from .plots.plate import Plate
from .report import Report, write_fit, write_report
from .units import RangeError, UnitSystem
from .wearer import own_measures
from .workshop import Say, Single, Workshop

__all__ = ["Preview", "preview", "singles"]

SKIPPED = "Pictures were not asked for."


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """What a preview left behind; ``failed`` says what failed while the rest went on, or nothing."""

    report: Report
    page: Path
    failed: str


def singles(job: Job) -> Iterator[Single]:
    """Every variant in each of its poses, with folder names that do not clash."""
    plan = [
        (_named(name if job.variants else "", one.poses, pose, job), name, pose, one)
        for name, one in job.expand()
        for pose in one.poses
    ]
    folders = folder_names(full for full, *_ in plan)
    for (full, name, pose, one), folder in zip(plan, folders, strict=True):
        single = replace(one, name=full, poses=(pose,))
        yield Single(name=full, slug=folder, pose=pose, job=single, variant=name)


def _named(variant: str, poses: Sequence[str], pose: str, job: Job) -> str:
    """A drape by its variant, by its pose, or by both, as there are several."""
    if len(poses) == 1:
        return variant or job.name
    return f"{variant}, {pose}" if variant else pose


def preview(
    job: Job,
    out: Path,
    edge_length_m: float,
    *,
    say: Say,
    own: OwnBody | None = None,
    pictures: bool = True,
    in_a_row: bool = False,
) -> Preview:
    """Make every drape of a job, measure it, have it photographed and write the report.

    Parameters
    ----------
    job
        The job.
    out
        Folder for ``report.html``, ``fit.json``, ``measures.csv`` and one folder a drape. What an earlier preview
        of the same job left in these places is removed first.
    edge_length_m
        Edge length of the panel mesh, metres.
    say
        Told at each step.
    own
        The body that ``job.body`` names, read; None if it names none.
    pictures
        Whether to have pictures made.
    in_a_row
        Whether each drape goes on from the one before it, for variants that differ in one number.

    Raises
    ------
    InputError
        The own body does not fit through the garment, the folder cannot be written to, or the
        edge length does not suit a cut.
    NapfoldError
        A step failed; the message names it. Nothing half-written is left.
    """
    plan = list(singles(job))
    if own is not None:
        _require_room(plan, own)
    folders = [out / single.slug for single in plan]
    _clear(out, folders, job.views)
    workshop = Workshop(edge_length_m, own, in_a_row=in_a_row)
    hung = [
        workshop.make(single, folder, say) for single, folder in zip(plan, folders, strict=True)
    ]
    outcomes = [one.outcome for one in hung]
    failed, no_pictures = "", SKIPPED
    if pictures:
        failed = _photograph(folders, say) if has_blender() else NO_BLENDER
        no_pictures = failed
        outcomes = [
            _with_pictures(outcome, folder, job.views)
            for outcome, folder in zip(outcomes, folders, strict=True)
        ]
    report = Report(
        title=job.name,
        units=job.units,
        views=job.views,
        outcomes=tuple(outcomes),
        no_pictures=no_pictures,
    )
    # figures first: whatever becomes of the plots, they are kept
    say("Writing fit.json and measures.csv")
    write_fit(out / "fit.json", report)
    write_measures(out / "measures.csv", report.outcomes)
    plates, no_plates = _plates(hung, job.units, say)
    report = replace(report, plates=plates, no_plates=no_plates)
    say("Writing report.html")
    write_report(out / "report.html", report)
    return Preview(report=report, page=out / "report.html", failed=failed)


def _plates(hung: Sequence[Hung], units: UnitSystem, say: Say) -> tuple[tuple[Plate, ...], str]:
    """Plots and drawn wraps, or why there are none."""
    say("Drawing plots")
    try:
        return tuple(gallery(hung, units)), ""
    except NapfoldError as error:
        return (), f"There are no plots. {error}"


def _clear(out: Path, folders: Sequence[Path], views: tuple[str, ...]) -> None:
    """Remove what an earlier run left, so that a failed step leaves no stale result behind."""
    names = ("drape.npz", "job.toml", "scene.blend", *(f"{view}.png" for view in views))
    stale = [out / "fit.json", out / "measures.csv", out / "report.html"]
    stale += [folder / name for folder in folders for name in names]
    try:
        # told now, not after minutes of draping
        for folder in (out, *folders):
            folder.mkdir(parents=True, exist_ok=True)
            with TemporaryFile(dir=folder):
                pass
        for path in stale:
            path.unlink(missing_ok=True)
    except OSError as error:
        raise InputError(
            "The output folder",
            f"{out}, which cannot be written to ({error.strerror})",
            "a folder of your own that exists or can be made",
            "choose another one",
        ) from error


def _require_room(plan: Sequence[Single], own: OwnBody) -> None:
    """Refuse cuts that the own body cannot get into, each told in the job's units."""
    for single in plan:
        try:
            job = single.job
            require_room(job.cut, own_measures(job.tape, own), job.thickness_m)
        except RangeError as error:
            raise error.retold(f"{single.name}, {error.key}", single.job.units, None) from error


def _photograph(folders: Sequence[Path], say: Say) -> str:
    """Have the drapes photographed; return why it failed, if so."""
    say("Taking pictures: starting Blender")
    return photograph([*map(str, folders)], lambda line: say(f"Taking pictures: {line}"))


def _with_pictures(outcome: Outcome, folder: Path, views: tuple[str, ...]) -> Outcome:
    paths = {view: folder / f"{view}.png" for view in views}
    return replace(outcome, pictures={view: path for view, path in paths.items() if path.is_file()})

# SPDX-License-Identifier: GPL-3.0-or-later
"""A set of product pictures in one go, gone on with where it was stopped."""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from .blender_process import NO_BLENDER, has_blender, photograph
from .drape_store import DrapeStore
from .files import remove_file
from .job import Job
from .mannequin.own_body import OwnBody
from .picture_extras import plan_extras
from .picture_manifest import is_taken, write_manifest
from .picture_plan import LeftOut, Picture, plan_pictures
from .picture_words import PREVIEW
from .pictures.take import Sheet, Take, write_sheet, write_takes
from .workshop import Say, Workshop

__all__ = ["PictureSet", "make_pictures"]

TAKES, SHEET = "takes.json", "contact_sheet.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureSet:
    """What a run left: all that is there, how much of it is new, and what failed."""

    pictures: tuple[Picture, ...]
    left_out: tuple[LeftOut, ...]
    new: int
    failed: str


def make_pictures(
    job: Job,
    out: Path,
    edge_length_m: float,
    *,
    say: Say,
    own: OwnBody | None = None,
    quick: bool = False,
) -> PictureSet:
    """Take all pictures that a job asks for; only what changed since the last run is made again.

    Parameters
    ----------
    job
        The job; its table ``pictures`` says which.
    out
        Folder for the pictures, ``manifest.json`` and ``manifest.csv``. Drapes are kept in it.
    edge_length_m
        Edge length of the cloth's mesh, metres.
    say
        Told at each step, with the share that is done.
    own
        The body that ``job.body`` names, read; None if it names none.
    quick
        Fewer samples, for a first look.

    Raises
    ------
    InputError, FileError, SolverError
        A drape cannot be made, or a file cannot be read or written. What was finished is kept.
    """
    store = DrapeStore(out, edge_length_m, Workshop(edge_length_m, own), say)
    pictures, left_out = plan_pictures(job, out, store.drape_of, quick=quick)
    pictures += plan_extras(job, out, store.drape_of, quick=quick)
    todo = [one for one in pictures if not is_taken(one)]
    _write(out, job, pictures, left_out)
    failed = ""
    if todo:
        failed = _take(out, todo, say) if has_blender() else NO_BLENDER
    _write(out, job, pictures, left_out)
    there = tuple(one for one in pictures if is_taken(one))
    new = sum(is_taken(one) for one in todo)
    if has_blender() and not failed:
        failed = _lay_out(out, there, new, say) or _join(there, say)
    return PictureSet(pictures=there, left_out=tuple(left_out), new=new, failed=failed)


def _write(out: Path, job: Job, pictures: Sequence[Picture], left_out: Sequence[LeftOut]) -> None:
    write_manifest(out, job, [one for one in pictures if is_taken(one)], left_out)


def _take(out: Path, todo: Sequence[Picture], say: Say) -> str:
    """Have pictures taken, telling how far it is and how long it will take; why it failed, if so."""
    takes = [one.take for one in todo]
    write_takes(out / TAKES, takes)
    clock = _Clock(takes)
    say(f"Taking {len(takes)} pictures: starting Blender")

    def hear(line: str) -> None:
        say(f"Taking pictures: {line}{clock.left(line)}", clock.fraction)

    try:
        return photograph(["--takes", str(out / TAKES)], hear)
    finally:
        remove_file(out / TAKES)


def _lay_out(out: Path, there: Sequence[Picture], new: int, say: Say) -> str:
    """Lay the pictures out on the contact sheet where any is new; why that failed, if it did."""
    path = out / "contact_sheet.png"
    shown = [one for one in there if one.facts["shot"] != "turntable"]
    if not shown or (path.is_file() and not new):
        return ""
    say("Laying out the contact sheet")
    entries = tuple(
        (
            one.take.path,
            " / ".join(filter(None, (one.facts["variant"], one.facts["colourway"])))
            or one.facts["job"],
            f"{one.facts['shot']}, {one.facts['background']}, "
            f"{one.take.width_px} x {one.take.height_px}",
        )
        for one in shown
    )
    texts = {"Title": f"{shown[0].facts['job']}, contact sheet", "Comment": PREVIEW}
    write_sheet(out / SHEET, Sheet(path=str(path), entries=entries, texts=texts))
    try:
        return photograph(["--contact", str(out / SHEET)], say)
    finally:
        remove_file(out / SHEET)


def _join(there: Sequence[Picture], say: Say) -> str:
    """Join the frames of each turntable to a film; why that failed, if it did."""
    frames = [Path(one.take.path) for one in there if one.facts["shot"] == "turntable"]
    for folder in sorted({frame.parent for frame in frames}):
        film = folder.with_suffix(".mp4")
        newest = max(frame.stat().st_mtime for frame in frames if frame.parent == folder)
        if film.is_file() and film.stat().st_mtime >= newest:
            continue
        say(f"Joining the turntable {folder.name}")
        failed = photograph(["--film", str(folder)], say)
        if failed:
            return failed
    return ""


class _Clock:
    """Reckons from the pixels that are done how long the others will take."""

    def __init__(self, takes: Sequence[Take]) -> None:
        self._pixels = [take.width_px * take.height_px for take in takes]
        self._begun = 0
        self._start = time.monotonic()
        self.fraction = 0.0

    def left(self, line: str) -> str:
        """Told with each line: one that begins a picture moves the clock on."""
        if not line.startswith("rendering"):
            return ""
        done = sum(self._pixels[: self._begun])
        self._begun += 1
        self.fraction = done / sum(self._pixels)
        if not done:
            return ""
        left_s = (time.monotonic() - self._start) * (1 / self.fraction - 1)
        return f", about {round(left_s / 60)} min left" if left_s > 90 else ", a minute or so left"

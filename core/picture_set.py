# SPDX-License-Identifier: GPL-3.0-or-later
"""A set of product pictures in one go, gone on with where it was stopped."""

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from .blender_process import NO_BLENDER, has_blender, photograph
from .drape import Drape, load_drape, save_drape
from .errors import FileError, NapfoldError
from .job import Job, load_job
from .mannequin.own_body import OwnBody
from .picture_extras import plan_extras
from .picture_manifest import is_taken, write_manifest
from .picture_plan import LeftOut, Picture, drape_key, plan_pictures
from .picture_words import PREVIEW
from .pictures.take import Sheet, Take, write_sheet, write_takes
from .workshop import Say, Single, Workshop

__all__ = ["PictureSet", "make_pictures"]

DRAPES, TAKES, SHEET = "drapes", "takes.json", "contact_sheet.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureSet:
    """What a run left: all that is there, how much of it is new, and what failed."""

    pictures: tuple[Picture, ...]
    left_out: tuple[LeftOut, ...]
    new: int
    failed: str


class _Store:
    """Drapes by their keys: those in the folder, those of an earlier preview there, new ones."""

    def __init__(self, out: Path, edge_length_m: float, workshop: Workshop, say: Say) -> None:
        self._folder = out / DRAPES
        self._edge_length_m = edge_length_m
        self._workshop = workshop
        self._say = say
        self._loaded: dict[str, tuple[str, Drape]] = {}
        self._previewed = _previewed(out)

    def drape_of(self, job: Job, pose: str) -> tuple[str, Drape]:
        """File and content of the drape of a job in a pose, made where there is none."""
        key = drape_key(job, pose, self._edge_length_m)
        if key not in self._loaded:
            path = self._folder / f"{key}.npz"
            self._loaded[key] = (str(path), self._stored(path, key) or self._made(path, job, pose))
        return self._loaded[key]

    def _stored(self, path: Path, key: str) -> Drape | None:
        if path.is_file():
            return load_drape(path)
        if key not in self._previewed:
            return None
        drape = load_drape(self._previewed[key])
        save_drape(path, drape)
        return drape

    def _made(self, path: Path, job: Job, pose: str) -> Drape:
        single = Single(
            name=f"{job.name}, {pose}",
            slug="",
            job=replace(job, poses=(pose,), variants=()),
            pose=pose,
            variant="",
        )
        drape = self._workshop.drape(single, self._say)
        save_drape(path, drape)
        return drape


def _previewed(out: Path) -> dict[str, Path]:
    """Drapes that a preview left in the folder, by key."""
    found = {}
    for path in sorted(out.glob("*/job.toml")):
        drape = path.with_name("drape.npz")
        try:
            job = load_job(path)
            edge_length_m = load_drape(drape).panel.edge_length_m
        except NapfoldError:
            continue  # not what a preview leaves
        found[drape_key(job, job.poses[0], edge_length_m)] = drape
    return found


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
    store = _Store(out, edge_length_m, Workshop(edge_length_m, own), say)
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
        failed = _lay_out(out, there, new, say) or _join(out, there, say)
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
        _remove(out / TAKES)


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
        _remove(out / SHEET)


def _join(out: Path, there: Sequence[Picture], say: Say) -> str:
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


def _remove(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise FileError(f"{path} cannot be removed: {error.strerror}.") from error


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

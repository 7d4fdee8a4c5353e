# SPDX-License-Identifier: GPL-3.0-or-later
"""The set of pictures of a scene's job, taken from the drapes that the scene has."""

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import bpy
from bpy.types import Scene

from ..core.drape import Drape
from ..core.files import whole_file
from ..core.job import Job
from ..core.picture_extras import plan_extras
from ..core.picture_manifest import is_taken, write_manifest
from ..core.picture_plan import LeftOut, Picture, drape_key, plan_pictures
from ..core.pictures.png_file import annotated
from ..core.pictures.take import Take
from .figures import figures
from .jobs import read_text, turned, whole_job
from .scene.photograph import aimed

__all__ = ["PictureRun"]

UNFINISHED = "unfinished.png"


@dataclass
class PictureRun:
    """What is to be taken into a folder, and how far it is.

    Parameters
    ----------
    scene
        The scene with the job and its drapes.
    folder
        For the pictures and their list; pictures that are there already are kept.
    empty
        Gives an empty scene for the studio; the last one is of no more use.

    Raises
    ------
    NapfoldError
        The settings make no job, or the folder cannot be written to.
    """

    scene: Scene
    folder: Path
    empty: Callable[[], Scene]
    job: Job = field(init=False)
    pictures: list[Picture] = field(init=False)
    left_out: list[LeftOut] = field(init=False)
    todo: list[Picture] = field(init=False)
    done: int = field(init=False, default=0)

    def __post_init__(self) -> None:
        drapes = dict(_drapes(self.scene))
        self._hung = drapes
        self.job = whole_job(self.scene)
        self.pictures, self.left_out = plan_pictures(self.job, self.folder, self._drape_of)
        self.pictures += plan_extras(self.job, self.folder, self._drape_of)
        self.todo = [one for one in self.pictures if not is_taken(one)]
        self._began_s = time.monotonic()
        self._aimed = aimed((one.take for one in self.todo), self.empty, self._load)
        self.list()

    def _drape_of(self, job: Job, pose: str) -> tuple[str, Drape] | None:
        for edge_length_m in {drape.panel.edge_length_m for drape in self._hung.values()}:
            key = drape_key(job, pose, edge_length_m)
            if key in self._hung:
                return f"{key}.npz", self._hung[key]
        return None

    def _load(self, path: Path) -> Drape:
        return self._hung[path.stem]

    def next(self) -> tuple[Take, Scene] | None:
        """The next take with a scene that is ready, its render aimed at `unfinished`; None at the end."""
        found = next(self._aimed, None)
        if found is not None:
            found[1].render.filepath = str(self.unfinished)
        return found

    @property
    def unfinished(self) -> Path:
        """Where Blender writes a picture before it is put in its place."""
        return Path(bpy.app.tempdir) / UNFINISHED

    def keep(self, take: Take) -> None:
        """Put the picture that was rendered in its place, with what it says about itself."""
        with whole_file(Path(take.path)) as temporary:
            temporary.write_bytes(annotated(self.unfinished.read_bytes(), take.texts))
        self.unfinished.unlink()
        self.done += 1
        self.list()

    def list(self) -> None:
        """Write the list of what is there."""
        there = [one for one in self.pictures if is_taken(one)]
        write_manifest(self.folder, self.job, there, self.left_out)

    @property
    def fraction(self) -> float:
        """Share of the pictures that is done."""
        return self.done / max(len(self.todo), 1)

    @property
    def seconds_left(self) -> int:
        """About how long the others will take; 0 while that is not known."""
        if not self.done:
            return 0
        return round((time.monotonic() - self._began_s) * (1 / self.fraction - 1))


def _drapes(scene: Scene) -> Iterator[tuple[str, Drape]]:
    """The scene's settled drapes, by key."""
    for figure in figures(scene):
        drape = figure.drape
        if drape is None or not figure.job_text:
            continue
        job = read_text(figure.job_text)
        worn = turned(job) if figure.key.turned else job
        yield drape_key(worn, figure.key.pose, drape.panel.edge_length_m), drape

# SPDX-License-Identifier: GPL-3.0-or-later
"""One drape in the making, and how the scene gets back to what it was before.

Scene and objects are looked up anew at each step: undo and deletion make Blender's own references
invalid.
"""

import math
from collections.abc import Callable, Generator
from dataclasses import dataclass, replace
from typing import TypeVar

import bpy
import numpy as np
from bpy.types import Scene

from ..core.arrays import FloatArray
from ..core.body_levels import body_levels
from ..core.comparison import Outcome
from ..core.cut_line import finished_cut
from ..core.drape import Drape, Progress, pack_drape, settle
from ..core.errors import SolverError
from ..core.fields import Fields, measure_fields
from ..core.fit import fit_measured
from ..core.fit_checks import fit_checks
from ..core.fit_range import fit_range
from ..core.job import Job
from ..core.mannequin import BodyDistance, Mannequin
from ..core.pattern import build_pattern
from ..core.slices import Slices
from ..core.telling import Telling
from . import bench, bodies
from .figures import PRESENT, Key, figures, find, hide_live, put_figure, put_stopped, show_live
from .jobs import comparable, job_of, read_text, text_of, turned
from .lengths import metres
from .settings import announce
from .sidebar_lengths import MESH
from .task import Task
from .telling import findings_in, stopped, told_of

__all__ = ["SLICE_S", "WITHOUT_PAUSE_S", "DrapeSession"]

# A window that answers within 30 ms feels alive; without a window nobody waits for one.
SLICE_S = 0.03
WITHOUT_PAUSE_S = math.inf
PORTION = 250  # points that are asked for their distance from the skin at once
Result = TypeVar("Result")
STOPPED = "Stopped before it came to rest: nothing was measured"


@dataclass(frozen=True, slots=True)
class Finished:
    """A drape, the bytes that a file keeps of it, and what was measured on it."""

    drape: Drape
    packed: bytes
    outcome: Outcome
    fields: Fields


class DrapeSession:
    """From the settings of a scene to its dressed mannequin, slice by slice.

    While it runs, what is shown of the present wrap is hidden and the cloth on its way is shown.
    `cancel` takes that back; `keep` puts the new drape in the place of an earlier one of the same
    pose and side.

    Parameters
    ----------
    scene
        The scene with the settings; it gets the drape.
    budget_s
        Time of one slice in seconds.
    number
        The variant to drape; as a rule the wrap in the panel.

    Raises
    ------
    InputError
        The settings cannot be used.
    """

    def __init__(self, scene: Scene, budget_s: float, number: int = PRESENT) -> None:
        self._job = job_of(scene) if number == PRESENT else variant_job(scene, number)
        self._texts = text_of(self._job), comparable(self._job)
        self._key = Key(scene.napfold.pose, scene.napfold.turned, number)
        self._scene_uid = scene.session_uid
        self._worn = turned(self._job) if self._key.turned else self._job
        edge_length_m = metres(scene.napfold, MESH, "edge_length")
        self._task = Task(self._steps(self._earlier(scene), edge_length_m), budget_s)
        self._live = False

    def _steps(
        self, earlier: Drape | None, edge_length_m: float
    ) -> Generator[Progress, None, Finished]:
        job, building = self._worn, Progress(0.0, "Building the mannequin")
        yield building
        work = bodies.built(job.tape)
        while True:
            try:
                next(work)
            except StopIteration as end:
                mannequin: Mannequin = end.value
                break
            yield building
        drape = yield from settle(
            build_pattern(finished_cut(job.cut, job.allowances)),
            job.outer_cloth,
            job.lining_cloth,
            mannequin,
            job.poses[0],
            edge_length_m,
            earlier=earlier,
        )
        yield Progress(1.0, "Measuring the fit")
        outcome, fields = yield from measured(job, mannequin, drape)
        yield Progress(1.0, "Measuring the fit")
        return Finished(drape, pack_drape(drape), outcome, fields)

    def _earlier(self, scene: Scene) -> Drape | None:
        """A drape to go on from: of this pose and side, else of the other side, else any."""
        present = [one for one in figures(scene) if one.key.pose == self._key.pose]
        own = self._key
        present.sort(key=lambda one: (one.key.number != own.number, one.key.turned != own.turned))
        return next((drape for one in present if (drape := one.drape) is not None), None)

    @property
    def finished(self) -> bool:
        """Whether the drape is done."""
        return self._task.finished

    @property
    def result(self) -> Finished | None:
        """The drape and what was measured on it, None before it is done."""
        return self._task.result

    @property
    def progress(self) -> tuple[float, str]:
        """Share that is done, and what is being done."""
        latest = self._task.latest
        return (0.0, "") if latest is None else (latest.fraction, latest.text)

    @property
    def stoppable(self) -> bool:
        """Whether there is cloth to keep already."""
        return self._task.latest is not None and self._task.latest.outer is not None

    def step(self) -> None:
        """Compute for one slice.

        Raises
        ------
        SolverError
            The computation failed.
        """
        self._task.step()

    def show(self) -> None:
        """Show the cloth as it hangs now, in the place of the present wrap.

        Raises
        ------
        SolverError
            The scene is gone.
        """
        if self.stoppable:
            scene = self._scene()
            if not self._live:
                bench.hide_present(scene)
                self._live = True
            show_live(scene, self._task.latest, self._worn.outer_cloth)

    def cancel(self) -> None:
        """Give the drape up; the scene is as it was before."""
        self._task.close()
        for scene in self._scenes():
            self._clear(scene)

    def keep(self) -> Outcome:
        """Put the finished drape, and in words what was measured on it, into the scene."""
        scene = self._scene()
        self._clear(scene)
        done = self.result
        told = told_of(done.outcome, self._job)
        put_figure(scene, self._key, done.drape, done.packed, self._texts, told, done.fields)
        bench.show(scene)
        announce(scene, "colouring")
        return done.outcome

    def stop(self) -> None:
        """Keep what is there as it hangs now, in the place of the earlier drape."""
        scene, latest = self._scene(), self._task.latest
        self._task.close()
        self._clear(scene)
        cloths = self._worn.outer_cloth, self._worn.lining_cloth
        put_stopped(scene, self._key, latest, cloths, stopped(STOPPED))
        bench.show(scene)

    def hide(self) -> None:
        """Take the cloth on its way out of the scene until it is shown again."""
        for scene in self._scenes():
            self._clear(scene)

    def told(self, scene: Scene) -> str:
        """The findings as one line."""
        figure = find(scene, self._key)
        told = {} if figure is None else figure.told
        return findings_in(told, self._job.units).replace("\n", "; ")

    def _clear(self, scene: Scene) -> None:
        """Take the cloth on its way out, and the present wrap back into view."""
        hide_live(scene)
        bench.show(scene)
        self._live = False

    def _scenes(self) -> list[Scene]:
        return [scene for scene in bpy.data.scenes if scene.session_uid == self._scene_uid]

    def _scene(self) -> Scene:
        scenes = self._scenes()
        if not scenes:
            raise SolverError("The scene that the drape was for is gone. Press Drape again.")
        return scenes[0]


def variant_job(scene: Scene, number: int) -> Job:
    """The job of a variant, in the pose of the panel."""
    variant = next(one for one in scene.napfold.variants if one.number == number)
    return replace(read_text(variant.text), poses=(scene.napfold.pose,))


def watched(work: Slices[Result]) -> Generator[Progress, None, Result]:
    """Measure in slices, saying so."""
    while True:
        try:
            next(work)
        except StopIteration as end:
            return end.value
        yield Progress(1.0, "Measuring the fit")


def in_portions(
    measure: Callable[[FloatArray], FloatArray], points: FloatArray
) -> Slices[FloatArray]:
    """What a function gives for points (n, 3), some at a time."""
    found = []
    for first in range(0, len(points), PORTION):
        found.append(measure(points[first : first + PORTION]))
        yield
    return np.concatenate(found)


def measured(
    job: Job, mannequin: Mannequin, drape: Drape, *, name: str = "", slug: str = ""
) -> Generator[Progress, None, tuple[Outcome, Fields]]:
    """The drape with its fit, as the report takes it, under the job's name or another."""
    distance = BodyDistance(mannequin, mannequin.part)
    yield Progress(1.0, "Measuring the fit")
    distance.set_pose(drape.body)
    yield Progress(1.0, "Measuring the fit")

    def from_skin(points: FloatArray) -> FloatArray:
        return distance.nearest(points).distance

    fit = yield from watched(fit_measured(drape, mannequin.measures, from_skin))
    off_m = yield from watched(in_portions(from_skin, drape.outer))
    fields = measure_fields(drape, lambda _outer: off_m)
    outcome = Outcome(
        name=name or job.name,
        slug=slug,
        measures=mannequin.measures,
        warnings=mannequin.warnings,
        cut=job.cut,
        allowances=job.allowances,
        lay=job.lay,
        outer_cloth=drape.outer_cloth,
        lining_cloth=drape.lining_cloth,
        pose=job.poses[0],
        fit=fit,
        range=fit_range(fit, drape.outer_cloth, drape.lining_cloth),
        converged=drape.converged,
        reasons=drape.reasons,
        statistics=drape.statistics,
        pictures={},
        levels=body_levels(drape),
        checks=fit_checks(fit, job.cut, mannequin.measures, job.wish, Telling(job.units)),
    )
    return outcome, fields

# SPDX-License-Identifier: GPL-3.0-or-later
"""One drape in the making, and how the scene gets back to what it was before.

Scene and objects are looked up anew at each step: undo and deletion make Blender's own references
invalid.
"""

import math
from collections.abc import Generator
from typing import ClassVar

import bpy
from bpy.types import Scene

from ..core.comparison import Outcome, Telling
from ..core.cut_line import finished_cut
from ..core.drape import Drape, Progress, settle
from ..core.errors import SolverError
from ..core.fit import measure_fit
from ..core.fit_range import fit_range
from ..core.job import Job
from ..core.mannequin import BodyDistance, Mannequin, build_mannequin
from ..core.pattern import build_pattern
from ..core.report import verdict
from .dressed import LIVE, parts_of, put_drape, put_stopped, remove, show_live
from .settings import job_of, metres
from .task import Task

__all__ = ["SLICE_S", "WITHOUT_PAUSE_S", "DrapeSession"]

# A window that answers within 30 ms feels alive; without a window nobody waits for one.
SLICE_S = 0.03
WITHOUT_PAUSE_S = math.inf


class DrapeSession:
    """From the settings of a scene to its dressed mannequin, slice by slice.

    While it runs, an earlier drape is hidden and the cloth on its way is shown. `cancel` takes
    both back; `keep` puts the new drape in the place of the earlier one.

    Parameters
    ----------
    scene
        The scene with the settings; it gets the drape.
    budget_s
        Time of one slice in seconds.

    Raises
    ------
    InputError
        The settings cannot be used.

    Attributes
    ----------
    latest
        The scene of the drape kept last, and that drape: the next one in the scene goes on from it
        where little has changed.
    """

    latest: ClassVar[tuple[int, Drape] | None] = None

    def __init__(self, scene: Scene, budget_s: float) -> None:
        self._job = job_of(scene)
        self._scene_uid = scene.session_uid
        self._hidden: list[str] = []
        edge_length_m = metres(scene.napfold, "edge_length")
        self._task = Task(self._steps(self._job, edge_length_m), budget_s)

    def _steps(
        self, job: Job, edge_length_m: float
    ) -> Generator[Progress, None, tuple[Drape, Outcome]]:
        yield Progress(0.0, "Building the mannequin")
        mannequin = build_mannequin(job.tape)
        yield Progress(0.0, "Cutting the cloth")
        drape = yield from settle(
            build_pattern(finished_cut(job.cut, job.allowances)),
            job.outer_cloth,
            job.lining_cloth,
            mannequin,
            job.poses[0],
            edge_length_m,
            earlier=self._earlier(),
        )
        yield Progress(1.0, "Measuring the fit")
        return drape, measured(job, mannequin, drape)

    def _earlier(self) -> Drape | None:
        if self.latest is None or self.latest[0] != self._scene_uid:
            return None
        return self.latest[1]

    @property
    def finished(self) -> bool:
        """Whether the drape is done."""
        return self._task.finished

    @property
    def result(self) -> tuple[Drape, Outcome] | None:
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
        """Show the cloth as it hangs now, in the place of an earlier drape.

        Raises
        ------
        SolverError
            The scene is gone.
        """
        if self.stoppable:
            scene, latest = self._scene(), self._task.latest
            self._hide_earlier(scene)
            show_live(scene, latest.outer, latest.panel, self._job.outer_cloth)

    def cancel(self) -> None:
        """Give the drape up; the scene is as it was before."""
        self._task.close()
        for scene in self._scenes():
            self._show_earlier(scene)

    def keep(self) -> Outcome:
        """Put the finished drape, and in words what was measured on it, into the scene."""
        scene = self._scene()
        self._show_earlier(scene)
        drape, outcome = self.result
        put_drape(scene, drape)
        DrapeSession.latest = self._scene_uid, drape
        told = verdict(outcome, Telling(self._job.units))
        lines = [f"{about}: {words}" for about, words in told.items()]
        scene.napfold.findings = "\n".join([*lines, *outcome.reasons])
        return outcome

    def stop(self) -> None:
        """Keep the outer cloth as it hangs now, in the place of the earlier drape."""
        scene, latest = self._scene(), self._task.latest
        self._task.close()
        self._show_earlier(scene)
        put_stopped(scene, latest.outer, latest.panel, self._job.outer_cloth)
        scene.napfold.findings = "Stopped before it came to rest: nothing was measured"

    def _scenes(self) -> list[Scene]:
        return [scene for scene in bpy.data.scenes if scene.session_uid == self._scene_uid]

    def _scene(self) -> Scene:
        scenes = self._scenes()
        if not scenes:
            raise SolverError("The scene that the drape was for is gone. Press Drape again.")
        return scenes[0]

    def _hide_earlier(self, scene: Scene) -> None:
        for thing in parts_of(scene):
            if not thing.hide_viewport:
                thing.hide_viewport = True
                self._hidden.append(thing.name)

    def _show_earlier(self, scene: Scene) -> None:
        """Take the cloth on its way out, and the earlier drape back into view."""
        remove(parts_of(scene, [LIVE]))
        for name in self._hidden:
            if name in scene.objects:
                scene.objects[name].hide_viewport = False
        self._hidden.clear()


def measured(job: Job, mannequin: Mannequin, drape: Drape) -> Outcome:
    """The drape with its fit, as the report takes it."""
    distance = BodyDistance(mannequin)
    distance.set_pose(drape.body)
    fit = measure_fit(drape, mannequin.measures, lambda points: distance.nearest(points).distance)
    return Outcome(
        name=job.name,
        slug="",
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
    )

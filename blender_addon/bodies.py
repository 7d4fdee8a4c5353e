# SPDX-License-Identifier: GPL-3.0-or-later
"""The undressed body: built in the pauses of the window, and kept for the next drape on it."""

from collections import OrderedDict
from collections.abc import Generator
from dataclasses import dataclass
from typing import Any

import bpy
from bpy.types import Scene

from ..core.errors import NapfoldError
from ..core.job import Job
from ..core.mannequin import Mannequin, PosedBody, mannequin_built
from ..core.tape import Tape
from .figures import home_of, put_bare
from .jobs import job_of
from .settings import announce
from .task import Task

__all__ = ["built", "follow", "leave", "posed", "put_wearer", "shown", "stamp", "steps"]

# The number that was just typed is seldom the last one
WAIT_S, TICK_S, SLICE_S = 0.3, 0.01, 0.03
MOST_ROOM_M = 0.03
MOST_KEPT = 4

_mannequins: "OrderedDict[Any, Mannequin]" = OrderedDict()
_posed: "OrderedDict[Any, PosedBody]" = OrderedDict()


@dataclass(slots=True)
class _Following:
    """The scene whose body is being built."""

    scene_uid: int = 0
    job: Job | None = None
    task: Task[None, PosedBody] | None = None


_following = _Following()


def _tape_key(tape: Tape) -> Any:
    return tape.sex, tuple(sorted(tape.given.items()))


def _room_m(job: Job) -> float:
    """Two thicknesses of wrap, sleeve and side, lie between arm and trunk."""
    return min(2 * job.thickness_m, MOST_ROOM_M)


def _pose_key(job: Job) -> Any:
    return _tape_key(job.tape), job.poses[0], round(_room_m(job), 4)


def built(tape: Tape) -> Generator[None, None, Mannequin]:
    """The mannequin of a tape, from memory or in slices."""
    key = _tape_key(tape)
    if key not in _mannequins:
        _mannequins[key] = yield from mannequin_built(tape)
        while len(_mannequins) > MOST_KEPT:
            _mannequins.popitem(last=False)
    return _mannequins[key]


def steps(job: Job) -> Generator[None, None, PosedBody]:
    """The body of a job in its pose, from memory or in slices."""
    mannequin = yield from built(job.tape)
    key = _pose_key(job)
    if key not in _posed:
        yield
        _posed[key] = yield from mannequin.taking_place(job.poses[0], _room_m(job))
        while len(_posed) > MOST_KEPT:
            _posed.popitem(last=False)
    return _posed[key]


def posed(job: Job) -> PosedBody | None:
    """The body of a job in its pose, if it was built."""
    return _posed.get(_pose_key(job))


def stamp(scene: Scene) -> bool:
    """Changes when the body of the scene's job becomes known."""
    try:
        return posed(job_of(scene)) is not None
    except NapfoldError:
        return False


def shown(scene: Scene) -> bool:
    """Whether Napfold has begun in a scene."""
    return home_of(scene) is not None


def put_wearer(scene: Scene) -> None:
    """Build the body of a scene at once and put it there.

    Raises
    ------
    NapfoldError
        The settings make no job, or the measures no body.
    """
    job = job_of(scene)
    work = steps(job)
    while True:
        try:
            next(work)
        except StopIteration as end:
            put_bare(scene, end.value, repr(_pose_key(job)))
            return


def follow(scene: Scene) -> None:
    """Have the body follow the settings in the pauses of the window."""
    _following.scene_uid, _following.task = scene.session_uid, None
    if not bpy.app.timers.is_registered(_tick):
        bpy.app.timers.register(_tick, first_interval=WAIT_S)


def leave() -> None:
    """Give up what is being built and forget all bodies."""
    if bpy.app.timers.is_registered(_tick):
        bpy.app.timers.unregister(_tick)
    _following.task = None
    _mannequins.clear()
    _posed.clear()


def _tick() -> float | None:
    """Build for one slice; None when there is no more to do."""
    scene = next((one for one in bpy.data.scenes if one.session_uid == _following.scene_uid), None)
    if scene is None or not shown(scene):
        return None
    if bpy.context.window_manager.napfold.running:
        return WAIT_S
    try:
        return _advance(scene)
    except NapfoldError:
        return None  # the panel tells what is wrong with the numbers


def _advance(scene: Scene) -> float | None:
    job = job_of(scene)
    if _following.task is None or _following.job != job:
        _following.task, _following.job = Task(steps(job), SLICE_S), job
    _following.task.step()
    if not _following.task.finished:
        return TICK_S
    put_bare(scene, _following.task.result, repr(_pose_key(job)))
    _following.task = None
    announce(scene, "body")
    return None

# SPDX-License-Identifier: GPL-3.0-or-later
"""The wrap in view in 3D for a product page, into a folder."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import bpy
from bpy.app.translations import pgettext_iface as translated
from bpy.props import BoolProperty, StringProperty
from bpy.types import Context, Event, Operator, Scene, Window

from ...core.errors import NapfoldError
from ...core.files import slug
from ...core.model_words import model_of
from ...core.picture_plan import looks
from ...core.pictures.model import MODEL_FILES
from .. import bench
from ..figures import mark_studio
from ..jobs import turned
from ..scene.model import write_model
from .pictures import STUDIO, clear_away
from .variants import draped, idle

__all__ = ["NAPFOLD_OT_model"]

SCENE = "Napfold Model"
LOOK_S = 0.1
STEPS = 1 + len(MODEL_FILES)


class NAPFOLD_OT_model(Operator):
    """Write the wrap in view in 3D at true size, as GLB, USDZ and OBJ for a product page, into a folder"""

    bl_idname = "napfold.model"
    bl_label = "Save Model"
    bl_options = {"REGISTER"}  # noqa: RUF012  (the form that Blender reads)

    directory: StringProperty(
        name="Folder",
        description="Where the folder with the model's files goes",
        subtype="DIR_PATH",
    )
    mannequin: BoolProperty(
        name="With Mannequin", description="Write the mannequin that wears the wrap as well"
    )

    @classmethod
    def poll(cls, context: Context) -> bool:
        return idle(cls, context) and draped(cls, context)

    def invoke(self, context: Context, _event: Event) -> set[str]:
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> set[str]:
        """All at once without a window; else one step after the other, each told beforehand."""
        run = _Run(context.scene, context.window, Path(self.directory), self.mannequin)
        _going.run, _going.steps = run, run.steps()
        progress = context.window_manager.napfold
        progress.running, progress.pictures, progress.wish = True, True, "GO_ON"
        progress.pictures_told, progress.pictures_failed = "", False
        progress.fraction, progress.seconds_left, progress.text = 0.0, 0, ""
        if bpy.app.background:
            while _look() is not None:
                pass
            self.report({"ERROR" if progress.pictures_failed else "INFO"}, progress.pictures_told)
            return {"CANCELLED" if progress.pictures_failed else "FINISHED"}
        bpy.app.timers.register(_look, first_interval=LOOK_S)
        return {"FINISHED"}


@dataclass(slots=True)
class _Run:
    """What is written from which scene, and the window that shows it meanwhile."""

    scene: Scene
    window: Window
    folder: Path
    mannequin: bool

    def steps(self) -> Iterator[str]:
        """Write the model, telling each step beforehand; the scene in view comes back at the end."""
        figure = bench.present(self.scene)
        job, drape = bench.shown_job(self.scene), figure.drape
        if figure.key.turned:
            job = turned(job)
        look = looks(job)[0]
        model = model_of(look, self.folder / slug(job.name), "", mannequin=self.mannequin)
        clear_away(STUDIO)
        clear_away(SCENE)
        stage = bpy.data.scenes.new(SCENE)
        mark_studio(stage)
        self.window.scene = stage
        try:
            yield from write_model(drape, model, stage)
        finally:
            self.window.scene = self.scene
            clear_away(SCENE)


@dataclass(slots=True)
class _Going:
    """The model that is being written."""

    run: _Run | None = None
    steps: Iterator[str] | None = None
    done: int = 0


_going = _Going()


def _look() -> float | None:
    """Go on by one step."""
    progress = bpy.context.window_manager.napfold
    if _going.steps is None:
        return None
    try:
        told = next(_going.steps, None) if progress.wish == "GO_ON" else None
        if told is not None:
            progress.text = translated("Writing the model: {}").format(told)
            progress.fraction = _going.done / STEPS
            _going.done += 1
            return LOOK_S
        stopped = progress.wish != "GO_ON"
        progress.pictures_told = translated(
            "No model: stopped" if stopped else "The model is in the folder"
        )
        progress.pictures_failed = stopped
    except (NapfoldError, OSError, RuntimeError) as error:
        progress.pictures_told = translated("No model: {}").format(error)
        progress.pictures_failed = True
    end()
    return None


def end() -> None:
    """Let go of the model; where it is not finished no file is left."""
    steps, _going.steps, _going.run, _going.done = _going.steps, None, None, 0
    if steps is None:
        return
    steps.close()
    if bpy.app.timers.is_registered(_look):
        bpy.app.timers.unregister(_look)
    progress = bpy.context.window_manager.napfold
    progress.running = progress.pictures = False


_register, _unregister = bpy.utils.register_classes_factory((NAPFOLD_OT_model,))


def register() -> None:
    _register()


def unregister() -> None:
    end()
    _unregister()

# SPDX-License-Identifier: GPL-3.0-or-later
"""All pictures that the job asks for, into a folder."""

from dataclasses import dataclass
from pathlib import Path

import bpy
from bpy.app.translations import pgettext_iface as translated
from bpy.props import StringProperty
from bpy.types import Context, Event, Operator, Scene

from ...core.errors import FileError, NapfoldError
from ...core.pictures.take import Take
from ..figures import mark_studio
from ..picture_run import PictureRun
from .pictures import STUDIO, clear_away
from .variants import idle

__all__ = ["NAPFOLD_OT_picture_set"]

LOOK_S = 0.3


class NAPFOLD_OT_picture_set(Operator):
    """Take every picture that the job asks for, of each variant as it is draped, into a folder"""

    bl_idname = "napfold.picture_set"
    bl_label = "Take All Pictures"
    bl_options = {"REGISTER"}  # noqa: RUF012  (the form that Blender reads)

    directory: StringProperty(
        name="Folder", description="Where the pictures and their list go", subtype="DIR_PATH"
    )

    @classmethod
    def poll(cls, context: Context) -> bool:
        return idle(cls, context)

    def invoke(self, context: Context, _event: Event) -> set[str]:
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> set[str]:
        """All at once without a window; else one after the other, the window alive."""
        try:
            run = PictureRun(context.scene, Path(self.directory), empty_studio)
            if bpy.app.background:
                while (found := run.next()) is not None:
                    take, studio = found
                    bpy.ops.render.render(write_still=True, scene=studio.name)
                    run.keep(take)
                clear_away(STUDIO)
        except NapfoldError as error:
            clear_away(STUDIO)
            self.report({"ERROR"}, str(error))
            return {"CANCELLED"}
        for one in run.left_out:
            told = translated("No picture {}: {}").format(one.shot, one.why)
            self.report({"WARNING"}, told)
        if not bpy.app.background and run.todo:
            _begin(context, run)
        else:
            self.report({"INFO"}, translated("{} pictures in the folder").format(len(run.pictures)))
        return {"FINISHED"}


def empty_studio() -> Scene:
    """An empty scene for pictures, in the place of an earlier one."""
    clear_away(STUDIO)
    studio = bpy.data.scenes.new(STUDIO)
    mark_studio(studio)
    return studio


@dataclass(slots=True)
class _Going:
    """The set that is being taken, and the picture that is being rendered."""

    run: PictureRun | None = None
    take: Take | None = None
    cancelled: bool = False


_going = _Going()


def _begin(context: Context, run: PictureRun) -> None:
    _going.run, _going.take, _going.cancelled = run, None, False
    progress = context.window_manager.napfold
    progress.running, progress.pictures, progress.wish = True, True, "GO_ON"
    progress.pictures_told, progress.pictures_failed = "", False
    progress.fraction, progress.seconds_left, progress.text = 0.0, 0, ""
    bpy.app.handlers.render_cancel.append(_on_cancel)
    bpy.app.timers.register(_look, first_interval=LOOK_S)


def _on_cancel(*_: object) -> None:
    """Esc where the render is seen ends the set; what is finished is kept."""
    _going.cancelled = True


def _look() -> float | None:
    """Keep the picture that is ready, and start the next one."""
    run, progress = _going.run, bpy.context.window_manager.napfold
    if run is None:
        return None
    if bpy.app.is_job_running("RENDER"):
        return LOOK_S
    try:
        if _advance(run):
            return LOOK_S
    except Exception as error:
        shot = "" if _going.take is None else _going.take.shot
        progress.pictures_told = translated("No picture {}: {}").format(shot, error)
        progress.pictures_failed = True
        end()
        if not isinstance(error, NapfoldError | OSError | RuntimeError):
            raise
        return None
    told = translated("{} of {} pictures in the folder")
    there = len(run.pictures) - len(run.todo) + run.done
    progress.pictures_told = told.format(there, len(run.pictures))
    end()
    return None


def _advance(run: PictureRun) -> bool:
    """Keep what was rendered and begin the next one; False where there is none or Esc was pressed."""
    progress = bpy.context.window_manager.napfold
    if _going.take is not None and not _going.cancelled:
        if not run.unfinished.is_file():
            raise FileError(translated("Blender rendered nothing; is there room on the disk?"))
        run.keep(_going.take)
    _going.take = None
    found = None if _going.cancelled or progress.wish != "GO_ON" else run.next()
    if found is None:
        return False
    _going.take, studio = found
    progress.fraction, progress.seconds_left = run.fraction, run.seconds_left
    told = translated("Picture {} of {}: {}")
    progress.text = told.format(run.done + 1, len(run.todo), _going.take.shot)
    bpy.ops.render.render("INVOKE_DEFAULT", write_still=True, scene=studio.name)
    return True


def end() -> None:
    """Let go of the set; what was finished stays."""
    if _going.run is None:
        return
    _going.run = _going.take = None
    if _on_cancel in bpy.app.handlers.render_cancel:
        bpy.app.handlers.render_cancel.remove(_on_cancel)
    if bpy.app.timers.is_registered(_look):
        bpy.app.timers.unregister(_look)
    clear_away(STUDIO)
    close_render_windows()
    progress = bpy.context.window_manager.napfold
    progress.running = progress.pictures = False


def close_render_windows() -> None:
    """Close the window that Blender opened for the renders: what it showed lies in the folder."""
    for window in bpy.context.window_manager.windows[:]:
        spaces = [area.spaces.active for area in window.screen.areas if area.type == "IMAGE_EDITOR"]
        shown = {space.image.type for space in spaces if space.image is not None}
        if window.screen.is_temporary and shown == {"RENDER_RESULT"}:
            with bpy.context.temp_override(window=window):
                bpy.ops.wm.window_close()


_register, _unregister = bpy.utils.register_classes_factory((NAPFOLD_OT_picture_set,))


def register() -> None:
    _register()


def unregister() -> None:
    end()
    _unregister()

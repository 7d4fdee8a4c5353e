# SPDX-License-Identifier: GPL-3.0-or-later
"""Drape, Stop, Cancel: the computation is pulled by a timer, so the window stays alive."""

import bpy
from bpy.props import BoolProperty, EnumProperty, FloatProperty, PointerProperty, StringProperty
from bpy.types import Context, Event, Operator, PropertyGroup, WindowManager

from ...core.errors import NapfoldError
from ..session import SLICE_S, WITHOUT_PAUSE_S, DrapeSession
from ..settings import job_of

__all__ = ["NAPFOLD_OT_cancel", "NAPFOLD_OT_drape", "NAPFOLD_OT_stop"]

TICK_S = 0.01
# Drawing the window can cost more than a slice; a picture after a quarter second of computing.
SLICES_A_PICTURE = 8
WISHES = {"ESC": "CANCEL", "RET": "STOP", "NUMPAD_ENTER": "STOP"}
KEYS = "Esc: as before, Enter: stop and keep what is there"


class NapfoldProgress(PropertyGroup):
    """How far the running drape is, and what the user wishes for it."""

    running: BoolProperty(name="Running", description="A drape is being computed")
    fraction: FloatProperty(
        name="Fraction", description="Share that is done", subtype="FACTOR", min=0.0, max=1.0
    )
    text: StringProperty(name="Text", description="What is being done")
    wish: EnumProperty(
        name="Wish",
        description="What the user wants of the running drape",
        items=[("GO_ON", "Go On", ""), ("STOP", "Stop", ""), ("CANCEL", "Cancel", "")],
    )


class NAPFOLD_OT_drape(Operator):
    """Hang the wrap on the wearer and put both into the scene, in the place of an earlier drape"""

    bl_idname = "napfold.drape"
    bl_label = "Drape"
    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012  (the form that Blender reads)

    # On the class: only one runs at a time, and unregistration has to find it.
    timer = None
    running = None

    slices = 0

    @classmethod
    def poll(cls, context: Context) -> bool:
        if context.window_manager.napfold.running:
            cls.poll_message_set("A drape is being computed")
            return False
        try:
            job_of(context.scene)
        except NapfoldError as error:
            cls.poll_message_set(str(error))
            return False
        return True

    def execute(self, context: Context) -> set[str]:
        """The whole drape at once, for scripts and for Blender without a window."""
        self.session = DrapeSession(context.scene, WITHOUT_PAUSE_S)
        return self.slice(context)

    def invoke(self, context: Context, _event: Event) -> set[str]:
        if bpy.app.background:
            return self.execute(context)
        self.session = NAPFOLD_OT_drape.running = DrapeSession(context.scene, SLICE_S)
        manager = context.window_manager
        manager.napfold.running, manager.napfold.wish = True, "GO_ON"
        NAPFOLD_OT_drape.timer = manager.event_timer_add(TICK_S, window=context.window)
        manager.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def modal(self, context: Context, event: Event) -> set[str]:
        progress = context.window_manager.napfold
        if event.value == "PRESS" and event.type in WISHES:
            progress.wish = WISHES[event.type]
        if progress.wish == "CANCEL":
            self.cancel(context)
            return {"CANCELLED"}
        if progress.wish == "STOP" and self.session.stoppable:
            leave(context)
            self.session.stop()
            return {"FINISHED"}
        if event.type != "TIMER":
            return {"PASS_THROUGH"}
        return self.slice(context)

    def cancel(self, context: Context) -> None:
        """All as it was before; Blender calls this too, when it closes the window or the file."""
        self.session.cancel()
        leave(context)

    def slice(self, context: Context) -> set[str]:
        try:
            self.session.step()
            if self.session.finished:
                return self.keep(context)
            self.slices += 1
            if self.slices % SLICES_A_PICTURE == 0:
                self.session.show()
                tell(context, *self.session.progress)
        except Exception as error:
            self.cancel(context)
            if not isinstance(error, NapfoldError):
                raise
            self.report({"ERROR"}, str(error))
            return {"CANCELLED"}
        return {"PASS_THROUGH"}

    def keep(self, context: Context) -> set[str]:
        leave(context)
        outcome = self.session.keep()
        told = context.scene.napfold.findings.replace("\n", "; ")
        self.report({"INFO"} if outcome.converged else {"WARNING"}, told)
        return {"FINISHED"}


def tell(context: Context, fraction: float, text: str) -> None:
    """Show the progress in the sidebar and at the foot of the window."""
    progress = context.window_manager.napfold
    progress.fraction, progress.text = fraction, text
    context.workspace.status_text_set(f"{text}   {KEYS}")
    for area in context.screen.areas:
        if area.type == "VIEW_3D":
            area.tag_redraw()


def leave(context: Context) -> None:
    """Take timer, status text and progress away."""
    manager = context.window_manager
    if NAPFOLD_OT_drape.timer is not None:
        manager.event_timer_remove(NAPFOLD_OT_drape.timer)
        NAPFOLD_OT_drape.timer = None
    NAPFOLD_OT_drape.running = None
    manager.napfold.running = False
    if context.workspace is not None:
        context.workspace.status_text_set(None)


class Wish(Operator):
    """Shared by the two buttons that end a running drape."""

    bl_options = {"INTERNAL"}  # noqa: RUF012
    wish = ""

    @classmethod
    def poll(cls, context: Context) -> bool:
        return context.window_manager.napfold.running

    def execute(self, context: Context) -> set[str]:
        context.window_manager.napfold.wish = self.wish
        return {"FINISHED"}


class NAPFOLD_OT_stop(Wish):
    """Stop the running drape and keep the cloth as it hangs now"""

    bl_idname = "napfold.stop"
    bl_label = "Stop"
    wish = "STOP"


class NAPFOLD_OT_cancel(Wish):
    """Give the running drape up and leave the scene as it was before"""

    bl_idname = "napfold.cancel"
    bl_label = "Cancel"
    wish = "CANCEL"


CLASSES = (NapfoldProgress, NAPFOLD_OT_drape, NAPFOLD_OT_stop, NAPFOLD_OT_cancel)


def register() -> None:
    for part in CLASSES:
        bpy.utils.register_class(part)
    WindowManager.napfold = PointerProperty(type=NapfoldProgress)


def unregister() -> None:
    if NAPFOLD_OT_drape.running is not None:
        NAPFOLD_OT_drape.running.cancel()
        leave(bpy.context)
    DrapeSession.latest = None
    del WindowManager.napfold
    for part in reversed(CLASSES):
        bpy.utils.unregister_class(part)

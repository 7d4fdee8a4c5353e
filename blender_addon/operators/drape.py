# SPDX-License-Identifier: GPL-3.0-or-later
"""Drape, Stop, Cancel: the computation is pulled by a timer, so the window stays alive."""

import time
from typing import ClassVar

import bpy
from bpy.app.handlers import persistent
from bpy.props import (
    BoolProperty,
    EnumProperty,
    FloatProperty,
    IntProperty,
    PointerProperty,
    StringProperty,
)
from bpy.types import Context, Event, Operator, PropertyGroup, WindowManager

from ...core.errors import NapfoldError
from ..bench import undraped
from ..figures import forget
from ..language import translated
from ..session import SLICE_S, WITHOUT_PAUSE_S, DrapeSession
from ..task import Pace
from .variants import idle, makes_a_job

__all__ = ["NAPFOLD_OT_cancel", "NAPFOLD_OT_drape", "NAPFOLD_OT_stop"]

# Due at once after each slice: Blender looks at mouse and keys before each tick, and rests no longer
TICK_S = 0.001
LEAST_FRACTION = 0.04
WISHES = {"ESC": "CANCEL", "RET": "STOP", "NUMPAD_ENTER": "STOP"}
KEYS = "Esc: as before, Enter: stop and keep what is there"


class NapfoldProgress(PropertyGroup):
    """How far the running drape or set of pictures is, and what the user wishes for it."""

    running: BoolProperty(name="Running", description="Something is being computed")
    pictures: BoolProperty(name="Pictures", description="It is a set of pictures")
    fraction: FloatProperty(
        name="Fraction", description="Share that is done", subtype="FACTOR", min=0.0, max=1.0
    )
    seconds_left: IntProperty(
        name="Seconds Left", description="About how many seconds are left", min=0
    )
    text: StringProperty(name="Text", description="What is being done")
    pictures_told: StringProperty(
        name="Told", description="How the last set of pictures ended, until the next one"
    )
    pictures_failed: BoolProperty(name="Failed", description="It ended before its time")
    wish: EnumProperty(
        name="Wish",
        description="What the user wants of the running drape",
        items=[("GO_ON", "Go On", ""), ("STOP", "Stop", ""), ("CANCEL", "Cancel", "")],
    )


class NAPFOLD_OT_drape(Operator):
    """Hang the wrap on the wearer and put both into the scene, in the place of an earlier drape"""

    bl_idname = "napfold.drape"
    bl_label = "Drape"
    bl_options = {"UNDO"}  # noqa: RUF012  (redo would compute without a pause)

    number: IntProperty(
        name="Variant",
        description="Which variant to drape; 0 is the wrap in the panel",
        min=0,
        options={"SKIP_SAVE"},
    )
    every: BoolProperty(
        name="Every Variant",
        description="Drape every variant that was not draped yet, one after another",
        options={"SKIP_SAVE"},
    )

    # On the class: only one runs at a time, and unregistration has to find it.
    timer = None
    running = None

    queue: ClassVar[list[int]] = []
    began_s = 0.0
    pace: Pace

    @classmethod
    def poll(cls, context: Context) -> bool:
        return idle(cls, context) and makes_a_job(cls, context)

    def execute(self, context: Context) -> set[str]:
        """The whole drape at once, for scripts and for Blender without a window."""
        for number in self.wanted(context):
            self.session = DrapeSession(context.scene, WITHOUT_PAUSE_S, number)
            if self.slice(context) == {"CANCELLED"}:
                return {"CANCELLED"}
        return {"FINISHED"}

    def wanted(self, context: Context) -> list[int]:
        """Numbers of what is to be draped."""
        return undraped(context.scene) if self.every else [self.number]

    def invoke(self, context: Context, _event: Event) -> set[str]:
        if bpy.app.background:
            return self.execute(context)
        self.queue = self.wanted(context)
        if not self.queue:
            return {"CANCELLED"}
        self.begin(context)
        manager = context.window_manager
        manager.napfold.running, manager.napfold.wish = True, "GO_ON"
        tell(context, 0.0, "", 0)
        NAPFOLD_OT_drape.timer = manager.event_timer_add(TICK_S, window=context.window)
        manager.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def begin(self, context: Context) -> None:
        """Start with the next one."""
        self.session = NAPFOLD_OT_drape.running = DrapeSession(
            context.scene, SLICE_S, self.queue.pop(0)
        )
        self.began_s = time.monotonic()
        self.pace = Pace(self.began_s)

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
            before_s = time.monotonic()
            self.session.step()
            if self.session.finished:
                return self.keep(context)
            self.picture(context, before_s)
        except Exception as error:
            self.cancel(context)
            if not isinstance(error, NapfoldError):
                raise
            self.report({"ERROR"}, str(error))
            return {"CANCELLED"}
        return {"PASS_THROUGH"}

    def picture(self, context: Context, before_s: float) -> None:
        """Tell how far it is, and show the cloth, as often as that is worth its time."""
        now_s = time.monotonic()
        to_tell, to_show = self.pace.due(before_s, now_s, ready=self.session.stoppable)
        if to_tell:
            fraction, text = self.session.progress
            tell(context, fraction, text, left_s(now_s - self.began_s, fraction))
        if to_show:
            self.session.show()

    def keep(self, context: Context) -> set[str]:
        outcome = self.session.keep()
        if self.queue:
            self.begin(context)
            return {"PASS_THROUGH"}
        leave(context)
        told = self.session.told(context.scene)
        self.report({"INFO"} if outcome.converged else {"WARNING"}, told)
        return {"FINISHED"}


def left_s(gone_s: float, fraction: float) -> int:
    """About how many seconds are left, by what the first part took; 0 while that is not known."""
    return round(gone_s * (1 / fraction - 1)) if fraction > LEAST_FRACTION else 0


def tell(context: Context, fraction: float, text: str, seconds_left: int) -> None:
    """Show the progress in the sidebar and at the foot of the window; the views are left alone."""
    progress = context.window_manager.napfold
    progress.fraction, progress.text = fraction, translated(text)
    progress.seconds_left = seconds_left
    context.workspace.status_text_set(f"{progress.text}   {translated(KEYS)}")
    for area in context.screen.areas:
        if area.type == "VIEW_3D":
            for region in area.regions:
                if region.type == "UI":
                    region.tag_redraw()


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


@persistent
def before_save(*_: object) -> None:
    """A file saved while a drape is computed holds what was there before."""
    if NAPFOLD_OT_drape.running is not None:
        NAPFOLD_OT_drape.running.hide()


CLASSES = (NapfoldProgress, NAPFOLD_OT_drape, NAPFOLD_OT_stop, NAPFOLD_OT_cancel)


def register() -> None:
    for part in CLASSES:
        bpy.utils.register_class(part)
    WindowManager.napfold = PointerProperty(type=NapfoldProgress)
    bpy.app.handlers.save_pre.append(before_save)


def unregister() -> None:
    if NAPFOLD_OT_drape.running is not None:
        NAPFOLD_OT_drape.running.cancel()
        leave(bpy.context)
    forget()
    bpy.app.handlers.save_pre.remove(before_save)
    del WindowManager.napfold
    for part in reversed(CLASSES):
        bpy.utils.unregister_class(part)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Variants in a row, and the other side out."""

import bpy
from bpy.app.translations import pgettext_rpt as translated
from bpy.types import Context, Operator

from ...core.errors import NapfoldError
from .. import bench
from ..jobs import complaint_of
from ..view import look_at_bench

__all__ = [
    "NAPFOLD_OT_turn",
    "NAPFOLD_OT_variant_add",
    "NAPFOLD_OT_variant_remove",
    "NAPFOLD_OT_variant_restore",
]


def idle(kind: type[Operator], context: Context) -> bool:
    """Whether nothing is being computed; says so where something is."""
    progress = context.window_manager.napfold
    pictures = progress.pictures or bpy.app.is_job_running("RENDER")
    if progress.running or pictures:
        kind.poll_message_set(
            "A picture is being taken" if pictures else "A drape is being computed"
        )
        return False
    return True


def draped(kind: type[Operator], context: Context) -> bool:
    """Whether a wrap hangs in this pose, settled to the end; says so where none does."""
    figure = bench.present(context.scene)
    if figure is None or figure.drape is None:
        kind.poll_message_set("Nothing is draped in this pose: press Drape first")
        return False
    return True


def makes_a_job(kind: type[Operator], context: Context) -> bool:
    """Whether the numbers in the panel make a job; says why where they do not."""
    _, complaint = complaint_of(context.scene)
    if complaint:
        kind.poll_message_set(complaint)
    return not complaint


class NAPFOLD_OT_variant_add(Operator):
    """Stand the wrap as it is draped now in the row, to compare it with others"""

    bl_idname = "napfold.variant_add"
    bl_label = "Add to the Row"
    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012  (the form that Blender reads)

    @classmethod
    def poll(cls, context: Context) -> bool:
        return idle(cls, context) and draped(cls, context)

    def execute(self, context: Context) -> set[str]:
        name = bench.add_variant(context.scene)
        look_at_bench(context.window, context.scene, len(bench.in_view(context.scene)))
        told = translated("{} stands in the row; change a number and drape again")
        self.report({"INFO"}, told.format(name))
        return {"FINISHED"}


class OfVariant(Operator):
    """Shared by what is done to the chosen variant."""

    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012

    @classmethod
    def poll(cls, context: Context) -> bool:
        if not idle(cls, context):
            return False
        settings = context.scene.napfold
        if not 0 <= settings.variant < len(settings.variants):
            cls.poll_message_set("No variant is chosen")
            return False
        return True


class NAPFOLD_OT_variant_remove(OfVariant):
    """Take the chosen variant and its drapes out of the row"""

    bl_idname = "napfold.variant_remove"
    bl_label = "Remove Variant"

    def execute(self, context: Context) -> set[str]:
        bench.remove_variant(context.scene, context.scene.napfold.variant)
        return {"FINISHED"}


class NAPFOLD_OT_variant_restore(OfVariant):
    """Set the panel to the numbers of the chosen variant and dress the wearer in it"""

    bl_idname = "napfold.variant_restore"
    bl_label = "Restore into Panel"

    def execute(self, context: Context) -> set[str]:
        try:
            bench.restore_variant(context.scene, context.scene.napfold.variant)
        except NapfoldError as error:
            self.report({"ERROR"}, str(error))
            return {"CANCELLED"}
        return {"FINISHED"}


class NAPFOLD_OT_turn(Operator):
    """Wear the wrap with its other side out; where that was not draped yet, drape it"""

    bl_idname = "napfold.turn"
    bl_label = "Turn Inside Out"
    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012

    @classmethod
    def poll(cls, context: Context) -> bool:
        return idle(cls, context)

    def execute(self, context: Context) -> set[str]:
        context.scene.napfold.turned = not context.scene.napfold.turned
        return {"FINISHED"}

    def invoke(self, context: Context, _event: object) -> set[str]:
        self.execute(context)
        if bench.present(context.scene) is None and bpy.ops.napfold.drape.poll():
            bpy.ops.napfold.drape("INVOKE_DEFAULT")
        return {"FINISHED"}


register, unregister = bpy.utils.register_classes_factory(
    (
        NAPFOLD_OT_variant_add,
        NAPFOLD_OT_variant_remove,
        NAPFOLD_OT_variant_restore,
        NAPFOLD_OT_turn,
    )
)

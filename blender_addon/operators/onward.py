# SPDX-License-Identifier: GPL-3.0-or-later
"""The settled wrap handed to Blender's own cloth modifier."""

import bpy
from bpy.app.translations import pgettext_rpt as translated
from bpy.types import Context, Operator

from .. import bench
from ..onward import hand_over, scene_for_animation
from ..view import look_at_bench
from .variants import draped, idle

__all__ = ["NAPFOLD_OT_animate"]


class NAPFOLD_OT_animate(Operator):
    """Put the draped wrap into a scene of its own with Blender's cloth modifier, to animate it"""

    bl_idname = "napfold.animate"
    bl_label = "Hand to Blender's Cloth"
    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012  (the form that Blender reads)

    @classmethod
    def poll(cls, context: Context) -> bool:
        return idle(cls, context) and draped(cls, context)

    def execute(self, context: Context) -> set[str]:
        drape = bench.present(context.scene).drape
        scene = scene_for_animation()
        wrap = hand_over(scene, drape)
        if context.window is not None:
            context.window.scene = scene
            look_at_bench(context.window, scene)
        told = translated("{} is ready: play the timeline to let it move")
        self.report({"INFO"}, told.format(wrap.name))
        return {"FINISHED"}


register, unregister = bpy.utils.register_classes_factory((NAPFOLD_OT_animate,))

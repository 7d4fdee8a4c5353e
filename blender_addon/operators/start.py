# SPDX-License-Identifier: GPL-3.0-or-later
"""The first button: a scene, a wearer and a sensible wrap, draped at once."""

from collections.abc import Mapping

import bpy
from bpy.props import EnumProperty
from bpy.types import Context, Operator, Scene

from ..bodies import follow
from ..figures import home_of
from ..lengths import WORDS
from ..sidebar_lengths import TAPE
from ..view import look_at_bench

__all__ = ["NAPFOLD_OT_start"]

NUMBERS = ("height", "bust_girth", "cloth_width", "length", "body_width", "sleeve_drop")
FIRST: Mapping[str, Mapping[str, str]] = {
    "CENTIMETRES": dict(
        zip(NUMBERS, ("168 cm", "96 cm", "145 cm", "140 cm", "66 cm", "26 cm"), strict=True)
    ),
    "INCHES": dict(
        zip(NUMBERS, ("66 in", "38 in", "58 in", "1 1/2 yd", "26 in", "10 in"), strict=True)
    ),
}


class NAPFOLD_OT_start(Operator):
    """Set up a wearer with a sensible wrap and drape it; what is in the file stays as it is"""

    bl_idname = "napfold.start"
    bl_label = "Set Up a First Wrap"
    bl_options = {"UNDO"}  # noqa: RUF012  (redo would compute without a pause)

    units: EnumProperty(
        name="Units",
        description="What lengths are told in",
        items=[
            ("CENTIMETRES", "Centimetres", "Tell lengths in centimetres"),
            ("INCHES", "Inches", "Tell lengths in inches"),
        ],
    )

    def execute(self, context: Context) -> set[str]:
        """Scene and collection; the drape is a button of its own without a window."""
        scene = scene_for(context)
        inches = self.units == "INCHES"
        scene.unit_settings.system = "IMPERIAL" if inches else "METRIC"
        scene.unit_settings.length_unit = "INCHES" if inches else "CENTIMETERS"
        home_of(scene, make=True)
        set_first_wrap(scene, FIRST[self.units])
        look_at_bench(context.window, scene)
        follow(scene)
        return {"FINISHED"}

    def invoke(self, context: Context, _event: object) -> set[str]:
        self.execute(context)
        bpy.ops.napfold.drape("INVOKE_DEFAULT")
        return {"FINISHED"}


def set_first_wrap(scene: Scene, lengths: Mapping[str, str]) -> None:
    """A wrap in round numbers that passes the workroom's checks."""
    settings = scene.napfold
    for key, words in lengths.items():
        group = settings.wearer if key in TAPE else settings.cut
        setattr(group, key + WORDS, words)


def scene_for(context: Context) -> Scene:
    """The scene itself where it is empty, else one of its own."""
    if not context.scene.objects or home_of(context.scene) is not None:
        return context.scene
    scene = bpy.data.scenes.new("Napfold")
    if context.window is not None:
        context.window.scene = scene
    return scene


register, unregister = bpy.utils.register_classes_factory((NAPFOLD_OT_start,))

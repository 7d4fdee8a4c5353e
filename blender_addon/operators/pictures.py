# SPDX-License-Identifier: GPL-3.0-or-later
"""A picture of the present wrap in the studio, with its pile."""

from dataclasses import replace

import bpy
from bpy.props import EnumProperty
from bpy.types import Context, Operator, Scene

from .. import bench
from ..jobs import read_text
from ..scene.photograph import fill_scene
from ..scene.studio import VIEWS, turn_to
from .variants import idle

__all__ = ["NAPFOLD_OT_picture"]

STUDIO = "Napfold Picture"


class NAPFOLD_OT_picture(Operator):
    """Set the wrap up in a studio, in a scene of its own, and render a picture of it"""

    bl_idname = "napfold.picture"
    bl_label = "Take a Picture"
    bl_options = {"REGISTER"}  # noqa: RUF012  (the form that Blender reads)

    view: EnumProperty(
        name="View",
        description="The side that the picture is taken from",
        items=[(view.upper(), view.title(), f"From the {view}") for view in VIEWS],
    )

    @classmethod
    def poll(cls, context: Context) -> bool:
        if not idle(cls, context):
            return False
        figure = bench.present(context.scene)
        if figure is None or figure.drape is None:
            cls.poll_message_set("Nothing is draped in this pose: press Drape first")
            return False
        return True

    def execute(self, context: Context) -> set[str]:
        """Set up the studio; a scene of an earlier picture gives way."""
        set_up(context.scene, self.view.lower())
        return {"FINISHED"}

    def invoke(self, context: Context, _event: object) -> set[str]:
        context.window.cursor_set("WAIT")
        scene = set_up(context.scene, self.view.lower())
        context.window.cursor_set("DEFAULT")
        bpy.ops.render.render("INVOKE_DEFAULT", scene=scene.name)
        return {"FINISHED"}


def set_up(scene: Scene, view: str) -> Scene:
    """The present wrap in the studio, seen from a side, as a scene of its own."""
    figure = bench.present(scene)
    job = read_text(figure.job_text)
    clear_away(STUDIO)
    studio = bpy.data.scenes.new(STUDIO)
    size = scene.napfold.picture_size
    fill_scene(studio, figure.drape, replace(job, picture_size_px=size))
    turn_to(studio, view)
    return studio


def clear_away(name: str) -> None:
    """Remove a scene of this name with all that only it used."""
    scene = bpy.data.scenes.get(name)
    if scene is None:
        return
    things, world = list(scene.collection.all_objects), scene.world
    for thing in things:
        data = thing.data
        bpy.data.objects.remove(thing)
        if data is not None and data.users == 0:
            bpy.data.batch_remove([data])
    bpy.data.scenes.remove(scene)
    if world is not None and world.users == 0:
        bpy.data.worlds.remove(world)


register, unregister = bpy.utils.register_classes_factory((NAPFOLD_OT_picture,))

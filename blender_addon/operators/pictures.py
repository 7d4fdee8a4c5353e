# SPDX-License-Identifier: GPL-3.0-or-later
"""A picture of the present wrap in the studio, with its pile."""

from dataclasses import dataclass, replace
from pathlib import Path

import bpy
from bpy.props import EnumProperty
from bpy.types import Context, Image, Operator, Scene

from ...core.files import slug
from ...core.pictures.shots import VIEWS
from .. import bench
from ..figures import mark_studio
from ..jobs import turned
from ..scene import photograph
from ..scene.studio import aim, render_by_eevee
from ..scene.views import view_cameras, view_take
from .variants import draped, idle

__all__ = ["NAPFOLD_OT_picture"]

STUDIO = "Napfold Picture"
LOOK_S = 0.5


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
        return idle(cls, context) and draped(cls, context)

    def execute(self, context: Context) -> set[str]:
        """Set up the studio; a scene of an earlier picture gives way."""
        set_up(context.scene, self.view.lower())
        return {"FINISHED"}

    def invoke(self, context: Context, _event: object) -> set[str]:
        context.window.cursor_set("WAIT")
        view, scene = self.view.lower(), context.scene
        title = f"{scene.napfold.title}, {view}"
        studio = set_up(scene, view)
        context.window.cursor_set("DEFAULT")
        # a render is shown in the window of its own scene; the wrap's scene comes back afterwards
        context.window.scene = studio
        bpy.ops.render.render("INVOKE_DEFAULT", scene=studio.name)
        _waiting.title, _waiting.scene_uid = title, scene.session_uid
        bpy.app.timers.register(_look, first_interval=LOOK_S)
        return {"FINISHED"}


@dataclass(slots=True)
class _Waiting:
    """The picture that is being rendered."""

    title: str = ""
    scene_uid: int = 0


_waiting = _Waiting()


def _look() -> float | None:
    """Look whether the picture is ready."""
    if bpy.app.is_job_running("RENDER"):
        return LOOK_S
    studio = bpy.data.scenes.get(STUDIO)
    result = next((one for one in bpy.data.images if one.type == "RENDER_RESULT"), None)
    if studio is not None and result is not None:
        show(keep(result, studio, _waiting.title), _waiting.scene_uid)
    return None


def keep(result: Image, studio: Scene, title: str) -> Image:
    """A rendered picture as an image of the file, packed into it."""
    path = Path(bpy.app.tempdir) / f"{slug(title)}.png"
    result.save_render(str(path), scene=studio)
    image = bpy.data.images.load(str(path))
    image.pack()
    image.name, image.filepath = title, f"//{path.name}"
    path.unlink()
    return image


def show(image: Image, scene_uid: int) -> None:
    """Bring the wrap's scene back, and the picture where its render was seen."""
    manager = bpy.context.window_manager
    scene = next((one for one in bpy.data.scenes if one.session_uid == scene_uid), None)
    for window in manager.windows:
        if scene is not None and window.scene.name == STUDIO:
            window.scene = scene
        for area in window.screen.areas:
            space = area.spaces.active
            if area.type == "IMAGE_EDITOR" and space.image and space.image.type == "RENDER_RESULT":
                space.image = image


def set_up(scene: Scene, view: str) -> Scene:
    """The present wrap in the studio, seen from a side, as a scene of its own."""
    figure = bench.present(scene)
    job = bench.shown_job(scene)
    if figure.key.turned:
        job = turned(job)
    clear_away(STUDIO)
    studio = bpy.data.scenes.new(STUDIO)
    mark_studio(studio)
    job = replace(job, picture_size_px=scene.napfold.picture_size)
    camera = view_cameras([view], [figure.drape])[view]
    take = view_take(job, Path(), view, camera)
    photograph.set_up(studio, take, lambda _path: figure.drape)
    if scene.napfold.picture_by == "EEVEE":
        render_by_eevee(studio)
    aim(studio, 1, view, camera, take.width_px, take.height_px)
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


_register, _unregister = bpy.utils.register_classes_factory((NAPFOLD_OT_picture,))


def register() -> None:
    _register()


def unregister() -> None:
    if bpy.app.timers.is_registered(_look):
        bpy.app.timers.unregister(_look)
    _unregister()

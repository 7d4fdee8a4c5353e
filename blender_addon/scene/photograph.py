# SPDX-License-Identifier: GPL-3.0-or-later
"""From a drape to its scene file and pictures."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

import bpy
import numpy as np

from ...core.drape import Drape, load_drape
from ...core.errors import FileError
from ...core.files import whole_file
from ...core.job import Job
from .studio import build_studio, note_in_pictures, prepare_render, turn_to
from .wrap import put_wrap

__all__ = ["fill_scene", "set_scene", "take_pictures"]


def take_pictures(folder: Path, job: Job, announce: Callable[[str], None]) -> None:
    """Write ``scene.blend`` and a picture of each of the job's views into ``folder``.

    Parameters
    ----------
    folder
        Where ``drape.npz`` is.
    job
        Gives name, views and size.
    announce
        Told each view before it is rendered.

    Raises
    ------
    FileError
        A file cannot be read, rendered or written.
    """
    scene = set_scene(load_drape(folder / "drape.npz"), job)
    with whole_file(folder / "scene.blend") as path:
        _attempt(
            "The scene could not be saved",
            partial(
                bpy.ops.wm.save_as_mainfile,
                filepath=str(path),
                compress=True,
                copy=True,
                relative_remap=False,
            ),
        )
    for view in job.views:
        announce(view)
        with whole_file(folder / f"{view}.png") as path:
            turn_to(scene, view)
            scene.render.filepath = str(path)
            _attempt(
                f"The {view} picture could not be rendered",
                partial(bpy.ops.render.render, write_still=True),
            )


def set_scene(drape: Drape, job: Job) -> bpy.types.Scene:
    """Make an empty file with the wrap in the studio, ready to render."""
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    bpy.context.preferences.filepaths.save_version = 0  # no copy of the placeholder beside it
    scene = bpy.context.scene
    scene.name = "Wrap"
    fill_scene(scene, drape, job)
    return scene


def fill_scene(scene: bpy.types.Scene, drape: Drape, job: Job) -> None:
    """Put the wrap into an empty scene with the studio round it, ready to render."""
    put_wrap(drape, scene.collection, job.cut.nap)
    body = np.concatenate(
        [drape.body.vertices, *(support.mesh()[0] for support in drape.body.furniture)]
    )
    build_studio(scene, body.min(axis=0), body.max(axis=0))
    prepare_render(scene, size_px=job.picture_size_px)
    note_in_pictures(scene, _note(drape, job))
    turn_to(scene, job.views[0])


def _note(drape: Drape, job: Job) -> str:
    """What a picture says about itself."""
    estimated = {
        f"{layer} {figure}"
        for layer, cloth in (("outer", drape.outer_cloth), ("lining", drape.lining_cloth))
        for figure in cloth.estimated
    }
    note = f"{job.name}. Preview computed by Napfold, not a photograph of a sewn garment."
    if estimated:
        note += " Some cloth figures are estimates."
    return note


def _attempt(what: str, action: Callable[[], set[str]]) -> None:
    try:
        done = action()
    except RuntimeError as error:
        reason = " ".join(str(error).removeprefix("Error: ").split())
        raise FileError(f"{what}: {reason}") from error
    if done != {"FINISHED"}:
        raise FileError(f"{what}: Blender stopped.")

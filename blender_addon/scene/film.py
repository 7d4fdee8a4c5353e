# SPDX-License-Identifier: GPL-3.0-or-later
"""The frames of a turntable as one film."""

from collections.abc import Sequence
from pathlib import Path

import bpy

from ...core.errors import FileError
from ...core.files import whole_file
from ..compat import choose_film, image_strips

__all__ = ["has_encoder", "write_film"]

FRAMES_A_SECOND = 12


def has_encoder() -> bool:
    """Whether this Blender was built with an encoder for films."""
    return bool(bpy.app.build_options.codec_ffmpeg)


def write_film(frames: Sequence[Path], path: Path) -> None:
    """Write PNG frames of one size as an MP4 film that may be played in a loop.

    Raises
    ------
    FileError
        This Blender has no encoder, or the film cannot be written.
    """
    if not has_encoder():
        raise FileError(
            "This Blender has no encoder for films; the single frames of the turntable are complete."
        )
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    scene = bpy.context.scene
    image = bpy.data.images.load(str(frames[0]))
    scene.render.resolution_x, scene.render.resolution_y = image.size
    scene.render.resolution_percentage = 100
    scene.render.fps = FRAMES_A_SECOND
    scene.view_settings.view_transform = "Standard"
    scene.frame_start, scene.frame_end = 1, len(frames)
    strips = image_strips(scene)
    strip = strips.new_image(name="Turntable", filepath=str(frames[0]), channel=1, frame_start=1)
    for frame in frames[1:]:
        strip.elements.append(frame.name)
    choose_film(scene)
    scene.render.use_sequencer, scene.render.use_compositing = True, False
    with whole_file(path) as temporary:
        scene.render.filepath = str(temporary)
        scene.render.use_file_extension = False
        try:
            bpy.ops.render.render(animation=True)
        except RuntimeError as error:
            raise FileError(f"The film could not be written: {error}") from error
        if not temporary.stat().st_size:
            raise FileError("The film could not be written: Blender's encoder left it empty.")

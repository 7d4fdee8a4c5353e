# SPDX-License-Identifier: GPL-3.0-or-later
"""Differences between the Blender versions that the extension serves, each told by a test."""

import bpy

__all__ = ["choose_film", "eevee", "image_strips", "node_tree", "text_colour"]


def node_tree(owner: bpy.types.Material | bpy.types.World) -> bpy.types.NodeTree:
    """The shader nodes of a material or world.

    Before 5.0 nodes had to be switched on; since then they always are, and saying so is
    deprecated. To be dropped with 4.5 LTS.
    """
    if bpy.app.version < (5, 0, 0):
        owner.use_nodes = True
    return owner.node_tree


def eevee() -> str:
    """The name of EEVEE among the render engines; another before 5.0. To be dropped with 4.5 LTS."""
    return "BLENDER_EEVEE" if bpy.app.version >= (5, 0, 0) else "BLENDER_EEVEE_NEXT"


def text_colour(preferences: bpy.types.Preferences) -> tuple[float, float, float]:
    """The theme's colour of highlighted text in the 3D view.

    Where a version's theme has none there, near white, which its dark themes use.
    """
    space = preferences.themes[0].view_3d.space
    red, green, blue = getattr(space, "text_hi", (0.95, 0.95, 0.95))[:3]
    return red, green, blue


def choose_film(scene: bpy.types.Scene) -> None:
    """Have renders written as H.264 in MP4.

    From 5.0 the kind of medium is chosen before the format. To be dropped with 4.5 LTS.
    """
    settings = scene.render.image_settings
    if hasattr(settings, "media_type"):
        settings.media_type = "VIDEO"
    settings.file_format = "FFMPEG"
    scene.render.ffmpeg.format = "MPEG4"
    scene.render.ffmpeg.codec = "H264"
    scene.render.ffmpeg.constant_rate_factor = "HIGH"


def image_strips(scene: bpy.types.Scene) -> bpy.types.bpy_prop_collection:
    """The strips of a scene's sequence editor, which is made; called sequences before 4.4."""
    editor = scene.sequence_editor_create()
    return editor.strips if hasattr(editor, "strips") else editor.sequences

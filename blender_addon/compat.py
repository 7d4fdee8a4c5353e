# SPDX-License-Identifier: GPL-3.0-or-later
"""Differences between the Blender versions that the extension serves, each told by a test."""

import bpy

__all__ = ["node_tree", "text_colour"]


def node_tree(owner: bpy.types.Material | bpy.types.World) -> bpy.types.NodeTree:
    """The shader nodes of a material or world.

    Before 5.0 nodes had to be switched on; since then they always are, and saying so is
    deprecated. To be dropped with 4.5 LTS.
    """
    if bpy.app.version < (5, 0, 0):
        owner.use_nodes = True
    return owner.node_tree


def text_colour(preferences: bpy.types.Preferences) -> tuple[float, float, float]:
    """The theme's colour of highlighted text in the 3D view.

    Where a version's theme has none there, near white, which its dark themes use.
    """
    space = preferences.themes[0].view_3d.space
    red, green, blue = getattr(space, "text_hi", (0.95, 0.95, 0.95))[:3]
    return red, green, blue

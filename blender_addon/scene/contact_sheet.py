# SPDX-License-Identifier: GPL-3.0-or-later
"""All pictures of a set small on one sheet, each with its words below."""

import math
from collections.abc import Sequence
from pathlib import Path

import bpy
import numpy as np

from ...core.arrays import FloatArray
from ..compat import node_tree
from .backgrounds import even_material
from .bridge import put_mesh
from .lettering import put_words
from .studio import prepare_render

__all__ = ["CELL_PX", "LINE_PX", "set_contact_sheet", "sheet_size"]

CELL_PX, GAP_PX, LINE_PX = 240, 16, 16
LINES = 2
MOST_COLUMNS = 6
PAPER, CARD = (1.0, 1.0, 1.0), (0.78, 0.78, 0.78)


def sheet_size(count: int) -> tuple[int, int, int]:
    """Columns of a sheet of so many pictures, and its width and height in pixels."""
    columns = min(MOST_COLUMNS, max(1, math.ceil(math.sqrt(count * 1.4))))
    rows = math.ceil(count / columns)
    return (
        columns,
        GAP_PX + columns * (CELL_PX + GAP_PX),
        GAP_PX + rows * (CELL_PX + LINES * LINE_PX + GAP_PX),
    )


def set_contact_sheet(scene: bpy.types.Scene, entries: Sequence[tuple[Path, str, str]]) -> None:
    """Lay pictures with two lines of words each out in an empty scene, a pixel to the millimetre.

    A picture keeps its shape; where it is transparent, a grey card shows.
    """
    columns, width, height = sheet_size(len(entries))
    home = scene.collection
    _card(home, (0, width, -height, 0), 1.0, even_material("Paper", PAPER))
    for number, (path, first, second) in enumerate(entries):
        row, column = divmod(number, columns)
        left = GAP_PX + column * (CELL_PX + GAP_PX)
        top = -GAP_PX - row * (CELL_PX + LINES * LINE_PX + GAP_PX)
        image = bpy.data.images.load(str(path))
        wide, high = (CELL_PX * side / max(image.size) for side in image.size)
        x = left + (CELL_PX - wide) / 2
        _card(home, (x, x + wide, top - high, top), 0.5, even_material("Card", CARD))
        _card(home, (x, x + wide, top - high, top), 0.0, _picture(image))
        for line, words in enumerate((first, second)):
            place = (left * 1e-3, 0.0, (top - CELL_PX - 12 - line * LINE_PX) * 1e-3)
            put_words(home, words, place, 0.0125, within_m=CELL_PX * 1e-3)
    lens = bpy.data.cameras.new("Camera")
    lens.type = "ORTHO"
    lens.ortho_scale = max(width, height) * 1e-3
    camera = bpy.data.objects.new("Camera", lens)
    camera.location = (width / 2 * 1e-3, -2.0, -height / 2 * 1e-3)
    camera.rotation_euler = (math.pi / 2, 0.0, 0.0)
    home.objects.link(camera)
    scene.camera = camera
    prepare_render(scene, samples=8)
    scene.cycles.use_denoising = False
    scene.cycles.transparent_max_bounces = 4
    scene.render.dither_intensity = 0.0
    scene.render.resolution_x, scene.render.resolution_y = width, height


def _card(
    home: bpy.types.Collection,
    edges: tuple[float, float, float, float],
    depth: float,
    material: bpy.types.Material,
) -> None:
    """A rectangle (left, right, bottom, top) in millimetres."""
    left, right, bottom, top = (1e-3 * edge for edge in edges)
    corners: FloatArray = np.array(
        [[left, depth, bottom], [right, depth, bottom], [right, depth, top], [left, depth, top]]
    )
    flat = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    card = put_mesh("Card", corners, np.array([[0, 1, 2], [0, 2, 3]]), home, flat=flat)
    card.data.materials.append(material)


def _picture(image: bpy.types.Image) -> bpy.types.Material:
    """A material that shows an image as it is."""
    material = bpy.data.materials.new("Picture")
    tree = node_tree(material)
    tree.nodes.clear()
    nodes, links = tree.nodes, tree.links
    texture = nodes.new("ShaderNodeTexImage")
    texture.image = image
    texture.extension = "EXTEND"
    shine = nodes.new("ShaderNodeEmission")
    links.new(texture.outputs["Color"], shine.inputs["Color"])
    clear = nodes.new("ShaderNodeBsdfTransparent")
    mixed = nodes.new("ShaderNodeMixShader")
    links.new(texture.outputs["Alpha"], mixed.inputs["Fac"])
    links.new(clear.outputs["BSDF"], mixed.inputs[1])
    links.new(shine.outputs["Emission"], mixed.inputs[2])
    output = nodes.new("ShaderNodeOutputMaterial")
    links.new(mixed.outputs["Shader"], output.inputs["Surface"])
    return material

# SPDX-License-Identifier: GPL-3.0-or-later
"""Words, lines and pictures of one flat colour in a scene, for the eye alone."""

import math

import bpy
import numpy as np

from .backgrounds import RAYS, even_material
from .bridge import put_mesh
from .materials import Colour

__all__ = ["put_line", "put_words"]

INK: Colour = (0.25, 0.25, 0.25)


def put_words(
    collection: bpy.types.Collection,
    text: str,
    place: tuple[float, float, float],
    size_m: float,
    *,
    align: str = "LEFT",
    within_m: float = 0.0,
) -> bpy.types.Object:
    """Upright words that face -y, from or about a place; longer ones are drawn smaller to fit."""
    letters = bpy.data.curves.new("Words", "FONT")
    letters.body = text
    letters.size = size_m
    letters.align_x = align
    letters.materials.append(even_material("Words", INK))
    thing = bpy.data.objects.new("Words", letters)
    collection.objects.link(thing)
    thing.location = place
    thing.rotation_euler.x = math.pi / 2
    if within_m:
        bpy.context.view_layer.update()
        thing.scale = (min(1.0, within_m / max(thing.dimensions.x, 1e-6)),) * 3
    _for_the_eye_alone(thing)
    return thing


def put_line(
    collection: bpy.types.Collection,
    left: float,
    right: float,
    height: float,
    depth: float,
    width_m: float,
    colour: Colour = INK,
) -> bpy.types.Object:
    """A level line that faces -y."""
    low, high = height - width_m / 2, height + width_m / 2
    corners = [[left, depth, low], [right, depth, low], [right, depth, high], [left, depth, high]]
    thing = put_mesh("Line", np.array(corners), np.array([[0, 1, 2], [0, 2, 3]]), collection)
    thing.data.materials.append(even_material("Line", colour))
    _for_the_eye_alone(thing)
    return thing


def _for_the_eye_alone(thing: bpy.types.Object) -> None:
    for ray in RAYS:
        setattr(thing, f"visible_{ray}", False)

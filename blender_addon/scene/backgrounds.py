# SPDX-License-Identifier: GPL-3.0-or-later
"""What stands behind and under the subject: paper, white, grey, nothing, or a warm room."""

import bpy
import numpy as np

from ...core.arrays import FloatArray
from ..compat import node_tree
from .bridge import put_mesh
from .materials import BACKDROP_CENTRE, Colour, backdrop_material, keep_from_lamps, linear

__all__ = ["even_material", "put_background"]

RAYS = ("diffuse", "glossy", "transmission", "volume_scatter", "shadow")
PLAIN: dict[str, Colour] = {
    "white": (1.0, 1.0, 1.0),
    "grey": (0.72, 0.72, 0.72),
    "paper": BACKDROP_CENTRE,
}
FLOOR_SHINE, LIT = 0.62, 0.45
"""How much of a floor's brightness stays in its deepest shadow, and how much of the light it gives back."""

WALL: Colour = (0.86, 0.79, 0.70)
BOARDS: Colour = (0.62, 0.47, 0.34)
WOOD: Colour = (0.50, 0.36, 0.25)
WHITEWASH: Colour = (0.93, 0.90, 0.85)
BOOKS: tuple[Colour, ...] = (
    (0.55, 0.30, 0.24),
    (0.30, 0.40, 0.42),
    (0.80, 0.66, 0.42),
    (0.42, 0.45, 0.33),
    (0.66, 0.42, 0.34),
)


def put_background(
    scene: bpy.types.Scene, name: str, scale: float, depth: float, *, floor: bool
) -> list[bpy.types.Object]:
    """Put a background of this name into the scene; its things, to be turned with the camera.

    ``scale`` is the size of the subject and ``depth`` how far it reaches from the middle, metres.
    """
    scene.render.film_transparent = name == "transparent"
    if name == "room":
        return _room(scene.collection, max(1.15, depth + 0.25))
    things = []
    if name == "transparent":
        if floor:
            catcher = _floor(scene.collection, scale)
            catcher.is_shadow_catcher = True
            things.append(catcher)
        return things
    things.append(_sweep(scene.collection, name, scale, gradient=name == "paper" and not floor))
    if floor:
        ground = _floor(scene.collection, scale)
        ground.data.materials.append(_floor_material(PLAIN[name], scale, _strength(name)))
        for ray in ("diffuse", "glossy", "transmission"):
            setattr(ground, f"visible_{ray}", False)
        things.append(ground)
    return things


def even_material(name: str, colour: Colour, strength: float = 1.0) -> bpy.types.Material:
    """A material of one flat colour, whatever the light."""
    material = bpy.data.materials.new(name)
    tree = node_tree(material)
    tree.nodes.clear()
    shine = tree.nodes.new("ShaderNodeEmission")
    shine.inputs["Color"].default_value = linear(colour)
    shine.inputs["Strength"].default_value = strength
    output = tree.nodes.new("ShaderNodeOutputMaterial")
    tree.links.new(shine.outputs["Emission"], output.inputs["Surface"])
    keep_from_lamps(material)
    return material


def _sweep(
    collection: bpy.types.Collection, name: str, scale: float, *, gradient: bool
) -> bpy.types.Object:
    """A wall behind the subject that only the camera sees; paper is brightest behind the chest."""
    half = 6 * scale
    corners = np.array([[-half, 0, -half], [half, 0, -half], [half, 0, half], [-half, 0, half]])
    sweep = put_mesh("Backdrop", corners, np.array([[0, 1, 2], [0, 2, 3]]), collection)
    sweep.location = (0.0, 1.5 * scale, 0.68 * scale)
    shine = (
        backdrop_material(1.1 * scale)
        if gradient
        else even_material(name, PLAIN[name], _strength(name))
    )
    sweep.data.materials.append(shine)
    for ray in RAYS:
        setattr(sweep, f"visible_{ray}", False)
    return sweep


def _strength(name: str) -> float:
    """How strongly a background shines: white a little more than white, as denoising takes some off."""
    return 1.2 if name == "white" else 1.0


def _floor(collection: bpy.types.Collection, scale: float) -> bpy.types.Object:
    half = 8 * scale
    corners = np.array([[-half, -half, 0], [half, -half, 0], [half, half, 0], [-half, half, 0]])
    return put_mesh("Floor", corners, np.array([[0, 1, 2], [0, 2, 3]]), collection)


def _floor_material(colour: Colour, scale: float, strength: float) -> bpy.types.Material:
    """A floor that runs into the backdrop: lit evenly it has its colour, and shadows show on it.

    Away from the subject, where the lights fall off, it shines with the backdrop's colour.
    """
    material = bpy.data.materials.new("Floor")
    tree = node_tree(material)
    tree.nodes.clear()
    nodes, links = tree.nodes, tree.links
    red, green, blue, _ = linear(colour)
    shine = nodes.new("ShaderNodeEmission")
    shine.inputs["Color"].default_value = (red, green, blue, 1.0)
    shine.inputs["Strength"].default_value = FLOOR_SHINE
    matt = nodes.new("ShaderNodeBsdfDiffuse")
    matt.inputs["Color"].default_value = (LIT * red, LIT * green, LIT * blue, 1.0)
    near = nodes.new("ShaderNodeAddShader")
    links.new(shine.outputs["Emission"], near.inputs[0])
    links.new(matt.outputs["BSDF"], near.inputs[1])
    far = nodes.new("ShaderNodeEmission")
    far.inputs["Color"].default_value = (red, green, blue, 1.0)
    far.inputs["Strength"].default_value = strength
    mixed = nodes.new("ShaderNodeMixShader")
    links.new(_nearness(tree, 1.5 * scale), mixed.inputs["Fac"])
    links.new(far.outputs["Emission"], mixed.inputs[1])
    links.new(near.outputs["Shader"], mixed.inputs[2])
    output = nodes.new("ShaderNodeOutputMaterial")
    links.new(mixed.outputs["Shader"], output.inputs["Surface"])
    keep_from_lamps(material)
    return material


def _nearness(tree: bpy.types.NodeTree, reach_m: float) -> bpy.types.NodeSocket:
    """1 round the middle of the floor, 0 at ``reach_m`` from it and beyond."""
    nodes, links = tree.nodes, tree.links
    place = nodes.new("ShaderNodeTexCoord")
    size = nodes.new("ShaderNodeVectorMath")
    size.operation = "SCALE"
    size.inputs["Scale"].default_value = 1.0 / reach_m
    links.new(place.outputs["Object"], size.inputs[0])
    gradient = nodes.new("ShaderNodeTexGradient")
    gradient.gradient_type = "SPHERICAL"
    links.new(size.outputs["Vector"], gradient.inputs["Vector"])
    widened = nodes.new("ShaderNodeMapRange")
    widened.inputs["From Max"].default_value = 0.35
    links.new(gradient.outputs["Fac"], widened.inputs["Value"])
    return widened.outputs["Result"]


def _room(collection: bpy.types.Collection, wall_m: float) -> list[bpy.types.Object]:
    """A warm room of simple shapes: a wall ``wall_m`` behind the middle, boards, a shelf, a picture."""
    wall = _box("Wall", (0, wall_m + 0.05, 1.5), (8, 0.1, 3.0), WALL, collection)
    skirting = _box("Skirting", (0, wall_m - 0.01, 0.05), (8, 0.02, 0.10), WHITEWASH, collection)
    things = [wall, skirting]
    width = 0.14
    for number in range(-40, 41):
        shade = 0.94 + 0.06 * ((number * 7) % 5) / 2.5
        colour = tuple(min(1.0, part * shade) for part in BOARDS)
        x = number * width
        things.append(
            _box("Board", (x, wall_m - 4, -0.02), (width - 0.004, 8, 0.04), colour, collection)
        )
    things.append(_box("Shelf", (0.62, wall_m - 0.12, 1.28), (0.75, 0.22, 0.03), WOOD, collection))
    left = 0.30
    for number, colour in enumerate(BOOKS):
        thick, high = 0.032 + 0.006 * (number % 3), 0.19 + 0.018 * ((number * 2) % 4)
        place = (left + thick / 2, wall_m - 0.11, 1.295 + high / 2)
        things.append(_box("Book", place, (thick, 0.15, high), colour, collection))
        left += thick + 0.003
    frame = (-0.62, wall_m - 0.015, 1.45)
    things.append(_box("Frame", frame, (0.46, 0.03, 0.58), WOOD, collection))
    things.append(
        _box(
            "Mount",
            (frame[0], wall_m - 0.032, frame[2]),
            (0.40, 0.004, 0.52),
            WHITEWASH,
            collection,
        )
    )
    return things


def _box(
    name: str,
    centre: tuple[float, float, float],
    size: tuple[float, float, float],
    colour: Colour,
    collection: bpy.types.Collection,
) -> bpy.types.Object:
    """A matt box with flat faces."""
    corners: FloatArray = np.array(
        [[x, y, z] for z in (-0.5, 0.5) for y in (-0.5, 0.5) for x in (-0.5, 0.5)]
    ) * np.array(size) + np.array(centre)
    quads = np.array(
        [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]]
    )
    triangles = np.concatenate([quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]])
    box = put_mesh(name, corners, triangles, collection)
    box.data.shade_flat()
    material = bpy.data.materials.new(name)
    shader = next(node for node in node_tree(material).nodes if node.type == "BSDF_PRINCIPLED")
    shader.inputs["Base Color"].default_value = linear(colour)
    shader.inputs["Roughness"].default_value = 0.8
    box.data.materials.append(material)
    return box

# SPDX-License-Identifier: GPL-3.0-or-later
"""All ready bodies on one picture: ``python -m napfold.blender_addon.bodies_sheet FOLDER``.

FOLDER holds the tapes; ``pictures/bodies.png`` is written into it. Every body stands twice, from
the front and from its left side, all at one scale before lines of equal height.
"""

import math
import sys
from pathlib import Path

import bpy
import numpy as np

from ..core.errors import NapfoldError
from ..core.files import whole_file
from ..core.mannequin import PosedBody
from ..core.mannequin.export import build_body, tapes_of
from .compat import node_tree
from .scene.bridge import put_mesh
from .scene.materials import linear, mannequin_material
from .scene.studio import note_in_pictures, prepare_render

__all__ = ["main", "set_sheet"]

COLUMNS = 5
PAIR_M = 1.50  # from one body's front to the next body's front
SIDE_M = 0.78  # from a body's front to its side
ROW_M = 2.22
LEFT_M, RIGHT_M = 0.72, 0.36  # the left margin holds the heights in figures
ABOVE_M, BELOW_M = 0.16, 0.26
APART_M = 6.0  # in depth, which the camera does not see: no body shades another
PIXELS_A_METRE = 205
LINES_M = (0.0, 0.5, 1.0, 1.5)
LINE_M = 0.006
PAPER = (0.925, 0.918, 0.905)
LINE_COLOUR = (0.80, 0.79, 0.775)
TEXT_COLOUR = (0.36, 0.35, 0.34)
TEXT_M, FIGURE_M = 0.085, 0.065
# where the light comes from, its strength and its softness (degrees)
SUNS = {
    "Key light": ((-1.2, -1.0, 1.2), 2.7, 25.0),
    "Fill light": ((1.5, -1.2, 0.35), 0.25, 60.0),
    "Rim light left": ((-1.3, 1.1, 0.9), 1.1, 25.0),
    "Rim light right": ((1.3, 1.1, 0.9), 1.3, 25.0),
}


def set_sheet(bodies: list[tuple[str, PosedBody]]) -> bpy.types.Scene:
    """Make an empty file with all bodies in rows, ready to render."""
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    scene = bpy.context.scene
    scene.name = "Bodies"
    rows = math.ceil(len(bodies) / COLUMNS)
    depth = APART_M * len(bodies) * 2
    material = mannequin_material()
    for number, (name, body) in enumerate(bodies):
        row, column = divmod(number, COLUMNS)
        for turn, view in enumerate(("front", "side")):
            thing = put_mesh(f"{name} {view}", body.vertices, body.triangles, scene.collection)
            thing.data.materials.append(material)
            thing.location = (
                column * PAIR_M + turn * SIDE_M,
                APART_M * (2 * number + turn),
                -row * ROW_M,
            )
            thing.rotation_euler.z = -turn * math.pi / 2
        place = (column * PAIR_M + SIDE_M / 2, -row * ROW_M - 0.15)
        _write(scene, name, place, TEXT_M, depth)
    left, right = -LEFT_M, (COLUMNS - 1) * PAIR_M + SIDE_M + RIGHT_M
    top = max(float(body.vertices[:, 2].max()) for _, body in bodies[:COLUMNS]) + ABOVE_M
    bottom = -(rows - 1) * ROW_M - BELOW_M
    for row in range(rows):
        for height in LINES_M:
            _rule(scene, left, right, height - row * ROW_M, depth)
            place = (left + 0.06, height - row * ROW_M + 0.022)
            _write(scene, f"{height:.1f} m", place, FIGURE_M, depth, align="LEFT")
    for name, (place, strength, softness) in SUNS.items():
        _sun(scene, name, place, strength, softness)
    _camera(scene, (left + right) / 2, (top + bottom) / 2, right - left, depth)
    prepare_render(scene, samples=24)
    scene.render.resolution_x = round((right - left) * PIXELS_A_METRE)
    scene.render.resolution_y = round((top - bottom) * PIXELS_A_METRE)
    scene.render.image_settings.compression = 100
    scene.render.dither_intensity = 0.0  # an even paper makes a small file
    note_in_pictures(scene, "Made-up bodies built by Napfold from the tapes beside this picture.")
    _paper(scene, (left + right) / 2, (top + bottom) / 2, depth)
    return scene


def _shining(name: str, colour: tuple[float, float, float]) -> bpy.types.Material:
    """A material of one flat colour, whatever the light."""
    material = bpy.data.materials.new(name)
    tree = node_tree(material)
    tree.nodes.clear()
    shine = tree.nodes.new("ShaderNodeEmission")
    shine.inputs["Color"].default_value = linear(colour)
    output = tree.nodes.new("ShaderNodeOutputMaterial")
    tree.links.new(shine.outputs["Emission"], output.inputs["Surface"])
    return material


def _for_the_eye_alone(thing: bpy.types.Object) -> None:
    for ray in ("diffuse", "glossy", "transmission", "volume_scatter", "shadow"):
        setattr(thing, f"visible_{ray}", False)


def _sheet_of_paper(
    scene: bpy.types.Scene,
    name: str,
    corners: tuple[float, float, float, float],
    depth: float,
    colour: tuple[float, float, float],
) -> None:
    """A flat rectangle (left, right, bottom, top) that faces the camera."""
    left, right, bottom, top = corners
    vertices = np.array(
        [[left, depth, bottom], [right, depth, bottom], [right, depth, top], [left, depth, top]]
    )
    thing = put_mesh(name, vertices, np.array([[0, 1, 2], [0, 2, 3]]), scene.collection)
    thing.data.materials.append(_shining(name, colour))
    _for_the_eye_alone(thing)


def _paper(scene: bpy.types.Scene, x: float, z: float, depth: float) -> None:
    half = 20.0
    corners = (x - half, x + half, z - half, z + half)
    _sheet_of_paper(scene, "Paper", corners, depth + 1.0, PAPER)


def _rule(scene: bpy.types.Scene, left: float, right: float, height: float, depth: float) -> None:
    corners = (left, right, height - LINE_M / 2, height + LINE_M / 2)
    _sheet_of_paper(scene, "Height line", corners, depth, LINE_COLOUR)


def _write(
    scene: bpy.types.Scene,
    text: str,
    place: tuple[float, float],
    size_m: float,
    depth: float,
    align: str = "CENTER",
) -> None:
    """Put a line of text behind the bodies."""
    letters = bpy.data.curves.new(text, "FONT")
    letters.body = text
    letters.size = size_m
    letters.align_x = align
    letters.materials.append(_shining("Text", TEXT_COLOUR))
    thing = bpy.data.objects.new(text, letters)
    scene.collection.objects.link(thing)
    thing.location = (place[0], depth - 0.1, place[1])
    thing.rotation_euler.x = math.pi / 2
    _for_the_eye_alone(thing)


def _sun(
    scene: bpy.types.Scene,
    name: str,
    place: tuple[float, float, float],
    strength: float,
    softness: float,
) -> None:
    """Parallel light, so that every body has the same."""
    lamp = bpy.data.lights.new(name, "SUN")
    lamp.energy = strength
    lamp.angle = math.radians(softness)
    light = bpy.data.objects.new(name, lamp)
    scene.collection.objects.link(light)
    x, y, z = (-part for part in place)
    light.rotation_euler = (math.acos(-z / math.hypot(x, y, z)), 0.0, math.atan2(-x, y))


def _camera(scene: bpy.types.Scene, x: float, z: float, width_m: float, depth: float) -> None:
    """A camera without perspective."""
    lens = bpy.data.cameras.new("Camera")
    lens.type = "ORTHO"
    lens.ortho_scale = width_m
    lens.clip_end = depth + 20.0
    camera = bpy.data.objects.new("Camera", lens)
    camera.location = (x, -5.0, z)
    camera.rotation_euler = (math.pi / 2, 0.0, 0.0)
    scene.collection.objects.link(camera)
    scene.camera = camera


def main(arguments: list[str]) -> int:
    """Render the sheet of a folder of tapes; returns the exit status."""
    if len(arguments) != 1:
        sys.stderr.write("Give the folder with the tapes.\n")
        return 2
    folder = Path(arguments[0])
    try:
        bodies = sorted(
            (build_body(tape) for tape in tapes_of(folder)),
            key=lambda named: float(named[1].vertices[:, 2].max()),
        )
        scene = set_sheet(bodies)
        with whole_file(folder / "pictures" / "bodies.png") as path:
            scene.render.filepath = str(path)
            bpy.ops.render.render(write_still=True)
    except NapfoldError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

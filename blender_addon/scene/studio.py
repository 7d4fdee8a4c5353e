# SPDX-License-Identifier: GPL-3.0-or-later
"""The photographer's studio: paper sweep, lights, camera, and how a picture is rendered.

Sweep, lights and camera stand on one turning rig: a view is an angle of the rig, so every view has
the same light. The frame follows from the posed body alone, never from the garment, so that the
pictures of all variants on one body line up.
"""

import math

import bpy
import numpy as np

from ...core.arrays import FloatArray
from ..compat import node_tree
from .bridge import put_mesh
from .materials import backdrop_material

__all__ = ["VIEWS", "build_studio", "note_in_pictures", "prepare_render", "turn_to"]

VIEWS = {"front": 0.0, "side": math.pi / 2, "back": math.pi}
"""Views and the angle of the rig; at 0 the camera looks at the wearer's front, at a quarter turn
at the wearer's left side."""

FRAME_BOTTOM, FRAME_TOP = 0.26, 1.035  # shares of the height: below the knee, above the head
BREADTH_MARGIN = 1.08  # for arms held out: the frame over the breadth of the body
MORE_SAMPLES = 5  # without a denoiser
CAMERA_DISTANCE = 3.4  # times the height: a long lens, little perspective


def build_studio(scene: bpy.types.Scene, low: FloatArray, high: FloatArray) -> None:
    """Set up sweep, lights and camera for a body between two corners of its box, (3,) m each.

    The rig turns to one view a frame; a marker names each.
    """
    collection = scene.collection
    height = float(high[2])
    breadth = float(max(high[0] - low[0], high[1] - low[1]))
    frame_m = max((FRAME_TOP - FRAME_BOTTOM) * height, BREADTH_MARGIN * breadth)
    rig = bpy.data.objects.new("Studio", None)
    rig.location = (float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2, 0.0)
    collection.objects.link(rig)
    camera = _camera(height, frame_m, collection)
    things = [camera, _sweep(height, collection), *_lights(height, collection)]
    for thing in things:
        thing.parent = rig
    for frame, (view, angle) in enumerate(VIEWS.items(), start=1):
        rig.rotation_euler.z = angle
        rig.keyframe_insert("rotation_euler", index=2, frame=frame)
        scene.timeline_markers.new(view, frame=frame)
    scene.camera = camera
    scene.frame_start, scene.frame_end = 1, len(VIEWS)


def turn_to(scene: bpy.types.Scene, view: str) -> None:
    """Turn the rig to a view of ``VIEWS``."""
    scene.frame_set(list(VIEWS).index(view) + 1)


def _sweep(height: float, collection: bpy.types.Collection) -> bpy.types.Object:
    """A wall of paper behind the mannequin, its brightest spot behind the chest."""
    half = 6 * height
    corners = np.array([[-half, 0, -half], [half, 0, -half], [half, 0, half], [-half, 0, half]])
    sweep = put_mesh("Backdrop", corners, np.array([[0, 1, 2], [0, 2, 3]]), collection)
    sweep.location = (0.0, 1.5 * height, 0.68 * height)
    sweep.data.materials.append(backdrop_material(1.1 * height))
    for ray in ("diffuse", "glossy", "transmission", "volume_scatter", "shadow"):
        setattr(sweep, f"visible_{ray}", False)
    return sweep


def _camera(height: float, frame_m: float, collection: bpy.types.Collection) -> bpy.types.Object:
    lens = bpy.data.cameras.new("Camera")
    camera = bpy.data.objects.new("Camera", lens)
    collection.objects.link(camera)
    distance = CAMERA_DISTANCE * height
    camera.location = (0.0, -distance, FRAME_TOP * height - frame_m / 2)
    camera.rotation_euler = (math.pi / 2, 0.0, 0.0)
    lens.sensor_width = lens.sensor_height = 36.0
    lens.lens = 36.0 * distance / frame_m
    lens.clip_end = 20 * height
    return camera


def _lights(height: float, collection: bpy.types.Collection) -> list[bpy.types.Object]:
    """Soft key from the left, weak fill from the right, two rim lights that catch the pile."""
    return [
        _soft_box("Key light", (-1.3, -1.5, 1.75), 0.9, 46.0, height, collection),
        _soft_box("Fill light", (1.9, -1.5, 1.0), 1.4, 15.0, height, collection),
        _soft_box("Rim light left", (-1.15, 1.1, 1.5), 0.6, 13.0, height, collection),
        _soft_box("Rim light right", (1.15, 1.1, 1.5), 0.6, 15.0, height, collection),
    ]


def _soft_box(
    name: str,
    place: tuple[float, float, float],
    size: float,
    power: float,
    height: float,
    collection: bpy.types.Collection,
) -> bpy.types.Object:
    """A square area light aimed at the chest; places and sizes in heights, power for 1 m height."""
    lamp = bpy.data.lights.new(name, "AREA")
    lamp.size = size * height
    lamp.energy = power * height**2
    light = bpy.data.objects.new(name, lamp)
    collection.objects.link(light)
    light.location = [share * height for share in place]
    aim = np.array([0.0, 0.0, 0.68]) - np.array(place)
    light.rotation_euler = (
        math.acos(-aim[2] / np.linalg.norm(aim)),
        0.0,
        math.atan2(-aim[0], aim[1]),
    )
    light.visible_camera = False
    return light


def prepare_render(scene: bpy.types.Scene, *, size_px: int = 800, samples: int = 12) -> None:
    """Cycles on the CPU, few samples and a denoiser, the world as a weak even light.

    Measured at 800 px on two cores: without the light tree a sample costs a fifth less; adaptive
    sampling saves nothing, as pile stays noisy; an accurate prefilter of the denoiser costs three
    seconds and shows no gain.
    """
    scene.render.engine = "CYCLES"
    scene.render.resolution_x = scene.render.resolution_y = size_px
    scene.render.resolution_percentage = 100
    scene.render.image_settings.file_format = "PNG"
    scene.render.image_settings.color_mode = "RGB"
    scene.render.use_persistent_data = True
    # no film curve: a cloth's colour is shown as it was given
    scene.view_settings.view_transform = "Standard"
    cycles = scene.cycles
    cycles.device = "CPU"
    cycles.samples = samples
    cycles.use_adaptive_sampling = False
    cycles.use_light_tree = False
    _denoise(cycles)
    cycles.max_bounces = 3
    cycles.diffuse_bounces = 2
    cycles.glossy_bounces = 1
    cycles.transmission_bounces = 2
    cycles.transparent_max_bounces = 2
    cycles.caustics_reflective = cycles.caustics_refractive = False
    scene.cycles_curves.shape = "RIBBONS"
    scene.cycles_curves.subdivisions = 1
    world = bpy.data.worlds.new("Even light")
    scene.world = world
    shader = next(node for node in node_tree(world).nodes if node.type == "BACKGROUND")
    shader.inputs["Color"].default_value = (1.0, 0.98, 0.95, 1.0)
    shader.inputs["Strength"].default_value = 0.43


def _denoise(cycles: bpy.types.PropertyGroup) -> None:
    """Take the noise off; where Blender was built without a denoiser, take more samples instead."""
    try:
        cycles.denoiser = "OPENIMAGEDENOISE"
    except TypeError:
        cycles.use_denoising = False
        cycles.samples *= MORE_SAMPLES
        return
    cycles.use_denoising = True
    cycles.denoising_input_passes = "RGB_ALBEDO_NORMAL"
    cycles.denoising_prefilter = "FAST"


def note_in_pictures(scene: bpy.types.Scene, note: str) -> None:
    """Keep ``note`` in the metadata of each picture, and nothing else about this machine."""
    render = scene.render
    for name in dir(render):
        if name.startswith("use_stamp"):
            setattr(render, name, False)
    render.use_stamp_note = True
    render.stamp_note_text = note

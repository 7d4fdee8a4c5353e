# SPDX-License-Identifier: GPL-3.0-or-later
"""The photographer's studio: backdrop, lights, camera, and how a picture is rendered.

Backdrop and lights stand on one turning rig that follows the camera: every shot has the same light.
Each shot is a frame of the scene with a marker that bears its name.
"""

import math

import bpy
import numpy as np

from ...core.arrays import FloatArray
from ...core.pictures.framing import Camera
from ..compat import eevee, node_tree
from .backgrounds import put_background

__all__ = ["aim", "build_studio", "note_in_pictures", "prepare_render", "render_by_eevee"]

MORE_SAMPLES = 5  # without a denoiser
SENSOR_MM = 36.0
LYING_RIM = 0.35  # a rim light shines into the pile of what lies, and bleaches it
CHEST = 0.68  # share of the height that the lights look at
SAMPLES, QUICK_SAMPLES = 12, 3
EEVEE_SAMPLES = 32
RIG, CAMERA = "Studio", "Camera"


def build_studio(
    scene: bpy.types.Scene,
    low: FloatArray,
    high: FloatArray,
    *,
    background: str = "paper",
    floor: bool = False,
) -> None:
    """Set up backdrop, lights and camera for a subject between two corners of its box, (3,) m each.

    Parameters
    ----------
    background
        One of ``core.pictures.choice.BACKGROUNDS``.
    floor
        Whether the floor is in the picture, with the shadow of what stands on it.
    """
    collection = scene.collection
    breadth = float(max(high[0] - low[0], high[1] - low[1]))
    standing = float(high[2]) > 0.6 * breadth
    scale = max(float(high[2]), 0.75 * breadth)
    aim_z = CHEST * float(high[2]) / scale if standing else 0.5 * float(high[2]) / scale
    rig = bpy.data.objects.new(RIG, None)
    rig.location = (float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2, 0.0)
    collection.objects.link(rig)
    depth = float(np.linalg.norm(high[:2] - low[:2])) / 2
    things = [
        *put_background(scene, background, scale, depth, floor=floor),
        *_lights(scale, aim_z, 1.0 if standing else LYING_RIM, collection),
    ]
    for thing in things:
        thing.parent = rig
    lens = bpy.data.cameras.new(CAMERA)
    lens.sensor_width = lens.sensor_height = SENSOR_MM
    lens.clip_end = 60.0
    scene.camera = bpy.data.objects.new(CAMERA, lens)
    collection.objects.link(scene.camera)


def aim(
    scene: bpy.types.Scene, frame: int, name: str, camera: Camera, width: int, height: int
) -> None:
    """Make a frame of the scene the shot of a camera, ``width`` by ``height`` pixels, and go there."""
    scene.frame_set(frame)
    scene.render.resolution_x, scene.render.resolution_y = width, height
    scene.render.resolution_percentage = 100
    eye = scene.camera
    eye.location = camera.place()
    eye.rotation_euler = (math.pi / 2 - camera.tilt_rad, 0.0, camera.turn_rad)
    framed = camera.frame_m(width, height)
    eye.data.sensor_fit = "HORIZONTAL" if width >= height else "VERTICAL"
    eye.data.type = "ORTHO" if camera.flat else "PERSP"
    eye.data.ortho_scale = max(framed)
    eye.data.lens = SENSOR_MM * camera.distance_m / max(framed)
    for owner, path in ((eye, "location"), (eye, "rotation_euler"), (eye.data, "lens")):
        owner.keyframe_insert(path, frame=frame)
    rig = next((child for child in scene.collection.objects if child.name.startswith(RIG)), None)
    if rig is not None:
        rig.rotation_euler.z = camera.turn_rad
        rig.keyframe_insert("rotation_euler", index=2, frame=frame)
    if name not in scene.timeline_markers:
        scene.timeline_markers.new(name, frame=frame)
    scene.frame_start, scene.frame_end = 1, max(frame, scene.frame_end if frame > 1 else 1)


def _lights(
    scale: float, aim_z: float, rim: float, collection: bpy.types.Collection
) -> list[bpy.types.Object]:
    """Soft key from the left, weak fill from the right, two rim lights that catch the pile."""
    return [
        _soft_box("Key light", (-1.3, -1.5, 1.75), 0.9, 46.0, scale, aim_z, collection),
        _soft_box("Fill light", (1.9, -1.5, 1.0), 1.4, 15.0, scale, aim_z, collection),
        _soft_box("Rim light left", (-1.15, 1.1, 1.5), 0.6, 13.0 * rim, scale, aim_z, collection),
        _soft_box("Rim light right", (1.15, 1.1, 1.5), 0.6, 15.0 * rim, scale, aim_z, collection),
    ]


def _soft_box(
    name: str,
    place: tuple[float, float, float],
    size: float,
    power: float,
    scale: float,
    aim_z: float,
    collection: bpy.types.Collection,
) -> bpy.types.Object:
    """A square area light aimed over the rig's middle; places and sizes in scales, power for 1 m."""
    lamp = bpy.data.lights.new(name, "AREA")
    lamp.size = size * scale
    lamp.energy = power * scale**2
    light = bpy.data.objects.new(name, lamp)
    collection.objects.link(light)
    light.location = [share * scale for share in place]
    way = np.array([0.0, 0.0, aim_z]) - np.array(place)
    light.rotation_euler = (
        math.acos(-way[2] / np.linalg.norm(way)),
        0.0,
        math.atan2(-way[0], way[1]),
    )
    light.visible_camera = False
    return light


def prepare_render(scene: bpy.types.Scene, *, samples: int = SAMPLES, quick: bool = False) -> None:
    """Cycles with few samples and a denoiser, the world as a weak even light; ``quick`` for a first look.

    Runs on the graphics processor where Blender is set up for one, else on the CPU. Measured at
    800 px on two cores: without the light tree a sample costs a fifth less; adaptive sampling saves
    nothing, as pile stays noisy; an accurate prefilter of the denoiser costs three seconds and shows
    no gain.
    """
    scene.render.engine = "CYCLES"
    scene.render.image_settings.file_format = "PNG"
    scene.render.image_settings.color_mode = "RGBA" if scene.render.film_transparent else "RGB"
    scene.render.use_persistent_data = True
    # no film curve: a cloth's colour is shown as it was given
    scene.view_settings.view_transform = "Standard"
    cycles = scene.cycles
    cycles.device = "GPU" if _has_graphics_processor() else "CPU"
    cycles.samples = QUICK_SAMPLES if quick else samples
    cycles.use_adaptive_sampling = False
    cycles.use_light_tree = False
    _denoise(cycles, quick=quick)
    cycles.max_bounces = 3
    cycles.diffuse_bounces = 2
    cycles.glossy_bounces = 1
    cycles.transmission_bounces = 2
    cycles.transparent_max_bounces = 2
    cycles.caustics_reflective = cycles.caustics_refractive = False
    scene.render.hair_type = "STRIP"  # in EEVEE else every strand is a line one pixel wide
    scene.cycles_curves.shape = "RIBBONS"
    scene.cycles_curves.subdivisions = 1
    world = bpy.data.worlds.new("Even light")
    scene.world = world
    shader = next(node for node in node_tree(world).nodes if node.type == "BACKGROUND")
    shader.inputs["Color"].default_value = (1.0, 0.98, 0.95, 1.0)
    shader.inputs["Strength"].default_value = 0.43


def render_by_eevee(scene: bpy.types.Scene) -> None:
    """Have a scene that was prepared for Cycles rendered by EEVEE, quick on a graphics processor.

    Pile then loses no light between its strands, so that long pile looks paler, and shadows are grainier.
    """
    scene.render.engine = eevee()
    scene.eevee.taa_render_samples = EEVEE_SAMPLES


def _has_graphics_processor() -> bool:
    """Whether the user has switched one on for Cycles in Blender's preferences."""
    cycles = bpy.context.preferences.addons.get("cycles")
    settings = getattr(cycles, "preferences", None)
    if settings is None or getattr(settings, "compute_device_type", "NONE") == "NONE":
        return False
    return any(device.use and device.type != "CPU" for device in settings.devices)


def _denoise(cycles: bpy.types.PropertyGroup, *, quick: bool) -> None:
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
    if quick and hasattr(cycles, "denoising_quality"):  # Blender 4.2 has one quality only
        cycles.denoising_quality = "FAST"


def note_in_pictures(scene: bpy.types.Scene, note: str) -> None:
    """Keep ``note`` in the metadata of each picture, and nothing else about this machine."""
    render = scene.render
    for name in dir(render):
        if name.startswith("use_stamp"):
            setattr(render, name, False)
    render.use_stamp_note = True
    render.stamp_note_text = note

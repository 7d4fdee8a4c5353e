# SPDX-License-Identifier: GPL-3.0-or-later
"""The sheet of all bodies: each is there twice, whole, at one scale."""

from types import SimpleNamespace

import numpy as np
import pytest

bpy = pytest.importorskip("bpy")

from bpy_extras.object_utils import world_to_camera_view  # noqa: E402
from napfold.blender_addon.bodies_sheet import COLUMNS, set_sheet  # noqa: E402

pytestmark = pytest.mark.addon

CORNERS = np.array([[x, y, z] for x in (0.0, 1.0) for y in (0.0, 1.0) for z in (0.0, 1.0)])
SIDES = ((0, 2, 1), (1, 2, 3), (4, 5, 6), (5, 7, 6), (0, 1, 4), (1, 5, 4), (2, 6, 3), (3, 6, 7))


def box(breadth_m: float, depth_m: float, height_m: float) -> SimpleNamespace:
    low = np.array([-breadth_m / 2, -depth_m / 2, 0.0])
    size = np.array([breadth_m, depth_m, height_m])
    return SimpleNamespace(vertices=low + CORNERS * size, triangles=np.array(SIDES))


def test_every_body_is_in_the_frame_at_one_scale() -> None:
    heights = np.linspace(1.5, 1.9, COLUMNS + 2)
    bodies = [(f"box {number}", box(0.8, 0.3, h)) for number, h in enumerate(heights)]
    scene = set_sheet(bodies)
    bpy.context.view_layer.update()
    width_px, height_px = scene.render.resolution_x, scene.render.resolution_y
    frames = []
    for name, body in bodies:
        for view, breadth_m in (("front", 0.8), ("side", 0.3)):
            thing = scene.objects[f"{name} {view}"]
            seen = np.array(
                [
                    world_to_camera_view(scene, scene.camera, thing.matrix_world @ vertex.co)
                    for vertex in thing.data.vertices
                ]
            )
            assert seen[:, :2].min() > 0.0
            assert seen[:, :2].max() < 1.0
            assert seen[:, 2].min() > scene.camera.data.clip_start
            assert seen[:, 2].max() < scene.camera.data.clip_end
            low, high = seen[:, :2].min(axis=0), seen[:, :2].max(axis=0)
            size_px = (high - low) * (width_px, height_px)
            scale = size_px / (breadth_m, body.vertices[:, 2].max())
            # without perspective a metre is as many pixels everywhere
            assert scale == pytest.approx([scale[0], scale[0]], rel=3e-3)
            frames.append((*low, *high))
    frames = np.array(frames)
    for number, (left, bottom, right, top) in enumerate(frames):
        others = np.delete(frames, number, axis=0)
        apart = (
            (others[:, 2] < left)
            | (others[:, 0] > right)
            | (others[:, 3] < bottom)
            | (others[:, 1] > top)
        )
        assert apart.all()

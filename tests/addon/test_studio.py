# SPDX-License-Identifier: GPL-3.0-or-later
"""Meshes and curves cross Blender's border unchanged; every picture of a kind has the same frame and light."""

import numpy as np
import pytest

bpy = pytest.importorskip("bpy")

from bpy_extras.object_utils import world_to_camera_view  # noqa: E402
from napfold.blender_addon.scene import bridge, materials, studio  # noqa: E402
from napfold.core.pictures.choice import BACKGROUNDS  # noqa: E402
from napfold.core.pictures.framing import camera_for  # noqa: E402
from napfold.core.pictures.shots import SHOTS  # noqa: E402

from .flat_cloth import grid  # noqa: E402

pytestmark = pytest.mark.addon


@pytest.fixture
def stage() -> "bpy.types.Scene":
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    return bpy.context.scene


class TestBridge:
    @pytest.mark.parametrize("scale_length", [1.0, 0.01, 0.3048])
    def test_mesh_round_trip(self, stage: "bpy.types.Scene", scale_length: float) -> None:
        flat, triangles = grid(0.4, 0.3, 0.1)
        vertices = np.column_stack([flat, flat[:, 0] ** 2])
        thing = bridge.put_mesh(
            "Cloth", vertices, triangles, stage.collection, flat=flat, scale_length=scale_length
        )
        np.testing.assert_allclose(
            bridge.positions_of(thing.data, scale_length=scale_length), vertices, atol=1e-7
        )
        np.testing.assert_array_equal(bridge.triangles_of(thing.data), triangles)
        texture = np.zeros(6 * len(triangles), dtype=np.float32)
        thing.data.uv_layers[0].uv.foreach_get("vector", texture)
        np.testing.assert_allclose(texture.reshape(-1, 3, 2), flat[triangles], atol=1e-7)
        assert max(thing.dimensions) == pytest.approx(0.4 / scale_length, rel=1e-6)

    def test_curves_keep_points_radii_and_normals(self, stage: "bpy.types.Scene") -> None:
        points = np.random.default_rng(0).random((7, 4, 3))
        radii, normals = np.array([4e-4, 3e-4, 2e-4, 1e-4]), np.eye(3)[[0, 1, 2, 0, 1, 2, 0]]
        thing = bridge.put_curves(
            "Pile", points, radii, normals, stage.collection, scale_length=0.1
        )
        assert [len(curve.points) for curve in thing.data.curves] == [4] * 7
        read = np.zeros(84, dtype=np.float32)
        thing.data.attributes["position"].data.foreach_get("vector", read)
        np.testing.assert_allclose(read.reshape(7, 4, 3), points * 10, atol=1e-5)
        assert thing.data.curves[3].points[1].radius == pytest.approx(3e-3)
        kept = thing.data.attributes[bridge.PILE_NORMAL].data
        assert tuple(kept[4].vector) == (0.0, 1.0, 0.0)


class TestStudio:
    @pytest.mark.parametrize("name", ["front", "side", "back", "reading in bed", "flat lay"])
    @pytest.mark.parametrize(("width", "height"), [(100, 100), (80, 100), (150, 100)])
    def test_all_that_is_shown_is_in_the_frame(
        self, stage: "bpy.types.Scene", name: str, width: int, height: int
    ) -> None:
        """And fills it: at least one side is reached within margin, rounding and perspective."""
        from mathutils import Vector

        low, high = np.array([-0.5, -0.3, 0.4]), np.array([0.7, 0.3, 1.7])
        signs = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)])
        corners = low + signs * (high - low)
        camera = camera_for(SHOTS[name], [corners])
        studio.build_studio(stage, low, high)
        studio.aim(stage, 1, name, camera, width, height)
        bpy.context.view_layer.update()
        seen = np.array([world_to_camera_view(stage, stage.camera, Vector(p)) for p in corners])
        assert seen[:, :2].min() > 0.0
        assert seen[:, :2].max() < 1.0
        assert np.ptp(seen[:, :2], axis=0).max() > 0.8

    def test_each_view_looks_at_its_side(self, stage: "bpy.types.Scene") -> None:
        low, high = np.array([-0.3, -0.3, 0.0]), np.array([0.3, 0.3, 1.7])
        studio.build_studio(stage, low, high)
        # the wearer faces -y and has the left hand at +x
        for frame, (view, side) in enumerate(
            (("front", (0, -1)), ("side", (1, 0)), ("back", (0, 1))), start=1
        ):
            camera = camera_for(SHOTS[view], [np.stack([low, high])])
            studio.aim(stage, frame, view, camera, 64, 64)
            bpy.context.view_layer.update()
            place = np.array(stage.camera.matrix_world.translation)[:2]
            np.testing.assert_allclose(place / np.linalg.norm(place), side, atol=1e-6)
            way = -np.array(stage.camera.matrix_world)[:3, 2]
            np.testing.assert_allclose(way, (*(-np.array(side)), 0), atol=1e-6)

    def test_lights_follow_the_camera(self, stage: "bpy.types.Scene") -> None:
        box = np.array([[-0.3, -0.3, 0.0], [0.3, 0.3, 1.7]])
        studio.build_studio(stage, *box)
        key = bpy.data.objects["Key light"]
        ways = []
        for frame, view in enumerate(("front", "back"), start=1):
            studio.aim(stage, frame, view, camera_for(SHOTS[view], [box]), 64, 64)
            bpy.context.view_layer.update()
            ways.append(np.array(key.matrix_world.translation)[:2])
        np.testing.assert_allclose(ways[0], -ways[1], atol=1e-5)

    @pytest.mark.parametrize("background", BACKGROUNDS)
    def test_what_shines_behind_takes_no_samples_from_the_lamps(
        self, stage: "bpy.types.Scene", background: str
    ) -> None:
        """Else noise of the lamps is left on head and hands, white on white."""
        before = set(bpy.data.materials)
        low, high = np.array([-0.3, -0.3, 0.0]), np.array([0.3, 0.3, 1.7])
        studio.build_studio(stage, low, high, background=background, floor=True)
        shining = [
            one
            for one in set(bpy.data.materials) - before
            if any(node.type == "EMISSION" for node in one.node_tree.nodes)
        ]
        assert bool(shining) == (background not in ("transparent", "room"))
        assert {one.cycles.emission_sampling for one in shining} <= {"NONE"}

    def test_colours_are_linear_for_shaders(self) -> None:
        assert materials.linear((0.0, 1.0, 0.5)) == pytest.approx(
            (0.0, 1.0, 0.21404, 1.0), abs=1e-5
        )

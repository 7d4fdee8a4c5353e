# SPDX-License-Identifier: GPL-3.0-or-later
"""What is drawn round the figures and told beside the numbers, and fields as colours."""

from types import ModuleType

import bpy
import numpy as np
import pytest

from .installed import Extension, positions_m

pytestmark = pytest.mark.addon


@pytest.fixture(scope="module")
def bench(extension: Extension) -> ModuleType:
    return extension("blender_addon.bench")


@pytest.fixture(scope="module")
def content(extension: Extension) -> ModuleType:
    return extension("blender_addon.overlay.content")


class TestDrawn:
    @pytest.mark.parametrize("scale_length", [1.0, 0.01])
    def test_first_comes_the_flat_with_rings_on_the_body(
        self,
        scene: bpy.types.Scene,
        extension: Extension,
        content: ModuleType,
        scale_length: float,
    ) -> None:
        assert not content.content_of(scene).lines
        scene.unit_settings.scale_length = scale_length
        assert bpy.ops.napfold.start(units="CENTIMETRES") == {"FINISHED"}
        extension("blender_addon.bodies").put_wearer(scene)
        drawn = content.content_of(scene)
        lines = dict(drawn.segments())
        assert {"cut", "fold", "nap", "size", "bolt", "offcut", "ring"} <= set(lines)
        words = [label.text for label in drawn.labels]
        assert {"145 cm", "140 cm", "66 cm", "26 cm"} <= set(words)
        # three rings: as long as hem and sleeve ends are cut
        round_m = np.linalg.norm(np.diff(lines["ring"], axis=1), axis=2).sum()
        assert round_m == pytest.approx(2 * 0.66 + 2 * 2 * 0.26)
        scene.napfold.show_flat = scene.napfold.show_rings = False
        assert not content.content_of(scene).lines
        assert bpy.data.objects["Napfold Mannequin"].dimensions.z * scale_length == pytest.approx(
            1.68, abs=0.02
        )

    def test_then_labels_ruler_levels_and_hem(
        self, draped: bpy.types.Scene, content: ModuleType
    ) -> None:
        bpy.ops.napfold.variant_add()
        drawn = content.content_of(draped)
        lines = dict(drawn.segments())
        assert "ring" not in lines
        outer = positions_m("Napfold Outer Cloth")
        texture_back = outer[np.abs(outer[:, 0]) < 0.03]
        assert lines["hem"][0, 0, 2] == pytest.approx(texture_back[:, 2].min(), abs=0.08)
        assert len(lines["hem"]) == 2
        words = [label.text for label in drawn.labels]
        assert {"the knee", "137.2 cm, long pile", "0 cm", "50 cm", "150 cm"} <= set(words)

    def test_what_does_not_pass_stands_beside_its_number(
        self, scene: bpy.types.Scene, extension: Extension
    ) -> None:
        checked = extension("blender_addon.checked")
        bpy.ops.napfold.start(units="CENTIMETRES")
        assert checked.failing(scene) == {}
        scene.napfold.cut.sleeve_drop_words = "20 cm"
        assert set(checked.failing(scene)) == {"cut.sleeve_drop"}
        scene.napfold.cut.body_width_words = "54 cm"
        assert set(checked.failing(scene)) >= {"cut.sleeve_drop", "cut.body_width"}


class TestSeen:
    def test_stretch_and_stand_off_are_colours_of_the_outer_cloth(
        self, draped: bpy.types.Scene, extension: Extension
    ) -> None:
        bridge = extension("blender_addon.scene.bridge")
        scales = extension("core.colour_scale")
        mesh = bpy.data.objects["Napfold Outer Cloth"].data
        off_m = bridge.values_of(mesh, "stand-off in metres")
        # its outside is at least both layers off, where it rests on the shoulders
        assert 0.02 < np.quantile(off_m, 0.05) < np.quantile(off_m, 0.95) < 0.4
        draped.napfold.colouring = "STAND_OFF"
        layer = mesh.color_attributes["napfold colours"]
        rgba = np.zeros(4 * len(mesh.vertices), dtype=np.float32)
        layer.data.foreach_get("color_srgb", rgba)
        expected = scales.colours(off_m, 0.0, 0.12)
        np.testing.assert_allclose(rgba.reshape(-1, 4)[:, :3], expected, atol=2e-3)
        scale = extension("blender_addon.colouring").scale_of(draped)
        assert scale.words == ("0 cm", "12 cm")
        draped.napfold.colouring = "ALONG"
        assert extension("blender_addon.colouring").scale_of(draped).words == ("-1%", "5%")
        draped.napfold.colouring = "CLOTH"
        assert not mesh.color_attributes

    def test_hem_room_and_section_are_drawn_where_the_figure_stands(
        self, draped: bpy.types.Scene, bench: ModuleType, content: ModuleType
    ) -> None:
        bpy.ops.napfold.variant_add()
        settings = draped.napfold
        settings.show_flat = settings.show_marks = False
        settings.show_hem = settings.show_room = settings.show_section = True
        settings.section_height_words = "105 cm"
        drawn = content.content_of(draped)
        lines = dict(drawn.segments())
        assert {"hem", "skin", "room", "cut"} == set(lines)
        stands = bench.in_view(draped)[1][1].part("outer").location.x
        middle = lines["hem"].reshape(2, -1, 3).mean(axis=1)
        assert middle[1, 0] - middle[0, 0] == pytest.approx(stands, abs=1e-6)
        heights = np.unique(np.round(lines["cut"][..., 2], 6))
        np.testing.assert_allclose(heights, [0.002, 1.05])
        assert "section at 105 cm" in [label.text for label in drawn.labels]

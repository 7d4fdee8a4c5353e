# SPDX-License-Identifier: GPL-3.0-or-later
"""Stored drapes by pose and side, variants in a row, and what is drawn round them."""

import json
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from types import ModuleType, SimpleNamespace

import bpy
import numpy as np
import pytest

from .installed import COARSE_M, Extension, positions_m

pytestmark = pytest.mark.addon


@pytest.fixture
def draped(draped_file: str) -> bpy.types.Scene:
    bpy.ops.wm.open_mainfile(filepath=draped_file)
    return bpy.context.scene


@pytest.fixture(scope="module")
def bench(extension: Extension) -> ModuleType:
    return extension("blender_addon.bench")


@pytest.fixture(scope="module")
def figures(extension: Extension) -> ModuleType:
    return extension("blender_addon.figures")


@pytest.fixture(scope="module")
def content(extension: Extension) -> ModuleType:
    return extension("blender_addon.overlay.content")


def copy_as(scene: bpy.types.Scene, figures: ModuleType, pose: str, turned: bool) -> None:
    """The drape once more under another pose and side, as if it had been draped so."""
    figure = figures.figures(scene)[0]
    texts = figure.job_text.replace("standing", pose), figure.numbers.replace("standing", pose)
    nought = np.zeros(len(figure.drape.outer))
    fields = SimpleNamespace(stretch_across=nought, stretch_along=nought, stand_off_m=nought)
    key, packed = figures.Key(pose, turned), bytes(figure.collection[figures.DRAPE])
    figures.put_figure(scene, key, figure.drape, packed, texts, figure.told, fields)


def visible(figures: ModuleType, scene: bpy.types.Scene) -> set[object]:
    return {one.key for one in figures.figures(scene) if not one.collection.hide_viewport}


class TestPosesAndSides:
    def test_the_pose_and_side_of_the_panel_are_in_view(
        self, draped: bpy.types.Scene, figures: ModuleType
    ) -> None:
        copy_as(draped, figures, "sitting", False)
        copy_as(draped, figures, "standing", True)
        for pose, turned in (("sitting", False), ("standing", True), ("standing", False)):
            draped.napfold.pose, draped.napfold.turned = pose, turned
            assert visible(figures, draped) == {figures.Key(pose, turned)}
            assert draped.napfold.findings.startswith("Length")
        draped.napfold.pose = "arms out"
        assert visible(figures, draped) == set()
        assert draped.napfold.findings == ""

    def test_turning_is_a_click(self, draped: bpy.types.Scene, figures: ModuleType) -> None:
        copy_as(draped, figures, "standing", True)
        assert bpy.ops.napfold.turn() == {"FINISHED"}
        assert visible(figures, draped) == {figures.Key("standing", True)}
        assert bpy.ops.napfold.turn() == {"FINISHED"}
        assert visible(figures, draped) == {figures.Key("standing", False)}

    def test_turned_the_lining_hangs_outside(self, draped: bpy.types.Scene) -> None:
        draped.napfold.edge_length = COARSE_M
        draped.napfold.turned = True
        assert bpy.ops.napfold.drape() == {"FINISHED"}
        home = bpy.data.collections["Napfold Standing, Lining Out"]
        cloth = next(thing for thing in home.objects if thing["napfold_part"] == "outer")
        assert "light plush" in cloth.active_material.name

    def test_changed_numbers_are_told(self, draped: bpy.types.Scene, bench: ModuleType) -> None:
        assert not bench.stale(draped)
        draped.napfold.cut.length_words = "120 cm"
        assert bench.stale(draped)
        draped.napfold.cut.length = 1.3716
        draped.napfold.title = "another name"
        draped.unit_settings.system = "IMPERIAL"
        draped.napfold.outer.colour = (1.0, 0.0, 0.0)
        assert not bench.stale(draped)


class TestVariants:
    def test_they_stand_in_a_row_that_does_not_overlap(
        self, draped: bpy.types.Scene, bench: ModuleType
    ) -> None:
        for _ in range(2):
            assert bpy.ops.napfold.variant_add() == {"FINISHED"}
        names = [one.title for one in draped.napfold.variants]
        assert names == ["137.2 cm, long pile", "137.2 cm, long pile (2)"]
        spans = []
        for _, figure in bench.in_view(draped):
            x = [
                corner[0] + thing.location.x
                for thing in figure.collection.objects
                for corner in thing.bound_box
            ]
            spans.append((min(x), max(x)))
        assert len(spans) == 3
        assert all(left[1] < right[0] for left, right in pairwise(spans))

    def test_restoring_brings_numbers_and_drape_back(
        self, draped: bpy.types.Scene, bench: ModuleType
    ) -> None:
        hung = positions_m("Napfold Outer Cloth")
        bpy.ops.napfold.variant_add()
        draped.napfold.cut.length_words = "120 cm"
        draped.napfold.outer.kind = "microfleece"
        assert bench.stale(draped)
        assert bpy.ops.napfold.variant_restore() == {"FINISHED"}
        assert draped.napfold.cut.length_words == "137.16 cm"
        assert draped.napfold.outer.kind == "long pile"
        assert not bench.stale(draped)
        figure = bench.present(draped)
        np.testing.assert_allclose(figure.drape.outer, hung, atol=1e-6)

    def test_removing_takes_all_of_it_away(
        self, draped: bpy.types.Scene, figures: ModuleType
    ) -> None:
        before = set(bpy.data.objects.keys()), set(bpy.data.meshes.keys())
        bpy.ops.napfold.variant_add()
        draped.napfold.variants[0].title = "renamed"
        assert bpy.ops.napfold.variant_remove() == {"FINISHED"}
        assert (set(bpy.data.objects.keys()), set(bpy.data.meshes.keys())) == before
        assert len(figures.figures(draped)) == 1
        assert not bpy.ops.napfold.variant_remove.poll()

    def test_every_step_can_be_undone(self, draped: bpy.types.Scene) -> None:
        bpy.ops.ed.undo_push(message="before")
        bpy.ops.napfold.variant_add()
        bpy.ops.ed.undo_push(message="added")
        bpy.ops.ed.undo()
        scene = bpy.context.scene
        assert len(scene.napfold.variants) == 0
        assert len(bpy.data.objects) == 3
        bpy.ops.ed.redo()
        assert len(bpy.context.scene.napfold.variants) == 1
        assert len(bpy.data.objects) == 6

    def test_a_saved_file_carries_drapes_and_variants(
        self, draped: bpy.types.Scene, bench: ModuleType, figures: ModuleType, tmp_path: Path
    ) -> None:
        drape = bench.present(draped).drape
        bpy.ops.napfold.variant_add()
        path = str(tmp_path / "kept.blend")
        bpy.ops.wm.save_as_mainfile(filepath=path)
        bpy.ops.wm.read_homefile(app_template="", use_empty=True)
        figures.forget()
        bpy.ops.wm.open_mainfile(filepath=path)
        scene = bpy.context.scene
        shown = bench.in_view(scene)
        assert [name for name, _ in shown] == ["My wrap", "137.2 cm, long pile"]
        for _, figure in shown:
            np.testing.assert_array_equal(figure.drape.lining, drape.lining)

    def test_variants_of_a_job_file_are_draped_one_by_one(
        self, scene: bpy.types.Scene, figures: ModuleType
    ) -> None:
        path = Path(__file__).resolve().parents[2] / "sample_avatars/jobs/larch_hut.toml"
        bpy.ops.napfold.job_open(filepath=str(path))
        scene.napfold.edge_length = COARSE_M
        while len(scene.napfold.variants) > 2:
            scene.napfold.variants.remove(2)
        first, second = (one.number for one in scene.napfold.variants)
        assert bpy.ops.napfold.drape(number=first) == {"FINISHED"}
        assert [one.key.number for one in figures.figures(scene)] == [first]
        assert bpy.ops.napfold.drape(every=True) == {"FINISHED"}
        assert [one.key.number for one in figures.figures(scene)] == [first, second]


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


class TestOnward:
    def test_cloths_are_kept_as_assets(self, draped: bpy.types.Scene) -> None:
        assert bpy.ops.napfold.cloth_assets() == {"FINISHED"}
        material = bpy.data.objects["Napfold Outer Cloth"].active_material
        assert material.asset_data.description.startswith("long pile, 850 g/m², pile ")
        assert material.asset_data.description.endswith(" mm (estimates)")
        assert [tag.name for tag in material.asset_data.tags] == ["Napfold"]
        draped.napfold.edge_length = COARSE_M
        name = material.name
        bpy.ops.napfold.drape()
        assert bpy.data.materials[name].asset_data is not None  # it outlives the drape

    def test_blenders_own_cloth_holds_the_wrap(self, draped: bpy.types.Scene) -> None:
        assert bpy.ops.napfold.animate() == {"FINISHED"}
        scene = bpy.data.scenes["Napfold Animation"]
        wrap, body = scene.objects["Wrap"], scene.objects["Mannequin"]
        cloth = wrap.modifiers["Cloth"].settings
        assert cloth.use_sewing_springs
        assert cloth.vertex_group_mass == "Pinned"
        assert body.modifiers["Collision"].type == "COLLISION"
        # 850 and 260 g/m² on the flat area of the cut
        weight = next(line for line in draped.napfold.findings.splitlines() if "Weight" in line)
        total_kg = cloth.mass * len(wrap.data.vertices)
        assert total_kg == pytest.approx(float(weight.split()[1]), abs=0.006)
        loose = [edge for edge in wrap.data.edges if edge.is_loose]
        assert len(loose) > 50
        ends = np.array([[wrap.data.vertices[i].co[:] for i in edge.vertices] for edge in loose])
        assert np.linalg.norm(ends[:, 0] - ends[:, 1], axis=1).max() < 1e-6
        bpy.context.window.scene = scene
        for frame in range(1, 4):
            scene.frame_set(frame)
        seen = wrap.evaluated_get(bpy.context.evaluated_depsgraph_get()).data
        moved = np.array([vertex.co[:] for vertex in seen.vertices]) - np.array(
            [vertex.co[:] for vertex in wrap.data.vertices]
        )
        assert 0.0 < np.linalg.norm(moved, axis=1).max() < 0.3  # it moves, and does not fly off


class TestPages:
    def test_sheets_and_report_are_written(self, draped: bpy.types.Scene, tmp_path: Path) -> None:
        bpy.ops.napfold.variant_add()
        assert bpy.ops.napfold.sheets(directory=str(tmp_path)) == {"FINISHED"}
        assert bpy.ops.napfold.report(directory=str(tmp_path)) == {"FINISHED"}
        folder = tmp_path / "my-wrap"
        assert {path.name for path in folder.iterdir()} == {
            "making.html",
            "pattern.svg",
            "report.html",
        }
        report = folder.joinpath("report.html").read_text(encoding="utf-8")
        assert report.count("137.2 cm, long pile") >= 1
        assert "Fire" in folder.joinpath("making.html").read_text(encoding="utf-8")

    def test_the_studio_is_a_scene_of_its_own(
        self, draped: bpy.types.Scene, extension: Extension
    ) -> None:
        pictures = extension("blender_addon.operators.pictures")
        before = set(draped.objects.keys())
        studio = pictures.set_up(draped, "back")
        assert studio.camera is not None
        assert studio.render.resolution_x == draped.napfold.picture_size
        assert "not a photograph" in studio.render.stamp_note_text
        again = pictures.set_up(draped, "front")
        assert [one.name for one in bpy.data.scenes if "Picture" in one.name] == [again.name]
        assert set(draped.objects.keys()) == before

    def test_the_set_takes_what_is_draped_and_tells_what_is_not(
        self,
        draped: bpy.types.Scene,
        extension: Extension,
        tmp_path: Path,
        monkeypatch: pytest.MonkeyPatch,
    ) -> None:
        choice = extension("core.pictures.choice")
        monkeypatch.setitem(choice.SIZES_PX, "square", (32, 32))
        jobs = extension("blender_addon.jobs")
        wanted = choice.PictureChoice(shots=("back", "reading in bed"))
        job = replace(jobs.job_of(draped), pictures=wanted)
        jobs.put_job(draped, job)
        run = {"directory": str(tmp_path)}
        before = set(draped.objects.keys())
        assert bpy.ops.napfold.picture_set(**run) == {"FINISHED"}
        told = json.loads((tmp_path / "manifest.json").read_text("utf-8"))
        (row,) = told["pictures"]
        assert (row["shot"], row["width_px"]) == ("back", 32)
        assert [one["why"] for one in told["left_out"]] == ["it was not draped reading in bed"]
        picture = tmp_path / row["file"]
        assert b"Preview made by simulation" in picture.read_bytes()
        assert [scene.name for scene in bpy.data.scenes] == [draped.name]
        assert set(draped.objects.keys()) == before
        taken = picture.stat().st_mtime_ns
        assert bpy.ops.napfold.picture_set(**run) == {"FINISHED"}
        assert picture.stat().st_mtime_ns == taken

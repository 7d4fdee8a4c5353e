# SPDX-License-Identifier: GPL-3.0-or-later
"""Stored drapes by pose and side, variants in a row."""

from itertools import pairwise
from pathlib import Path
from types import ModuleType, SimpleNamespace

import bpy
import numpy as np
import pytest

from .installed import COARSE_M, Extension, positions_m

pytestmark = pytest.mark.addon


@pytest.fixture(scope="module")
def bench(extension: Extension) -> ModuleType:
    return extension("blender_addon.bench")


@pytest.fixture(scope="module")
def figures(extension: Extension) -> ModuleType:
    return extension("blender_addon.figures")


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

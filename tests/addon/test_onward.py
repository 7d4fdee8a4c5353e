# SPDX-License-Identifier: GPL-3.0-or-later
"""What leaves the workbench: cloth assets, Blender's own cloth, pages, pictures."""

import json
from dataclasses import replace
from pathlib import Path

import bpy
import numpy as np
import pytest

from .installed import COARSE_M, Extension

pytestmark = pytest.mark.addon


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
        assert studio.render.engine == "CYCLES"
        # else EEVEE, in the viewport too, draws strands as lines one pixel wide
        assert studio.render.hair_type == "STRIP"
        draped.napfold.picture_by = "EEVEE"
        assert pictures.set_up(draped, "back").render.engine.startswith("BLENDER_EEVEE")
        again = pictures.set_up(draped, "front")
        assert [one.name for one in bpy.data.scenes if "Picture" in one.name] == [again.name]
        assert set(draped.objects.keys()) == before

    def test_pictures_show_the_looks_that_the_panel_has_now(
        self, draped: bpy.types.Scene, extension: Extension
    ) -> None:
        """Also of a print that was chosen after draping; turned, the lining's is outside."""
        pictures = extension("blender_addon.operators.pictures")

        def printed(studio: bpy.types.Scene) -> set[str]:
            things = (one for one in studio.objects if one.type == "CURVES")
            return {one.name.split()[0] for one in things if one.data.attributes.get("pile_root")}

        assert printed(pictures.set_up(draped, "front")) == set()
        draped.napfold.lining.print = "check"
        assert printed(pictures.set_up(draped, "front")) == {"Lining"}
        assert bpy.ops.napfold.variant_add() == {"FINISHED"}
        assert 'kind = "check"' in draped.napfold.variants[-1].text
        draped.napfold.turned, draped.napfold.edge_length = True, COARSE_M
        assert bpy.ops.napfold.drape() == {"FINISHED"}
        assert printed(pictures.set_up(draped, "front")) == {"Outer"}

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

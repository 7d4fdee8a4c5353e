# SPDX-License-Identifier: GPL-3.0-or-later
"""Presets in Blender's own folders: kept, found, taken away; those that come along stay."""

from pathlib import Path
from types import ModuleType

import bpy
import pytest

from .installed import Extension

pytestmark = pytest.mark.addon

ROOT = Path(__file__).resolve().parents[2]
TAPES = sorted(ROOT.joinpath("sample_avatars").glob("*.toml"))


@pytest.fixture(scope="module")
def jobs(extension: Extension) -> ModuleType:
    return extension("blender_addon.jobs")


def preset_file(folder: str, name: str) -> str:
    paths = bpy.utils.preset_paths(folder)
    return next(str(path) for one in paths if (path := Path(one) / f"{name}.py").is_file())


@pytest.mark.parametrize("tape", TAPES, ids=lambda path: path.stem)
def test_every_ready_body_comes_along(
    scene: bpy.types.Scene, extension: Extension, jobs: ModuleType, tape: Path
) -> None:
    import tomllib

    name = "_".join(word.title() for word in tape.stem.split("_"))
    scene.unit_settings.scale_length = 0.01
    scene.napfold.wearer.upper_arm_girth_words = "40 cm"
    scene.napfold.cut.sleeve_drop_words, scene.napfold.cut.body_width_words = "30 cm", "75 cm"
    bpy.ops.script.execute_preset(
        filepath=preset_file("napfold/wearer", name), menu_idname="NAPFOLD_MT_wearer_presets"
    )
    read = extension("core.units").parse_quantity
    told = tomllib.loads(tape.read_text(encoding="utf-8"))["tape"]
    expected = {
        key.replace("chest_girth", "bust_girth"): read("length", key, words)
        for key, words in told.items()
        if key != "sex"
    }
    found = jobs.job_of(scene).tape
    assert found.sex == told.get("sex", "unstated")
    assert dict(found.given) == pytest.approx(expected, abs=1e-6)


def test_a_cloth_is_kept_and_found_again(scene: bpy.types.Scene, jobs: ModuleType) -> None:
    outer = scene.napfold.outer
    outer.kind, outer.mass, outer.colour = "microfleece", 190.0, (0.2, 0.4, 0.6)
    outer.pile_height_words = "1.5 mm"
    kept = jobs.job_of(scene).outer
    assert bpy.ops.napfold.outer_preset_add(name="Hut blanket") == {"FINISHED"}
    outer.kind, outer.mass, outer.pile_height_words = "long pile", 0.0, ""
    path = preset_file("napfold/cloth_outer", "Hut_blanket")
    bpy.ops.script.execute_preset(filepath=path, menu_idname="NAPFOLD_MT_outer_presets")
    assert jobs.job_of(scene).outer == kept
    bpy.ops.napfold.outer_preset_add(name="Hut blanket", remove_name=True)
    assert not Path(path).exists()


def test_what_comes_along_cannot_be_taken_away(scene: bpy.types.Scene) -> None:
    path = Path(preset_file("napfold/wearer", "Man_Tall_Full"))
    bpy.ops.napfold.wearer_preset_add(name="Man Tall Full", remove_name=True)
    assert path.exists()


def test_job_files_can_be_dragged_in(extension: Extension) -> None:
    handler = extension("blender_addon.operators.files").NAPFOLD_FH_job
    assert handler.bl_file_extensions == ".toml"
    assert handler.bl_import_operator == "napfold.job_open"
    assert not handler.poll_drop(bpy.context)  # over no area there is nothing to drop on
    properties = bpy.ops.napfold.job_open.get_rna_type().properties
    assert properties["filepath"].subtype == "FILE_PATH"

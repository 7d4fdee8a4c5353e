# SPDX-License-Identifier: GPL-3.0-or-later
"""The button "Save Model": the wrap in view in 3D, the user's file left as it was."""

from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import bpy
import pytest

from .installed import Extension

pytestmark = pytest.mark.addon


@pytest.fixture
def draped(draped_file: str) -> bpy.types.Scene:
    bpy.ops.wm.open_mainfile(filepath=draped_file)
    return bpy.context.scene


@pytest.fixture
def module(extension: Extension) -> Iterator[ModuleType]:
    found = extension("blender_addon.operators.model")
    yield found
    found.end()


def things() -> dict[str, list[str]]:
    kinds = ("scenes", "objects", "meshes", "collections")
    return {kind: sorted(one.name for one in getattr(bpy.data, kind)) for kind in kinds}


def test_the_wrap_in_view_is_written_and_the_scene_stays(
    draped: bpy.types.Scene, module: ModuleType, tmp_path: Path
) -> None:
    before = things()
    assert bpy.ops.napfold.model(directory=str(tmp_path)) == {"FINISHED"}
    assert things() == before
    assert bpy.context.scene == draped
    folder = tmp_path / "my-wrap"
    names = {path.name for path in folder.iterdir()}
    assert {"wrap.glb", "wrap.usdz", "wrap.obj", "wrap.mtl", "outer_colour.png"} <= names
    content = (folder / "wrap.glb").read_bytes()
    assert b'"Outer pile 1"' in content
    # nothing of the user's own scene
    assert b"Napfold Outer Cloth" not in content
    assert b"Mannequin" not in content
    assert b"Mannequin" not in (folder / "wrap.obj").read_bytes()
    progress = bpy.context.window_manager.napfold
    assert progress.pictures_told == "The model is in the folder"
    assert not progress.running


def test_each_step_is_told_and_stop_leaves_no_file(
    draped: bpy.types.Scene, module: ModuleType, tmp_path: Path
) -> None:
    progress = bpy.context.window_manager.napfold
    run = module._Run(draped, bpy.context.window, tmp_path, mannequin=True)
    module._going.run, module._going.steps, progress.wish = run, run.steps(), "GO_ON"
    told = []
    for _ in range(3):
        assert module._look() is not None
        told.append(progress.text)
    assert told == [f"Writing the model: {step}" for step in ("3D", "GLB", "USDZ")]
    assert progress.fraction == pytest.approx(0.5)
    progress.wish = "STOP"
    assert module._look() is None
    assert progress.pictures_told == "No model: stopped"
    assert list((tmp_path / "my-wrap").iterdir()) == []
    assert bpy.context.scene == draped
    assert "Napfold Model" not in bpy.data.scenes


def test_a_folder_that_cannot_be_is_told(
    draped: bpy.types.Scene, module: ModuleType, tmp_path: Path
) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file", encoding="ascii")
    with pytest.raises(RuntimeError, match="No model"):
        bpy.ops.napfold.model(directory=str(taken))
    assert bpy.context.scene == draped
    assert "Napfold Model" not in bpy.data.scenes

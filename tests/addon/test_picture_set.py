# SPDX-License-Identifier: GPL-3.0-or-later
"""The task behind "Take All Pictures", looked at as its timer does: how it ends is told."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import bpy
import pytest

from .installed import Extension

pytestmark = pytest.mark.addon

SMALL_PX = 32


@pytest.fixture
def begun(
    draped_file: str, extension: Extension, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[ModuleType]:
    """The module, its set of two small pictures begun as in a window."""
    bpy.ops.wm.open_mainfile(filepath=draped_file)
    scene = bpy.context.scene
    choice, jobs = extension("core.pictures.choice"), extension("blender_addon.jobs")
    monkeypatch.setitem(choice.SIZES_PX, "square", (SMALL_PX, SMALL_PX))
    wanted = choice.PictureChoice(shots=("front", "back"))
    jobs.put_job(scene, replace(jobs.job_of(scene), pictures=wanted))
    module = extension("blender_addon.operators.picture_set")
    folder = tmp_path / "pictures"
    folder.mkdir()
    run = extension("blender_addon.picture_run").PictureRun(scene, folder, module.empty_studio)
    module._begin(bpy.context, run)
    yield module
    module.end()


def ended(module: ModuleType) -> None:
    """Look until there is no more to do: two pictures, so at most three looks."""
    for _ in range(3):
        if module._look() is None:
            return
    pytest.fail("the set did not end")


def test_a_whole_set_is_told(begun: ModuleType, tmp_path: Path) -> None:
    progress = bpy.context.window_manager.napfold
    assert progress.running
    assert progress.pictures
    assert not bpy.ops.napfold.variant_add.poll()
    ended(begun)
    assert progress.pictures_told == "2 of 2 pictures in the folder"
    assert not progress.pictures_failed
    assert len(list((tmp_path / "pictures").rglob("*.png"))) == 2
    assert bpy.ops.napfold.variant_add.poll()
    assert "Napfold Picture" not in bpy.data.scenes


def test_a_picture_that_cannot_be_put_in_its_place_ends_the_set_and_is_told(
    begun: ModuleType, tmp_path: Path
) -> None:
    assert begun._look() is not None  # the first one is rendered
    folder = tmp_path / "pictures"
    for path in sorted(folder.rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    folder.rmdir()
    folder.write_text("in the way", encoding="ascii")
    ended(begun)
    progress = bpy.context.window_manager.napfold
    assert progress.pictures_failed
    assert progress.pictures_told.startswith("No picture front: ")
    assert not progress.running
    assert "Napfold Picture" not in bpy.data.scenes


def test_a_render_that_leaves_nothing_is_told(begun: ModuleType) -> None:
    assert begun._look() is not None
    begun._going.run.unfinished.unlink()
    ended(begun)
    progress = bpy.context.window_manager.napfold
    assert progress.pictures_failed
    assert "Blender rendered nothing" in progress.pictures_told


def test_stop_keeps_what_is_finished(begun: ModuleType, tmp_path: Path) -> None:
    assert begun._look() is not None
    bpy.context.window_manager.napfold.wish = "STOP"
    ended(begun)
    progress = bpy.context.window_manager.napfold
    assert progress.pictures_told == "1 of 2 pictures in the folder"
    assert len(list((tmp_path / "pictures").rglob("*.png"))) == 1

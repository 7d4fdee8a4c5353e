# SPDX-License-Identifier: GPL-3.0-or-later
"""The pictures of a preview, from its files to its files, by the command that takes them."""

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

bpy = pytest.importorskip("bpy")

from napfold.blender_addon import pictures  # noqa: E402
from napfold.blender_addon.scene import views  # noqa: E402
from napfold.core.cloth import ClothChoice, library  # noqa: E402
from napfold.core.drape import Drape, save_drape  # noqa: E402
from napfold.core.errors import FileError  # noqa: E402
from napfold.core.job import load_job, save_job  # noqa: E402

from .hung import hung_flat  # noqa: E402

pytestmark = pytest.mark.addon

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def drape() -> Drape:
    cloths = library()
    outer = replace(cloths["short pile"], colour=(0.2, 0.3, 0.6))
    return hung_flat(outer, cloths["light plush"], corner_radius_m=0.08)


@pytest.fixture
def folder(drape: Drape, tmp_path: Path) -> Path:
    job = load_job(ROOT / "sample_avatars" / "jobs" / "larch_hut.toml")
    blue = ClothChoice(kind="short pile", colour="#334d99")
    job = replace(
        job, name="Trial", outer=blue, variants=(), views=("front", "back"), picture_size_px=64
    )
    save_job(tmp_path / "job.toml", job)
    save_drape(tmp_path / "drape.npz", drape)
    return tmp_path


def pixels(path: Path) -> np.ndarray:
    """(height, width, 3) sRGB from 0 to 1, top row first."""
    image = bpy.data.images.load(str(path))
    image.colorspace_settings.name = "Non-Color"
    width, height = image.size
    values = np.zeros(width * height * 4, dtype=np.float32)
    image.pixels.foreach_get(values)
    return values.reshape(height, width, 4)[::-1, :, :3]


class TestPictures:
    def test_whole_command(self, folder: Path) -> None:
        done = subprocess.run(
            [sys.executable, "-W", "error", "-m", "napfold.blender_addon.pictures", str(folder)],
            capture_output=True,
            text=True,
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, "")
        assert done.stdout.splitlines() == [
            "setting the scene of Trial",
            "rendering front (1 of 2)",
            "rendering back (2 of 2)",
        ]
        assert {path.name for path in folder.iterdir()} == {
            "back.png",
            "drape.npz",
            "front.png",
            "job.toml",
            "scene.blend",
        }
        for view in ("front", "back"):
            path = folder / f"{view}.png"
            assert b"Preview made by simulation with Napfold" in path.read_bytes()
            assert str(folder).encode() not in path.read_bytes()
            picture = pixels(path)
            assert picture.shape == (64, 64, 3)
            # pale paper in the corners, the cloth's blue below the chest, the mannequin between
            assert picture[:4, :4].min() > 0.55
            cloth = picture[28:40, 18:26].mean(axis=(0, 1))
            given_colour = np.array([0.2, 0.3, 0.6])
            np.testing.assert_allclose(
                cloth / cloth.sum(), given_colour / given_colour.sum(), atol=0.03
            )
            assert 0.55 < cloth.sum() / given_colour.sum() < 1.15
        bpy.ops.wm.open_mainfile(filepath=str(folder / "scene.blend"))
        assert {"Mannequin", "Outer", "Lining", "Outer pile", "Lining pile"} <= set(
            bpy.data.objects.keys()
        )
        assert [marker.name for marker in bpy.context.scene.timeline_markers] == [
            "front",
            "back",
        ]

    def test_a_missing_drape_is_told_in_one_sentence(
        self, folder: Path, capfd: pytest.CaptureFixture[str]
    ) -> None:
        (folder / "drape.npz").unlink()
        told_steps: list[str] = []
        assert pictures.main([str(folder)], told_steps.append) == 1
        told = capfd.readouterr().err.strip()
        assert "drape.npz cannot be read" in told
        assert "\n" not in told
        assert {path.name for path in folder.iterdir()} == {"job.toml"}

    def test_a_picture_that_fails_leaves_no_file(self, folder: Path) -> None:
        def remove_camera(view: str) -> None:
            bpy.data.objects.remove(bpy.data.objects["Camera"])

        job = load_job(folder / "job.toml")
        with pytest.raises(FileError, match="front picture could not be rendered"):
            views.take_views([folder], [job], lambda name: None, remove_camera)
        assert {path.name for path in folder.iterdir()} == {"drape.npz", "job.toml", "scene.blend"}

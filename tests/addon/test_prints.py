# SPDX-License-Identifier: GPL-3.0-or-later
"""Prints in pictures: their repeat measured in a rendered flat lay, and pictures unpacked by Blender."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

bpy = pytest.importorskip("bpy")

from napfold.blender_addon.scene import photograph  # noqa: E402
from napfold.blender_addon.scene.prints import unpacked  # noqa: E402
from napfold.core.cloth import ClothChoice, Print  # noqa: E402
from napfold.core.job import Job, load_job  # noqa: E402
from napfold.core.picture_plan import plan_pictures  # noqa: E402
from napfold.core.pictures.choice import PictureChoice  # noqa: E402
from napfold.core.pictures.take import Take  # noqa: E402
from PIL import Image  # noqa: E402

pytestmark = pytest.mark.addon

ROOT = Path(__file__).resolve().parents[2]
SIDE_PX = 240
STRIPES = Print(kind="stripe", repeat_m=0.10, offset_m=(0.02, 0.0), colours=("#f0f0f0",))


def striped(motif: Print) -> Job:
    one = load_job(ROOT / "sample_avatars" / "jobs" / "larch_hut.toml")
    cloth = ClothChoice(kind="light plush", colour="#203020", print=motif)
    wanted = PictureChoice(shots=("flat lay",), backgrounds=("transparent",))
    return replace(one, outer=cloth, variants=(), pictures=wanted)


def flat_lay(job: Job, folder: Path) -> Take:
    ((picture,), _) = plan_pictures(job, folder, lambda *_: None, quick=True)
    return replace(picture.take, width_px=SIDE_PX, height_px=SIDE_PX)


def rendered(take: Take) -> np.ndarray:
    """(height, width, 4) sRGB from 0 to 1, top row first."""
    photograph.take_all([take], lambda _: None)
    with Image.open(take.path) as image:
        return np.asarray(image.convert("RGBA"), dtype=np.float64) / 255


def repeat_and_phase(light: np.ndarray, metres: np.ndarray) -> tuple[float, float]:
    """The wavelength that fits best, and where the middle of a bright stripe lies, metres."""
    lengths = np.arange(0.08, 0.12, 0.0001)
    waves = np.exp(-2j * np.pi * metres / lengths[:, None])
    found = waves @ (light - light.mean())
    best = np.abs(found).argmax()
    return lengths[best], -np.angle(found[best]) / (2 * np.pi) * lengths[best]


def test_stripes_in_a_rendered_flat_lay_are_to_scale(tmp_path: Path) -> None:
    """A repeat of 10 cm is 10 cm in the picture within 2 %, and lies where its offset puts it."""
    take = flat_lay(striped(STRIPES), tmp_path)
    picture = rendered(take)
    solid = picture[..., 3] > 0.99
    rows = np.flatnonzero(solid.sum(axis=1) > 0.9 * solid.sum(axis=1).max())  # across both sleeves
    columns = np.flatnonzero(solid[rows].all(axis=0))
    light = picture[np.ix_(rows, columns)][..., :3].mean(axis=(0, 2))
    frame_m, _ = take.camera.frame_m(SIDE_PX, SIDE_PX)
    metres = ((columns + 0.5) / SIDE_PX - 0.5) * frame_m + take.camera.target[0]
    repeat_m, middle_m = repeat_and_phase(light, metres)
    assert repeat_m == pytest.approx(0.10, rel=0.02)
    assert (middle_m - 0.02 + 0.05) % 0.10 - 0.05 == pytest.approx(0.0, abs=0.005)
    assert np.ptp(light) > 0.3  # bright stripes on dark cloth


def test_every_strand_has_the_colour_of_its_place(tmp_path: Path) -> None:
    take = flat_lay(striped(STRIPES), tmp_path)
    scene = photograph.new_scene()
    photograph.set_up(scene, take, lambda _: None)
    hair = next(thing for thing in scene.objects if thing.name == "Outer pile")
    assert len(hair.data.attributes["pile_root"].data) == len(hair.data.curves)
    colours = np.zeros(len(hair.data.curves) * 4, dtype=np.float32)
    hair.data.attributes["pile_tip"].data.foreach_get("color", colours)
    bright = colours.reshape(-1, 4)[:, :3].mean(axis=1) > 0.5
    roots = np.zeros(len(hair.data.points) * 3, dtype=np.float32)
    hair.data.attributes["position"].data.foreach_get("vector", roots)
    x = roots.reshape(len(hair.data.curves), -1, 3)[:, 0, 0]
    on_stripe = np.abs((x - 0.02 + 0.05) % 0.10 - 0.05) < 0.025
    # lying flat, the cloth is not stretched: a strand has the colour of its place but at the edges
    assert (bright == on_stripe).mean() > 0.98


def test_blender_unpacks_pictures_as_pillow_does(tmp_path: Path) -> None:
    chance = np.random.default_rng(1)
    values = chance.integers(0, 256, (12, 20, 3), dtype=np.uint8)
    for name in ("any.png", "any.jpg"):
        Image.fromarray(values).save(tmp_path / name)
        with Image.open(tmp_path / name) as image:
            expected = np.asarray(image, dtype=np.float64)[::-1] / 255
        assert unpacked(tmp_path / name) == pytest.approx(expected, abs=2.5 / 255)
    (tmp_path / "none.png").write_bytes(b"\x89PNG\r\n\x1a\nnothing")
    with pytest.raises(ValueError, match=r"pixels|read|load|open"):
        unpacked(tmp_path / "none.png")

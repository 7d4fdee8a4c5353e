# SPDX-License-Identifier: GPL-3.0-or-later
"""Models for a page, read back chunk by chunk: what glTF 2.0 (ISO/IEC 12113) asks of them, and true size."""

import json
import struct
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

bpy = pytest.importorskip("bpy")

from napfold.blender_addon.scene.model import make_models  # noqa: E402
from napfold.blender_addon.scene.pile_styles import pile_style  # noqa: E402
from napfold.blender_addon.scene.pile_tile import TILE_PX, pile_tile  # noqa: E402
from napfold.core.cloth import ClothChoice, Print, library  # noqa: E402
from napfold.core.drape import Drape  # noqa: E402
from napfold.core.errors import FileError  # noqa: E402
from napfold.core.job import load_job  # noqa: E402
from napfold.core.model_words import model_of  # noqa: E402
from napfold.core.picture_plan import looks  # noqa: E402
from napfold.core.pictures.model import (  # noqa: E402
    MODEL_FILES,
    MOST_MODEL_BYTES,
    Model,
    read_models,
    write_models,
)
from PIL import Image  # noqa: E402

from .hung import hung_flat  # noqa: E402

pytestmark = pytest.mark.addon

ROOT = Path(__file__).resolve().parents[2]
KINDS = {5121: "u1", 5123: "<u2", 5125: "<u4", 5126: "<f4"}
WIDTHS = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4}
PLUSH = ClothChoice(kind="light plush", colour="#5a6b4e")


class Read:
    """A GLB taken apart by its bytes alone."""

    def __init__(self, path: Path) -> None:
        content = path.read_bytes()
        magic, version, self.size = struct.unpack_from("<4sII", content)
        assert (magic, version, self.size) == (b"glTF", 2, len(content))
        length, kind = struct.unpack_from("<I4s", content, 12)
        assert kind == b"JSON"
        self.tree: dict[str, Any] = json.loads(content[20 : 20 + length])
        size, kind = struct.unpack_from("<I4s", content, 20 + length)
        assert kind == b"BIN\0"
        self.binary = content[28 + length : 28 + length + size]

    def array(self, number: int) -> np.ndarray:
        accessor = self.tree["accessors"][number]
        view = self.tree["bufferViews"][accessor["bufferView"]]
        width, kind = WIDTHS[accessor["type"]], np.dtype(KINDS[accessor["componentType"]])
        start = view.get("byteOffset", 0) + accessor.get("byteOffset", 0)
        assert view.get("byteStride", width * kind.itemsize) == width * kind.itemsize
        count = width * accessor["count"]
        return np.frombuffer(self.binary, kind, count, start).reshape(-1, width)

    def image(self, number: int) -> bytes:
        view = self.tree["bufferViews"][self.tree["images"][number]["bufferView"]]
        start = view.get("byteOffset", 0)
        return self.binary[start : start + view["byteLength"]]


@pytest.fixture(scope="module")
def drape() -> Drape:
    cloth = library()["microfleece"]
    return hung_flat(cloth, cloth)


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Model:
    job = load_job(ROOT / "sample_avatars" / "jobs" / "larch_hut.toml")
    job = replace(job, outer=PLUSH, lining=ClothChoice(kind="microfleece"), variants=())
    folder = tmp_path_factory.mktemp("model") / "hut"
    return model_of(looks(job)[0], folder, "drape.npz", mannequin=True)


@pytest.fixture(scope="module")
def made(model: Model, drape: Drape) -> Path:
    told: list[Model] = []
    make_models([model], lambda _: drape, told.append)
    assert told == [model]
    return Path(model.folder)


@pytest.fixture(scope="module")
def glb(made: Path) -> Read:
    return Read(made / MODEL_FILES[0])


def test_every_mesh_is_finite_indexed_and_lit_from_outside(glb: Read) -> None:
    names = {mesh["name"] for mesh in glb.tree["meshes"]}
    assert {"Outer", "Lining", "Mannequin", "Outer pile 1"} <= names
    for mesh in glb.tree["meshes"]:
        for part in mesh["primitives"]:
            assert part.get("mode", 4) == 4
            corners = glb.array(part["indices"])
            places = glb.array(part["attributes"]["POSITION"])
            normals = glb.array(part["attributes"]["NORMAL"])
            assert np.isfinite(places).all()
            # every vertex is used, and none that is not there
            assert np.array_equal(np.unique(corners), np.arange(len(places)))
            assert np.abs(np.linalg.norm(normals, axis=1) - 1).max() < 1e-3
            told = glb.tree["accessors"][part["attributes"]["POSITION"]]
            assert np.allclose(told["min"], places.min(axis=0), atol=1e-6)
            assert np.allclose(told["max"], places.max(axis=0), atol=1e-6)
            a, b, c = places[corners.reshape(-1, 3).T]
            faces = np.cross(b - a, c - a)
            along = (faces * normals[corners.reshape(-1, 3)[:, 0]]).sum(axis=1)
            # but for slivers along the rim, where normals lean outward: many on a mesh of 5 cm
            assert (along > 0).mean() > 0.9


def test_it_is_as_large_as_the_drape_and_stands_upright(glb: Read, drape: Drape) -> None:
    meshes = {mesh["name"]: mesh["primitives"][0]["attributes"] for mesh in glb.tree["meshes"]}
    assert all(not {"scale", "rotation", "matrix"} & node.keys() for node in glb.tree["nodes"])
    outer = glb.array(meshes["Outer"]["POSITION"])
    low, high = drape.outer.min(axis=0), drape.outer.max(axis=0)
    # y up, and the front (-y in a drape) looks at the one who opens it
    expected = np.array([[low[0], low[2], -high[1]], [high[0], high[2], -low[1]]])
    assert np.abs(np.stack([outer.min(axis=0), outer.max(axis=0)]) - expected)[:, :2].max() < 0.001
    # the sheet stands off its middle surface by half a thickness of the plush at the most
    assert np.abs(np.stack([outer.min(axis=0), outer.max(axis=0)]) - expected).max() < 0.003
    flat = glb.array(meshes["Outer"]["TEXCOORD_0"])
    size = np.ptp(drape.panel.spread, axis=0)
    assert np.allclose(np.ptp(flat, axis=0) * 0.05, size, atol=0.001)


def test_another_reader_finds_the_same_size(glb: Read, made: Path, drape: Drape) -> None:
    read = trimesh.load(made / MODEL_FILES[0])
    outer = read.geometry["Outer"]
    assert outer.extents[0] == pytest.approx(np.ptp(drape.outer[:, 0]), abs=0.001)
    assert outer.extents[1] == pytest.approx(np.ptp(drape.outer[:, 2]), abs=0.001)
    height_m = read.geometry["Mannequin"].extents[1]
    assert height_m == pytest.approx(np.ptp(drape.body.vertices[:, 2]), abs=0.001)
    assert set(read.geometry) == {mesh["name"] for mesh in glb.tree["meshes"]}


def test_pictures_are_shared_bounded_and_repeat(glb: Read) -> None:
    assert glb.size < MOST_MODEL_BYTES
    # a colour and a normal map of each side, however many sheets of pile there are
    assert len(glb.tree["images"]) == 4
    for number, image in enumerate(glb.tree["images"]):
        assert image["mimeType"] == "image/png"
        assert struct.unpack_from(">II", glb.image(number), 16) == (TILE_PX, TILE_PX)
    assert TILE_PX & (TILE_PX - 1) == 0
    repeat = 10497
    for sampler in glb.tree["samplers"]:
        assert sampler.get("wrapS", repeat) == sampler.get("wrapT", repeat) == repeat


def test_sheets_of_pile_show_ever_fewer_tips(glb: Read) -> None:
    cut = {
        material["name"]: material.get("alphaCutoff", 0.5)
        for material in glb.tree["materials"]
        if material.get("alphaMode") == "MASK"
    }
    levels = [cut[f"Outer pile {number}"] for number in range(1, 7)]
    assert levels == sorted(levels)
    assert 0 < levels[0] < levels[-1] < 1
    assert sum(name.startswith("Lining pile") for name in cut) == 3


def test_it_says_that_it_is_a_preview_and_what_is_estimated(glb: Read, model: Model) -> None:
    assert glb.tree["asset"]["version"] == "2.0"
    told = glb.tree["asset"]["copyright"]
    assert told == model.texts["Comment"]
    assert "not a photograph" in told
    assert "Estimates in the outer cloth: mass" in told
    notes = glb.tree["scenes"][glb.tree["scene"]]["extras"]
    assert "mass per area" in json.loads(notes["estimates"])["lining"]
    assert notes["title"] == model.texts["Title"]


def test_usdz_and_obj_have_the_same_size(made: Path, drape: Drape) -> None:
    readers: dict[str, Callable[..., object]] = {
        MODEL_FILES[1]: bpy.ops.wm.usd_import,
        MODEL_FILES[2]: bpy.ops.wm.obj_import,
    }
    for file, reader in readers.items():
        bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
        reader(filepath=str(made / file))
        bpy.context.view_layer.update()
        outer = next(
            thing
            for thing in bpy.context.scene.objects
            if thing.type == "MESH" and thing.name.split(".")[0] == "Outer"
        )
        places = np.array([outer.matrix_world @ corner.co for corner in outer.data.vertices])
        assert np.ptp(places[:, 2]) == pytest.approx(np.ptp(drape.outer[:, 2]), abs=0.001)
        assert np.ptp(places[:, 0]) == pytest.approx(np.ptp(drape.outer[:, 0]), abs=0.001)
    text = (made / "wrap.obj").read_text(encoding="utf-8")
    assert "pile" not in text
    assert "map_Kd outer_colour.png" in (made / "wrap.mtl").read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", ["light plush", "curly pile", "long pile", "velour knit"])
def test_a_square_of_pile_has_the_colour_of_its_cloth(kind: str) -> None:
    cloth = library()[kind]
    tile = pile_tile(pile_style(cloth.pile_height_m), (0.35, 0.42, 0.31), 0.01)
    light = np.where(
        tile.colour <= 0.04045, tile.colour / 12.92, ((tile.colour + 0.055) / 1.055) ** 2.4
    )
    asked = ((np.array([0.35, 0.42, 0.31]) + 0.055) / 1.055) ** 2.4
    assert np.allclose(light.mean(axis=(0, 1)), asked, rtol=0.01)
    assert tile.height.min() >= 0
    assert tile.height.max() == 1
    assert np.allclose(np.linalg.norm(tile.normals, axis=2), 1)
    # no seam where squares meet: from side to side it changes no more than within
    within = np.abs(np.diff(tile.height, axis=1)).mean()
    across = np.abs(tile.height[:, 0] - tile.height[:, -1]).mean()
    assert across < 2 * within


def test_a_print_is_in_the_model_at_true_scale(drape: Drape, tmp_path: Path) -> None:
    """Its stripes, read off the GLB's picture by its texture coordinates, lie where the pattern has them."""
    job = load_job(ROOT / "sample_avatars" / "jobs" / "larch_hut.toml")
    stripes = Print(kind="stripe", repeat_m=0.3, offset_m=(0.05, 0.0), colours=("#ffffff",))
    dark = ClothChoice(kind="light plush", colour="#101010", print=stripes)
    job = replace(job, outer=dark, lining=dark, variants=())
    model = model_of(looks(job)[0], tmp_path / "striped", "drape.npz", mannequin=False)
    make_models([model], lambda _: drape, lambda _: None)
    read = Read(tmp_path / "striped" / MODEL_FILES[0])
    assert read.size < MOST_MODEL_BYTES
    for name, sign in (("Outer", 1), ("Lining", -1)):
        with Image.open(tmp_path / "striped" / f"{name.lower()}_colour.png") as image:
            pixels = np.asarray(image.convert("RGB"), dtype=np.float64) / 255
        (mesh,) = (mesh for mesh in read.tree["meshes"] if mesh["name"] == name)
        told = mesh["primitives"][0]["attributes"]
        places, uv = read.array(told["POSITION"]), read.array(told["TEXCOORD_0"])
        size = np.array(pixels.shape[1::-1])
        column, row = (uv % 1.0 * size).astype(int).T  # glTF counts rows from the top
        bright = pixels[row % size[1], column % size[0]].mean(axis=1) > 0.4
        # the sheets of this drape hang plumb: x is the pattern's
        off = np.abs((sign * places[:, 0] - 0.05 + 0.15) % 0.3 - 0.15)
        clear = np.abs(off - 0.075) > 0.01
        assert (bright == (off < 0.075))[clear].mean() > 0.97


def test_a_turned_back_cuff_is_in_the_model(drape: Drape, tmp_path: Path) -> None:
    job = load_job(ROOT / "sample_avatars" / "jobs" / "larch_hut.toml")
    job = replace(job, variants=(), cut=replace(job.cut, cuff_depth_m=0.08))
    model = model_of(looks(job)[0], tmp_path / "cuffed", "drape.npz", mannequin=False)
    assert "cuffs are plain geometry" in model.texts["Comment"]
    make_models([model], lambda _: drape, lambda _: None)
    read = Read(tmp_path / "cuffed" / MODEL_FILES[0])
    meshes = {mesh["name"]: mesh["primitives"][0]["attributes"] for mesh in read.tree["meshes"]}
    assert len(read.tree["images"]) == 4
    for side, sign in (("left", 1), ("right", -1)):
        places = read.array(meshes[f"Lining cuff {side}"]["POSITION"])
        # it lies over the last 8 cm of the sleeve; its fold reaches beyond by about a thickness
        ends = np.sort(sign * places[:, 0])[[0, -1]]
        wrist_m = np.abs(drape.panel.flat[:, 0]).max()
        assert ends[0] == pytest.approx(wrist_m - 0.08, abs=0.012)
        assert wrist_m - 0.001 < ends[1] < wrist_m + 0.012
        assert np.isfinite(places).all()


def test_ringlets_and_worms_are_seen_in_a_square_of_pile() -> None:
    """The distance over which heights are alike: a ringlet or a tuft, where plush has single tips."""

    def alike_m(kind: str) -> float:
        height = pile_tile(
            pile_style(library()[kind].pile_height_m, kind), (0.5,) * 3, 0.005
        ).height
        light = np.abs(np.fft.fft2(height - height.mean())) ** 2
        around = np.fft.ifft2(light).real[0]
        return int((around < around[0] / 2).argmax()) * 0.05 / TILE_PX

    assert alike_m("curly pile") > 1.5 * alike_m("light plush")
    assert alike_m("flannel fleece") > 1.2 * alike_m("light plush")


def test_models_come_back_from_their_file(model: Model, tmp_path: Path) -> None:
    path = tmp_path / "models.json"
    write_models(path, [model])
    assert read_models(path) == (model,)
    path.write_text('[{"folder": "x"}]', encoding="utf-8")
    with pytest.raises(FileError, match="does not hold models"):
        read_models(path)


def test_a_model_that_fails_leaves_no_file(model: Model, drape: Drape, tmp_path: Path) -> None:
    broken = replace(model, folder=str(tmp_path / "hut"))
    bad = replace(drape, outer=drape.outer[:5])
    with pytest.raises((ValueError, IndexError)):
        make_models([broken], lambda _: bad, lambda _: None)
    assert list((tmp_path / "hut").iterdir()) == []
    assert [path.name for path in tmp_path.iterdir()] == ["hut"]

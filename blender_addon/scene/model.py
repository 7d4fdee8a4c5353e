# SPDX-License-Identifier: GPL-3.0-or-later
"""From a drape to a model for a page: both layers with pictures of their pile, as GLB, USDZ and OBJ."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import bpy
import numpy as np

from ...core.arrays import FloatArray
from ...core.cloth import Cloth
from ...core.drape import Drape
from ...core.errors import FileError
from ...core.files import whole_files
from ...core.job import read_job_text
from ...core.pictures.model import MODEL_FILES, MOST_MODEL_BYTES, Model
from ...core.pictures.motifs import repeat_of
from .bridge import put_mesh
from .materials import tile_material
from .photograph import attempt, new_scene
from .pile_styles import pile_style, standing_share
from .pile_tile import PileTile, pile_tile, printed_tile, shade_of
from .prints import LINING, place_of
from .shells import shells
from .surface import Sheet
from .turned_back import cuff_sheets
from .wrap import LEAST_PILE_M, drawn, put_body

__all__ = ["make_models", "put_model", "write_model"]

MOST_VERTICES = 120_000
"""Of all sheets together: about 5 MB, which leaves room for mannequin and pictures."""
MOST_SHELLS = {"Outer": 6, "Lining": 3}
"""The lining shows at openings only."""
CUFF_SHELLS = 4
FINEST = 1
"""How often every edge of the drape is halved at the most."""
NO_PATH = Path("a model's job")


@dataclass(frozen=True, slots=True)
class _Coat:
    """What covers a layer: its cloth, how high its pile stands and how wide its pictures are (m), and these."""

    cloth: Cloth
    depth_m: float
    side_m: float
    colour: bpy.types.Image
    normals: bpy.types.Image


def make_models(
    models: Iterable[Model], load: Callable[[Path], Drape], announce: Callable[[Model], None]
) -> None:
    """Make models, the files of each written whole or not at all.

    Raises
    ------
    FileError
        A file cannot be read or written, or comes out too large.
    """
    for model in models:
        announce(model)
        for _ in write_model(load(Path(model.wrap.drape)), model, new_scene()):
            pass


def write_model(drape: Drape, model: Model, scene: bpy.types.Scene) -> Iterator[str]:
    """Write a model out of an empty scene, which is the one in view; each step is told beforehand.

    Raises
    ------
    FileError
        A file cannot be written, or comes out too large.
    """
    with whole_files(Path(model.folder)) as folder:
        yield "3D"
        put_model(drape, model, scene.collection, folder)
        _note(scene, model.texts)
        scene.view_layers[0].update()
        yield from _export(scene, folder, model)


def put_model(drape: Drape, model: Model, collection: bpy.types.Collection, pictures: Path) -> None:
    """Put the wrap of a model into ``collection``, and the pictures of its pile into a folder."""
    job = read_job_text(model.wrap.job_text, NO_PATH)
    cloths = (job.outer_cloth, job.lining_cloth)
    fineness = FINEST if len(drape.panel.flat) * 4**FINEST * 2 <= MOST_VERTICES else 0
    drape = replace(drape, outer_cloth=cloths[0], lining_cloth=cloths[1])
    sheets = drawn(drape, rounds=fineness)
    coats = {
        name: _coat(name, cloth, pictures) for name, cloth in zip(MOST_SHELLS, cloths, strict=True)
    }
    room = max(MOST_VERTICES // len(sheets[0].flat) - 2, 0)
    most = sum(MOST_SHELLS.values())
    nap = np.array(job.cut.nap.stroke)
    for (name, wanted), sheet in zip(MOST_SHELLS.items(), sheets, strict=True):
        _put_layer(name, sheet, coats[name], min(wanted, room * wanted // most), nap, collection)
    if job.cut.cuff_depth_m:
        for layer, side, sheet in cuff_sheets(drape, job.cut.cuff_depth_m, rounds=fineness):
            name = f"{layer} cuff {side}"
            _put_layer(name, sheet, coats[layer], CUFF_SHELLS, nap, collection)
    if model.mannequin:
        put_body(drape.body, collection)


def _put_layer(
    name: str,
    sheet: Sheet,
    coat: _Coat,
    count: int,
    nap: FloatArray,
    collection: bpy.types.Collection,
) -> None:
    """One layer: its surface, and ``count`` sheets over it that show ever fewer tips of its pile."""
    cloth, colour, normals = coat.cloth, coat.colour, coat.normals
    place = place_of(cloth, sheet.flat, inside=name.startswith(LINING))
    if place is None:
        place = sheet.flat / coat.side_m
    _put_sheet(name, sheet, place, tile_material(name, colour, normals), collection)
    if not coat.depth_m:
        return
    heights = np.arange(1, count + 1) / (count + 1)
    raised = shells(
        sheet, heights, depth_m=coat.depth_m, pile_height_m=cloth.pile_height_m, nap=nap
    )
    for number, (shell, height) in enumerate(zip(raised, heights, strict=True), start=1):
        material = tile_material(f"{name} pile {number}", colour, normals, least_height=height)
        _put_sheet(material.name, shell, place, material, collection)


def _coat(layer: str, cloth: Cloth, pictures: Path) -> _Coat:
    """The pile of a cloth, its pictures in a folder."""
    pile_m = cloth.pile_height_m
    depth_m = pile_m * standing_share(pile_m, cloth.thickness_m) if pile_m > LEAST_PILE_M else 0.0
    tile = _tile(cloth, max(depth_m, LEAST_PILE_M))
    colour, normals = _painted(layer, tile, pictures)
    return _Coat(cloth, depth_m, tile.side_m, colour, normals)


def _tile(cloth: Cloth, depth_m: float) -> PileTile:
    """The pile of a cloth that stands so high: a square of it, or one repeat of its print."""
    style = pile_style(cloth.pile_height_m, cloth.name)
    tile = pile_tile(style, cloth.colour, depth_m)
    motif = cloth.print
    if motif is None:
        return tile
    times = 2 if motif.mirrored else 1
    return printed_tile(
        tile,
        shade_of(style, tile.height),
        repeat_of(motif, cloth.colour),
        (times * motif.repeat_m, times * motif.height_m),
    )


def _put_sheet(
    name: str,
    sheet: Sheet,
    place: FloatArray,
    material: bpy.types.Material,
    collection: bpy.types.Collection,
) -> None:
    thing = put_mesh(
        name,
        sheet.positions,
        sheet.triangles,
        collection,
        flat=place,
        normals=sheet.normals,
    )
    thing.data.materials.append(material)


def _painted(name: str, tile: PileTile, folder: Path) -> Iterator[bpy.types.Image]:
    """Colour with height as its alpha, and normals, as PNG files in a folder."""
    colour = np.concatenate([tile.colour, tile.height[..., None]], axis=2)
    normals = np.pad(tile.normals / 2 + 0.5, ((0, 0), (0, 0), (0, 1)), constant_values=1.0)
    for kind, values in (("colour", colour), ("normals", normals)):
        yield _image(folder / f"{name.lower()}_{kind}.png", values, data=kind == "normals")


def _image(path: Path, values: FloatArray, *, data: bool) -> bpy.types.Image:
    """An image (n, m, 4) from 0 to 1 that lies in a file; ``data`` is no colour."""
    height_px, width_px = values.shape[:2]
    image = bpy.data.images.new(path.stem, width_px, height_px, alpha=True)
    image.alpha_mode = "CHANNEL_PACKED"
    if data:
        image.colorspace_settings.name = "Non-Color"
    image.pixels.foreach_set(np.ascontiguousarray(values, dtype=np.float32).reshape(-1))
    image.file_format = "PNG"
    image.filepath_raw = str(path)
    image.save()
    return image


def _note(scene: bpy.types.Scene, texts: Mapping[str, str]) -> None:
    """What the files say about themselves, as properties that exporters take along."""
    for keyword, text in texts.items():
        scene[keyword.lower()] = text


def _export(scene: bpy.types.Scene, folder: Path, model: Model) -> Iterator[str]:
    """Write the scene in each form; sheets of pile only where a part can be cut out of a picture."""
    glb, usd, plain = (folder / file for file in MODEL_FILES)
    yield "GLB"
    attempt(
        "The GLB could not be written",
        partial(
            bpy.ops.export_scene.gltf,
            filepath=str(glb),
            export_format="GLB",
            export_yup=True,
            export_extras=True,
            export_copyright=model.texts.get("Comment", ""),
            export_animations=False,
            use_active_scene=True,
        ),
    )
    size = glb.stat().st_size
    if size > MOST_MODEL_BYTES:
        raise FileError(
            f"The GLB of {folder.name} has {size / 1e6:.1f} MB, more than "
            f"{MOST_MODEL_BYTES / 1e6:.0f} MB. Drape with a coarser mesh (--edge-length)."
        )
    yield "USDZ"
    attempt(
        "The USDZ could not be written",
        partial(
            bpy.ops.wm.usd_export,
            filepath=str(usd),
            convert_orientation=True,
            export_global_forward_selection="NEGATIVE_Z",
            export_global_up_selection="Y",
        ),
    )
    yield "OBJ"
    for thing in scene.collection.objects:
        thing.select_set(" pile " not in thing.name)
    attempt(
        "The OBJ could not be written",
        partial(
            bpy.ops.wm.obj_export,
            filepath=str(plain),
            export_selected_objects=True,
            path_mode="RELATIVE",
        ),
    )

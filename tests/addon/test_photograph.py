# SPDX-License-Identifier: GPL-3.0-or-later
"""Tiny pictures of each kind of shot: what is in them, and where, against plain geometry and golden ones.

Golden pictures are compared by what a shopper would notice: the outline on a coarse grid, the mean colour,
and on the same grid the colours of a print. Single strands, noise and the denoiser differ from Blender to
Blender.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

bpy = pytest.importorskip("bpy")

from napfold.blender_addon.scene import film, photograph  # noqa: E402
from napfold.blender_addon.scene.contact_sheet import (  # noqa: E402
    CELL_PX,
    GAP_PX,
    LINE_PX,
    LINES,
    sheet_size,
)
from napfold.blender_addon.scene.surface import Sheet  # noqa: E402
from napfold.blender_addon.scene.turned_back import (  # noqa: E402
    covered_by_cuff_m,
    cuff_sheets,
    fronts_turned_back,
)
from napfold.blender_addon.scene.wrap import put_layers  # noqa: E402
from napfold.core.cloth import ClothChoice, Print, library  # noqa: E402
from napfold.core.drape import Drape  # noqa: E402
from napfold.core.job import Job, load_job  # noqa: E402
from napfold.core.nap import NapDown  # noqa: E402
from napfold.core.picture_plan import plan_pictures  # noqa: E402
from napfold.core.pictures.choice import SIZES_PX, PictureChoice  # noqa: E402
from napfold.core.pictures.png_file import annotated, texts_of  # noqa: E402
from napfold.core.pictures.take import Sheet as Contact  # noqa: E402
from napfold.core.pictures.take import Take  # noqa: E402

from .hung import hung_flat  # noqa: E402

pytestmark = pytest.mark.addon

ROOT = Path(__file__).resolve().parents[2]
GOLDEN = ROOT / "tests" / "data" / "pictures"
SIDE_PX, COARSE = 48, 12
OUTLINE_APART = 0.04
"""Mean difference of coverage on the coarse grid: an edge that is one pixel off all round a wrap of
half the frame makes 0.02."""
COLOUR_APART = 0.12
"""Of the mean colour (sRGB, 0 to 1): pile may be drawn otherwise, its cloth stays the same. Cycles of 4.2
lights strands from the side only that is turned to the camera: a stack, lit from above, is 0.11 deeper."""
PRINT_APART = 0.06
"""Mean difference of colour (sRGB, 0 to 1) of fields of the coarse grid that are all cloth: noise and
denoisers make a third of it, a print that lies half a repeat elsewhere four times as much."""
CHECK = Print(kind="check", repeat_m=0.36, offset_m=(-0.03, 0.05), colours=("#f2ead8", "#a8552f"))
GREEN = np.array([0x5A, 0x6B, 0x4E]) / 255


@pytest.fixture(scope="module")
def drape() -> Drape:
    cloth = library()["microfleece"]
    return hung_flat(cloth, cloth, corner_radius_m=0.08)


@pytest.fixture(scope="module")
def job() -> Job:
    one = load_job(ROOT / "sample_avatars" / "jobs" / "larch_hut.toml")
    return replace(one, outer=ClothChoice(kind="light plush", colour="#5a6b4e"), variants=())


def takes(job: Job, drape: Drape, folder: Path, *names: str, background: str) -> list[Take]:
    choice = PictureChoice(shots=names, backgrounds=(background,))
    planned, _ = plan_pictures(
        replace(job, pictures=choice), folder, lambda *_: ("drape.npz", drape), quick=True
    )
    return [replace(one.take, width_px=SIDE_PX, height_px=SIDE_PX) for one in planned]


def taken(one: list[Take], drape: Drape) -> dict[str, np.ndarray]:
    """(height, width, 4) sRGB from 0 to 1 of each, top row first."""
    found = {}
    for take, scene in photograph.aimed(one, photograph.new_scene, lambda _: drape):
        photograph.render_to(scene, take)
        found[take.shot] = pixels(Path(take.path))
    return found


def pixels(path: Path) -> np.ndarray:
    image = bpy.data.images.load(str(path))
    image.colorspace_settings.name = "Non-Color"
    width, height = image.size
    values = np.zeros(width * height * 4, dtype=np.float32)
    image.pixels.foreach_get(values)
    bpy.data.images.remove(image)
    return values.reshape(height, width, 4)[::-1]


def coverage(picture: np.ndarray) -> np.ndarray:
    """How much of each field of a coarse grid is covered."""
    size = SIDE_PX // COARSE
    return picture[..., 3].reshape(COARSE, size, COARSE, size).mean(axis=(1, 3))


def mean_colour(picture: np.ndarray) -> np.ndarray:
    solid = picture[..., 3] > 0.95
    return picture[solid][:, :3].mean(axis=0)


def test_shots_look_like_their_golden_pictures(job: Job, drape: Drape, tmp_path: Path) -> None:
    names = ("front", "flat lay", "folded")
    found = taken(takes(job, drape, tmp_path, *names, background="transparent"), drape)
    for name in names:
        golden = pixels(GOLDEN / f"{name.replace(' ', '_')}.png")
        outline = np.abs(coverage(found[name]) - coverage(golden)).mean()
        assert outline < OUTLINE_APART, name
        apart = np.abs(mean_colour(found[name]) - mean_colour(golden)).max()
        assert apart < COLOUR_APART, name


def coarse_colours(picture: np.ndarray) -> np.ndarray:
    """Colour of each field of the coarse grid that is all covered; nan elsewhere, (n, n, 3)."""
    size = SIDE_PX // COARSE
    fields = picture.reshape(COARSE, size, COARSE, size, 4)
    colours = fields[..., :3].mean(axis=(1, 3))
    colours[fields[..., 3].min(axis=(1, 3)) < 0.95] = np.nan
    return colours


def print_apart(one: np.ndarray, other: np.ndarray) -> float:
    return float(np.nanmean(np.abs(coarse_colours(one) - coarse_colours(other))))


def printed(job: Job, motif: Print) -> Job:
    return replace(job, outer=replace(job.outer, print=motif))


def test_a_print_looks_like_its_golden_picture(job: Job, drape: Drape, tmp_path: Path) -> None:
    """Colours and place of the check on body and sleeves; moved by half a repeat it is told apart."""
    golden = pixels(GOLDEN / "printed.png")
    (take,) = takes(printed(job, CHECK), drape, tmp_path, "front", background="transparent")
    found = taken([take], drape)["front"]
    assert np.abs(coverage(found) - coverage(golden)).mean() < OUTLINE_APART
    assert print_apart(found, golden) < PRINT_APART
    moved = replace(CHECK, offset_m=(CHECK.offset_m[0] + CHECK.repeat_m / 2, CHECK.offset_m[1]))
    (take,) = takes(printed(job, moved), drape, tmp_path, "front", background="transparent")
    assert print_apart(taken([take], drape)["front"], golden) > 2 * PRINT_APART


def test_golden_pictures_are_told_apart() -> None:
    """The distance that the test above allows is far less than that between two shots."""
    front, flat = (pixels(GOLDEN / f"{name}.png") for name in ("front", "flat_lay"))
    assert np.abs(coverage(front) - coverage(flat)).mean() > 4 * OUTLINE_APART


def test_white_is_white_and_the_hidden_mannequin_is_not_there(
    job: Job, drape: Drape, tmp_path: Path
) -> None:
    (take,) = takes(job, drape, tmp_path, "front", background="white")
    hidden = replace(take, mannequin="hidden", path=str(tmp_path / "hidden.png"))
    shown = taken([take], drape)["front"]
    without = taken([hidden], drape)["front"]
    head = np.s_[3:9, 21:27]
    assert shown[head][..., :3].min() < 0.9
    assert without[head][..., :3].min() == pytest.approx(1.0, abs=0.005)
    # the denoiser leaves the very corner a shade darker
    assert np.median(shown[:4, :4, :3]) == 1.0
    assert shown[:4, :4, :3].min() > 0.9


def test_a_film_has_a_film_in_it(tmp_path: Path) -> None:
    """MP4 begins with a box of kind ftyp (ISO/IEC 14496-12)."""
    if not film.has_encoder():
        pytest.skip("this Blender has no encoder")
    frames = []
    for number in range(3):
        frames.append(tmp_path / f"frame_{number}.png")
        frames[-1].write_bytes((GOLDEN / "front.png").read_bytes())
    film.write_film(frames, tmp_path / "turn.mp4")
    assert (tmp_path / "turn.mp4").read_bytes()[4:8] == b"ftyp"


def test_the_contact_sheet_shows_each_picture_in_its_place(tmp_path: Path) -> None:
    files = []
    for number, colour in enumerate(((0.8, 0.1, 0.1), (0.1, 0.2, 0.8))):
        image = bpy.data.images.new("Plain", 20, 40)
        image.pixels.foreach_set(np.tile([*colour, 1.0], 800).astype(np.float32))
        image.filepath_raw, image.file_format = str(tmp_path / f"{number}.png"), "PNG"
        image.save()
        files.append((image.filepath_raw, f"Picture {number}", "second line"))
    sheet = Contact(
        path=str(tmp_path / "sheet.png"), entries=tuple(files), texts={"Comment": "Preview"}
    )
    photograph.write_contact_sheet(sheet)
    assert texts_of((tmp_path / "sheet.png").read_bytes()) == {"Comment": "Preview"}
    shown = pixels(tmp_path / "sheet.png")[..., :3]
    columns, width, height = sheet_size(2)
    assert (columns, shown.shape[:2]) == (2, (height, width))
    middle = GAP_PX + CELL_PX // 2
    for number in range(2):
        x = middle + number * (CELL_PX + GAP_PX)
        given = pixels(tmp_path / f"{number}.png")[0, 0, :3]
        np.testing.assert_allclose(shown[middle, x], given, atol=0.02)
        # twice as high as wide: paper to both sides
        np.testing.assert_allclose(shown[middle, x - CELL_PX * 3 // 8], 1.0, atol=0.005)
        words = shown[GAP_PX + CELL_PX :, x - CELL_PX // 2 : x + CELL_PX // 2][: LINES * LINE_PX]
        assert words.min() < 0.5


def test_a_front_turned_back_lies_on_itself_with_the_lining_up(drape: Drape) -> None:
    """On flat sheets: what is beyond the fold comes to lie as far before it, over the front."""
    panel = drape.panel
    flat, triangles = panel.flat, panel.triangles
    n = len(flat)
    thick_m = 0.004
    normals = np.tile([0.0, 0.0, 1.0], (n, 1))
    up = np.column_stack([flat, np.full(n, thick_m)])
    down = np.column_stack([flat, np.full(n, -thick_m)])
    far = np.full(n, 1.0)
    outer = Sheet(up, normals, flat, triangles, far)
    lining = Sheet(down, -normals, flat, triangles[:, ::-1], far)
    turned_outer, turned_lining = fronts_turned_back(drape, outer, lining)
    edge = panel.edges["front_left"]
    fold_m = turned_outer.positions[edge]
    radius_m = 1.15 * (drape.outer_cloth.thickness_m + drape.lining_cloth.thickness_m) / 2
    # the edge lies as far from the fold as it was, less half the difference of arc and chord
    np.testing.assert_allclose(fold_m[:, 2], 2 * radius_m - thick_m, atol=2e-4)
    np.testing.assert_allclose(turned_lining.positions[edge, 2], 2 * radius_m + thick_m, atol=2e-4)
    assert (fold_m[:, 0] > 0.05).all()
    assert (turned_lining.normals[edge, 2] > 0.99).all()
    assert (turned_outer.normals[edge, 2] < -0.99).all()
    behind = panel.behind
    np.testing.assert_array_equal(turned_outer.positions[behind], up[behind])


def test_pile_goes_on_to_the_edge_of_a_cuff_and_not_under_it(drape: Drape) -> None:
    """Under the edge it ends within a triangle of the drawn mesh (12.5 mm), so that no ring is bald."""
    depth_m = 0.12
    scene = photograph.new_scene()
    covered_m = covered_by_cuff_m(drape, depth_m)
    put_layers(drape, scene.collection, NapDown.IN_FRONT, covered_m=covered_m, strand_share=0.1)
    hair = scene.objects["Outer pile"].data
    points = np.zeros(len(hair.points) * 3, dtype=np.float32)
    hair.attributes["position"].data.foreach_get("vector", points)
    roots_x = points.reshape(len(hair.curves), -1, 3)[:, 0, 0]
    cuff = next(
        sheet
        for layer, side, sheet in cuff_sheets(drape, depth_m)
        if (layer, side) == ("Lining", "left")
    )
    edge_x = cuff.positions[cuff.rim_distance < 1e-9, 0]
    assert np.ptp(edge_x) < 0.004  # the edge is even
    assert -0.002 < roots_x.max() - edge_x.mean() < 0.0165


def test_names_of_sizes_are_what_a_shop_asks_for() -> None:
    assert SIZES_PX["square"] == (1000, 1000)
    assert SIZES_PX["large square"] == (2000, 2000)
    wide, high = SIZES_PX["portrait"]
    assert wide / high == pytest.approx(4 / 5)
    assert annotated((GOLDEN / "front.png").read_bytes(), {}).startswith(b"\x89PNG")

# SPDX-License-Identifier: GPL-3.0-or-later
"""Prints to scale: read and written, where a motif lies on the flat cloth, what is told of it."""

import math
import struct
import zlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from napfold.core.cloth import PICTURE, PRINTS, Photograph, Print
from napfold.core.errors import FileError, InputError
from napfold.core.job import Job, load_job, save_job
from napfold.core.picture_file import mean_colour, open_picture, pixels_of
from napfold.core.picture_plan import plan_pictures
from napfold.core.picture_words import alt_text, notice
from napfold.core.pictures.choice import PictureChoice
from napfold.core.pictures.motifs import printed_at, repeat_of
from PIL import Image, ImageOps

from .printed_job import JOB, read

GREEN = (0.35, 0.42, 0.31)


def drawn(path: Path, colours: np.ndarray) -> Path:
    """A picture of (height, width, 3) sRGB from 0 to 1, the first row at the top."""
    Image.fromarray(np.round(colours * 255).astype(np.uint8)).save(path)
    return path


@pytest.fixture
def leaf(tmp_path: Path) -> Path:
    """A picture twice as wide as high: red above, blue below."""
    colours = np.zeros((20, 40, 3))
    colours[:10, :, 0] = colours[10:, :, 2] = 1.0
    return drawn(tmp_path / "leaf.png", colours)


def test_a_print_is_read_in_metres(tmp_path: Path, leaf: Path) -> None:
    fern = read(
        tmp_path,
        "[cloth.outer.print]",
        'kind = "fern"',
        'repeat = "12 cm"',
        'offset = "2 cm x 30 mm"',
        'turn = "90 deg"',
        'colours = ["#e6dcc8"]',
    ).outer.cloth()
    assert fern.print == Print(
        kind="fern",
        repeat_m=0.12,
        offset_m=(0.02, 0.03),
        turn_rad=math.radians(90),
        colours=("#e6dcc8",),
    )
    told = ("[cloth.outer.print]", 'kind = "picture"', 'repeat = "40 cm"', f'file = "{leaf.name}"')
    picture = read(tmp_path, *told).outer.print
    assert picture is not None
    assert picture.height_m == pytest.approx(0.20)
    assert read(tmp_path, "[cloth.outer.print]", 'kind = "plain"').outer.print is None


@pytest.mark.parametrize(
    ("lines", "key", "value"),
    [
        (['kind = "paisley"', 'repeat = "9 cm"'], "kind", "paisley"),
        (['kind = "fern"'], "repeat", "missing"),
        (['kind = "fern"', 'repeat = "2 mm"'], "repeat", "2 mm"),
        (['kind = "fern"', 'repeat = "9 cm"', 'turn = "400 deg"'], "turn", "400"),
        (['kind = "fern"', 'repeat = "9 cm"', 'offset = "2 cm"'], "offset", "2 cm"),
        (['kind = "fern"', 'repeat = "9 cm"', 'offset = "1 cm x 9 m"'], "offset", "9"),
        (['kind = "fern"', 'repeat = "9 cm"', 'offset = "-9 m x 1 cm"'], "offset", "9"),
        (['kind = "fern"', 'repeat = "9 cm"', 'offset = "--1 cm x 1 cm"'], "offset", '"--1 cm x'),
        (['kind = "fern"', 'repeat = "9 cm"', 'offset = "- x 6 cm"'], "offset", '"- x 6 cm"'),
        (['kind = "fern"', 'repeat = "9 cm"', 'offset = "6 cm x -"'], "offset", '"6 cm x -"'),
        (['kind = "fern"', 'repeat = "9 cm"', 'offset = "x"'], "offset", '"x"'),
        (['kind = "fern"', 'repeat = "9 cm"', 'colours = ["red"]'], "colours", "red"),
        (['kind = "fern"', 'repeat = "9 cm"', 'file = "job.toml"'], "file", "job.toml"),
        (['kind = "picture"', 'repeat = "9 cm"'], "file", "missing"),
        (['kind = "picture"', 'repeat = "9 cm"', 'file = "no.png"'], "file", "no.png"),
        (['kind = "picture"', 'repeat = "9 cm"', 'file = "http://a/b.png"'], "file", "http"),
        (['kind = "fern"', 'repeats = "9 cm"'], "repeats", "not a key"),
    ],
)
def test_a_mistake_is_told_by_its_key(
    tmp_path: Path, lines: list[str], key: str, value: str
) -> None:
    with pytest.raises(InputError) as told:
        read(tmp_path, "[cloth.outer.print]", *lines)
    assert told.value.key == f"cloth.outer.print.{key}"
    assert value in str(told.value.value)


lengths = st.floats(-2.9, 2.9).map(lambda value: round(value, 4))
prints = st.builds(
    Print,
    kind=st.sampled_from([kind for kind in PRINTS if kind != PICTURE]),
    repeat_m=st.floats(0.006, 2.9),
    offset_m=st.tuples(lengths, lengths),
    turn_rad=st.floats(0.0, 6.28),
    colours=st.lists(st.integers(0, 0xFFFFFF).map(lambda value: f"#{value:06x}"), max_size=3).map(
        tuple
    ),
    one_way=st.sampled_from([None, True, False]),
)


@settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(motif=prints)
def test_any_print_survives_saving(motif: Print, tmp_path: Path) -> None:
    job = read(tmp_path)
    job = replace(job, outer=replace(job.outer, print=motif))
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job


@settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(content=st.binary(max_size=400), jpeg=st.booleans())
def test_any_bytes_are_a_picture_or_told(content: bytes, jpeg: bool, tmp_path: Path) -> None:
    path = tmp_path / "any.png"
    path.write_bytes((b"\xff\xd8\xff" if jpeg else b"\x89PNG\r\n\x1a\n") + content)
    with pytest.raises(FileError, match=r"any\.png"):
        open_picture(path)


def test_a_header_that_promises_too_much_is_refused_before_it_is_unpacked(tmp_path: Path) -> None:
    header = struct.pack(">IIBBBBB", 11_000, 11_000, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + header
    path = tmp_path / "huge.png"
    size = struct.pack(">I", len(header))
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n" + size + chunk + struct.pack(">I", zlib.crc32(chunk)) + b"rest"
    )
    with pytest.raises(FileError, match="11000 x 11000 pixels"):
        open_picture(path)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_photographs_stand_as_the_camera_was_held(orientation: int, tmp_path: Path) -> None:
    values = np.zeros((16, 32, 3), dtype=np.uint8)
    values[:8, :8], values[8:, 24:] = 255, (255, 0, 0)
    image = Image.fromarray(values)
    exif = image.getexif()
    exif[0x0112] = orientation
    image.save(tmp_path / "held.jpg", exif=exif, quality=95, subsampling=0)
    picture = open_picture(tmp_path / "held.jpg")
    with Image.open(tmp_path / "held.jpg") as stored:
        expected = np.asarray(ImageOps.exif_transpose(stored)) / 255
    assert (picture.height_px, picture.width_px) == expected.shape[:2]
    assert np.array_equal(pixels_of(picture)[::-1], expected)


def test_paths_start_from_the_job_file_also_in_variants(tmp_path: Path, leaf: Path) -> None:
    home = tmp_path / "jobs"
    home.mkdir()
    text = JOB + (
        '[[variant]]\nname = "leaves"\n[variant.cloth.outer.print]\n'
        'kind = "picture"\nrepeat = "40 cm"\nfile = "../leaf.png"\n'
    )
    (home / "job.toml").write_text(text, "utf-8")
    job = load_job(home / "job.toml")
    ((_, varied),) = job.expand()
    assert varied.outer.print is not None
    assert varied.outer.print.picture is not None
    assert varied.outer.print.picture.path == leaf
    save_job(home / "again.toml", job)
    assert 'file = "../leaf.png"' in (home / "again.toml").read_text("utf-8")
    assert load_job(home / "again.toml") == job


def test_a_print_stands_upright_in_front_and_on_its_head_behind(leaf: Path) -> None:
    """Red is above blue in the picture. Towards the fold is up in front and down behind."""
    motif = Print(kind=PICTURE, repeat_m=0.4, picture=open_picture(leaf))
    # the middle of a repeat, 20 cm high, lies at the fold: 15 cm in front is the next one's middle
    places = np.array([[0.0, -0.20 + 0.05], [0.0, -0.20 - 0.05], [0.0, 0.20 - 0.05]])
    near_fold, far_from_fold, behind_near_fold = printed_at(motif, GREEN, places)
    assert near_fold == pytest.approx([1, 0, 0])
    assert far_from_fold == pytest.approx([0, 0, 1])
    assert behind_near_fold == pytest.approx([0, 0, 1])


def test_a_lining_is_printed_on_the_side_that_is_seen(tmp_path: Path) -> None:
    """A picture that is red on its left: on the lining, whose x is seen from behind, red is at +x."""
    colours = np.zeros((20, 20, 3))
    colours[:, :10, 0] = colours[:, 10:, 2] = 1.0
    picture = open_picture(drawn(tmp_path / "halves.png", colours))
    motif = Print(kind=PICTURE, repeat_m=0.2, picture=picture)
    left, right = np.array([[-0.05, 0.0], [0.05, 0.0]])
    assert printed_at(motif, GREEN, np.array([left, right]))[:, 0] == pytest.approx([1, 0])
    inside = printed_at(motif, GREEN, np.array([left, right]), inside=True)
    assert inside[:, 0] == pytest.approx([0, 1])


@settings(deadline=None, max_examples=40)
@given(motif=prints, x=st.floats(-0.7, 0.7), v=st.floats(-0.6, 0.6))
def test_a_print_comes_again_after_its_repeat_and_moves_with_its_offset(
    motif: Print, x: float, v: float
) -> None:
    cos, sin = math.cos(motif.turn_rad), math.sin(motif.turn_rad)
    across = motif.repeat_m * np.array([cos, sin])
    up = motif.height_m * np.array([-sin, cos])
    place = np.array([[x, v]])
    here = motif.place(place)
    assert motif.place(place + across) - here == pytest.approx(np.array([[1, 0]]), abs=1e-9)
    assert motif.place(place + up) - here == pytest.approx(np.array([[0, 1]]), abs=1e-9)
    unmoved = replace(motif, offset_m=(0.0, 0.0))
    assert unmoved.place(place - np.array(motif.offset_m)) == pytest.approx(here, abs=1e-9)


@pytest.mark.parametrize(
    ("written", "offset_m"),
    [
        ("-2 cm x 6 cm", (-0.02, 0.06)),
        ("-2 x -6 cm", (-0.02, -0.06)),
        ("1 1/2 in by \N{MINUS SIGN}3 in", (0.0381, -0.0762)),
    ],
)
def test_a_print_may_lie_to_the_left_and_down(
    tmp_path: Path, written: str, offset_m: tuple[float, float]
) -> None:
    job = read(
        tmp_path, "[cloth.outer.print]", 'kind = "fern"', 'repeat = "9 cm"', f'offset = "{written}"'
    )
    motif = job.outer.print
    assert motif is not None
    assert motif.offset_m == pytest.approx(offset_m)
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job
    # a whole repeat more changes nothing
    flat = np.random.default_rng(0).uniform(-0.5, 0.5, (200, 2))
    further = replace(motif, offset_m=(offset_m[0] + 0.09, offset_m[1] + 0.09))
    assert np.mean(printed_at(motif, GREEN, flat) != printed_at(further, GREEN, flat)) < 0.02


@pytest.mark.parametrize("kind", [kind for kind in PRINTS if kind != PICTURE])
def test_motifs_meet_themselves_at_their_sides(kind: str) -> None:
    """Across the side of a repeat colours change no more than within it."""
    pixels = repeat_of(Print(kind=kind, repeat_m=0.1), GREEN)
    for axis in (0, 1):
        within = np.abs(np.diff(pixels, axis=axis)).mean(axis=(1 - axis, 2)).max()
        first, last = np.take(pixels, 0, axis), np.take(pixels, -1, axis)
        assert np.abs(first - last).mean() <= within + 1e-9


def test_stripes_take_half_and_lie_at_the_repeat() -> None:
    x = np.linspace(-0.3, 0.3, 60_001)
    motif = Print(kind="stripe", repeat_m=0.1, colours=("#ffffff",))
    white = printed_at(motif, (0, 0, 0), np.column_stack([x, 0 * x]))[:, 0] > 0.5
    begins = x[1:][white[1:] & ~white[:-1]]
    assert np.diff(begins) == pytest.approx(0.1, abs=3e-4)
    assert white.mean() == pytest.approx(0.5, abs=0.01)


def test_a_photograph_gives_the_colour_in_light_and_shadows_do_not_count(tmp_path: Path) -> None:
    """Half black, half white strands are seen as the grey of half the light: sRGB 0.735."""
    chance = np.random.default_rng(0)
    strands = (chance.random((400, 500, 1)) < 0.5) * np.ones(3)
    assert mean_colour(strands) == pytest.approx(0.735, abs=0.01)
    cloth = np.full((400, 500, 3), [0.6, 0.5, 0.4]) + chance.normal(0, 0.03, (400, 500, 1))
    shaded = cloth.copy()
    shaded[:, :180] *= 0.6  # a hand's shadow over a third
    shaded[:40] = 1.0  # and a gleam
    assert np.abs(shaded.mean(axis=(0, 1)) - [0.6, 0.5, 0.4]).max() > 0.03
    assert mean_colour(shaded) == pytest.approx([0.6, 0.5, 0.4], abs=0.01)
    drawn(tmp_path / "moss.png", np.clip(shaded, 0, 1))
    told = ("[cloth.outer.photograph]", 'file = "moss.png"', 'width = "30 cm"')
    job = read(tmp_path, *told)
    assert job.outer.cloth().colour == pytest.approx((0x5A / 255, 0x6B / 255, 0x4E / 255))
    job = replace(job, outer=replace(job.outer, colour=None))
    assert job.outer.cloth().colour == pytest.approx((0.6, 0.5, 0.4), abs=0.01)
    assert job.outer.cloth().print is None
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job


def test_a_photograph_that_is_tiled_shows_the_cloth_at_its_scale(tmp_path: Path) -> None:
    """A mark a third of the photograph from its left stands there on the cloth, and mirrored beside it."""
    colours = np.full((100, 300, 3), 0.5)
    colours[:, 99:102] = 0.0
    drawn(tmp_path / "marked.png", colours)
    told = ("[cloth.outer.photograph]", 'file = "marked.png"', 'width = "30 cm"', "tiled = true")
    motif = read(tmp_path, *told).outer.cloth().print
    assert motif is not None
    x = np.arange(-0.9, 0.9, 0.0005)
    dark = x[printed_at(motif, GREEN, np.column_stack([x, 0 * x]))[:, 0] < 0.25]
    # the middle of the photograph lies at 0; its left side at -0.15, its mark at -0.05
    expected = [-0.85, -0.65, -0.25, -0.05, 0.35, 0.55]
    groups = np.split(dark, np.flatnonzero(np.diff(dark) > 0.01) + 1)
    assert [group.mean() for group in groups] == pytest.approx(expected, abs=0.001)
    assert "every second time as its mirror image" in notice(read(tmp_path, *told))
    assert "mirror" not in notice(read(tmp_path))
    with pytest.raises(InputError, match="photograph"):
        read(tmp_path, *told, "[cloth.outer.print]", 'kind = "fern"', 'repeat = "9 cm"')


def test_a_changed_picture_is_not_shown_under_its_old_key(tmp_path: Path, leaf: Path) -> None:
    told = ("[cloth.outer.print]", 'kind = "picture"', 'repeat = "40 cm"', 'file = "leaf.png"')

    def key(job: Job) -> str:
        wanted = replace(job, pictures=PictureChoice(shots=("flat lay",)))
        ((picture,), _) = plan_pictures(wanted, tmp_path, lambda *_: None)
        return picture.take.key

    job = read(tmp_path, *told)
    first = key(job)
    assert job.outer.print is not None
    assert job.outer.print.picture is not None
    drawn(leaf, np.ones((20, 40, 3)))
    with pytest.raises(FileError, match="changed meanwhile"):
        pixels_of(job.outer.print.picture)
    changed = key(read(tmp_path, *told))
    assert changed != first
    leaf.rename(tmp_path / "moved.png")
    moved = (*told[:3], 'file = "moved.png"')
    assert key(read(tmp_path, *moved)) == changed
    assert key(read(tmp_path)) not in (first, changed)


def test_what_is_told_of_a_print(tmp_path: Path) -> None:
    fern = ("[cloth.outer.print]", 'kind = "fern"', 'repeat = "12 cm"', 'colours = ["#e6dcc8"]')
    job = read(tmp_path, *fern)
    assert (
        "green light plush with a cream fern print that repeats every 12 cm, upright in front and "
        "upside down behind outside"
    ) in alt_text(job, "front", mannequin="shown")
    wanted = replace(job, pictures=PictureChoice(shots=("flat lay",)))
    ((picture,), _) = plan_pictures(wanted, tmp_path, lambda *_: None)
    assert picture.facts["outer_print"].startswith("a cream fern print")
    assert picture.facts["lining_print"] == ""


def test_a_photograph_needs_a_believable_width(tmp_path: Path, leaf: Path) -> None:
    with pytest.raises(InputError, match="width"):
        Photograph(picture=open_picture(leaf), width_m=0.001)

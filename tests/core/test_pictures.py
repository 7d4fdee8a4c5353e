# SPDX-License-Identifier: GPL-3.0-or-later
"""Sets of pictures: what is planned, framed, listed and said; files are read back by hand."""

import csv
import io
import json
import math
import struct
import zlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.cloth import Print, library
from napfold.core.drape import Drape
from napfold.core.errors import FileError, InputError
from napfold.core.job import Job, load_job
from napfold.core.mannequin import POSES, build_mannequin
from napfold.core.panels import build_panel_mesh
from napfold.core.pattern import Cut, Front, build_pattern
from napfold.core.picture_extras import plan_extras
from napfold.core.picture_manifest import is_taken, write_manifest
from napfold.core.picture_plan import drape_key, looks, plan_pictures
from napfold.core.picture_words import alt_text, colour_words, notice
from napfold.core.pictures.choice import Colourway, PictureChoice
from napfold.core.pictures.framing import camera_for, frame_of
from napfold.core.pictures.laid import folded_stack, laid_flat
from napfold.core.pictures.png_file import annotated, texts_of
from napfold.core.pictures.shots import SHOTS
from napfold.core.pictures.take import read_takes, write_takes
from napfold.core.tape import Tape

CUT = {"cloth_width_m": 1.1, "length_m": 1.0, "body_width_m": 0.6, "sleeve_drop_m": 0.2}

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def tiny_png(*more: bytes) -> bytes:
    """One grey pixel, after ISO/IEC 15948 without our code."""
    header = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    pixel = zlib.compress(b"\0\x80")
    body = chunk(b"IHDR", header) + b"".join(more) + chunk(b"IDAT", pixel) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


def chunks_by_hand(content: bytes) -> list[tuple[bytes, bytes]]:
    """Kind and data of each chunk, every checksum compared."""
    found, rest = [], content[8:]
    while rest:
        length = int.from_bytes(rest[:4], "big")
        kind, data = rest[4:8], rest[8 : 8 + length]
        assert int.from_bytes(rest[8 + length : 12 + length], "big") == zlib.crc32(kind + data)
        found.append((kind, data))
        rest = rest[12 + length :]
    return found


@pytest.fixture(scope="module")
def job() -> Job:
    one = replace(load_job(JOBS / "larch_hut.toml"), pictures=PictureChoice())
    return replace(one, variants=one.variants[:2])


@pytest.fixture(scope="module")
def drape(job: Job) -> Drape:
    """A wrap that hangs as two flat sheets beside a body."""
    panel = build_panel_mesh(build_pattern(job.cut), 0.05)
    x, v = panel.flat.T
    outer = np.column_stack([x, 0.2 * np.sign(v), 1.42 - np.abs(v)])
    body = build_mannequin(Tape(given={"height": 1.68, "bust_girth": 0.97}))
    cloth = library()["light plush"]
    return Drape(
        panel, outer, 0.99 * outer, cloth, cloth, body.posed(POSES["standing"]), 0.0, True, (), {}
    )


class TestFile:
    def test_texts_and_colour_space_stand_in_chunks_of_the_standard(self) -> None:
        old = chunk(b"tEXt", b"Note\0made on this machine") + chunk(b"gAMA", b"\0\0\xb1\x8f")
        made = annotated(tiny_png(old), {"Title": "Wrap", "Comment": "Vorschau, geschätzt"})
        found = chunks_by_hand(made)
        assert [kind for kind, _ in found] == [b"IHDR", b"sRGB", b"iTXt", b"iTXt", b"IDAT", b"IEND"]
        assert found[1][1] == b"\0"
        assert found[3][1] == b"Comment\0\0\0\0\0" + "Vorschau, geschätzt".encode()
        assert texts_of(made) == {"Title": "Wrap", "Comment": "Vorschau, geschätzt"}

    @given(
        texts=st.dictionaries(st.sampled_from(["Title", "Comment", "Key"]), st.text(max_size=40)),
        cut=st.integers(1, 60),
    )
    def test_any_text_comes_back_and_a_cut_file_is_told(
        self, texts: dict[str, str], cut: int
    ) -> None:
        made = annotated(tiny_png(), texts)
        assert texts_of(made) == texts
        with pytest.raises(FileError):
            annotated(made[:-cut], {})

    def test_what_is_no_picture_is_told(self) -> None:
        with pytest.raises(FileError, match="not a PNG"):
            texts_of(b"GIF89a")


class TestFraming:
    @given(
        turn=st.floats(-180, 180),
        shift=st.floats(-0.5, 0.5),
        size=st.floats(0.2, 2.0),
    )
    def test_a_frame_holds_all_and_is_the_same_for_each_of_them(
        self, turn: float, shift: float, size: float
    ) -> None:
        points = size * np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (0, 1)])
        clouds = [points, points + np.array([shift, 0.0, 0.1])]
        camera = camera_for(SHOTS["front"], clouds, turn_rad=math.radians(turn))
        right = np.array([math.cos(camera.turn_rad), math.sin(camera.turn_rad), 0.0])
        for cloud in clouds:
            off = cloud - camera.target
            assert np.abs(off @ right).max() < camera.width_m / 2
            assert np.abs(off[:, 2]).max() < camera.height_m / 2
        wide, high = camera.frame_m(1080, 1350)
        assert wide / high == pytest.approx(0.8)
        assert wide >= camera.width_m - 1e-9

    def test_the_camera_stands_where_the_shot_says(self) -> None:
        box = [np.array([[-0.4, -0.4, 0.0], [0.4, 0.4, 1.6]])]
        for name, way in (("front", (0, -1, 0)), ("side", (1, 0, 0)), ("flat lay", (0, 0, 1))):
            camera = camera_for(SHOTS[name], box)
            off = (camera.place() - camera.target) / camera.distance_m
            np.testing.assert_allclose(off, way, atol=1e-12)


class TestLaid:
    def test_the_flat_wrap_is_to_scale_and_as_thick_as_four_layers(self, job: Job) -> None:
        pattern = build_pattern(job.cut)
        cloth = library()["light plush"]
        laid = laid_flat(pattern, cloth, cloth)
        assert np.ptp(laid.outer[:, 0]) == pytest.approx(job.cut.cloth_width_m)
        assert np.ptp(laid.outer[:, 1]) == pytest.approx(job.cut.length_m / 2)
        thick_m = cloth.thickness_m
        # from middle to middle of the outermost of four layers
        assert np.ptp(laid.outer[:, 2]) == pytest.approx(3 * thick_m)
        assert np.ptp(laid.lining[:, 2]) == pytest.approx(thick_m)
        front, back = laid.panel.seam_pairs.T
        np.testing.assert_allclose(laid.outer[front], laid.outer[back], atol=1e-9)
        behind = laid.panel.behind
        assert laid.outer[~behind, 2].min() >= laid.outer[behind, 2].max() - 1e-9

    def test_a_stack_holds_all_the_cloth(self) -> None:
        cloth = library()["light plush"]
        stack = folded_stack(1.1, cloth, cloth)
        assert stack.plies % 2 == 0
        assert stack.plies * stack.width_m * stack.depth_m >= 1.1
        assert (stack.plies - 2) * stack.width_m * stack.depth_m < 1.1
        assert stack.height_m == pytest.approx(stack.plies * 0.8 * 2 * cloth.thickness_m)


class TestPlan:
    def test_every_shot_of_every_look_once_and_all_with_one_camera(
        self, job: Job, drape: Drape, tmp_path: Path
    ) -> None:
        choice = PictureChoice(
            shots=("front", "back", "flat lay"),
            sizes=("square", "portrait"),
            backgrounds=("white", "transparent"),
            colourways=(Colourway(name="moss"), Colourway(name="dusk", outer="#223355")),
        )
        asked: list[str] = []

        def drape_of(one: Job, pose: str) -> tuple[str, Drape]:
            asked.append(pose)
            return (f"{drape_key(one, pose, 0.03)}.npz", drape)

        pictures, left_out = plan_pictures(replace(job, pictures=choice), tmp_path, drape_of)
        assert left_out == []
        assert len(pictures) == 2 * 2 * 3 * 2 * 2
        assert len({one.take.path for one in pictures}) == len(pictures)
        assert len({one.take.key for one in pictures}) == len(pictures)
        assert set(asked) == {"standing"}
        for name in choice.shots:
            assert len({one.take.camera for one in pictures if one.take.shot == name}) == 1
        # a colour needs no drape of its own
        assert len({one.take.wraps[0].drape for one in pictures if one.take.shot == "front"}) == 2

    def test_only_what_changed_has_another_key(
        self, job: Job, drape: Drape, tmp_path: Path
    ) -> None:
        def keys(changed: Job) -> dict[str, str]:
            planned, _ = plan_pictures(
                changed, tmp_path, lambda one, pose: (drape_key(one, pose, 0.03), drape)
            )
            return {Path(one.take.path).name: one.take.key for one in planned}

        choice = PictureChoice(shots=("front", "flat lay"))
        one = replace(job, pictures=choice, variants=())
        before = keys(one)
        assert keys(one) == before
        bluer = keys(replace(one, outer=replace(one.outer, colour="#223355")))
        assert set(bluer) == set(before)
        assert all(bluer[name] != before[name] for name in before)
        more = keys(replace(one, pictures=replace(choice, shots=("front", "flat lay", "back"))))
        assert {name: more[name] for name in before} == before

    def test_what_cannot_be_taken_is_told(self, job: Job, drape: Drape, tmp_path: Path) -> None:
        closed = replace(
            job, cut=replace(job.cut, front=Front.CLOSED), variants=(), pictures=PictureChoice()
        )
        wanted = replace(closed, pictures=PictureChoice(shots=("front", "cuff", "open front")))
        pictures, left_out = plan_pictures(wanted, tmp_path, lambda one, pose: ("a.npz", drape))
        assert [one.take.shot for one in pictures] == ["front"]
        assert [(one.shot, one.why) for one in left_out] == [
            ("cuff", "the cut has no turned-back cuff (cut.cuff_depth)"),
            ("open front", "the front is closed"),
        ]

    def test_cuffs_that_are_plain_geometry_are_told_where_they_are_seen(
        self, job: Job, drape: Drape, tmp_path: Path
    ) -> None:
        cuffed = replace(job, cut=replace(job.cut, cuff_depth_m=0.08), variants=())
        wanted = replace(cuffed, pictures=PictureChoice(shots=("front", "cuff", "flat lay")))
        pictures, _ = plan_pictures(wanted, tmp_path, lambda *_: ("a.npz", drape))
        told = {
            one.take.shot: "cuffs are plain geometry" in one.facts["notice"] for one in pictures
        }
        assert told == {"front": True, "cuff": True, "flat lay": False}
        assert "cuffs are" not in notice(job)

    def test_who_lies_in_bed_fills_the_frame(self) -> None:
        """The camera steps as near as the body allows; the foot of the bed may be cut off."""
        mannequin = build_mannequin(Tape(sex="female", given={"height": 1.68, "bust_girth": 0.9}))
        body = mannequin.supported("reading in bed", 0.02)
        panel = build_panel_mesh(build_pattern(Cut(**CUT)), 0.05)
        outer = np.repeat(body.vertices.mean(axis=0)[None], len(panel.flat), axis=0)
        cloth = library()["microfleece"]
        lying = Drape(panel, outer, outer, cloth, cloth, body, 0.002, True, (), {})
        shown = frame_of(lying, SHOTS["reading in bed"])
        assert np.ptp(shown, axis=0) == pytest.approx(np.ptp(body.vertices, axis=0))

    def test_a_drape_depends_on_figures_and_pose_not_on_colour_and_name(self, job: Job) -> None:
        one = replace(job, variants=())
        key = drape_key(one, "standing", 0.018)
        coloured = replace(one, name="Other", outer=replace(one.outer, colour="#102030"))
        assert drape_key(coloured, "standing", 0.018) == key
        assert drape_key(one, "sitting", 0.018) != key
        assert drape_key(one, "standing", 0.03) != key
        heavier = replace(one, outer=replace(one.outer, mass_kg_m2=0.5))
        assert drape_key(heavier, "standing", 0.018) != key

    def test_takes_come_back_from_their_file(self, job: Job, drape: Drape, tmp_path: Path) -> None:
        planned, _ = plan_pictures(job, tmp_path, lambda one, pose: ("a.npz", drape))
        takes = [one.take for one in planned]
        write_takes(tmp_path / "takes.json", takes)
        assert list(read_takes(tmp_path / "takes.json")) == takes
        (tmp_path / "takes.json").write_text('[{"shot": 3}]')
        with pytest.raises(FileError, match="does not hold pictures"):
            read_takes(tmp_path / "takes.json")

    def test_names_of_looks_do_not_clash(self, job: Job) -> None:
        ways = (Colourway(name="A b"), Colourway(name="a-b"))
        found = looks(replace(job, pictures=PictureChoice(colourways=ways)))
        assert len({one.slug for one in found}) == 4

    def test_a_colourway_colours_ground_and_figures(
        self, job: Job, drape: Drape, tmp_path: Path
    ) -> None:
        fern = Print(kind="fern", repeat_m=0.12, colours=("#e6dcc8",))
        printed = replace(job, variants=(), outer=replace(job.outer, print=fern, colour="#5a6b4e"))
        ways = (
            Colourway(name="as it is"),
            Colourway(name="dusk", outer="#223355", outer_print=("#802020", "#e6dcc8")),
            Colourway(name="new ground", outer="#223355"),
        )
        choice = PictureChoice(shots=("front",), colourways=ways, comparison=False)
        pictures, _ = plan_pictures(
            replace(printed, pictures=choice), tmp_path, lambda *_: ("a.npz", drape)
        )
        told = [(one.facts["outer_colour"], one.facts["outer_print_colours"]) for one in pictures]
        assert told == [
            ("#5a6b4e", "#e6dcc8"),
            ("#223355", "#802020 #e6dcc8"),
            ("#223355", "#e6dcc8"),
        ]
        assert len({one.take.key for one in pictures}) == 3
        assert "with a cream fern print" in pictures[0].facts["alt"]
        assert "dark blue" in pictures[1].facts["alt"]
        assert "with a red and cream fern print" in pictures[1].facts["alt"]

    def test_colours_for_a_print_that_is_nowhere_are_refused(self, job: Job) -> None:
        way = Colourway(name="dusk", lining_print=("#802020",))
        coloured = replace(job, pictures=PictureChoice(colourways=(way,)))
        with pytest.raises(InputError, match="lining cloth has a print of our own"):
            looks(coloured)
        fern = Print(kind="fern", repeat_m=0.12)
        first, second = job.variants
        found = looks(replace(coloured, lining=replace(job.lining, print=fern)))
        assert [one.job.lining.print.colours for one in found] == [("#802020",)] * 2
        plain = replace(second, changes={**second.changes, "cloth.lining.print": "left out"})
        mixed = replace(coloured, lining=replace(job.lining, print=fern), variants=(first, plain))
        assert [one.job.lining.print for one in looks(mixed)] == [
            replace(fern, colours=("#802020",)),
            None,
        ]


class TestExtras:
    def test_the_first_two_variants_stand_apart_with_marks_at_whole_steps(
        self, job: Job, drape: Drape, tmp_path: Path
    ) -> None:
        (picture,) = plan_extras(job, tmp_path, lambda *_: ("a.npz", drape))
        take = picture.take
        assert picture.facts["shot"] == "comparison"
        assert take.camera.flat
        left, right = take.wraps
        half_m = np.abs(drape.body.vertices[:, 0]).max()
        assert right.shift_m - left.shift_m >= 2 * half_m
        heights = [height_m for height_m, _ in take.ruler]
        np.testing.assert_allclose(np.diff(heights), 4 * 0.0254)
        assert dict(take.ruler)[heights[0]] == f"{round(heights[0] / 0.0254)} in"
        # the sheets of this drape hang to half their length below 1.42 m
        assert left.caption.startswith("one yard, light pile: back hem ")
        assert left.caption.endswith(" over the floor")

    def test_frames_of_a_turn_line_up_and_go_all_the_way_round(
        self, job: Job, drape: Drape, tmp_path: Path
    ) -> None:
        one = replace(job, variants=(), pictures=PictureChoice(turntable=8, comparison=False))
        frames = plan_extras(one, tmp_path, lambda *_: ("a.npz", drape))
        assert len({frame.take.path for frame in frames}) == 8
        cameras = [frame.take.camera for frame in frames]
        assert {(c.width_m, c.height_m) for c in cameras} == {
            (cameras[0].width_m, cameras[0].height_m)
        }
        np.testing.assert_allclose(
            [math.degrees(c.turn_rad) for c in cameras], 45.0 * np.arange(8), atol=1e-9
        )


class TestManifest:
    def test_it_lists_what_is_there_and_reads_back(
        self, job: Job, drape: Drape, tmp_path: Path
    ) -> None:
        one = replace(job, pictures=PictureChoice(shots=("front", "other side out", "folded")))
        pictures, left_out = plan_pictures(one, tmp_path, lambda *_: ("a.npz", drape))
        for picture in pictures:
            Path(picture.take.path).write_bytes(annotated(tiny_png(), picture.take.texts))
        assert all(is_taken(picture) for picture in pictures)
        write_manifest(tmp_path, one, pictures, left_out)
        told = json.loads((tmp_path / "manifest.json").read_text("utf-8"))
        assert "previews made by simulation" in told["in_a_listing"]
        rows = list(csv.DictReader(io.StringIO((tmp_path / "manifest.csv").read_text("utf-8"))))
        assert [row["file"] for row in rows] == [row["file"] for row in told["pictures"]]
        assert len(rows) == 6
        first = next(row for row in rows if row["shot"] == "other side out")
        assert (first["side_out"], first["pose"], first["width_px"]) == (
            "lining",
            "standing",
            "1000",
        )
        assert first["colour_space"] == "sRGB"
        assert "Estimates in the outer cloth: mass" in first["notice"]
        for row in rows:
            texts = texts_of((tmp_path / row["file"]).read_bytes())
            assert (texts["Description"], texts["Comment"]) == (row["alt"], row["notice"])
            assert texts["Key"] == row["key"]

    def test_another_or_a_broken_file_is_taken_anew(
        self, job: Job, drape: Drape, tmp_path: Path
    ) -> None:
        one = replace(job, variants=(), pictures=PictureChoice(shots=("front",)))
        (picture,), _ = plan_pictures(one, tmp_path, lambda *_: ("a.npz", drape))
        path = Path(picture.take.path)
        assert not is_taken(picture)
        path.write_bytes(annotated(tiny_png(), picture.take.texts)[:-20])
        assert not is_taken(picture)
        path.write_bytes(annotated(tiny_png(), {**picture.take.texts, "Key": "another"}))
        assert not is_taken(picture)
        path.write_bytes(annotated(tiny_png(), picture.take.texts))
        assert is_taken(picture)


class TestWords:
    @pytest.mark.parametrize(
        ("colour", "words"),
        [
            ("#5a6b4e", "green"),
            ("#e6dcc8", "cream"),
            ("#ffffff", "white"),
            ("#101010", "black"),
            ("#223355", "dark blue"),
            ("#6b4423", "brown"),
            ("#b03030", "red"),
            ("#a8c8e8", "pale blue"),
        ],
    )
    def test_colours(self, colour: str, words: str) -> None:
        red, green, blue = bytes.fromhex(colour[1:])
        assert colour_words((red / 255, green / 255, blue / 255)) == words

    def test_alt_text_says_what_is_seen(self, job: Job) -> None:
        told = alt_text(job, "back", mannequin="shown")
        assert told == (
            "Fold-over wrap cut from 36 in of cloth, green light plush outside and cream light plush "
            "inside, on a shop mannequin, seen from the back."
        )
        assert "nobody in it" in alt_text(job, "front", mannequin="hidden")
        assert "mannequin" not in alt_text(job, "flat lay", mannequin="shown")

    def test_what_is_estimated_is_named_and_what_is_measured_is_not(self, job: Job) -> None:
        told = notice(job)
        assert told.startswith("Preview made by simulation with Napfold, not a photograph")
        assert "mass" in told
        weighed = replace(
            job,
            outer=replace(job.outer, mass_kg_m2=0.3),
            lining=replace(job.lining, mass_kg_m2=0.3),
        )
        assert "mass" not in notice(weighed)
        assert "by geometry" in notice(job, SHOTS["open front"].laid)

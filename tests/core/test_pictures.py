# SPDX-License-Identifier: GPL-3.0-or-later
"""Sets of pictures: what is framed, laid, listed and said; files are read back by hand."""

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
from napfold.core.cloth import library
from napfold.core.drape import Drape
from napfold.core.errors import FileError
from napfold.core.job import Job
from napfold.core.pattern import build_pattern
from napfold.core.picture_manifest import is_taken, write_manifest
from napfold.core.picture_plan import plan_pictures
from napfold.core.picture_words import alt_text, colour_words, notice
from napfold.core.pictures.choice import PictureChoice
from napfold.core.pictures.framing import camera_for
from napfold.core.pictures.laid import folded_stack, laid_flat
from napfold.core.pictures.png_file import annotated, texts_of
from napfold.core.pictures.shots import SHOTS


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

# SPDX-License-Identifier: GPL-3.0-or-later
"""Which pictures a job asks for: every shot of every look, with camera, key and what is told."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from napfold.core.cloth import Print, library
from napfold.core.drape import Drape
from napfold.core.errors import FileError, InputError
from napfold.core.job import Job
from napfold.core.mannequin import build_mannequin
from napfold.core.panels import build_panel_mesh
from napfold.core.pattern import Cut, Front, build_pattern
from napfold.core.picture_extras import plan_extras
from napfold.core.picture_plan import drape_key, looks, plan_pictures
from napfold.core.picture_words import notice
from napfold.core.pictures.choice import Colourway, PictureChoice
from napfold.core.pictures.framing import frame_of
from napfold.core.pictures.shots import SHOTS
from napfold.core.pictures.take import read_takes, write_takes
from napfold.core.tape import Tape

CUT = {"cloth_width_m": 1.1, "length_m": 1.0, "body_width_m": 0.6, "sleeve_drop_m": 0.2}


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

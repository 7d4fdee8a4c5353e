# SPDX-License-Identifier: GPL-3.0-or-later
"""Sides, ends and places on the sheets: what lies where, and that nothing lies over anything else."""

from dataclasses import replace
from pathlib import Path

import pytest
from napfold.core.job import load_job
from napfold.core.nap import NapDown
from napfold.core.paper import Line, Words
from napfold.core.sheets.drawing import pattern_drawings
from napfold.core.sheets.flow import Step
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sheet_job import SheetJob, sheet_job
from napfold.core.sheets.templates import neck_drawings

from .options import CUTS

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"


def sheet_of(name: str, **changes: object) -> SheetJob:
    """The sheets of a cut out of the options, in the metric sample's cloth."""
    read = load_job(JOBS / "larch_hut_metric.toml")
    return sheet_job(replace(read, cut=replace(CUTS[name], **changes)))


def step_of(sheet: SheetJob, title: str) -> Step:
    blocks = cutting_plan(sheet, "wrap")
    return next(one for one in blocks if isinstance(one, Step) and one.title.startswith(title))


@pytest.mark.parametrize("path", sorted(JOBS.glob("*.toml")), ids=lambda path: path.stem)
def test_every_sample_job_goes_through_the_sheets(path: Path) -> None:
    for name, read in load_job(path).expand():
        sheet = sheet_job(read)
        for bolt in sheet.lay.bolts:
            assert bolt.usable_width_m >= read.cut.cloth_width_m
        for blocks in (cutting_plan(sheet, name), sewing_order(sheet, name)):
            assert sum(isinstance(block, Step) for block in blocks) >= 8


@pytest.mark.parametrize("nap", NapDown)
def test_the_seamed_back_is_marked_at_the_end_that_the_picture_shows(nap: NapDown) -> None:
    sheet = sheet_of("seamed", nap=nap)
    step = step_of(sheet, "Mark shoulder line")
    text = " ".join(step.lines)
    assert "The back lies with its hem away from you" in text
    up = "back" if nap is NapDown.IN_FRONT else "front"
    assert f"nap runs up the {up}" in text or f"and up the {up}" in text
    assert f"turn the {up} end for end" in text
    assert step.picture is not None
    words = {mark.text: mark.at for mark in step.picture.marks if isinstance(mark, Words)}
    hems = [mark.at[1] for mark in step.picture.marks if getattr(mark, "text", "") == "hem"]
    # on paper y grows towards the reader: the back's hem lies above its name
    assert min(hems) < words["back"][1] < words["left front"][1] < max(hems)
    shoulders = [
        mark.points[0][1]
        for mark in step.picture.marks
        if isinstance(mark, Line) and mark.dashes_mm == (2, 1)
    ]
    assert len(shoulders) == 3
    assert all(words["back"][1] < y < words["left front"][1] for y in shoulders)


def test_what_lies_wrong_side_up_has_the_wearers_left_on_the_left() -> None:
    step = step_of(sheet_of("seamed"), "Mark shoulder line")
    assert step.picture is not None
    places = {mark.text: mark.at[0] for mark in step.picture.marks if isinstance(mark, Words)}
    assert places["left front"] < places["back"] < places["right front"]
    for _, drawing in pattern_drawings("wrap", sheet_of("seamed").garment.mark):
        assert any("right side of the cloth" in text.words for text in drawing.texts)


@pytest.mark.parametrize("name", ["seamed", "overlapping V", "nearly all", "sloped"])
def test_words_on_neck_templates_are_read_downwards(name: str) -> None:
    sheet = sheet_of(name)
    for drawing in neck_drawings(sheet.job.cut, sheet.garment.mark):
        first, *more = drawing.texts
        assert first.words.startswith(("On the wrong side", "Lay the marked line"))
        heights = [text.at[1] for text in (first, *more)]
        assert heights == sorted(heights, reverse=True)

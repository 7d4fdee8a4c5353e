# SPDX-License-Identifier: GPL-3.0-or-later
"""The pictures of the sheets: one for every step, their words apart and inside the frame."""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import combinations
from pathlib import Path

import pytest
from napfold.core.job import load_job
from napfold.core.lay import Extra, Kind
from napfold.core.making_files import LARGE_PICTURE_TEXT_MM, PICTURE_TEXT_MM
from napfold.core.nap import NapDown
from napfold.core.paper import Line, Words, text_width_mm
from napfold.core.sheets.flow import Picture, Step
from napfold.core.sheets.legend import legend
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sheet_job import SheetJob, sheet_job

from .options import CUTS

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"
PIECES = tuple(
    Extra(name=str(kind), kind=kind, count=2)
    for kind in Kind
    if kind not in (Kind.PLAIN, Kind.CUFF)
)
"""Every small piece but cuff bands, which do not go with cuffs turned back."""


@lru_cache
def sheet_of(name: str, units: str, text_mm: float, nap: NapDown = NapDown.IN_FRONT) -> SheetJob:
    plain = load_job(JOBS / "larch_hut_options.toml").expand()[0][1]
    lay = replace(plain.lay, extras=PIECES)
    return sheet_job(
        replace(plain, cut=replace(CUTS[name], nap=nap), lay=lay, units=units), text_mm=text_mm
    )


def pictures(sheet: SheetJob) -> Iterator[tuple[str, Picture]]:
    for blocks in (cutting_plan(sheet, "w"), sewing_order(sheet, "w")):
        for block in blocks:
            if isinstance(block, Picture):
                yield block.summary, block
            if isinstance(block, Step) and block.picture is not None:
                yield block.title, block.picture


def box(words: Words) -> tuple[float, float, float, float]:
    """Left, top, right and foot of a line of text, level or upright."""
    wide = text_width_mm(words.text, words.size_mm, bold=words.bold)
    start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[words.anchor]
    x, y = words.at
    high = 0.75 * words.size_mm
    if words.turn_degrees:
        assert words.turn_degrees == -90.0
        return x - high, y - start - wide, x, y - start
    return x + start, y - high, x + start + wide, y


@pytest.mark.parametrize("text_mm", [PICTURE_TEXT_MM, LARGE_PICTURE_TEXT_MM])
@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("name", CUTS)
def test_words_in_a_picture_lie_apart_and_inside_it(name: str, units: str, text_mm: float) -> None:
    nap = NapDown.IN_FRONT if units == "cm" else NapDown.BEHIND
    for title, picture in pictures(sheet_of(name, units, text_mm, nap)):
        words = [mark for mark in picture.marks if isinstance(mark, Words)]
        for one in words:
            left, top, right, foot = box(one)
            beyond = max(-left, -top, right - picture.width_mm, foot - picture.height_mm)
            assert beyond <= 2, (title, one.text)
        for one, other in combinations(words, 2):
            a, b = box(one), box(other)
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, (title, one.text, other.text)


@pytest.mark.parametrize("name", CUTS)
def test_every_step_of_the_sewing_order_has_its_picture(name: str) -> None:
    sheet = sheet_of(name, "cm", PICTURE_TEXT_MM)
    steps = [block for block in sewing_order(sheet, "w") if isinstance(block, Step)]
    assert len(steps) >= 12
    assert [step.title for step in steps if step.picture is None] == []


@pytest.mark.parametrize("text_mm", [PICTURE_TEXT_MM, LARGE_PICTURE_TEXT_MM])
def test_no_sample_of_the_legend_lies_on_words(text_mm: float) -> None:
    shown = legend(sheet_of(next(iter(CUTS)), "cm", text_mm).garment)
    for words in (mark for mark in shown.marks if isinstance(mark, Words)):
        left, top, right, foot = box(words)
        assert right <= shown.width_mm
        # the frame goes round everything
        for line in (one for one in shown.marks if isinstance(one, Line) and one.width_mm != 0.15):
            across, down = zip(*line.points, strict=True)
            beside = max(across) <= left or right <= min(across)
            assert beside or max(down) <= top or foot <= min(down), words.text


@pytest.mark.parametrize("name", CUTS)
def test_every_kind_of_line_in_the_pictures_is_in_the_legend(name: str) -> None:
    sheet = sheet_of(name, "cm", PICTURE_TEXT_MM)
    shown = {mark.dashes_mm for mark in legend(sheet.garment).marks if isinstance(mark, Line)}
    assert shown == {(), (2.0, 1.0), (5.0, 1.5, 1.0, 1.5)}
    drawn = {
        mark.dashes_mm
        for _, picture in pictures(sheet)
        for mark in picture.marks
        if isinstance(mark, Line) and mark.ink == 0.0 and mark.width_mm >= 0.6
    }
    # a strong line is cut, sewn or a notch; hand stitches that close an edge are told where they are
    assert drawn <= {(), (2.0, 1.0), (2.0, 1.2), (0.8, 1.0)}

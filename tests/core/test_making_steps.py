# SPDX-License-Identifier: GPL-3.0-or-later
"""The steps of both sheets can be followed in their order: nothing is told after it is too late."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from napfold.core.checks import State
from napfold.core.cli import FINE, main
from napfold.core.job import Job, load_job
from napfold.core.making import turning
from napfold.core.pattern import Front
from napfold.core.sheets.flow import Heading, Paragraph, Step
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sheet_job import sheet_job
from napfold.core.units import parse_quantity

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"


def sample(variant: str, job: str = "larch_hut") -> Job:
    return dict(load_job(JOBS / f"{job}.toml").expand())[variant]


def steps(blocks) -> dict[str, str]:
    """Title and words of each step, in their order."""
    return {one.title: " ".join(one.lines) for one in blocks if isinstance(one, Step)}


def length_m(words: str, pattern: str) -> float:
    found = re.search(pattern, words)
    assert found is not None, words
    return parse_quantity("length", "found", found[1])


@pytest.mark.parametrize("units", ["in", "cm"])
def test_heavy_pile_is_turned_through_a_gap_told_before_the_ring_is_sewn(units) -> None:
    heavy = replace(sample("one and a half yards, heavy pile"), units=units)
    sheet = sheet_job(heavy)
    through = turning(heavy.cut, heavy.outer_cloth, heavy.lining_cloth)
    assert through.goes == "not"
    # both sides of the gap make a round as wide as the bunched wrap needs
    assert through.gap_m <= sheet.hem_gap_m < through.gap_m + 0.01
    told = steps(sewing_order(sheet, "w"))
    titles = list(told)
    mark, ring, turn, close, ends = (
        next(number for number, title in enumerate(titles) if title.startswith(start))
        for start in (
            "Mark what stays",
            "Sew neck",
            "Turn through",
            "Close the hem",
            "Close the sl",
        )
    )
    assert mark < ring < turn < close < ends
    half_m = length_m(told[titles[mark]], r"both layers (.*?) to either side")
    assert 2 * half_m == pytest.approx(sheet.hem_gap_m, abs=1e-9)
    assert "opening in the hem" in titles[turn]
    assert "leave" not in told[titles[turn]]
    light = steps(sewing_order(sheet_job(replace(sample("one and a half yards, light pile"))), "w"))
    whole_m = length_m(light["Sew neck, fronts and hem as one ring"], r"ring is (.*?) long")
    seam_m = length_m(told[titles[ring]], r"seam is (.*?) long")
    assert whole_m - seam_m == pytest.approx(sheet.hem_gap_m, abs=0.0025)
    plan = steps(cutting_plan(sheet, "w"))
    assert length_m(plan["Snip the notches"], r"two more, (.*?) to either side") == pytest.approx(
        half_m
    )


def test_light_pile_and_a_closed_front_leave_no_gap() -> None:
    light = sample("one and a half yards, light pile")
    heavy = sample("one and a half yards, heavy pile")
    closed = replace(heavy, cut=replace(heavy.cut, front=Front.CLOSED))
    for job in (light, closed):
        sheet = sheet_job(job)
        assert sheet.hem_gap_m == 0
        assert not any("open for turning" in words for words in steps(sewing_order(sheet, "w")))


CLOSED_TOML = """
name = "Larch Hut pullover"
units = "cm"
[tape]
height = "168 cm"
bust_girth = "96 cm"
head_girth = "60 cm"
[cloth.outer]
kind = "light plush"
bolt_width = "165 cm"
[cloth.lining]
kind = "light plush"
bolt_width = "165 cm"
[cut]
cloth_width = "148 cm"
length = "120 cm"
body_width = "75 cm"
sleeve_drop = "27 cm"
corner_radius = "10 cm"
front = "closed"
neck_width = "12 cm"
neck_front_depth = "6 cm"
"""


def test_a_head_that_does_not_go_through_stands_first_and_on_the_console(tmp_path, capsys) -> None:
    path = tmp_path / "job.toml"
    path.write_text(CLOSED_TOML, encoding="utf-8")
    sheet = sheet_job(load_job(path))
    assert sheet.job.cut.front is Front.CLOSED
    failed = [one for one in sheet.checks if one.state is not State.PASS]
    assert "head through the neck" in {one.name for one in failed}
    title, *after = cutting_plan(sheet, "w")
    assert isinstance(title, Heading)
    for check, block in zip(failed, after, strict=False):
        assert isinstance(block, Paragraph)
        assert block.bold
        assert check.name in block.text
        assert check.remedy in block.text
    assert not after[len(failed)].text.startswith(("Do not", "Before you"))
    assert main(["sheets", str(path), "--out", str(tmp_path / "out")]) == FINE
    said = capsys.readouterr()
    assert "Do not cut yet: head through the neck, too small:" in said.err
    assert "Do not cut" not in said.out

# SPDX-License-Identifier: GPL-3.0-or-later
"""Sides, ends and places on the sheets: what lies where, and that nothing lies over anything else."""

import math
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from napfold.core.job import load_job
from napfold.core.nap import NapDown
from napfold.core.paper import PAPERS, Line, Page, Words, text_width_mm
from napfold.core.sheets.drawing import bounds_mm, pattern_drawings
from napfold.core.sheets.flow import Block, Paragraph, Picture, Rows, Step, document, pages
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sheet_job import sheet_job
from napfold.core.sheets.template_pages import template_pages
from napfold.core.sheets.templates import template_drawings
from napfold.core.sheets.tiling import one_page, tiled
from napfold.core.telling import Telling
from napfold.core.units import parse_quantity

from .option_sheets import JOBS, sheet_of, step_of
from .options import CUTS


@pytest.mark.parametrize("path", sorted(JOBS.glob("*.toml")), ids=lambda path: path.stem)
def test_every_sample_job_goes_through_the_sheets(path: Path) -> None:
    for name, read in load_job(path).expand():
        sheet = sheet_job(read)
        for bolt in sheet.lay.bolts:
            assert bolt.usable_width_m >= read.cut.cloth_width_m
        for blocks in (cutting_plan(sheet, name), sewing_order(sheet, name)):
            assert sum(isinstance(block, Step) for block in blocks) >= 8


@pytest.mark.parametrize("name", CUTS)
def test_every_line_that_is_drawn_goes_on_where_it_ended(name: str) -> None:
    # a jump would be drawn as a stroke: across the neck opening, to be cut by mistake
    sheet = sheet_of(name)
    line = sheet.garment.mark
    drawings = [drawing for _, drawing in pattern_drawings("wrap", line)]
    drawings += template_drawings(sheet.job.cut, sheet.job.allowances, line)
    for drawing in drawings:
        for path in drawing.paths:
            for before, after in pairwise(path.pieces):
                assert math.dist(before.end, after.start) < 1e-6, (drawing.name, path.name)


def the_square(page: Page) -> Line:
    """The square of 10 cm by which the print is measured."""
    (square,) = (
        mark
        for mark in page.marks
        if isinstance(mark, Line)
        and mark.closed
        and mark.width_mm == 0.15
        and math.dist(*mark.points[:2]) == pytest.approx(100.0)
    )
    return square


def rest_of(page: Page) -> list[Line]:
    """All strokes but those of the square and its ticks."""
    return [mark for mark in page.marks if isinstance(mark, Line) and mark.width_mm != 0.15]


def box(points: list[tuple[float, float]]) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["larch_hut", "larch_hut_batch"])
def test_square_and_templates_lie_apart(paper: str, name: str) -> None:
    for _, read in load_job(JOBS / f"{name}.toml").expand():
        line = sheet_job(read).garment.mark
        for page in template_pages("wrap", read.cut, read.allowances, line, paper):
            assert len(rest_of(page)) > 4
            assert crossing(page) == 0, page.name
            assert not the_square(page).dashes_mm


def crossing(page: Page) -> int:
    """How many strokes of the drawing have a point in the square."""
    left, top, right, foot = box(list(the_square(page).points))
    return sum(
        any(
            left < (1 - share) * a[0] + share * b[0] < right
            and top < (1 - share) * a[1] + share * b[1] < foot
            for a, b in pairwise(mark.points)
            for share in (k / 100 for k in range(101))
        )
        for mark in rest_of(page)
        if mark.dashes_mm != (1.0, 1.5)
    )


@pytest.mark.parametrize("paper", PAPERS)
def test_a_square_that_is_crossed_is_dotted_and_most_are_not(paper: str) -> None:
    read = load_job(JOBS / "larch_hut.toml").expand()[0][1]
    ((_, drawing),) = pattern_drawings(read.name, sheet_job(read).garment.mark)
    assert crossing(one_page(drawing)) == 0
    _, *sheets = tiled(drawing, paper)
    for page in sheets:
        assert (crossing(page) > 0) <= bool(the_square(page).dashes_mm)
    assert sum(crossing(page) == 0 for page in sheets) > 0.7 * len(sheets)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", sorted(path.stem for path in JOBS.glob("*.toml")))
def test_heads_and_names_end_before_the_edge_of_the_paper(paper: str, name: str) -> None:
    for variant, read in load_job(JOBS / f"{name}.toml").expand():
        heading = f"{read.name}, {variant}"
        line = sheet_job(read).garment.mark
        made = list(template_pages(heading, read.cut, read.allowances, line, paper))
        for _, drawing in pattern_drawings(heading, line):
            made += tiled(drawing, paper)
        for page in made:
            for mark in page.marks:
                # heads begin at the left margin; words of the drawing are clipped with it
                if isinstance(mark, Words) and mark.at[0] < 30 and mark.at[1] < 40:
                    wide = text_width_mm(mark.text, mark.size_mm, bold=mark.bold)
                    if mark.anchor == "start" and not mark.turn_degrees:
                        assert mark.at[0] + wide <= page.width_mm - 11, mark.text


def test_check_and_sewing_order_tell_the_same_sleeve_end() -> None:
    sheet = sheet_of("tapered")
    # cut 34 cm round, and as wide where it is sewn: the end of the sleeve is straight
    part = sheet.garment.mark.parts[0]
    sewn_m = math.fsum(piece.length_m for piece in part.stitch["sleeve_end_left"])
    told = sheet.tell.chosen(sewn_m)
    assert told == sheet.tell.chosen(0.34)
    rows = [row for one in cutting_plan(sheet, "w") if isinstance(one, Rows) for row in one.rows]
    (hand,) = [row for row in rows if row[0].startswith("hand through")]
    assert hand[2].startswith(f"{told} round sewn")
    steps = [one for one in sewing_order(sheet, "w") if isinstance(one, Step)]
    assert any(f"Each end is {told} round" in line for step in steps for line in step.lines)


BREAKS = re.compile(r"\d$")
BEGINS = re.compile(r"(\d+/\d+|%|mm|cm|m|in|yd|kg|g|oz|lb)(?!\w)")


@pytest.mark.parametrize("path", sorted(JOBS.glob("*.toml")), ids=lambda path: path.stem)
def test_no_line_ends_between_a_number_its_fraction_and_its_unit(path: Path) -> None:
    quantities = 0
    for name, read in load_job(path).expand():
        sheet = sheet_job(read)
        for blocks in (cutting_plan(sheet, name), sewing_order(sheet, name)):
            lines = [mark.text for mark in set_words(blocks)]
            for before, after in pairwise(lines):
                assert not (BREAKS.search(before) and BEGINS.match(after)), (before, after)
            quantities += sum(len(re.findall(r"\d (?=cm|in)", line)) for line in lines)
            page = document(name, [blocks], large=False)
            page = re.sub(r"<title>.*?</title>|<svg.*?</svg>", "", page, flags=re.DOTALL)
            assert not re.search(r"\d (\d+/\d+|cm|in|mm)(?!\w)", page)
    assert quantities > 100


def set_words(blocks: list[Block]) -> list[Words]:
    """The lines of all blocks on narrow paper, without those in pictures."""
    plain = [
        replace(block, picture=None) if isinstance(block, Step) else block
        for block in blocks
        if not isinstance(block, Picture)
    ]
    return [
        mark
        for size_mm in (3.5, 5.0)
        for page in pages("wrap", plain, "a4", size_mm)
        for mark in page.marks
        if isinstance(mark, Words)
    ]


def test_pieces_from_corners_are_measured_on_their_own_layer() -> None:
    for variant in ("right over left", "over the head"):
        sheet = sheet_job(dict(load_job(JOBS / "larch_hut_options.toml").expand())[variant])
        tables = [one for one in cutting_plan(sheet, "w") if isinstance(one, Rows)]
        (table,) = [one for one in tables if one.head[-1] == "cut from"]
        placed = [piece for bolt in sheet.lay.bolts for piece in bolt.placed]
        found = 0
        for piece, row in zip(placed, table.rows, strict=True):
            if piece.corner_of is None:
                continue
            found += 1
            layer = next(one.box for one in placed if one.source is piece.corner_of)
            along_m, across_m = piece.box.y_m - layer.y_m, piece.box.x_m - layer.x_m
            assert row[3:5] == (sheet.tell.chosen(along_m), sheet.tell.chosen(across_m))
            assert 0 <= along_m <= layer.length_m - piece.box.length_m + 1e-9
            assert 0 <= across_m <= layer.width_m - piece.box.width_m + 1e-9
        assert found


@pytest.mark.parametrize("nap", NapDown)
def test_the_left_end_is_the_front_hem_and_told_by_the_arrow(nap: NapDown) -> None:
    sheet = sheet_of("seamed", nap=nap)
    text = " ".join(step_of(sheet, "Wash, square").lines)
    way = "to which" if nap is NapDown.IN_FRONT else "from which"
    assert f"the end {way} the arrows point" in text
    assert "from the left end" in " ".join(step_of(sheet, "Cut the layers apart").lines)


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("hundredths", range(0, 20, 3))
def test_what_is_marked_along_a_hem_makes_the_whole(units: str, hundredths: int) -> None:
    tell = Telling(units)
    side_m, whole_m = 0.34 + hundredths / 1e4, 1.4995
    parts = [tell.chosen(side_m), tell.rest(whole_m, side_m, side_m), tell.chosen(side_m)]
    told_m = [parse_quantity("length", "told", words) for words in parts]
    whole = parse_quantity("length", "told", tell.chosen(whole_m))
    assert math.fsum(told_m) == pytest.approx(whole, abs=1e-9)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", CUTS)
def test_templates_tell_their_allowance_and_the_corner_its_kept_side(name: str, paper: str) -> None:
    sheet = sheet_of(name)
    job, line = sheet.job, sheet.garment.mark
    text = " ".join(
        mark.text
        for page in template_pages("wrap", job.cut, job.allowances, line, paper)
        for mark in page.marks
        if isinstance(mark, Words)
    )
    assert "Keep the part with the words" in text
    for allowance_m in (job.allowances.neck_m, job.allowances.underarm_m):
        told = [Telling(units).chosen(allowance_m) for units in ("cm", "in")]
        assert f"Allowance included: {told[0]} ({told[1]})" in text


@pytest.mark.parametrize("paper", PAPERS)
def test_a_corner_has_longer_straight_edges_where_paper_has_room(paper: str) -> None:
    sheet = sheet_of("seamed", corner_radius_m=0.05)
    job, line = sheet.job, sheet.garment.mark

    def high_mm(legs_m: float) -> float:
        corner = template_drawings(job.cut, job.allowances, line, legs_m=legs_m)[-1]
        _, _, low, high = bounds_mm(corner)
        return high - low

    assert high_mm(0.05) - high_mm(0.01) == pytest.approx(40, abs=2)
    drawn = [
        max(y for _, y in mark.points) - min(y for _, y in mark.points)
        for page in template_pages("wrap", job.cut, job.allowances, line, paper)
        for mark in page.marks
        if isinstance(mark, Line) and mark.width_mm == 0.5
    ]
    assert any(high > high_mm(0.02) - 8 and high < high_mm(0.05) + 0.1 for high in drawn)


def test_a_table_goes_on_from_page_to_page_under_its_head() -> None:
    rows = tuple((f"row {number}", "told") for number in range(80))
    table = Rows(head=("what", "how"), rows=rows, shares=(0.5, 0.5))
    found = pages("w", [Paragraph("before"), table, Paragraph("after")], "a4", 3.0)
    told = [[mark.text for mark in page.marks if isinstance(mark, Words)] for page in found]
    assert len(found) > 1
    assert [words.count("what") for words in told] == [1] * len(found)
    seen = [one for words in told for one in words if one.startswith("row ")]
    assert seen == [first for first, _ in rows]
    # no page ends before the table does but where the next row has no room
    for page in found[:-1]:
        lowest_mm = max(m.at[1] for m in page.marks if isinstance(m, Words) and m.size_mm > 2.8)
        assert lowest_mm > page.height_mm - 40

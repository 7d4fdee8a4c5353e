# SPDX-License-Identifier: GPL-3.0-or-later
"""Sides, ends and places on the sheets: what lies where, and that nothing lies over anything else."""

import math
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from napfold.core.cut_line import Allowances, build_cut_line
from napfold.core.job import load_job
from napfold.core.nap import NapDown
from napfold.core.paper import PAPERS, Line, Page, Words, text_width_mm
from napfold.core.pattern import Front, Neck, build_pattern
from napfold.core.sheets.drawing import Drawing, bounds_mm, pattern_drawings, points_mm
from napfold.core.sheets.flow import Block, Paragraph, Picture, Rows, Step, document, pages
from napfold.core.sheets.mark_pictures import hem_marked
from napfold.core.sheets.neck_pictures import neck_clipped
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sheet_job import SheetJob, sheet_job
from napfold.core.sheets.template_pages import template_pages
from napfold.core.sheets.templates import neck_drawings, template_drawings
from napfold.core.sheets.tiling import one_page, tiled
from napfold.core.telling import Telling
from napfold.core.units import parse_quantity

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
    assert f"turned the {up} end for end" in text
    chosen = " ".join(step_of(sheet, "Choose how the nap runs").lines)
    assert f"then turn the {up} of outer and lining end for end" in chosen
    assert f"up the {up}" in chosen
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
    for drawing in neck_drawings(sheet.job.cut, sheet.job.allowances, sheet.garment.mark):
        first, *more = (text for text in drawing.texts if text.words != "shoulder line")
        assert first.words.startswith(("Cloth wrong side up", "Lay the marked line"))
        heights = [text.at[1] for text in (first, *more)]
        assert heights == sorted(heights, reverse=True)


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


@pytest.mark.parametrize("curve_m", [0.0, 0.06])
def test_a_flared_side_is_measured_where_its_seam_ends(curve_m: float) -> None:
    sheet = sheet_of("flared", hem_curve_m=curve_m)
    step = step_of(sheet, "Mark sides and underarms")
    text = " ".join(step.lines)
    part = sheet.garment.mark.parts[0]
    across_m, depth_m = part.cut["underarm_front_left"][0].start
    told = sheet.tell.chosen
    where = f"{told(-depth_m)} from the fold" if curve_m else "At the hem"
    assert f"{where} measure {told(across_m)} from the centre line" in text
    assert step.picture is not None
    drawn = [mark.text for mark in step.picture.marks if isinstance(mark, Words)]
    assert told(-depth_m) in drawn
    assert told(across_m) in drawn
    # the cloth's edge is lower than the end of the side by the curve
    assert sheet.job.cut.front_m + depth_m == pytest.approx(curve_m, abs=1e-6)


@pytest.mark.parametrize("name", ["plain", "seamed", "tapered", "nearly all", "overlapping V"])
def test_the_picture_of_the_corners_draws_what_is_told(name: str) -> None:
    sheet = sheet_of(name)
    garment = sheet.garment
    step = step_of(sheet, "Mark sides" if garment.arm.slanted else "Mark the corners")
    assert step.picture is not None
    words = [mark for mark in step.picture.marks if isinstance(mark, Words)]
    told = sheet.tell.chosen(garment.arm.side[1])
    assert told in " ".join(step.lines)
    assert told in [mark.text for mark in words]
    # "the corner begins and ends at the dots", broken, lies on the wearer's side of the middle
    dots = [mark for mark in words if mark.text.startswith("the corner")]
    assert len(dots) == 1
    wide = text_width_mm(dots[0].text, dots[0].size_mm)
    assert dots[0].at[0] + wide / 2 < step.picture.width_mm / 2
    # "point under the arm", in two lines
    assert any(mark.text == "point under" for mark in words) == garment.arm.slanted


@pytest.mark.parametrize("name", ["high back", "nearly all", "oval neck", "overlapping"])
def test_snips_round_a_neck_lie_apart_along_its_stitches(name: str) -> None:
    sheet = sheet_of(name)
    picture = neck_clipped(sheet.garment)
    snips = [
        mark.points[0]
        for mark in picture.marks
        if isinstance(mark, Line) and mark.width_mm == 0.35 and len(mark.points) == 2
    ]
    assert len(snips) >= 4
    # every 2 cm of the garment, less the chord; a little less where two curves meet
    stitched = [
        x
        for mark in picture.marks
        if isinstance(mark, Line) and mark.dashes_mm == (2, 1.2) and len(mark.points) > 9
        for x, _ in mark.points
    ]
    scale = (max(stitched) - min(stitched)) / sheet.job.cut.neck_width_m
    least = min(math.dist(a, b) for n, a in enumerate(snips) for b in snips[:n])
    assert least > 0.4 * 0.02 * scale
    for x, y in snips:
        assert 0 <= x <= picture.width_mm
        assert 0 <= y <= picture.height_mm


def test_the_point_of_a_closed_v_is_snipped() -> None:
    sheet = sheet_of("closed", neck=Neck.V, neck_front_depth_m=0.18)
    marks = neck_clipped(sheet.garment).marks
    (snip,) = [
        mark
        for mark in marks
        if isinstance(mark, Line) and len(mark.points) == 2 and mark.width_mm == 0.5
    ]
    assert snip.points[0][0] == pytest.approx(snip.points[1][0])
    assert snip.points[0][0] == pytest.approx(sheet.garment.small_mm / 2, abs=0.1)


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


@pytest.mark.parametrize("name", [name for name, cut in CUTS.items() if cut.seamed])
def test_no_line_is_cut_through_the_words_of_a_neck_template(name: str) -> None:
    sheet = sheet_of(name)
    for drawing in neck_drawings(sheet.job.cut, sheet.job.allowances, sheet.garment.mark):
        cuts = [points_mm(path.pieces) for path in drawing.paths if path.layer == "CUT"]
        for text in drawing.texts:
            left, foot = (1000 * value for value in text.at)
            right = left + text_width_mm(text.words, text.size_mm)
            for x, y in (
                ((1 - share) * a[0] + share * b[0], (1 - share) * a[1] + share * b[1])
                for chain in cuts
                for a, b in pairwise(chain)
                for share in (k / 50 for k in range(51))
            ):
                assert not (left < x < right and foot - 0.5 < y < foot + text.size_mm), text.words


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


@pytest.mark.parametrize("name", [name for name, cut in CUTS.items() if cut.seamed])
def test_a_front_neck_template_laid_as_told_gives_the_cut_front_in_both_layers(name: str) -> None:
    sheet = sheet_of(name)
    fronts = [part for part in sheet.garment.mark.parts if part.name.startswith("front ")]
    if not fronts:
        assert sheet.job.cut.front is Front.CLOSED
        return
    _, template = neck_drawings(sheet.job.cut, sheet.job.allowances, sheet.garment.mark)
    words = " ".join(text.words for text in template.texts)
    assert "hem near you: printed side up on the front whose sleeve points right" in words
    assert "printed side up on the front whose sleeve points right" in " ".join(
        step_of(sheet, "Cut the necks").lines
    )
    printed = points_mm(
        tuple(piece for path in template.paths if path.name == "neck" for piece in path.pieces)[
            : len(fronts[0].neck)
        ]
    )
    ways = set()
    for part in fronts:
        # a pattern shows the outer layer's right side: wrong side up it lies mirrored; the lining's
        # right side is turned to the body, so that it lies as the pattern shows it
        for layer, lies in (("outer", -1), ("lining", 1)):
            neck = [(lies * x, v) for x, v in points_mm(part.neck)]
            sleeve = max((lies * x for x, _ in points_mm(part.outline)), key=abs)
            laid = printed if sleeve > 0 else [(-x, v) for x, v in printed]
            far = max(min(math.dist(a, b) for b in neck) for a in laid)
            assert far < 0.01, (layer, part.name)
            ways.add((layer, sleeve > 0))
    assert len(ways) == 4


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


NUMBER = r"([\d./ ]+(?:cm|in))"


def crossings(drawing: Drawing, axis: int, place_m: float = 0.0) -> list[float]:
    """Where the neck's cut line on a template crosses a line: the other coordinate, metres."""
    (path,) = [one for one in drawing.paths if one.layer == "CUT" and one.name == "neck"]
    points = np.concatenate([piece.place(np.linspace(0, 1, 400)) for piece in path.pieces])
    off = points[:, axis] - place_m
    at = np.flatnonzero((off[:-1] <= 0) != (off[1:] <= 0))
    share = off[at] / (off[at] - off[at + 1])
    other = points[:, 1 - axis]
    return list(other[at] + share * (other[at + 1] - other[at]))


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("name", CUTS)
def test_a_ruler_on_the_neck_templates_finds_what_is_told(name: str, units: str) -> None:
    sheet = sheet_job(replace(sheet_of(name).job, units=units))
    cut, allowances, line = sheet.job.cut, sheet.job.allowances, sheet.garment.mark
    text = " ".join(step_of(sheet, "Cut the neck").lines)
    near_m = {"cm": 0.0006, "in": 0.0017}[units]

    def told(pattern: str) -> list[float]:
        found = re.search(pattern.replace("#", NUMBER), text)
        assert found is not None, (pattern, text)
        return [parse_quantity("length", "told", words) for words in found.groups()]

    drawings = neck_drawings(cut, allowances, line)
    if not cut.seamed:
        (whole,) = drawings
        across = crossings(whole, 1)
        if cut.neck is Neck.HIGH_BACK:
            (half_m,) = told("each upper corner of the cut line lies # from the centre line")
            (path,) = [one for one in whole.paths if one.layer == "CUT" and one.name == "neck"]
            right_m = max(piece.start[0] for piece in path.pieces)
        else:
            (half_m,) = told("along the fold the cut line lies # from the centre line")
            right_m = max(across)
        assert half_m == pytest.approx(right_m, abs=near_m)
        (front_m,) = told("on the centre line it lies # from the fold in front")
        assert front_m == pytest.approx(-min(crossings(whole, 0)), abs=near_m)
        return
    back, front = drawings
    behind = re.search(f"Back: .*?along the centre line {NUMBER} (behind|before)", text)
    assert behind is not None
    middle_m = middle_of(back)
    assert (middle_m > 0) == (behind[2] == "behind")
    assert parse_quantity("length", "told", behind[1]) == pytest.approx(abs(middle_m), abs=near_m)
    for half, drawing in (("Back", back), ("Front", front)):
        across = crossings(drawing, 1)
        if across:
            (across_m,) = told(f"{half}: along the shoulder line it is # from the centre line")
            assert across_m == pytest.approx(max(across), abs=near_m)
        else:
            assert f"{half}: along the shoulder line" not in text
    (deep_m,) = told("Front: .*?along the centre line # from the shoulder line to the cut")
    assert deep_m == pytest.approx(-middle_of(front), abs=near_m)
    if cut.overlap_half_m:
        (edge_m,) = told("along the inner edge # from the shoulder line to the cut line")
        (path,) = [one for one in front.paths if one.layer == "CUT" and one.name == "neck"]
        inner = min((piece.start, piece.end)[one] for piece in path.pieces for one in (0, 1))
        assert edge_m == pytest.approx(-inner[1], abs=near_m)


def middle_of(drawing: Drawing) -> float:
    """Where the neck's cut line on a template of a part meets the centre line, metres."""
    (path,) = [one for one in drawing.paths if one.layer == "CUT" and one.name == "neck"]
    ends = [end for piece in path.pieces for end in (piece.start, piece.end)]
    on_line = [v for x, v in ends if abs(x) < 1e-6]
    return on_line[0] if on_line else crossings(drawing, 0)[0]


@pytest.mark.parametrize("name", CUTS)
def test_a_neck_that_is_an_arc_is_told_with_its_radius(name: str) -> None:
    sheet = sheet_of(name)
    cut = sheet.job.cut
    text = " ".join(step_of(sheet, "Cut the neck").lines)
    radius = re.search(f"In front it is an arc with a radius of {NUMBER}", text)
    is_circle = cut.neck in (Neck.ROUND, Neck.HIGH_BACK) and (
        cut.neck_front_depth_m == cut.neck_width_m / 2
    )
    assert (radius is not None) == is_circle
    if radius is not None:
        told_m = parse_quantity("length", "told", radius[1])
        for x, v in (piece.start for piece in sheet.garment.neck.neck):
            if v < -0.02:
                assert math.hypot(x, v) == pytest.approx(told_m, abs=0.0006)


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


@pytest.mark.parametrize("name", [name for name, cut in CUTS.items() if cut.seamed])
def test_the_picture_of_seamed_necks_shows_the_back_and_a_front(name: str) -> None:
    sheet = sheet_of(name)
    picture = step_of(sheet, "Cut the necks").picture
    assert picture is not None
    words = {mark.text: mark.at for mark in picture.marks if isinstance(mark, Words)}
    front = "front" if sheet.job.cut.front is Front.CLOSED else "left front"
    assert words["back"][1] < words[front][1]
    lines = [mark for mark in picture.marks if isinstance(mark, Line)]
    pieces = [line for line in lines if line.fill is not None]
    assert len(pieces) == 2
    # neither lies over the other, and nothing leaves the picture
    foot, head = max(y for _, y in pieces[0].points), min(y for _, y in pieces[1].points)
    assert foot < head
    for line in pieces:
        for x, y in line.points:
            assert -1e-6 <= x <= picture.width_mm + 1e-6
            assert -1e-6 <= y <= picture.height_mm + 1e-6
    # the cut line of each neck is thick, and both are as deep as they are cut
    necks = [line for line in lines if line.width_mm == 0.7]
    assert len(necks) == 2


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


def test_the_hem_of_one_of_two_fronts_is_drawn_from_its_inner_edge_to_its_side() -> None:
    garment = sheet_of("overlapping", hem_curve_m=0.05, back_longer_m=0.04).garment
    picture = hem_marked(garment)
    front, back = (
        mark.points for mark in picture.marks if isinstance(mark, Line) and mark.width_mm == 0.5
    )
    across = [x for x, _ in front]
    # one after the other from edge to edge, nothing drawn twice
    assert across[1:-1] == sorted(across[1:-1])
    wide_mm = max(x for x, _ in back) - min(x for x, _ in back)
    whole_m = 2 * garment.arm.hem[0]
    front_m = garment.arm.hem[0] + garment.inner_m
    assert (max(across) - min(across)) / wide_mm == pytest.approx(front_m / whole_m, rel=0.02)


def test_every_notch_of_a_neck_template_lies_on_a_line_that_is_drawn() -> None:
    cut = replace(
        CUTS["overlapping V"], neck_front_depth_m=0.23, shoulder_drop_m=0.05, cloth_width_m=1.40
    )
    line = build_cut_line(build_pattern(cut), Allowances())
    for drawing in neck_drawings(cut, Allowances(), line):
        drawn = np.concatenate(
            [
                piece.place(np.linspace(0, 1, 2001))
                for path in drawing.paths
                if path.layer == "CUT"
                for piece in path.pieces
            ]
        )
        notches = [path.pieces[0] for path in drawing.paths if path.layer == "NOTCH"]
        assert notches
        for notch in notches:
            ends = np.array([notch.start, notch.end])
            away_m = np.hypot(*(drawn[:, None] - ends[None]).T).min()
            assert away_m < 1e-3

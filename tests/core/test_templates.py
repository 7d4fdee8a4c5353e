# SPDX-License-Identifier: GPL-3.0-or-later
"""Templates and DXF, read back by readers that did not write them: true size, equal to the pattern."""

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from napfold.core.cut_line import Allowances, Part, build_cut_line
from napfold.core.paper import PAPERS, Line, Words, page_svg
from napfold.core.paper.pdf import write_pdf
from napfold.core.pattern import Neck, build_pattern
from napfold.core.sheets.clear_words import box_of
from napfold.core.sheets.drawing import Drawing, pattern_drawings
from napfold.core.sheets.template_pages import template_pages
from napfold.core.sheets.tiling import one_page, tiled
from pypdf import PdfReader

from .options import CUTS
from .pattern_drawings import CUT, SVG, length, line_of, parts_of, pattern_drawing, polygon_area
from .printed import MM, paths_mm

WIDE_NECK = replace(CUT, neck_width_m=0.38, neck_front_depth_m=0.20, body_width_m=0.8)
V_NECK = replace(CUT, neck=Neck.V, neck_front_depth_m=0.20)
SMALL_CORNER = replace(CUT, corner_radius_m=0.03)


def squares(page, side_mm: float) -> int:
    return sum(
        len(path) == 4
        and all(
            math.dist(a, b) == pytest.approx(side_mm, abs=0.01)
            for a, b in pairwise([*path, path[0]])
        )
        for path in paths_mm(page)
    )


def is_tick(path) -> bool:
    """Two strokes of 4 mm at a right angle."""
    return (
        len(path) == 3
        and math.dist(path[0], path[1]) == pytest.approx(4.0, abs=0.01)
        and math.dist(path[1], path[2]) == pytest.approx(4.0, abs=0.01)
        and math.dist(path[0], path[2]) == pytest.approx(math.sqrt(32), abs=0.01)
    )


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("cut", [CUT, V_NECK, WIDE_NECK, SMALL_CORNER])
def test_every_template_page_has_the_papers_size_and_both_squares(tmp_path, paper, cut) -> None:
    pages = template_pages("wrap", cut, Allowances(), line_of(cut), paper)
    # corner, neck and square share a page; a deep neck has one of its own, a very wide one several
    assert (len(pages) == 1) == (cut in (CUT, SMALL_CORNER))
    assert (len(pages) == 2) == (cut is V_NECK)
    pages = (*pages, *tiled(pattern_drawing("wrap", line_of(cut)), paper))
    write_pdf(tmp_path / "templates.pdf", "templates", pages)
    for page in PdfReader(tmp_path / "templates.pdf").pages:
        assert float(page.mediabox.width) / MM == pytest.approx(PAPERS[paper][0], abs=0.01)
        assert float(page.mediabox.height) / MM == pytest.approx(PAPERS[paper][1], abs=0.01)
        assert squares(page, 100.0) == 1
        # four inches lie between the ticks at its corners
        ticks = [path for path in paths_mm(page) if is_tick(path)]
        assert len(ticks) == 4
        corners = [tick[1] for tick in ticks]
        sides = [math.dist(a, b) for a, b in pairwise([*corners, corners[0]])]
        assert sides == pytest.approx([101.6] * 4, abs=0.01)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", CUTS)
def test_nothing_leaves_the_paper(paper: str, name: str) -> None:
    cut = CUTS[name]
    pages = template_pages("wrap", cut, Allowances(), line_of(cut), paper)
    if name in ("plain", "nearly all"):
        for _, drawing in parts_of(cut):
            pages += tiled(drawing, paper)
    for page in pages:
        for mark in page.marks:
            for x, y in mark.points if isinstance(mark, Line) else [mark.at]:
                assert 5.9 <= x <= page.width_mm - 5.9, page.name
                assert 5.9 <= y <= page.height_mm - 5.9, page.name


@pytest.mark.parametrize("name", ["plain", "overlapping V", "sloped", "nearly all"])
def test_one_page_holds_every_outline_at_true_size(tmp_path: Path, name: str) -> None:
    for part, drawing in parts_of(CUTS[name]):
        check_one_page(tmp_path, part, drawing)


def check_one_page(tmp_path: Path, part: Part, drawing: Drawing) -> None:
    page = one_page(drawing)
    write_pdf(tmp_path / "whole.pdf", "whole", [page])
    (printed,) = PdfReader(tmp_path / "whole.pdf").pages
    outline = part.outline
    outline_m2 = math.fsum(piece.swept_area_m2 for piece in outline)
    outline_mm = 1000 * math.fsum(piece.length_m for piece in outline)
    closed = [path for path in paths_mm(printed) if path[0] == pytest.approx(path[-1], abs=1e-3)]
    largest = max(closed, key=polygon_area)
    # a tenth of a millimetre all round
    assert polygon_area(largest) == pytest.approx(1e6 * outline_m2, abs=0.1 * outline_mm)
    assert length(largest) == pytest.approx(outline_mm, abs=0.1)


@pytest.mark.parametrize("name", CUTS)
def test_svg_holds_every_outline_at_true_size(name: str) -> None:
    for part, drawing in parts_of(CUTS[name]):
        check_svg(part, drawing)


def check_svg(part: Part, drawing: Drawing) -> None:
    root = ElementTree.fromstring(page_svg(one_page(drawing)))
    width_mm = float(root.get("width").removesuffix("mm"))
    assert [float(part) for part in root.get("viewBox").split()][2] == width_mm
    paths = [
        [tuple(map(float, pair.split(","))) for pair in element.get("points").split()]
        for element in root.iter(f"{SVG}polyline")
    ]
    outline = max(paths, key=polygon_area)
    outline_mm = 1000 * math.fsum(piece.length_m for piece in part.outline)
    assert length(outline) == pytest.approx(outline_mm, abs=0.1)
    # a tenth of a millimetre all round
    area_mm2 = 1e6 * math.fsum(piece.swept_area_m2 for piece in part.outline)
    assert polygon_area(outline) == pytest.approx(area_mm2, abs=0.1 * outline_mm)
    if part.whole:
        neck_mm = 1000 * math.fsum(piece.length_m for piece in part.neck)
        assert min(abs(length(path) - neck_mm) for path in paths) < 0.1


@pytest.mark.parametrize("paper", PAPERS)
def test_sheets_join_to_the_whole(paper: str) -> None:
    """Laid trim line on trim line, the sheets hold every stroke once more than whole."""
    line = line_of()
    drawing = pattern_drawing("wrap", line)
    whole_mm = math.fsum(
        length(mark.points)
        for mark in one_page(drawing).marks
        if isinstance(mark, Line) and mark.width_mm == 0.5
    )
    _, *parts = tiled(drawing, paper)
    inside_mm = 0.0
    for page in parts:
        (rim,) = (m for m in page.marks if isinstance(m, Line) and m.dashes_mm == (1.0, 1.5))
        (left, top), (right, foot) = rim.points[0], rim.points[2]
        for mark in page.marks:
            if not isinstance(mark, Line) or mark.width_mm != 0.5:
                continue
            for a, b in pairwise(mark.points):
                steps = max(2, round(math.dist(a, b) / 0.25))
                middle = [
                    (
                        a[0] + (b[0] - a[0]) * (k + 0.5) / steps,
                        a[1] + (b[1] - a[1]) * (k + 0.5) / steps,
                    )
                    for k in range(steps)
                ]
                kept = sum(left <= x < right and top <= y < foot for x, y in middle)
                inside_mm += math.dist(a, b) * kept / steps
    assert inside_mm == pytest.approx(whole_mm, abs=0.25 * len(parts))


def test_a_part_names_its_neighbours() -> None:
    _, *parts = tiled(pattern_drawing("wrap", line_of()), "a4")
    names = {page.name.split()[-1] for page in parts}
    for page in parts:
        words = {mark.text for mark in page.marks if isinstance(mark, Words)}
        joined = {text.removeprefix("joins ") for text in words if text.startswith("joins ")}
        assert joined <= names
        assert joined


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    ("cut", "share"), [(CUT, 1.0), (replace(CUT, neck_width_m=0.26, body_width_m=0.8), 0.5)]
)
def test_neck_and_corner_are_printed_at_true_size(tmp_path, paper, cut, share) -> None:
    """The whole neck, or its half where paper is too narrow; the corner's arc between two straights."""
    part = line_of(cut).parts[0]
    pages = template_pages("wrap", cut, Allowances(), line_of(cut), paper)
    write_pdf(tmp_path / "templates.pdf", "templates", pages)
    lengths = [
        length(path)
        for page in PdfReader(tmp_path / "templates.pdf").pages
        for path in paths_mm(page)
    ]
    neck_mm = 1000 * math.fsum(piece.length_m for piece in part.neck)
    halved = min(abs(one - neck_mm / 2) for one in lengths)
    whole = min(abs(one - neck_mm) for one in lengths)
    assert min(halved, whole) < 0.1
    if share == 0.5:
        assert halved < 0.1
    (arc,) = (one for one in part.cut["underarm_front_left"] if one.kind == "arc")
    # as much of either line as the corner reaches and 1 cm, or up to 5 cm where paper has room
    corners_mm = [
        1000 * (arc.length_m + 2 * (max(arc.radius_x_m, 0.05) + legs_m - arc.radius_x_m))
        for legs_m in (0.01, 0.02, 0.03, 0.04, 0.05)
    ]
    assert min(abs(one - corner_mm) for one in lengths for corner_mm in corners_mm) < 0.1


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["plain", "overlapping V", "nearly all"])
def test_words_on_sheets_stand_whole_on_one_and_on_no_line(paper: str, name: str) -> None:
    line = build_cut_line(build_pattern(CUTS[name]), Allowances())
    for _, drawing in pattern_drawings("w", line):
        sheets = tiled(drawing, paper)[1:]
        width_mm, height_mm = PAPERS[paper]
        own = [text.words for text in drawing.texts]
        seen = []
        for page in sheets:
            words = [mark for mark in page.marks if isinstance(mark, Words)]
            heads = {"10 cm: measure it before you cut", "4 in"}
            strokes = [
                mark for mark in page.marks if not isinstance(mark, Words) and mark.ink != 0.45
            ]
            for one in words:
                left, top, right, foot = box_of(one)
                # whole on the paper
                assert min(left, top) > 0
                assert right < width_mm
                assert foot < height_mm
                if one.text in own or one.text.startswith("joins "):
                    assert not _crossed(strokes, (left, top, right, foot)), one.text
                if one.text in own and one.text not in heads:
                    # below the head of the sheet
                    assert top > 20.0
                    seen.append(one.text)
        assert set(seen) == set(own)
        # on one page too, and inside the cloth
        page = one_page(drawing)
        strokes = [mark for mark in page.marks if not isinstance(mark, Words) and mark.ink != 0.45]
        outline = max((mark.points for mark in strokes), key=len)
        for one in (mark for mark in page.marks if isinstance(mark, Words) and mark.text in own):
            left, top, right, foot = box_of(one)
            assert not _crossed(strokes, (left, top, right, foot)), one.text
            middle = complex((left + right) / 2, (top + foot) / 2)
            rim = np.array([complex(*point) for point in (*outline, outline[0])]) - middle
            assert abs(np.angle(rim[1:] / rim[:-1]).sum()) > math.pi, one.text


def _crossed(strokes, box) -> bool:
    left, top, right, foot = box
    for mark in strokes:
        points = np.array([*mark.points, mark.points[0]] if mark.closed else mark.points)
        share = np.linspace(0, 1, 400)[:, None, None]
        x, y = ((1 - share) * points[:-1] + share * points[1:]).reshape(-1, 2).T
        if ((x > left) & (x < right) & (y > top) & (y < foot)).any():
            return True
    return False

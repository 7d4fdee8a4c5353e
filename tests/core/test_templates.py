# SPDX-License-Identifier: GPL-3.0-or-later
"""Templates and DXF, read back by readers that did not write them: true size, equal to the pattern."""

import math
import sys
from collections import defaultdict
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pytest
from napfold.core.cut_line import Allowances, CutLine, Part, build_cut_line
from napfold.core.dxf import write_dxf
from napfold.core.errors import FileError
from napfold.core.paper import PAPERS, Line, Words, page_svg
from napfold.core.paper.pdf import write_pdf
from napfold.core.pattern import Cut, Front, Neck, build_pattern
from napfold.core.sheets.clear_words import box_of
from napfold.core.sheets.drawing import Drawing, bounds_mm, pattern_drawings
from napfold.core.sheets.template_pages import template_pages
from napfold.core.sheets.tiling import one_page, tiled
from pypdf import PdfReader

from .options import CUTS
from .printed import MM, paths_mm

CUT = Cut(cloth_width_m=1.4732, length_m=0.9144, body_width_m=0.6604, sleeve_drop_m=0.2032)
WIDE_NECK = replace(CUT, neck_width_m=0.38, neck_front_depth_m=0.20, body_width_m=0.8)
V_NECK = replace(CUT, neck=Neck.V, neck_front_depth_m=0.20)
SMALL_CORNER = replace(CUT, corner_radius_m=0.03)
SVG = "{http://www.w3.org/2000/svg}"


def line_of(cut: Cut = CUT):
    return build_cut_line(build_pattern(cut), Allowances())


def pattern_drawing(name: str, line: CutLine) -> Drawing:
    """The drawing of a layer in one piece."""
    ((_, drawing),) = pattern_drawings(name, line)
    return drawing


def parts_of(cut: Cut) -> list[tuple[Part, Drawing]]:
    line = line_of(cut)
    drawings = pattern_drawings("wrap", line)
    return [(part, drawing) for part, (_, drawing) in zip(line.parts, drawings, strict=True)]


def polygon_area(points) -> float:
    return abs(math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*points, points[0]]))) / 2


def length(points) -> float:
    return math.fsum(math.dist(a, b) for a, b in pairwise(points))


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


PIECES = {
    "line": lambda _: 1,
    "arc": lambda arc: (
        1 if arc.circular else math.ceil(abs(arc.end_angle - arc.start_angle) / (math.pi / 2) * 24)
    ),
    "cubic": lambda _: 48,
}
"""Entities that a piece of an outline becomes."""


def group_codes(path: Path):
    """Code and value pairs of a DXF text file, by its published form."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return [(int(code), value.strip()) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def entities(path: Path):
    """Type, layer and figures of the entities, without the library that wrote them."""
    codes = group_codes(path)
    start = codes.index((2, "ENTITIES"))
    found, current = [], None
    for code, value in codes[start + 1 :]:
        if code == 0:
            if value == "ENDSEC":
                break
            current = {"type": value}
            found.append(current)
        elif current is not None and 10 <= code < 60:
            current.setdefault(code, float(value))
        elif current is not None and code == 8:
            current["layer"] = value
    return found


def entity_length(entity) -> float:
    if entity["type"] == "LINE":
        return math.dist((entity[10], entity[20]), (entity[11], entity[21]))
    return entity[40] * math.radians((entity[51] - entity[50]) % 360)


@pytest.mark.parametrize("name", CUTS)
def test_dxf_lengths_by_layer_are_the_patterns(tmp_path: Path, name: str) -> None:
    for _, drawing in parts_of(CUTS[name]):
        check_dxf(drawing, tmp_path / "wrap.dxf")


def check_dxf(drawing: Drawing, path: Path) -> None:
    write_dxf(path, drawing)
    lengths_mm: dict[str, float] = defaultdict(float)
    for entity in entities(path):
        assert entity["type"] in ("LINE", "ARC")
        lengths_mm[entity["layer"]] += entity_length(entity)
    for layer in ("CUT", "STITCH", "NOTCH", "GRAIN"):
        expected = 1000 * math.fsum(p.length_m for p in drawing.paths if p.layer == layer)
        assert lengths_mm[layer] == pytest.approx(expected, abs=0.1)
    assert (9, "$INSUNITS") in group_codes(path)
    codes = group_codes(path)
    assert codes[codes.index((9, "$INSUNITS")) + 1] == (70, "4")  # millimetres
    assert codes[codes.index((9, "$ACADVER")) + 1] == (1, "AC1024")  # R2010


@pytest.mark.parametrize("name", ["plain", "overlapping V", "nearly all", "sloped"])
def test_dxf_outline_closes_and_keeps_its_area(tmp_path: Path, name: str) -> None:
    for part, drawing in parts_of(CUTS[name]):
        check_dxf_outline(part, drawing, tmp_path / "wrap.dxf")


def check_dxf_outline(part: Part, drawing: Drawing, path: Path) -> None:
    write_dxf(path, drawing)
    document = ezdxf.readfile(path)
    assert not document.audit().has_errors
    pieces = list(document.modelspace().query('*[layer=="CUT"]'))
    curves = sum(PIECES[piece.kind](piece) for piece in part.outline)
    pieces = pieces[:curves]
    # begin at a line, whose direction is written as it is walked
    first = next(number for number, one in enumerate(pieces) if one.dxftype() == "LINE")
    pieces = pieces[first:] + pieces[:first]
    points = []
    for piece in pieces:
        if piece.dxftype() == "LINE":
            chain = [piece.dxf.start, piece.dxf.end]
        else:
            chain = list(piece.flattening(0.001))
        ends = [(p.x, p.y) for p in chain]
        if points and math.dist(points[-1], ends[0]) > math.dist(points[-1], ends[-1]):
            ends.reverse()
        assert not points or math.dist(points[-1], ends[0]) < 1e-6
        points += ends
    assert math.dist(points[0], points[-1]) < 1e-6
    area_mm2 = 1e6 * math.fsum(piece.swept_area_m2 for piece in part.outline)
    assert polygon_area(points) == pytest.approx(area_mm2, abs=0.1 * length(points))


def test_without_ezdxf_the_svg_is_recommended(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "ezdxf.filemanagement", None)
    with pytest.raises(FileError, match="ezdxf is missing"):
        write_dxf(tmp_path / "wrap.dxf", pattern_drawing("wrap", line_of()))
    assert not (tmp_path / "wrap.dxf").exists()


OPENING_M = 0.24
"""What stays open of the back hem for turning."""


def notches_mm(part: Part, drawing: Drawing) -> dict[str, list[tuple[tuple[float, float], ...]]]:
    """Both ends of each notch of the pattern, millimetres, by what meets there."""
    found: dict[str, list[tuple[tuple[float, float], ...]]] = defaultdict(list)
    for notch in part.notches:
        (x, v), (to_x, to_v) = notch.at, notch.towards
        end = (x + 0.005 * to_x, v + 0.005 * to_v)
        found[notch.name].append(((1000 * x, 1000 * v), (1000 * end[0], 1000 * end[1])))
    return found


def on_the_page(drawing: Drawing, point: tuple[float, float]) -> tuple[float, float]:
    """A place of the drawing on its one page, from the upper left corner."""
    left, _, _, high = bounds_mm(drawing)
    return point[0] - left + 20, high + 20 - point[1]


@pytest.mark.parametrize("name", ["plain", "curved hem", "overlapping V", "split", "nearly all"])
def test_every_notch_is_in_pdf_svg_and_dxf(tmp_path: Path, name: str) -> None:
    line = build_cut_line(build_pattern(CUTS[name]), Allowances(), OPENING_M)
    drawings = pattern_drawings("wrap", line)
    told: set[str] = set()
    for part, (_, drawing) in zip(line.parts, drawings, strict=True):
        page = one_page(drawing)
        write_pdf(tmp_path / "whole.pdf", "whole", [page])
        write_dxf(tmp_path / "whole.dxf", drawing)
        (printed,) = PdfReader(tmp_path / "whole.pdf").pages
        in_pdf = [path for path in paths_mm(printed) if len(path) == 2]
        in_svg = [
            [tuple(map(float, pair.split(","))) for pair in element.get("points").split()]
            for element in ElementTree.fromstring(page_svg(page)).iter(f"{SVG}polyline")
        ]
        in_dxf = [
            ((one[10], one[20]), (one[11], one[21]))
            for one in entities(tmp_path / "whole.dxf")
            if one["layer"] == "NOTCH"
        ]
        for what, ends in notches_mm(part, drawing).items():
            told.add(what)
            for start, end in ends:
                places = [on_the_page(drawing, point) for point in (start, end)]
                upright = [(x, page.height_mm - y) for x, y in places]
                for drawn, wanted in ((in_pdf, upright), (in_svg, places), (in_dxf, (start, end))):
                    nearest = min(
                        max(math.dist(a, b) for a, b in zip(path, wanted, strict=True))
                        for path in drawn
                        if len(path) == 2
                    )
                    assert nearest < 0.1, (what, start)
        if part.name in ("layer", "back"):
            opening = notches_mm(part, drawing)["end of the opening for turning"]
            assert sorted(start[0] for start, _ in opening) == pytest.approx([-120, 120], abs=0.1)
    assert "end of the opening for turning" in told
    assert ("middle of the front edge" in told) == (CUTS[name].front is not Front.CLOSED)


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

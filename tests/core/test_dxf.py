# SPDX-License-Identifier: GPL-3.0-or-later
"""DXF files, read by a reader of their group codes: lengths, outlines, and notches as on paper."""

import math
import sys
from collections import defaultdict
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest
from napfold.core.cut_line import Allowances, Part, build_cut_line
from napfold.core.dxf import write_dxf
from napfold.core.errors import FileError
from napfold.core.paper import page_svg
from napfold.core.paper.pdf import write_pdf
from napfold.core.pattern import Front, build_pattern
from napfold.core.sheets.drawing import Drawing, bounds_mm, pattern_drawings
from napfold.core.sheets.tiling import one_page
from pypdf import PdfReader

from .options import CUTS
from .pattern_drawings import SVG, length, line_of, parts_of, pattern_drawing, polygon_area
from .printed import paths_mm

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

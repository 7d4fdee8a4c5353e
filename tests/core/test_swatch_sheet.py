# SPDX-License-Identifier: GPL-3.0-or-later
"""The swatch sheet, read back by a reader that did not write it: true size, nothing off the page."""

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from napfold.core.cautions import cautions
from napfold.core.cli import FINE, STEP_FAILED, main
from napfold.core.errors import FileError
from napfold.core.paper import PAPERS, Line, Page, Words, text_width_mm, wrapped
from napfold.core.paper.pdf import write_pdf
from napfold.core.swatch import READINGS
from napfold.core.swatch_sheet import (
    CHORD_SHARE,
    LINE_DOWN_MM,
    LINE_OUT_MM,
    RECORD_KEYS,
    SQUARE_MM,
    swatch_sheet,
)
from pypdf import PdfReader
from reportlab.pdfbase.pdfmetrics import stringWidth

from ..validate.elastica import cantilever
from .printed import MM, paths_mm

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("sheet")
    assert main(["swatch-sheet", "--out", str(out)]) == FINE
    return out


@pytest.mark.parametrize("paper", PAPERS)
def test_pages_have_the_papers_size(folder: Path, paper: str) -> None:
    pages = PdfReader(folder / f"swatch_sheet_{paper}.pdf").pages
    assert len(pages) == 3
    for page in pages:
        assert float(page.mediabox.width) / MM == pytest.approx(PAPERS[paper][0], abs=0.01)
        assert float(page.mediabox.height) / MM == pytest.approx(PAPERS[paper][1], abs=0.01)


@pytest.mark.parametrize("paper", PAPERS)
def test_square_and_line_are_printed_at_true_size(folder: Path, paper: str) -> None:
    paths = list(paths_mm(PdfReader(folder / f"swatch_sheet_{paper}.pdf").pages[0]))
    squares = [
        path
        for path in paths
        if len(path) == 4
        and all(
            math.dist(start, end) == pytest.approx(SQUARE_MM, abs=0.01)
            for start, end in zip(path, path[1:] + path[:1], strict=True)
        )
    ]
    assert len(squares) == 1
    (x0, y0), (x1, y1), (x2, y2), _ = squares[0]
    assert (x1 - x0) * (x2 - x1) + (y1 - y0) * (y2 - y1) == pytest.approx(0, abs=0.1)
    slanted = [
        path
        for path in paths
        if len(path) == 2
        and path[1][0] - path[0][0] == pytest.approx(100.0, abs=0.01)
        and path[0][1] - path[1][1] == pytest.approx(88.5, abs=0.01)
    ]
    assert len(slanted) == 1
    corner = slanted[0][0]
    # the platform ends at the same corner, level
    assert any(
        len(path) == 2
        and path[1] == pytest.approx(corner, abs=0.01)
        and path[0][1] == pytest.approx(corner[1], abs=0.01)
        and path[0][0] < corner[0] - 50
        for path in paths
    )


def test_the_line_and_its_scale_are_those_of_a_heavy_strip() -> None:
    tip = cantilever(2.0)
    assert math.degrees(math.atan2(LINE_DOWN_MM, LINE_OUT_MM)) == pytest.approx(
        tip.chord_degrees, abs=0.03
    )
    assert math.hypot(tip.reach, tip.drop) == pytest.approx(CHORD_SHARE, rel=1e-3)


def test_the_pdf_says_what_it_is_and_warns(folder: Path) -> None:
    reader = PdfReader(folder / "swatch_sheet_a4.pdf")
    assert reader.metadata is not None
    assert reader.metadata.title == "Napfold: swatch tests"
    texts = [" ".join(page.extract_text().split()) for page in reader.pages]
    assert "41.5 degree line" in texts[0]
    assert "10 cm by 10 cm" in texts[0]
    assert "in)" in texts[0]
    for caution in cautions(child_sized=False):
        assert caution in texts[1]
    for key in RECORD_KEYS:
        assert key in texts[2]


def test_the_record_has_keys_of_the_job_file() -> None:
    assert set(RECORD_KEYS) <= set(READINGS)
    # left out: unnamed faces, and what only a picture or paper gives
    left_out = {"overhang_along", "overhang_across", "round_ring_mass", "round_shadow_mass"}
    left_out |= {"round_outline", "round_ruler", "round_ruler_length"}
    assert set(READINGS) - set(RECORD_KEYS) == left_out


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_stands_off_the_page_or_in_a_printers_margin(paper: str) -> None:
    width, height = PAPERS[paper]
    for page in swatch_sheet(paper):
        for mark in page.marks:
            if isinstance(mark, Line):
                points = mark.points
            else:
                wide = text_width_mm(mark.text, mark.size_mm, bold=mark.bold)
                share = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor]
                turn = math.radians(mark.turn_degrees)
                points = tuple(
                    (
                        mark.at[0] + far * wide * math.cos(turn),
                        mark.at[1] + far * wide * math.sin(turn),
                    )
                    for far in (-share, 1 - share)
                )
            for x, y in points:
                assert 10 <= x <= width - 10
                assert 10 <= y <= height - 10


@pytest.mark.parametrize("paper", PAPERS)
def test_svg_pages_are_at_true_size_too(folder: Path, paper: str) -> None:
    width, height = PAPERS[paper]
    root = ElementTree.parse(folder / f"swatch_sheet_{paper}_1.svg").getroot()
    assert (root.get("width"), root.get("height")) == (f"{width:g}mm", f"{height:g}mm")
    assert root.get("viewBox") == f"0 0 {width:g} {height:g}"
    sides = []
    for polygon in root.iter(f"{SVG}polygon"):
        points = np.array(
            [[float(part) for part in pair.split(",")] for pair in polygon.get("points").split()]
        )
        sides.append(np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1))
    assert any(len(side) == 4 and np.allclose(side, SQUARE_MM) for side in sides)
    text = (folder / f"swatch_sheet_{paper}_3.svg").read_text(encoding="utf-8")
    assert "overhang_along_pile_up" in text
    assert not re.search("https?://(?!www.w3.org/2000/svg)", text)


def test_the_same_sheet_gives_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    assert main(["swatch-sheet", "--out", str(tmp_path)]) == FINE
    for path in folder.iterdir():
        assert path.read_bytes() == (tmp_path / path.name).read_bytes()


def test_a_folder_that_is_a_file_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "file"
    path.write_text("here already", encoding="utf-8")
    assert main(["swatch-sheet", "--out", str(path)]) == STEP_FAILED
    assert "cannot be written" in capsys.readouterr().err
    with pytest.raises(FileError):
        write_pdf(path / "sheet.pdf", "sheet", swatch_sheet("a4"))


@pytest.mark.parametrize("bold", [False, True])
def test_lines_are_no_wider_than_the_type_sets_them(bold: bool) -> None:
    text = "Stop when the tip touches the slanted line (41.5 degrees), 3/4 WIDE & Type, naïve!"
    font = "Helvetica-Bold" if bold else "Helvetica"
    set_mm = stringWidth(text, font, 3.3)
    assert set_mm <= text_width_mm(text, 3.3, bold=bold) <= 1.1 * set_mm
    lines = wrapped(text, 3.3, 40.0, bold=bold)
    assert " ".join(lines) == text
    assert len(lines) > 1
    assert all(stringWidth(line, font, 3.3) <= 40.0 for line in lines)


def test_marks_keep_their_places_in_both_formats(tmp_path: Path) -> None:
    marks = (
        Line(points=((10.0, 20.0), (35.0, 20.0)), dashes_mm=(2.0, 1.0)),
        Words(text="a < b", at=(10.0, 30.0), turn_degrees=90.0, anchor="end"),
    )
    write_pdf(tmp_path / "page.pdf", "page", [Page("one", 100.0, 50.0, marks)])
    page = PdfReader(tmp_path / "page.pdf").pages[0]
    (path,) = paths_mm(page)
    # from the lower left corner, as PDF has it
    assert path == [pytest.approx((10.0, 30.0), abs=1e-3), pytest.approx((35.0, 30.0), abs=1e-3)]
    assert "a < b" in page.extract_text()

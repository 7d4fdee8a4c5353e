# SPDX-License-Identifier: GPL-3.0-or-later
"""Small pieces: sized to wearer and cut, laid, told as steps, their templates true to size."""

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from napfold.core.cut_line import Allowances, build_cut_line
from napfold.core.errors import InputError
from napfold.core.job import Job, load_job, save_job
from napfold.core.lay import Extra, Kind, sized
from napfold.core.paper import Line
from napfold.core.paper.pdf import write_pdf
from napfold.core.pattern import Front, build_pattern
from napfold.core.sheets.flow import Items, Step, pages
from napfold.core.sheets.making_words import WORDS
from napfold.core.sheets.piece_templates import piece_drawings
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sewing_words import SEWING
from napfold.core.sheets.sheet_job import sheet_job
from napfold.core.sheets.template_pages import template_pages
from napfold.core.tape import Tape, complete
from pypdf import PdfReader

from .options import CUTS, PLAIN
from .printed import paths_mm

HER, _ = complete(Tape(sex="female", given={"height": 1.68, "bust_girth": 0.965}))
CHILD, _ = complete(Tape(given={"height": 1.30, "bust_girth": 0.66}))
KINDS = [kind for kind in Kind if kind is not Kind.PLAIN]
JOB = """
name = "Larch Hut wrap"
units = "cm"
[tape]
height = "168 cm"
bust_girth = "96.5 cm"
[cloth.outer]
kind = "light plush"
[cloth.lining]
kind = "light plush"
[cut]
cloth_width = "145 cm"
length = "137 cm"
body_width = "70 cm"
sleeve_drop = "24 cm"
"""


def job(tmp_path: Path, kinds: list[Kind]) -> Job:
    pieces = "".join(f'[[lay.piece]]\nkind = "{kind}"\n' for kind in kinds)
    (tmp_path / "job.toml").write_text(JOB + pieces, encoding="utf-8")
    return load_job(tmp_path / "job.toml")


def extra(kind: Kind) -> Extra:
    return Extra(name=str(kind), kind=kind)


def test_sizes_follow_from_wearer_and_cut() -> None:
    allowances = Allowances(underarm_m=0.01, front_m=0.02, sleeve_end_m=0.01)
    found = {kind: sized(extra(kind), PLAIN, allowances, HER).size_m for kind in KINDS}
    neck_m = build_pattern(PLAIN).edges["neck"].length_m
    # from one sewn front edge to the other
    assert found[Kind.COLLAR][0] == pytest.approx(neck_m - 2 * 0.02 + 2 * 0.01)
    closed = replace(PLAIN, front=Front.CLOSED)
    band, _ = sized(extra(Kind.COLLAR), closed, allowances, HER).size_m
    assert band == pytest.approx(neck_m + 2 * 0.01)
    assert found[Kind.CUFF][0] == pytest.approx(2 * 0.24 + 2 * 0.01)
    # two strips make it
    assert found[Kind.BELT][1] == pytest.approx((HER.value("waist_girth") + 0.90) / 2 + 2 * 0.01)
    # a hood goes over the head: twice its height from side neck to side neck
    assert 2 * found[Kind.HOOD][1] > HER.value("head_girth")
    assert found[Kind.POCKET] == pytest.approx((0.16 + 0.02, 0.18 + 0.03 + 0.01))
    wide = sized(replace(extra(Kind.SQUARE), width_m=0.3), PLAIN, allowances, HER)
    assert wide.size_m == (0.3, 0.20)


def test_no_belt_on_a_childs_garment() -> None:
    with pytest.raises(InputError, match="no long ties"):
        sized(extra(Kind.BELT), PLAIN, Allowances(), CHILD)


def test_a_plain_piece_needs_its_size() -> None:
    with pytest.raises(InputError, match=r"lay\.piece\.width is missing"):
        Extra(name="piece")


def test_pieces_are_kept_in_the_job_file_without_their_size(tmp_path: Path) -> None:
    read = job(tmp_path, KINDS)
    assert [piece.width_m for piece in read.lay.extras] == [None] * len(KINDS)
    assert [piece.count for piece in read.lay.extras] == [2, 2, 1, 2, 2, 1]
    save_job(tmp_path / "again.toml", read)
    assert load_job(tmp_path / "again.toml") == read


def test_every_piece_is_laid_once_for_each_layer_it_is_cut_from(tmp_path: Path) -> None:
    read = job(tmp_path, KINDS)
    for cut in (read.cut, replace(CUTS["overlapping"], cloth_width_m=1.45)):
        lay = sheet_job(replace(read, cut=cut)).lay
        names = [
            piece.name
            for bolt in lay.bolts
            for piece in bolt.placed
            if isinstance(piece.source, Extra)
        ]
        assert sorted(names) == sorted(
            name for one in read.lay.extras for name in [one.name] * one.count
        )


def test_every_piece_has_its_step_and_the_belt_its_caution(tmp_path: Path) -> None:
    sheet = sheet_job(job(tmp_path, KINDS))
    blocks = sewing_order(sheet, "wrap")
    titles = [block.title for block in blocks if isinstance(block, Step)]
    drawn = {block.title for block in blocks if isinstance(block, Step) and block.picture}
    assert {SEWING[str(kind)][0] for kind in KINDS if kind is not Kind.SQUARE} <= drawn
    for page in pages("wrap", blocks, "letter", 5.0):
        for mark in page.marks:
            for x, y in mark.points if isinstance(mark, Line) else [mark.at]:
                assert 5 <= x <= page.width_mm - 5, mark
                assert 5 <= y <= page.height_mm - 5, mark
    for kind in KINDS:
        assert SEWING[str(kind)][0] in titles
    # caught in the neck, so before it; a band in the place of a turned-in sleeve end
    assert titles.index(SEWING["hood"][0]) < titles.index(SEWING["together"][0])
    assert titles.index(SEWING["patch pocket"][0]) < titles.index(SEWING["outer sides"][0])
    assert SEWING["ends"][0] not in titles
    for sheets in (blocks, cutting_plan(sheet, "wrap")):
        told = [words for block in sheets if isinstance(block, Items) for words in block.items]
        assert WORDS["belt caution"] in told
    plain = sewing_order(sheet_job(job(tmp_path, [])), "wrap")
    told = [words for block in plain if isinstance(block, Items) for words in block.items]
    assert WORDS["belt caution"] not in told


@pytest.mark.parametrize("kind", [Kind.POCKET, Kind.HOOD])
def test_templates_of_pieces_are_true_to_size(tmp_path: Path, kind: Kind) -> None:
    allowances = Allowances()
    piece = replace(sized(extra(kind), PLAIN, allowances, HER), count=2)
    (drawing,) = piece_drawings((piece,), allowances)
    cut = next(path for path in drawing.paths if path.layer == "CUT")
    width_m, length_m = piece.size_m
    rounded = {Kind.POCKET: 2 * 0.03, Kind.HOOD: 0.10}[kind]
    perimeter_m = 2 * (width_m + length_m) - (2 - math.pi / 2) * rounded
    assert cut.length_m == pytest.approx(perimeter_m)
    # what is swept is the rectangle less what the round corners take
    radius_m, count = {Kind.POCKET: (0.03, 2), Kind.HOOD: (0.10, 1)}[kind]
    area_m2 = width_m * length_m - count * (1 - math.pi / 4) * radius_m**2
    swept = math.fsum(one.swept_area_m2 for one in cut.pieces)
    assert swept == pytest.approx(area_m2)
    if kind is Kind.POCKET:
        # small enough for one page: its outline is found there again
        line = build_cut_line(build_pattern(PLAIN), allowances)
        pages = template_pages("wrap", PLAIN, allowances, line, "a4", (drawing,))
        write_pdf(tmp_path / "templates.pdf", "templates", pages)
        lengths = [
            math.fsum(math.dist(a, b) for a, b in pairwise(path))
            for path in paths_mm(PdfReader(tmp_path / "templates.pdf").pages[-1])
        ]
        assert min(abs(one - 1000 * perimeter_m) for one in lengths) < 0.1

# SPDX-License-Identifier: GPL-3.0-or-later
"""Cutting plan and sewing order: what a workroom asks stands there, on the paper, in its units."""

import math
import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from napfold.core.cautions import cautions
from napfold.core.cli import FINE, WRONG_INPUT, main
from napfold.core.cut_line import finished_cut
from napfold.core.job import Job, load_job
from napfold.core.paper import PAPERS, Line, Words, text_width_mm
from napfold.core.pattern import Front, Shoulder, fitted
from napfold.core.sheets.flow import Rows, Step, pages
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.plan_words import PLAN
from napfold.core.sheets.purchase import bought_told
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sewing_words import SEWING
from napfold.core.sheets.sheet_job import sheet_job
from napfold.core.telling import Telling
from pypdf import PdfReader

from .options import CUTS

BODIES = {
    "small": 'height = "152 cm"\nbust_girth = "80 cm"\n',
    "middle": 'height = "168 cm"\nbust_girth = "38 in"\nhip_girth = "41 in"\n',
    "large": 'sex = "male"\nheight = "190 cm"\nbust_girth = "128 cm"\n',
}
CLOTHS = {
    "narrow, long pile": ("long pile", "1.45 m", "140 cm"),
    "wide, short pile": ("light plush", "2.2 m", "1.9 m"),
}
UNITS = ("cm", "in")


def job(tmp_path: Path, body: str, cloth: str, units: str, more: str = "") -> Job:
    kind, bolt, width = CLOTHS[cloth]
    text = f"""
name = "Larch Hut wrap"
units = "{units}"
[tape]
{BODIES[body]}
[cloth.outer]
kind = "{kind}"
bolt_width = "{bolt}"
price = "20 per m"
[cloth.lining]
kind = "light plush"
bolt_width = "{bolt}"
price = "10 per m"
[cut]
cloth_width = "{width}"
length = "120 cm"
body_width = "75 cm"
sleeve_drop = "27 cm"
corner_radius = "10 cm"
{more}
"""
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    return load_job(path)


@pytest.mark.parametrize("size_mm", [3.5, 5.0])
@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("cloth", CLOTHS)
@pytest.mark.parametrize("body", BODIES)
def test_every_word_and_line_lies_on_the_paper(tmp_path, body, cloth, units, size_mm) -> None:
    making = sheet_job(job(tmp_path, body, cloth, units))
    for blocks in (cutting_plan(making, "wrap"), sewing_order(making, "wrap")):
        for paper in PAPERS:
            for page in pages("wrap", blocks, paper, size_mm):
                for mark in page.marks:
                    ends = mark.points if isinstance(mark, Line) else _ends(mark)
                    for x, y in ends:
                        assert 5 <= x <= page.width_mm - 5, mark
                        assert 5 <= y <= page.height_mm - 5, mark


def _ends(words: Words) -> list[tuple[float, float]]:
    """Both ends of a line of text."""
    wide = text_width_mm(words.text, words.size_mm, bold=words.bold)
    start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[words.anchor]
    turn = math.radians(words.turn_degrees)
    return [
        (words.at[0] + along * math.cos(turn), words.at[1] + along * math.sin(turn))
        for along in (start, start + wide)
    ]


def told(blocks) -> str:
    lines = []
    for block in blocks:
        if isinstance(block, Step):
            lines += [block.title, *block.lines]
        elif isinstance(block, Rows):
            lines += [" ".join(row) for row in (block.head, *block.rows)]
        else:
            lines += [getattr(block, "text", ""), *getattr(block, "items", ())]
    return "\n".join(lines)


@pytest.mark.parametrize("units", UNITS)
def test_what_to_measure_is_the_cut_line(tmp_path: Path, units: str) -> None:
    read = job(tmp_path, "middle", "wide, short pile", units)
    making = sheet_job(read)
    text = told(cutting_plan(making, "wrap"))
    chosen = Telling(read.units).chosen
    # drop and side with their half-inch allowance; the curve keeps the seam's centre
    for words, value_m in (
        ("measure {} from the fold", 0.27 + 0.0127),
        ("measure {} inwards from each side", 0.95 - 0.375 - 0.0127),
        ("The curve begins {} from the fold", 0.27 + 0.10),
        ("and {} from the sleeve end", 0.95 - 0.375 - 0.10),
        ("Radius of the curve to cut: {}", 0.10 - 0.0127),
        ("shoulder fold straight across at {}", 0.60),
        ("centre line at {}", 0.95),
    ):
        assert words.format(chosen(value_m)) in text
    sewn = finished_cut(read.cut, read.allowances)
    assert f"{chosen(sewn.length_m)} long from hem to hem" in text
    tables = told([block for block in cutting_plan(making, "wrap") if isinstance(block, Rows)])
    assert re.search(r"\d cm\b" if units == "in" else r"\d in\b", tables) is None


def test_long_pile_is_cut_in_single_plies_and_short_pile_folded(tmp_path: Path) -> None:
    long_pile = told(
        cutting_plan(sheet_job(job(tmp_path, "middle", "narrow, long pile", "cm")), "w")
    )
    short_pile = told(
        cutting_plan(sheet_job(job(tmp_path, "middle", "wide, short pile", "cm")), "w")
    )
    assert "one ply at a time" in long_pile
    assert "Do not cut this pile folded" in long_pile
    assert "through both plies of the folded layer" in short_pile
    assert "Do not cut this pile folded" not in short_pile


def test_seam_lengths_are_the_patterns(tmp_path: Path) -> None:
    read = job(tmp_path, "middle", "wide, short pile", "cm")
    text = told(sewing_order(sheet_job(read), "wrap"))
    # side below the curve, the quarter circle, the underarm beyond it
    seam_m = (0.60 - 0.37) + math.pi / 2 * 0.10 + (0.95 - 0.475)
    assert f"{100 * seam_m:.1f} cm long on each side" in text
    assert "Each end is 54 cm round" in text


@pytest.mark.parametrize("body", BODIES)
def test_steps_are_numbered_and_all_there(tmp_path: Path, body: str) -> None:
    making = sheet_job(job(tmp_path, body, "narrow, long pile", "cm"))
    for blocks, count in ((cutting_plan(making, "w"), 9), (sewing_order(making, "w"), 12)):
        steps = [block for block in blocks if isinstance(block, Step)]
        assert [step.number for step in steps] == list(range(1, len(steps) + 1))
        assert len(steps) == count
        assert all("{" not in line for step in steps for line in step.lines)
        assert all(words in told(blocks) for words in cautions(child_sized=False))


STEPS = {
    "plain": (["middle", "fold", "corners", "neck", "front"], ["together", "rim", "turn", "ends"]),
    "closed": (["middle", "neck"], ["together closed", "neck ring", "turn closed", "hem ring"]),
    "overlapping": (["rectangles", "cut parts", "necks"], ["shoulders", "rim", "turn", "overlap"]),
    "tapered": (["corners slanted"], ["clip"]),
    "cuff": (["corners slanted", "cuff"], ["ends", "cuffs"]),
    "diagonal": (["corners"], ["clip diagonal"]),
    "square": (["corners"], ["clip square"]),
    "curved hem": (["hem"], ["rim"]),
    "longer back": (["middle longer", "fold longer", "hem"], ["rim"]),
    "sloped": (["rectangles", "slope", "corners slanted"], ["shoulders"]),
    "split": (["corners"], ["outer sides split", "split"]),
    "nearly all": (
        ["rectangles", "slope", "corners slanted", "cut parts", "hem", "necks", "cuff"],
        ["shoulders", "outer sides split", "clip diagonal", "hem ring", "cuffs"],
    ),
}
"""What each option asks for, in this order."""


@pytest.mark.parametrize("name", CUTS)
def test_every_option_has_its_steps_and_stays_on_the_paper(tmp_path: Path, name: str) -> None:
    plain = job(tmp_path, "middle", "wide, short pile", "in" if len(name) % 2 else "cm")
    read = replace(plain, cut=CUTS[name])
    making = sheet_job(read)
    plan_steps, sewing_steps = STEPS.get(name, ([], []))
    for blocks, words, asked in (
        (cutting_plan(making, "wrap"), PLAN, plan_steps),
        (sewing_order(making, "wrap"), SEWING, sewing_steps),
    ):
        steps = [block for block in blocks if isinstance(block, Step)]
        assert [step.number for step in steps] == list(range(1, len(steps) + 1))
        assert all("{" not in line for step in steps for line in step.lines)
        titles = [step.title for step in steps]
        places = [titles.index(words[one][0]) for one in asked]
        assert places == sorted(places)
        for page in pages("wrap", blocks, "a4", 3.5):
            for mark in page.marks:
                for x, y in mark.points if isinstance(mark, Line) else _ends(mark):
                    assert 5 <= x <= page.width_mm - 5, mark
                    assert 5 <= y <= page.height_mm - 5, mark


@pytest.mark.parametrize("size_mm", [3.5, 5.0])
@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("cloth", CLOTHS)
@pytest.mark.parametrize("body", BODIES)
def test_options_stay_on_the_paper_for_every_body_and_cloth(
    tmp_path: Path, body: str, cloth: str, units: str, size_mm: float
) -> None:
    plain = job(tmp_path, body, cloth, units)
    for changes in (
        {"front": Front.CLOSED, "wrist_opening_m": 0.40, "side_split_m": 0.12, "hem_curve_m": 0.04},
        {"front": Front.OVERLAPPING, "shoulder": Shoulder.SEAMED, "shoulder_drop_m": 0.05},
    ):
        making = sheet_job(replace(plain, cut=fitted(plain.cut, **changes)))
        for blocks in (cutting_plan(making, "wrap"), sewing_order(making, "wrap")):
            for page in pages("wrap", blocks, "letter", size_mm):
                for mark in page.marks:
                    for x, y in mark.points if isinstance(mark, Line) else _ends(mark):
                        assert 5 <= x <= page.width_mm - 5, mark
                        assert 5 <= y <= page.height_mm - 5, mark


def test_cloth_in_hand_is_told_as_a_cut(tmp_path: Path) -> None:
    more = '[lay]\nwash_first = false\nin_hand = ["1.5 m", "1.3 m"]\n'
    text = told(
        cutting_plan(sheet_job(job(tmp_path, "middle", "narrow, long pile", "cm", more)), "w")
    )
    assert "130 cm 1.5 m + 1.3 m" in text


@pytest.mark.parametrize(
    ("length_m", "units", "words"),
    [
        (1.2, "cm", "1.2 m"),
        (1.0287, "in", "1 1/8 yd"),
        (1.8288, "in", "2 yd"),
        (0.4572, "in", "1/2 yd"),
    ],
)
def test_bought_lengths_are_told_as_a_shop_measures(length_m, units, words) -> None:
    assert bought_told(length_m, Telling(units)) == words


def test_command_writes_everything_for_each_variant(tmp_path: Path, capsys) -> None:
    variants = """
[wish]
hem = "knee"
sleeve_end = "wrist"
[[variant]]
name = "short"
[[variant]]
name = "long"
cut.length = "150 cm"
"""
    job(tmp_path, "middle", "wide, short pile", "in", variants)
    out = tmp_path / "out"
    arguments = ["sheets", str(tmp_path / "job.toml"), "--out", str(out), "--together"]
    assert main(arguments) == FINE
    written = [Path(line) for line in capsys.readouterr().out.splitlines()]
    assert len(written) == 27
    for paper, size_mm in PAPERS.items():
        printed = [path for path in written if path.name.endswith(f"_{paper}.pdf")]
        # the batch; and of each wrap plan, sewing order, templates and pattern
        assert len(printed) == 1 + 2 * 4
        for page in (page for path in printed for page in PdfReader(path).pages):
            sides = (float(page.mediabox.width), float(page.mediabox.height))
            assert [side / 72 * 25.4 for side in sides] == pytest.approx(size_mm, abs=0.01)
    batch = (out / "batch.html").read_text(encoding="utf-8")
    # the outer layers of both wraps on one bolt: 120 and 150 cm and 2 % of shrinkage are 275.5 cm
    assert batch.replace("\u00a0", " ").count("buy 3 1/8 yd") == 2
    assert "outer, long 1" in batch
    assert all(path.stat().st_size > 1000 for path in written)
    text = "".join(
        page.extract_text() for page in PdfReader(out / "long" / "cutting_plan_a4.pdf").pages
    )
    # the cloth is told once, on the sheet of the batch
    assert "laid and cut with others" in text
    assert not re.search("For what you wish|Shopping list|What it costs", text)
    assert "Shopping list" in batch
    alone = told(
        cutting_plan(sheet_job(dict(load_job(tmp_path / "job.toml").expand())["long"]), "w")
    )
    assert "For what you wish" in alone
    assert "59 in" in alone  # 150 cm
    page = (out / "short" / "making.html").read_text(encoding="utf-8")
    # it needs nothing else: no address but the name of the drawing's own language
    assert set(re.findall(r"https?://[^\"]+", page)) == {"http://www.w3.org/2000/svg"}
    assert "<script" not in page
    for drawing in re.findall(r"<svg .*?</svg>", page, flags=re.DOTALL):
        ElementTree.fromstring(drawing)


def test_the_sample_batch_can_be_laid_and_told() -> None:
    sample = Path(__file__).parents[2] / "sample_avatars" / "jobs" / "larch_hut_batch.toml"
    for name, read in load_job(sample).expand():
        sheet = sheet_job(read)
        # two wraps, two layers of two cloths, and four pockets from the corners
        assert [len(bolt.whole) for bolt in sheet.lay.bolts] == [2, 2]
        assert sum(len(bolt.placed) for bolt in sheet.lay.bolts) == 8
        text = told(cutting_plan(sheet, name))
        assert "€" in text
        assert "a corner of 1" in text


def test_a_cloth_too_narrow_is_wrong_input(tmp_path: Path, capsys) -> None:
    job(tmp_path, "middle", "wide, short pile", "in", '[lay]\nselvedge = "3 1/2 in"\n')
    wide = (tmp_path / "job.toml").read_text(encoding="utf-8").replace('"1.9 m"', '"2.1 m"')
    (tmp_path / "job.toml").write_text(wide, encoding="utf-8")
    assert main(["sheets", str(tmp_path / "job.toml"), "--out", str(tmp_path)]) == WRONG_INPUT
    assert "cut.cloth_width is" in capsys.readouterr().err

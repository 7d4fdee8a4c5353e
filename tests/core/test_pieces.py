# SPDX-License-Identifier: GPL-3.0-or-later
"""Small pieces: sized to wearer and cut, laid, told as steps, their templates true to size."""

import math
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from napfold.core.cut_line import Allowances, build_cut_line
from napfold.core.errors import InputError
from napfold.core.job import Job, load_job, save_job
from napfold.core.lay import Extra, Kind, sized
from napfold.core.paper import Line, Words
from napfold.core.paper.pdf import write_pdf
from napfold.core.pattern import Cut, Front, Neck, Shoulder, build_pattern, largest_overlap_m
from napfold.core.sheets.flow import Items, Step, pages
from napfold.core.sheets.making_words import WORDS
from napfold.core.sheets.piece_templates import piece_drawings
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sewing_words import SEWING
from napfold.core.sheets.sheet_job import SheetJob, sheet_job
from napfold.core.sheets.template_pages import template_pages
from napfold.core.tape import Measures, Tape, complete
from napfold.core.units import parse_quantity
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
    assert found[Kind.COLLAR][0] == pytest.approx(neck_m - 2 * 0.02 + 2 * 0.01, abs=1e-3)
    closed = replace(PLAIN, front=Front.CLOSED)
    band, _ = sized(extra(Kind.COLLAR), closed, allowances, HER).size_m
    assert band == pytest.approx(neck_m + 2 * 0.01)
    assert found[Kind.CUFF][0] == pytest.approx(2 * 0.24 + 2 * 0.01)
    around_m = HER.value("waist_girth") + 0.90
    assert found[Kind.BELT][1] == pytest.approx(around_m + 2 * 0.01)
    two = sized(replace(extra(Kind.BELT), count=2), PLAIN, allowances, HER).size_m
    assert two[1] == pytest.approx(around_m / 2 + 2 * 0.01)
    # a hood goes over the head: twice its height from side neck to side neck, and behind the ears
    # two halves are at least nine tenths of the girth
    assert 2 * found[Kind.HOOD][1] > HER.value("head_girth")
    assert 2 * (found[Kind.HOOD][0] - 0.0254 - 0.01) >= 0.9 * HER.value("head_girth")
    assert found[Kind.POCKET] == pytest.approx((0.16 + 0.02, 0.18 + 0.03 + 0.01))
    wide = sized(replace(extra(Kind.SQUARE), width_m=0.3), PLAIN, allowances, HER)
    assert wide.size_m == (0.3, 0.20)


def belt_step(sheet: SheetJob) -> Step:
    (made,) = (
        block
        for block in sewing_order(sheet, "wrap")
        if isinstance(block, Step) and block.title == SEWING["tie belt"][0]
    )
    return made


def test_a_belt_of_one_strip_is_not_joined(tmp_path: Path) -> None:
    two = job(tmp_path, [Kind.BELT])
    single = tuple(replace(piece, count=1) for piece in two.lay.extras)
    one = replace(two, lay=replace(two.lay, extras=single))
    told = [" ".join(belt_step(sheet_job(made)).lines) for made in (two, one)]
    assert ["Join the strips" in words for words in told] == [True, False]
    assert all("Fold lengthwise" in words for words in told)
    # sewn it is as long as of two
    lose_m = 2 * two.allowances.underarm_m
    sewn_m = [
        piece.count * (piece.size_m[1] - lose_m)
        for made in (two, one)
        for piece in sheet_job(made).extras
    ]
    assert sewn_m[1] == pytest.approx(sewn_m[0])


def test_a_hood_has_two_halves(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(
        JOB + '[[lay.piece]]\nkind = "hood"\ncount = 3\n', encoding="utf-8"
    )
    with pytest.raises(InputError, match=r"lay\.piece\.count is 3; allowed: an even number"):
        load_job(tmp_path / "job.toml")


def test_a_belt_is_drawn_as_long_as_its_strips_are_when_joined(tmp_path: Path) -> None:
    sheet = sheet_job(job(tmp_path, [Kind.BELT]))
    (belt,) = sheet.extras
    assert belt.count == 2
    # two strips, an allowance lost on each at their one joint
    joined_m = 2 * belt.size_m[1] - 2 * sheet.job.allowances.underarm_m
    made = belt_step(sheet)
    told = [mark.text for mark in made.picture.marks if isinstance(mark, Words)]
    assert sheet.tell.chosen(joined_m) in told
    assert sheet.tell.chosen(belt.size_m[1]) not in told


def made(sheet, kind: Kind) -> str:
    """The words of a piece's step."""
    (found,) = (
        block
        for block in sewing_order(sheet, "wrap")
        if isinstance(block, Step) and block.title == SEWING[str(kind)][0]
    )
    return " ".join(found.lines)


@pytest.mark.parametrize("front", [Front.EDGE_TO_EDGE, Front.CLOSED])
def test_a_collar_band_is_told_where_it_ends_and_how_high_it_stands(
    front: Front, tmp_path: Path
) -> None:
    plain = job(tmp_path, [Kind.COLLAR])
    sheet = sheet_job(replace(plain, cut=replace(plain.cut, front=front)))
    told = made(sheet, Kind.COLLAR)
    inside = f"ends come {sheet.tell.chosen(plain.allowances.front_m)} inside both front edges"
    assert (inside in told) is (front is not Front.CLOSED)
    assert ("ends meet at the notch at centre front" in told) is (front is Front.CLOSED)
    # folded from twice 5 cm, its allowances sewn in
    assert "stands 5 cm high" in told
    (band,) = sheet.extras
    short = replace(band, width_m=band.size_m[0] - 0.06)
    lay = replace(sheet.job.lay, extras=(short,))
    assert "It is 6 cm shorter" in made(sheet_job(replace(sheet.job, lay=lay)), Kind.COLLAR)


def test_pieces_of_ones_own_have_a_step_that_tells_of_them(tmp_path: Path) -> None:
    strips = Extra(name="hanging strip", width_m=0.06, length_m=0.20, count=2)
    plain = job(tmp_path, [])
    sheet = sheet_job(replace(plain, lay=replace(plain.lay, extras=(strips,))))
    assert made(sheet, Kind.PLAIN).startswith("2 x hanging strip: they are cut")


def around_the_neck_m(cut: Cut, allowances: Allowances) -> float:
    """The sewn neck walked in small steps, where it is nearer to a front's centre left out."""
    points = np.concatenate(
        [piece.place(np.linspace(0, 1, 4001)) for piece in build_pattern(cut).edges["neck"].pieces]
    )
    steps = np.hypot(*np.diff(points, axis=0).T)
    middle = (points[1:] + points[:-1]) / 2
    sewn = np.ones(len(steps), dtype=bool)
    if cut.front is Front.EDGE_TO_EDGE:
        sewn = (np.abs(middle[:, 0]) > allowances.front_m) | (middle[:, 1] > -1e-6)
    return float(steps[sewn].sum())


@pytest.mark.parametrize("wearer", [HER, CHILD], ids=["grown", "child"])
@pytest.mark.parametrize("front", list(Front))
@pytest.mark.parametrize("neck", list(Neck))
@pytest.mark.parametrize(
    ("wide_m", "deep_m", "front_m"), [(0.15, 0.08, 0.008), (0.22, 0.16, 0.0127), (0.34, 0.24, 0.03)]
)
def test_hood_and_collar_are_as_long_as_the_sewn_neck(
    neck: Neck, front: Front, wearer: Measures, wide_m: float, deep_m: float, front_m: float
) -> None:
    shape = {"neck": neck, "neck_width_m": wide_m, "neck_front_depth_m": deep_m}
    if front is Front.OVERLAPPING:
        most_m = largest_overlap_m(neck, wide_m, deep_m)
        shape |= {"front_overlap_m": min(0.12, most_m), "shoulder": Shoulder.SEAMED}
    cut = replace(PLAIN, **shape)
    cut = replace(cut, front=front)
    allowances = Allowances(front_m=front_m, neck_m=0.011, underarm_m=0.009)
    neck_m = around_the_neck_m(cut, allowances)
    collar_m, _ = sized(extra(Kind.COLLAR), cut, allowances, wearer).size_m
    assert collar_m - 2 * allowances.underarm_m == pytest.approx(neck_m, abs=1e-3)
    hood = sized(extra(Kind.HOOD), cut, allowances, wearer)
    (drawing,) = piece_drawings((hood,), allowances)
    lines = {path.name: path for path in drawing.paths}
    # on its stitch line, from the fold of the face edge to the seam behind
    (sewn,) = lines["hood neck"].pieces
    behind = lines["hood seam"].pieces[0].start
    fold = lines["face fold"].pieces[0]
    assert behind[0] == pytest.approx(sewn.end[0], abs=1e-6)
    assert 2 * (sewn.end[0] - fold.start[0]) == pytest.approx(neck_m, abs=1e-3)
    # the head has its room above whatever the neck is
    across = lines["hood"].pieces
    widest_m = max(max(piece.start[0], piece.end[0]) for piece in across)
    assert widest_m == pytest.approx(hood.size_m[0])
    assert widest_m >= 0.47 * wearer.value("head_girth") + 0.0254 + allowances.underarm_m - 1e-9


def test_a_hood_of_a_written_width_tells_what_it_is_short_of_the_neck(tmp_path: Path) -> None:
    for width, short in (("", False), ('width = "24 cm"\n', True)):
        path = tmp_path / "job.toml"
        path.write_text(f'{JOB}[[lay.piece]]\nkind = "hood"\n{width}', encoding="utf-8")
        steps = [
            one for one in sewing_order(sheet_job(load_job(path)), "w") if isinstance(one, Step)
        ]
        words = next(" ".join(one.lines) for one in steps if one.title == SEWING["hood"][0])
        assert ("shorter" in words) is short
        edge_m, neck_m = (
            parse_quantity("length", "told", told)
            for told in re.search(r"is (\S+ cm) round, the sewn neck (\S+ cm)", words).groups()
        )
        assert (edge_m < neck_m - 0.02) is short
        assert short or edge_m == pytest.approx(neck_m, abs=1e-3)
        if short:
            assert edge_m == pytest.approx(2 * (0.24 - 0.0254 - 0.0127), abs=1e-3)


def test_a_hood_is_a_mirrored_pair_turned_in_and_unlined(tmp_path: Path) -> None:
    sheet = sheet_job(job(tmp_path, [Kind.HOOD]))
    names = [piece.name for bolt in sheet.lay.bolts for piece in bolt.placed]
    assert "hood" in names
    assert "hood, mirrored" in names
    (drawing,) = piece_drawings(sheet.extras, sheet.job.allowances)
    told = " ".join(text.words for text in drawing.texts)
    for words in (
        "A pair, mirrored",
        "Unlined",
        "neck edge",
        "turn in on this line, 2.5 cm (1 in)",
    ):
        assert words in told


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
        names = [name.removesuffix(", mirrored") for name in names]
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
    if kind is Kind.HOOD:
        # of one width; shaped ones are looked at beside their neck
        piece = replace(piece, neck_edge_m=piece.size_m[0])
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


@pytest.mark.parametrize("drop_m", [0.0, 0.04])
def test_a_pocket_under_a_sloping_seam_is_measured_from_the_chalked_line(
    drop_m: float, tmp_path: Path
) -> None:
    plain = job(tmp_path, [Kind.POCKET])
    cut = replace(plain.cut, shoulder=Shoulder.SEAMED, shoulder_drop_m=drop_m)
    told = made(sheet_job(replace(plain, cut=cut)), Kind.POCKET)
    # the seam lies below that line only where the shoulder slopes
    assert ("from the shoulder line, the chalked one, not the seam" in told) is (drop_m > 0)


@pytest.mark.parametrize("longer_m", [0.0, 0.06])
def test_a_longer_back_that_is_cut_unfolded_has_its_own_length_told(
    longer_m: float, tmp_path: Path
) -> None:
    plain = job(tmp_path, [])
    deep = replace(plain.outer, kind="short pile")
    cut = replace(plain.cut, back_longer_m=longer_m)
    sheet = sheet_job(replace(plain, outer=deep, cut=cut))
    assert sheet.long_pile
    told = repr(cutting_plan(sheet, "wrap"))
    back, front = sheet.tell.chosen(cut.back_m), sheet.tell.chosen(cut.front_m)
    assert (f"its hem lies {back} from the shoulder line, not {front}" in told) is (longer_m > 0)

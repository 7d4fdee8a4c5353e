# SPDX-License-Identifier: GPL-3.0-or-later
"""The steps of both sheets can be followed in their order: nothing is told after it is too late."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from napfold.core.checks import State
from napfold.core.cli import FINE, WRONG_INPUT, main
from napfold.core.job import load_job
from napfold.core.lay import Extra
from napfold.core.making import turning
from napfold.core.paper import Line, Words
from napfold.core.pattern import Front
from napfold.core.sheets.flow import Heading, Paragraph, Step
from napfold.core.sheets.piece_templates import piece_drawings
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sheet_job import sheet_job
from napfold.core.units import parse_quantity

from .sample_steps import length_m, sample, steps


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
    assert length_m(plan["Snip the notches"], r"back hem, (.*?) to either side") == pytest.approx(
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
        assert check.told_remedy in block.text
        assert "cut." not in block.text
    assert not after[len(failed)].text.startswith(("Do not", "Before you"))
    assert main(["sheets", str(path), "--out", str(tmp_path / "out")]) == FINE
    said = capsys.readouterr()
    assert "Do not cut yet: head through the neck (too small)." in said.err
    assert "Do not cut" not in said.out


def written(tmp_path: Path, *changes: tuple[str, str], more: str = "") -> Path:
    """The closed job, lines of it changed."""
    text = CLOSED_TOML
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "changed.toml"
    path.write_text(text + more, encoding="utf-8")
    return path


def test_a_layer_is_cut_to_its_width_before_its_middle_is_measured(tmp_path: Path) -> None:
    plan = steps(cutting_plan(sheet_job(load_job(written(tmp_path))), "w"))
    titles = list(plan)
    apart = titles.index("Cut the layers apart, to their width")
    assert apart < titles.index("Mark the middle of each layer")
    assert "the allowances included: 148 cm." in plan[titles[apart]]
    assert "Trim the selvedge off" in plan[titles[apart]]
    assert "74 cm from either cut edge" in plan["Mark the middle of each layer"]


def test_seamed_pieces_have_each_its_own_width() -> None:
    sheet = sheet_job(sample("right over left", "larch_hut_options"))
    words = steps(cutting_plan(sheet, "w"))["Cut the layers apart, to their width"]
    for part in sheet.garment.mark.parts:
        left_m, right_m, _, _ = part.bounds_m
        assert sheet.tell.chosen(right_m - left_m) in words


def test_the_back_is_folded_under_so_that_pile_lies_on_pile(tmp_path: Path) -> None:
    for more in ("", 'back_longer = "8 cm"\n'):
        blocks = cutting_plan(sheet_job(load_job(written(tmp_path, more=more))), "w")
        fold = next(one for one in blocks if isinstance(one, Step) and one.title == "Fold")
        assert fold.lines[0].startswith("Fold the back half under, towards you")
        assert "wrong side up" in fold.lines[0]
        assert fold.picture is not None
        words = [mark.text for mark in fold.picture.marks if isinstance(mark, Words)]
        assert {"front on top, wrong side up", "pile inside"} <= set(words)
        # the arrow begins beyond the fold (higher on the paper), solid, and goes on dashed
        lines = [mark for mark in fold.picture.marks if isinstance(mark, Line)]
        dashed = next(one for one in lines if one.dashes_mm == (1.5, 1.0))
        solid = next(one for one in lines if one.width_mm == dashed.width_mm and not one.dashes_mm)
        assert solid.points[0][1] < dashed.points[0][1] < dashed.points[-1][1]


@pytest.mark.parametrize(
    ("more", "opened", "plies"),
    [
        ('back_longer = "8 cm"\n', True, "the back's alone"),
        ('hem_curve = "6 cm"\n', True, "the front's hem, then the back's"),
        ('hem_curve = "6 cm"\nback_longer = "8 cm"\n', True, "the front's hem, then the back's"),
        ('hem_curve = "6 cm"\nfront = "edge to edge"\n', True, "the front's hem, then the back's"),
    ],
)
def test_a_shaped_hem_is_cut_in_the_open_layer_one_ply_at_a_time(
    tmp_path: Path, more: str, opened: bool, plies: str
) -> None:
    path = written(tmp_path, ('front = "closed"\n', ""), more=more + (
        "" if "front" in more else 'front = "closed"\n'
    ))  # fmt: skip
    plan = steps(cutting_plan(sheet_job(load_job(path)), "w"))
    titles = list(plan)
    hem = titles.index("Mark and cut the hem")
    assert titles.index("Cut away the corners") < hem
    assert ("Open the layer out, wrong side up" in plan[titles[hem]]) is opened
    assert plies in plan[titles[hem]]
    longer = "through the longer back" in plan["Cut away the corners"]
    assert longer is ("back_longer" in more)
    assert "0 cm" not in re.findall(r"curve ends (\S+ \S+)", plan[titles[hem]])


def test_a_cuff_band_on_a_turned_back_sleeve_end_is_refused(tmp_path: Path, capsys) -> None:
    band = '[[lay.piece]]\nkind = "cuff band"\n'
    assert sheet_job(load_job(written(tmp_path, more=band))).extras
    path = written(tmp_path, more=f'cuff_depth = "6 cm"\n{band}')
    assert main(["sheets", str(path), "--out", str(tmp_path)]) == WRONG_INPUT
    said = capsys.readouterr().err
    assert "cuff_depth turns the sleeve end back" in said
    assert len(said.strip().splitlines()) == 1


def test_an_inch_job_is_told_in_inches(tmp_path: Path, capsys) -> None:
    inches = ('units = "cm"', 'units = "in"')
    plan = steps(cutting_plan(sheet_job(load_job(written(tmp_path, inches))), "w"))
    assert "every half yard" in plan["Wash, square, mark the nap"]
    metric = steps(cutting_plan(sheet_job(load_job(written(tmp_path))), "w"))
    assert "every half metre" in metric["Wash, square, mark the nap"]
    path = written(tmp_path, inches, ('"148 cm"', '"70 in"'))
    assert main(["sheets", str(path), "--out", str(tmp_path)]) == WRONG_INPUT
    said = capsys.readouterr().err
    assert "cut.cloth_width is 70 in; allowed: " in said
    assert " cm" not in said


def test_cloth_in_hand_that_makes_no_wrap_is_told_as_it_was_written(tmp_path, capsys) -> None:
    inches = ('units = "cm"', 'units = "in"')
    path = written(tmp_path, inches, more='[lay]\nin_hand = ["0.6 yd"]\n')
    assert main(["sheets", str(path), "--out", str(tmp_path)]) == WRONG_INPUT
    said = capsys.readouterr().err
    assert "lay.in_hand is 0.6 yd; allowed: " in said
    least = re.search(r"allowed: (.*?) and more, .* this cut is (.*?) long", said)
    assert least is not None
    # both layers out of one cloth: two of the shortest wraps and what the wash takes
    needed_m, wrap_m = (parse_quantity("length", "said", words) for words in least.groups())
    assert 2 * wrap_m <= needed_m < 2.3 * wrap_m
    enough = written(tmp_path, inches, more=f'[lay]\nin_hand = ["{needed_m + 0.01:.3f} m"]\n')
    text = cutting_plan(sheet_job(load_job(enough)), "w")
    assert any(getattr(one, "text", "").startswith("The longest wrap") for one in text)


def test_the_nap_is_told_for_both_halves(tmp_path: Path) -> None:
    words = steps(cutting_plan(sheet_job(load_job(written(tmp_path))), "w"))
    assert "down in front and up behind" in words["Wash, square, mark the nap"]


def test_words_of_other_wraps_are_left_out(tmp_path: Path) -> None:
    closed = sheet_job(load_job(written(tmp_path, more='[[lay.piece]]\nkind = "hood"\n')))
    for blocks in (cutting_plan(closed, "w"), sewing_order(closed, "w")):
        assert not any("at the fronts" in getattr(one, "text", "") for one in blocks)
    sewn = steps(sewing_order(closed, "w"))
    # the neck, with its hood, is no edge
    assert "topstitch hem and sleeve ends" in sewn["Hold the edges"]
    assert "both front edges" not in sewn["Make the hood"]
    assert "shoulder folds and" in sewn["Close the sleeve ends"]
    seamed = steps(sewing_order(sheet_job(sample("right over left", "larch_hut_options")), "w"))
    sides = seamed["Outer layer: sew both underarm and side seams"]
    assert sides.startswith("Front on back, right sides together")
    assert "shoulder seams" in seamed["Close the sleeve ends"]
    for words in (*sewn.values(), *seamed.values()):
        assert "folds or seams" not in words


def test_a_flared_side_is_measured_where_its_seam_ends() -> None:
    sheet = sheet_job(sample("rounded", "larch_hut_options"))
    words = steps(cutting_plan(sheet, "w"))["Mark sides and underarms"]
    (end_x, end_v), *_ = (
        piece.start for piece in sheet.garment.mark.parts[0].cut["underarm_front_left"]
    )
    assert -end_v < sheet.job.cut.front_m - 0.05  # well above the edge of the cloth
    chosen = sheet.tell.chosen
    assert f"{chosen(-end_v)} from the fold measure {chosen(end_x)} from the centre" in words


def test_pieces_beside_the_layers_are_cut_out_before_the_cloth_is_cut_across() -> None:
    sheet = sheet_job(sample("right over left", "larch_hut_options"))
    bolt = sheet.lay.bolts[0]
    belt = next(piece.box for piece in bolt.whole if piece.name == "tie belt")
    fronts_m = min(piece.box.top_m for piece in bolt.whole if piece.name.startswith("outer"))
    assert belt.y_m < fronts_m < belt.top_m
    words = steps(cutting_plan(sheet, "w"))["Cut the layers apart, to their width"]
    assert words.index("Trim the selvedge") < words.index("cut out 2 x tie belt")
    assert words.index("cut out 2 x tie belt") < words.index("cut straight across")
    # the pockets come out of corners, nothing else is left to be cut
    told = steps(cutting_plan(sheet, "w"))
    assert "2 x patch pocket" in told["Chalk the small pieces into the corners"]
    assert "Cut the small pieces" not in told
    rounded = sheet_job(sample("rounded", "larch_hut_options"))
    plain = steps(cutting_plan(rounded, "w"))["Cut the layers apart, to their width"]
    assert "Before you cut the cloth across" not in plain


def test_only_a_piece_whose_halves_differ_is_cut_as_a_mirrored_pair() -> None:
    for job, words in (("right over left", False), ("over the head", True)):
        sheet = sheet_job(sample(job, "larch_hut_options"))
        told = " ".join(
            text.words
            for drawing in piece_drawings(sheet.extras, sheet.job.allowances)
            for text in drawing.texts
        )
        assert "the arrow with the nap" in told
        assert ("mirrored" in told) is words


def test_a_closed_neck_is_matched_where_it_has_notches(tmp_path: Path) -> None:
    for neck, folds in (("", True), ('neck = "high back"\n', False)):
        sheet = sheet_job(load_job(written(tmp_path, more=neck)))
        (part,) = sheet.garment.mark.parts
        middle = [notch for notch in part.notches if notch.name == "centre front"]
        assert [notch.at[0] for notch in middle] == [0.0, 0.0]
        # one on the hem's edge, one on the neck's cut line, an allowance inside the sewn neck
        low_v, high_v = sorted(notch.at[1] for notch in middle)
        cut, allowances = sheet.job.cut, sheet.job.allowances
        assert low_v == pytest.approx(-cut.front_m)
        assert high_v == pytest.approx(allowances.neck_m - cut.neck_front_depth_m, abs=1e-4)
        plan, sewn = (steps(one(sheet, "w")) for one in (cutting_plan, sewing_order))
        assert "centre front at neck and hem" in plan["Snip the notches"]
        assert ("the fold at both sides of the neck" in plan["Snip the notches"]) is folds
        together = sewn["Put the necks together, right sides facing"]
        assert "centre front, centre back" in together
        assert ("shoulder folds at the neck" in together) is folds


def test_a_neck_is_snipped_into_its_corners_where_it_has_some(tmp_path: Path) -> None:
    for neck, cornered in (("round", False), ("oval", False), ("V", True), ("high back", True)):
        sheet = sheet_job(load_job(written(tmp_path, more=f'neck = "{neck}"\n')))
        chain = sheet.garment.mark.stitch["neck"]
        turns = [
            abs(float(np.cross(before.directions[1], after.directions[0])))
            for before, after in zip(chain, (*chain[1:], chain[0]), strict=True)
        ]
        assert (max(turns) > 0.1) is cornered
        assert ("into each corner" in steps(sewing_order(sheet, "w"))["Trim"]) is cornered


def test_a_side_split_is_measured_from_the_edge_and_shorter_when_sewn() -> None:
    sheet = sheet_job(sample("over the head", "larch_hut_options"))
    plan = steps(cutting_plan(sheet, "w"))["Cut away the corners"]
    notch = next(
        notch for notch in sheet.garment.mark.parts[0].notches if "left open" in notch.name
    )
    depth_m = length_m(plan, r"stay open, (.*?) from the edge of the cloth")
    assert sheet.job.cut.front_m - abs(notch.at[1]) == pytest.approx(depth_m, abs=1e-3)
    sewn_m = length_m(plan, r"\((\S+ cm) long when the hem is sewn")
    assert depth_m - sewn_m == pytest.approx(sheet.job.allowances.hem_m, abs=1e-3)


def test_what_is_needed_on_the_right_side_is_thread_marked(tmp_path: Path) -> None:
    cuffed = sheet_job(sample("over the head", "larch_hut_options"))
    told = steps(sewing_order(cuffed, "w"))
    assert "a thread mark" in steps(cutting_plan(cuffed, "w"))["Mark the cuffs"]
    assert "thread-marked line" in told["Turn back the cuffs"]
    plain = steps(sewing_order(sheet_job(load_job(written(tmp_path))), "w"))
    assert "hread-mark" not in " ".join(plain.values())
    pocket = written(tmp_path, more='[[lay.piece]]\nkind = "patch pocket"\n')
    assert (
        "thread-mark" in steps(sewing_order(sheet_job(load_job(pocket)), "w"))["Sew the pockets on"]
    )


def test_a_width_without_selvedges_is_told_where_none_is_stated() -> None:
    job = sample("one and a half yards, heavy pile")
    for selvedge_m, told in ((0.0, True), (0.002, False)):
        sheet = sheet_job(replace(job, lay=replace(job.lay, selvedge_m=selvedge_m)))
        words = steps(cutting_plan(sheet, "w"))["Cut the layers apart, to their width"]
        assert ("No selvedge is stated" in words) is told


def test_pieces_that_are_cut_later_are_chalked_before_the_cloth_is_cut_across() -> None:
    job = sample("one and a half yards, heavy pile")
    # too large for a corner: it lies behind the layers
    scarf = Extra(name="scarf", width_m=0.5, length_m=0.6)
    sheet = sheet_job(replace(job, lay=replace(job.lay, extras=(scarf,))))
    told = steps(cutting_plan(sheet, "w"))
    later = re.search(r"with the nap: (.+?)\. Those", told["Cut the small pieces"])
    assert later is not None
    words = told["Cut the layers apart, to their width"]
    assert words.index(f"what is cut out later: {later[1]}.") < words.index("cut straight across")

# SPDX-License-Identifier: GPL-3.0-or-later
"""The steps of both sheets can be followed in their order: nothing is told after it is too late."""

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from napfold.core.checks import State
from napfold.core.cli import FINE, WRONG_INPUT, main
from napfold.core.cloth import Print
from napfold.core.job import Job, load_job
from napfold.core.lay import Extra, Kind
from napfold.core.making import turning
from napfold.core.nap import NapDown
from napfold.core.paper import Line, Words
from napfold.core.pattern import Front, Neck
from napfold.core.sheets.fastening import ABOVE_HEM_M, fastening
from napfold.core.sheets.flow import Heading, Paragraph, Step
from napfold.core.sheets.piece_templates import piece_drawings
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sheet_job import sheet_job
from napfold.core.sheets.supplies import supplies
from napfold.core.sheets.templates import hem_drawings, neck_drawings
from napfold.core.telling import Telling
from napfold.core.units import parse_quantity

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"


def sample(variant: str, job: str = "larch_hut") -> Job:
    return dict(load_job(JOBS / f"{job}.toml").expand())[variant]


def steps(blocks) -> dict[str, str]:
    """Title and words of each step, in their order."""
    return {one.title: " ".join(one.lines) for one in blocks if isinstance(one, Step)}


def length_m(words: str, pattern: str) -> float:
    found = re.search(pattern, words)
    assert found is not None, words
    return parse_quantity("length", "found", found[1])


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


def options_job(**changes) -> Job:
    """A wrap whose fronts overlap, on shoulders that slope, with splits, cuffs, pockets and a hood."""
    job = sample("right over left", "larch_hut_options")
    cut = replace(
        job.cut,
        side_split_m=0.18,
        wrist_opening_m=0.38,
        cuff_depth_m=0.07,
        **changes,
    )
    pieces = (Extra(name="hood", kind=Kind.HOOD, count=2), *job.lay.extras)
    return replace(job, cut=cut, lay=replace(job.lay, extras=pieces))


def test_the_nap_is_chosen_before_anything_is_chalked_on_the_back() -> None:
    told = steps(cutting_plan(sheet_job(options_job()), "w"))
    titles = list(told)
    turned = titles.index("Choose how the nap runs on the other half")
    assert titles.index("Cut the layers apart, to their width") < turned
    assert turned < titles.index("Chalk the small pieces into the corners")
    assert turned < titles.index("Mark shoulder line and centre line")
    ends = [title for title, words in told.items() if "end for end on the table now" in words]
    assert ends == [titles[turned]]
    # a layer on the fold has no half that could be turned
    plain = steps(cutting_plan(sheet_job(sample("rounded", "larch_hut_options")), "w"))
    assert titles[turned] not in plain


def test_plies_are_told_in_one_way() -> None:
    blocks = cutting_plan(sheet_job(options_job()), "w")
    (rule,) = [
        one.text for one in blocks if isinstance(one, Paragraph) and one.text.startswith("How many")
    ]
    assert "one ply at a time" in rule
    assert "two like pieces" not in rule
    words = " ".join(steps(blocks).values())
    assert "both plies" not in words
    assert "through two plies" not in words


def test_at_the_top_of_a_split_two_rows_meet_and_nothing_is_snipped() -> None:
    told = steps(sewing_order(sheet_job(options_job()), "w"))
    split = told["At the side splits"]
    assert "Nothing is snipped at the top" in split
    assert "not beyond" in split
    assert "Part the allowances" in told["Put the layers together, right sides facing"]
    assert "opposite ways" in told["Put the layers together, right sides facing"]
    assert "begins anew" in told["Sew neck, fronts and hem as one ring"]


@pytest.mark.parametrize("units", ["in", "cm"])
def test_hooks_lie_where_the_fronts_meet(units: str) -> None:
    job = replace(options_job(), units=units)
    sheet = sheet_job(job)
    told = steps(sewing_order(sheet, "w"))["Lay the fronts over one another"]
    number = r"([\d/. ]+? (?:cm|in))"
    inside_m = length_m(told, f"right front, {number} from its edge")
    eye_m = length_m(told, f"left front, {number} from its edge")
    # the upper edge lies an overlap from the lower one, the hook inside it
    assert inside_m + eye_m == pytest.approx(job.cut.front_overlap_m, abs=0.0017)
    assert length_m(told, f"each front, {number} from its sewn edge") == pytest.approx(
        job.cut.overlap_half_m, abs=0.0017
    )
    first_m, step_m = (
        length_m(told, pattern) for pattern in (f"first {number} under", f"each {number} under")
    )
    count = int(re.search(r"(\d+) of them", told)[1])
    corner_m = max(-end[1] for piece in sheet.garment.mark.stitch["front_left"] for end in
                   (piece.start, piece.end) if -end[1] < 0.4)  # fmt: skip
    last_m = corner_m + first_m + (count - 1) * step_m
    waist_m = sheet.measures.value("side_neck_point_height") - sheet.measures.value("waist_height")
    # down to the waist, or a hand's length on where the neck ends there, and above the hem
    assert last_m >= waist_m - 0.01
    assert last_m <= job.cut.side_end_m - ABOVE_HEM_M + 1e-9
    assert step_m <= 0.16
    assert f"{count} hooks with eyes" in " ".join(supplies((sheet,)))


@pytest.mark.parametrize("units", ["in", "cm"])
@pytest.mark.parametrize("neck", [Neck.ROUND, Neck.V])
@pytest.mark.parametrize("hundredths", range(80, 125, 3))
def test_no_hook_of_a_short_wrap_lies_past_its_limit(
    units: str, neck: Neck, hundredths: int
) -> None:
    job = replace(options_job(), units=units)
    cut = replace(
        job.cut,
        neck=neck,
        length_m=hundredths / 100,
        sleeve_drop_m=0.22,
        front_overlap_m=0.06,
        neck_front_depth_m=0.16,
        **dict.fromkeys(
            ("back_longer_m", "hem_curve_m", "side_split_m", "side_flare_m", "cuff_depth_m"), 0.0
        ),
    )
    hooks = fastening(sheet_job(replace(job, cut=cut)))
    assert len(set(hooks.depths_m)) == hooks.count
    # 10 cm above the hem, or the one hook right under the corner that is lower
    lowest_m = max(cut.side_end_m - ABOVE_HEM_M, hooks.depths_m[0])
    assert hooks.depths_m[-1] <= lowest_m + 1e-9
    # the step is told exactly, so the hooks lie as they are told
    assert hooks.step_m == pytest.approx(Telling(units).halvable_m(hooks.step_m))


def test_a_cuff_on_a_sloping_sleeve_is_told_where_its_seams_come_to_lie() -> None:
    sheet = sheet_job(options_job())
    cut = sheet.job.cut
    told = steps(sewing_order(sheet, "w"))["Turn back the cuffs"]
    below_m = length_m(told, r"by ([\d.]+ cm) at the cuff")
    # folded on an upright line: two cuffs' depths along a shoulder that falls so much a metre
    slope = cut.shoulder_drop_m / (cut.wrist_m - cut.neck_width_m / 2)
    assert below_m == pytest.approx(2 * cut.cuff_depth_m * slope, abs=0.0006)
    level = sheet_job(sample("over the head", "larch_hut_options"))
    assert "slopes" not in steps(sewing_order(level, "w"))["Turn back the cuffs"]


def test_the_hood_is_folded_on_the_line_that_is_drawn_and_its_edge_is_named() -> None:
    sheet = sheet_job(options_job())
    told = steps(sewing_order(sheet, "w"))["Make the hood"]
    assert "on the line of dashes and dots" in told
    assert "the hood's lower edge, the one with the notches" in told
    hood = next(one for one in sheet.extras if one.kind is Kind.HOOD)
    (drawing,) = piece_drawings((hood,), sheet.job.allowances)
    (fold,) = [one for one in drawing.paths if one.name == "face fold"]
    # a line of dashes and dots is what this layer is drawn with
    assert fold.layer == "GRAIN"


@pytest.mark.parametrize("variant", ["right over left", "rounded"])
def test_neck_templates_say_on_which_side_the_cloth_lies(variant: str) -> None:
    job = sample(variant, "larch_hut_options")
    line = sheet_job(job).garment.mark
    for drawing in neck_drawings(job.cut, job.allowances, line):
        words = " ".join(text.words for text in drawing.texts)
        if job.cut.seamed:
            assert "The cloth lies on this side." in words
        else:
            assert "BACK above the fold line" in words


def test_an_upright_print_on_pieces_of_their_own_hangs_by_how_the_back_is_turned() -> None:
    fern = Print(kind="fern", repeat_m=0.2)
    job = sample("right over left", "larch_hut_options")
    job = replace(
        job, outer=replace(job.outer, print=fern), cut=replace(job.cut, nap=NapDown.IN_FRONT)
    )
    told = steps(cutting_plan(sheet_job(job), "w"))
    (turning_step,) = [title for title in told if title.startswith("Choose how the nap")]
    words = told["Wash, square, mark the nap"]
    assert f'unless you turn the back (see "{turning_step}")' in words
    assert "folded over the shoulders" not in words
    behind = replace(job, cut=replace(job.cut, nap=NapDown.BEHIND))
    words = steps(cutting_plan(sheet_job(behind), "w"))["Wash, square, mark the nap"]
    assert "Leave the fronts as they lie" in words
    assert "unless you turn" not in words


def test_where_a_round_neck_leaves_its_arc_is_told() -> None:
    cut = replace(
        sample("one and a half yards, heavy pile").cut,
        neck=Neck.ROUND,
        neck_width_m=0.20,
        neck_front_depth_m=0.10,
    )
    job = replace(sample("one and a half yards, heavy pile"), cut=cut, units="cm")
    job = replace(job, allowances=replace(job.allowances, neck_m=0.015))
    words = steps(cutting_plan(sheet_job(job), "w"))["Cut the neck"]
    # the back's flat curve comes in over the front's circle of 8.5 cm before the fold
    off_m = length_m(words, r"up to ([\d.]+ cm) before the fold")
    out_m = length_m(words, r"before the fold and ([\d.]+ cm) from the centre line")
    assert 0.001 < off_m < 0.006
    assert math.hypot(out_m, off_m) == pytest.approx(0.085, abs=0.001)
    assert length_m(words, r"runs in to ([\d.]+ cm)") < out_m - 0.003


def test_a_hem_template_turned_over_serves_the_other_front() -> None:
    cut = replace(sample("right over left", "larch_hut_options").cut, hem_curve_m=0.04)
    job = replace(sample("right over left", "larch_hut_options"), cut=cut)
    sheet = sheet_job(job)
    words = steps(cutting_plan(sheet, "w"))["Mark and cut the hem"]
    assert "for the other half of the back and for the other front" in words
    # from the centre line to the inner edge
    hem = sheet.garment.mark.parts[1].cut["hem_front_left"]
    beyond = [end[1] for piece in hem for end in (piece.start, piece.end) if end[0] < 1e-9]
    assert max(beyond) - min(beyond) < 1e-9
    assert "straight from the centre line to the inner edge" in words
    (drawing,) = hem_drawings(job.cut, sheet.garment.mark)
    told = {text.words: text.at for text in drawing.texts}
    side_x = max(end[0] for piece in hem for end in (piece.start, piece.end))
    assert told["side seam"][0] == pytest.approx(side_x, abs=0.03)
    assert told["The cloth lies on this side of the line."][1] > min(beyond)
    assert "other front" in " ".join(drawing.notes)


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

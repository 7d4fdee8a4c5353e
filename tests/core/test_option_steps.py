# SPDX-License-Identifier: GPL-3.0-or-later
"""The steps of wraps with options can be followed: hooks, splits, cuffs, hoods, necks and hems."""

import math
import re
from dataclasses import replace

import pytest
from napfold.core.cloth import Print
from napfold.core.job import Job
from napfold.core.lay import Extra, Kind
from napfold.core.nap import NapDown
from napfold.core.pattern import Neck
from napfold.core.sheets.fastening import ABOVE_HEM_M, fastening
from napfold.core.sheets.flow import Paragraph
from napfold.core.sheets.piece_templates import piece_drawings
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sheet_job import sheet_job
from napfold.core.sheets.supplies import supplies
from napfold.core.sheets.templates import hem_drawings, neck_drawings
from napfold.core.telling import Telling

from .sample_steps import length_m, sample, steps


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

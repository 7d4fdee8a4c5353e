# SPDX-License-Identifier: GPL-3.0-or-later
"""The nap: one choice, what the page says of it, and what another way would cost in cloth."""

import math
import re
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from napfold.core.cloth import library
from napfold.core.cut_line import Allowances
from napfold.core.lay import LayChoice
from napfold.core.nap import NapDown
from napfold.core.nap_remedies import crosswise, has_nap, shoulder_seam
from napfold.core.pattern import Cut, build_pattern
from napfold.core.report_nap import nap_told
from napfold.core.telling import Telling

CUT = Cut(cloth_width_m=1.48, length_m=1.40, body_width_m=0.66, sleeve_drop_m=0.22)


def test_one_length_runs_down_one_half_and_up_the_other() -> None:
    for nap in NapDown:
        assert math.hypot(*nap.stroke) == 1.0
        assert {nap.runs("front"), nap.runs("back")} == {"down", "up"}
    assert NapDown.IN_FRONT.runs("front") == "down"
    assert NapDown.BEHIND.stroke == tuple(-part for part in NapDown.IN_FRONT.stroke)


def test_a_seam_on_the_shoulders_takes_two_allowances_of_every_layer() -> None:
    allowances = Allowances(underarm_m=0.015)
    seam = shoulder_seam(CUT, allowances)
    assert seam.more_length_m == pytest.approx(0.030)
    # on the fold the pattern reaches from the neck's edge to the sleeve end, left and right
    edges = build_pattern(CUT).edges
    neck_m = {abs(piece.end[0]) for piece in edges["neck"].pieces if piece.end[1] == 0}
    wrist_m = {
        abs(x) for piece in edges["sleeve_end_left"].pieces for x, v in [piece.end] if v == 0
    }
    assert len(neck_m) == len(wrist_m) == 1
    assert seam.seam_m == pytest.approx(2 * (wrist_m.pop() - neck_m.pop()))


def test_laid_crosswise_width_and_length_change_roles() -> None:
    laid = crosswise(CUT)
    assert (laid.width_needed_m, laid.length_m) == (CUT.length_m, CUT.cloth_width_m)
    assert laid.more_length_m == pytest.approx(0.08)
    assert crosswise(replace(CUT, length_m=1.6)).more_length_m == pytest.approx(-0.12)


def test_fleece_has_no_nap_and_plush_has() -> None:
    napped = {name for name, cloth in library().items() if has_nap(cloth)}
    assert {"light plush", "velour knit", "long pile"} <= napped
    assert not {"medium fleece", "curly pile", "denim"} & napped


@pytest.fixture
def outcome() -> Any:
    plush = replace(library()["light plush"], price_per_m=12.0, shrinkage_across=0.0)
    return SimpleNamespace(
        heading="One",
        cut=CUT,
        allowances=Allowances(),
        lay=LayChoice(),
        outer_cloth=plush,
        lining_cloth=plush,
    )


def told(*outcomes: Any) -> str:
    return re.sub("<[^>]*>", " ", " ".join(nap_told(outcomes, Telling("cm"))))


def test_the_page_says_which_half_runs_up_and_what_another_way_costs(outcome: Any) -> None:
    words = told(outcome)
    assert "down the front and up the back" in words
    assert "on its head" in words
    # 2 x 12.7 mm of both cloths at 12 a metre
    assert "2.5 cm more length of each cloth for the two allowances (0.61 for both)" in words
    assert "130.0 cm of seam" in words or "130 cm of seam" in words
    assert "the bolt must be 140 cm wide at least" in words
    assert "light plush: 150 cm after the wash, an estimate: enough" in words
    assert "8 cm more of each cloth (1.92 for both)" in words
    behind = told(_with(outcome, cut=replace(CUT, nap=NapDown.BEHIND)))
    assert "down the back and up the front" in behind
    longer = told(_with(outcome, cut=replace(CUT, length_m=1.6)))
    assert ": too narrow" in longer
    assert "12 cm less of each cloth" in longer


def test_without_nap_only_the_print_is_told_of(outcome: Any) -> None:
    fleece = library()["medium fleece"]
    words = told(_with(outcome, outer_cloth=fleece, lining_cloth=fleece))
    assert "Neither cloth has a nap" in words
    assert "on its head" in words
    assert "seam on the shoulders" not in words


def test_variants_alike_are_told_once(outcome: Any) -> None:
    twice = told(outcome, _with(outcome, heading="Two"))
    assert twice.count("Laid crosswise") == 1
    wide = replace(library()["long pile"], bolt_width_m=1.0)
    both = told(outcome, _with(outcome, heading="Two", outer_cloth=wide))
    assert both.count("Laid crosswise") == 1
    assert "long pile: 99 cm after the wash, an estimate: too narrow" in both
    other = told(outcome, _with(outcome, heading="Two", cut=replace(CUT, nap=NapDown.BEHIND)))
    assert other.count("Laid crosswise") == 2
    assert "Two" in other


def _with(outcome: Any, **changed: Any) -> Any:
    return SimpleNamespace(**(vars(outcome) | changed))

# SPDX-License-Identifier: GPL-3.0-or-later
"""Neck templates: laid as they are told they give the cut neck, and a ruler on them finds what is told."""

import math
import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from napfold.core.cut_line import Allowances, build_cut_line
from napfold.core.paper import text_width_mm
from napfold.core.pattern import Front, Neck, build_pattern
from napfold.core.sheets.drawing import Drawing, points_mm
from napfold.core.sheets.sheet_job import sheet_job
from napfold.core.sheets.templates import neck_drawings
from napfold.core.units import parse_quantity

from .option_sheets import sheet_of, step_of
from .options import CUTS


@pytest.mark.parametrize("name", ["seamed", "overlapping V", "nearly all", "sloped"])
def test_words_on_neck_templates_are_read_downwards(name: str) -> None:
    sheet = sheet_of(name)
    for drawing in neck_drawings(sheet.job.cut, sheet.job.allowances, sheet.garment.mark):
        first, *more = (text for text in drawing.texts if text.words != "shoulder line")
        assert first.words.startswith(("Cloth wrong side up", "Lay the marked line"))
        heights = [text.at[1] for text in (first, *more)]
        assert heights == sorted(heights, reverse=True)


@pytest.mark.parametrize("name", [name for name, cut in CUTS.items() if cut.seamed])
def test_no_line_is_cut_through_the_words_of_a_neck_template(name: str) -> None:
    sheet = sheet_of(name)
    for drawing in neck_drawings(sheet.job.cut, sheet.job.allowances, sheet.garment.mark):
        cuts = [points_mm(path.pieces) for path in drawing.paths if path.layer == "CUT"]
        for text in drawing.texts:
            left, foot = (1000 * value for value in text.at)
            right = left + text_width_mm(text.words, text.size_mm)
            for x, y in (
                ((1 - share) * a[0] + share * b[0], (1 - share) * a[1] + share * b[1])
                for chain in cuts
                for a, b in pairwise(chain)
                for share in (k / 50 for k in range(51))
            ):
                assert not (left < x < right and foot - 0.5 < y < foot + text.size_mm), text.words


@pytest.mark.parametrize("name", [name for name, cut in CUTS.items() if cut.seamed])
def test_a_front_neck_template_laid_as_told_gives_the_cut_front_in_both_layers(name: str) -> None:
    sheet = sheet_of(name)
    fronts = [part for part in sheet.garment.mark.parts if part.name.startswith("front ")]
    if not fronts:
        assert sheet.job.cut.front is Front.CLOSED
        return
    _, template = neck_drawings(sheet.job.cut, sheet.job.allowances, sheet.garment.mark)
    words = " ".join(text.words for text in template.texts)
    assert "hem near you: printed side up on the front whose sleeve points right" in words
    assert "printed side up on the front whose sleeve points right" in " ".join(
        step_of(sheet, "Cut the necks").lines
    )
    printed = points_mm(
        tuple(piece for path in template.paths if path.name == "neck" for piece in path.pieces)[
            : len(fronts[0].neck)
        ]
    )
    ways = set()
    for part in fronts:
        # a pattern shows the outer layer's right side: wrong side up it lies mirrored; the lining's
        # right side is turned to the body, so that it lies as the pattern shows it
        for layer, lies in (("outer", -1), ("lining", 1)):
            neck = [(lies * x, v) for x, v in points_mm(part.neck)]
            sleeve = max((lies * x for x, _ in points_mm(part.outline)), key=abs)
            laid = printed if sleeve > 0 else [(-x, v) for x, v in printed]
            far = max(min(math.dist(a, b) for b in neck) for a in laid)
            assert far < 0.01, (layer, part.name)
            ways.add((layer, sleeve > 0))
    assert len(ways) == 4


NUMBER = r"([\d./ ]+(?:cm|in))"


def crossings(drawing: Drawing, axis: int, place_m: float = 0.0) -> list[float]:
    """Where the neck's cut line on a template crosses a line: the other coordinate, metres."""
    (path,) = [one for one in drawing.paths if one.layer == "CUT" and one.name == "neck"]
    points = np.concatenate([piece.place(np.linspace(0, 1, 400)) for piece in path.pieces])
    off = points[:, axis] - place_m
    at = np.flatnonzero((off[:-1] <= 0) != (off[1:] <= 0))
    share = off[at] / (off[at] - off[at + 1])
    other = points[:, 1 - axis]
    return list(other[at] + share * (other[at + 1] - other[at]))


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("name", CUTS)
def test_a_ruler_on_the_neck_templates_finds_what_is_told(name: str, units: str) -> None:
    sheet = sheet_job(replace(sheet_of(name).job, units=units))
    cut, allowances, line = sheet.job.cut, sheet.job.allowances, sheet.garment.mark
    text = " ".join(step_of(sheet, "Cut the neck").lines)
    near_m = {"cm": 0.0006, "in": 0.0017}[units]

    def told(pattern: str) -> list[float]:
        found = re.search(pattern.replace("#", NUMBER), text)
        assert found is not None, (pattern, text)
        return [parse_quantity("length", "told", words) for words in found.groups()]

    drawings = neck_drawings(cut, allowances, line)
    if not cut.seamed:
        (whole,) = drawings
        across = crossings(whole, 1)
        if cut.neck is Neck.HIGH_BACK:
            (half_m,) = told("each upper corner of the cut line lies # from the centre line")
            (path,) = [one for one in whole.paths if one.layer == "CUT" and one.name == "neck"]
            right_m = max(piece.start[0] for piece in path.pieces)
        else:
            (half_m,) = told("along the fold the cut line lies # from the centre line")
            right_m = max(across)
        assert half_m == pytest.approx(right_m, abs=near_m)
        (front_m,) = told("on the centre line it lies # from the fold in front")
        assert front_m == pytest.approx(-min(crossings(whole, 0)), abs=near_m)
        return
    back, front = drawings
    behind = re.search(f"Back: .*?along the centre line {NUMBER} (behind|before)", text)
    assert behind is not None
    middle_m = middle_of(back)
    assert (middle_m > 0) == (behind[2] == "behind")
    assert parse_quantity("length", "told", behind[1]) == pytest.approx(abs(middle_m), abs=near_m)
    for half, drawing in (("Back", back), ("Front", front)):
        across = crossings(drawing, 1)
        if across:
            (across_m,) = told(f"{half}: along the shoulder line it is # from the centre line")
            assert across_m == pytest.approx(max(across), abs=near_m)
        else:
            assert f"{half}: along the shoulder line" not in text
    (deep_m,) = told("Front: .*?along the centre line # from the shoulder line to the cut")
    assert deep_m == pytest.approx(-middle_of(front), abs=near_m)
    if cut.overlap_half_m:
        (edge_m,) = told("along the inner edge # from the shoulder line to the cut line")
        (path,) = [one for one in front.paths if one.layer == "CUT" and one.name == "neck"]
        inner = min((piece.start, piece.end)[one] for piece in path.pieces for one in (0, 1))
        assert edge_m == pytest.approx(-inner[1], abs=near_m)


def middle_of(drawing: Drawing) -> float:
    """Where the neck's cut line on a template of a part meets the centre line, metres."""
    (path,) = [one for one in drawing.paths if one.layer == "CUT" and one.name == "neck"]
    ends = [end for piece in path.pieces for end in (piece.start, piece.end)]
    on_line = [v for x, v in ends if abs(x) < 1e-6]
    return on_line[0] if on_line else crossings(drawing, 0)[0]


@pytest.mark.parametrize("name", CUTS)
def test_a_neck_that_is_an_arc_is_told_with_its_radius(name: str) -> None:
    sheet = sheet_of(name)
    cut = sheet.job.cut
    text = " ".join(step_of(sheet, "Cut the neck").lines)
    radius = re.search(f"In front it is an arc with a radius of {NUMBER}", text)
    is_circle = cut.neck in (Neck.ROUND, Neck.HIGH_BACK) and (
        cut.neck_front_depth_m == cut.neck_width_m / 2
    )
    assert (radius is not None) == is_circle
    if radius is not None:
        told_m = parse_quantity("length", "told", radius[1])
        for x, v in (piece.start for piece in sheet.garment.neck.neck):
            if v < -0.02:
                assert math.hypot(x, v) == pytest.approx(told_m, abs=0.0006)


def test_every_notch_of_a_neck_template_lies_on_a_line_that_is_drawn() -> None:
    cut = replace(
        CUTS["overlapping V"], neck_front_depth_m=0.23, shoulder_drop_m=0.05, cloth_width_m=1.40
    )
    line = build_cut_line(build_pattern(cut), Allowances())
    for drawing in neck_drawings(cut, Allowances(), line):
        drawn = np.concatenate(
            [
                piece.place(np.linspace(0, 1, 2001))
                for path in drawing.paths
                if path.layer == "CUT"
                for piece in path.pieces
            ]
        )
        notches = [path.pieces[0] for path in drawing.paths if path.layer == "NOTCH"]
        assert notches
        for notch in notches:
            ends = np.array([notch.start, notch.end])
            away_m = np.hypot(*(drawn[:, None] - ends[None]).T).min()
            assert away_m < 1e-3

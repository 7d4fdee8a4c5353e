# SPDX-License-Identifier: GPL-3.0-or-later
"""Whoever lays the pieces by the printed numbers alone finds room for every one of them."""

import math
import re
from dataclasses import replace
from functools import lru_cache
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
from napfold.core.job import load_job
from napfold.core.lay import Extra, Kind, Layer, Nap, sized
from napfold.core.paper import Line, Words
from napfold.core.sheets.clear_words import box_of
from napfold.core.sheets.flow import Picture, Rows, Step
from napfold.core.sheets.lay_picture import bolt_picture
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sheet_job import SheetJob, sheet_job
from napfold.core.units import parse_quantity

from .options import CUTS

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"
GAP_M = {"cm": 0.003, "in": 0.003175}
ODD = (
    Extra(name="odd", width_m=0.1234, length_m=0.0987, count=3, layer="lining", any_grain=True),
    Extra(name="long", width_m=0.3337, length_m=0.8111),
)
Rect = tuple[float, float, float, float]


@lru_cache
def sheet_of(name: str, units: str) -> SheetJob:
    plain = load_job(JOBS / "larch_hut_options.toml").expand()[0][1]
    bare = replace(plain, cut=CUTS[name], lay=replace(plain.lay, extras=()), units=units)
    pieces = (
        Extra(name="patch pocket", kind=Kind.POCKET, count=2),
        Extra(name="hood", kind=Kind.HOOD, count=2),
    )
    measures = sheet_job(bare).measures
    pieces = tuple(sized(one, bare.cut, bare.allowances, measures) for one in pieces)
    lay = replace(bare.lay, extras=(*pieces, *ODD), nap=Nap.EITHER_WAY)
    return sheet_job(replace(bare, lay=lay))


def printed(sheet: SheetJob) -> list[tuple[str, Rect, str]]:
    """Name, place and size of each piece (across, along, wide, long) and what it is cut from."""
    found = []
    for table in cutting_plan(sheet, "w"):
        if isinstance(table, Rows) and table.head[0] == "piece" and table.head[1] == "wide":
            for row in table.rows:
                wide_m, long_m, along_m, across_m = (
                    parse_quantity("length", "told", cell) for cell in row[1:5]
                )
                from_corner = row[5] if len(row) > 5 else ""
                found.append((row[0], (across_m, along_m, wide_m, long_m), from_corner))
    return found


def apart_m(one: Rect, other: Rect) -> float:
    """The gap between two rectangles, below 0 where they overlap."""
    return max(
        max(one[axis], other[axis]) - min(one[axis] + one[axis + 2], other[axis] + other[axis + 2])
        for axis in (0, 1)
    )


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("name", CUTS)
def test_as_printed_nothing_overlaps_nor_leaves_its_cloth(name: str, units: str) -> None:
    sheet = sheet_of(name, units)
    rows = printed(sheet)
    gap_m = GAP_M[units] - 1e-9
    number = 0
    corners = 0
    for bolt in sheet.lay.bolts:
        own = rows[number : number + len(bolt.placed)]
        number += len(bolt.placed)
        on_cloth = []
        for piece, (told, rect, source) in zip(bolt.placed, own, strict=True):
            assert told.endswith(piece.name)
            assert min(rect[:2]) >= 0
            if source:
                corners += 1
                continue
            small = not isinstance(piece.source, Layer)
            assert rect[0] + rect[2] <= bolt.usable_width_m - small * gap_m + 1e-3 * (not small)
            assert rect[1] + rect[3] <= bolt.lying_m - small * gap_m + 1e-3 * (not small)
            on_cloth.append((rect, small))
        for (one, small), (other, other_small) in combinations(on_cloth, 2):
            assert apart_m(one, other) >= (gap_m if small or other_small else -1e-9)
        _check_corners(bolt, own, gap_m)
    assert number == len(rows)
    # most cuts have corners with room
    assert corners or name == "nearly all"


def _check_corners(bolt, own, gap_m: float) -> None:
    """Pieces in corners: inside the layer, apart from one another, outside its cut line."""
    layers = {id(piece.source): rect for piece, (_, rect, _) in zip(bolt.placed, own, strict=True)}
    inside = [
        (piece.corner_of, rect)
        for piece, (_, rect, source) in zip(bolt.placed, own, strict=True)
        if source
    ]
    for layer, rect in inside:
        _, _, wide_m, long_m = layers[id(layer)]
        assert min(rect[:2]) >= gap_m
        assert rect[0] + rect[2] <= wide_m - gap_m
        assert rect[1] + rect[3] <= long_m - gap_m
        left_m, right_m, low_m, high_m = layer.mark.bounds_m
        outline = np.concatenate(
            [piece.place(np.linspace(0, 1, 400)) for piece in layer.mark.outline]
        ) - ((left_m + right_m - wide_m) / 2, (low_m + high_m - long_m) / 2)
        x, y = outline.T
        hit = (x > rect[0]) & (x < rect[0] + rect[2]) & (y > rect[1]) & (y < rect[1] + rect[3])
        assert not hit.any()
    for (layer, one), (other_layer, other) in combinations(inside, 2):
        if layer is other_layer:
            assert apart_m(one, other) >= gap_m


@pytest.mark.parametrize("units", ["cm", "in"])
def test_the_told_cuts_across_are_the_ends_of_the_printed_layers(units: str) -> None:
    sheet = sheet_of("overlapping V", units)
    (step,) = (
        one
        for one in cutting_plan(sheet, "w")
        if isinstance(one, Step) and one.title.startswith("Cut the layers apart")
    )
    told = [
        [parse_quantity("length", "told", words) for words in found.split(", then ")]
        for found in re.findall(r"at ([\d/., thencmi]+?) from the left end", step.lines[1])
    ]
    rows, number = printed(sheet), 0
    for bolt, cuts_m in zip(sheet.lay.bolts, told, strict=True):
        own = rows[number : number + len(bolt.placed)]
        number += len(bolt.placed)
        ends_m = {
            round(rect[1] + rect[3], 6)
            for piece, (_, rect, _) in zip(bolt.placed, own, strict=True)
            if isinstance(piece.source, Layer)
        }
        assert sorted(ends_m) == pytest.approx(cuts_m, abs=1e-9)


@pytest.mark.parametrize("name", CUTS)
def test_names_on_the_lay_hide_no_line(name: str) -> None:
    sheet = sheet_of(name, "in")
    pictures = [
        one
        for one in cutting_plan(sheet, "w")
        if isinstance(one, Picture) and "pieces on it" in one.summary
    ]
    assert len(pictures) == len(sheet.lay.bolts)
    number = 0
    for picture, bolt in zip(pictures, sheet.lay.bolts, strict=True):
        first, number = number, number + len(bolt.placed)
        names = {
            told
            for place, piece in enumerate(bolt.placed, first + 1)
            for told in (str(place), f"{place} {piece.name}")
        }
        words = [mark for mark in picture.marks if isinstance(mark, Words) and mark.text in names]
        assert len(words) == len(bolt.placed)
        lines = [mark for mark in picture.marks if not isinstance(mark, Words)]
        for one in words:
            assert not _strokes_in(lines, box_of(one))


def _strokes_in(lines, box) -> bool:
    left, top, right, foot = box
    for mark in lines:
        points = np.array([*mark.points, mark.points[0]] if mark.closed else mark.points)
        share = np.linspace(0, 1, 200)[:, None, None]
        x, y = ((1 - share) * points[:-1] + share * points[1:]).reshape(-1, 2).T
        if ((x > left) & (x < right) & (y > top) & (y < foot)).any():
            return True
    return False


def test_what_is_left_over_is_told_in_pockets_of_the_wraps_own_size() -> None:
    sheet = sheet_of("overlapping V", "in")
    (table,) = (
        one
        for one in cutting_plan(sheet, "w")
        if isinstance(one, Rows) and one.head[-1] == "each holds"
    )
    pocket = next(one for one in sheet.extras if one.kind is Kind.POCKET)
    own = " by ".join(sheet.tell.chosen(side_m) for side_m in pocket.size_m)
    told = [
        found[1] for row in table.rows if (found := re.match(r"patch pockets, (.*?):", row[-1]))
    ]
    assert told
    assert set(told) == {own}


def test_a_hood_lies_as_its_template_printed_side_up_and_its_mirror_image_turned_over() -> None:
    sheet = sheet_of("plain", "in")
    bolt = sheet.lay.bolts[0]
    small = [piece for piece in bolt.placed if isinstance(piece.source, Extra)]
    picture = bolt_picture(bolt, 1, sheet.job.cut.nap, sheet.tell, 180.0, 3.0)
    outlines = [
        mark.points for mark in picture.marks if isinstance(mark, Line) and mark.width_mm == 0.4
    ]
    # templates run counter-clockwise; on paper, measured downwards, that sweeps a negative area
    swept = {
        piece.name: math.fsum(
            x * down_2 - x_2 * down for (x, down), (x_2, down_2) in pairwise([*outline, outline[0]])
        )
        for piece, outline in zip(small, outlines, strict=True)
    }
    assert swept["hood"] < 0 < swept["hood, mirrored"]
    assert swept["hood"] == pytest.approx(-swept["hood, mirrored"])

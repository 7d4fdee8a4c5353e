# SPDX-License-Identifier: GPL-3.0-or-later
"""Cut and stitch lines: parallel at the allowance, areas in closed form, ends that meet."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from napfold.core.cut_line import Allowances, build_cut_line, finished_cut
from napfold.core.nap import NapDown
from napfold.core.pattern import Cut, Neck, build_pattern
from napfold.core.units import RangeError

CUT = Cut(cloth_width_m=1.45, length_m=1.2, body_width_m=0.66, sleeve_drop_m=0.20)
NECKS = [
    {},
    {"neck": Neck.V, "neck_front_depth_m": 0.22},
    {"neck_back_depth_m": 0.01},  # bent more sharply than the allowance
    {"neck_width_m": 0.30, "neck_front_depth_m": 0.30, "neck_back_depth_m": 0.20},
]


def sampled(pieces, each: int) -> np.ndarray:
    return np.concatenate([piece.at(np.linspace(0, piece.length_m, each)) for piece in pieces])


@pytest.mark.parametrize("neck", NECKS)
def test_neck_is_cut_inside_its_seam_by_the_allowance(neck: dict[str, float]) -> None:
    pattern = build_pattern(replace(CUT, **neck))
    line = build_cut_line(pattern, Allowances())
    seam = sampled(pattern.edges["neck"].pieces, 4000)
    cut = sampled(line.neck, 5)
    nearest_mm = 1000 * np.sqrt(((cut[:, None] - seam) ** 2).sum(axis=2)).min(axis=1)
    assert nearest_mm.min() > 12.7 - 0.05
    assert (
        nearest_mm.max() < 12.7 + 0.25
    )  # where parallels of front and back cross, a short line joins them


def test_round_neck_is_cut_on_a_smaller_circle() -> None:
    cut = replace(CUT, neck_width_m=0.18, neck_front_depth_m=0.09, neck_back_depth_m=0.09)
    line = build_cut_line(build_pattern(cut), Allowances(neck_m=0.01))
    area_m2 = math.fsum(piece.swept_area_m2 for piece in line.neck)
    assert area_m2 == pytest.approx(math.pi * 0.08**2, rel=1e-6)
    length_m = math.fsum(piece.length_m for piece in line.neck)
    assert length_m == pytest.approx(2 * math.pi * 0.08, rel=1e-6)


def test_area_is_that_of_the_rectangle_less_corners_and_neck() -> None:
    cut = replace(CUT, neck_width_m=0.18, neck_front_depth_m=0.09, neck_back_depth_m=0.09)
    line = build_cut_line(build_pattern(cut), Allowances(underarm_m=0.015, neck_m=0.01))
    wide, high, round_ = 0.725 - 0.33 - 0.015, 0.6 - 0.20 - 0.015, 0.10 - 0.015
    corner_m2 = wide * high - (1 - math.pi / 4) * round_**2
    expected_m2 = 1.45 * 1.2 - 4 * corner_m2 - math.pi * 0.08**2
    assert line.area_m2 == pytest.approx(expected_m2, abs=1e-9)


@pytest.mark.parametrize("neck", NECKS)
@pytest.mark.parametrize("radius_m", [0.01, 0.10, 0.30])
def test_cut_lines_are_closed_and_seams_keep_their_length(neck, radius_m: float) -> None:
    pattern = build_pattern(replace(CUT, corner_radius_m=radius_m, **neck))
    line = build_cut_line(pattern, Allowances())
    for closed in (line.outline, line.neck):
        for piece, following in pairwise([*closed, closed[0]]):
            assert piece.end == following.start
    for side in ("left", "right"):
        front, back = (
            math.fsum(piece.length_m for piece in line.stitch[f"underarm_{half}_{side}"])
            for half in ("front", "back")
        )
        assert abs(front - back) < 0.0005  # the front and back that are sewn together
    # the stitch line down the front ends on the neck's stitch line
    ends = {piece.start for piece in line.stitch["neck"]} | {
        piece.end for piece in line.stitch["neck"]
    }
    (front_left,) = line.stitch["front_left"]
    assert min(math.dist(front_left.start, end) for end in ends) < 1e-12


def test_an_allowance_larger_than_the_rounding_leaves_a_sharp_corner() -> None:
    line = build_cut_line(build_pattern(replace(CUT, corner_radius_m=0.01)), Allowances())
    assert all(piece.kind == "line" for piece in line.outline)
    points = {piece.start for piece in line.outline}
    assert (0.33 + 0.0127, -(0.20 + 0.0127)) in points


def test_what_hangs_is_shorter_by_hems_and_sleeve_ends() -> None:
    finished = finished_cut(CUT, Allowances(hem_m=0.02, sleeve_end_m=0.03))
    assert finished.length_m == pytest.approx(1.16)
    assert finished.cloth_width_m == pytest.approx(1.39)
    assert finished.body_width_m == CUT.body_width_m


def test_a_neck_that_its_allowance_would_close_is_refused() -> None:
    small = replace(CUT, neck_width_m=0.10, neck_front_depth_m=0.02, neck_back_depth_m=0.01)
    with pytest.raises(RangeError, match=r"sewing\.neck_allowance is 1\.3 cm"):
        build_cut_line(build_pattern(small), Allowances())


def test_allowances_have_limits() -> None:
    with pytest.raises(RangeError, match=r"sewing\.hem_allowance is 6\.0 cm; allowed: 0\.4 cm to"):
        Allowances(hem_m=0.06)


@pytest.mark.parametrize("nap", NapDown)
def test_the_nap_arrow_points_down_the_chosen_half(nap: NapDown) -> None:
    arrow = build_cut_line(build_pattern(replace(CUT, nap=nap)), Allowances()).nap
    way = (arrow.end[0] - arrow.start[0], arrow.end[1] - arrow.start[1])
    assert way == pytest.approx([1.1 * CUT.length_m / 2 * part for part in nap.stroke])
    # the front half lies at negative v, and down is away from the fold
    assert nap.runs("front") == ("down" if way[1] < 0 else "up")
    assert nap.runs("back") != nap.runs("front")

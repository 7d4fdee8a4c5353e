# SPDX-License-Identifier: GPL-3.0-or-later
"""Cut and stitch lines: parallel at the allowance, areas in closed form, ends that meet."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from napfold.core.cut_line import Allowances, Part, build_cut_line, finished_cut, under_arm
from napfold.core.nap import NapDown
from napfold.core.pattern import Cut, Front, Neck, build_pattern, fitted
from napfold.core.units import RangeError

from .options import CUTS

CUT = Cut(cloth_width_m=1.45, length_m=1.2, body_width_m=0.66, sleeve_drop_m=0.20)
NECKS = [
    {},
    {"neck": Neck.V, "neck_front_depth_m": 0.22},
    {"neck_back_depth_m": 0.01},  # bent more sharply than the allowance
    {"neck_width_m": 0.30, "neck_front_depth_m": 0.30, "neck_back_depth_m": 0.20},
]


def part_of(cut: Cut, allowances: Allowances | None = None) -> Part:
    """The one part of a layer on the fold."""
    (part,) = build_cut_line(build_pattern(cut), allowances or Allowances()).parts
    return part


def sampled(pieces, each: int) -> np.ndarray:
    return np.concatenate([piece.at(np.linspace(0, piece.length_m, each)) for piece in pieces])


@pytest.mark.parametrize("neck", NECKS)
def test_neck_is_cut_inside_its_seam_by_the_allowance(neck: dict[str, float]) -> None:
    pattern = build_pattern(replace(CUT, **neck))
    line = part_of(pattern.cut)
    seam = sampled(pattern.edges["neck"].pieces, 4000)
    cut = sampled(line.neck, 5)
    nearest_mm = 1000 * np.sqrt(((cut[:, None] - seam) ** 2).sum(axis=2)).min(axis=1)
    assert nearest_mm.min() > 12.7 - 0.05
    assert (
        nearest_mm.max() < 12.7 + 0.25
    )  # where parallels of front and back cross, a short line joins them


def test_round_neck_is_cut_on_a_smaller_circle() -> None:
    cut = replace(CUT, neck_width_m=0.18, neck_front_depth_m=0.09, neck_back_depth_m=0.09)
    line = part_of(cut, Allowances(neck_m=0.01))
    area_m2 = math.fsum(piece.swept_area_m2 for piece in line.neck)
    assert area_m2 == pytest.approx(math.pi * 0.08**2, rel=1e-6)
    length_m = math.fsum(piece.length_m for piece in line.neck)
    assert length_m == pytest.approx(2 * math.pi * 0.08, rel=1e-6)


def test_area_is_that_of_the_rectangle_less_corners_and_neck() -> None:
    cut = replace(CUT, neck_width_m=0.18, neck_front_depth_m=0.09, neck_back_depth_m=0.09)
    line = part_of(cut, Allowances(underarm_m=0.015, neck_m=0.01))
    wide, high, round_ = 0.725 - 0.33 - 0.015, 0.6 - 0.20 - 0.015, 0.10 - 0.015
    corner_m2 = wide * high - (1 - math.pi / 4) * round_**2
    expected_m2 = 1.45 * 1.2 - 4 * corner_m2 - math.pi * 0.08**2
    assert line.area_m2 == pytest.approx(expected_m2, abs=1e-9)


@pytest.mark.parametrize("neck", NECKS)
@pytest.mark.parametrize("radius_m", [0.01, 0.10, 0.30])
def test_cut_lines_are_closed_and_seams_keep_their_length(neck, radius_m: float) -> None:
    pattern = build_pattern(replace(CUT, corner_radius_m=radius_m, **neck))
    line = part_of(pattern.cut)
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
    line = part_of(replace(CUT, corner_radius_m=0.01))
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
    arrow = part_of(replace(CUT, nap=nap)).nap
    way = (arrow.end[0] - arrow.start[0], arrow.end[1] - arrow.start[1])
    assert way == pytest.approx([1.1 * CUT.length_m / 2 * part for part in nap.stroke])
    # the front half lies at negative v, and down is away from the fold
    assert nap.runs("front") == ("down" if way[1] < 0 else "up")
    assert nap.runs("back") != nap.runs("front")


@pytest.mark.parametrize("name", CUTS)
def test_every_option_is_marked_parallel_closed_and_matched(name: str) -> None:
    cut = CUTS[name]
    pattern, allowances = build_pattern(cut), Allowances(hem_m=0.02, shoulder_m=0.015)
    line = build_cut_line(pattern, allowances)
    assert len(line.parts) == (1 if not cut.seamed else 2 if cut.front is Front.CLOSED else 3)
    for part in line.parts:
        for piece, following in pairwise([*part.outline, part.outline[0]]):
            assert piece.end == following.start
        for edge, pieces in part.cut.items():
            kind = edge.partition(" ")[0]
            quarters = (pattern.front, pattern.back)
            seam = np.concatenate(
                [
                    sampled(quarter.seen(part_name, side, front=quarter is pattern.front), 1500)
                    for quarter in quarters
                    for side in ("left", "right")
                    for part_name in quarter.parts
                    if part_name.startswith(kind.split("_")[0]) or part_name == "centre"
                ]
            )
            out_m, _ = allowances.beside(kind, cut)
            middles = np.array(
                [
                    piece.at(np.array([piece.length_m / 2]))[0]
                    for piece in pieces
                    # a curve goes straight on over the allowance beside it
                    if piece.kind != "line" or piece.length_m > 0.03
                ]
            )
            nearest_m = np.sqrt(((middles[:, None] - seam) ** 2).sum(axis=2)).min(axis=1)
            assert nearest_m.max() < out_m + 6e-4, edge
    for half, side in (("underarm", "left"), ("underarm", "right"), ("shoulder", "left")):
        front, back = (
            math.fsum(piece.length_m for piece in line.stitch.get(f"{half}_{way}_{side}", ()))
            for way in ("front", "back")
        )
        assert abs(front - back) < 0.0005
    # the allowance beside every seam is the cloth beyond the outline, less what hems keep inside
    edges = pattern.edges
    beyond_m2 = math.fsum(allowances.beside(edge, cut)[0] * edges[edge].length_m for edge in edges)
    assert line.area_m2 - pattern.area_m2 == pytest.approx(beyond_m2, rel=0.06)


def test_a_curved_hem_is_stitched_at_its_allowance() -> None:
    cut = CUTS["nearly all"]
    pattern = build_pattern(cut)
    line = build_cut_line(pattern, Allowances(hem_m=0.02))
    for name in ("hem_front_left", "hem_front_right", "hem_back"):
        seam = sampled(pattern.edges[name].pieces, 4000)
        stitch = sampled(line.stitch[name], 9)
        nearest_mm = 1000 * np.sqrt(((stitch[:, None] - seam) ** 2).sum(axis=2)).min(axis=1)
        assert nearest_mm.min() > 20 - 0.1
        assert nearest_mm.max() < 20 + 0.3
        # it ends on the side seam, or on the stitch line of the split
        side_m = cut.hem_side_m - cut.side_flare_m * 0.02 / (cut.side_end_m - cut.sleeve_drop_m)
        assert np.abs(stitch[:, 0]).max() == pytest.approx(side_m, abs=2e-4)


def test_the_measures_under_the_arm_of_a_straight_cut() -> None:
    found = under_arm(CUT, Allowances())
    assert found.knee == pytest.approx((0.33 + 0.0127, 0.20 + 0.0127))
    assert found.hem == pytest.approx((0.33 + 0.0127, 0.6))
    assert found.end == pytest.approx((0.725, 0.20 + 0.0127))
    assert found.side == pytest.approx((0.33 + 0.0127, 0.30))
    assert found.under == pytest.approx((0.43, 0.20 + 0.0127))
    assert found.radius_m == pytest.approx(0.10 - 0.0127)
    assert not found.slanted


def test_the_measures_under_a_tapered_sleeve() -> None:
    """The underarm rises by the tangent of its slope; its cut line lies the allowance beside it."""
    cut = CUTS["tapered"]
    found = under_arm(cut, Allowances())
    # the last 5 cm of the sleeve are straight
    rise, run = 0.24 - 0.17, 1.47 / 2 - 0.34 - 0.05
    beside_m = 0.0127 / math.cos(math.atan2(rise, run))
    assert found.end == pytest.approx((0.735, 0.17 + 0.0127))
    assert found.straight_from[1] == pytest.approx(0.17 + 0.0127)
    assert found.straight_from[0] == pytest.approx(0.735 - 0.05, abs=0.0127 * rise / run)
    assert found.knee == pytest.approx(
        (0.34 + 0.0127, 0.24 + beside_m - 0.0127 * rise / run), abs=1e-9
    )
    assert found.slanted


def test_a_narrowed_sleeve_is_as_wide_where_it_is_sewn_as_at_its_edge() -> None:
    for allowance_m in (0.004, 0.02, 0.05):
        sewn = finished_cut(CUTS["tapered"], Allowances(sleeve_end_m=allowance_m))
        assert sewn.sleeve_opening_m == pytest.approx(0.34)
        (part,) = build_cut_line(
            build_pattern(CUTS["tapered"]), Allowances(sleeve_end_m=allowance_m)
        ).parts
        round_m = sum(piece.length_m for piece in part.stitch["sleeve_end_left"])
        assert round_m == pytest.approx(0.34)
    # on a sleeve of 8 cm half is straight
    short = fitted(CUTS["tapered"], sleeve_shortened_m=1.47 / 2 - 0.34 - 0.08, wrist_opening_m=0.42)
    assert short.straight_end_m == pytest.approx(0.04)


def test_what_stays_open_of_the_hem_and_the_fronts_are_notched() -> None:
    for name in ("plain", "curved hem", "longer back", "overlapping", "flared"):
        parts = build_cut_line(build_pattern(CUTS[name]), Allowances(), 0.26).parts
        found = [
            (part, notch) for part in parts for notch in part.notches if "opening" in notch.name
        ]
        assert sorted(notch.at[0] for _, notch in found) == pytest.approx([-0.13, 0.13], abs=1e-5)
        for part, notch in found:
            # on the hem of the back, inwards
            hem = np.concatenate(
                [piece.place(np.linspace(0, 1, 4001)) for piece in part.cut["hem_back"]]
            )
            assert np.hypot(*(hem - notch.at).T).min() < 2e-4
            assert notch.towards[1] < -0.85
        fronts = [
            notch.at for part in parts for notch in part.notches if "front edge" in notch.name
        ]
        assert len(fronts) == 2
        assert fronts[0][1] == pytest.approx(fronts[1][1], abs=1e-6)
    closed = build_cut_line(build_pattern(CUTS["closed"]), Allowances()).parts[0]
    assert not [notch for notch in closed.notches if "front edge" in notch.name]


def test_a_cuff_turned_back_shortens_the_sleeve_by_its_depth() -> None:
    sewn = finished_cut(CUTS["cuff"], Allowances(sleeve_end_m=0.02))
    assert sewn.wrist_m == pytest.approx(1.47 / 2 - 0.02 - 0.08)
    assert sewn.sleeve_opening_m == pytest.approx(0.36)
    ((_, left), (_, right)) = (
        fold
        for fold in part_of(CUTS["cuff"], Allowances(sleeve_end_m=0.02)).folds
        if fold[0] == "cuff fold"
    )
    assert left.start[0] == pytest.approx(sewn.wrist_m)
    assert right.start[0] == pytest.approx(-sewn.wrist_m)

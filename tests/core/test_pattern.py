# SPDX-License-Identifier: GPL-3.0-or-later
"""The flat pattern against plane geometry done by hand."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.pattern import Arc, Cut, Edge, Neck, Pattern, build_pattern
from napfold.core.units import RangeError

INCH = 0.0254
CUT = {
    "cloth_width_m": 58 * INCH,
    "length_m": 54 * INCH,
    "body_width_m": 26 * INCH,
    "sleeve_drop_m": 8 * INCH,
    "corner_radius_m": 0.10,
    "neck_width_m": 0.18,
    "neck_front_depth_m": 0.09,
    "neck_back_depth_m": 0.025,
}
ORDER = [
    "hem_front_left",
    "underarm_front_left",
    "sleeve_end_left",
    "underarm_back_left",
    "hem_back",
    "underarm_back_right",
    "sleeve_end_right",
    "underarm_front_right",
    "hem_front_right",
    "front_right",
    "neck",
    "front_left",
]


@st.composite
def cuts(draw: st.DrawFn) -> Cut:
    """Any cut that is allowed, extremes included."""

    def between(low: float, high: float) -> float:
        return low + draw(st.floats(0, 1)) * (high - low)

    cloth = between(0.6, 3.2)
    length = between(0.6, 4.0)
    body = between(0.3, cloth - 0.1)
    drop = between(0.08, length / 2 - 0.05)
    return Cut(
        cloth_width_m=cloth,
        length_m=length,
        body_width_m=body,
        sleeve_drop_m=drop,
        corner_radius_m=between(0.01, min((cloth - body) / 2, length / 2 - drop)),
        neck_width_m=between(0.10, min(0.40, body - 0.1)),
        neck_front_depth_m=between(0.02, min(0.40, length / 2 - 0.05)),
        neck_back_depth_m=between(0.01, min(0.20, length / 2 - 0.05)),
    )


@settings(deadline=None)
@given(cuts())
def test_area_is_rectangles_corners_and_half_ellipses(cut: Cut) -> None:
    sleeves = cut.cloth_width_m * 2 * cut.sleeve_drop_m
    body = cut.body_width_m * (cut.length_m - 2 * cut.sleeve_drop_m)
    corners = 4 * (1 - math.pi / 4) * cut.corner_radius_m**2
    depths = cut.neck_front_depth_m + cut.neck_back_depth_m
    neck = math.pi / 2 * cut.neck_width_m / 2 * depths
    np.testing.assert_allclose(
        build_pattern(cut).area_m2, sleeves + body + corners - neck, rtol=0, atol=1e-12
    )


@settings(deadline=None)
@given(cuts())
def test_edges_close_and_mirror(cut: Cut) -> None:
    pattern = build_pattern(cut)
    assert list(pattern.edges) == ORDER
    edges = list(pattern.edges.values())
    for edge, following in pairwise([*edges, edges[0]]):
        assert edge.end == following.start
        for piece, after in pairwise(edge.pieces):
            assert piece.end == after.start
    for name, edge in pattern.edges.items():
        swapped = name.replace("left", "*").replace("right", "left").replace("*", "right")
        places = np.linspace(0, edge.length_m, 41)
        mirrored = pattern.edges[swapped].at(places)[::-1] * (-1, 1)
        np.testing.assert_allclose(edge.at(places), mirrored, rtol=0, atol=1e-9)
    for side in ("left", "right"):
        front = pattern.edges[f"underarm_front_{side}"]
        back = pattern.edges[f"underarm_back_{side}"]
        assert front.length_m == back.length_m
        places = np.linspace(0, front.length_m, 41)
        np.testing.assert_allclose(
            front.at(places), back.at(places)[::-1] * (1, -1), rtol=0, atol=1e-9
        )


@settings(deadline=None)
@given(cuts())
def test_points_on_curves_are_at_their_arc_length(cut: Cut) -> None:
    """Against Gauss-Legendre quadrature of the ellipse's speed in the eccentric angle."""
    nodes, weights = np.polynomial.legendre.leggauss(300)
    edges = build_pattern(cut).edges
    for edge in (edges["underarm_front_left"], edges["neck"]):
        for arc in (piece for piece in edge.pieces if isinstance(piece, Arc)):
            places = np.linspace(0, arc.length_m, 8)
            x, v = ((arc.at(places) - arc.centre) / (arc.radius_x_m, arc.radius_v_m)).T
            np.testing.assert_allclose(x**2 + v**2, 1, rtol=0, atol=1e-12)
            half = (np.unwrap(np.arctan2(v, x)) - np.arctan2(v[0], x[0])) / 2
            angles = np.arctan2(v[0], x[0]) + half[:, None] * (nodes + 1)
            speed = np.hypot(arc.radius_x_m * np.sin(angles), arc.radius_v_m * np.cos(angles))
            np.testing.assert_allclose(np.abs(half) * (speed @ weights), places, rtol=0, atol=1e-10)


def test_points_along_an_edge_pass_from_piece_to_piece() -> None:
    edge = build_pattern(Cut(**CUT)).edges["underarm_front_left"]
    side, arc, sleeve = edge.pieces
    ends = np.cumsum([0, side.length_m, arc.length_m, sleeve.length_m])
    np.testing.assert_allclose(
        edge.at(ends), [side.start, arc.start, sleeve.start, sleeve.end], rtol=0, atol=1e-12
    )
    middles = (ends[1:] + ends[:-1]) / 2
    half_turn = 0.10 * math.sqrt(0.5)
    np.testing.assert_allclose(
        edge.at(middles),
        [
            (13 * INCH, -(27 + 8) / 2 * INCH - 0.05),
            (13 * INCH + 0.10 - half_turn, -8 * INCH - 0.10 + half_turn),
            ((13 + 29) / 2 * INCH + 0.05, -8 * INCH),
        ],
        rtol=0,
        atol=1e-12,
    )


def test_lengths_by_hand() -> None:
    edges = build_pattern(Cut(**CUT)).edges
    quarter = math.pi / 2 * 0.10
    by_hand = {
        "hem_front_left": 13 * INCH,
        "hem_back": 26 * INCH,
        "sleeve_end_right": 16 * INCH,
        "underarm_front_left": (27 - 8) * INCH + (29 - 13) * INCH - 0.20 + quarter,
        "front_left": 27 * INCH - 0.09,
    }
    for name, length_m in by_hand.items():
        np.testing.assert_allclose(edges[name].length_m, length_m, rtol=0, atol=1e-12)


def test_neck_length_is_the_elliptic_integral() -> None:
    """A quarter of an ellipse is a E(m), m = 1 - b²/a².

    E(0.75) = 1.2110560275684595 and E(0) = pi/2: M. Abramowitz and I. Stegun, Handbook of
    Mathematical Functions (1964), table 17.1.
    """
    cut = Cut(**CUT | {"neck_back_depth_m": 0.045})
    front_quarter, back_quarter = 0.09 * math.pi / 2, 0.09 * 1.2110560275684595
    np.testing.assert_allclose(
        build_pattern(cut).edges["neck"].length_m,
        2 * (front_quarter + back_quarter),
        rtol=0,
        atol=1e-12,
    )


def tangent(edge: Edge, distance_m: float) -> np.ndarray:
    step = 1e-6
    ends = edge.at(np.array([distance_m - step, distance_m + step]))
    return (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])


def test_neck_is_smooth_and_crosses_the_fold_at_a_right_angle() -> None:
    neck = build_pattern(Cut(**CUT)).edges["neck"]
    joints = np.cumsum([piece.length_m for piece in neck.pieces])[:-1]
    for distance, direction in zip(joints, [(0, 1), (1, 0), (0, -1)], strict=True):
        # the radius of curvature at the sharpest joint is 7 mm, so 1 µm turns by up to 0.0002
        np.testing.assert_allclose(tangent(neck, distance), direction, rtol=0, atol=3e-4)
    np.testing.assert_allclose(
        neck.at(joints), [(-0.09, 0), (0, 0.025), (0.09, 0)], rtol=0, atol=1e-12
    )


def test_v_neck_is_straight_in_front_and_round_behind() -> None:
    cut = Cut(**CUT | {"neck": Neck.V, "neck_width_m": 0.18, "neck_front_depth_m": 0.24})
    pattern, round_neck = build_pattern(cut), build_pattern(replace(cut, neck=Neck.ROUND))
    front = [piece for piece in pattern.edges["neck"].pieces if piece.kind == "line"]
    assert [piece.length_m for piece in front] == pytest.approx(2 * [math.hypot(0.09, 0.24)])
    # a triangle is opened instead of half an ellipse
    more_m2 = (math.pi / 2 - 1) * 0.09 * 0.24
    assert pattern.area_m2 - round_neck.area_m2 == pytest.approx(more_m2)


def test_corner_is_a_circle_that_both_straight_parts_run_into() -> None:
    edge = build_pattern(Cut(**CUT)).edges["underarm_front_left"]
    side, arc, sleeve = edge.pieces
    assert isinstance(arc, Arc)
    np.testing.assert_allclose(tangent(edge, side.length_m), (0, 1), rtol=0, atol=2e-5)
    np.testing.assert_allclose(
        tangent(edge, edge.length_m - sleeve.length_m), (1, 0), rtol=0, atol=2e-5
    )
    points = arc.at(np.linspace(0, arc.length_m, 50))
    np.testing.assert_allclose(
        np.linalg.norm(points - arc.centre, axis=1), 0.10, rtol=0, atol=1e-12
    )
    # the cloth keeps the outside of the corner: the arc bulges away from the armpit's corner
    corner = np.array([13 * INCH, -8 * INCH])
    np.testing.assert_allclose(
        np.linalg.norm(points - corner, axis=1).min(), 0.10 * (math.sqrt(2) - 1), atol=1e-4
    )


def test_a_corner_as_large_as_the_sleeve_leaves_no_straight_part() -> None:
    cut = Cut(**CUT | {"corner_radius_m": 16 * INCH})
    assert [piece.kind for piece in build_pattern(cut).edges["underarm_front_left"].pieces] == [
        "line",
        "arc",
    ]


def test_outline_length_counts_both_fronts() -> None:
    pattern = build_pattern(Cut(**CUT))
    assert isinstance(pattern, Pattern)
    one_side = ("hem_front_left", "underarm_front_left", "sleeve_end_left", "front_left")
    edges = pattern.edges
    expected = (
        2 * sum(edges[name].length_m for name in one_side)
        + 2 * edges["underarm_back_left"].length_m
        + edges["hem_back"].length_m
        + edges["neck"].length_m
    )
    np.testing.assert_allclose(pattern.outline_length_m, expected, rtol=1e-14)


@pytest.mark.parametrize(
    ("field", "value_m"),
    [
        ("cloth_width_m", 14.7),  # inches taken for decimetres
        ("length_m", 0.3),
        ("body_width_m", 60 * INCH),  # wider than the cloth
        ("body_width_m", 58 * INCH - 0.09),  # no sleeve left
        ("sleeve_drop_m", 28 * INCH),  # deeper than half the length
        ("sleeve_drop_m", 0.05),
        ("corner_radius_m", 0.0),
        ("corner_radius_m", 17 * INCH),  # longer than the sleeve
        ("neck_width_m", 0.41),
        ("neck_front_depth_m", 0.41),
        ("neck_back_depth_m", 0.0),
        ("length_m", math.nan),
        ("body_width_m", math.inf),
    ],
)
def test_what_cannot_be_cut_is_refused_by_name(field: str, value_m: float) -> None:
    with pytest.raises(RangeError) as caught:
        Cut(**CUT | {field: value_m})
    assert caught.value.key == "cut." + field.removesuffix("_m")
    assert not caught.value.low_si <= value_m <= caught.value.high_si


def test_ranges_follow_from_the_other_choices() -> None:
    with pytest.raises(RangeError) as caught:
        Cut(**CUT | {"sleeve_drop_m": 1.0})
    np.testing.assert_allclose(caught.value.high_si, 27 * INCH - 0.05, rtol=1e-12)
    with pytest.raises(RangeError) as caught:
        Cut(**CUT | {"corner_radius_m": 1.0})
    np.testing.assert_allclose(caught.value.high_si, 16 * INCH, rtol=1e-12)

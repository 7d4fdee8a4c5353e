# SPDX-License-Identifier: GPL-3.0-or-later
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.sections import (
    closed_round,
    distance_to_segments,
    groups,
    level_crossing,
    plane_axes,
    segment_lengths,
    weighted_quantile,
    winding,
)


def grid(size: int, step: float) -> tuple[FloatArray, IntArray]:
    """A flat square of size x size cells round the origin, counter-clockwise."""
    line = (np.arange(size + 1) - size / 2) * step
    x, y = np.meshgrid(line, line, indexing="ij")
    points = np.stack([x.ravel(), y.ravel()], axis=1)
    corner = (np.arange(size)[:, None] * (size + 1) + np.arange(size)).reshape(-1)
    first = np.stack([corner, corner + size + 1, corner + size + 2], axis=1)
    second = np.stack([corner, corner + size + 2, corner + 1], axis=1)
    return points, np.concatenate([first, second]).astype(np.int64)


@given(
    angle=st.floats(0.0, 2 * math.pi), shift=st.floats(-0.4, 0.4), size=st.sampled_from([5, 8, 13])
)
def test_a_straight_line_over_a_square_has_the_length_of_its_chord(
    angle: float, shift: float, size: int
) -> None:
    points, triangles = grid(size, 1.0 / size)
    normal = np.array([math.cos(angle), math.sin(angle)])
    crossing = level_crossing(points @ normal - shift, triangles)
    found = segment_lengths(crossing.points(points)).sum()
    # clip the line to the square: |along| and |across| together inside 1/2
    along = np.array([-normal[1], normal[0]])
    low, high = -np.inf, np.inf
    for axis in range(2):
        if abs(along[axis]) < 1e-12:
            continue
        ends = sorted((side - shift * normal[axis]) / along[axis] for side in (-0.5, 0.5))
        low, high = max(low, ends[0]), min(high, ends[1])
    assert found == pytest.approx(max(high - low, 0.0), abs=1e-9)


def test_a_line_of_vertices_on_the_level_is_found_once() -> None:
    points, triangles = grid(6, 0.1)
    crossing = level_crossing(points[:, 0], triangles)
    assert segment_lengths(crossing.points(points)).sum() == pytest.approx(0.6, abs=1e-12)


def test_segments_keep_the_positive_side_on_their_right() -> None:
    points, triangles = grid(4, 0.25)
    ends = level_crossing(points[:, 0] - 0.1, triangles).points(points)
    assert (ends[:, 1, 1] - ends[:, 0, 1] > 0).all()


def test_a_circle_closes_and_is_told_from_one_beside_it() -> None:
    points, triangles = grid(60, 0.05)
    left = np.hypot(points[:, 0] + 0.7, points[:, 1]) - 0.5
    right = np.hypot(points[:, 0] - 0.7, points[:, 1]) - 0.5
    crossing = level_crossing(np.minimum(left, right), triangles)
    ends = crossing.points(points)
    assert groups(crossing).max() == 1
    loops = closed_round(crossing, ends, np.array([0.7, 0.0]))
    assert len(loops) == 1
    length, rows = loops[0]
    # chords of 0.05 in a circle of 0.5: short by less than (0.05 / 0.5)² / 24
    assert length == pytest.approx(math.pi, rel=1e-3)
    assert (ends[rows][..., 0] > 0).all()
    assert not closed_round(crossing, ends, np.array([0.0, 0.0]))


def test_of_two_lines_round_a_point_the_shorter_comes_first() -> None:
    points, triangles = grid(80, 0.05)
    ring = np.abs(np.hypot(points[:, 0], points[:, 1]) - 1.0) - 0.3
    crossing = level_crossing(ring, triangles)
    lengths = [length for length, _ in closed_round(crossing, crossing.points(points), np.zeros(2))]
    np.testing.assert_allclose(lengths, [2 * math.pi * 0.7, 2 * math.pi * 1.3], rtol=1e-3)


def test_an_arc_cut_off_at_the_edge_is_not_closed() -> None:
    points, triangles = grid(20, 0.05)
    crossing = level_crossing(np.hypot(points[:, 0] - 0.4, points[:, 1]) - 0.3, triangles)
    assert len(crossing) > 0
    assert closed_round(crossing, crossing.points(points), np.array([0.4, 0.0])) == []


def test_winding_counts_turns() -> None:
    square = np.array([[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]])
    segments = np.stack([square, np.roll(square, -1, axis=0)], axis=1)
    turns = winding(segments, np.array([[0.2, -0.3], [1.5, 0.0]])).sum(axis=1)
    np.testing.assert_allclose(turns, [1.0, 0.0], atol=1e-12)


def test_distance_to_segments_meets_ends_and_middles() -> None:
    segments = np.array([[[0.0, 0.0], [2.0, 0.0]], [[5.0, 5.0], [5.0, 5.0]]])
    points = np.array([[1.0, 0.5], [-3.0, 4.0], [5.0, 4.0]])
    np.testing.assert_allclose(distance_to_segments(points, segments), [0.5, 5.0, 1.0])


@given(st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1))
def test_plane_axes_are_right_handed_and_square(vector: tuple[float, float, float]) -> None:
    normal = np.array(vector) / np.linalg.norm(vector)
    frame = np.concatenate([plane_axes(np.array(vector)), normal[None]])
    np.testing.assert_allclose(frame @ frame.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(frame) == pytest.approx(1.0)


def test_weighted_quantile_counts_weight_not_entries() -> None:
    values, weights = np.array([3.0, 1.0, 2.0]), np.array([1.0, 1.0, 8.0])
    assert weighted_quantile(values, weights, 0.05) == 1.0
    assert weighted_quantile(values, weights, 0.5) == 2.0
    assert weighted_quantile(values, weights, 1.0) == 3.0

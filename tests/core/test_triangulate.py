# SPDX-License-Identifier: GPL-3.0-or-later
"""Filling of polygons whose triangles are known."""

import math

import numpy as np
from napfold.core.arrays import FloatArray
from napfold.core.triangulate import corner_angles, fill_polygon, unique_edges

DEGREE = math.radians(1)


def regular_polygon(corners: int, side_m: float) -> FloatArray:
    turn = np.arange(corners) * 2 * math.pi / corners
    radius_m = side_m / (2 * math.sin(math.pi / corners))
    return radius_m * np.stack([np.cos(turn), np.sin(turn)], axis=1)


def area(points: FloatArray, triangles: np.ndarray) -> float:
    first, second = (points[triangles[:, k]] - points[triangles[:, 0]] for k in (1, 2))
    return float((first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]).sum() / 2)


def test_a_regular_hexagon_is_six_equilateral_triangles() -> None:
    filled = fill_polygon(regular_polygon(6, 0.02), 0.02, 25 * DEGREE)
    assert filled is not None
    points, triangles = filled
    assert points.shape == (7, 2)
    assert triangles.shape == (6, 3)
    np.testing.assert_allclose(points[6], 0, atol=1e-6)
    np.testing.assert_allclose(corner_angles(points, triangles), math.pi / 3, atol=1e-4)


def test_an_l_shape_is_filled_round_its_inner_corner() -> None:
    corners = np.array([(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)]) * 0.2
    sides = zip(corners, np.roll(corners, -1, axis=0), strict=True)
    outline = np.concatenate(
        [
            np.linspace(start, end, round(np.linalg.norm(end - start) / 0.02), endpoint=False)
            for start, end in sides
        ]
    )
    filled = fill_polygon(outline, 0.02, 25 * DEGREE)
    assert filled is not None
    points, triangles = filled
    np.testing.assert_array_equal(points[: len(outline)], outline)
    np.testing.assert_allclose(area(points, triangles), 3 * 0.2**2, rtol=1e-12)
    assert corner_angles(points, triangles).min() > 29 * DEGREE
    edges, counts = unique_edges(triangles)
    assert len(points) - len(edges) + len(triangles) == 1
    assert (counts == 1).sum() == len(outline)


def test_a_needle_cannot_be_filled() -> None:
    needle = np.array([(0.0, 0.0), (0.1, 0.0), (0.0, 0.01)])
    assert fill_polygon(needle, 0.05, 25 * DEGREE) is None


def test_edges_are_counted_once_each() -> None:
    edges, counts = unique_edges(np.array([[0, 1, 2], [2, 1, 3]]))
    np.testing.assert_array_equal(edges, [(0, 1), (0, 2), (1, 2), (1, 3), (2, 3)])
    np.testing.assert_array_equal(counts, [1, 1, 2, 1, 1])


def test_angles_of_a_right_triangle_are_signed_by_direction() -> None:
    points = np.array([(0, 0), (1, 0), (0, math.sqrt(3))])
    angles = corner_angles(points, np.array([[0, 1, 2], [0, 2, 1]]))
    np.testing.assert_allclose(np.degrees(angles), [(90, 60, 30), (-90, -30, -60)], atol=1e-12)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Implicit shapes, their meshing and the tape on known solids."""

import math

import numpy as np
import pytest
from napfold.core.arrays import FloatArray
from napfold.core.errors import SolverError
from napfold.core.mannequin.extract import extract_surface
from napfold.core.mannequin.measuring import hull_girth, section_points, shape_sections
from napfold.core.mannequin.shapes import (
    Ellipsoid,
    make_loft,
    monotone_curve,
    natural_curve,
    smooth_minimum,
)

SPHERE_M = 0.10


def sphere(points: FloatArray) -> FloatArray:
    return np.linalg.norm(points, axis=1) - SPHERE_M


def test_hull_girth_of_known_outlines() -> None:
    square = np.array([[0.0, 0.0], [0.3, 0.0], [0.3, 0.2], [0.0, 0.2], [0.1, 0.1]])
    assert hull_girth(square) == pytest.approx(1.0, rel=2e-5)
    angle = np.linspace(0.0, 2.0 * math.pi, 2000)
    circle = 0.15 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    assert hull_girth(circle) == pytest.approx(2.0 * math.pi * 0.15, rel=1e-5)


def test_surface_nets_of_a_sphere() -> None:
    low, high = np.full(3, -0.13), np.full(3, 0.13)
    vertices, triangles, mirror = extract_surface(sphere, low, high, 0.012)
    # vertices are put on the surface; a polyhedron inscribed with edges h lies inside by h²/8r
    assert np.abs(sphere(vertices)).max() < 2e-4
    a, b, c = vertices[triangles].transpose(1, 0, 2)
    volume = np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0
    assert volume == pytest.approx(4.0 / 3.0 * math.pi * SPHERE_M**3, rel=0.01)
    assert np.array_equal(vertices[mirror] * [-1.0, 1.0, 1.0], vertices)
    edges = 3 * len(triangles) // 2
    assert len(vertices) - edges + len(triangles) == 2


def test_a_surface_that_leaves_the_box_is_told() -> None:
    with pytest.raises(SolverError, match="leaves the box"):
        extract_surface(sphere, np.full(3, -0.05), np.full(3, 0.05), 0.012)


def test_plane_through_a_sphere_is_a_circle() -> None:
    vertices, triangles, _ = extract_surface(sphere, np.full(3, -0.13), np.full(3, 0.13), 0.010)
    normal = np.array([0.0, 0.6, 0.8])
    segments, cut = section_points(vertices, triangles, 0.06 * normal, normal)
    points = segments.reshape(-1, 3) - 0.06 * normal
    assert len(cut) == len(segments)
    assert np.abs(points @ normal).max() < 1e-12
    flat = np.stack([points[:, 0], points @ np.cross(normal, [1.0, 0.0, 0.0])], axis=1)
    assert hull_girth(flat) == pytest.approx(2.0 * math.pi * 0.08, rel=2e-3)


def test_loft_of_equal_ellipses_has_their_girth_and_distance() -> None:
    rows = np.array([[0.0, -0.05, 0.05, 0.08, 2.0, 0.5]] * 3)
    loft = make_loft(np.array([0.0, 0.2, 0.4]), rows)
    outline = shape_sections(
        loft.field, np.array([[0.0, 0.0, 0.2]]), np.eye(3)[0], np.eye(3)[1], 0.2, rays=360
    )[0]
    # Ramanujan's second formula is exact to 1e-8 here
    h = (0.03 / 0.13) ** 2
    exact = math.pi * 0.13 * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))
    assert hull_girth(outline) == pytest.approx(exact, rel=1e-4)
    # along the main axes the field is distance near the surface; beyond the flat end too
    points = np.array([[0.085, 0.0, 0.2], [0.0, 0.052, 0.2], [0.0, 0.0, 0.41], [0.0, 0.0, 0.39]])
    assert loft.field(points) == pytest.approx([0.005, 0.002, 0.01, -0.01], abs=3e-4)


def test_ellipsoid_field_is_distance_at_its_poles() -> None:
    shape = Ellipsoid(np.zeros(3), np.array([0.1, 0.05, 0.04]), 0.09, np.eye(3))
    points = np.array([[0.1, 0.0, 0.0], [0.0, 0.0, 0.09], [0.0, 0.0, -0.04], [0.101, 0.0, 0.0]])
    assert shape.field(points) == pytest.approx([0.0, 0.0, 0.0, 0.001], abs=2e-5)


def test_smooth_minimum_bounds() -> None:
    values = np.linspace(-0.1, 0.1, 41)
    first, second = np.meshgrid(values, values)
    joined = smooth_minimum(first, second, 0.04)
    lowest = np.minimum(first, second)
    assert (joined <= lowest + 1e-15).all()
    assert (joined >= lowest - 0.04 / 4.0 - 1e-15).all()
    assert np.array_equal(
        joined[np.abs(first - second) >= 0.04], lowest[np.abs(first - second) >= 0.04]
    )


def test_curves_pass_their_points_and_the_monotone_one_stays_between() -> None:
    stations = np.array([0.0, 0.1, 0.15, 0.4])
    values = np.array([[0.0], [1.0], [1.0], [3.0]])
    for curve in (monotone_curve, natural_curve):
        assert curve(stations, values, stations) == pytest.approx(values, abs=1e-12)
    fine = monotone_curve(stations, values, np.linspace(0.0, 0.4, 200))[:, 0]
    assert (np.diff(fine) >= -1e-12).all()
    line = natural_curve(stations, 2.0 * stations[:, None], np.array([0.3]))
    assert line[0, 0] == pytest.approx(0.6)

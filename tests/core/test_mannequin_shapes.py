# SPDX-License-Identifier: GPL-3.0-or-later
"""Implicit shapes, their meshing and the tape on known solids."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.arrays import FloatArray
from napfold.core.errors import SolverError
from napfold.core.mannequin.extract import extract_surface
from napfold.core.mannequin.measuring import (
    armpit_height,
    hull_girth,
    section_points,
    shape_sections,
    top_of_section,
)
from napfold.core.mannequin.shapes import (
    CLEAR_M,
    Held,
    Plate,
    Relief,
    Reliefs,
    flowing_curve,
    make_loft,
    monotone_curve,
    natural_curve,
    smooth_minimum,
)

SPHERE_M = 0.10
X, Y, Z = np.eye(3)


def sphere(points: FloatArray) -> FloatArray:
    return np.linalg.norm(points, axis=1) - SPHERE_M


def test_hull_girth_of_known_outlines() -> None:
    square = np.array([[0.0, 0.0], [0.3, 0.0], [0.3, 0.2], [0.0, 0.2], [0.1, 0.1]])
    assert hull_girth(square) == pytest.approx(1.0, rel=2e-5)
    angle = np.linspace(0.0, 2.0 * math.pi, 2000)
    circle = 0.15 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    assert hull_girth(circle) == pytest.approx(2.0 * math.pi * 0.15, rel=1e-5)


@pytest.mark.parametrize("cell_m", [0.012, 0.025])
def test_mesh_of_a_sphere_lies_on_it_in_the_mean(cell_m: float) -> None:
    low, high = np.full(3, -0.14), np.full(3, 0.14)
    vertices, triangles, mirror = extract_surface(sphere, low, high, cell_m)
    # vertices stand out by what flat triangles of edges h, at most a cell's, lie inside: h²/8r
    out = sphere(vertices)
    assert out.min() > 0.0
    assert out.max() < 1.5 * cell_m**2 / (8.0 * SPHERE_M)
    a, b, c = vertices[triangles].transpose(1, 0, 2)
    volume = np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0
    # inscribed, the volume would be short by 3 h²/8r²: up to 0.5 and 2.3 per cent
    assert volume == pytest.approx(
        4.0 / 3.0 * math.pi * SPHERE_M**3, rel=0.3 * cell_m**2 / SPHERE_M**2
    )
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
    assert hull_girth(flat) == pytest.approx(2.0 * math.pi * 0.08, rel=1e-3)


def test_top_of_section_is_the_height_of_the_circle() -> None:
    vertices, triangles, _ = extract_surface(sphere, np.full(3, -0.13), np.full(3, 0.13), 0.010)
    top = top_of_section(vertices, triangles, np.array([0.06, 0.01, 0.08]))
    assert top == pytest.approx([0.06, 0.0, 0.08], abs=0.006)
    assert top[2] == pytest.approx(0.08, abs=2e-4)


def test_armpit_is_where_a_bar_leaves_a_block() -> None:
    # a round bar, falling outwards at 45 degrees, leaves a block whose side is at x = 0.12: its
    # underside meets the side 0.05 √2 under its axis, which passes (0.12, 0, 0.06)
    axes = np.stack([(X + Z) / math.sqrt(2.0), Y, (X - Z) / math.sqrt(2.0)])
    row = [0.0, -0.05, 0.05, 0.05, 2.0, 0.5]
    bar = make_loft(np.array([0.0, 0.30]), np.array([row, row]), [0.0, 0.0, 0.18], axes)
    block = make_loft(np.array([-0.30, 0.12]), np.array([[0.0, -0.10, 0.10, 0.12, 8.0, 0.5]] * 2))

    def field(points: FloatArray) -> FloatArray:
        folded = np.abs(points) * [1.0, 0.0, 0.0] + points * [0.0, 1.0, 1.0]
        return smooth_minimum(bar.field(folded), block.field(folded), 0.004)

    low, high = np.array([0.0, -0.15, -0.35]), np.array([0.35, 0.15, 0.30])
    vertices, triangles, _ = extract_surface(field, low, high, 0.008)
    found = armpit_height(vertices, triangles, np.array([0.14, 0.0, 0.05]), -0.02)
    assert found == pytest.approx(0.06 - 0.05 * math.sqrt(2.0), abs=0.008)


def test_loft_of_equal_ellipses_has_their_girth_and_distance() -> None:
    rows = np.array([[0.0, -0.05, 0.05, 0.08, 2.0, 0.5]] * 3)
    loft = make_loft(np.array([0.0, 0.2, 0.4]), rows)
    centre = np.array([[0.0, 0.0, 0.2]])
    outline = shape_sections(loft.field, centre, X, Y, 0.2, rays=360)[0]
    # Ramanujan's second formula is exact to 1e-8 here
    h = (0.03 / 0.13) ** 2
    exact = math.pi * 0.13 * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))
    assert hull_girth(outline) == pytest.approx(exact, rel=1e-4)
    # half a turn from one end of the axis to the other has both ends
    half = shape_sections(loft.field, centre, X, Y, 0.2, rays=61, turn=math.pi)[0]
    assert half[[0, 30, 60]] == pytest.approx(
        np.array([[0.08, 0.0], [0.0, 0.05], [-0.08, 0.0]]), abs=2e-5
    )
    # along the main axes the field is distance near the surface; beyond the flat end too
    points = np.array([[0.085, 0.0, 0.2], [0.0, 0.052, 0.2], [0.0, 0.0, 0.41], [0.0, 0.0, 0.39]])
    assert loft.field(points) == pytest.approx([0.005, 0.002, 0.01, -0.01], abs=3e-4)


def test_a_cap_rounds_the_start_of_a_loft_without_a_step() -> None:
    rows = np.array([[0.0, -0.05, 0.05, 0.05, 2.0, 0.5]] * 2)
    loft = make_loft(np.array([0.0, 0.2]), rows, cap_m=0.05)
    # a tube with half a ball at its start
    direction = np.array([[0.6, 0.0, -0.8], [0.0, 0.8, -0.6], [0.0, 0.0, -1.0]])
    assert loft.field(0.05 * direction) == pytest.approx(0.0, abs=1e-9)
    assert loft.field(0.056 * direction) == pytest.approx(0.006, abs=1e-9)
    near = np.array([[0.053, 0.0, -1e-7], [0.053, 0.0, 1e-7]])
    assert np.ptp(loft.field(near)) < 1e-9


def test_plate_is_at_its_thickness_from_a_flat_outline() -> None:
    table = np.array([[0.0, 0.03, 0.01], [0.0, 0.03, 0.01]])
    plate = Plate(np.zeros(3), np.eye(3)[[2, 0, 1]], np.array([0.0, 0.10]), table)
    # u is z, across is x, along is y; a corner of the outline is a quarter of a ball
    points = np.array(
        [[0.0, 0.05, 0.013], [0.045, 0.05, 0.0], [0.0, 0.12, 0.0], [0.033, 0.104, 0.012]]
    )
    assert plate.field(points) == pytest.approx([0.003, 0.005, 0.010, 0.003], abs=1e-12)


@given(
    x=st.floats(0.0, 0.12),
    fullness=st.floats(0.0, 1.0),
    height=st.floats(-0.02, 0.10),
)
def test_relief_is_full_at_its_centre_and_ends_level(
    x: float, fullness: float, height: float
) -> None:
    radii = np.array([0.08, 0.06, 0.05, 0.10])
    relief = Relief(np.array([x, 0.0, 1.0]), radii, np.eye(3), height, fullness)
    assert relief.height(np.array([[x, 0.0, 1.0]]))[0] == pytest.approx(height, abs=1e-12)
    rim = np.array([[x + 0.08, 0.0, 1.0], [x, 0.0, 0.95], [x, 0.0, 1.10], [x, -0.06, 1.0]])
    assert relief.height(rim) == pytest.approx(0.0, abs=1e-12)
    inside = relief.centre + 0.999 * (rim - relief.centre)
    assert np.abs(relief.height(inside)).max() < 2e-5 * abs(height) + 1e-15
    # outwards of the centre's plane it keeps its outline
    assert relief.height(np.array([[x, 0.04, 1.0]]))[0] == pytest.approx(height, abs=1e-12)


def test_reliefs_of_both_sides_meet_without_an_edge() -> None:
    relief = Relief(np.array([0.05, 0.0, 0.0]), np.full(4, 0.08), np.eye(3), 0.04)
    step = 1e-5
    both = Reliefs.on_both_sides((relief,))
    near = both.height(np.array([[0.0, 0.0, 0.0], [step, 0.0, 0.0]]))
    assert near[0] == pytest.approx(2.0 * relief.height(np.zeros((1, 3)))[0], rel=1e-12)
    assert near[0] > 0.01
    assert abs(near[1] - near[0]) / step < 1e-3


def test_reliefs_add_up() -> None:
    middle = Relief(np.zeros(3), np.full(4, 0.08), np.eye(3), 0.02)
    leaning = np.array([[1.0, 0.0, 0.0], [0.0, 0.8, 0.6], [0.0, -0.6, 0.8]])
    beside = Relief(np.array([0.05, 0.0, 0.03]), np.array([0.05, 0.06, 0.07, 0.08]), leaning, -0.01)
    points = np.random.default_rng(1).uniform(-0.1, 0.1, (200, 3)) * [0.5, 1.0, 1.0] + [0.05, 0, 0]
    one_by_one = middle.height(points) + beside.height(points)
    assert Reliefs.of((middle, beside)).height(points) == pytest.approx(one_by_one, abs=1e-15)
    # a relief in the middle plane is not doubled, nor is one that does not reach it
    assert len(Reliefs.on_both_sides((middle, beside)).height_m) == 3
    far = replace(beside, centre=np.array([0.07, 0.0, 0.0]))
    assert len(Reliefs.on_both_sides((far,)).height_m) == 1


def test_a_held_shape_is_itself_where_it_counts() -> None:
    plate = Plate(np.zeros(3), np.eye(3), np.array([0.0, 0.10]), np.array([[0.0, 0.03, 0.01]] * 2))
    held = Held(plate, np.array([0.0, 0.0, 0.05]), 0.075)
    points = np.random.default_rng(2).uniform(-0.3, 0.3, (900, 3))
    exact, found = plate.field(points), held.field(points)
    near = found < CLEAR_M
    assert np.array_equal(found[near], exact[near])
    assert near.sum() > 20
    assert (found[~near] <= exact[~near]).all()  # never farther than it is


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


def test_flowing_curve_keeps_lines_and_softens_corners() -> None:
    stations, at = np.array([0.0, 0.2, 0.4]), np.linspace(0.0, 0.4, 201)
    line = flowing_curve(stations, 2.0 * stations[:, None], at, 0.01)[:, 0]
    assert line[20:-20] == pytest.approx(2.0 * at[20:-20], abs=1e-6)
    corner = np.array([[0.0], [0.1], [0.1]])
    raw = monotone_curve(stations, corner, at)[:, 0]
    soft = flowing_curve(stations, corner, at, 0.01)[:, 0]
    assert (np.diff(soft) >= -1e-12).all()
    assert soft.min() >= 0.0
    assert soft.max() <= 0.1 + 1e-12
    # the bell takes the jump of curvature away: from one step to the next it changes little
    jump, soft_jump = (np.abs(np.diff(curve[20:-20], 3)).max() for curve in (raw, soft))
    assert soft_jump < 0.2 * jump

# SPDX-License-Identifier: GPL-3.0-or-later
"""Crossing triangles against every pair tested by hand, and bodies that pass through themselves."""

from itertools import combinations

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.mannequin.self_crossings import crossing_pairs, crossings


def by_hand(vertices: FloatArray, triangles: IntArray) -> set[tuple[int, int]]:
    """Every pair without a common corner whose edges pass through each other's inside."""

    def through(edge: FloatArray, triangle: FloatArray) -> bool:
        a, b, c = triangle
        system = np.stack([edge[0] - edge[1], b - a, c - a], axis=1)
        if abs(np.linalg.det(system)) < 1e-12:
            return False
        share, u, v = np.linalg.solve(system, edge[0] - a)
        return bool(0 < share < 1 and u > 0 and v > 0 and u + v < 1)

    def cross(one: IntArray, other: IntArray) -> bool:
        if set(one.tolist()) & set(other.tolist()):
            return False
        first, second = vertices[one], vertices[other]
        return any(
            through(a[[i, (i + 1) % 3]], b)
            for a, b in ((first, second), (second, first))
            for i in range(3)
        )

    pairs = combinations(range(len(triangles)), 2)
    return {(i, j) for i, j in pairs if cross(triangles[i], triangles[j])}


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(2, 40))
def test_pairs_are_those_found_by_hand(seed: int, count: int) -> None:
    random = np.random.default_rng(seed)
    vertices = random.random((20, 3))
    triangles = np.array([random.choice(20, 3, replace=False) for _ in range(count)])
    pairs, points = crossing_pairs(vertices, triangles)
    assert {(i, j) for i, j in pairs.tolist()} == by_hand(vertices, triangles)
    # each point lies in both triangles' planes
    for pair, point in zip(pairs, points, strict=True):
        a, b, c = np.moveaxis(vertices[triangles[pair]], 1, 0)
        normal = np.cross(b - a, c - a)
        assert np.abs(((point - a) * normal).sum(axis=1)).max() < 1e-9


def test_two_rods_through_each_other() -> None:
    """Square rods, 4 cm and 6 cm thick, cross at 1 m: the thin one goes in and out again."""
    thick = trimesh.creation.box(extents=(0.06, 0.06, 2.0)).apply_translation([0, 0, 1.0])
    thin = trimesh.creation.box(extents=(0.5, 0.04, 0.04)).apply_translation([0.01, 0.003, 1.0])
    thick, thin = (rod.subdivide_to_size(0.03) for rod in (thick, thin))
    vertices = np.concatenate([thick.vertices, thin.vertices])
    triangles = np.concatenate([thick.faces, thin.faces + len(thick.vertices)])
    left, right = sorted(crossings(vertices, triangles), key=lambda place: -place.middle[0])
    for place, x in ((left, 0.03), (right, -0.03)):
        assert place.middle == pytest.approx([x, 0.003, 1.0], abs=1e-9)
        assert place.size_m == pytest.approx(0.04 * 2**0.5)


def test_a_closed_ball_does_not_cross_itself_however_fine() -> None:
    ball = trimesh.creation.icosphere(subdivisions=4)
    assert crossings(np.array(ball.vertices), np.array(ball.faces)) == []
    flat = trimesh.creation.box(extents=(1, 1, 1)).subdivide().subdivide().subdivide()
    assert crossings(np.array(flat.vertices), np.array(flat.faces)) == []

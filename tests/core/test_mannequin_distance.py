# SPDX-License-Identifier: GPL-3.0-or-later
"""Distances to the posed body against the plain definition, in array code and compiled."""

import math
from dataclasses import dataclass

import numpy as np
import pytest
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.mannequin import POSES, BodyDistance, Mannequin, between
from napfold.core.mannequin.distance import Surface

from .closest import a_woman, band, least_distance


@pytest.fixture(scope="module")
def mannequin() -> Mannequin:
    return a_woman()


def winding_number(points: FloatArray, body: Surface) -> FloatArray:
    """1 inside, 0 outside, from solid angles (Van Oosterom and Strackee 1983)."""
    total = []
    for point in points:
        a, b, c = (body.vertices[body.triangles] - point).transpose(1, 0, 2)
        la, lb, lc = (np.linalg.norm(side, axis=1) for side in (a, b, c))
        top = np.einsum("ij,ij->i", a, np.cross(b, c))
        bottom = (
            la * lb * lc
            + np.einsum("ij,ij->i", a, b) * lc
            + np.einsum("ij,ij->i", b, c) * la
            + np.einsum("ij,ij->i", c, a) * lb
        )
        total.append(np.arctan2(top, bottom).sum() / (2.0 * math.pi))
    return np.array(total)


@pytest.mark.parametrize("compiled", [True, False])
@pytest.mark.parametrize("pose", ["standing", "reaching up", "reading in bed"])
def test_distance_is_the_smallest_over_all_triangles(
    mannequin: Mannequin, pose: str, compiled: bool
) -> None:
    body = mannequin.posed(POSES[pose])
    distance = BodyDistance(mannequin, compiled=compiled)
    distance.set_pose(body)
    points = band(body, 60)
    found = distance.nearest(points)
    least = least_distance(points, body.vertices[body.triangles])
    assert np.allclose(np.abs(found.distance), least, rtol=0, atol=1e-9)
    # the closest point lies on the named triangle, at the distance told
    corners = body.vertices[body.triangles[found.triangle]]
    on_triangle = np.einsum("ij,ijk->ik", found.weights, corners)
    assert np.allclose(on_triangle, found.point, atol=1e-12)
    assert np.allclose(np.linalg.norm(points - found.point, axis=1), np.abs(found.distance))


@pytest.mark.parametrize("compiled", [True, False])
def test_distance_stays_the_smallest_while_points_and_body_move(
    mannequin: Mannequin, compiled: bool
) -> None:
    distance = BodyDistance(mannequin, compiled=compiled)
    random = np.random.default_rng(2)
    points = band(mannequin.posed(POSES["arms out"]), 40)
    # small steps of points and body, then a leap of both, then points swapped end for end
    for fraction, step_m in ((0.50, 0.0), (0.52, 0.003), (0.52, 0.001), (1.0, 0.05), (1.0, 0.0)):
        body = mannequin.posed(between(POSES["arms out"], POSES["standing"], fraction))
        distance.set_pose(body)
        points = points + random.uniform(-step_m, step_m, points.shape)
        points = points if step_m else points[::-1]
        least = least_distance(points, body.vertices[body.triangles])
        found = np.abs(distance.nearest(points).distance)
        assert np.allclose(found, least, rtol=0, atol=1e-9)


@pytest.mark.parametrize("compiled", [True, False])
def test_looking_part_by_part_finds_the_same_as_looking_at_the_whole(
    mannequin: Mannequin, compiled: bool
) -> None:
    whole = BodyDistance(mannequin, compiled=compiled)
    parts = BodyDistance(mannequin, mannequin.part, compiled=compiled)
    random = np.random.default_rng(6)
    points = band(mannequin.posed(POSES["arms out"]), 3000)
    # legs and trunk stand still while the arms move: then what is near them is remembered
    for fraction, step_m in ((0.0, 0.0), (0.5, 0.003), (0.55, 0.001), (1.0, 0.02)):
        body = mannequin.posed(between(POSES["arms out"], POSES["standing"], fraction))
        points = points + random.uniform(-step_m, step_m, points.shape)
        for distance in (whole, parts):
            distance.set_pose(body)
        one, other = whole.nearest(points, 0.06), parts.nearest(points, 0.06)
        near = np.isfinite(one.distance)
        assert near.sum() > 1500
        assert np.allclose(one.distance, other.distance, rtol=0, atol=1e-12)
        assert np.allclose(one.direction[near], other.direction[near], rtol=0, atol=1e-6)
        corners = body.vertices[body.triangles[other.triangle[near]]]
        on_triangle = np.einsum("ij,ijk->ik", other.weights[near], corners)
        assert np.allclose(on_triangle, other.point[near], rtol=0, atol=1e-12)


@pytest.mark.parametrize("compiled", [True, False])
def test_a_reach_leaves_out_what_is_farther_and_nothing_else(
    mannequin: Mannequin, compiled: bool
) -> None:
    body = mannequin.posed(POSES["standing"])
    whole, limited = (BodyDistance(mannequin, compiled=compiled) for _ in range(2))
    reach_m = 0.02
    points = band(body, 3000)
    for distance in (whole, limited):
        distance.set_pose(body)
    # first call, then one with what the first left behind, some points coming into reach
    for scale in (1.0, 0.98):
        exact, found = whole.nearest(scale * points), limited.nearest(scale * points, reach_m)
        within = np.abs(exact.distance) < reach_m
        assert 500 < within.sum() < 2900
        assert np.allclose(found.distance[within], exact.distance[within], rtol=0, atol=1e-12)
        assert np.allclose(found.point[within], exact.point[within], rtol=0, atol=1e-9)
        assert np.isposinf(found.distance[~within]).all()
        assert np.isfinite(found.direction).all()


def test_no_points_get_no_answers(mannequin: Mannequin) -> None:
    distance = BodyDistance(mannequin, compiled=False)
    distance.set_pose(mannequin.posed(POSES["standing"]))
    assert distance.nearest(np.zeros((0, 3))).point.shape == (0, 3)


@pytest.mark.parametrize("compiled", [True, False])
def test_sign_is_that_of_the_winding_number(mannequin: Mannequin, compiled: bool) -> None:
    # in the bind-like pose the skin does not overlap, so inside is well defined
    body = mannequin.posed(POSES["arms out"])
    distance = BodyDistance(mannequin, compiled=compiled)
    distance.set_pose(body)
    points = band(body, 150, seed=3)
    inside = winding_number(points, body) > 0.5
    assert np.array_equal(distance.nearest(points).distance < 0.0, inside)


@dataclass(frozen=True)
class Solid:
    """A closed mesh."""

    vertices: FloatArray
    triangles: IntArray


FIN = Solid(
    # on the wall of a pyramid a thin fin, whose ridge leaves the wall steeply at the first corner:
    # the normal of that corner is the wall's and points away from the ridge's outside
    np.array(
        [
            [0.0, 0.0, 0.0],
            [0.0, 0.0, 1.0],
            [0.0, 1.0, 0.0],
            [0.0, 0.05, -1.0],
            [0.0, -0.05, -1.0],
            [0.0, -1.0, 0.0],
            [-0.5, 0.0, 0.866],
            [1.0, 0.0, 0.0],
        ]
    ),
    np.array(
        [
            *([0, 1, 2], [0, 2, 3], [0, 4, 5], [0, 5, 1]),
            *([0, 3, 6], [0, 6, 4], [6, 3, 4]),
            *([7, 2, 1], [7, 3, 2], [7, 4, 3], [7, 5, 4], [7, 1, 5]),
        ]
    ),
)


@pytest.mark.parametrize("compiled", [True, False])
def test_sign_is_right_in_a_notch_under_a_sharp_edge(compiled: bool) -> None:
    low, high = [-0.5, -0.1, -0.3], [0.2, 0.1, 0.6]
    points = np.random.default_rng(0).uniform(low, high, (3000, 3))
    inside = winding_number(points, FIN) > 0.5
    assert 0.2 < inside.mean() < 0.5
    found = BodyDistance(FIN, compiled=compiled).nearest(points)
    assert np.array_equal(found.distance < 0.0, inside)


def test_two_sets_of_points_are_remembered_side_by_side(mannequin: Mannequin) -> None:
    body = mannequin.posed(POSES["standing"])
    distance = BodyDistance(mannequin, compiled=False)
    distance.set_pose(body)
    one, other = band(body, 300), band(body, 200, seed=9)
    first = [distance.nearest(points).distance for points in (one, other)]
    for _ in range(2):
        again = [distance.nearest(points).distance for points in (one, other)]
        assert np.allclose(again[0], first[0], rtol=0, atol=1e-12)
        assert np.allclose(again[1], first[1], rtol=0, atol=1e-12)
    # many more sets than are kept do no harm either
    for count in range(1, 9):
        assert np.allclose(distance.nearest(one[:count]).distance, first[0][:count], atol=1e-12)


def test_compiled_and_array_code_agree(mannequin: Mannequin) -> None:
    body = mannequin.posed(POSES["sitting"])
    points = band(body, 3000)
    answers = []
    for compiled in (True, False):
        distance = BodyDistance(mannequin, compiled=compiled)
        distance.set_pose(body)
        answers.append(distance.nearest(points))
    assert np.allclose(answers[0].distance, answers[1].distance, atol=1e-12)


def test_answers_do_not_depend_on_what_was_asked_before(mannequin: Mannequin) -> None:
    distance = BodyDistance(mannequin)
    distance.set_pose(mannequin.posed(POSES["arms out"]))
    body = mannequin.posed(POSES["standing"])
    points = band(body, 500)
    distance.nearest(points[::-1])
    distance.set_pose(body)
    warm = distance.nearest(points)
    fresh = BodyDistance(mannequin)
    fresh.set_pose(body)
    cold = fresh.nearest(points)
    assert np.allclose(warm.distance, cold.distance, atol=1e-13)
    shuffled = np.random.default_rng(0).permutation(len(points))
    assert np.allclose(fresh.nearest(points[shuffled]).distance, cold.distance[shuffled])


def test_direction_is_a_unit_gradient_continuous_through_the_skin(mannequin: Mannequin) -> None:
    body = mannequin.posed(POSES["arms out"])
    distance = BodyDistance(mannequin)
    distance.set_pose(body)
    points = band(body, 400, seed=5)
    found = distance.nearest(points)
    assert np.allclose(np.linalg.norm(found.direction, axis=1), 1.0)
    # a step along the direction raises the distance by its length, outside where the closest
    # place stays on the same sheet of the skin: not midway between the legs or under the chin
    step = 0.0005
    moved = distance.nearest(points + step * found.direction)
    stays = np.linalg.norm(moved.point - found.point, axis=1) < 4.0 * step
    outside = (found.distance > 0.002) & stays
    assert stays.mean() > 0.97
    assert np.allclose((moved.distance - found.distance)[outside], step, atol=2e-5)
    # from 20 micrometres inside to 20 outside the direction hardly turns
    skin = body.vertices[::97]
    normal = body.normals[::97]
    inner = distance.nearest(skin - 2e-5 * normal).direction
    outer = distance.nearest(skin + 2e-5 * normal).direction
    assert (np.einsum("ij,ij->i", inner, outer) > 0.999).all()


def test_distance_changes_no_faster_than_the_skin_moves(mannequin: Mannequin) -> None:
    before = mannequin.posed(between(POSES["arms out"], POSES["standing"], 0.50))
    after = mannequin.posed(between(POSES["arms out"], POSES["standing"], 0.52))
    most = np.linalg.norm(after.vertices - before.vertices, axis=1).max()
    distance = BodyDistance(mannequin)
    # the signed distance is continuous only outside: inside, folds of skin may overlap
    distance.set_pose(before)
    points = band(before, 2000)
    first = distance.nearest(points).distance
    distance.set_pose(after)
    second = distance.nearest(points).distance
    both = (first > 0.0) & (second > 0.0)
    assert np.abs(first - second)[both].max() <= most + 1e-9


@pytest.mark.parametrize("compiled", [True, False])
def test_points_far_away_are_answered(mannequin: Mannequin, compiled: bool) -> None:
    body = mannequin.posed(POSES["standing"])
    distance = BodyDistance(mannequin, compiled=compiled)
    distance.set_pose(body)
    found = distance.nearest(np.array([[0.0, 0.0, 10.0], [0.0, 0.0, 1.0]]))
    top = body.vertices[:, 2].max()
    assert found.distance[0] == pytest.approx(10.0 - top, abs=2e-3)
    assert found.distance[1] < -0.05

# SPDX-License-Identifier: GPL-3.0-or-later
"""Distances to the posed body against the plain definition, in array code and compiled."""

import math

import numpy as np
import pytest
from napfold.core.arrays import FloatArray
from napfold.core.mannequin import (
    POSES,
    BodyDistance,
    Mannequin,
    PosedBody,
    between,
    build_mannequin,
)
from napfold.core.mannequin import triangles as array_code
from napfold.core.mannequin.distance import fast_search
from napfold.core.mannequin.triangles import (
    Memory,
    build_tree,
    closest_on_triangles,
    farthest_m,
    fit_boxes,
    triangle_planes,
)
from napfold.core.tape import Tape

BAND_M = 0.030


@pytest.fixture(scope="module")
def mannequin() -> Mannequin:
    tape = {"height": 1.64, "bust_girth": 0.96, "waist_girth": 0.80, "hip_girth": 1.04}
    return build_mannequin(Tape(sex="female", given=tape))


def band(body: PosedBody, count: int, seed: int = 7) -> FloatArray:
    """Random points within about 30 mm of the skin, on both sides."""
    random = np.random.default_rng(seed)
    chosen = random.integers(0, len(body.vertices), count)
    away = random.uniform(-BAND_M, BAND_M, (count, 1))
    return body.vertices[chosen] + away * body.normals[chosen] + random.normal(0, 0.004, (count, 3))


def least_distance(points: FloatArray, corners: FloatArray) -> FloatArray:
    """From each point to the nearest of all triangles with ``corners`` (t, 3, 3), one by one."""
    planes, _ = triangle_planes(corners)
    squares = [
        closest_on_triangles(np.broadcast_to(point, (len(planes), 3)), planes)[1].min()
        for point in points
    ]
    return np.sqrt(squares)


def winding_number(points: FloatArray, body: PosedBody) -> FloatArray:
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
def test_remembered_neighbours_are_enough_until_something_moved_too_far(
    mannequin: Mannequin, compiled: bool
) -> None:
    search = fast_search() if compiled else array_code.search
    tree = build_tree(mannequin.vertices, mannequin.triangles)
    memory = Memory.of_nothing(25)
    random = np.random.default_rng(4)
    points = band(mannequin.posed(POSES["arms out"]), 25)
    last = np.full(25, -1)
    before = mannequin.vertices
    kept_anew = []
    # standing still, creeping on, creeping with a body that turns by minutes of arc, then a leap
    for degrees, step_m in ((0, 0), (0, 0), (0, 2e-4), (0, 2e-4), (0.01, 2e-4), (0.02, 0), (5, 0)):
        body = mannequin.posed(between(POSES["arms out"], POSES["standing"], degrees / 90))
        memory.travel_m += farthest_m(before, body.vertices)
        before = body.vertices
        points = points + random.uniform(-step_m, step_m, points.shape)
        corners = body.vertices[body.triangles]
        planes, _ = triangle_planes(corners)
        sure_m = memory.sure_m.copy()
        found = search(points, last, tree, fit_boxes(tree, corners), planes, np.inf, memory)
        last = found.triangle
        least = least_distance(points, corners)
        assert np.allclose(np.sqrt(found.square), least, rtol=0, atol=1e-9)
        kept_anew.append((memory.sure_m != sure_m).sum())
    # neighbours are kept when points come again, and anew after the leap; not by the hands and
    # the face, where more triangles lie near than are remembered
    assert kept_anew[0] == 0
    assert kept_anew[1] >= 20
    assert kept_anew[2:6] == [0, 0, 0, 0]
    assert kept_anew[6] >= 20


@pytest.mark.parametrize("compiled", [True, False])
@pytest.mark.parametrize("count", [1, 2, 5, 300])
def test_few_or_scattered_triangles_are_searched_like_a_body(count: int, compiled: bool) -> None:
    random = np.random.default_rng(count)
    corners = random.uniform(-0.2, 0.2, (count, 1, 3)) + random.normal(0, 0.05, (count, 3, 3))
    tree = build_tree(corners.reshape(-1, 3), np.arange(3 * count).reshape(-1, 3))
    planes, _ = triangle_planes(corners)
    points = random.uniform(-0.3, 0.3, (80, 3))
    search = fast_search() if compiled else array_code.search
    for start in (np.full(80, -1), random.integers(0, count, 80)):
        found = search(points, start, tree, fit_boxes(tree, corners), planes, np.inf)
        least = least_distance(points, corners)
        assert np.allclose(np.sqrt(found.square), least, rtol=0, atol=1e-9)


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
    # place stays the same sheet of the skin: not midway between the legs
    step = 0.0005
    outside = (found.distance > 0.002) & (np.abs(points[:, 0]) > step)
    moved = distance.nearest(points + step * found.direction).distance
    assert np.allclose((moved - found.distance)[outside], step, atol=2e-5)
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

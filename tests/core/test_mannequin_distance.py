# SPDX-License-Identifier: GPL-3.0-or-later
"""Distances to the posed body against the plain definition, in array code and compiled."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.mannequin import (
    POSES,
    BodyDistance,
    Mannequin,
    PosedBody,
    between,
    build_mannequin,
)
from napfold.core.mannequin import search as array_code
from napfold.core.mannequin.box_tree import PosedTree, build_tree, posed_tree, within
from napfold.core.mannequin.distance import Surface
from napfold.core.mannequin.memory import KEPT, SLACK_M, Memory, farthest_m
from napfold.core.mannequin.place_finder import fast_search
from napfold.core.mannequin.search import Search
from napfold.core.mannequin.triangles import closest_on_triangles, triangle_planes
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


def columns_of(corners: FloatArray) -> FloatArray:
    """Triangles (t, 3, 3) as columns (3, 3, t)."""
    return np.ascontiguousarray(corners.transpose(1, 2, 0))


def least_distance(points: FloatArray, corners: FloatArray) -> FloatArray:
    """From each point to the nearest of all triangles with ``corners`` (t, 3, 3), one by one."""
    planes, _ = triangle_planes(columns_of(corners))
    squares = [
        (closest_on_triangles(np.repeat(point[:, None], planes.shape[1], axis=1), planes)[1] ** 2)
        .sum(axis=0)
        .min()
        for point in points
    ]
    return np.sqrt(squares)


def tree_of(corners: FloatArray) -> PosedTree:
    """A tree of triangles (t, 3, 3)."""
    tree = build_tree(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3))
    return posed_tree(tree, columns_of(corners[tree.order]))


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


def search_of(compiled: bool) -> Callable[..., Search]:
    """One of the twins."""
    return fast_search() if compiled else array_code.search


@pytest.mark.parametrize("compiled", [True, False])
def test_remembered_neighbours_are_enough_until_something_moved_too_far(
    mannequin: Mannequin, compiled: bool
) -> None:
    search = search_of(compiled)
    tree = build_tree(mannequin.vertices, mannequin.triangles)
    memory = Memory.of_nothing(25)
    random = np.random.default_rng(4)
    points = band(mannequin.posed(POSES["arms out"]), 25)
    last = np.full(25, -1)
    before = mannequin.vertices
    kept_anew = []
    # standing still, creeping on, creeping with a body that turns by minutes of arc, then a leap
    for degrees, step_m in ((0, 0), (0, 0), (0, 5e-4), (0, 5e-4), (0.02, 5e-4), (0.04, 0), (5, 0)):
        body = mannequin.posed(between(POSES["arms out"], POSES["standing"], degrees / 90))
        memory.travel_m += farthest_m(before, body.vertices)
        before = body.vertices
        points = points + random.uniform(-step_m, step_m, points.shape)
        corners = body.vertices[body.triangles]
        posed = posed_tree(tree, columns_of(corners[tree.order]))
        at = memory.at.copy()
        found = search(np.ascontiguousarray(points.T), last, posed, np.inf, memory)
        last = found.place
        least = least_distance(points, corners)
        assert np.allclose(np.sqrt(found.square), least, rtol=0, atol=1e-9)
        kept_anew.append((memory.at != at).any(axis=0).sum())
    # where points were is noted at first and after the leap; between, neighbours are enough, but
    # for a few by the hands and the face, where more triangles lie near than are kept
    assert kept_anew[0] == 25
    assert kept_anew[1] == 0
    assert max(kept_anew[2:6]) <= 3
    assert kept_anew[6] >= 20


@pytest.mark.parametrize("compiled", [True, False])
def test_what_is_kept_is_all_that_is_near_and_its_tangents_are_below_the_distances(
    mannequin: Mannequin, compiled: bool
) -> None:
    body = mannequin.posed(POSES["standing"])
    corners = body.vertices[body.triangles]
    posed = tree_of(corners)
    points = np.ascontiguousarray(band(body, 60).T)
    memory = Memory.of_nothing(60)
    last = np.full(60, -1)
    for _ in range(2):
        last = search_of(compiled)(points, last, posed, np.inf, memory).place
    assert (memory.count > 0).all()
    moved = points + np.random.default_rng(3).normal(0.0, 0.003, points.shape)
    for row in range(60):
        filled = np.flatnonzero(posed.tree.filled)
        planes = posed.planes[:, filled]
        here, there = (
            np.linalg.norm(closest_on_triangles(at[:, [row]], planes)[1], axis=0)
            for at in (points, moved)
        )
        kept = memory.place[row, : memory.count[row]]
        # exactly the triangles within the radius, or the nearest of too many
        near = filled[here < memory.sure_m[row] - 1e-7]
        assert set(near) <= set(kept)
        assert memory.sure_m[row] == pytest.approx(here.min() + SLACK_M) or len(kept) == KEPT
        ground = np.zeros(posed.planes.shape[1])
        ground[filled] = there
        offset = moved[:, row] - points[:, row]
        tangent = memory.distance_m[row] + offset @ memory.slope[:, row]
        assert (tangent[: len(kept)] <= ground[kept] + 1e-6).all()


@pytest.mark.parametrize("reach_m", [np.inf, 0.02])
def test_both_twins_find_the_same_with_either_memory(mannequin: Mannequin, reach_m: float) -> None:
    body = mannequin.posed(POSES["standing"])
    posed = tree_of(body.vertices[body.triangles])
    random = np.random.default_rng(5)
    memories = [Memory.of_nothing(400) for _ in range(2)]
    points = np.ascontiguousarray(band(body, 400).T)
    last = np.full(400, -1)
    for turn in range(6):
        points = points + random.normal(0.0, 0.001, points.shape)
        # each goes on with what the other kept
        one, other = (
            search_of((way + turn) % 2 == 0)(points, last, posed, reach_m, memories[way])
            for way in range(2)
        )
        assert np.allclose(one.square, other.square, rtol=0, atol=1e-14)
        within_reach = np.isfinite(one.square)
        assert (one.square[within_reach] < reach_m**2).all()
        assert within_reach.all() or reach_m < np.inf
        for found in (one, other):
            corners = posed.planes[0:3, found.place]
            edges = posed.planes[3:9, found.place].reshape(2, 3, -1)
            closest = corners + (found.weights[1:, None] * edges).sum(axis=0)
            assert np.allclose(closest + found.away, points, rtol=0, atol=1e-12)
        reached = one.away[:, within_reach], other.away[:, within_reach]
        assert np.allclose(*reached, rtol=0, atol=1e-9)
        last = other.place


@pytest.mark.parametrize("compiled", [True, False])
@pytest.mark.parametrize("count", [1, 2, 5, 9, 10, 300])
def test_few_or_scattered_triangles_are_searched_like_a_body(count: int, compiled: bool) -> None:
    random = np.random.default_rng(count)
    corners = random.uniform(-0.2, 0.2, (count, 1, 3)) + random.normal(0, 0.05, (count, 3, 3))
    posed = tree_of(corners)
    points = random.uniform(-0.3, 0.3, (80, 3))
    columns = np.ascontiguousarray(points.T)
    for start in (np.full(80, -1), random.integers(0, count, 80)):
        found = search_of(compiled)(columns, start, posed, np.inf, Memory.of_nothing(80))
        least = least_distance(points, corners)
        assert np.allclose(np.sqrt(found.square), least, rtol=0, atol=1e-9)


@pytest.mark.parametrize("count", [1, 9, 10, 100, 1000])
def test_every_triangle_has_one_place_inside_the_boxes_above_it(count: int) -> None:
    random = np.random.default_rng(count)
    corners = random.uniform(-1.0, 1.0, (count, 1, 3)) + random.normal(0, 0.05, (count, 3, 3))
    posed = tree_of(corners)
    tree = posed.tree
    assert np.array_equal(np.sort(tree.order[tree.filled]), np.arange(count))
    assert len(tree.order) == tree.widths.prod()
    assert tree.widths[-1] <= 9
    # points in a triangle are within nothing of its place and of those whose boxes they lie in
    inside = corners.mean(axis=1)
    rows, places = within(inside.T.copy(), np.zeros(count), posed)
    found = np.zeros((count, count), dtype=bool)
    found[rows, tree.order[places]] = True
    low, high = corners.min(axis=1), corners.max(axis=1)
    in_box = ((inside[:, None] >= low) & (inside[:, None] <= high)).all(axis=2)
    assert found.diagonal().all()
    assert (found >= in_box).all()
    assert tree.filled[places].all()


@pytest.mark.parametrize(
    ("point", "weights", "distance"),
    [
        ((0.25, 0.25, -2.0), (0.5, 0.25, 0.25), 2.0),
        ((0.5, -3.0, 4.0), (0.5, 0.5, 0.0), 5.0),
        ((-3.0, 0.5, 4.0), (0.5, 0.0, 0.5), 5.0),
        ((3.5, 3.5, 0.0), (0.0, 0.5, 0.5), math.sqrt(18.0)),
        ((-1.0, -1.0, 0.0), (1.0, 0.0, 0.0), math.sqrt(2.0)),
        ((3.0, -1.0, 0.0), (0.0, 1.0, 0.0), math.sqrt(5.0)),
        ((-1.0, 3.0, 0.0), (0.0, 0.0, 1.0), math.sqrt(5.0)),
    ],
)
def test_closest_point_of_a_triangle_by_hand(
    point: tuple[float, ...], weights: tuple[float, ...], distance: float
) -> None:
    corners = np.array([[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]])
    planes, normals = triangle_planes(columns_of(corners))
    found, away = closest_on_triangles(np.array(point)[:, None], planes)
    assert found[:, 0] == pytest.approx(weights, abs=1e-15)
    assert np.array_equal(found[:, 0] == 0.0, np.array(weights) == 0.0)
    assert np.linalg.norm(away) == pytest.approx(distance)
    assert corners[0].T @ found + away == pytest.approx(np.array(point)[:, None])
    assert normals[:, 0] == pytest.approx((0.0, 0.0, 1.0))


@pytest.mark.parametrize("order", [(0, 1, 2), (0, 2, 1), (2, 1, 0)])
def test_a_triangle_without_area_counts_as_its_edge(order: tuple[int, int, int]) -> None:
    # two corners in one place
    corners = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [1.0, 0.0, 0.0]])[None, list(order)]
    planes, _ = triangle_planes(columns_of(corners))
    weights, away = closest_on_triangles(np.array([[0.5], [3.0], [4.0]]), planes)
    assert away[:, 0] == pytest.approx((0.0, 3.0, 4.0))
    assert weights.sum() == pytest.approx(1.0)


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

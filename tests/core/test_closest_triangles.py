# SPDX-License-Identifier: GPL-3.0-or-later
"""The closest of many triangles: the tree, what is remembered between searches, the two twins."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from napfold.core.arrays import FloatArray
from napfold.core.mannequin import POSES, Mannequin, between
from napfold.core.mannequin import search as array_code
from napfold.core.mannequin.box_tree import PosedTree, build_tree, posed_tree, within
from napfold.core.mannequin.memory import KEPT, SLACK_M, Memory, farthest_m
from napfold.core.mannequin.place_finder import fast_search
from napfold.core.mannequin.search import Search
from napfold.core.mannequin.triangles import closest_on_triangles, triangle_planes

from .closest import a_woman, band, columns_of, least_distance


@pytest.fixture(scope="module")
def mannequin() -> Mannequin:
    return a_woman()


def tree_of(corners: FloatArray) -> PosedTree:
    """A tree of triangles (t, 3, 3)."""
    tree = build_tree(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3))
    return posed_tree(tree, columns_of(corners[tree.order]))


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

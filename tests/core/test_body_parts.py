# SPDX-License-Identifier: GPL-3.0-or-later
"""Places on trunk, arms and legs close to points: what the limited, warm search may not change."""

import numpy as np
import pytest
from napfold.core.arrays import FloatArray
from napfold.core.drape import body_parts
from napfold.core.drape.body_parts import CLOSE_M, Close, close_places
from napfold.core.mannequin import (
    POSES,
    BodyDistance,
    Mannequin,
    PosedBody,
    between,
    build_mannequin,
)
from napfold.core.tape import Tape


@pytest.fixture(scope="module")
def mannequin() -> Mannequin:
    return build_mannequin(Tape(sex="female", given={"height": 1.64, "bust_girth": 0.96}))


@pytest.fixture(params=[True, False], ids=["fast", "array code"])
def compiled(request: pytest.FixtureRequest) -> bool:
    """Which of the twins searches."""
    way: bool = request.param
    return way


def cloud(body: PosedBody, count: int, seed: int = 4) -> FloatArray:
    """Random points up to about 80 mm from the skin: half of them beyond `CLOSE_M`."""
    random = np.random.default_rng(seed)
    chosen = random.integers(0, len(body.vertices), count)
    away = random.uniform(-0.5 * CLOSE_M, 2.0 * CLOSE_M, (count, 1))
    return body.vertices[chosen] + away * body.normals[chosen]


def close(distance: BodyDistance, points: FloatArray, reach_m: float = CLOSE_M) -> Close:
    return close_places(distance, distance.look(points, reach_m))


def same(one: Close, other: Close) -> bool:
    return (
        np.array_equal(one.row, other.row)
        and np.array_equal(one.part, other.part)
        and np.allclose(one.point, other.point, rtol=0, atol=1e-9)
        and np.allclose(one.direction, other.direction, rtol=0, atol=1e-6)
    )


def test_places_within_reach_are_those_of_an_unlimited_search(
    mannequin: Mannequin, monkeypatch: pytest.MonkeyPatch, compiled: bool
) -> None:
    body = mannequin.posed(POSES["standing"])
    points = cloud(body, 3000)
    parts = BodyDistance(mannequin, mannequin.part, compiled=compiled)
    parts.set_pose(body)
    limited = close(parts, points)
    monkeypatch.setattr(body_parts, "CLOSE_M", 10.0)
    parts = BodyDistance(mannequin, mannequin.part, compiled=compiled)
    parts.set_pose(body)
    whole = close(parts, points, 10.0)
    near = np.linalg.norm(points[whole.row] - whole.point, axis=1) < CLOSE_M
    assert 1500 < near.sum() < 0.5 * len(near)
    fields = whole.row, whole.part, whole.point, whole.direction
    assert same(limited, Close(*(field[near] for field in fields)))


def test_places_do_not_depend_on_what_was_asked_before(
    mannequin: Mannequin, compiled: bool
) -> None:
    points = cloud(mannequin.posed(POSES["standing"]), 3000)
    random = np.random.default_rng(1)
    warm = BodyDistance(mannequin, mannequin.part, compiled=compiled)
    for fraction, step_m in ((0.95, 0.0), (0.97, 0.003), (0.97, 0.02), (0.2, 0.001), (1.0, 0.001)):
        body = mannequin.posed(between(POSES["arms out"], POSES["standing"], fraction))
        points = points + random.uniform(-step_m, step_m, points.shape)
        warm.set_pose(body)
        cold = BodyDistance(mannequin, mannequin.part, compiled=compiled)
        cold.set_pose(body)
        assert same(close(warm, points), close(cold, points))


def test_a_point_between_arm_and_trunk_is_close_to_both(
    mannequin: Mannequin, compiled: bool
) -> None:
    body = mannequin.posed(POSES["standing"])
    arm = body.vertices[(mannequin.part == mannequin.part[body.vertices[:, 0].argmax()])]
    parts = BodyDistance(mannequin, mannequin.part, compiled=compiled)
    parts.set_pose(body)
    # just inside the arm towards the trunk, level by level
    inner = arm[arm[:, 0].argsort()[:200]] - [0.005, 0.0, 0.0]
    near = close(parts, inner)
    assert (np.bincount(near.row, minlength=len(inner)) >= 2).sum() > 50
    assert (np.linalg.norm(inner[near.row] - near.point, axis=1) < CLOSE_M).all()
    assert np.allclose(np.linalg.norm(near.direction, axis=1), 1.0)

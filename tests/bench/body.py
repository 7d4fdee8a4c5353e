# SPDX-License-Identifier: GPL-3.0-or-later
"""The mannequin and the distance to it: 12,000 points within 30 mm of a standing body."""

import numpy as np
from napfold.core.arrays import FloatArray
from napfold.core.drape.threads import one_thread
from napfold.core.mannequin import POSES, BodyDistance, PosedBody, build_mannequin

from ..rows import Row, at_most, reported
from .jobs import REFERENCE_TAPE
from .timing import cpu_seconds, say

__all__ = ["measure"]

POINTS = 12_000
BAND_M = 0.03
STEPS_M = (0.0003, 0.002)
"""How far points move between calls: at the end of a drape, when most calls are made; and before."""

WAYS = (("compiled", True), ("array code", False))


def points_near(body: PosedBody) -> FloatArray:
    """Points (n, 3) up to `BAND_M` outside the skin, anywhere, in no order to gain by."""
    random = np.random.default_rng(1)
    corners = body.vertices[body.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(normal, axis=1)
    chosen = random.choice(len(area), POINTS, p=area / area.sum())
    place = np.einsum("ni,nij->nj", random.dirichlet([1.0, 1.0, 1.0], POINTS), corners[chosen])
    away = random.uniform(0.0, BAND_M, (POINTS, 1))
    return place + away * (normal / area[:, None])[chosen]


def points_above_corners(body: PosedBody) -> FloatArray:
    """Points (n, 3) right above corners of the mesh, where six triangles are equally near."""
    random = np.random.default_rng(1)
    chosen = random.integers(0, len(body.vertices), POINTS)
    away = random.uniform(0.0, BAND_M, (POINTS, 1))
    return body.vertices[chosen] + away * body.normals[chosen]


def measure() -> list[Row]:
    """Seconds of the processor on one thread, best of several."""
    with one_thread():
        return _measure()


def _measure() -> list[Row]:
    say("building the body")
    build_s, mannequin = cpu_seconds(lambda: build_mannequin(REFERENCE_TAPE), 3)
    pose_s, body = cpu_seconds(lambda: mannequin.posed(POSES["standing"]), 5)
    rows = [
        reported("vertices of the body", len(mannequin.vertices), ""),
        at_most("a body from its tape", build_s, "s", 1.0),
        reported("a pose of the body", 1e3 * pose_s, "ms"),
    ]
    points = points_near(body)
    times: dict[str, list[float]] = {}
    distances = []
    for way, compiled in WAYS:
        say(f"distance, {way}")
        # the first search compiles, or reads what was compiled before
        warm_up = BodyDistance(mannequin, compiled=compiled)
        warm_up.set_pose(body)
        warm_up.nearest(points[:10])
        new_s, distance = cpu_seconds(lambda: BodyDistance(mannequin, compiled=compiled), 3)  # noqa: B023
        set_s, _ = cpu_seconds(lambda: distance.set_pose(body), 7)  # noqa: B023
        first_s, found = min(
            (_first(BodyDistance(mannequin, compiled=compiled), body, points) for _ in range(3)),
            key=lambda timed: timed[0],
        )
        distances.append(found)
        again_s = [_again(distance, points, step_m) for step_m in STEPS_M]
        fresh = BodyDistance(mannequin, compiled=compiled)
        fresh.set_pose(body)
        corners_s = _again(fresh, points_above_corners(body), STEPS_M[0])
        times[way] = [first_s, again_s[0]]
        rows += [
            at_most(f"{way}: distance, set-up for a new body", new_s, "s", 1.5),
            at_most(f"{way}: distance, set-up for a new pose", 1e3 * set_s, "ms", 30.0),
            reported(f"{way}: 12,000 points for the first time", 1e3 * first_s, "ms"),
            at_most(f"{way}: 12,000 points again", 1e3 * again_s[0], "ms", 10.0, "goal 4 ms"),
            reported(f"{way}: again, moved by 2 mm", 1e3 * again_s[1], "ms"),
            reported(f"{way}: again, right above corners", 1e3 * corners_s, "ms"),
        ]
    first, again = np.array(times["array code"]) / np.array(times["compiled"])
    rows += [
        reported("array code over compiled, first time", float(first), "times"),
        reported("array code over compiled, again", float(again), "times"),
        at_most(
            "largest difference of both", float(np.abs(np.subtract(*distances)).max()), "m", 1e-9
        ),
    ]
    return rows


def _again(distance: BodyDistance, points: FloatArray, step_m: float) -> float:
    """Seconds for points asked about again after moves of about ``step_m`` to and fro."""
    random = np.random.default_rng(2)
    moved = [points + random.normal(0.0, step_m / 3**0.5, points.shape) for _ in range(4)]
    for places in (points, points, *moved):
        distance.nearest(places)
    turn = iter(range(10_000))
    seconds, _ = cpu_seconds(lambda: distance.nearest(moved[next(turn) % 4]), 12)
    return seconds


def _first(distance: BodyDistance, body: PosedBody, points: FloatArray) -> tuple[float, FloatArray]:
    distance.set_pose(body)
    seconds, nearest = cpu_seconds(lambda: distance.nearest(points), 1)
    return seconds, nearest.distance

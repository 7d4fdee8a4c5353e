# SPDX-License-Identifier: GPL-3.0-or-later
"""A body, points near its skin, and the plain definition of what lies closest to them."""

import numpy as np
from napfold.core.arrays import FloatArray
from napfold.core.mannequin import Mannequin, PosedBody, build_mannequin
from napfold.core.mannequin.triangles import closest_on_triangles, triangle_planes
from napfold.core.tape import Tape

BAND_M = 0.030


def a_woman() -> Mannequin:
    """The mannequin of all these tests."""
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

# SPDX-License-Identifier: GPL-3.0-or-later
"""Measures taken on the body as a tape takes them.

A tape bridges hollows: the girth of a section is the perimeter of its convex hull.
"""

import math
from collections.abc import Callable

import numpy as np

from ..arrays import FloatArray, IntArray

__all__ = ["hull_girth", "section_points", "shape_section", "slice_points"]

DIRECTIONS = 720


def hull_girth(points: FloatArray) -> float:
    """Perimeter of the convex hull of points (n, 2) in a plane, m.

    Cauchy's formula: the perimeter is the integral of the support function over all directions;
    720 directions leave an error under 1e-5 of the girth.
    """
    angle = np.arange(DIRECTIONS) * (2.0 * math.pi / DIRECTIONS)
    support = points @ np.stack([np.cos(angle), np.sin(angle)])
    return float(support.max(axis=0).sum() * 2.0 * math.pi / DIRECTIONS)


def shape_section(
    field: Callable[[FloatArray], FloatArray],
    centre: FloatArray,
    first: FloatArray,
    second: FloatArray,
    reach_m: float,
    rays: int = 72,
    rounds: int = 14,
) -> FloatArray:
    """Outline (rays, 2) of an implicit body in the plane through ``centre``.

    Rays leave the centre, which must be inside; ``reach_m`` must be outside. The outline is in
    coordinates along the unit vectors ``first`` and ``second``.
    """
    angle = np.arange(rays) * (2.0 * math.pi / rays)
    flat = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    direction = flat @ np.stack([first, second])
    low, high = np.zeros(rays), np.full(rays, reach_m)
    for _ in range(rounds):
        middle = 0.5 * (low + high)
        inside = field(centre + middle[:, None] * direction) < 0.0
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    result: FloatArray = (0.5 * (low + high))[:, None] * flat
    return result


def section_points(
    vertices: FloatArray, triangles: IntArray, origin: FloatArray, normal: FloatArray
) -> tuple[FloatArray, IntArray]:
    """Where a plane cuts a mesh: segments (k, 2, 3) and the triangle of each (k,)."""
    height = (vertices - origin) @ normal
    # a vertex in the plane counts as above, so every cut triangle has exactly two cut edges
    above = height >= 0.0
    count = above[triangles].sum(axis=1)
    cut = np.flatnonzero((count == 1) | (count == 2))
    corners = triangles[cut]
    alone = above[corners] == (count[cut] == 1)[:, None]
    lone = np.argmax(alone, axis=1)
    rows = np.arange(len(cut))
    tip = corners[rows, lone]
    ends = []
    for shift in (1, 2):
        other = corners[rows, (lone + shift) % 3]
        t = height[tip] / (height[tip] - height[other])
        ends.append(vertices[tip] + t[:, None] * (vertices[other] - vertices[tip]))
    return np.stack(ends, axis=1), cut


def slice_points(
    vertices: FloatArray, triangles: IntArray, height_m: float, most_x_m: float = math.inf
) -> FloatArray:
    """Points (k, 2) in x and y where a horizontal plane cuts a mesh, within ``most_x_m`` of x = 0."""
    segments, _ = section_points(
        vertices, triangles, np.array([0.0, 0.0, height_m]), np.array([0.0, 0.0, 1.0])
    )
    points = segments.reshape(-1, 3)[:, :2]
    result: FloatArray = points[np.abs(points[:, 0]) <= most_x_m]
    return result

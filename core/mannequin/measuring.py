# SPDX-License-Identifier: GPL-3.0-or-later
"""Measures taken on the body as a tape takes them.

A tape bridges hollows: the girth of a section is the perimeter of its convex hull.
"""

import math
from collections.abc import Callable

import numpy as np

from ..arrays import FloatArray, IntArray

__all__ = [
    "armpit_height",
    "hull_girth",
    "section_points",
    "shape_sections",
    "slice_points",
    "top_of_section",
]

DIRECTIONS = 720
FALSE_POSITIONS = 4
RIDGE_M = 0.03  # a point of the shoulder line lies so near before or behind its landmark
ARMPIT_ABOVE_M, ARMPIT_BESIDE_M = 0.09, 0.06
FACING_DOWN = -0.5


def hull_girth(points: FloatArray) -> float:
    """Perimeter of the convex hull of points (n, 2) in a plane, m.

    Cauchy's formula: the perimeter is the integral of the support function over all directions;
    720 directions leave an error under 1e-5 of the girth.
    """
    angle = np.arange(DIRECTIONS) * (2.0 * math.pi / DIRECTIONS)
    support = points @ np.stack([np.cos(angle), np.sin(angle)])
    return float(support.max(axis=0).sum() * 2.0 * math.pi / DIRECTIONS)


def shape_sections(
    field: Callable[[FloatArray], FloatArray],
    centres: FloatArray,
    first: FloatArray,
    second: FloatArray,
    reach_m: float | FloatArray,
    rays: int = 72,
    halvings: int = 4,
    turn: float = 2.0 * math.pi,
) -> FloatArray:
    """Outlines (k, rays, 2) of an implicit body in parallel planes through ``centres`` (k, 3).

    Rays, evenly over ``turn`` from ``first`` on (a whole turn, or part of one with both ends),
    leave each centre, which must be inside; ``reach_m`` (one, or (k, rays)) must be
    outside. Outlines are in coordinates along the unit vectors ``first`` and ``second``, from the
    centre.
    """
    count = len(centres)
    whole = turn > 1.5 * math.pi
    angle = np.arange(rays) * (turn / (rays if whole else rays - 1))
    flat = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    direction = np.tile(flat @ np.stack([first, second]), (count, 1))
    origin = np.repeat(centres, rays, axis=0)
    low = np.zeros(count * rays)
    high = np.broadcast_to(reach_m, (count, rays)).reshape(-1).copy()
    low_value, high_value = np.full(len(low), -1.0), np.full(len(low), 1.0)
    was_inside = np.zeros(len(low), dtype=bool)
    for step in range(halvings + FALSE_POSITIONS):
        middle = 0.5 * (low + high)
        if step >= halvings:  # close enough for the chord
            middle = low + (high - low) * low_value / (low_value - high_value)
        value = field(origin + middle[:, None] * direction)
        inside = value < 0.0
        if step > halvings:  # the end that stays twice weighs half (the Illinois method)
            high_value = np.where(inside & was_inside, 0.5 * high_value, high_value)
            low_value = np.where(~inside & ~was_inside, 0.5 * low_value, low_value)
        was_inside = inside
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
        low_value = np.where(inside, value, low_value)
        high_value = np.where(inside, high_value, value)
    middle = low + (high - low) * low_value / (low_value - high_value)
    result: FloatArray = middle.reshape(count, rays, 1) * flat
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


def slice_points(vertices: FloatArray, triangles: IntArray, height_m: float) -> FloatArray:
    """Points (k, 2) in x and y where a horizontal plane cuts a mesh."""
    segments, _ = section_points(
        vertices, triangles, np.array([0.0, 0.0, height_m]), np.array([0.0, 0.0, 1.0])
    )
    result: FloatArray = segments.reshape(-1, 3)[:, :2]
    return result


def top_of_section(vertices: FloatArray, triangles: IntArray, mark: FloatArray) -> FloatArray:
    """The highest point (3,) of the skin in the sagittal plane through a mark on the shoulder."""
    segments, _ = section_points(vertices, triangles, mark, np.array([1.0, 0.0, 0.0]))
    points = segments.reshape(-1, 3)
    offset = points - mark
    # over the side neck point there is the head
    near = points[(np.abs(offset[:, 1]) < RIDGE_M) & (offset[:, 2] < RIDGE_M)]
    result: FloatArray = near[np.argmax(near[:, 2])]
    return result


def armpit_height(
    vertices: FloatArray, triangles: IntArray, shoulder: FloatArray, about_m: float
) -> float:
    """Height where the left arm, held to the side, leaves the trunk.

    In the frontal plane through the shoulder joint the skin turns from the trunk's side to the
    underside of the arm, which falls from there: the highest place that faces down. ``about_m``
    is near it.
    """
    segments, cut = section_points(vertices, triangles, shoulder, np.array([0.0, 1.0, 0.0]))
    a, b, c = vertices[triangles[cut]].transpose(1, 0, 2)
    normal = np.cross(b - a, c - a)
    middle = segments.mean(axis=1)
    side = (middle[:, 0] > 0.5 * shoulder[0]) & (middle[:, 0] < shoulder[0] + ARMPIT_BESIDE_M)
    near = np.abs(middle[:, 2] - about_m) < ARMPIT_ABOVE_M
    down = normal[:, 2] < FACING_DOWN * np.sqrt((normal**2).sum(axis=1))
    found = segments[side & near & down]
    return float(found[..., 2].max()) if len(found) else about_m

# SPDX-License-Identifier: GPL-3.0-or-later
"""Measures taken on the body as a tape takes them.

A tape bridges hollows: the girth of a section is the perimeter of its convex hull.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray

__all__ = [
    "Fan",
    "armpit_height",
    "hull_girth",
    "ray_lengths",
    "section_points",
    "shape_sections",
    "slice_points",
    "top_of_section",
]

DIRECTIONS = 720
HALVINGS, FALSE_POSITIONS = 4, 4
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
    turn: float = 2.0 * math.pi,
) -> FloatArray:
    """Outlines (k, rays, 2) of an implicit body in parallel planes through ``centres`` (k, 3).

    Rays, evenly over ``turn`` from ``first`` on (a whole turn, or part of one with both ends),
    leave each centre, which must be inside; ``reach_m`` (one, or (k, rays)) must be
    outside. Outlines are in coordinates along the unit vectors ``first`` and ``second``, from the
    centre.
    """
    fan = Fan(centres, first, second, reach_m, rays, turn)
    return fan.outlines(ray_lengths(field, *fan.rays()))


@dataclass(frozen=True, slots=True)
class Fan:
    """Rays in parallel planes, as `shape_sections` sends them."""

    centres: FloatArray  # (k, 3)
    first: FloatArray  # (3,)
    second: FloatArray  # (3,)
    reach_m: float | FloatArray
    count: int = 72
    turn: float = 2.0 * math.pi

    def _flat(self) -> FloatArray:
        whole = self.turn > 1.5 * math.pi
        angle = np.arange(self.count) * (self.turn / (self.count if whole else self.count - 1))
        return np.stack([np.cos(angle), np.sin(angle)], axis=1)

    def rays(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Origins (n, 3), unit directions (n, 3) and reaches (n,) of all rays."""
        sections = len(self.centres)
        direction = np.tile(self._flat() @ np.stack([self.first, self.second]), (sections, 1))
        reach = np.broadcast_to(self.reach_m, (sections, self.count)).reshape(-1)
        return np.repeat(self.centres, self.count, axis=0), direction, reach

    def outlines(self, lengths: FloatArray) -> FloatArray:
        """Outlines (k, rays, 2) from the lengths (n,) of the rays."""
        result: FloatArray = lengths.reshape(len(self.centres), self.count, 1) * self._flat()
        return result


def ray_lengths(
    field: Callable[[FloatArray], FloatArray],
    origins: FloatArray,
    directions: FloatArray,
    reach_m: FloatArray,
) -> FloatArray:
    """How far (n,) rays (n, 3) go from inside a shape to its surface, within their reach."""
    low, high = np.zeros(len(origins)), reach_m
    low_value, high_value = np.full(len(low), -1.0), np.full(len(low), 1.0)
    was_inside = np.zeros(len(low), dtype=bool)
    for step in range(HALVINGS + FALSE_POSITIONS):
        middle = 0.5 * (low + high)
        if step >= HALVINGS:  # close enough for the chord
            middle = low + (high - low) * low_value / (low_value - high_value)
        value = field(origins + middle[:, None] * directions)
        inside = value < 0.0
        if step > HALVINGS:  # the end that stays twice weighs half (the Illinois method)
            high_value = np.where(inside & was_inside, 0.5 * high_value, high_value)
            low_value = np.where(~inside & ~was_inside, 0.5 * low_value, low_value)
        was_inside = inside
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
        low_value = np.where(inside, value, low_value)
        high_value = np.where(inside, high_value, value)
    result: FloatArray = low + (high - low) * low_value / (low_value - high_value)
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

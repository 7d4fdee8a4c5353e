# SPDX-License-Identifier: GPL-3.0-or-later
"""Signed distance from points to a posed body: exact to the mesh, sign from pseudo-normals."""

from collections.abc import Callable
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Protocol

import numpy as np

from ..arrays import FloatArray, IntArray
from . import triangles as array_code
from .triangles import (
    Boxes,
    Memory,
    Search,
    Tree,
    build_tree,
    farthest_m,
    fit_boxes,
    triangle_planes,
)

__all__ = ["BodyDistance", "Nearest", "fast_search"]

SMOOTH_DIRECTION_M = 0.001
NEIGHBOURHOOD_M = 0.04


@dataclass(frozen=True, slots=True)
class Nearest:
    """Answers for n points.

    ``distance`` (n,) in m is negative inside; ``direction`` (n, 3) is the unit direction away
    from the body, continuous through the surface; ``point`` (n, 3) is the closest point of the
    body, ``triangle`` (n,) the triangle it lies on and ``weights`` (n, 3) its place there.
    """

    distance: FloatArray
    direction: FloatArray
    point: FloatArray
    triangle: IntArray
    weights: FloatArray


class Surface(Protocol):
    """A closed triangle mesh."""

    @property
    def vertices(self) -> FloatArray:
        """Corners (n, 3), m."""

    @property
    def triangles(self) -> IntArray:
        """(t, 3), counter-clockwise seen from outside."""


class BodyDistance:
    """Distance to one body in the pose last set.

    Parameters
    ----------
    body
        A mannequin, or a body as it stands.
    compiled
        Use Numba where it is installed. Without it array code gives the same answers.
    """

    def __init__(self, body: Surface, *, compiled: bool = True) -> None:
        self._triangles = body.triangles
        self._search = fast_search() if compiled else array_code.search
        self._tree: Tree = build_tree(body.vertices, body.triangles)
        self._boxes = Boxes(*np.zeros((2, 0, 8), dtype=np.float32))
        self._vertices: FloatArray = body.vertices
        self._planes = np.zeros((0, 13))
        self._face_normals = np.zeros((0, 3))
        self._vertex_normals = np.zeros((0, 3))
        self._last = np.zeros(0, dtype=np.int64)
        self._memory = Memory.of_nothing(0)
        self._order: IntArray = np.zeros(0, dtype=np.int64)
        self._back: IntArray = self._order

    def set_pose(self, posed: Surface) -> None:
        """Take the surface of ``posed``, which must come from the same body."""
        self._memory.travel_m += farthest_m(self._vertices, posed.vertices)
        self._vertices = posed.vertices
        corners = posed.vertices[self._triangles]
        self._boxes = fit_boxes(self._tree, corners)
        self._planes, self._face_normals = triangle_planes(corners)
        self._vertex_normals = _angle_normals(
            corners, self._face_normals, self._triangles, len(posed.vertices)
        )

    def nearest(self, points: FloatArray, reach_m: float = np.inf) -> Nearest:
        """Distance, direction and closest point for ``points`` (n, 3), m.

        Points asked about again in the same order after a small move are found faster; the
        answer does not depend on it.

        Where the body is no nearer than ``reach_m`` the distance is infinite and the other fields
        tell of some place on the body, not the closest. A short reach is faster.
        """
        if len(self._last) != len(points):
            self._last = np.full(len(points), -1, dtype=np.int64)
            self._memory = Memory.of_nothing(len(points))
            self._order = _by_neighbourhood(points)
            self._back = np.argsort(self._order)
        sorted_points = points[self._order]
        found = self._search(
            sorted_points, self._last, self._tree, self._boxes, self._planes, reach_m, self._memory
        )
        self._last = found.triangle
        answer = self._answer(sorted_points, found)
        return Nearest(*(getattr(answer, entry.name)[self._back] for entry in fields(Nearest)))

    def _answer(self, points: FloatArray, found: Search) -> Nearest:
        triangle, weights = found.triangle, found.weights
        plane = self._planes.take(triangle, axis=0)
        closest = plane[:, 0:3] + weights[:, 1:2] * plane[:, 3:6] + weights[:, 2:3] * plane[:, 6:9]
        corner_normals = self._vertex_normals.take(self._triangles.take(triangle, axis=0), axis=0)
        smooth = np.einsum("ij,ijk->ik", weights, corner_normals)
        smooth /= np.sqrt(np.einsum("ij,ij->i", smooth, smooth))[:, None]
        inside_face = weights.min(axis=1) > 0.0
        normal = np.where(inside_face[:, None], self._face_normals.take(triangle, axis=0), smooth)
        offset = points - closest
        length = np.sqrt(np.einsum("ij,ij->i", offset, offset))
        sign = np.where(np.einsum("ij,ij->i", offset, normal) < 0.0, -1.0, 1.0)
        # the offset has no direction at the surface itself: there the smooth normal takes over
        t = np.minimum(length / SMOOTH_DIRECTION_M, 1.0)
        share = t * t * (3.0 - 2.0 * t)
        direction = (share * sign / np.maximum(length, 1e-12))[:, None] * offset
        direction += (1.0 - share)[:, None] * smooth
        direction /= np.sqrt(np.einsum("ij,ij->i", direction, direction))[:, None]
        distance = np.where(np.isfinite(found.square), sign * length, np.inf)
        return Nearest(distance, direction, closest, triangle, weights)


@lru_cache(maxsize=1)
def fast_search() -> Callable[..., Search]:
    """The compiled search where Numba is installed, else the array code."""
    try:
        from .triangles_compiled import search
    except ImportError:
        return array_code.search
    return search


def _by_neighbourhood(points: FloatArray) -> IntArray:
    """An order in which points near each other follow each other: what they need stays at hand."""
    x, y, z = np.floor(points.T / NEIGHBOURHOOD_M).astype(np.int64)
    order: IntArray = np.lexsort((x, y, z))
    return order


def _angle_normals(
    corners: FloatArray, face_normals: FloatArray, triangles: IntArray, count: int
) -> FloatArray:
    """Unit vertex normals, faces weighted by their angle (Bærentzen and Aanæs 2005)."""
    edges = np.roll(corners, -1, axis=1) - corners
    edges /= np.sqrt(np.einsum("ijk,ijk->ij", edges, edges))[:, :, None]
    cosine = -np.einsum("ijk,ijk->ij", edges, np.roll(edges, 1, axis=1))
    angle = np.arccos(np.clip(cosine, -1.0, 1.0))
    index = triangles.reshape(-1)
    total = np.stack(
        [
            np.bincount(index, (angle * face_normals[:, axis : axis + 1]).reshape(-1), count)
            for axis in range(3)
        ],
        axis=1,
    )
    result: FloatArray = total / np.sqrt((total**2).sum(axis=1, keepdims=True))
    return result

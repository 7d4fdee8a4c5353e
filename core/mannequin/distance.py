# SPDX-License-Identifier: GPL-3.0-or-later
"""Signed distance from points to a posed body.

The closest point is found by walking: from a triangle to the neighbour that is nearer, until
none is. The walk starts from a table of space cells, each of which knows the closest triangle to
its centre on every part of the body (trunk, arms, legs) that can matter in the cell. Cells are
filled when a point first falls into them, so the answer for a point does not depend on what was
asked before.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..arrays import FloatArray, IntArray
from .mannequin import Mannequin, PosedBody

__all__ = ["BodyDistance", "Nearest"]

CELL_M = 0.016
MARGIN_M = 0.12
START_SPACING_M = 0.035
STRETCH = 1.6  # how much farther apart skin points may move in a pose
MOST_STEPS = 200
SMOOTH_DIRECTION_M = 0.001
UNKNOWN, NOT_NEEDED = -2, -1


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


class BodyDistance:
    """Distance to one mannequin in the pose last set."""

    def __init__(self, mannequin: Mannequin) -> None:
        self._triangles = mannequin.triangles
        self._across = _triangles_across(mannequin.triangles, len(mannequin.vertices))
        self._fans = _triangle_fans(mannequin.triangles, len(mannequin.vertices))
        centroids = mannequin.vertices[mannequin.triangles].mean(axis=1)
        part = mannequin.part[mannequin.triangles].max(axis=1)
        self._starts = [
            _spread(centroids, np.flatnonzero(part == k), START_SPACING_M)
            for k in range(int(part.max()) + 1)
        ]
        self._cover_m = STRETCH * START_SPACING_M
        self._planes = np.zeros((0, 13))
        self._face_normals = np.zeros((0, 3))
        self._vertex_normals = np.zeros((0, 3))
        self._origin = np.zeros(3)
        self._shape = np.ones(3, dtype=np.int64)
        self._table = np.zeros((0, len(self._starts)), dtype=np.int32)

    def set_pose(self, posed: PosedBody) -> None:
        """Take the surface of ``posed``, which must come from the same mannequin."""
        corner = posed.vertices[self._triangles]
        a = corner[:, 0]
        first, second = corner[:, 1] - a, corner[:, 2] - a
        e11 = np.einsum("ij,ij->i", first, first)
        e12 = np.einsum("ij,ij->i", first, second)
        e22 = np.einsum("ij,ij->i", second, second)
        cross = np.cross(first, second)
        area = np.sqrt(np.einsum("ij,ij->i", cross, cross)) + 1e-30
        self._face_normals = cross / area[:, None]
        self._planes = np.concatenate(
            [a, first, second, np.stack([e11, e12, e22, 1.0 / area**2], axis=1)], axis=1
        )
        self._vertex_normals = _angle_normals(
            corner, self._face_normals, self._triangles, len(posed.vertices)
        )
        self._origin = posed.vertices.min(axis=0) - MARGIN_M
        span = posed.vertices.max(axis=0) + MARGIN_M - self._origin
        self._shape = np.ceil(span / CELL_M).astype(np.int64)
        count = int(self._shape.prod())
        if len(self._table) < count:
            self._table = np.full((count, len(self._starts)), UNKNOWN, dtype=np.int32)
        else:
            self._table[:, 0] = UNKNOWN

    def nearest(self, points: FloatArray) -> Nearest:
        """Distance, direction and closest point for ``points`` (n, 3), m."""
        starts = self._start_triangles(points)
        rows, parts = np.nonzero(starts >= 0)
        triangle, weights, square = self._walk(points[rows], starts[rows, parts].astype(np.int64))
        first = np.concatenate([[True], rows[1:] != rows[:-1]])
        best = np.minimum.reduceat(square, np.flatnonzero(first))
        winner = np.zeros(len(points), dtype=np.int64)
        wins = np.flatnonzero(square <= best[rows])
        winner[rows[wins]] = wins
        return self._answer(points, triangle[winner], weights[winner])

    def _answer(self, points: FloatArray, triangle: IntArray, weights: FloatArray) -> Nearest:
        plane = self._planes[triangle]
        closest = plane[:, 0:3] + weights[:, 1:2] * plane[:, 3:6] + weights[:, 2:3] * plane[:, 6:9]
        corner_normals = self._vertex_normals[self._triangles[triangle]]
        smooth = np.einsum("ij,ijk->ik", weights, corner_normals)
        smooth /= np.sqrt(np.einsum("ij,ij->i", smooth, smooth))[:, None]
        inside_face = (weights > 0.0).all(axis=1)
        normal = np.where(inside_face[:, None], self._face_normals[triangle], smooth)
        offset = points - closest
        length = np.sqrt(np.einsum("ij,ij->i", offset, offset))
        sign = np.where(np.einsum("ij,ij->i", offset, normal) < 0.0, -1.0, 1.0)
        # the offset has no direction at the surface itself: there the smooth normal takes over
        t = np.minimum(length / SMOOTH_DIRECTION_M, 1.0)
        share = t * t * (3.0 - 2.0 * t)
        direction = (share * sign / np.maximum(length, 1e-12))[:, None] * offset
        direction += (1.0 - share)[:, None] * smooth
        direction /= np.sqrt(np.einsum("ij,ij->i", direction, direction))[:, None]
        return Nearest(sign * length, direction, closest, triangle, weights)

    def _start_triangles(self, points: FloatArray) -> NDArray[np.int32]:
        """Start triangles (n, parts); negative where a part cannot be the closest."""
        place = np.floor((points - self._origin) / CELL_M).astype(np.int64)
        within = ((place >= 0) & (place < self._shape)).all(axis=1)
        cell = (place[:, 0] * self._shape[1] + place[:, 1]) * self._shape[2] + place[:, 2]
        cell[~within] = 0
        empty = within & (self._table[cell, 0] == UNKNOWN)
        if empty.any():
            fresh = np.unique(cell[empty])
            z = fresh % self._shape[2]
            y = fresh // self._shape[2] % self._shape[1]
            x = fresh // (self._shape[1] * self._shape[2])
            centre = self._origin + (np.stack([x, y, z], axis=1) + 0.5) * CELL_M
            self._table[fresh] = self._search(centre, 0.5 * np.sqrt(3.0) * CELL_M)
        starts: NDArray[np.int32] = self._table[cell]
        if not within.all():
            starts[~within] = self._search(points[~within], 0.0)
        return starts

    def _search(self, centres: FloatArray, radius_m: float) -> NDArray[np.int32]:
        """Closest triangle of every part that may be the closest within a radius of each centre."""
        count, parts = len(centres), len(self._starts)
        start = np.zeros((count, parts), dtype=np.int64)
        reach = np.zeros((count, parts))
        for k, candidates in enumerate(self._starts):
            position = self._planes[candidates, 0:3]
            # squared distance less the constant |centre|^2, as one matrix product
            score = centres @ (-2.0 * position.T) + (position**2).sum(axis=1)
            pick = score.argmin(axis=1)
            start[:, k] = candidates[pick]
            reach[:, k] = np.sqrt(((centres - position[pick]) ** 2).sum(axis=1))
        hopeful = reach - self._cover_m <= reach.min(axis=1, keepdims=True) + 2.0 * radius_m
        rows, which = np.nonzero(hopeful)
        triangle, _, square = self._walk(centres[rows], start[rows, which])
        distance = np.full((count, parts), np.inf)
        distance[rows, which] = np.sqrt(square)
        result = np.full((count, parts), NOT_NEEDED, dtype=np.int32)
        result[rows, which] = triangle
        result[distance > distance.min(axis=1, keepdims=True) + 2.0 * radius_m] = NOT_NEEDED
        return result

    def _walk(
        self, points: FloatArray, triangle: IntArray
    ) -> tuple[IntArray, FloatArray, FloatArray]:
        """From start triangles down to the closest triangle, weights there, squared distance."""
        triangle = triangle.copy()
        weights, square = _closest(points, self._planes[triangle])
        active = np.flatnonzero((weights <= 0.0).any(axis=1))
        for _ in range(MOST_STEPS):
            if active.size == 0:
                break
            at = weights[active]
            on_vertex = (at > 0.0).sum(axis=1) == 1
            edge, vertex = active[~on_vertex], active[on_vertex]
            across = self._across[triangle[edge], np.argmin(weights[edge], axis=1)]
            moved = [self._try(points, edge, across, triangle, weights, square)]
            if vertex.size:
                corner = self._triangles[triangle[vertex], np.argmax(weights[vertex], axis=1)]
                fan = self._fans[corner]
                width = fan.shape[1]
                _, around = _closest(
                    np.repeat(points[vertex], width, axis=0), self._planes[fan.reshape(-1)]
                )
                pick = around.reshape(-1, width).argmin(axis=1)
                turned = fan[np.arange(len(vertex)), pick]
                moved.append(self._try(points, vertex, turned, triangle, weights, square))
            active = np.concatenate(moved)
        return triangle, weights, square

    def _try(
        self,
        points: FloatArray,
        rows: IntArray,
        candidate: IntArray,
        triangle: IntArray,
        weights: FloatArray,
        square: FloatArray,
    ) -> IntArray:
        """Move ``rows`` to nearer candidates; give those that may have farther to go."""
        new_weights, new_square = _closest(points[rows], self._planes[candidate])
        better = new_square < square[rows] * (1.0 - 1e-12) - 1e-18
        rows = rows[better]
        triangle[rows] = candidate[better]
        weights[rows] = new_weights[better]
        square[rows] = new_square[better]
        result: IntArray = rows[(new_weights[better] <= 0.0).any(axis=1)]
        return result


def _closest(points: FloatArray, planes: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Weights (n, 3) of the closest point of a triangle each, and the squared distance (n,).

    Inside the triangle all weights are positive; on an edge or corner the others are exactly 0.
    """
    d = points - planes[:, 0:3]
    x = np.einsum("ij,ij->i", d, planes[:, 3:6])
    y = np.einsum("ij,ij->i", d, planes[:, 6:9])
    e11, e12, e22, scale = planes[:, 9:13].T
    b = (e22 * x - e12 * y) * scale
    c = (e11 * y - e12 * x) * scale
    outside = np.flatnonzero((b <= 0.0) | (c <= 0.0) | (b + c >= 1.0))
    if outside.size:
        b[outside], c[outside] = _closest_on_edges(
            x[outside], y[outside], e11[outside], e12[outside], e22[outside]
        )
    square = (
        np.einsum("ij,ij->i", d, d)
        - 2.0 * (b * x + c * y)
        + b * b * e11
        + 2.0 * b * c * e12
        + c * c * e22
    )
    a = 1.0 - b - c
    a[outside] = np.where(np.abs(a[outside]) < 1e-14, 0.0, a[outside])
    return np.stack([a, b, c], axis=1), np.maximum(square, 0.0)


def _closest_on_edges(
    x: FloatArray, y: FloatArray, e11: FloatArray, e12: FloatArray, e22: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Weights of the second and third corner at the closest point of a triangle's outline."""
    zero = np.zeros_like(x)
    first = np.clip(x / e11, 0.0, 1.0)
    second = np.clip(y / e22, 0.0, 1.0)
    third = np.clip((y - x - e12 + e11) / (e11 + e22 - 2.0 * e12), 0.0, 1.0)
    b = np.stack([first, zero, 1.0 - third])
    c = np.stack([zero, second, third])
    cost = -2.0 * (b * x + c * y) + b * b * e11 + 2.0 * b * c * e12 + c * c * e22
    pick = cost.argmin(axis=0)
    column = np.arange(len(x))
    return b[pick, column], c[pick, column]


def _angle_normals(
    corner: FloatArray, face_normals: FloatArray, triangles: IntArray, count: int
) -> FloatArray:
    """Unit vertex normals, faces weighted by their angle (Bærentzen and Aanæs 2005)."""
    total = np.zeros((count, 3))
    edges = np.roll(corner, -1, axis=1) - corner
    edges /= np.sqrt(np.einsum("ijk,ijk->ij", edges, edges))[:, :, None]
    weighted = np.zeros((3, len(triangles)))
    for k in range(3):
        cosine = -np.einsum("ij,ij->i", edges[:, k], edges[:, k - 1])
        weighted[k] = np.arccos(np.clip(cosine, -1.0, 1.0))
    index = triangles.T.reshape(-1)
    for axis in range(3):
        values = (weighted * face_normals[:, axis]).reshape(-1)
        total[:, axis] = np.bincount(index, values, count)
    result: FloatArray = total / np.sqrt((total**2).sum(axis=1, keepdims=True))
    return result


def _triangles_across(triangles: IntArray, count: int) -> IntArray:
    """Neighbour (t, 3) of every triangle across the edge opposite to each corner."""
    start = np.roll(triangles, -1, axis=1).reshape(-1)
    end = np.roll(triangles, -2, axis=1).reshape(-1)
    key, twin = start * count + end, end * count + start
    order = np.argsort(key)
    found = order[np.searchsorted(key[order], twin)]
    result: IntArray = (found // 3).reshape(-1, 3)
    return result


def _triangle_fans(triangles: IntArray, count: int) -> IntArray:
    """Triangles (n, most) round every vertex; short rows repeat their first triangle."""
    index = triangles.reshape(-1)
    order = np.argsort(index, kind="stable")
    degree = np.bincount(index, minlength=count)
    first = np.concatenate([[0], np.cumsum(degree)[:-1]])
    column = np.minimum(np.arange(int(degree.max())), 10**9)
    where = np.where(column < degree[:, None], first[:, None] + column, first[:, None])
    result: IntArray = order[where] // 3
    return result


def _spread(centroids: FloatArray, rows: IntArray, spacing_m: float) -> IntArray:
    """One of ``rows`` in every cube of space of the size ``spacing_m`` that holds any."""
    cube = np.floor(centroids[rows] / spacing_m).astype(np.int64)
    _, first = np.unique(cube, axis=0, return_index=True)
    result: IntArray = rows[first]
    return result

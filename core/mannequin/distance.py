# SPDX-License-Identifier: GPL-3.0-or-later
"""Signed distance from points to a posed body: exact to the mesh, sign from pseudo-normals.

A body is looked through part by part, trunk, arms and legs: what lies near one part that stands still
is remembered while another moves, and cloth in an armpit learns of both its sides in one search.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from ..arrays import FloatArray, IntArray
from .place_finder import Found, PlaceFinder
from .triangles import dot

__all__ = ["BodyDistance", "Look", "Nearest", "Surface"]

SMOOTH_DIRECTION_M = 0.001
LEAST_M = 1e-12


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


@dataclass(frozen=True, slots=True)
class Look:
    """What one look round n points found on every part of a body, in the pose of then.

    ``points`` (n, 3) are those asked about; ``found`` tells of each part.
    """

    points: FloatArray
    found: tuple[Found, ...]


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
    part
        (n,) number of the part that each vertex of the body belongs to; None if it is all one.
    compiled
        Use Numba where it is installed. Without it array code gives the same answers.
    """

    def __init__(
        self, body: Surface, part: IntArray | None = None, *, compiled: bool = True
    ) -> None:
        count = len(body.triangles)
        of_triangle = (
            np.zeros(count, np.int64) if part is None else part[body.triangles].max(axis=1)
        )
        self._corners: IntArray = np.ascontiguousarray(body.triangles.T)
        self._beyond = _triangles_beyond(self._corners)
        self._normals: FloatArray = np.zeros((3, count))
        self._parts = [
            _Part.of_triangles(body, np.flatnonzero(of_triangle == number), compiled)
            for number in np.unique(of_triangle)
        ]
        self._sum_up(self._parts)

    def set_pose(self, posed: Surface) -> None:
        """Take the surface of ``posed``, which must come from the same body."""
        moved = [part for part in self._parts if part.finder.set_pose(posed.vertices)]
        for part in moved:
            part.sum_corners(len(posed.vertices))
        if moved:
            self._sum_up(moved)

    def _sum_up(self, moved: "list[_Part]") -> None:
        """Bring the normals up to date after some parts moved."""
        for part in moved:
            self._normals[:, part.triangle] = part.finder.posed.normals
        total: FloatArray = np.sum([part.corner_normals for part in self._parts], axis=0)
        self._vertex_normals: FloatArray = total / np.sqrt(dot(total, total))

    def look(self, points: FloatArray, reach_m: float = np.inf) -> Look:
        """Look round ``points`` (n, 3), m, as far as ``reach_m``.

        Points asked about again in the same order after a small move are found faster; the
        answer does not depend on it.
        """
        return Look(points, tuple(part.finder.closest(points, reach_m) for part in self._parts))

    def nearest(self, points: FloatArray, reach_m: float = np.inf) -> Nearest:
        """Distance, direction and closest point for ``points`` (n, 3), m.

        Where the body is no nearer than ``reach_m`` the distance is infinite and the other fields
        tell of some place on the body, not the closest. A short reach is faster.
        """
        return self.nearest_of(self.look(points, reach_m))

    def nearest_of(self, look: Look) -> Nearest:
        """`nearest` from a look round the points."""
        square, triangle, weights, offset = self._closest(look)
        closest = look.points - offset.T
        length = np.sqrt(dot(offset, offset))
        sign = np.where(dot(offset, self._pseudo_normals(triangle, weights)) < 0.0, -1.0, 1.0)
        offset *= sign / np.maximum(length, LEAST_M)
        # the offset has no direction at the surface itself: there the smooth normal takes over
        near = np.flatnonzero(length < SMOOTH_DIRECTION_M)
        t = length.take(near) / SMOOTH_DIRECTION_M
        share = t * t * (3.0 - 2.0 * t)
        smooth = self.smooth_normals(triangle.take(near), weights.take(near, axis=1))
        blend = offset.take(near, axis=1) * share + smooth * (1.0 - share)
        blend /= np.sqrt(dot(blend, blend))
        offset[:, near] = blend
        distance = np.where(np.isfinite(square), sign * length, np.inf)
        rows = (np.ascontiguousarray(columns.T) for columns in (offset, weights))
        return Nearest(distance, next(rows), closest, triangle, next(rows))

    def _closest(self, look: Look) -> tuple[FloatArray, IntArray, FloatArray, FloatArray]:
        """Of all parts the closest: its square (n,), triangle (n,), weights and offset (3, n)."""
        squares = np.stack([found.search.square.take(found.back) for found in look.found])
        first = squares.argmin(axis=0)
        count = len(first)
        triangle = np.zeros(count, dtype=np.int64)
        weights, offset = np.zeros((3, count)), np.zeros((3, count))
        for number, found in enumerate(look.found):
            rows = np.flatnonzero(first == number)
            here = found.back.take(rows)
            triangle[rows] = self.triangles_at(number, found.search.place.take(here))
            weights[:, rows] = found.search.weights.take(here, axis=1)
            offset[:, rows] = found.search.away.take(here, axis=1)
        return squares[first, np.arange(count)], triangle, weights, offset

    def triangles_at(self, part: int, place: IntArray) -> IntArray:
        """Numbers (k,) of the body's triangles at places in the tree of a part."""
        return self._parts[part].triangle.take(place)

    def smooth_normals(self, triangle: IntArray, weights: FloatArray) -> FloatArray:
        """Unit normals (3, k) at ``weights`` (3, k) in triangles (k,), interpolated."""
        smooth = np.zeros_like(weights)
        for corner, weight in zip(self._corners, weights, strict=True):
            smooth += self._vertex_normals.take(corner.take(triangle), axis=1) * weight
        smooth /= np.sqrt(dot(smooth, smooth))
        return smooth

    def _pseudo_normals(self, triangle: IntArray, weights: FloatArray) -> FloatArray:
        """A normal (3, n) at each closest place, of any length, that tells inside from outside.

        Of the face; on an edge the sum of both faces', on a corner the sum by angles (Bærentzen
        and Aanæs 2005).
        """
        pseudo = self._normals.take(triangle, axis=1)
        on_border = weights == 0.0
        borders = on_border.sum(axis=0)
        edge = np.flatnonzero(borders == 1)
        opposite = on_border.take(edge, axis=1).argmax(axis=0)
        beyond = self._beyond[opposite, triangle.take(edge)]
        pseudo[:, edge] += self._normals.take(beyond, axis=1)
        corner = np.flatnonzero(borders == 2)
        which = weights.take(corner, axis=1).argmax(axis=0)
        vertex = self._corners[which, triangle.take(corner)]
        pseudo[:, corner] = self._vertex_normals.take(vertex, axis=1)
        return pseudo


@dataclass(slots=True)
class _Part:
    """One part of a body: ``triangle`` (k,) is the body's at each place of the finder's tree.

    ``corner_normals`` (3, n) are the sums at the body's vertices of its normals, by angle.
    """

    finder: PlaceFinder
    triangle: IntArray
    corner_normals: FloatArray

    @classmethod
    def of_triangles(cls, body: Surface, triangles: IntArray, compiled: bool) -> "_Part":
        finder = PlaceFinder(body.vertices, body.triangles[triangles], compiled=compiled)
        part = cls(finder, triangles.take(finder.tree.order), np.zeros((3, 0)))
        part.sum_corners(len(body.vertices))
        return part

    def sum_corners(self, count: int) -> None:
        """Sum up the normals of the faces at ``count`` vertices, weighted by their angle there."""
        posed, filled = self.finder.posed, self.finder.tree.filled
        planes = posed.planes
        edges = [planes[3:6], planes[6:9] - planes[3:6], -planes[6:9]]
        lengths = [np.sqrt(dot(edge, edge)) for edge in edges]
        total = np.zeros((3, count))
        for number, corner in enumerate(self.finder.corners):
            cosine = -dot(edges[number], edges[number - 1])
            cosine /= lengths[number] * lengths[number - 1]
            angle = np.arccos(np.clip(cosine, -1.0, 1.0)) * filled
            for axis in range(3):
                total[axis] += np.bincount(corner, angle * posed.normals[axis], count)
        self.corner_normals = total


def _triangles_beyond(corners: IntArray) -> IntArray:
    """For triangles with ``corners`` (3, t) the triangle (3, t) beyond the edge opposite each.

    The triangle itself where the surface has a border.
    """
    own = np.tile(np.arange(corners.shape[1]), 3)
    start, end = (
        np.concatenate([corners[(side + turn) % 3] for side in range(3)]) for turn in (1, 2)
    )
    size = int(corners.max()) + 1
    # the edge of the triangle beyond runs the other way
    edge, back = start * size + end, end * size + start
    order = np.argsort(edge)
    found = order[np.minimum(np.searchsorted(edge, back, sorter=order), len(order) - 1)]
    beyond: IntArray = np.where(edge[found] == back, own[found], own).reshape(3, -1)
    return beyond

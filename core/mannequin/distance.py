# SPDX-License-Identifier: GPL-3.0-or-later
"""Signed distance from points to a posed body: exact to the mesh, sign from pseudo-normals."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from .place_finder import PlaceFinder
from .search import Search
from .triangles import dot

__all__ = ["BodyDistance", "Nearest", "Surface"]

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
        self._finder = PlaceFinder(body.vertices, body.triangles, compiled=compiled)
        self._beyond = _places_beyond(self._finder.corners, self._finder.tree.filled)
        self._vertex_normals = self._angle_normals(len(body.vertices))

    def set_pose(self, posed: Surface) -> None:
        """Take the surface of ``posed``, which must come from the same body."""
        self._finder.set_pose(posed.vertices)
        self._vertex_normals = self._angle_normals(len(posed.vertices))

    def nearest(self, points: FloatArray, reach_m: float = np.inf) -> Nearest:
        """Distance, direction and closest point for ``points`` (n, 3), m.

        Points asked about again in the same order after a small move are found faster; the
        answer does not depend on it.

        Where the body is no nearer than ``reach_m`` the distance is infinite and the other fields
        tell of some place on the body, not the closest. A short reach is faster.
        """
        answer = self._finder.closest(points, reach_m)
        found = answer.search
        offset = found.away
        closest = answer.points - offset
        length = np.sqrt(dot(offset, offset))
        sign = np.where(dot(offset, self._pseudo_normals(found)) < 0.0, -1.0, 1.0)
        offset = offset * (sign / np.maximum(length, LEAST_M))
        # the offset has no direction at the surface itself: there the smooth normal takes over
        near = np.flatnonzero(length < SMOOTH_DIRECTION_M)
        t = length.take(near) / SMOOTH_DIRECTION_M
        share = t * t * (3.0 - 2.0 * t)
        blend = offset.take(near, axis=1) * share + self._smooth_normals(found, near) * (
            1.0 - share
        )
        blend /= np.sqrt(dot(blend, blend))
        offset[:, near] = blend
        distance = np.where(np.isfinite(found.square), sign * length, np.inf)
        triangle = self._finder.tree.order.take(found.place)
        back = answer.back
        return Nearest(
            distance.take(back),
            np.ascontiguousarray(offset.T).take(back, axis=0),
            np.ascontiguousarray(closest.T).take(back, axis=0),
            triangle.take(back),
            np.ascontiguousarray(found.weights.T).take(back, axis=0),
        )

    def _smooth_normals(self, found: Search, rows: IntArray) -> FloatArray:
        """Unit vertex normals (3, k), interpolated at some of the closest places."""
        place, weights = found.place.take(rows), found.weights.take(rows, axis=1)
        smooth = np.zeros_like(weights)
        for corner, weight in zip(self._finder.corners, weights, strict=True):
            smooth += self._vertex_normals.take(corner.take(place), axis=1) * weight
        smooth /= np.sqrt(dot(smooth, smooth))
        return smooth

    def _pseudo_normals(self, found: Search) -> FloatArray:
        """A normal (3, n) at each closest place, of any length, that tells inside from outside.

        Of the face; on an edge the sum of both faces', on a corner the sum by angles (Bærentzen
        and Aanæs 2005).
        """
        normals = self._finder.posed.normals
        pseudo = normals.take(found.place, axis=1)
        on_border = found.weights == 0.0
        borders = on_border.sum(axis=0)
        edge = np.flatnonzero(borders == 1)
        opposite = on_border.take(edge, axis=1).argmax(axis=0)
        beyond = self._beyond[opposite, found.place.take(edge)]
        pseudo[:, edge] += normals.take(beyond, axis=1)
        corner = np.flatnonzero(borders == 2)
        which = found.weights.take(corner, axis=1).argmax(axis=0)
        vertex = self._finder.corners[which, found.place.take(corner)]
        pseudo[:, corner] = self._vertex_normals.take(vertex, axis=1)
        return pseudo

    def _angle_normals(self, count: int) -> FloatArray:
        """Unit vertex normals (3, ``count``), faces weighted by their angle."""
        finder = self._finder
        planes, filled = finder.posed.planes, finder.tree.filled
        edges = [planes[3:6], planes[6:9] - planes[3:6], -planes[6:9]]
        lengths = [np.sqrt(dot(edge, edge)) for edge in edges]
        total = np.zeros((3, count))
        for number, corner in enumerate(finder.corners):
            cosine = -dot(edges[number], edges[number - 1])
            cosine /= lengths[number] * lengths[number - 1]
            angle = np.arccos(np.clip(cosine, -1.0, 1.0)) * filled
            for axis in range(3):
                total[axis] += np.bincount(corner, angle * finder.posed.normals[axis], count)
        total /= np.sqrt(dot(total, total))
        return total


def _places_beyond(corners: IntArray, filled: BoolArray) -> IntArray:
    """For the triangles with ``corners`` (3, k) the place (3, k) beyond the edge opposite each.

    The triangle's own where the surface has a border.
    """
    own = np.flatnonzero(filled)
    start, end = (
        np.concatenate([corners[(side + turn) % 3, own] for side in range(3)]) for turn in (1, 2)
    )
    place = np.tile(own, 3)
    size = int(corners.max()) + 1
    # the edge of the triangle beyond runs the other way
    edge, back = start * size + end, end * size + start
    order = np.argsort(edge)
    found = order[np.minimum(np.searchsorted(edge, back, sorter=order), len(order) - 1)]
    beyond = np.tile(np.arange(corners.shape[1]), (3, 1))
    beyond[:, own] = np.where(edge[found] == back, place[found], place).reshape(3, -1)
    return beyond

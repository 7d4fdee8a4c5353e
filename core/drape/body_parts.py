# SPDX-License-Identifier: GPL-3.0-or-later
"""The closest places on the parts of a body: cloth in the armpit touches arm and trunk."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from ..mannequin import Mannequin, PosedBody
from ..mannequin.place_finder import PlaceFinder
from ..mannequin.triangles import dot

__all__ = ["BodyParts", "Close"]

CLOSE_M = 0.04
UPRIGHT = 0.8
ON_SKIN_M = 1e-6


@dataclass(frozen=True, slots=True)
class Close:
    """Places (k) on parts of the body close to points.

    ``row`` (k,) is the point that each belongs to and ``part`` (k,) the number of the part,
    ``point`` (k, 3) the place on the skin, and ``direction`` (k, 3) the unit direction away from
    the body there.
    """

    row: IntArray
    part: IntArray
    point: FloatArray
    direction: FloatArray


class BodyParts:
    """Trunk, arms and legs of one mannequin, or of a body as it stands, in the pose last set.

    Parameters
    ----------
    body
        The body in its bind pose, or as it stands.
    compiled
        Use Numba where it is installed. Without it array code gives the same answers.
    """

    def __init__(self, body: Mannequin | PosedBody, *, compiled: bool = True) -> None:
        part = body.part[body.triangles].max(axis=1)
        self._finders = [
            PlaceFinder(body.vertices, body.triangles[part == index], compiled=compiled)
            for index in np.unique(part)
        ]
        self._normals: FloatArray = np.zeros((3, 0))

    def set_pose(self, posed: PosedBody) -> None:
        """Take the surface of ``posed``, which must come from the same body."""
        for finder in self._finders:
            finder.set_pose(posed.vertices)
        self._normals = np.ascontiguousarray(posed.normals.T)

    def close(self, points: FloatArray) -> Close:
        """The closest place on every part within `CLOSE_M` of each point (n, 3)."""
        found = [self._close_on(part, points) for part in range(len(self._finders))]
        return Close(
            np.concatenate([close.row for close in found]),
            np.concatenate([close.part for close in found]),
            np.concatenate([close.point for close in found]),
            np.concatenate([close.direction for close in found]),
        )

    def _close_on(self, part: int, points: FloatArray) -> Close:
        finder = self._finders[part]
        answer = finder.closest(points, CLOSE_M)
        found = answer.search
        row = np.flatnonzero(np.isfinite(found.square).take(answer.back))
        here = answer.back.take(row)
        weights, place = found.weights.take(here, axis=1), found.place.take(here)
        direction = found.away.take(here, axis=1)
        closest = answer.points.take(here, axis=1) - direction
        normal = np.zeros_like(weights)
        for corner, weight in zip(finder.corners, weights, strict=True):
            normal += self._normals.take(corner.take(place), axis=1) * weight
        normal /= np.sqrt(dot(normal, normal))
        length = np.sqrt(dot(direction, direction))
        side = np.where(dot(direction, normal) < 0.0, -1.0, 1.0)
        direction *= side / np.maximum(length, ON_SKIN_M)
        on_skin = length <= ON_SKIN_M
        direction[:, on_skin] = normal[:, on_skin]
        # a closest place on the edge where a part was cut off is none of the whole body: the
        # direction to it leans over the skin
        upright = np.flatnonzero(dot(normal, direction) > UPRIGHT)
        return Close(
            row.take(upright),
            np.full(len(upright), part),
            np.ascontiguousarray(closest.take(upright, axis=1).T),
            np.ascontiguousarray(direction.take(upright, axis=1).T),
        )

# SPDX-License-Identifier: GPL-3.0-or-later
"""The closest places on the parts of a body: cloth in the armpit touches arm and trunk."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from ..mannequin import BodyDistance
from ..mannequin.distance import Look
from ..mannequin.place_finder import Found
from ..mannequin.triangles import dot

__all__ = ["CLOSE_M", "Close", "close_places"]

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


def close_places(distance: BodyDistance, look: Look) -> Close:
    """The closest place on every part within `CLOSE_M` of each point looked round.

    The look must have reached as far.
    """
    found = [_close_on(distance, part, one) for part, one in enumerate(look.found)]
    return Close(
        np.concatenate([close.row for close in found]),
        np.concatenate([close.part for close in found]),
        np.concatenate([close.point for close in found]),
        np.concatenate([close.direction for close in found]),
    )


def _close_on(distance: BodyDistance, part: int, answer: Found) -> Close:
    found = answer.search
    row = np.flatnonzero((found.square < CLOSE_M**2).take(answer.back))
    here = answer.back.take(row)
    direction = found.away.take(here, axis=1)
    closest = answer.points.take(here, axis=1) - direction
    triangle = distance.triangles_at(part, found.place.take(here))
    normal = distance.smooth_normals(triangle, found.weights.take(here, axis=1))
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

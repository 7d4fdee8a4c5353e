# SPDX-License-Identifier: GPL-3.0-or-later
"""Flesh on a seat: flat underneath, and out to the sides by as much as is pressed away."""

from dataclasses import replace

import numpy as np

from ..arrays import FloatArray, IntArray
from .posed_body import PosedBody
from .shapes import ramp
from .skeleton import BONES

__all__ = ["flattened", "seat_flesh"]

PRESSED_M = 0.018  # how far thighs and buttocks give way where they are pressed most (an estimate)
EDGE_M = 0.004  # over which the flat runs out into the round
SWOLLEN_M = 0.090  # height over the seat up to which what is pressed away stands out
MOST_SWELLING_M = 0.014
LEVEL = 0.75  # where the skin faces more up or down than this it does not stand out
FLESH_FROM = 0.75  # share of pelvis and thigh among the bones that a place of the skin follows


def seat_flesh(weights: FloatArray) -> FloatArray:
    """How far (n,) each vertex is flesh of thighs and buttocks, from the weights (n, b) of bones."""
    bones = [BONES.index(bone) for bone in ("pelvis", "thigh_left", "thigh_right")]
    share: FloatArray = weights[:, bones].sum(axis=1)
    return ramp((share - FLESH_FROM) / (1.0 - FLESH_FROM))


def flattened(body: PosedBody, flesh: FloatArray) -> PosedBody:
    """A sitting body with its flesh (n,) pressed flat on a level seat; its volume is kept.

    The flat is as high as the lowest flesh with `PRESSED_M` of it pressed away. As much stands
    out at the outer sides just above, in a bell over their height.
    """
    vertices = body.vertices.copy()
    low = float(vertices[flesh > 0.5, 2].min()) + PRESSED_M
    under = low - vertices[:, 2]
    # what hangs far below is no part of the flat
    pressed = flesh * ramp(2.0 - under / PRESSED_M)
    rise = pressed * EDGE_M * np.logaddexp(0.0, under / EDGE_M)
    area = _areas(body.vertices, body.triangles)
    volume = float((rise * area * np.maximum(-body.normals[:, 2], 0.0)).sum())
    side = body.normals * np.array([1.0, 1.0, 0.0])
    outer = (body.normals[:, 0] * vertices[:, 0] > 0.0) & (np.abs(body.normals[:, 2]) < LEVEL)
    height = -under / SWOLLEN_M
    bell = flesh * outer * np.where((height > 0.0) & (height < 1.0), height * (1.0 - height), 0.0)
    swelling = bell * np.sqrt((side**2).sum(axis=1))
    out = bell * min(volume / float((swelling * area).sum()), 4.0 * MOST_SWELLING_M)
    vertices[:, 2] += rise
    vertices += out[:, None] * side
    return replace(body, vertices=vertices)


def _areas(vertices: FloatArray, triangles: IntArray) -> FloatArray:
    """The area (n,) of skin that belongs to each vertex, m²."""
    a, b, c = vertices[triangles].transpose(1, 0, 2)
    third = np.sqrt((np.cross(b - a, c - a) ** 2).sum(axis=1)) / 6.0
    total = np.bincount(triangles.reshape(-1), np.repeat(third, 3), len(vertices))
    return total.astype(np.float64)

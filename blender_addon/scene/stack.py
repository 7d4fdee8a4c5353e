# SPDX-License-Identifier: GPL-3.0-or-later
"""A folded wrap: double layers laid on one another, each a cushion as thick as the cloths."""

import bpy
import numpy as np

from ...core.arrays import FloatArray, IntArray
from ...core.cloth import Cloth
from ...core.pictures.laid import FoldedStack
from .surface import Sheet
from .wrap import put_layer

__all__ = ["put_stack"]

ACROSS, ROUND = 72, 132
UNEVEN_M = 0.0012
SHIFT_M, TURN_RAD = 0.003, 0.006


def put_stack(stack: FoldedStack, outer: Cloth, collection: bpy.types.Collection) -> FloatArray:
    """Put the stack on the floor round the origin, folds to -y; the corners (2, 3) m of its box."""
    chance = np.random.default_rng(5)
    count = stack.plies // 2
    for number in range(count):
        sheet = _cushion(stack, chance)
        turn = chance.normal(0.0, TURN_RAD)
        shift = np.array([*chance.normal(0.0, SHIFT_M, 2), (2 * number + 1) * stack.ply_m])
        spin = np.array(
            [[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]]
        )
        moved = Sheet(
            sheet.positions @ spin.T + shift,
            sheet.normals @ spin.T,
            sheet.flat,
            sheet.triangles,
            sheet.rim_distance,
        )
        put_layer(f"Folded {number + 1}", moved, outer, collection, 1.0, (0.0, -1.0), 10 + number)
    x, y = stack.width_m / 2, stack.depth_m / 2
    return np.array([[-x, -y, 0.0], [x, y, stack.height_m]])


def _cushion(stack: FoldedStack, chance: np.random.Generator) -> Sheet:
    """Two plies that hang together at the fold: a band round half circles, pinched at its ends."""
    radius_m = stack.ply_m
    straight_m = stack.depth_m - 2 * radius_m
    around_m = 2 * straight_m + 2 * np.pi * radius_m
    s = np.linspace(0.0, around_m, ROUND + 1)
    x = stack.width_m / 2 * np.sin(np.linspace(-np.pi / 2, np.pi / 2, ACROSS + 1))
    y, z = _stadium(s, straight_m, radius_m)
    end_m = np.clip((stack.width_m / 2 - np.abs(x)) / radius_m, 0.0, 1.0)
    pinch = np.sqrt(1.0 - (1.0 - end_m) ** 2)
    points = np.stack(
        [
            np.repeat(x[:, None], len(s), axis=1),
            np.repeat(y[None], len(x), axis=0),
            pinch[:, None] * z[None],
        ],
        axis=2,
    )
    phase = chance.uniform(0, 2 * np.pi, 3)
    points[..., 2] += (
        UNEVEN_M
        * pinch[:, None]
        * (np.sin(23 * x[:, None] + phase[0]) + np.sin(31 * y[None] + phase[1]))
    )
    along_x, along_s = np.gradient(points, axis=0), np.gradient(points, axis=1)
    normals = np.cross(along_x, along_s)
    normals /= np.maximum(np.linalg.norm(normals, axis=2, keepdims=True), 1e-12)
    flat = np.stack(np.broadcast_arrays(x[:, None], s[None]), axis=2)
    count = (ACROSS + 1) * (ROUND + 1)
    return Sheet(
        points.reshape(count, 3),
        normals.reshape(count, 3),
        flat.reshape(count, 2),
        _grid(),
        np.full(count, 0.1),
    )


def _stadium(s: FloatArray, straight_m: float, radius_m: float) -> tuple[FloatArray, FloatArray]:
    """y and z at lengths s round the section: along the top to the back, round, below to the front."""
    half, bend = straight_m / 2, np.pi * radius_m
    first = np.clip(s, 0.0, straight_m)
    turn_back = np.clip(s - straight_m, 0.0, bend) / radius_m
    below = np.clip(s - straight_m - bend, 0.0, straight_m)
    turn_front = np.clip(s - 2 * straight_m - bend, 0.0, bend) / radius_m
    y = -half + first - below + radius_m * (np.sin(turn_back) - np.sin(turn_front))
    upper = s <= straight_m + bend
    z = radius_m * np.where(upper, np.cos(turn_back), -np.cos(turn_front))
    return y, z


def _grid() -> IntArray:
    """Triangles of the band, counter-clockwise in (x, s)."""
    i, j = np.meshgrid(np.arange(ACROSS), np.arange(ROUND), indexing="ij")
    a = (i * (ROUND + 1) + j).reshape(-1)
    b, c, d = a + ROUND + 1, a + ROUND + 2, a + 1
    return np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)])

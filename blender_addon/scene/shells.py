# SPDX-License-Identifier: GPL-3.0-or-later
"""Pile as sheets over one another, each with fewer tips than the one below it."""

import numpy as np

from ...core.arrays import FloatArray
from .surface import Sheet, at_vertices, stretch_frames

__all__ = ["shells"]

RIM_M, RIM_SHARE = 0.008, 0.45
"""Pile is sheared out of the seam: so near the rim it is shorter, at the rim by so much."""
MOST_LEAN = 1.0
"""Sheets are shifted along the nap at most as far as they rise, or they would part at every fold."""


def shells(
    sheet: Sheet, heights: FloatArray, *, depth_m: float, pile_height_m: float, nap: FloatArray
) -> list[Sheet]:
    """The sheet raised to each of ``heights``, shares of the pile's depth, leaning with the nap.

    Parameters
    ----------
    depth_m, pile_height_m
        How high the pile stands, and how long it is: it leans by the rest.
    nap
        Direction (x, v) in the flat pattern in which the pile strokes smooth.
    """
    frames = stretch_frames(sheet.positions, sheet.flat, sheet.triangles) @ nap
    stroke = at_vertices(frames, sheet.triangles, len(sheet.positions))
    stroke -= (stroke * sheet.normals).sum(axis=1, keepdims=True) * sheet.normals
    stroke /= np.maximum(np.linalg.norm(stroke, axis=1, keepdims=True), 1e-12)
    lean_m = min(max(pile_height_m**2 - depth_m**2, 0.0) ** 0.5, MOST_LEAN * depth_m)
    full = np.clip(1 - RIM_SHARE + RIM_SHARE * sheet.rim_distance / RIM_M, 1 - RIM_SHARE, 1.0)
    raised = []
    for height in heights:
        # strands leave the ground upright and lean more the higher they are
        up = height * depth_m * sheet.normals + height**1.5 * lean_m * stroke
        moved = sheet.positions + full[:, None] * up
        raised.append(Sheet(moved, sheet.normals, sheet.flat, sheet.triangles, sheet.rim_distance))
    return raised

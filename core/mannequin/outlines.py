# SPDX-License-Identifier: GPL-3.0-or-later
"""Horizontal slices of a closed surface, parted into outlines: trunk, arms, legs."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..errors import InputError
from .measuring import hull_girth, section_points
from .mesh_repair import Solid, connected_components

__all__ = ["UP", "Outline", "Slicer", "apart_m"]

LEAST_OUTLINE_M = 0.03  # shorter ones are folds and specks
MOST_OUTLINES = 8
HULL_DIRECTIONS = 720
MOST_COMPARED = 600  # points of an outline; more do not change a distance worth telling
UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, slots=True)
class Outline:
    """One closed curve of a slice: its pieces (k, 2, 2) from point to point, and its area."""

    pieces: FloatArray
    area_m2: float

    @property
    def points(self) -> FloatArray:
        """Its points (k, 2)."""
        return self.pieces[:, 0]

    @property
    def middle(self) -> FloatArray:
        """The middle (2,) of its box."""
        result: FloatArray = 0.5 * (self.points.min(axis=0) + self.points.max(axis=0))
        return result

    @property
    def size_m(self) -> tuple[float, float]:
        """Breadth (x) and depth (y)."""
        breadth, depth = np.ptp(self.points, axis=0).tolist()
        return breadth, depth

    @property
    def girth_m(self) -> float:
        """What a tape round it reads."""
        return hull_girth(self.points)

    @property
    def hull_area_m2(self) -> float:
        """Area of its convex hull, from the outermost point in each of 720 directions."""
        angle = np.arange(HULL_DIRECTIONS) * (2.0 * np.pi / HULL_DIRECTIONS)
        outermost = (self.points @ np.stack([np.cos(angle), np.sin(angle)])).argmax(axis=0)
        x, y = self.points[outermost].T
        return 0.5 * float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))


class Slicer:
    """Cuts a solid at any height."""

    def __init__(self, solid: Solid) -> None:
        self._solid = solid
        self._place = np.full(len(solid.triangles), -1)

    def outlines(self, height_m: float) -> list[Outline]:
        """The outlines at a height, the largest in area first.

        Raises
        ------
        InputError
            There is nothing at this height.
        """
        solid = self._solid
        pieces, cut = section_points(
            solid.vertices, solid.triangles, np.array([0.0, 0.0, height_m]), UP
        )
        flat = pieces[:, :, :2]
        above = solid.vertices[solid.triangles[cut], 2] >= height_m
        # seen from above the body lies to the left of every piece
        lone_below = above.sum(axis=1) == 2
        flat[lone_below] = flat[lone_below, ::-1]
        rows, corners = np.nonzero(above != np.roll(above, -1, axis=1))
        self._place[cut] = np.arange(len(cut))
        label = connected_components(
            len(cut), rows, self._place[solid.partners[cut[rows], corners] // 3]
        )
        part = np.unique(label, return_inverse=True)[1]
        length = np.bincount(part, np.linalg.norm(flat[:, 1] - flat[:, 0], axis=1))
        (x0, y0), (x1, y1) = flat[:, 0].T, flat[:, 1].T
        area = 0.5 * np.bincount(part, x0 * y1 - x1 * y0)
        order = np.argsort(-area, kind="stable")
        order = order[(length[order] > LEAST_OUTLINE_M) & (area[order] > 0.0)][:MOST_OUTLINES]
        if not len(order):
            raise InputError(
                "body",
                f"without a trunk at a height of {height_m:.2f} m",
                "a whole body, upright",
                "check which axis points up",
            )
        return [Outline(flat[part == index], float(area[index])) for index in order]

    def trunk(self, height_m: float) -> Outline:
        """The largest outline at a height."""
        return self.outlines(height_m)[0]


def apart_m(first: Outline, second: Outline) -> float:
    """Least distance between the points of two outlines; 0 where the second starts in the first.

    The distance of points is a little more than that of the lines between them.
    """
    a, b = (
        outline.points[:: max(len(outline.points) // MOST_COMPARED, 1)]
        for outline in (first, second)
    )
    # a point lies inside if a ray to the side crosses an odd number of pieces
    x, y = b[0]
    low, high = first.pieces[:, 0], first.pieces[:, 1]
    crossing = (low[:, 1] > y) != (high[:, 1] > y)
    low, high = low[crossing], high[crossing]
    at = low[:, 0] + (y - low[:, 1]) * (high[:, 0] - low[:, 0]) / (high[:, 1] - low[:, 1])
    if np.count_nonzero(at > x) % 2:
        return 0.0
    return float(np.linalg.norm(a[:, None] - b[None], axis=2).min())

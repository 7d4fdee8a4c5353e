# SPDX-License-Identifier: GPL-3.0-or-later
"""What is left over: the four cut-away corners of each layer, and strips of the bolt."""

import math
from dataclasses import dataclass

from ..cut_line import Allowances, corner_radius_m
from ..pattern import Cut
from .packing import Box, Ground, put

__all__ = ["Corner", "Offcut", "corner_of"]

LEAST_SIDE_M = 0.05
"""Narrower pieces are not worth keeping."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """The piece cut away under an arm: a rectangle with one corner rounded off, metres."""

    width_m: float
    length_m: float
    rounding_m: float

    @property
    def area_m2(self) -> float:
        """Its area, in closed form."""
        return self.width_m * self.length_m - (1 - math.pi / 4) * self.rounding_m**2

    @property
    def ground(self) -> Ground:
        """Where pieces may lie in it, its square corner being the origin."""
        return Ground(width_m=self.width_m, length_m=self.length_m, rounding_m=self.rounding_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """Pieces that are left over and alike.

    ``rounding_m`` is the radius of its one round corner; 0 for a rectangle. ``pieces`` tells
    what was already cut from it for each one.
    """

    name: str
    count: int
    width_m: float
    length_m: float
    rounding_m: float = 0.0
    taken: tuple[Box, ...] = ()

    @property
    def ground(self) -> Ground:
        return Ground(width_m=self.width_m, length_m=self.length_m, rounding_m=self.rounding_m)

    def holds(self, width_m: float, length_m: float) -> int:
        """How many rectangles of this size can be cut out of one of them, not turned."""
        taken = list(self.taken)
        start = len(taken)
        while (found := put(self.ground, taken, [(width_m, length_m)])) is not None:
            taken.append(found[0])
        return len(taken) - start

    def largest_square_m(self, step_m: float) -> float:
        """Side of the largest square that can be cut, in whole steps; 0 if there is none."""
        most = math.floor(min(self.width_m, self.length_m) / step_m + 1e-9)
        fitting = (n for n in range(most, 0, -1) if self.holds(n * step_m, n * step_m))
        return step_m * next(fitting, 0)


def corner_of(cut: Cut, allowances: Allowances) -> Corner:
    """The corner that the cut line takes away under each arm, front and back alike."""
    return Corner(
        width_m=(cut.cloth_width_m - cut.body_width_m) / 2 - allowances.underarm_m,
        length_m=cut.length_m / 2 - cut.sleeve_drop_m - allowances.underarm_m,
        rounding_m=corner_radius_m(cut, allowances),
    )

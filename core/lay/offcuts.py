# SPDX-License-Identifier: GPL-3.0-or-later
"""What is left over: the four cut-away corners of each layer, and strips of the bolt."""

import math
from dataclasses import dataclass

import numpy as np

from ..cut_line import Part
from ..pattern import Arc, Line, Piece
from .packing import Box, Ground, put

__all__ = ["Corner", "Offcut", "corner_key", "corner_of"]

LEAST_SIDE_M = 0.05
"""Narrower pieces are not worth keeping."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """The piece cut away under an arm, metres, its outer square corner being the origin.

    ``line`` is the cut line from the hem's edge to the sleeve end's; ``rounding_m`` the radius of
    its round corner, 0 where there is none.
    """

    width_m: float
    length_m: float
    rounding_m: float
    line: tuple[tuple[float, float], ...]

    @property
    def area_m2(self) -> float:
        """Its area within a hundredth of a square centimetre."""
        points = np.array([(0.0, 0.0), *self.line])
        following = np.roll(points, -1, axis=0)
        swept = points[:, 0] * following[:, 1] - following[:, 0] * points[:, 1]
        return float(abs(swept.sum()) / 2)

    @property
    def ground(self) -> Ground:
        """Where pieces may lie in it."""
        return Ground(width_m=self.width_m, length_m=self.length_m, line=self.line)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """Pieces that are left over and alike.

    ``rounding_m`` is the radius of its one round corner, 0 for a rectangle or where it is another
    shape; ``line`` is its rim where it is not a rectangle; ``taken`` is what was already cut from
    each one.
    """

    name: str
    count: int
    width_m: float
    length_m: float
    rounding_m: float = 0.0
    line: tuple[tuple[float, float], ...] = ()
    taken: tuple[Box, ...] = ()

    @property
    def ground(self) -> Ground:
        return Ground(width_m=self.width_m, length_m=self.length_m, line=self.line)

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


def corner_of(part: Part, corner: str) -> Corner:
    """The corner that a part's cut line takes away, such as "front left"."""
    half, side = corner.split()
    left_m, right_m, low_m, high_m = part.bounds_m
    sign, outer_m = (1, right_m) if side == "left" else (-1, -left_m)
    edge_m = -low_m if half == "front" else high_m
    pieces = (
        *part.cut.get(f"split_{corner_key(corner)}", ()),
        *part.cut[f"underarm_{corner_key(corner)}"],
    )
    points = np.concatenate([piece.place(np.linspace(0, 1, _steps(piece) + 1)) for piece in pieces])
    line = np.stack([outer_m - sign * points[:, 0], edge_m - np.abs(points[:, 1])], axis=1)
    if line[0, 1] > line[-1, 1]:
        line = line[::-1]
    # to the rim of the rectangle where the hem rises to the side
    line = np.concatenate([[(line[0, 0], 0.0)], line, [(0.0, line[-1, 1])]])
    rounded = [piece.radius_x_m for piece in pieces if isinstance(piece, Arc)]
    return Corner(
        width_m=float(line[:, 0].max()),
        length_m=float(line[:, 1].max()),
        rounding_m=rounded[0] if rounded else 0.0,
        line=tuple((float(x), float(y)) for x, y in line),
    )


def corner_key(corner: str) -> str:
    """The end of the names of the edges round a corner."""
    return corner.replace(" ", "_")


def _steps(piece: Piece) -> int:
    """So many chords of a curve lie within a thousandth of a millimetre of it."""
    return 1 if isinstance(piece, Line) else 240

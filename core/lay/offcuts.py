# SPDX-License-Identifier: GPL-3.0-or-later
"""What is left over: the four cut-away corners of each layer, and strips of the bolt."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np

from ..cut_line import Part
from ..pattern import Arc, Line, Piece
from .packing import Box, Ground, put
from .words import ACROSS, CORNER, END, STRIP

__all__ = [
    "Corner",
    "Offcut",
    "corner_key",
    "corner_of",
    "corners_left",
    "free_strips",
    "strips_left",
]

LEAST_SIDE_M = 0.05
"""Narrower pieces are not worth keeping."""
SAME_M = 1e-6


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
    split = part.cut.get(f"split_{corner_key(corner)}", ())
    underarm = part.cut[f"underarm_{corner_key(corner)}"]
    # a side that is walked downwards has its split last
    down = bool(split) and math.dist(underarm[-1].end, split[0].start) < SAME_M
    pieces = (*underarm, *split) if down else (*split, *underarm)
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


def corners_left(corners: Iterable[tuple[Corner, Sequence[Box]]]) -> Iterator[Offcut]:
    """Corners with what was cut from them, those that are alike together."""

    def shape(corner: tuple[Corner, Sequence[Box]]) -> tuple[object, ...]:
        cut_away, taken = corner
        sizes = (-cut_away.width_m, -cut_away.length_m, cut_away.rounding_m)
        boxes = tuple((b.x_m, b.y_m, b.width_m, b.length_m) for b in taken)
        # mirrored ones differ by rounding alone
        return (
            *(round(size_m, 9) for size_m in sizes),
            tuple(tuple(round(one_m, 6) for one_m in box) for box in boxes),
        )

    for _, alike in groupby(sorted(corners, key=shape), key=shape):
        same = list(alike)
        cut_away, taken = same[0]
        yield Offcut(
            name=CORNER,
            count=len(same),
            width_m=cut_away.width_m,
            length_m=cut_away.length_m,
            rounding_m=cut_away.rounding_m,
            line=cut_away.line,
            taken=tuple(taken),
        )


def strips_left(
    boxes: Sequence[Box], cuts_m: Sequence[float], cloth_m: tuple[float, float]
) -> Iterator[Offcut]:
    """What lies beside and between the boxes once the cloth is cut straight across at these places.

    ``cloth_m`` is width and length of the cloth as it lies, metres. No strip goes on over a cut.
    """
    top_m = max(box.top_m for box in boxes)
    for free in free_strips(boxes, cuts_m, cloth_m):
        across = END if free.y_m > top_m - SAME_M else ACROSS
        name = across if free.width_m > cloth_m[0] - SAME_M else STRIP
        yield Offcut(name=name, count=1, width_m=free.width_m, length_m=free.length_m)


def free_strips(
    boxes: Sequence[Box], cuts_m: Sequence[float], cloth_m: tuple[float, float]
) -> Iterator[Box]:
    """Where those strips lie that are worth keeping."""
    width_m, length_m = cloth_m
    ends_m = [0.0, *(cut_m for cut_m in cuts_m if cut_m < length_m - SAME_M), length_m]
    for section in pairwise(ends_m):
        for free in _free(boxes, width_m, *section):
            if min(free.width_m, free.length_m) >= LEAST_SIDE_M:
                yield free


def _free(boxes: Sequence[Box], width_m: float, start_m: float, end_m: float) -> Iterator[Box]:
    """What no box covers between two places along the cloth: each as long as it goes on equally wide."""
    ends_m = {one_m for box in boxes for one_m in (box.y_m, box.top_m) if start_m < one_m < end_m}
    going_on: dict[tuple[float, float], float] = {}
    for low_m, high_m in pairwise(sorted({start_m, end_m, *ends_m})):
        if high_m - low_m < SAME_M:
            continue
        middle_m = (low_m + high_m) / 2
        beside = [box for box in boxes if box.y_m < middle_m < box.top_m]
        here = {gap: going_on.pop(gap, low_m) for gap in _gaps(beside, width_m)}
        yield from _ended(going_on, low_m)
        going_on = here
    yield from _ended(going_on, end_m)


def _ended(strips: Mapping[tuple[float, float], float], end_m: float) -> Iterator[Box]:
    """Strips by their sides and where they begin, which go no farther than this."""
    for (left_m, right_m), start_m in strips.items():
        yield Box(left_m, start_m, right_m - left_m, end_m - start_m)


def _gaps(beside: Sequence[Box], width_m: float) -> Iterator[tuple[float, float]]:
    """Where the cloth is free across, beside boxes that lie next to one another; to a micrometre."""
    reached_m = 0.0
    for box in sorted(beside, key=lambda one: one.x_m):
        if box.x_m > reached_m + SAME_M:
            yield round(reached_m, 6), round(box.x_m, 6)
        reached_m = max(reached_m, box.right_m)
    if reached_m < width_m - SAME_M:
        yield round(reached_m, 6), round(width_m, 6)

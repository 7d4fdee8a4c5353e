# SPDX-License-Identifier: GPL-3.0-or-later
"""Rectangles on a strip of cloth, each put as far down and then as far left as it will go."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from .grid import Grid

__all__ = ["Box", "Ground", "put", "put_apart"]

SLACK_M = 1e-9


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its corner nearest to the origin, and its sides, metres."""

    x_m: float
    y_m: float
    width_m: float
    length_m: float

    @property
    def right_m(self) -> float:
        return self.x_m + self.width_m

    @property
    def top_m(self) -> float:
        return self.y_m + self.length_m

    def overlaps(self, other: "Box") -> bool:
        """Whether they share more than a rim."""
        return (
            self.x_m < other.right_m - SLACK_M
            and other.x_m < self.right_m - SLACK_M
            and self.y_m < other.top_m - SLACK_M
            and other.y_m < self.top_m - SLACK_M
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Where pieces may lie: a rectangle, or the part of it inside a line.

    ``line`` (corners (x, y), metres) runs from the rectangle's lower rim to its left one; what lies
    beyond it is not free. Without it the whole rectangle is.
    """

    width_m: float
    length_m: float = float("inf")
    line: tuple[tuple[float, float], ...] = ()

    def holds(self, box: Box) -> bool:
        """Whether a box lies inside."""
        if box.right_m > self.width_m + SLACK_M or box.top_m > self.length_m + SLACK_M:
            return False
        if not self.line:
            return True
        return self._clear(box)

    def _clear(self, box: Box) -> bool:
        """Whether the line has no corner inside the box, and the box's far corner is before it."""
        x, y = np.array(self.line).T
        inside = (
            (x > box.x_m + SLACK_M)
            & (x < box.right_m - SLACK_M)
            & (y > box.y_m + SLACK_M)
            & (y < box.top_m - SLACK_M)
        )
        if inside.any():
            return False
        left, right = box.x_m + SLACK_M, box.right_m - SLACK_M
        low, top = box.y_m + SLACK_M, box.top_m - SLACK_M
        return all(self._within(*corner) for corner in ((left, top), (right, top), (right, low)))

    def _within(self, across_m: float, up_m: float) -> bool:
        """Whether a place lies on the origin's side of the line (even-odd rule)."""
        x, y = np.array([(0.0, 0.0), *self.line]).T
        x2, y2 = np.roll(x, -1), np.roll(y, -1)
        passes = (y <= up_m) != (y2 <= up_m)
        rise = np.where(passes, y2 - y, 1.0)
        beyond = x + (up_m - y) / rise * (x2 - x) > across_m
        return bool((passes & beyond).sum() % 2)


def put(
    ground: Ground,
    taken: Sequence[Box],
    sides: Sequence[tuple[float, float]],
    repeat_m: float = 0.0,
) -> tuple[Box, int] | None:
    """Place one rectangle beside those that lie there already.

    Parameters
    ----------
    sides
        Width and length for each way that it may be turned, metres.
    repeat_m
        The rectangle begins at a multiple of this along the cloth; 0 leaves it free.

    Returns
    -------
    tuple of Box and int, or None
        The box nearest to the origin, first along and then across the cloth, and which of
        ``sides`` it has; None if there is no room.
    """
    found = [
        (box.y_m, box.x_m, turn, box)
        for turn, (width_m, length_m) in enumerate(sides)
        for box in _candidates(taken, width_m, length_m, repeat_m)
        if ground.holds(box) and not any(box.overlaps(other) for other in taken)
    ]
    if not found:
        return None
    *_, turn, box = min(found, key=lambda entry: entry[:3])
    return box, turn


def put_apart(
    ground: Ground, taken: Sequence[Box], sides: Sequence[tuple[float, float]], grid: Grid
) -> tuple[Box, int] | None:
    """The same, the grid's gap free on all sides; the box is as large as the piece takes room as told."""
    gap_m = grid.gap_m
    inner = Ground(
        width_m=ground.width_m - gap_m,
        length_m=ground.length_m - gap_m,
        line=tuple((x - gap_m, y - gap_m) for x, y in ground.line),
    )
    beside = [
        Box(box.x_m - gap_m, box.y_m - gap_m, box.width_m + gap_m, box.length_m + gap_m)
        for box in taken
    ]
    room = [(grid.up(width_m) + gap_m, grid.up(length_m) + gap_m) for width_m, length_m in sides]
    found = put(inner, beside, room)
    if found is None:
        return None
    box, turn = found
    return Box(box.x_m + gap_m, box.y_m + gap_m, box.width_m - gap_m, box.length_m - gap_m), turn


def _candidates(
    taken: Sequence[Box], width_m: float, length_m: float, repeat_m: float
) -> Iterator[Box]:
    """Boxes whose sides touch the rim or a side of another box."""
    for x_m in {0.0, *(box.right_m for box in taken)}:
        for edge_m in {0.0, *(box.top_m for box in taken)}:
            y_m = edge_m
            if repeat_m > 0:
                y_m = repeat_m * -(-(edge_m - SLACK_M) // repeat_m)
            yield Box(x_m, y_m, width_m, length_m)

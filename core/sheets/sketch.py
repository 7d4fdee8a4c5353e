# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures to scale for the plan and the sewing order: outlines, dimensions, arrows, words."""

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from ..paper import Line as Strokes
from ..paper import Mark, Words, text_width_mm
from ..pattern import Piece
from .drawing import points_m
from .flow import Picture

__all__ = ["CLOTH_INK", "FOLD_DASHES_MM", "RIGHT_SIDE_INK", "Sketch", "rectangle"]

CLOTH_INK, RIGHT_SIDE_INK = 0.90, 1.0
"""Ground of cloth as its wrong side is seen, and as its right side is."""
FOLD_DASHES_MM = (5.0, 1.5, 1.0, 1.5)
"""Folds, and lines that are matched."""
Point = tuple[float, float]
HEAD_MM = 1.6
"""Length of the heads of a dimension."""


class Sketch:
    """Marks of a picture; places are metres of the cloth, x to the right and y up.

    Parameters
    ----------
    scale_mm_m
        Millimetres on paper for a metre of cloth.
    left_m, top_m
        What lies at the picture's upper left corner.
    text_mm
        Height of the type.
    """

    def __init__(self, scale_mm_m: float, left_m: float, top_m: float, text_mm: float) -> None:
        self.scale = scale_mm_m
        self._left_m, self._top_m = left_m, top_m
        self.text_mm = text_mm
        self._marks: list[Mark] = []

    def place(self, point: Point) -> Point:
        """A place of the cloth on the picture."""
        return (point[0] - self._left_m) * self.scale, (self._top_m - point[1]) * self.scale

    def line(
        self,
        points: Sequence[Point],
        *,
        width_mm: float = 0.3,
        dashes_mm: tuple[float, ...] = (),
        ink: float = 0.0,
        closed: bool = False,
        fill: float | None = None,
    ) -> None:
        """Straight strokes."""
        self._marks.append(
            Strokes(
                points=tuple(self.place(point) for point in points),
                width_mm=width_mm,
                dashes_mm=dashes_mm,
                ink=ink,
                closed=closed,
                fill=fill,
            )
        )

    def path(
        self,
        pieces: Iterable[Piece],
        *,
        width_mm: float = 0.3,
        dashes_mm: tuple[float, ...] = (),
        ink: float = 0.0,
        fill: float | None = None,
    ) -> None:
        """Lines and arcs end to end."""
        self.line(
            points_m(tuple(pieces)), width_mm=width_mm, dashes_mm=dashes_mm, ink=ink, fill=fill
        )

    def word(
        self,
        text: str,
        at: Point,
        *,
        anchor: str = "middle",
        turn_degrees: float = 0.0,
        bold: bool = False,
        down_mm: float = 0.0,
        right_mm: float = 0.0,
        ground: float | None = None,
    ) -> None:
        """Words whose foot stands on a place, moved on paper by so much.

        ``ground`` is the ink of a patch under them, where they lie on lines.
        """
        x, y = self.place(at)
        words = Words(
            text=text,
            at=(x + right_mm, y + down_mm),
            size_mm=self.text_mm,
            anchor="start" if anchor == "start" else "end" if anchor == "end" else "middle",
            turn_degrees=turn_degrees,
            bold=bold,
        )
        self._written(words, ground)

    def _written(self, words: Words, ground: float | None) -> None:
        if ground is not None:
            self._marks.append(_patch(words, ground))
        self._marks.append(words)

    def across(
        self,
        x1: float,
        x2: float,
        y: float,
        words: str,
        off_mm: float = 0.0,
        ground: float | None = None,
    ) -> None:
        """A dimension from x1 to x2 at height y, moved down on paper; its words stand over it.

        ``ground`` is the ink of a patch under words that lie on lines.
        """
        (a, b), (c, _) = self.place((x1, y)), self.place((x2, y))
        b += off_mm
        self._dimension((a, b), (c, b))
        wide = text_width_mm(words, self.text_mm)
        inside = wide < abs(c - a) - 1
        x = (a + c) / 2 if inside else max(a, c) + 1.5
        told = Words(
            text=words,
            at=(x, b - 1.2 if inside else b + 0.35 * self.text_mm),
            size_mm=self.text_mm,
            anchor="middle" if inside else "start",
        )
        self._written(told, ground)

    def along(self, y1: float, y2: float, x: float, words: str, off_mm: float = 0.0) -> None:
        """A dimension from y1 to y2 at x, moved right on paper; its words stand beside it."""
        (a, b), (_, d) = self.place((x, y1)), self.place((x, y2))
        a += off_mm
        self._dimension((a, b), (a, d))
        turned = text_width_mm(words, self.text_mm) < abs(d - b) - 1
        self._marks.append(
            Words(
                text=words,
                at=(a - 1.2, (b + d) / 2) if turned else (a + 1.5, (b + d) / 2 + 1.0),
                size_mm=self.text_mm,
                anchor="middle" if turned else "start",
                turn_degrees=-90.0 if turned else 0.0,
            )
        )

    def arrow(self, start: Point, end: Point, *, width_mm: float = 0.5) -> None:
        """An arrow from place to place."""
        a, b = self.place(start), self.place(end)
        self._marks.append(Strokes(points=(a, b), width_mm=width_mm))
        self._head(a, b, width_mm, 2.6)

    def fold(self, start: Point, end: Point, *, width_mm: float = 0.35) -> None:
        """A line to fold on or to match by."""
        self.line([start, end], width_mm=width_mm, dashes_mm=FOLD_DASHES_MM)

    def dot(self, at: Point) -> None:
        """A place that is marked."""
        radius = 0.9 / self.scale
        turns = [math.pi * step / 6 for step in range(12)]
        rim = [(at[0] + radius * math.cos(t), at[1] + radius * math.sin(t)) for t in turns]
        self.line(rim, closed=True, fill=0.0)

    def cross(self, at: Point) -> None:
        """A place where ruled lines meet."""
        reach = 1.8 / self.scale
        for dx, dv in ((reach, reach), (reach, -reach)):
            ends = [(at[0] - dx, at[1] - dv), (at[0] + dx, at[1] + dv)]
            self.line(ends, width_mm=0.5)

    def clips(self, pieces: Iterable[Piece], every_m: float, deep_m: float) -> None:
        """Short strokes from curves to their left, as where an allowance is snipped."""
        runs: list[list[Piece]] = []
        for piece in pieces:
            if runs and math.dist(runs[-1][-1].end, piece.start) < 1e-6:
                runs[-1].append(piece)
            else:
                runs.append([piece])
        for run in runs:
            self._clips(run, every_m, deep_m)

    def _clips(self, run: Sequence[Piece], every_m: float, deep_m: float) -> None:
        """The strokes beside curves that go on from one another."""
        points = points_m(tuple(run))
        since = every_m / 2
        for (x1, y1), (x2, y2) in pairwise(points):
            step = math.dist((x1, y1), (x2, y2))
            since += step
            if since < every_m or step == 0:
                continue
            since -= every_m
            left = (-(y2 - y1) / step, (x2 - x1) / step)
            self.line([(x2, y2), (x2 + deep_m * left[0], y2 + deep_m * left[1])], width_mm=0.35)

    def picture(self, width_mm: float, height_mm: float, summary: str) -> Picture:
        """What was drawn."""
        return Picture(
            width_mm=width_mm, height_mm=height_mm, marks=tuple(self._marks), summary=summary
        )

    def _dimension(self, start: Point, end: Point) -> None:
        self._marks.append(Strokes(points=(start, end), width_mm=0.18))
        # the heads of a short one do not cross
        size_mm = min(HEAD_MM, 0.4 * math.dist(start, end))
        self._head(start, end, 0.25, size_mm)
        self._head(end, start, 0.25, size_mm)

    def _head(self, start: Point, end: Point, width_mm: float, size_mm: float) -> None:
        turn = math.atan2(start[1] - end[1], start[0] - end[0])
        barbs = [
            (end[0] + size_mm * math.cos(turn + side), end[1] + size_mm * math.sin(turn + side))
            for side in (-0.4, 0.4)
        ]
        self._marks.append(Strokes(points=(barbs[0], end, barbs[1]), width_mm=width_mm))


def _patch(words: Words, ink: float) -> Strokes:
    """A rectangle a little larger than a line of text."""
    wide = text_width_mm(words.text, words.size_mm, bold=words.bold)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[words.anchor]
    turn = math.radians(words.turn_degrees)
    along, down = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    ends = ((left - 0.5, left + wide + 0.5), (-words.size_mm, 0.3 * words.size_mm))
    corners = tuple(
        (
            words.at[0] + a * along[0] + d * down[0],
            words.at[1] + a * along[1] + d * down[1],
        )
        for a, d in (
            (ends[0][0], ends[1][0]),
            (ends[0][1], ends[1][0]),
            (ends[0][1], ends[1][1]),
            (ends[0][0], ends[1][1]),
        )
    )
    return Strokes(points=corners, closed=True, width_mm=0.05, ink=ink, fill=ink)


def rectangle(
    sketch: Sketch,
    x: float,
    y: float,
    wide: float,
    high: float,
    *,
    fill: float | None = None,
    width_mm: float = 0.3,
    dashes_mm: tuple[float, ...] = (),
) -> None:
    """A rectangle by its lower left corner."""
    corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
    sketch.line(corners, closed=True, fill=fill, width_mm=width_mm, dashes_mm=dashes_mm)

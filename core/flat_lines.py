# SPDX-License-Identifier: GPL-3.0-or-later
"""The flat pattern and the lay as polylines and words, for a drawing that follows every number.

All coordinates are metres on the cloth. A line's kind tells what it means, not how it is drawn.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from .arrays import FloatArray
from .cut_line import Allowances, Part, cut_line_of
from .lay import Bolt, Lay, Layer, Placed
from .lay.packing import Box
from .lay.words import END, STRIP
from .pattern import Cut, Line, Piece
from .phrases import phrase
from .telling import Telling

__all__ = ["FlatLines", "Kind", "Word", "lay_lines", "layer_lines"]

Kind = Literal["cut", "stitch", "fold", "nap", "size", "bolt", "piece", "offcut"]
Point = tuple[float, float]

ARC_STEPS = 14
DASH_M = 0.03
TICK_M = 0.02
HEAD_M = 0.04
BESIDE_M = 0.08
BETWEEN_BOLTS_M = 0.25


@dataclass(frozen=True, slots=True)
class Word:
    """A few words and the place (x, y) of their middle, metres."""

    text: str
    at: Point


@dataclass(slots=True)
class FlatLines:
    """A drawing: segments (k, 2, 2) by kind, and words.

    Attributes
    ----------
    words
        In the order in which they were written.
    """

    _parts: dict[Kind, list[FloatArray]] = field(default_factory=dict)
    words: list[Word] = field(default_factory=list)

    @property
    def lines(self) -> Mapping[Kind, FloatArray]:
        """Segments (k, 2, 2) by kind, metres."""
        return {kind: np.concatenate(parts) for kind, parts in self._parts.items()}

    @property
    def corners(self) -> FloatArray:
        """Lowest and highest (x, y) of all lines, (2, 2) metres."""
        points = np.concatenate(list(self.lines.values())).reshape(-1, 2)
        return np.stack([points.min(axis=0), points.max(axis=0)])

    def chain(self, kind: Kind, points: FloatArray | Iterable[Point]) -> None:
        """Add a polyline through points (k, 2)."""
        row = np.asarray(points if isinstance(points, np.ndarray) else list(points), float)
        self._parts.setdefault(kind, []).append(np.stack([row[:-1], row[1:]], axis=1))

    def dashes(self, kind: Kind, start: Point, end: Point) -> None:
        """Add a broken line."""
        first, last = np.asarray(start), np.asarray(end)
        count = max(1, int(np.linalg.norm(last - first) / DASH_M) // 2 * 2 + 1)
        share = np.linspace(0.0, 1.0, count + 1)[:, None]
        points = first + share * (last - first)
        segments = np.stack([points[:-1], points[1:]], axis=1)
        self._parts.setdefault(kind, []).append(segments[::2])

    def word(self, text: str, at: Point) -> None:
        """Add words round a place."""
        self.words.append(Word(text, at))

    def size(self, start: Point, end: Point, text: str) -> None:
        """Add a dimension line with ticks at both ends and its words in the middle."""
        first, last = np.asarray(start), np.asarray(end)
        along = (last - first) / max(float(np.linalg.norm(last - first)), 1e-9)
        across = TICK_M * np.array([-along[1], along[0]])
        self.chain("size", np.stack([first, last]))
        for point in (first, last):
            self.chain("size", np.stack([point - across, point + across]))
        middle = (first + last) / 2
        self.word(text, (float(middle[0]), float(middle[1])))

    def arrow(self, kind: Kind, tail: Point, head: Point) -> None:
        """Add an arrow."""
        first, last = np.asarray(tail), np.asarray(head)
        along = HEAD_M * (last - first) / max(float(np.linalg.norm(last - first)), 1e-9)
        across = np.array([-along[1], along[0]]) / 2
        self.chain(kind, np.stack([first, last]))
        self.chain(kind, np.stack([last - along + across, last, last - along - across]))


def layer_lines(cut: Cut, allowances: Allowances, tell: Telling) -> FlatLines:
    """Draw one layer: cut and stitch lines, fold, nap and sizes, in the pattern's (x, v).

    Raises
    ------
    RangeError
        An allowance does not suit the cut.
    """
    drawing = FlatLines()
    for part in cut_line_of(cut, allowances).parts:
        # a seamed back lies a little above its fronts
        above_m = BESIDE_M + allowances.shoulder_m if part.name == "back" else 0.0
        _marked(drawing, part, (0.0, above_m))
    wrist, front, back = cut.wrist_m, cut.front_m, cut.back_m
    neck, side, drop = cut.neck_width_m / 2, cut.body_width_m / 2, cut.sleeve_drop_m
    if not cut.seamed:
        drawing.dashes("fold", (-wrist, 0.0), (-neck, 0.0))
        drawing.dashes("fold", (neck, 0.0), (wrist, 0.0))
        drawing.word(phrase("shoulder fold"), ((wrist + neck) / 2, 0.0))
    drawing.word(
        phrase("front: nap runs {way}", way=phrase(cut.nap.runs("front"))),
        (-side * 0.72, -0.62 * front),
    )
    drawing.word(
        phrase("back: nap runs {way}", way=phrase(cut.nap.runs("back"))),
        (-side * 0.72, 0.62 * back),
    )
    below, above, wide = -front - BESIDE_M, back + BESIDE_M, cut.cloth_width_m / 2
    for start, end, value_m in (
        ((-wide, above), (wide, above), cut.cloth_width_m),
        ((-side, below), (side, below), cut.body_width_m),
        ((-wide - BESIDE_M, -front), (-wide - BESIDE_M, back), cut.length_m),
        ((wide + BESIDE_M, -drop), (wide + BESIDE_M, 0.0), drop),
    ):
        drawing.size(start, end, tell.chosen(value_m))
    return drawing


def _marked(drawing: FlatLines, part: Part, at: Point) -> None:
    """What is marked on one part of a layer, the middle of its shoulder line at a place."""
    hole = part.neck if part.whole else ()
    slit = () if part.front is None else (part.front,)
    for piece in (*part.outline, *hole, *slit):
        drawing.chain("cut", _points(piece) + np.asarray(at))
    for piece in (piece for edge in part.stitch.values() for piece in edge):
        drawing.chain("stitch", _points(piece) + np.asarray(at))
    for name, fold in part.folds:
        if name != "shoulder fold":
            drawing.dashes("fold", _moved(fold.start, at), _moved(fold.end, at))
    tail, head = (_moved(point, at) for point in (part.nap.start, part.nap.end))
    drawing.arrow("nap", tail, head)


def _moved(point: Point, by: Point) -> Point:
    return point[0] + by[0], point[1] + by[1]


def _points(piece: Piece) -> FloatArray:
    steps = 1 if isinstance(piece, Line) else ARC_STEPS
    return piece.place(np.linspace(0.0, 1.0, steps + 1))


def lay_lines(lay: Lay, tell: Telling) -> FlatLines:
    """Draw every bolt with all that is cut from it, side by side; x across, y along the cloth."""
    drawing, left_m = FlatLines(), 0.0
    for bolt in lay.bolts:
        _bolt(drawing, bolt, left_m, tell)
        left_m += bolt.usable_width_m + BETWEEN_BOLTS_M
    return drawing


def _bolt(drawing: FlatLines, bolt: Bolt, left_m: float, tell: Telling) -> None:
    right_m, top_m = left_m + bolt.usable_width_m, bolt.lying_m
    drawing.chain("bolt", _rectangle(left_m, 0.0, right_m, top_m))
    for piece in bolt.placed:
        box = piece.box
        corners = box.x_m + left_m, box.y_m, box.right_m + left_m, box.top_m
        middle = (corners[0] + corners[2]) / 2, (corners[1] + corners[3]) / 2
        if isinstance(piece.source, Layer):
            drawing.chain("offcut", _rectangle(*corners))
            mark = piece.source.mark
            part_left_m, _, part_low_m, _ = mark.bounds_m
            _marked(drawing, mark, (corners[0] - part_left_m, corners[1] - part_low_m))
            # not on the fold
            drawing.word(piece.name, (middle[0], middle[1] + 0.25 * box.length_m))
        else:
            drawing.chain("piece", _rectangle(*corners))
            drawing.word(piece.name, middle)
    for x0, y0, x1, y1 in _leftovers(bolt):
        drawing.chain("offcut", _rectangle(left_m + x0, y0, left_m + x1, y1))
    words = phrase(
        "{cloth}, {layers}: buy {length}",
        cloth=phrase(bolt.cloth.name),
        layers=phrase(bolt.layers),
        length=tell.chosen(bolt.bought_m),
    )
    drawing.word(words, ((left_m + right_m) / 2, -2.2 * BESIDE_M))
    drawing.size((left_m, -BESIDE_M), (right_m, -BESIDE_M), tell.chosen(bolt.usable_width_m))
    drawing.word(
        phrase("{share} left over", share=f"{bolt.waste:.0%}"),
        ((left_m + right_m) / 2, top_m + BESIDE_M),
    )


def _rectangle(x0: float, y0: float, x1: float, y1: float) -> list[Point]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]


def _leftovers(bolt: Bolt) -> Iterator[tuple[float, float, float, float]]:
    """The strip beside the pieces and the end of the cloth, where they are worth keeping."""
    boxes: list[Box] = [piece.box for piece in _on_the_bolt(bolt)]
    widest_m, top_m = max(box.right_m for box in boxes), max(box.top_m for box in boxes)
    names = {offcut.name for offcut in bolt.offcuts}
    if STRIP in names:
        yield widest_m, 0.0, bolt.usable_width_m, top_m
    if END in names:
        yield 0.0, top_m, bolt.usable_width_m, bolt.lying_m


def _on_the_bolt(bolt: Bolt) -> tuple[Placed, ...]:
    return bolt.whole

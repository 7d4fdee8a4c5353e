# SPDX-License-Identifier: GPL-3.0-or-later
"""A drawing at true size: exact lines and arcs on named layers, and words, in millimetres.

x grows to the right and y up, as a pattern lies on the table with the front towards the reader.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from ..cut_line import CutLine, Part
from ..paper import Line as Strokes
from ..paper import Mark, Words
from ..pattern import Arc, Cubic, Line, Piece
from .picture_words import PART_NAMES, PICTURE

__all__ = [
    "Drawing",
    "Layer",
    "Path",
    "Text",
    "bounds_mm",
    "marks",
    "pattern_drawings",
    "points_m",
    "points_mm",
    "within",
]

Layer = Literal["CUT", "STITCH", "NOTCH", "GRAIN"]
Point = tuple[float, float]
MM = 1000.0
CHORD_ERROR_MM = 0.01
"""How far the straight pieces of a drawn arc stay from it."""
CUBIC_STEP_M = 0.001
"""A millimetre's chord of a curve of 2 cm radius stays within 0.01 mm of it."""

# Width and dashes of each layer's lines, and their ink: told apart in black and white
STYLES: dict[Layer, tuple[float, tuple[float, ...], float]] = {
    "CUT": (0.5, (), 0.0),
    "STITCH": (0.3, (4.0, 2.0), 0.0),
    "NOTCH": (0.7, (), 0.0),
    "GRAIN": (0.3, (8.0, 2.0, 1.0, 2.0), 0.3),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """Lines and circular or elliptic arcs end to end, the pattern's metres, on a layer."""

    layer: Layer
    pieces: tuple[Piece, ...]
    name: str

    @property
    def length_m(self) -> float:
        return math.fsum(piece.length_m for piece in self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """Words in the drawing; the foot of the line stands on ``at``, metres."""

    words: str
    at: Point
    size_mm: float = 4.0
    turn_degrees: float = 0.0
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Drawing:
    """Paths and words in it; ``notes`` are words to be set beside it."""

    name: str
    paths: tuple[Path, ...]
    texts: tuple[Text, ...] = ()
    notes: tuple[str, ...] = ()


def pattern_drawings(name: str, line: CutLine) -> tuple[tuple[str, Drawing], ...]:
    """Each part of one layer, opened out, with the name of its file."""
    if len(line.parts) == 1:
        return (("pattern", _part_drawing(name, line.parts[0])),)
    return tuple(
        (
            f"pattern_{part.name.replace(' ', '_')}",
            _part_drawing(f"{name}, {PART_NAMES[part.name]}", part),
        )
        for part in line.parts
    )


def _part_drawing(name: str, part: Part) -> Drawing:
    """Cut and stitch lines, notches, folds, grain and nap arrows."""
    paths = [Path(layer="CUT", pieces=part.outline, name="outline")]
    if part.whole:
        paths.append(Path(layer="CUT", pieces=part.neck, name="neck"))
    if part.front is not None:
        paths.append(Path(layer="CUT", pieces=(part.front,), name="centre front"))
    paths += [
        *(Path(layer="STITCH", pieces=pieces, name=edge) for edge, pieces in part.stitch.items()),
        *(
            Path(layer="NOTCH", pieces=(notch_line(notch.at, notch.towards),), name=notch.name)
            for notch in part.notches
        ),
        *(Path(layer="GRAIN", pieces=(fold,), name=words) for words, fold in part.folds),
        *(
            Path(layer="GRAIN", pieces=pieces, name=words)
            for words, arrow in (("grain", part.grain), ("nap", part.nap))
            for pieces in ((arrow,), _head(arrow))
        ),
    ]
    return Drawing(name, tuple(paths), tuple(_names(part)))


def _names(part: Part) -> Iterator[Text]:
    """What stands on a part: arrows, folds, front and back."""
    for words, arrow in (("length", part.grain), ("stroke", part.nap)):
        foot = min(arrow.start[1], arrow.end[1])
        yield Text(words=PICTURE[words], at=(arrow.start[0] - 0.006, foot + 0.02), turn_degrees=90)
    for words, fold in part.folds:
        if words == "shoulder fold":
            yield Text(words=PICTURE["fold"], at=(0.4 * (fold.start[0] + fold.end[0]), 0.003))
        else:
            foot = min(fold.start[1], fold.end[1])
            yield Text(
                words=PICTURE[words], at=(fold.start[0] - 0.003, foot + 0.02), turn_degrees=90
            )
    if part.whole:
        yield Text(words=PICTURE["BACK"], at=(0.02, 0.09), size_mm=9, bold=True)
        yield Text(words=PICTURE["FRONT"], at=(0.02, -0.17), size_mm=9, bold=True)
        return
    left, right, low, high = part.bounds_m
    at = (left + 0.35 * (right - left), (low + high) / 2)
    yield Text(words=PART_NAMES[part.name].upper(), at=at, size_mm=9, bold=True)
    yield Text(words=PICTURE["right side"], at=(at[0], at[1] - 0.012), size_mm=4)


def notch_line(at: Point, towards: Point, length_m: float = 0.005) -> Line:
    """A snip from the cut edge inwards."""
    return Line(start=at, end=(at[0] + length_m * towards[0], at[1] + length_m * towards[1]))


def within(pieces: Sequence[Piece], middle: Point, reach_m: float) -> tuple[Piece, ...]:
    """What of a chain is no farther from a place than this; curves are kept whole."""
    found: list[Piece] = []
    for piece in pieces:
        if not isinstance(piece, Line):
            found.append(piece)
            continue
        (x, v), length_m = piece.directions[0], piece.length_m
        to_x, to_v = middle[0] - piece.start[0], middle[1] - piece.start[1]
        along_m = to_x * x + to_v * v
        chord2 = reach_m**2 - (to_x**2 + to_v**2 - along_m**2)
        if chord2 <= 0:
            continue
        start_m = max(along_m - math.sqrt(chord2), 0.0)
        end_m = min(along_m + math.sqrt(chord2), length_m)
        if end_m - start_m > 1e-6:
            (x1, v1), (x2, v2) = piece.at(np.array([start_m, end_m]))
            found.append(Line(start=(float(x1), float(v1)), end=(float(x2), float(v2))))
    return tuple(found)


def _head(arrow: Line, size_m: float = 0.012) -> tuple[Line, Line]:
    """The two strokes of an arrow's head."""
    along = math.atan2(arrow.end[1] - arrow.start[1], arrow.end[0] - arrow.start[0])
    first, second = (
        (
            arrow.end[0] - size_m * math.cos(along + side),
            arrow.end[1] - size_m * math.sin(along + side),
        )
        for side in (-0.4, 0.4)
    )
    return Line(start=first, end=arrow.end), Line(start=arrow.end, end=second)


def points_mm(pieces: Sequence[Piece]) -> list[Point]:
    """The path as points, straight between them, within a hundredth of a millimetre."""
    points: list[Point] = []
    for piece in pieces:
        count = 1
        if isinstance(piece, Arc):
            radius_mm = max(piece.radius_x_m, piece.radius_v_m) * MM
            step = 2 * math.acos(1 - min(CHORD_ERROR_MM / radius_mm, 0.5))
            count = max(2, math.ceil(abs(piece.end_angle - piece.start_angle) / step))
        elif isinstance(piece, Cubic):
            count = max(2, math.ceil(piece.length_m / CUBIC_STEP_M))
        places = piece.place(np.linspace(0.0, 1.0, count + 1))
        new = [(float(x) * MM, float(v) * MM) for x, v in places]
        points += new if not points or points[-1] != new[0] else new[1:]
    return points


def points_m(pieces: Sequence[Piece]) -> list[Point]:
    """The same in the pattern's metres."""
    return [(x / MM, v / MM) for x, v in points_mm(pieces)]


def bounds_mm(drawing: Drawing) -> tuple[float, float, float, float]:
    """Least and greatest x, least and greatest y."""
    points = [point for path in drawing.paths for point in points_mm(path.pieces)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), max(xs), min(ys), max(ys)


def marks(drawing: Drawing, left_mm: float, top_mm: float) -> Iterator[Mark]:
    """The drawing on a page whose upper left corner lies at this place of the drawing."""
    yield from (
        _strokes(points_mm(path.pieces), path.layer, left_mm, top_mm) for path in drawing.paths
    )
    for text in drawing.texts:
        yield Words(
            text=text.words,
            at=(text.at[0] * MM - left_mm, top_mm - text.at[1] * MM),
            size_mm=text.size_mm,
            turn_degrees=-text.turn_degrees,
            bold=text.bold,
        )


def _strokes(points: Iterable[Point], layer: Layer, left_mm: float, top_mm: float) -> Strokes:
    width_mm, dashes_mm, ink = STYLES[layer]
    return Strokes(
        points=tuple((x - left_mm, top_mm - y) for x, y in points),
        width_mm=width_mm,
        dashes_mm=dashes_mm,
        ink=ink,
    )

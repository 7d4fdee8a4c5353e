# SPDX-License-Identifier: GPL-3.0-or-later
"""The picture of a bolt with all that is cut from it."""

import math
from collections.abc import Iterator

import numpy as np

from ..arrays import FloatArray
from ..cut_line import Part
from ..lay import Bolt, Extra, Grid, Layer, Placed
from ..lay.packing import Box
from ..lay.words import MIRROR_IMAGE
from ..nap import NapDown
from ..paper import text_width_mm
from ..telling import Telling
from .drawing import points_m
from .flow import Picture
from .picture_words import PICTURE
from .piece_templates import piece_outline
from .sketch import CLOTH_INK, FOLD_DASHES_MM, Sketch, rectangle

__all__ = ["bolt_picture"]

SAME_M = 1e-6
SHARES = tuple(number / 8 for number in range(9))


def bolt_picture(
    bolt: Bolt, first: int, nap: NapDown, tell: Telling, wide_mm: float, text_mm: float
) -> Picture:
    """The cloth as it lies on the table, its length from left to right.

    Its pieces are numbered from ``first`` on, as in the table beside the picture.
    """
    washed_m = bolt.lying_m
    down = Grid.of(tell.units).down
    width, length = tell.chosen(down(bolt.usable_width_m)), tell.chosen(down(washed_m))
    room = 16.0 + text_mm
    scale = min((wide_mm - 2 * room) / washed_m, 72.0 / bolt.usable_width_m)
    sketch = Sketch(scale, -room / scale, bolt.usable_width_m + room / scale, text_mm)
    rectangle(sketch, 0.0, 0.0, washed_m, bolt.usable_width_m, width_mm=0.15)
    for piece in bolt.whole:
        if isinstance(piece.source, Layer):
            _layer(sketch, piece.box, piece.source.mark, tell)
    lines = _drawn(bolt, scale)
    for number, piece in enumerate(bolt.placed, first):
        if isinstance(piece.source, Extra):
            _small(sketch, piece, piece.source, nap)
        _name(sketch, piece, number, lines)
    sketch.along(0.0, bolt.usable_width_m, 0.0, width, off_mm=-5.0)
    sketch.across(
        0.0,
        washed_m,
        bolt.usable_width_m,
        PICTURE["lying"].format(length=length),
        off_mm=-8.0,
    )
    foot = -room * 0.62 / scale
    ends = [(0.0, foot), (0.2 * washed_m, foot)]
    # the front halves lie to the left
    sketch.arrow(*(ends[::-1] if nap is NapDown.IN_FRONT else ends))
    sketch.word(PICTURE["wrong side"], (0.22 * washed_m, foot), anchor="start", down_mm=1)
    height = bolt.usable_width_m * scale + 2 * room
    return sketch.picture(
        washed_m * scale + 2 * room,
        height,
        PICTURE["bolt"].format(
            cloth=bolt.cloth.name,
            length=length,
            width=width,
            count=len(bolt.whole),
        ),
    )


def _lying(box: Box) -> tuple[float, float, float, float]:
    """A box with the cloth's length from left to right: lower left corner, width and height."""
    return box.y_m, box.x_m, box.length_m, box.width_m


def _layer(sketch: Sketch, box: Box, mark: Part, tell: Telling) -> None:
    """A part of a layer in the rectangle from which it is cut."""
    rectangle(sketch, *_lying(box), fill=CLOTH_INK)
    outline, *inner = _layer_lines(box, mark)
    sketch.line(outline, width_mm=0.25)
    if inner:
        neck, fold = inner
        sketch.line(neck, width_mm=0.25)
        sketch.line(fold, width_mm=0.25, dashes_mm=FOLD_DASHES_MM)
    if box.x_m < SAME_M:
        sketch.across(box.y_m, box.top_m, box.x_m, tell.chosen(box.length_m), off_mm=6.0)


def _small(sketch: Sketch, piece: Placed, extra: Extra, nap: NapDown) -> None:
    """A small piece as its template lies printed side up, its nap with that of the cloth; a mirrored one turned over.

    The cloth's length runs from left to right: a template is turned by a quarter, never reflected.
    """
    box = piece.box
    along = 1 if nap is NapDown.IN_FRONT else -1
    across = along if piece.name.startswith(MIRROR_IMAGE.format(name=extra.name)) else -along
    points = [(across * x, along * v) for x, v in points_m(piece_outline(extra))]
    if piece.turn_degrees:
        points = [(-v, x) for x, v in points]
    left_m, low_m = min(x for x, _ in points), min(v for _, v in points)
    lying = [(box.y_m + v - low_m, box.x_m + x - left_m) for x, v in points]
    sketch.line(lying, closed=True, width_mm=0.4, fill=CLOTH_INK)


def _name(sketch: Sketch, piece: Placed, number: int, lines: FloatArray) -> None:
    """The piece's number and name, clear of all lines; the number alone where the name has no room."""
    is_layer = isinstance(piece.source, Layer)
    told = (f"{number} {piece.name}", str(number))
    down_mm = 0.35 * sketch.text_mm
    # a number alone may stand close to the lines
    for name, beside_mm in zip(told, (1.0, 0.3), strict=True):
        half_m = (text_width_mm(name, sketch.text_mm, bold=is_layer) / 2 + beside_mm) / sketch.scale
        high_m = (0.4 * sketch.text_mm + beside_mm) / sketch.scale
        for place in _places(piece.box, half_m, high_m):
            if not _crossed(lines, place, half_m, high_m):
                sketch.word(name, place, bold=is_layer, down_mm=down_mm)
                return
    box = piece.box
    middle = box.y_m + box.length_m / 2, box.x_m + box.width_m / 2
    ground = CLOTH_INK if is_layer else None
    sketch.word(told[1], middle, bold=is_layer, down_mm=down_mm, ground=ground)


def _places(box: Box, half_m: float, high_m: float) -> Iterator[tuple[float, float]]:
    """Places for the middle of words inside a box, the nearest to its own middle first."""
    left_m, right_m = box.y_m + half_m, box.top_m - half_m
    low_m, top_m = box.x_m + high_m, box.right_m - high_m
    if left_m > right_m or low_m > top_m:
        return
    shares = sorted(
        ((x, y) for x in SHARES for y in SHARES),
        key=lambda place: math.hypot(place[0] - 0.5, place[1] - 0.5),
    )
    for x, y in shares:
        yield left_m + x * (right_m - left_m), low_m + y * (top_m - low_m)


def _crossed(lines: FloatArray, place: tuple[float, float], half_m: float, high_m: float) -> bool:
    """Whether one of (n, 2) points on lines lies under words."""
    off = np.abs(lines - np.array(place))
    return bool(((off[:, 0] < half_m) & (off[:, 1] < high_m)).any())


def _drawn(bolt: Bolt, scale: float) -> FloatArray:
    """(n, 2) points, a millimetre of paper apart, on all that is drawn on a bolt: along, across."""
    chains = [_rectangle_of(piece.box) for piece in bolt.placed]
    for piece in bolt.whole:
        if isinstance(piece.source, Layer):
            chains += _layer_lines(piece.box, piece.source.mark)
    found = []
    for chain in chains:
        ends = np.array(chain)
        lengths_m = np.concatenate([[0.0], np.linalg.norm(np.diff(ends, axis=0), axis=1).cumsum()])
        along_m = np.linspace(0.0, lengths_m[-1], 2 + int(lengths_m[-1] * scale))
        found.append(np.stack([np.interp(along_m, lengths_m, ends[:, axis]) for axis in (0, 1)], 1))
    return np.concatenate(found)


def _rectangle_of(box: Box) -> list[tuple[float, float]]:
    left_m, low_m, wide_m, high_m = _lying(box)
    right_m, top_m = left_m + wide_m, low_m + high_m
    return [(left_m, low_m), (right_m, low_m), (right_m, top_m), (left_m, top_m), (left_m, low_m)]


def _layer_lines(box: Box, mark: Part) -> list[list[tuple[float, float]]]:
    """Outline, neck and fold of a part in its rectangle: along, across."""
    left_m, _, low_m, _ = mark.bounds_m
    lines = [
        [(box.y_m + v - low_m, box.x_m + x - left_m) for x, v in points_m(line)]
        for line in (mark.outline, *((mark.neck,) if mark.whole else ()))
    ]
    if mark.whole:
        lines.append([(box.y_m - low_m, box.x_m), (box.y_m - low_m, box.right_m)])
    return lines

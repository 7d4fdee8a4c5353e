# SPDX-License-Identifier: GPL-3.0-or-later
"""The picture of a bolt with all that is cut from it."""

from ..cut_line import Part
from ..lay import Bolt, Extra, Layer, Placed
from ..lay.packing import Box
from ..lay.words import MIRROR_IMAGE
from ..nap import NapDown
from ..paper import text_width_mm
from ..telling import Telling
from .drawing import points_m
from .flow import Picture
from .picture_words import PICTURE
from .piece_templates import piece_outline
from .sketch import CLOTH_INK, Sketch, rectangle

__all__ = ["bolt_picture"]

SAME_M = 1e-6


def bolt_picture(
    bolt: Bolt, first: int, nap: NapDown, tell: Telling, wide_mm: float, text_mm: float
) -> Picture:
    """The cloth as it lies on the table, its length from left to right.

    Its pieces are numbered from ``first`` on, as in the table beside the picture.
    """
    washed_m = bolt.lying_m
    room = 16.0 + text_mm
    scale = min((wide_mm - 2 * room) / washed_m, 72.0 / bolt.usable_width_m)
    sketch = Sketch(scale, -room / scale, bolt.usable_width_m + room / scale, text_mm)
    rectangle(sketch, 0.0, 0.0, washed_m, bolt.usable_width_m, width_mm=0.15)
    for piece in bolt.whole:
        if isinstance(piece.source, Layer):
            _layer(sketch, piece.box, piece.source.mark, tell)
    # names over all lines, those of small pieces too
    for number, piece in enumerate(bolt.placed, first):
        if isinstance(piece.source, Extra):
            _small(sketch, piece, piece.source, nap)
        _name(sketch, piece, number)
    sketch.along(0.0, bolt.usable_width_m, 0.0, tell.chosen(bolt.usable_width_m), off_mm=-5.0)
    sketch.across(
        0.0,
        washed_m,
        bolt.usable_width_m,
        PICTURE["lying"].format(length=tell.chosen(washed_m)),
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
            length=tell.chosen(washed_m),
            width=tell.chosen(bolt.usable_width_m),
            count=len(bolt.whole),
        ),
    )


def _lying(box: Box) -> tuple[float, float, float, float]:
    """A box with the cloth's length from left to right: lower left corner, width and height."""
    return box.y_m, box.x_m, box.length_m, box.width_m


def _layer(sketch: Sketch, box: Box, mark: Part, tell: Telling) -> None:
    """A part of a layer in the rectangle from which it is cut."""
    rectangle(sketch, *_lying(box), fill=CLOTH_INK)
    left_m, _, low_m, _ = mark.bounds_m
    for line in (mark.outline, *((mark.neck,) if mark.whole else ())):
        points = [(x - left_m, v - low_m) for x, v in points_m(line)]
        sketch.line([(box.y_m + v, box.x_m + x) for x, v in points], width_mm=0.25)
    if mark.whole:
        fold = [(box.y_m - low_m, box.x_m), (box.y_m - low_m, box.right_m)]
        sketch.line(fold, width_mm=0.25, dashes_mm=(5, 1.5, 1, 1.5))
    if box.x_m < SAME_M:
        sketch.across(box.y_m, box.top_m, box.x_m, tell.chosen(box.length_m), off_mm=6.0)


def _small(sketch: Sketch, piece: Placed, extra: Extra, nap: NapDown) -> None:
    """A small piece in its outline, its nap with that of the cloth; a mirrored one turned over."""
    box = piece.box
    along = 1 if nap is NapDown.IN_FRONT else -1
    across = -along if piece.name.startswith(MIRROR_IMAGE.format(name=extra.name)) else along
    points = [(across * x, along * v) for x, v in points_m(piece_outline(extra))]
    if piece.turn_degrees:
        points = [(-v, x) for x, v in points]
    left_m, low_m = min(x for x, _ in points), min(v for _, v in points)
    lying = [(box.y_m + v - low_m, box.x_m + x - left_m) for x, v in points]
    sketch.line(lying, closed=True, width_mm=0.4, fill=CLOTH_INK)


def _name(sketch: Sketch, piece: Placed, number: int) -> None:
    """The piece's number in its middle, and its name if there is room for it."""
    box = piece.box
    is_layer = isinstance(piece.source, Layer)
    whole = isinstance(piece.source, Layer) and piece.source.part == "layer"
    name = f"{number} {piece.name}"
    # of a whole layer beside the fold line and clear of the neck
    room_mm = (0.5 if whole else 1.0) * box.length_m * sketch.scale
    if text_width_mm(name, sketch.text_mm, bold=is_layer) > room_mm - 3:
        name = str(number)
    share = 0.7 if whole else 0.5
    middle = box.y_m + share * box.length_m, box.x_m + box.width_m / 2
    # over the lines of a layer; a small piece has none inside
    ground = CLOTH_INK if is_layer else None
    sketch.word(name, middle, bold=is_layer, down_mm=0.35 * sketch.text_mm, ground=ground)

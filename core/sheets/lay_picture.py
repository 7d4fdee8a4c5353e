# SPDX-License-Identifier: GPL-3.0-or-later
"""The picture of a bolt with all that is cut from it."""

from ..lay import Bolt, Layer, Placed
from ..lay.packing import Box
from ..nap import NapDown
from ..paper import text_width_mm
from ..telling import Telling
from .drawing import points_mm
from .flow import Picture
from .picture_words import PICTURE
from .sketch import CLOTH_INK, Sketch, rectangle

__all__ = ["bolt_picture"]


def bolt_picture(
    bolt: Bolt, nap: NapDown, tell: Telling, wide_mm: float, text_mm: float
) -> Picture:
    """The cloth as it lies on the table, its length from left to right."""
    washed_m = bolt.lying_m
    room = 16.0 + text_mm
    scale = min((wide_mm - 2 * room) / washed_m, 80.0 / bolt.usable_width_m)
    sketch = Sketch(scale, -room / scale, bolt.usable_width_m + room / scale, text_mm)
    rectangle(sketch, 0.0, 0.0, washed_m, bolt.usable_width_m, dashes_mm=(3.0, 2.0))
    for piece in bolt.whole:
        _piece(sketch, piece, tell)
    for piece in bolt.placed:
        if piece.corner_of is not None:
            rectangle(sketch, *_lying(piece.box), width_mm=0.4)
            _name(sketch, piece)
    sketch.along(0.0, bolt.usable_width_m, 0.0, tell.chosen(bolt.usable_width_m), off_mm=-5.0)
    sketch.across(0.0, washed_m, bolt.usable_width_m, tell.chosen(washed_m), off_mm=-8.0)
    foot = -room * 0.62 / scale
    ends = [(0.08 * washed_m, foot), (0.42 * washed_m, foot)]
    # the front halves lie to the left
    sketch.arrow(*(ends[::-1] if nap is NapDown.IN_FRONT else ends))
    sketch.word(PICTURE["stroke"], (0.44 * washed_m, foot), anchor="start", down_mm=1)
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


def _piece(sketch: Sketch, piece: Placed, tell: Telling) -> None:
    """A piece that lies on the bolt itself."""
    box = piece.box
    rectangle(sketch, *_lying(box), fill=CLOTH_INK)
    if isinstance(piece.source, Layer):
        mark = piece.source.mark
        left_m, _, low_m, _ = mark.bounds_m
        for line in (mark.outline, *((mark.neck,) if mark.whole else ())):
            points = [(x / 1000 - left_m, v / 1000 - low_m) for x, v in points_mm(line)]
            sketch.line([(box.y_m + v, box.x_m + x) for x, v in points], width_mm=0.25)
        if mark.whole:
            fold = [(box.y_m - low_m, box.x_m), (box.y_m - low_m, box.right_m)]
            sketch.line(fold, width_mm=0.25, dashes_mm=(5, 1.5, 1, 1.5))
    _name(sketch, piece, bold=True)
    sketch.across(box.y_m, box.top_m, box.x_m, tell.chosen(box.length_m), off_mm=6.0)


def _name(sketch: Sketch, piece: Placed, *, bold: bool = False) -> None:
    """The piece's name in its middle, if there is room for it."""
    box = piece.box
    whole = isinstance(piece.source, Layer) and piece.source.part == "layer"
    share = 0.5 if whole else 1.0
    room_mm = share * box.length_m * sketch.scale
    if text_width_mm(piece.name, sketch.text_mm, bold=bold) < room_mm - 3:
        middle = box.y_m + box.length_m / 2, box.x_m + box.width_m / 2
        beside = 2.0 if whole else 0.0  # not on the fold line
        anchor = "start" if beside else "middle"
        sketch.word(piece.name, middle, bold=bold, down_mm=1.0, right_mm=beside, anchor=anchor)

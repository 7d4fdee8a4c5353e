# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures of the steps of small pieces."""

from ..lay import Extra, Kind
from ..lay.pieces import HOOD_FACE_M
from .drawing import points_m
from .flow import Picture
from .garment import Garment
from .picture_words import PICTURE
from .piece_templates import HOOD_FOLD, HOOD_NOTCH, HOOD_SEAM, piece_drawings
from .sketch import CLOTH_INK, FOLD_DASHES_MM, Sketch, rectangle
from .worn_pictures import worn

__all__ = ["band_folded", "hood_sewn", "piece_kept", "pockets_placed"]


BELOW_M = 0.10
"""So far under the pockets it is told how far they lie from the centre line."""


def pockets_placed(garment: Garment, pocket: Extra, place_m: tuple[float, float]) -> Picture:
    """Where the pockets lie: their upper edge under the shoulder line, their middle from the centre."""
    down_m, across_m = place_m
    wide_m, long_m = pocket.size_m
    boxes = tuple(
        (sign * across_m - wide_m / 2, -down_m - long_m, wide_m, long_m)
        for sign in ((-1, 1) if pocket.count > 1 else (-1,))
    )
    tell = garment.tell.chosen
    # on the wearer's right, where one front lies on the other; clear of the other pocket
    return worn(
        garment,
        PICTURE["pockets"],
        boxes=boxes,
        right_side=True,
        sizes=(
            ("along", -down_m, 0.0, -across_m, tell(down_m)),
            ("across", -across_m, 0.0, -down_m - long_m - BELOW_M, tell(across_m)),
        ),
    )


def hood_sewn(garment: Garment, hood: Extra) -> Picture:
    """One half on the other: the seam over the top and down the back dashed."""
    (drawing,) = piece_drawings((hood,), garment.allowances)
    wide_m, long_m = hood.size_m
    scale = 52.0 / long_m
    sketch = Sketch(scale, -8.0 / scale, long_m + 6.0 / scale, garment.text_mm)
    for path in drawing.paths:
        points = points_m(path.pieces)
        if path.layer == "CUT":
            sketch.line(points, closed=True, fill=CLOTH_INK, width_mm=0.4)
        elif path.name == HOOD_SEAM:
            sketch.line(points, width_mm=0.8, dashes_mm=(2.0, 1.0))
        elif path.name == HOOD_FOLD:
            sketch.line(points, width_mm=0.25, dashes_mm=FOLD_DASHES_MM)
        elif path.name == HOOD_NOTCH:
            x, foot = points[0]
            sketch.line([(x, foot), (x, foot + 2.5 / scale)], width_mm=0.9)
            sketch.word(PICTURE["shoulder notch"], (x, foot), down_mm=-3.5)
    tell = garment.tell.chosen
    edge_m = hood.neck_edge_m or wide_m
    sketch.word(PICTURE["face"], (0.0, long_m / 2), turn_degrees=-90, right_mm=-2)
    turned = PICTURE["turned in"].format(depth=tell(HOOD_FACE_M))
    sketch.word(turned, (HOOD_FACE_M, long_m / 2), turn_degrees=-90, right_mm=4)
    sketch.across(0.0, edge_m, 0.0, f"{PICTURE['neck edge']} {tell(edge_m)}", off_mm=5)
    sketch.arrow((0.6 * wide_m, 0.6 * long_m), (0.6 * wide_m, 0.25 * long_m), width_mm=0.3)
    sketch.word(PICTURE["nap"], (0.6 * wide_m, 0.42 * long_m), right_mm=2, anchor="start")
    return sketch.picture(max(wide_m * scale + 16.0, 50.0), 67.0, PICTURE["hood"])


def band_folded(garment: Garment, band: Extra) -> Picture:
    """A band folded lengthwise, right sides together, with the seams that make it.

    A belt is drawn as long as its strips are when they are joined.
    """
    strip_m, long_m = max(band.size_m), min(band.size_m)
    allowance_m = garment.allowances.underarm_m
    joints = band.count - 1 if band.kind is Kind.BELT else 0
    each_m = strip_m - 2 * allowance_m
    wide_m = strip_m + joints * each_m
    drawn_mm = garment.small_mm - 24.0
    scale = drawn_mm / wide_m
    high_m = max(long_m / 2, 10.0 / scale)
    sketch = Sketch(scale, -12.0 / scale, high_m + 9.0 / scale, garment.text_mm)
    rectangle(sketch, 0.0, 0.0, wide_m, high_m, fill=CLOTH_INK, width_mm=0.4)
    fold = [(0.0, high_m), (wide_m, high_m)]
    sketch.line(fold, width_mm=0.5, dashes_mm=FOLD_DASHES_MM)
    sketch.word(PICTURE["on fold"], (wide_m / 2, high_m), down_mm=-1.5)
    for joint in range(1, joints + 1):
        x = allowance_m + joint * each_m
        sketch.line([(x, 0.0), (x, high_m)], width_mm=0.8, dashes_mm=(2.0, 1.0))
    inset_m = 2.5 / scale
    ends = [(inset_m, high_m), (inset_m, inset_m), (wide_m - inset_m, inset_m)]
    if band.kind is Kind.BELT:
        # the long side and one end
        sketch.line(ends, width_mm=0.8, dashes_mm=(2.0, 1.0))
    else:
        for x in (inset_m, wide_m - inset_m):
            sketch.line([(x, 0.0), (x, high_m)], width_mm=0.8, dashes_mm=(2.0, 1.0))
    sketch.across(0.0, wide_m, 0.0, garment.tell.chosen(wide_m), off_mm=6)
    height_mm = high_m * scale + 20.0
    return sketch.picture(garment.small_mm, height_mm, PICTURE["band"])


def piece_kept(garment: Garment, piece: Extra) -> Picture:
    """A plain square, or a piece of the maker's own, with its size."""
    wide_m, long_m = piece.size_m
    scale = 30.0 / max(wide_m, long_m)
    sketch = Sketch(scale, -20.0 / scale, long_m + 4.0 / scale, garment.text_mm)
    rectangle(sketch, 0.0, 0.0, wide_m, long_m, fill=CLOTH_INK)
    sketch.across(0.0, wide_m, 0.0, garment.tell.chosen(wide_m), off_mm=6)
    sketch.along(0.0, long_m, 0.0, garment.tell.chosen(long_m), off_mm=-3)
    return sketch.picture(
        wide_m * scale + 36.0,
        long_m * scale + 14.0,
        PICTURE["square" if piece.kind is Kind.SQUARE else "own piece"],
    )

# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures of the neck: its template on the shoulder line, and how it is clipped when it is sewn."""

from collections.abc import Iterator, Sequence

from ..paper import text_width_mm
from ..pattern import Front, Line, Neck, Piece, Point
from .drawing import points_m
from .flow import Picture
from .garment import Garment
from .picture_words import PICTURE
from .sketch import CLOTH_INK, FOLD_DASHES_MM, Sketch, rectangle

__all__ = ["neck_clipped", "neck_marked"]

TALL_MM = 80.0
"""Deep necks are drawn smaller, so that the picture is no taller."""


def _window(garment: Garment, below_m: float, above_m: float) -> tuple[Sketch, float, float, float]:
    """A sketch round the neck: itself, its half width, its lower and its upper end."""
    low, top = -garment.cut.neck_front_depth_m - below_m, garment.cut.back_neck_m + above_m
    scale = min(garment.small_mm / (1.8 * garment.cut.neck_width_m), TALL_MM / (top - low))
    reach = garment.small_mm / (2 * scale)
    sketch = Sketch(scale, -reach, top, garment.text_mm)
    rectangle(sketch, -reach, low, 2 * reach, top - low, fill=CLOTH_INK, width_mm=0.05)
    return sketch, reach, low, top


def neck_marked(garment: Garment) -> Picture:
    """The neck template on the shoulder line, the layer opened out; of a seamed one back and fronts."""
    if garment.cut.seamed:
        return _seamed_marked(garment)
    sketch, reach, low, top = _window(garment, 0.09, 0.06)
    sketch.path(garment.neck.neck, width_mm=0.7, fill=1.0)
    sketch.path(garment.neck.stitch["neck"], dashes_mm=(2, 1.2))
    sketch.fold((-reach, 0.0), (reach, 0.0))
    if garment.slit is not None:
        sketch.line([(0.0, garment.slit.end[1]), (0.0, low)], width_mm=0.7)
        sketch.word(PICTURE["cut front"], (0.0, low), right_mm=2, down_mm=-3, anchor="start")
    sketch.word(PICTURE["back"], (0.0, garment.cut.back_neck_m), down_mm=-2)
    sketch.word(PICTURE["on fold"], (-reach, 0.0), right_mm=2, down_mm=-1, anchor="start")
    neck = garment.cut.neck_width_m / 2
    sketch.across(
        -neck, neck, 0.0, PICTURE["sewn"].format(width=garment.tell.chosen(2 * neck)), off_mm=8
    )
    return sketch.picture(garment.small_mm, (top - low) * sketch.scale, PICTURE["neck"])


GAP_M = 0.05
"""Between the back and the front of a seamed layer as they are drawn."""


def _seamed_marked(garment: Garment) -> Picture:
    """The necks of the back and of one front, or of a front in one piece, wrong side up."""
    back, front = garment.mark.parts[:2]
    up_m = 2 * garment.top_m + GAP_M
    # the neck of an overlapping front goes on falling beyond the centre
    deepest_m = min(v for _, v in points_m(front.neck))
    low = min(-garment.cut.neck_front_depth_m - 0.09, deepest_m - 0.05)
    top = garment.cut.back_neck_m + 0.06 + up_m
    scale = min(garment.small_mm / (1.8 * garment.cut.neck_width_m), TALL_MM / (top - low))
    reach = garment.small_mm / (2 * scale)
    sketch = Sketch(scale, -reach, top, garment.text_mm)
    for part, raised_m in ((back, up_m), (front, 0.0)):
        # patterns are seen from the right side: here they lie mirrored
        cut = [(-x, v + raised_m) for x, v in points_m(part.outline)]
        stitch = [(-x, v + raised_m) for x, v in points_m(part.stitch["neck"])]
        sketch.line(_clipped(cut, reach, low, top), closed=True, width_mm=0.15, fill=CLOTH_INK)
        sketch.line([(-x, v + raised_m) for x, v in points_m(part.neck)], width_mm=0.7)
        sketch.line(stitch, width_mm=0.3, dashes_mm=(2, 1.2))
        sketch.fold((-reach, raised_m), (reach, raised_m))
        centre = [(0.0, raised_m), (0.0, top if part is back else low)]
        sketch.line(centre, dashes_mm=FOLD_DASHES_MM, width_mm=0.2)
    half = garment.cut.neck_width_m / 2
    sketch.across(
        -half, half, up_m, PICTURE["sewn"].format(width=garment.tell.chosen(2 * half)), off_mm=7
    )
    sketch.word(PICTURE["back"], (0.5 * reach, top), down_mm=5)
    sketch.word(PICTURE[front.name], (-0.5 * reach, low), down_mm=-3)
    sketch.word(PICTURE["on seam"], (-reach, up_m), right_mm=2, down_mm=-1, anchor="start")
    return sketch.picture(garment.small_mm, (top - low) * scale, PICTURE["necks"])


def _clipped(points: Sequence[Point], reach: float, low: float, top: float) -> list[Point]:
    """What of a closed line lies in the picture (Sutherland and Hodgman 1974)."""
    kept = list(points)
    for axis, sign, edge in ((0, 1, -reach), (0, -1, -reach), (1, 1, low), (1, -1, -top)):
        kept = list(_beyond(kept, axis, sign, edge))
    return kept


def _beyond(points: Sequence[Point], axis: int, sign: int, edge: float) -> Iterator[Point]:
    """What of a closed line lies on one side of an edge."""
    for before, here in zip([points[-1], *points[:-1]], points, strict=True):
        from_edge, to_edge = sign * before[axis] - edge, sign * here[axis] - edge
        if (from_edge < 0) != (to_edge < 0):
            share = from_edge / (from_edge - to_edge)
            x, v = (a + share * (b - a) for a, b in zip(before, here, strict=True))
            yield x, v
        if to_edge >= 0:
            yield here


def _overlapping_clipped(garment: Garment) -> Picture:
    """The neck of fronts that overlap: the back and one front alone, the other being its mirror image."""
    back, front = garment.mark.parts[:2]
    corner = _top(front.stitch["front_left"])
    low = min(-garment.cut.neck_front_depth_m, corner[1]) - 0.07
    top = garment.cut.back_neck_m + 0.05
    scale = min(garment.small_mm / (1.8 * garment.cut.neck_width_m), TALL_MM / (top - low))
    reach = garment.small_mm / (2 * scale)
    sketch = Sketch(scale, -reach, top, garment.text_mm)
    for part in (front, back):
        cloth = _clipped(points_m(part.outline), reach, low, top)
        sketch.line(cloth, closed=True, width_mm=0.15, fill=CLOTH_INK)
    for part in (front, back):
        sketch.path(part.neck, width_mm=0.5)
        sketch.path(part.stitch["neck"], width_mm=0.6, dashes_mm=(2, 1.2))
        curves = [piece for piece in part.stitch["neck"] if not isinstance(piece, Line)]
        sketch.clips(curves, 0.02, -0.8 * garment.allowances.neck_m)
    sketch.line([corner, (corner[0], low)], width_mm=0.6, dashes_mm=(2, 1.2))
    _cut_aslant(sketch, corner, -1.0)
    sketch.word(PICTURE["back"], (0.75 * reach, top), down_mm=5)
    sketch.word(PICTURE["one front"], (reach, low), anchor="end", down_mm=-3, right_mm=-2)
    sketch.word(PICTURE["cut corner"], (corner[0], low), anchor="start", down_mm=-8, right_mm=4)
    return sketch.picture(garment.small_mm, (top - low) * scale, PICTURE["one clipped"])


def _top(stitch: Sequence[Piece]) -> Point:
    """The upper end of a front's stitch line."""
    return max(
        (end for piece in stitch for end in (piece.start, piece.end)), key=lambda end: end[1]
    )


def _cut_aslant(sketch: Sketch, corner: Point, out: float) -> None:
    """Where the corner beyond the stitches is cut off, on the side of the other front."""
    x, begins = corner
    ends = [(x + out * 0.011, begins + 0.003), (x - out * 0.003, begins + 0.014)]
    sketch.line(ends, width_mm=0.9)


def neck_clipped(garment: Garment) -> Picture:
    """The sewn neck with its snips, and the corners of the fronts cut off."""
    if garment.cut.front is Front.OVERLAPPING:
        return _overlapping_clipped(garment)
    fronts = {
        sign: _top(garment.mark.stitch[name])
        for name, sign in (("front_left", 1), ("front_right", -1))
        if name in garment.mark.stitch
    }
    sketch, _, low, top = _window(garment, 0.07, 0.04)
    sketch.path(garment.neck.neck, width_mm=0.5, fill=1.0)
    stitch = garment.neck.stitch["neck"]
    sketch.path(stitch, width_mm=0.6, dashes_mm=(2, 1.2))
    # the neck is walked clockwise, its opening on the right
    curves = [piece for piece in stitch if not isinstance(piece, Line)]
    sketch.clips(curves, 0.02, -0.8 * garment.allowances.neck_m)
    if garment.cut.neck is Neck.V and garment.cut.front is Front.CLOSED:
        # into the point, as deep as the snips of a curve
        point = min((piece.start for piece in stitch), key=lambda end: end[1])
        deep_m = 0.8 * garment.allowances.neck_m
        sketch.line([point, (point[0], point[1] + deep_m)], width_mm=0.5)
    for sign, (x, begins) in fronts.items():
        sketch.line([(x, begins), (x, low)], width_mm=0.6, dashes_mm=(2, 1.2))
        _cut_aslant(sketch, (x, begins), -sign * min(1.0, abs(x) / 0.013))
    if garment.slit is not None:
        sketch.line([(0.0, garment.slit.end[1]), (0.0, low)], width_mm=0.5)
    if fronts:
        # between the fronts if there is room, else beside them
        beside = max(x for x, _ in fronts.values())
        words = PICTURE["cut corners"]
        if text_width_mm(words, sketch.text_mm) < 2 * beside * sketch.scale - 2:
            sketch.word(words, (0.0, low), down_mm=-3)
        else:
            sketch.word(words, (beside, low), right_mm=4, down_mm=-3, anchor="start")
    return sketch.picture(garment.small_mm, (top - low) * sketch.scale, PICTURE["neck clipped"])

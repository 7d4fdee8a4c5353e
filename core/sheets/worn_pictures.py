# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures of the garment laid flat as it is sewn: seen from in front, sleeves spread."""

from collections.abc import Sequence
from typing import Literal

from ..cut_line import Part
from ..pattern import Front
from .fastening import Fastening
from .flow import Picture
from .garment import Garment, front_half
from .picture_words import PICTURE
from .sketch import CLOTH_INK, RIGHT_SIDE_INK, Sketch, rectangle

__all__ = ["WayOut", "fronts_fastened", "worn"]

WayOut = Literal["sleeve", "hem", "neck"]


def worn(
    garment: Garment,
    summary: str,
    *,
    sewn: Sequence[str] = (),
    out_of: WayOut | None = None,
    open_ends: bool = False,
    words: str = "",
    inner: bool = False,
    right_side: bool = False,
    cuffs: bool = False,
    boxes: Sequence[tuple[float, float, float, float]] = (),
    sizes: Sequence[tuple[str, float, float, float, str]] = (),
    centre: bool = False,
) -> Picture:
    """The garment folded and cut, the named stitch lines drawn strongly.

    Seams of an under front are hidden where the upper one lies on it. ``right_side`` tells which
    side of the cloth is seen; ``out_of`` is the opening through which it is turned; ``boxes`` are rectangles on it (left, low,
    wide, high); ``sizes`` dimensions: "along" or "across", from, to, at, and their words; ``centre``
    draws the centre line.
    """
    sketch, height = garment.sketch(
        garment.small_mm,
        margin_mm=9.0,
        low_m=-garment.back_m,
        top_m=max(garment.cut.back_neck_m, 0.01),
    )
    ground = RIGHT_SIDE_INK if right_side else CLOTH_INK
    fronts = [part for part in garment.mark.parts if part.name != "back"]
    for part, points in zip(fronts, garment.fronts(), strict=True):
        sketch.line(points, closed=True, width_mm=0.35, fill=ground)
        _seams(sketch, part, sewn, inner=inner)
    _neck(garment, sketch)
    if open_ends:
        _open_ends(garment, sketch)
    if out_of is not None:
        _way_out(garment, sketch, out_of)
    if cuffs:
        _cuffs(garment, sketch)
    if centre:
        sketch.fold((0.0, -garment.front_m), (0.0, -garment.cut.neck_front_depth_m), width_mm=0.25)
    for box in boxes:
        rectangle(sketch, *box, width_mm=0.6)
    for way, first, last, at, told in sizes:
        if way == "along":
            sketch.along(first, last, at, told)
        else:
            sketch.across(first, last, at, told, ground=ground)
    if words:
        sketch.word(words, (0.0, -garment.back_m), down_mm=5)
    return sketch.picture(garment.small_mm, height, summary)


def _seams(sketch: Sketch, part: Part, sewn: Sequence[str], *, inner: bool) -> None:
    """What is sewn on a part's front half; with ``inner`` the underarm seams, which are sewn before."""
    if inner:
        for name, seam in part.stitch.items():
            if name.startswith("underarm_front"):
                sketch.path(seam, width_mm=0.2, ink=0.5)
    for name in sewn:
        for piece in part.stitch.get(name, ()):
            if (shown := front_half(piece)) is not None:
                sketch.path((shown,), width_mm=0.8, dashes_mm=(2.0, 1.0))


def _neck(garment: Garment, sketch: Sketch) -> None:
    """The neck, the edge of the back behind it, and the cut down the front."""
    neck = garment.mark.parts[0].neck
    if not garment.cut.seamed:
        front_neck = [piece for piece in neck if piece.start[1] <= 0]
        sketch.path(front_neck, width_mm=0.3, fill=1.0)
    if back_neck := [piece for piece in neck if piece.start[1] >= 0]:
        sketch.path(back_neck, width_mm=0.25, ink=0.5, dashes_mm=(1, 1))
    if garment.slit is not None:
        sketch.line([(0.0, garment.slit.end[1]), (0.0, -garment.front_m)], width_mm=0.3)


def _open_ends(garment: Garment, sketch: Sketch) -> None:
    """The word at both sleeve ends, and the way round where the edges are sewn as a ring."""
    for sign in (1, -1):
        sketch.word(
            PICTURE["open"],
            (sign * garment.wrist_m, -garment.arm.end[1] / 2),
            turn_degrees=-90,
            right_mm=4.4 if sign > 0 else -2.2,
        )
    if garment.cut.front is not Front.CLOSED:
        _way_round(garment, sketch)


def _way_out(garment: Garment, sketch: Sketch, out_of: WayOut) -> None:
    """An arrow from inside out through an opening."""
    middle = -garment.arm.end[1] / 2
    beyond = 6.0 / sketch.scale
    start, end = {
        "sleeve": ((0.3 * garment.wrist_m, middle), (garment.wrist_m + 0.10, middle)),
        "hem": ((0.0, -0.55 * garment.back_m), (0.0, -garment.back_m - beyond)),
        "neck": ((0.0, -0.45 * garment.front_m), (0.0, beyond)),
    }[out_of]
    sketch.arrow(start, end, width_mm=1.0)


def _cuffs(garment: Garment, sketch: Sketch) -> None:
    """Both cuffs folded back."""
    fold = garment.wrist_m - garment.allowances.sleeve_end_m - garment.cut.cuff_depth_m
    top = -garment.cut.shoulder_fall_m(fold)
    foot = top - garment.cut.sleeve_opening_m / 2
    for sign in (1, -1):
        inner = sign * (fold - garment.cut.cuff_depth_m)
        corners = [(sign * fold, top), (sign * fold, foot), (inner, foot), (inner, top)]
        sketch.line(corners, closed=True, width_mm=0.7, fill=1.0)
        # nothing is left beyond the fold
        edge, outer = sign * (fold + 0.003), sign * (garment.wrist_m + 0.03)
        beyond = [(edge, top + 0.05), (outer, top + 0.05), (outer, foot - 0.08)]
        beyond.append((edge, foot - 0.08))
        sketch.line(beyond, closed=True, width_mm=0.1, fill=1.0, ink=1.0)
        sketch.word(PICTURE["lining"], (sign * fold, foot), down_mm=4.5)


def _way_round(garment: Garment, sketch: Sketch) -> None:
    """Arrows along hem, front, front and hem: the way in which the ring is sewn."""
    below, beside = -garment.front_m - 3.5 / sketch.scale, 5.0 / sketch.scale
    beside += garment.cut.overlap_half_m
    upper, lower = -0.55 * garment.front_m, -0.92 * garment.front_m
    hem = garment.arm.hem[0]
    for start, end in (
        ((0.9 * hem, below), (0.2 * hem, below)),
        ((beside, lower), (beside, upper)),
        ((-beside, upper), (-beside, lower)),
        ((-0.2 * hem, below), (-0.9 * hem, below)),
    ):
        sketch.arrow(start, end, width_mm=0.3)


HOOK_M, BESIDE_M = 0.012, 0.04


def fronts_fastened(garment: Garment, fastening: Fastening) -> Picture:
    """The fronts closed, right over left: their middle, half their overlap, the hooks and how far apart they are."""
    half_m, tell = garment.cut.overlap_half_m, garment.tell.chosen
    depths_m = fastening.depths_m
    # the upper front is the wearer's right, its edge on the wearer's left of the middle
    hook_x = half_m - fastening.in_m
    hooks = tuple(
        (hook_x - HOOK_M / 2, -depth_m - HOOK_M / 2, HOOK_M, HOOK_M) for depth_m in depths_m
    )
    steps = zip((fastening.corner_m, *depths_m), depths_m, strict=False)
    sizes = [
        ("along", -low_m, -high_m, half_m + BESIDE_M, tell(low_m - high_m))
        for high_m, low_m in steps
    ]
    below_m = -(depths_m[-1] + garment.cut.side_end_m) / 2
    return worn(
        garment,
        PICTURE["overlap"],
        inner=True,
        right_side=True,
        words=PICTURE["right over left"],
        boxes=hooks,
        sizes=(*sizes, ("across", 0.0, half_m, below_m, tell(half_m))),
        centre=True,
    )

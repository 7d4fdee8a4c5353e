# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures of a layer as it lies on the table before it is cut out: opened out, folded, cut apart."""

import math

from .flow import Picture
from .garment import Garment
from .picture_words import PICTURE
from .sketch import CLOTH_INK, Sketch, rectangle

__all__ = ["flat_layer", "folded_rectangle", "rectangles"]

TURNED_MM = (1.2, 0.8)
"""Dashes of the nap's arrow in a piece that is turned."""


def flat_layer(garment: Garment) -> Picture:
    """One layer opened out, wrong side up: fold line, centre line, nap, sizes."""
    front, back, wrist, tell = garment.front_m, garment.back_m, garment.wrist_m, garment.tell.chosen
    sketch, height = garment.sketch(garment.small_mm, margin_mm=11.0, low_m=-front, top_m=back)
    rectangle(sketch, -wrist, -front, 2 * wrist, front + back, fill=CLOTH_INK)
    sketch.fold((-wrist, 0.0), (wrist, 0.0))
    sketch.fold((0.0, -front), (0.0, back))
    aside = 0.45 * wrist
    sketch.word(PICTURE["fold"], (aside, 0.0), down_mm=-1.5)
    sketch.word(PICTURE["centre line"], (0.0, 0.6 * back), turn_degrees=-90, right_mm=-1.2)
    sketch.word(PICTURE["BACK"], (aside, back / 2))
    sketch.word(PICTURE["FRONT"], (aside, -front / 2))
    nap_x = -0.8 * wrist
    nap_v = 0.7 * front * garment.cut.nap.stroke[1]
    sketch.arrow((nap_x, -nap_v), (nap_x, nap_v))
    sketch.word(PICTURE["nap"], (nap_x, -0.3 * front), turn_degrees=-90, right_mm=-1.5)
    sketch.across(-wrist, wrist, back, tell(2 * wrist), off_mm=-2)
    for start, end in ((-wrist, 0.0), (0.0, wrist)):
        sketch.across(start, end, -front, tell(wrist), off_mm=5.5)
    sketch.along(-front, back, -wrist, tell(front + back), off_mm=-2)
    for start, end in ((-front, 0.0), (0.0, back)):
        sketch.along(start, end, wrist, tell(end - start), off_mm=6)
    return sketch.picture(garment.small_mm, height, PICTURE["flat layer"])


def folded_rectangle(garment: Garment) -> Picture:
    """The layer folded once, the back half under the front one; an arrow shows the way."""
    front, back, wrist, tell = garment.front_m, garment.back_m, garment.wrist_m, garment.tell.chosen
    sketch, height = garment.sketch(garment.small_mm, margin_mm=10.0, low_m=-back, top_m=0.06)
    step = 0.012
    rectangle(sketch, -wrist + step, -back - step, 2 * wrist, back + step)
    rectangle(sketch, -wrist, -front, 2 * wrist, front, fill=CLOTH_INK)
    sketch.fold((-wrist, 0.0), (wrist, 0.0))
    sketch.word(PICTURE["fold away"], (0.0, 0.0), down_mm=-1.5)
    sketch.word(PICTURE["front on top"], (0.0, -front / 2))
    sketch.word(PICTURE["pile inside"], (0.0, -front / 2), down_mm=1.5 * sketch.text_mm)
    _folded_under(sketch, 0.72 * wrist, 0.35 * front)
    sketch.along(-front, 0.0, -wrist, tell(front), off_mm=-2)
    if back > front:
        sketch.along(-back, -front, wrist, tell(back - front), off_mm=-16)
        sketch.word(PICTURE["back"], (0.0, -(front + back) / 2), down_mm=1.0)
    return sketch.picture(garment.small_mm, height, PICTURE["folded"])


def _folded_under(sketch: Sketch, x: float, deep_m: float) -> None:
    """A bent arrow from beyond the fold to under the cloth, dashed where it is under it."""
    above_m, bow_m = 8.0 / sketch.scale, 5.0 / sketch.scale
    low_m, high_m = -deep_m, above_m
    bend = [
        (
            x + bow_m * math.sin(math.pi * step / 24),
            high_m + (low_m - high_m) * step / 24,
        )
        for step in range(25)
    ]
    sketch.line([point for point in bend if point[1] >= 0], width_mm=0.5)
    under = [point for point in bend if point[1] <= 0]
    sketch.line(under, width_mm=0.5, dashes_mm=(1.5, 1.0))
    sketch.arrow(under[-2], under[-1])


def rectangles(garment: Garment) -> Picture:
    """The back and the front of a seamed layer as cut apart, wrong side up, with their lines.

    Patterns are seen from the right side: here the wearer's left lies on the left.
    """
    tell, wrist, apart = garment.tell.chosen, garment.wrist_m, garment.apart_m
    gap = 0.10
    low, top = -garment.front_m, garment.back_m + 2 * garment.top_m + gap
    sketch, height = garment.sketch(
        garment.small_mm, margin_mm=11.0, low_m=low, top_m=top, half_m=wrist + apart
    )
    for part in garment.mark.parts:
        low_x, high_x, foot, head = part.bounds_m
        # the way in which it lies beside the middle
        way = {"front left": -1, "front right": 1}.get(part.name, 0)
        centre = way * apart
        left, right = centre - high_x, centre - low_x
        up = 2 * garment.top_m + gap if part.name == "back" else 0.0
        rectangle(sketch, left, foot + up, right - left, head - foot, fill=CLOTH_INK)
        sketch.line([(left, up), (right, up)], width_mm=0.25, dashes_mm=(2, 1))
        sketch.fold((centre, foot + up), (centre, head + up))
        middle = (foot + head) / 2 + up
        if part.name != "front right":
            sketch.along(foot + up, head + up, left, tell(head - foot), off_mm=-2)
        aside = centre + (0.42 * way or 0.2) * wrist
        sketch.word(PICTURE[part.name], (aside, middle))
        # the nap's arrow, and what lies at either end of the piece
        stroke = 0.3 * (head - foot) * garment.cut.nap.stroke[1]
        nap_x = centre + 0.85 * (way or -1) * wrist
        sketch.arrow((nap_x, middle - stroke), (nap_x, middle + stroke), width_mm=0.35)
        if garment.cut.nap.runs(part.name.split()[0]) == "up":
            # as it runs in a piece that is turned end for end
            turned_x = centre + 0.72 * (way or -1) * wrist
            sketch.line(
                [(turned_x, middle - stroke), (turned_x, middle + stroke)], dashes_mm=TURNED_MM
            )
            sketch.arrow(
                (turned_x, middle - 0.95 * stroke), (turned_x, middle - stroke), width_mm=0.35
            )
            if not way:  # a front has no room for the words
                at = (turned_x, middle)
                right_mm = 1.0 + 0.8 * sketch.text_mm
                sketch.word(PICTURE["turned"], at, turn_degrees=-90, right_mm=right_mm)
        hem = (aside, head + up if part.name == "back" else foot)
        sketch.word(PICTURE["hem"], hem, down_mm=4.0 if part.name == "back" else -1.2)
        if part.name == "back":
            sketch.across(left, right, top, tell(right - left), off_mm=-2)
        elif apart:
            sketch.across(left, right, foot, tell(right - left), off_mm=6)
        if part.name == "front right" and apart:
            sketch.across(left, centre, middle + 0.2 * (head - foot), tell(centre - left))
    return sketch.picture(garment.small_mm, height, PICTURE["rectangles"])

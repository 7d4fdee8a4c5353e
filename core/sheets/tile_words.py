# SPDX-License-Identifier: GPL-3.0-or-later
"""Words of a drawing over many sheets: each whole on one sheet, and clear of the lines."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from ..paper import Mark, Words, text_width_mm
from .print_check import Window, felt

__all__ = ["box_of", "clear_words", "on_one_sheet"]

INSIDE_MM, STEP_MM, CLEAR_MM = 2.0, 4.0, 0.6
"""How far inside a sheet words end, how far apart places are tried, and what stays free beside words."""
FARTHEST_MM = 160.0
PointArray = npt.NDArray[np.float64]


def on_one_sheet(drawn: Sequence[Mark], parts: Sequence[Window]) -> tuple[Mark, ...]:
    """The marks, their words moved as little as needed into one of the parts, clear of all strokes.

    Where no part has a clear place the words move into the nearest part all the same.
    """
    lines: list[Mark] = [mark for mark in drawn if not isinstance(mark, Words)]
    moved: list[Mark] = list(lines)
    everywhere = (-math.inf, -math.inf, math.inf, math.inf)
    points = felt(lines, everywhere, 1.0)
    for words in (mark for mark in drawn if isinstance(mark, Words)):
        box = box_of(words)
        places = sorted(_places(box, parts), key=lambda place: math.hypot(*place))
        clear = (place for place in places if not _hit(points, _shifted(box, place)))
        dx, dy = next(clear, places[0])
        moved.append(replace(words, at=(words.at[0] + dx, words.at[1] + dy)))
        # the next words keep clear of these
        points = np.concatenate([points, felt(moved[-1:], everywhere, 1.0)])
    return tuple(moved)


def clear_words(places: Sequence[Words], drawn: Sequence[Mark], window: Window) -> Words:
    """The first of several places for the same words that no stroke goes through; else the first."""
    points = felt(drawn, window, 1.0)
    return next((words for words in places if not _hit(points, box_of(words))), places[0])


def _places(box: Window, parts: Sequence[Window]) -> Iterator[tuple[float, float]]:
    """Ways to move a box into each part that is not too far."""
    left, top, right, foot = box
    for part_left, part_top, part_right, part_foot in parts:
        least = (part_left + INSIDE_MM - left, part_top + INSIDE_MM - top)
        most = (part_right - INSIDE_MM - right, part_foot - INSIDE_MM - foot)
        if least[0] > most[0] or least[1] > most[1]:
            continue
        near = tuple(min(max(0.0, low), high) for low, high in zip(least, most, strict=True))
        if math.hypot(*near) > FARTHEST_MM:
            continue
        for dx in _tried(near[0], least[0], most[0]):
            for dy in _tried(near[1], least[1], most[1]):
                yield dx, dy


def _tried(near: float, least: float, most: float) -> list[float]:
    """The nearest way, and others in steps to either side."""
    steps = range(-math.floor((near - least) / STEP_MM), math.floor((most - near) / STEP_MM) + 1)
    return [near + STEP_MM * step for step in steps]


def _shifted(box: Window, place: tuple[float, float]) -> Window:
    return box[0] + place[0], box[1] + place[1], box[2] + place[0], box[3] + place[1]


def _hit(points: PointArray, box: Window) -> bool:
    left, top, right, foot = box
    x, y = points[:, 0], points[:, 1]
    inside = (x > left - CLEAR_MM) & (x < right + CLEAR_MM)
    return bool((inside & (y > top - CLEAR_MM) & (y < foot + CLEAR_MM)).any())


def box_of(words: Words) -> Window:
    """Left, top, right and foot of a line of words that is upright or lies on its side."""
    wide = text_width_mm(words.text, words.size_mm, bold=words.bold)
    start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[words.anchor]
    turn = math.radians(words.turn_degrees)
    along, down = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    corners = [
        (words.at[0] + a * along[0] + d * down[0], words.at[1] + a * along[1] + d * down[1])
        for a in (start, start + wide)
        for d in (-0.8 * words.size_mm, 0.25 * words.size_mm)
    ]
    xs, ys = zip(*corners, strict=True)
    return min(xs), min(ys), max(xs), max(ys)

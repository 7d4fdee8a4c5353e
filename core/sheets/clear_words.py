# SPDX-License-Identifier: GPL-3.0-or-later
"""Where words stand clear of the lines: whole on one sheet, beside its trim lines, in its square."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from ..arrays import FloatArray
from ..paper import Mark, Words, text_width_mm
from ..paper.page import Point

__all__ = ["Window", "box_of", "clear_words", "felt", "on_one_sheet"]

INSIDE_MM, STEP_MM, CLEAR_MM = 2.0, 4.0, 0.6
"""How far inside a sheet words end, how far apart places are tried, and what stays free beside words."""
FARTHEST_MM = 160.0
FELT_MM = 4.0
"""Strokes are felt for every so often."""
Window = tuple[float, float, float, float]
"""Left, top, right and foot."""


def on_one_sheet(
    drawn: Sequence[Mark], parts: Sequence[Window], outline: Sequence[Point] = ()
) -> tuple[Mark, ...]:
    """The marks, their words moved as little as needed into one of the parts, clear of all strokes.

    Words stand inside a closed ``outline``. Where no part has a clear place the words move into
    the nearest part all the same.
    """
    lines: list[Mark] = [mark for mark in drawn if not isinstance(mark, Words)]
    moved: list[Mark] = list(lines)
    everywhere = (-math.inf, -math.inf, math.inf, math.inf)
    points = felt(lines, everywhere, 1.0)
    for words in (mark for mark in drawn if isinstance(mark, Words)):
        box = box_of(words)
        places = sorted(_places(box, parts), key=lambda place: math.hypot(*place))
        clear = (
            place
            for place in places
            if not _hit(points, _shifted(box, place))
            and (not outline or _inside(np.array(outline), _shifted(box, place)))
        )
        dx, dy = next(clear, places[0])
        moved.append(replace(words, at=(words.at[0] + dx, words.at[1] + dy)))
        # the next words keep clear of these
        points = np.concatenate([points, _filled(_shifted(box, (dx, dy)))])
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


def _filled(box: Window) -> FloatArray:
    """(n, 2) points all over a box, no farther apart than a millimetre."""
    left, top, right, foot = box
    across = np.linspace(left, right, 2 + int(right - left))
    down = np.linspace(top, foot, 2 + int(foot - top))
    return np.asarray(np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2))


def _shifted(box: Window, place: tuple[float, float]) -> Window:
    return box[0] + place[0], box[1] + place[1], box[2] + place[0], box[3] + place[1]


def _inside(rim: FloatArray, box: Window) -> bool:
    """Whether the middle of a box lies inside a closed chain of (n, 2) points (even-odd rule)."""
    across, down = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    (x, y), (x2, y2) = rim.T, np.roll(rim, -1, axis=0).T
    passes = (y <= down) != (y2 <= down)
    rise = np.where(passes, y2 - y, 1.0)
    beyond = x + (down - y) / rise * (x2 - x) > across
    return bool((passes & beyond).sum() % 2)


def _hit(points: FloatArray, box: Window) -> bool:
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


def felt(drawn: Sequence[Mark], window: Window, step_mm: float = FELT_MM) -> FloatArray:
    """(n, 2) points on all strokes and words that reach into a window, no farther apart than a step."""
    left, top, right, foot = window
    chains = [_chain(mark) for mark in drawn]
    if not chains:
        return np.zeros((0, 2))
    starts = np.concatenate([chain[:-1] for chain in chains])
    ends = np.concatenate([chain[1:] for chain in chains])
    counts = np.ceil(np.linalg.norm(ends - starts, axis=1) / step_mm).astype(np.intp) + 1
    row = np.repeat(np.arange(len(counts)), counts)
    number = np.arange(len(row)) - np.repeat(np.cumsum(counts) - counts, counts)
    share = (number / np.maximum(counts[row] - 1, 1))[:, None]
    points = (1 - share) * starts[row] + share * ends[row]
    near = (points >= (left, top)).all(axis=1) & (points <= (right, foot)).all(axis=1)
    return np.asarray(points[near], dtype=np.float64)


def _chain(mark: Mark) -> FloatArray:
    """(n, 2) a stroke's points, or the middle line of words."""
    if not isinstance(mark, Words):
        points = [*mark.points, mark.points[0]] if mark.closed else list(mark.points)
        return np.array(points if len(points) > 1 else points * 2, dtype=np.float64)
    wide = text_width_mm(mark.text, mark.size_mm, bold=mark.bold)
    start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[mark.anchor]
    turn = np.deg2rad(mark.turn_degrees)
    along, up = np.array([np.cos(turn), np.sin(turn)]), np.array([np.sin(turn), -np.cos(turn)])
    foot = np.array(mark.at) + 0.35 * mark.size_mm * up
    return np.array([foot + start * along, foot + (start + wide) * along])

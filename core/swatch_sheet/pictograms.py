# SPDX-License-Identifier: GPL-3.0-or-later
"""Small drawings of the swatch tests, side by side; likenesses, not to scale."""

import math
from collections.abc import Iterator

from ..paper import Line, Mark, Words
from .layout import SMALL_MM, WIDE_MM

__all__ = ["PICTURE_HEIGHT_MM", "pictograms"]

PICTURE_HEIGHT_MM = 38.0
_FOOT_MM = 31.0
Point = tuple[float, float]


def pictograms(left: float, top: float) -> Iterator[Mark]:
    """A row of drawings over the page's width, each with its name under it."""
    pictures = (
        ("overhang", _overhang),
        ("loop", _loop),
        ("hung strip", _hung),
        ("stack", _stack),
        ("tilt", _tilt),
        ("round piece", _round),
    )
    room = WIDE_MM / len(pictures)
    for number, (name, draw) in enumerate(pictures):
        middle = left + room * (number + 0.5)
        yield from draw(middle, top)
        yield Words(
            text=name, at=(middle, top + _FOOT_MM + 5.5), anchor="middle", size_mm=SMALL_MM + 0.3
        )


def _box(x: float, y: float, wide: float, high: float, fill: float | None = 0.85) -> Line:
    """A box by its upper left corner."""
    points = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    return Line(points=points, closed=True, fill=fill)


def _cloth(*points: Point) -> Line:
    return Line(points=points, width_mm=0.9)


def _arrow(start: Point, end: Point) -> Iterator[Mark]:
    """A measured distance: a fine line with a head at both ends."""
    turn = math.atan2(end[1] - start[1], end[0] - start[0])
    yield Line(points=(start, end), width_mm=0.2)
    for tip, way in ((end, turn + math.pi), (start, turn)):
        barbs = [
            (tip[0] + 1.6 * math.cos(way + side), tip[1] + 1.6 * math.sin(way + side))
            for side in (-0.4, 0.4)
        ]
        yield Line(points=(barbs[0], tip, barbs[1]), width_mm=0.2)


def _overhang(x: float, y: float) -> Iterator[Mark]:
    yield _box(x - 13, y + 9, 13, _FOOT_MM - 9)
    yield Line(points=((x, y + 9), (x + 14, y + 9 + 14 * 0.885)), width_mm=0.3)
    # a strip that leaves the edge level and meets the line: a parabola is near enough to the eye
    steps = [index / 12 for index in range(13)]
    yield _cloth((x - 12, y + 8.4), *((x + 11 * s, y + 8.4 + 10.3 * s**1.6) for s in steps))
    yield _box(x - 12, y + 5.5, 11, 1.6, fill=1.0)


def _loop(x: float, y: float) -> Iterator[Mark]:
    half = [
        (0.0, 9.0),
        (0.9, 5.6),
        (3.2, 3.4),
        (6.2, 4.4),
        (7.6, 8.2),
        (7.2, 13.0),
        (5.6, 19.0),
        (3.2, 25.0),
        (1.2, 28.2),
        (0.0, 28.8),
    ]
    right = [(x + dx, y + dy) for dx, dy in half]
    left = [(x - dx, y + dy) for dx, dy in reversed(half)]
    yield _cloth(*right, *left)
    yield _box(x - 1.3, y + 9, 2.6, 4.5, fill=0.4)
    yield from _arrow((x + 11, y + 9), (x + 11, y + 28.8))


def _hung(x: float, y: float) -> Iterator[Mark]:
    yield _box(x - 5, y + 1, 10, 2, fill=0.4)
    yield Line(
        points=((x - 3, y + 3), (x + 3, y + 3), (x + 3, y + 22), (x - 3, y + 22)), closed=True
    )
    for mark in (7.5, 17.5):
        yield Line(points=((x - 3, y + mark), (x + 3, y + mark)), width_mm=0.4)
    yield from _arrow((x + 6, y + 7.5), (x + 6, y + 17.5))
    yield _box(x - 4, y + 22, 8, 1.6, fill=0.4)
    yield _box(x - 3.5, y + 24.5, 7, 6)


def _stack(x: float, y: float) -> Iterator[Mark]:
    yield _box(x - 5, y + 6, 10, 8)
    yield _box(x - 9, y + 14, 18, 1.8, fill=0.6)
    for ply in range(4):
        height = y + 17 + 3.6 * ply
        yield _cloth((x - 9, height + 2.9), (x + 9, height + 2.9))
        for hair in range(13):
            at = x - 8.6 + 1.4 * hair
            yield Line(points=((at, height + 2.6), (at + 0.4, height)), width_mm=0.12)
    yield Line(points=((x - 12, y + _FOOT_MM), (x + 12, y + _FOOT_MM)), width_mm=0.4)
    yield from _arrow((x + 11.5, y + 15.8), (x + 11.5, y + _FOOT_MM))


def _tilt(x: float, y: float) -> Iterator[Mark]:
    rise = math.radians(24)
    foot = (x - 12.5, y + _FOOT_MM - 0.5)
    along, up = (math.cos(rise), -math.sin(rise)), (-math.sin(rise), -math.cos(rise))

    def place(far: float, high: float) -> Point:
        return (
            foot[0] + far * along[0] + high * up[0],
            foot[1] + far * along[1] + high * up[1],
        )

    yield Line(points=((x - 13, y + _FOOT_MM), (x + 13, y + _FOOT_MM)), width_mm=0.4)
    board = (place(0, 0), place(27, 0), place(27, 1.2), place(0, 1.2))
    yield Line(points=board, closed=True, fill=0.6)
    yield _cloth(place(0.5, 1.7), place(26.5, 1.7))
    block = (place(12, 2.4), place(20, 2.4), place(20, 7), place(12, 7))
    yield Line(points=block, closed=True, fill=0.85)
    yield from _arrow((x + 13.5, y + _FOOT_MM), (x + 13.5, place(27, 0)[1]))


def _round(x: float, y: float) -> Iterator[Mark]:
    """Seen from above: plate, and the shadow in its folds."""
    middle = y + 16
    turns = [2 * math.pi * index / 90 for index in range(90)]
    shadow = [10.5 + 2.2 * math.cos(6 * turn) for turn in turns]
    for radii, fill in ((shadow, 0.85), ([7.5] * 90, 1.0)):
        points = [
            (x + radius * math.cos(turn), middle + radius * math.sin(turn))
            for radius, turn in zip(radii, turns, strict=True)
        ]
        yield Line(points=tuple(points), closed=True, fill=fill)

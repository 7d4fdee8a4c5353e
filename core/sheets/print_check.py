# SPDX-License-Identifier: GPL-3.0-or-later
"""The square by which a print is checked, in a place where it is not taken for a line to cut."""

from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt

from ..paper import Line, Mark, Words
from . import wording
from .clear_words import Window, clear_words, felt

__all__ = [
    "CHECK_HIGH_MM",
    "CHECK_WIDE_MM",
    "SQUARE_MM",
    "clear_place",
    "print_check",
]

SQUARE_MM, FOUR_INCHES_MM = 100.0, 101.6
FOOT_MM = 4.4
"""What its words take below it."""
CHECK_WIDE_MM, CHECK_HIGH_MM = FOUR_INCHES_MM, FOUR_INCHES_MM + FOOT_MM
TICK_MM, WORD_STEP_MM = 4.0, 11.0
CLEAR_MM = 2.0
STEP_MM = 4.0
"""Places are tried, and strokes are felt for, every so often."""
MOST_STEPS = 40
Point = tuple[float, float]


def print_check(left: float, top: float, drawn: Sequence[Mark] = ()) -> Iterator[Mark]:
    """A square of 10 cm, and ticks at the corners of one of 4 in, to check the print by.

    ``drawn`` are lines of the drawing that go through it: it is dotted then, its words clear of them.
    """
    corners = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    yield Line(
        points=tuple((left + SQUARE_MM * x, top + SQUARE_MM * y) for x, y in corners),
        closed=True,
        width_mm=0.15,
        ink=0.45,
        dashes_mm=(0.3, 1.2) if drawn else (),
    )
    for x, y in corners:
        at = (left + FOUR_INCHES_MM * x, top + FOUR_INCHES_MM * y)
        inwards = (TICK_MM * (1 - 2 * x), TICK_MM * (1 - 2 * y))
        ends = ((at[0] + inwards[0], at[1]), at, (at[0], at[1] + inwards[1]))
        yield Line(points=ends, width_mm=0.15, ink=0.45)
    window = (left, top, left + CHECK_WIDE_MM, top + CHECK_HIGH_MM)
    inner = [4.0 + row * WORD_STEP_MM for row in range(9)]
    for words, downs_mm in (
        (wording.SQUARE_CM, inner),
        (wording.SQUARE_IN, [FOUR_INCHES_MM + 3.4]),
    ):
        places = [
            Words(
                text=words,
                at=(left + across_mm, top + down_mm),
                size_mm=2.8,
                anchor="end" if across_mm > SQUARE_MM / 2 else "start",
                ink=0.45,
            )
            for down_mm in downs_mm
            for across_mm in (SQUARE_MM - 2, 2.0, 0.7 * SQUARE_MM, 0.3 * SQUARE_MM)
        ]
        yield clear_words(places, drawn, window)


def clear_place(drawn: Sequence[Mark], window: Window) -> tuple[Point, bool]:
    """Where in a window the square lies free of what is drawn, and whether anything crosses it there.

    Of the free places the one nearest to the middle of the foot; if none is free, the one with the
    least in it.
    """
    left, top, right, foot = window
    xs = _tried(left, right - CHECK_WIDE_MM)
    ys = _tried(top, foot - CHECK_HIGH_MM)
    points = felt(drawn, window)
    counts = np.zeros((len(xs), len(ys)), dtype=np.intp)
    if len(points):
        beside = _between(points[:, 0], xs, CHECK_WIDE_MM)
        below = _between(points[:, 1], ys, CHECK_HIGH_MM)
        counts = (beside @ below.T).astype(np.intp)
    aside = np.abs(xs[:, None] + CHECK_WIDE_MM / 2 - (left + right) / 2)
    away = aside + (foot - CHECK_HIGH_MM - ys)[None, :]
    best = np.lexsort((away.ravel(), counts.ravel()))[0]
    column, row = np.unravel_index(best, counts.shape)
    return (float(xs[column]), float(ys[row])), bool(counts[column, row] > 0)


def _tried(first: float, last: float) -> npt.NDArray[np.float64]:
    """Places from the first to the last, both among them."""
    if last <= first:
        return np.array([first])
    return np.linspace(first, last, min(MOST_STEPS, 1 + round((last - first) / STEP_MM)) + 1)


def _between(
    places: npt.NDArray[np.float64], starts: npt.NDArray[np.float64], size_mm: float
) -> npt.NDArray[np.float64]:
    """(starts, places) 1 where a place lies from a start so far on, and a little beyond."""
    beyond = places[None, :] - starts[:, None]
    inside = (beyond > -CLEAR_MM) & (beyond < size_mm + CLEAR_MM)
    return np.asarray(inside, dtype=np.float64)

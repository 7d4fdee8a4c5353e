# SPDX-License-Identifier: GPL-3.0-or-later
"""Paper for plots: their look, and their files as bytes that are the same each time."""

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from ..errors import NapfoldError

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["INK", "LINES", "RULE", "SOFT", "Dashes", "axes_of", "figure", "png", "svg", "written"]

INK, SOFT, RULE = "#2b2723", "#5f554a", "#d8ccb8"
Dashes = str | tuple[int, tuple[int, ...]]
LINES: tuple[tuple[str, Dashes], ...] = (
    ("#2f5443", "solid"),
    ("#8c3f22", "dashed"),
    ("#37507a", "dashdot"),
    ("#8a6d1a", "dotted"),
    ("#5a2f5f", (0, (5, 1, 1, 1, 1, 1))),
    ("#2b2723", (0, (1, 3))),
)
"""Colour and dashes: lines differ by both, so that they are told apart in grey."""

LOOK = {
    "font.family": "DejaVu Serif",
    "font.size": 10.0,
    "svg.fonttype": "none",
    "svg.hashsalt": "napfold",
    "text.color": INK,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "xtick.color": SOFT,
    "ytick.color": SOFT,
    "axes.linewidth": 0.8,
    "legend.frameon": False,
}


@contextmanager
def figure(width_in: float, height_in: float) -> "Iterator[Figure]":
    """A figure in the report's look.

    Raises
    ------
    NapfoldError
        matplotlib is not installed.
    """
    try:
        from matplotlib import rc_context
        from matplotlib.figure import Figure
    except ImportError as error:
        raise NapfoldError("Plots need matplotlib, which this Python has not.") from error
    with rc_context(LOOK):
        yield Figure(figsize=(width_in, height_in), facecolor="#fffdf8", layout="constrained")


def axes_of(page: "Figure") -> "Axes":
    """Axes without a frame above and to the right."""
    axes = page.subplots()
    axes.set_facecolor("#fffdf8")
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return axes


def svg(page: "Figure") -> bytes:
    """As an SVG file."""
    file = io.BytesIO()
    page.savefig(file, format="svg", metadata={"Date": None, "Creator": None})
    return file.getvalue()


def png(page: "Figure", dots_per_inch: int = 110) -> bytes:
    """As a PNG file."""
    file = io.BytesIO()
    page.savefig(file, format="png", dpi=dots_per_inch, metadata={"Software": None})
    return file.getvalue()


def written(value_m: float, units: str) -> float:
    """A length as a number in the reader's unit, for an axis."""
    return value_m / (0.0254 if units == "in" else 0.01)

# SPDX-License-Identifier: GPL-3.0-or-later
"""A measure against a changed number, with the points marked at which its word changes."""

from ..sweep import Sweep
from ..telling import Telling
from ..units import UnitSystem
from .canvas import INK, LINES, SOFT, axes_of, figure, svg, written
from .plate import Plate

__all__ = ["sweep_plot"]


def sweep_plot(sweep: Sweep, units: UnitSystem) -> Plate:
    """Draw one sweep."""
    tell = Telling(units)
    with figure(7.2, 4.0) as page:
        axes = axes_of(page)
        told = []
        for number, line in enumerate(sweep.lines):
            colour, dashes = LINES[number % len(LINES)]
            axes.plot(
                [written(point[0], units) for point in line.points],
                [written(point[1], units) for point in line.points],
                color=colour,
                linestyle=dashes,
                marker="o",
                markersize=4,
                label=line.shared,
            )
            for flip in line.flips:
                at, height = written(flip.number, units), written(flip.measure, units)
                axes.plot(at, height, marker="D", markersize=7, color=INK, fillstyle="none")
                words = f"{flip.words}: {tell.chosen(flip.number)}"
                axes.annotate(words, (at, height), (6, -10), textcoords="offset points", fontsize=8)
                told.append(f"{words} ({line.shared})")
        axes.set_xlabel(f"{sweep.number}, {units}")
        axes.set_ylabel(f"{sweep.measure}, {units}", color=SOFT)
        axes.margins(0.08, 0.12)
        if len(sweep.lines) > 1:
            axes.legend(fontsize=8)
        data = svg(page)
    ends = "; ".join(
        f"{line.shared}: {tell.length(line.points[0][1])} at {tell.chosen(line.points[0][0])}, "
        f"{tell.length(line.points[-1][1])} at {tell.chosen(line.points[-1][0])}"
        for line in sweep.lines
    )
    flips = f" Marked: {'; '.join(told)}." if told else ""
    return Plate(
        part="choices",
        kind="svg+xml",
        data=data,
        alt=f"{sweep.measure.capitalize()} against {sweep.number}. {ends}.{flips}",
        caption=f"{sweep.measure.capitalize()} against {sweep.number}. A diamond marks where the word "
        "for it changes, by a straight line between two drapes.",
    )

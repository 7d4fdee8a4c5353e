# SPDX-License-Identifier: GPL-3.0-or-later
"""The hem all round, as a curve of height over the floor."""

from collections.abc import Sequence

import numpy as np

from ..comparison import Outcome
from ..units import UnitSystem
from .canvas import LINES, RULE, SOFT, Dashes, axes_of, figure, svg, written
from .plate import Plate

__all__ = ["hem_plot"]


def hem_plot(outcomes: Sequence[Outcome], levels: dict[str, float], units: UnitSystem) -> Plate:
    """All hems in one plot.

    Parameters
    ----------
    outcomes
        The variants.
    levels
        Heights of body levels to draw, metres, by name; none where bodies differ.
    units
        The reader's.
    """
    with figure(7.2, 3.6) as page:
        axes = axes_of(page)
        heights = []
        for outcome, (colour, dashes) in zip(outcomes, _styles(len(outcomes)), strict=True):
            curve = outcome.fit.hem_curve
            share = np.array(curve.along_m) / curve.along_m[-1]
            height = written(1.0, units) * np.array(curve.height_m)
            heights.append(height)
            axes.plot(share, height, color=colour, linestyle=dashes, label=outcome.heading)
        every = np.concatenate(heights)
        margin = max(0.1 * float(np.ptp(every)), written(0.02, units))
        axes.set_ylim(every.min() - margin, every.max() + margin)
        places = outcomes[0].fit.hem_curve.places_m
        end = outcomes[0].fit.hem_curve.along_m[-1]
        axes.set_xticks([along / end for _, along in places], [name for name, _ in places])
        axes.set_xlim(0.0, 1.0)
        for _, along in places:
            axes.axvline(along / end, color=RULE, linewidth=0.6, zorder=0)
        low, high = axes.get_ylim()
        for name, height_m in levels.items():
            level = written(height_m, units)
            if low < level < high:
                axes.axhline(level, color=SOFT, linewidth=0.6, linestyle=(0, (2, 3)), zorder=0)
                axes.text(0.995, level, name, ha="right", va="bottom", fontsize=8, color=SOFT)
        axes.set_ylabel(f"over the floor, {units}")
        axes.set_xlabel("along the hem, from one front edge round the back to the other")
        if len(outcomes) > 1:
            axes.legend(fontsize=9, loc="best")
        data = svg(page)
    names = ", ".join(outcome.name for outcome in outcomes)
    return Plate(
        part="hem",
        kind="svg+xml",
        data=data,
        alt=f"Curve of the hem's height over the floor from the left front edge round the back to "
        f"the right, for {names}. The table of all measures holds its heights.",
        caption="The hem all round, laid out straight.",
    )


def _styles(count: int) -> list[tuple[str, Dashes]]:
    return [LINES[number % len(LINES)] for number in range(count)]

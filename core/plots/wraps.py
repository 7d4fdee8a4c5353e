# SPDX-License-Identifier: GPL-3.0-or-later
"""All wraps in one row to one scale, with a ruler of heights and the body's levels."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..comparison import Outcome
from ..drape import Drape
from ..telling import Telling
from ..units import UnitSystem
from .canvas import INK, SOFT, axes_of, figure, png, written
from .plate import Plate
from .solids import Seen, View, seen_body, seen_wrap, together

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["drawn", "wrap_row"]

GAP_M = 0.18
A_ROW = 4
LABEL_IN = 0.12
"""Height of a level's name on paper."""

ALIKE_M = 0.01
NAMES_M = 0.24
"""Room for the levels' names."""


def wrap_row(
    outcomes: Sequence[Outcome],
    drapes: Sequence[Drape],
    levels: Sequence[dict[str, float]],
    view: View,
    units: UnitSystem,
) -> list[Plate]:
    """Rows of up to four wraps, all to one scale.

    Parameters
    ----------
    outcomes, drapes
        The variants.
    levels
        The body's levels of each, metres over the floor, by name.
    view
        From which side.
    units
        The reader's.
    """
    seen = [together([seen_body(drape, view), seen_wrap(drape, view)]) for drape in drapes]
    top_m = max(float(part.corners[..., 1].max()) for part in seen) + 0.05
    wide_m = max(float(np.ptp(part.corners[..., 0])) for part in seen) + GAP_M
    columns = min(len(seen), A_ROW)
    rows = [range(len(seen))[start : start + columns] for start in range(0, len(seen), columns)]
    return [
        _row(
            [outcomes[number] for number in row],
            [seen[number] for number in row],
            [levels[number] for number in row],
            (wide_m, top_m, columns),
            view,
            units,
        )
        for row in rows
    ]


def _row(
    outcomes: Sequence[Outcome],
    seen: Sequence[Seen],
    levels: Sequence[dict[str, float]],
    size_m: tuple[float, float, int],
    view: View,
    units: UnitSystem,
) -> Plate:
    wide_m, top_m, columns = size_m
    tell = Telling(units)
    width_m = wide_m * columns
    high_in = max(8.0 * top_m / (width_m + NAMES_M + 0.3), 2.5)
    with figure(8.0, high_in + 0.5) as page:
        axes = axes_of(page)
        for number, (outcome, part) in enumerate(zip(outcomes, seen, strict=True)):
            middle_m = number * wide_m
            shift_m = middle_m - (part.corners[..., 0].max() + part.corners[..., 0].min()) / 2
            drawn(axes, part, shift_m, units)
            hem_m = outcome.fit.hem.centre_back.height_m
            if view != "front":
                _line(axes, hem_m, middle_m, wide_m, tell.length(hem_m), units)
            axes.text(
                written(middle_m, units),
                written(-0.03, units),
                _folded(outcome.heading),
                ha="center",
                va="top",
                fontsize=9,
            )
        _levels(axes, levels, wide_m, units, LABEL_IN * top_m / high_in)
        axes.set_xlim(
            written(-0.5 * wide_m - NAMES_M, units), written(width_m - 0.5 * wide_m, units)
        )
        axes.set_ylim(written(-0.14, units), written(top_m, units))
        axes.set_aspect("equal")
        axes.spines["bottom"].set_visible(False)
        axes.set_xticks([])
        step = 10 if units == "in" else 20
        axes.set_yticks(np.arange(0, written(top_m, units), step))
        axes.set_ylabel(f"over the floor, {units}")
        axes.axhline(0.0, color=INK, linewidth=0.8)
        data = png(page, 130)
    told = "; ".join(
        f"{one.name}: back hem {tell.length(one.fit.hem.centre_back.height_m)}" for one in outcomes
    )
    return Plate(
        part="looks",
        kind="png",
        data=data,
        alt=f"The wraps side by side from the {view}, to one scale, with a ruler of heights over the "
        f"floor and lines at the body's levels. {told}.",
        caption=f"From the {view}, all to one scale. Drawn from the drapes, without the pile's hairs.",
    )


def drawn(axes: "Axes", seen: Seen, shift_m: float, units: UnitSystem) -> None:
    """Draw triangles, shifted to the right."""
    from matplotlib.collections import PolyCollection

    corners = seen.corners + np.array([shift_m, 0.0])
    axes.add_collection(
        PolyCollection(
            written(1.0, units) * corners,
            facecolors=seen.colours,
            edgecolors=seen.colours,
            linewidths=0.25,
            antialiased=True,
            rasterized=True,
        ),
        autolim=False,
    )


def _line(
    axes: "Axes", height_m: float, middle_m: float, wide_m: float, words: str, units: UnitSystem
) -> None:
    left, right = (written(middle_m + side * 0.42 * wide_m, units) for side in (-1, 1))
    height = written(height_m, units)
    axes.plot([left, right], [height, height], color=INK, linewidth=0.8)
    axes.text(right, height, words, ha="right", va="bottom", fontsize=8)


def _levels(
    axes: "Axes",
    levels: Sequence[dict[str, float]],
    wide_m: float,
    units: UnitSystem,
    apart_m: float,
) -> None:
    """Lines at the body's levels: through all where bodies are alike, else each on its own.

    Names nearer than ``apart_m`` to the one above are left out.
    """
    alike = all(_alike(one, levels[0]) for one in levels)
    for number, one in enumerate(levels):
        told_m = np.inf
        for name, height_m in sorted(one.items(), key=lambda item: -item[1]):
            ends = [(number + side) * wide_m for side in (-0.5, 0.5)]
            if number == 0:
                ends[0] -= NAMES_M
            axes.plot(
                [written(end, units) for end in ends],
                [written(height_m, units)] * 2,
                color=SOFT,
                linewidth=0.5,
                linestyle=(0, (2, 3)),
            )
            if (number == 0 or not alike) and told_m - height_m > apart_m:
                told_m = height_m
                axes.text(
                    written(ends[0] + 0.01, units),
                    written(height_m, units),
                    name.removeprefix("the "),
                    fontsize=7,
                    color=SOFT,
                    va="bottom",
                )


def _alike(one: dict[str, float], other: dict[str, float]) -> bool:
    """Whether two bodies have the same levels, to what a drawing shows."""
    return one.keys() == other.keys() and all(
        abs(one[name] - other[name]) < ALIKE_M for name in one
    )


def _folded(words: str, most: int = 24) -> str:
    """Words in lines of a picture's width."""
    lines = [""]
    for word in words.split():
        if lines[-1] and len(lines[-1]) + len(word) >= most:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return "\n".join(lines)

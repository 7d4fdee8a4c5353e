# SPDX-License-Identifier: GPL-3.0-or-later
"""Where it pulls and where it stands off: fields on the draped wrap, with a legend."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from ..arrays import FloatArray
from ..colour_scale import colours
from ..comparison import Outcome
from ..drape import Drape
from ..fields import STAND_OFF_SHOWN_M, STRETCH_SHOWN, Fields
from ..units import UnitSystem
from .canvas import figure, png, written
from .plate import Plate
from .solids import View, seen_body, seen_wrap, together
from .wraps import drawn

__all__ = ["pull_plate"]

VIEWS: tuple[View, ...] = ("front", "back")


def pull_plate(outcome: Outcome, drape: Drape, fields: Fields, units: UnitSystem) -> Plate:
    """Stretch across, stretch along and stand-off, each from front and back."""
    shown: Sequence[tuple[str, FloatArray, tuple[float, float], str]] = (
        ("stretch across", 100 * fields.stretch_across, _percent(STRETCH_SHOWN), "%"),
        ("stretch along", 100 * fields.stretch_along, _percent(STRETCH_SHOWN), "%"),
        (
            "off the skin",
            written(1.0, units) * fields.stand_off_m,
            _in_units(STAND_OFF_SHOWN_M[units], units),
            units,
        ),
    )
    with figure(8.0, 6.4) as page:
        parts: Any = page.subfigures(1, len(shown))
        for part, (name, values, (low, high), unit) in zip(parts, shown, strict=True):
            part.set_facecolor("#fffdf8")
            part.suptitle(name, fontsize=10)
            painted = colours(values[drape.panel.triangles].mean(axis=1), low, high)
            axes_pair = part.subplots(3, 1, height_ratios=[1, 1, 0.06])
            for axes, view in zip(axes_pair[:2], VIEWS, strict=True):
                seen = together([seen_body(drape, view), seen_wrap(drape, view, painted)])
                seen = seen.between(*_wrap_heights_m(drape))
                drawn(axes, seen, 0.0, units)
                sides = seen.corners[..., 0]
                axes.set_xlim(written(sides.min(), units), written(sides.max(), units))
                axes.set_ylim(*(written(end_m, units) for end_m in _wrap_heights_m(drape)))
                axes.set_aspect("equal")
                axes.set_axis_off()
                axes.set_title(view, fontsize=8)
            _legend(axes_pair[2], low, high, unit)
        data = png(page, 120)
    return Plate(
        part="pulls",
        kind="png",
        data=data,
        alt=f"{outcome.heading} from front and back, coloured by stretch across the cloth, stretch "
        f"along it, and distance of its outside from the skin. {_words(fields)}",
        caption=f"{outcome.heading}: darker is more. {_words(fields)}",
    )


def _percent(ends: tuple[float, float]) -> tuple[float, float]:
    return 100 * ends[0], 100 * ends[1]


def _in_units(ends_m: tuple[float, float], units: UnitSystem) -> tuple[float, float]:
    return written(ends_m[0], units), written(ends_m[1], units)


def _words(fields: Fields) -> str:
    """The largest stretch, in words for those who do not see the picture."""
    across, along = (
        100 * float(np.quantile(part, 0.99))
        for part in (fields.stretch_across, fields.stretch_along)
    )
    return (
        f"One part in a hundred of the cloth is stretched by {across:.0f} % or more across, "
        f"{along:.0f} % or more along."
    )


def _wrap_heights_m(drape: Drape) -> tuple[float, float]:
    """What is worth showing: a little more than the wrap, metres over the floor."""
    return float(drape.outer[:, 2].min()) - 0.06, float(drape.outer[:, 2].max()) + 0.12


def _legend(axes: Any, low: float, high: float, unit: str) -> None:
    """The scale with its numbers."""
    values = np.linspace(low, high, 128)
    axes.imshow(
        colours(values, low, high)[None],
        extent=(low, high, 0.0, 1.0),
        aspect="auto",
        origin="lower",
    )
    axes.set_yticks([])
    ticks = np.linspace(low, high, 4)
    axes.set_xticks(ticks, [f"{tick:g} {unit}" for tick in ticks], fontsize=8)

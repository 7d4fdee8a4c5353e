# SPDX-License-Identifier: GPL-3.0-or-later
"""Stack plies under a board: thickness under two pressures."""

import math

from ..errors import InputError
from ..heavy_strip import STANDARD_GRAVITY_M_S2
from ..units import require_range
from .readings import Measured, averaged
from .record import Swatch

__all__ = ["pressure_pa", "thickness_under"]

_HEIGHT_SD_M = 0.0005
_SCATTER = 0.05
_MOST_APART = 1.6
_LEAST_PLY_M, _MOST_PLY_M = 0.0001, 0.05
_LEAST_RATIO = 3.0
"""Of the two pressures: closer ones say nothing about the way from one to the other."""

_LEAST_LEFT = 0.5
"""Of the heavy weight's thickness, where harder pressure than that is wanted."""


def pressure_pa(swatch: Swatch, load: str) -> float:
    """Pressure under the board with ``stack_light_load`` or ``stack_heavy_load``."""
    length_m, width_m = swatch.sides("stack_board")
    return swatch.one(load) * STANDARD_GRAVITY_M_S2 / (length_m * width_m)


def thickness_under(swatch: Swatch, pressures_pa: tuple[float, float]) -> tuple[Measured, ...]:
    """Thickness of one ply in metres under a light and a hard pressure.

    With both weights read, thickness is led along the logarithm of pressure from those weights to
    these pressures. With one weight alone, its thickness is taken as it is.

    Returns
    -------
    tuple
        Light and hard; the light one alone if only that was read; nothing if neither was.

    Raises
    ------
    InputError
        Only the heavy weight was read, the weights are too much alike, or the heavier left the
        stack higher.
    """
    light, heavy = (_ply(swatch, key) for key in ("stack_light", "stack_heavy"))
    if light is None:
        if heavy is not None:
            raise InputError(
                "cloth.swatch.stack_light",
                "missing",
                "the height under the light weight",
                "read it too: thickness is told from there",
            )
        return ()
    if heavy is None:
        return (light,)
    low, high = (pressure_pa(swatch, f"stack_{name}_load") for name in ("light", "heavy"))
    if high < _LEAST_RATIO * low:
        raise InputError(
            "cloth.swatch.stack_heavy_load",
            f"{high / low:.1f} times the light one",
            f"at least {_LEAST_RATIO:g} times the light one",
            "take a heavier weight",
        )
    if heavy.value > light.value:
        raise InputError(
            "cloth.swatch.stack_heavy",
            f"{1000 * heavy.value:.2f} mm a ply",
            f"at most the {1000 * light.value:.2f} mm under the light weight",
            "check which height belongs to which weight",
        )
    return tuple(
        _led(light, heavy, math.log(pressure / low) / math.log(high / low))
        for pressure in pressures_pa
    )


def _led(light: Measured, heavy: Measured, way: float) -> Measured:
    """A share of the way from the light to the heavy weight's thickness, or beyond."""
    value = (1 - way) * light.value + way * heavy.value
    sd = math.hypot((1 - way) * light.sd, way * heavy.sd)
    return Measured(max(value, _LEAST_LEFT * heavy.value), sd, light.count + heavy.count)


def _ply(swatch: Swatch, key: str) -> Measured | None:
    heights = swatch.many(key)
    if not heights:
        return None
    plies = swatch.one("stack_plies")
    for height_m in heights:
        require_range(
            f"cloth.swatch.{key}",
            height_m,
            _LEAST_PLY_M * plies,
            _MOST_PLY_M * plies,
            "write the height of the whole stack, and its number of plies as stack_plies",
            quantity="length",
        )
    return averaged(
        key,
        [height_m / plies for height_m in heights],
        scatter=_SCATTER,
        reading_sd=_HEIGHT_SD_M / plies,
        most_apart=_MOST_APART,
    )

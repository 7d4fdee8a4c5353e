# SPDX-License-Identifier: GPL-3.0-or-later
"""Weigh a piece: mass per area (ISO 3801, ASTM D3776), and mark one before and after the wash."""

import math

from ..units import require_range
from .readings import Measured, averaged
from .record import Swatch

__all__ = ["mass_per_area", "shrinkage"]

_CUT_SD_M = 0.001
"""How truly a piece is cut to a side."""
_MARK_SD_M = 0.001
_LEAST_KG_M2, _MOST_KG_M2 = 0.03, 2.5


def mass_per_area(swatch: Swatch) -> Measured | None:
    """Mass per area in kg/m²; None where nothing was weighed.

    Raises
    ------
    InputError
        No cloth weighs this, or pieces differ by half.
    """
    masses = swatch.many("piece_mass")
    if not masses:
        return None
    length_m, width_m = swatch.sides("piece")
    # a scale shows whole steps: an even spread of one step
    step_sd = swatch.one("scale_step") / math.sqrt(12)
    mass = averaged("piece_mass", masses, scatter=0.02, reading_sd=step_sd, most_apart=1.5)
    area_m2 = length_m * width_m
    require_range(
        "cloth.swatch.piece_mass",
        mass.value,
        _LEAST_KG_M2 * area_m2,
        _MOST_KG_M2 * area_m2,
        "check the sides of the piece, and the unit of the scale",
        quantity="mass",
    )
    share = math.hypot(mass.share, _CUT_SD_M / length_m, _CUT_SD_M / width_m)
    value = mass.value / area_m2
    return Measured(value, share * value, mass.count)


def shrinkage(swatch: Swatch, direction: str) -> Measured | None:
    """Share of its length that a piece lost in the wash "along" or "across"; None if not washed.

    Raises
    ------
    InputError
        The piece grew by more than a twentieth or lost more than three tenths.
    """
    key = f"washed_{direction}"
    after = swatch.many(key)
    if not after:
        return None
    before_m = swatch.one("wash_marks")
    for length_m in after:
        require_range(
            f"cloth.swatch.{key}",
            length_m,
            0.7 * before_m,
            1.05 * before_m,
            "write the distance of the marks after the wash; before it is wash_marks",
            quantity="length",
        )
    read = averaged(key, after, scatter=0.005, reading_sd=_MARK_SD_M, most_apart=1.2)
    return Measured(1 - read.value / before_m, read.sd / before_m, read.count)

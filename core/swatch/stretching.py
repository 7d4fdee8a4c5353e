# SPDX-License-Identifier: GPL-3.0-or-later
"""Hang a weight on a strip with two marks: stretch along, across, and shear from a 45 degree strip.

The load is per width, that of the weight and of the strip below the middle between the marks. A
strip pulled along the cloth stretches by ε = T/K. Cut at 45 degrees it gives mostly by shear. While
its yarns keep their length, a stretch λ turns them by γ with sin γ = λ² - 1, so with shear stiffness
G the energy per area is G (λ² - 1)²/2 and the load T = 2 G λ (λ² - 1), for small stretch 4 G ε (the
bias test of the FAST set: 123 over percent at 4.9 N/m). What the yarns themselves give, T/4 (1/K
along + 1/K across) (R. M. Jones, Mechanics of Composite Materials, section 2.6, no Poisson
coupling), is taken off first.
"""

import math

from ..errors import InputError
from ..heavy_strip import STANDARD_GRAVITY_M_S2
from ..units import require_range
from .readings import Measured, averaged
from .record import Swatch

__all__ = ["BELOW_MARK_M", "bias_stretch", "load_n_per_m", "shear_stiffness", "stretch_stiffness"]

BELOW_MARK_M = 0.05
"""Strip between the lower mark and the weight, as the printed sheet has it."""

_MARKS_SD_M = 0.0005
"""How truly the distance of two marks is read (our estimate)."""
_CUT_SD_M = 0.001
_SCATTER = 0.08
_MOST_APART = 2.0
_LEAST_GIVE_M = 0.001
_MOST_STRAIN = 1.5


def load_n_per_m(swatch: Swatch, load: str, mass_kg_m2: float) -> float:
    """Load per width half way between the marks, in N/m.

    Parameters
    ----------
    swatch
        The record.
    load
        ``strip_load`` or ``bias_load``.
    mass_kg_m2
        Of the cloth: the strip's lower part hangs too.
    """
    hung = swatch.one(load) / swatch.one("strip_width")
    below_m = swatch.one("marks_apart") / 2 + BELOW_MARK_M
    return STANDARD_GRAVITY_M_S2 * (hung + mass_kg_m2 * below_m)


def stretch_stiffness(swatch: Swatch, direction: str, mass_kg_m2: float) -> Measured | None:
    """Force per width over strain, N/m, of strips cut "along" or "across"; None if none hung.

    Raises
    ------
    InputError
        The marks came closer, moved less than a ruler can tell, or farther than cloth stretches.
    """
    strain = _strain(swatch, f"marks_{direction}")
    if strain is None:
        return None
    load = load_n_per_m(swatch, "strip_load", mass_kg_m2)
    share = math.hypot(strain.share, _CUT_SD_M / swatch.one("strip_width"))
    return Measured(load / strain.value, share * load / strain.value, strain.count)


def shear_stiffness(
    swatch: Swatch, stretch_n_per_m: tuple[float, float], mass_kg_m2: float
) -> Measured | None:
    """Shear force per width over shear angle, N/m per radian, from 45 degree strips.

    Parameters
    ----------
    swatch
        The record.
    stretch_n_per_m
        Stiffness along and across, whose share of the stretch is taken off.
    mass_kg_m2
        Of the cloth.

    Raises
    ------
    InputError
        As for `stretch_stiffness`, or the strip gave no more than its yarns give.
    """
    strain = _strain(swatch, "marks_bias")
    if strain is None:
        return None
    load = load_n_per_m(swatch, "bias_load", mass_kg_m2)
    yarns = load / 4 * math.fsum(1 / stiffness for stiffness in stretch_n_per_m)
    sheared = strain.value - yarns
    if sheared < 0.1 * strain.value:
        raise InputError(
            "cloth.swatch.marks_bias",
            f"a stretch of {100 * strain.value:.1f} %",
            f"more than {100 * yarns / 0.9:.1f} %, since yarns alone give {100 * yarns:.1f} %",
            "cut the strip at 45 degrees, and check bias_load and the strips along and across",
        )
    stretch = 1 + sheared
    stiffness = load / (2 * stretch * (stretch**2 - 1))
    share = math.hypot(strain.sd / sheared, _CUT_SD_M / swatch.one("strip_width"))
    return Measured(stiffness, share * stiffness, strain.count)


def bias_stretch(load: float, stretch_n_per_m: tuple[float, float], shear_n_per_m: float) -> float:
    """Share by which a 45 degree strip grows longer under a load in N/m; see `shear_stiffness`."""
    yarns = load / 4 * math.fsum(1 / stiffness for stiffness in stretch_n_per_m)
    # from above: 2 G λ (λ² - 1) grows and curves upwards, so each of Newton's steps stays above
    stretch = 1 + load / (4 * shear_n_per_m)
    for _ in range(12):
        miss = 2 * shear_n_per_m * stretch * (stretch**2 - 1) - load
        stretch -= miss / (2 * shear_n_per_m * (3 * stretch**2 - 1))
    return yarns + stretch - 1


def _strain(swatch: Swatch, key: str) -> Measured | None:
    marks = swatch.many(key)
    if not marks:
        return None
    apart_m = swatch.one("marks_apart")
    for loaded_m in marks:
        require_range(
            f"cloth.swatch.{key}",
            loaded_m,
            apart_m + _LEAST_GIVE_M,
            (1 + _MOST_STRAIN) * apart_m,
            "write the distance of the marks with the weight on; if they hardly move, hang more "
            "or set the marks farther apart",
            quantity="length",
        )
    return averaged(
        key,
        [loaded_m / apart_m - 1 for loaded_m in marks],
        scatter=_SCATTER,
        reading_sd=_MARKS_SD_M / apart_m,
        most_apart=_MOST_APART,
    )

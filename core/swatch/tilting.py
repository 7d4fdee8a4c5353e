# SPDX-License-Identifier: GPL-3.0-or-later
"""Tilt a board until a cloth-covered block slips: friction is the tangent of the angle."""

import math

from .readings import Measured, averaged
from .record import Swatch

__all__ = ["friction"]

_TILT_SD_RAD = math.radians(1.0)
_SCATTER = 0.08
_MOST_APART = 2.0


def friction(swatch: Swatch, key: str) -> Measured | None:
    """Coulomb's coefficient of ``tilt_with_nap`` and the like; None where not tilted.

    Raises
    ------
    InputError
        The readings contradict one another.
    """
    tangents = [math.tan(angle) for angle in swatch.many(key)]
    if not tangents:
        return None
    mean = math.fsum(tangents) / len(tangents)
    return averaged(
        key,
        tangents,
        scatter=_SCATTER,
        reading_sd=(1 + mean**2) * _TILT_SD_RAD,
        most_apart=_MOST_APART,
    )

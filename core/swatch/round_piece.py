# SPDX-License-Identifier: GPL-3.0-or-later
"""Lay a round piece over a plate: the drape coefficient (BS 5058, ISO 9073-9).

It is the share of the overhanging ring that the shadow from above covers: 0 where the cloth falls
straight down from the plate, 100 where it stays flat. It depends on the sizes of piece and plate and
on the way the shadow is read, so it is told together with these and never compared across them.
"""

import math
from collections.abc import Sequence

from ..errors import InputError
from ..units import require_range
from .readings import Measured, averaged
from .record import Swatch

__all__ = ["drape_coefficient", "outline_area"]

_READING_SD = 2.0
_SCATTER = 0.08
_MOST_APART = 2.0
_LEAST_RADII = 12
_LEAST_PERCENT = 1.0


def drape_coefficient(swatch: Swatch) -> Measured | None:
    """Drape coefficient in percent, from shadow areas, paper rings and traced outlines together.

    Raises
    ------
    InputError
        The shadow is smaller than the plate or larger than the piece, or readings contradict one
        another.
    """
    piece_m, plate_m = swatch.one("round_piece"), swatch.one("round_plate")
    require_range(
        "cloth.swatch.round_plate",
        plate_m,
        0.4 * piece_m,
        0.8 * piece_m,
        "take a plate about 18 cm wide under a piece of 30 cm",
        quantity="length",
    )
    plate_m2, piece_m2 = (math.pi * width_m**2 / 4 for width_m in (plate_m, piece_m))
    ring_m2 = piece_m2 - plate_m2
    percents = [
        _percent(key, area_m2, plate_m2, ring_m2)
        for key, area_m2 in _shadows(swatch, plate_m2, ring_m2)
    ]
    if not percents:
        return None
    return averaged(
        "round_shadow",
        percents,
        scatter=_SCATTER,
        reading_sd=_READING_SD,
        most_apart=_MOST_APART,
    )


def _shadows(swatch: Swatch, plate_m2: float, ring_m2: float) -> list[tuple[str, float]]:
    """Key and shadow area, plate included, of each reading."""
    found = [("round_shadow", area_m2) for area_m2 in swatch.many("round_shadow")]
    for mass_kg in swatch.many("round_shadow_mass"):
        share = mass_kg / swatch.one("round_ring_mass")
        found.append(("round_shadow_mass", plate_m2 + share * ring_m2))
    if radii := swatch.many("round_radii"):
        if len(radii) < _LEAST_RADII:
            raise InputError(
                "cloth.swatch.round_radii",
                f"{len(radii)} radii",
                f"{_LEAST_RADII} or more, at equal turns all the way round",
                "read more of them",
            )
        # the area within r(φ) is half the integral of r²; equal turns give it without corners cut
        mean_square = math.fsum(radius**2 for radius in radii) / len(radii)
        found.append(("round_radii", math.pi * mean_square))
    if points := list(swatch.points("round_outline")):
        start, end = swatch.points("round_ruler")
        units = math.dist(start, end)
        if units == 0:
            raise InputError(
                "cloth.swatch.round_ruler", "one point twice", "two ends", "click both its ends"
            )
        scale = swatch.one("round_ruler_length") / units
        found.append(("round_outline", scale**2 * outline_area(points)))
    return found


def outline_area(points: Sequence[tuple[float, float]]) -> float:
    """Area within an outline of points in order, of either turn (the shoelace formula)."""
    following = [*points[1:], points[0]]
    return (
        abs(math.fsum(x * b - a * y for (x, y), (a, b) in zip(points, following, strict=True))) / 2
    )


def _percent(key: str, shadow_m2: float, plate_m2: float, ring_m2: float) -> float:
    require_range(
        f"cloth.swatch.{key}",
        shadow_m2,
        plate_m2,
        plate_m2 + ring_m2,
        "the shadow holds the plate and stays within the flat piece: check round_piece and "
        "round_plate",
        quantity="area",
    )
    return max(100 * (shadow_m2 - plate_m2) / ring_m2, _LEAST_PERCENT)

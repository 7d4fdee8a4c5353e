# SPDX-License-Identifier: GPL-3.0-or-later
"""A cloth in a maker's own terms: overhangs, stretch under a weight, angles of a board, in words.

No unit of mechanics is told. Each figure of the cloth is turned into what its swatch test reads,
with its spread, where it came from and what it means; so a measured cloth and an estimated one are
told alike, and the estimate shows what a reading can be expected to be.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from .cloth import Cloth, ClothChoice, Source
from .heavy_strip import STANDARD_GRAVITY_M_S2, bending_length_m
from .swatch import (
    DIRECTIONS,
    bias_stretch,
    bias_words,
    drape_coefficient,
    drape_words,
    friction_words,
    hanging_words,
    likeness,
    lofty_words,
    stretch_words,
)
from .units import UnitSystem, format_fine, format_quantity

__all__ = ["Finding", "findings", "hangs_like"]

_STRIP_LOAD = 0.5 * STANDARD_GRAVITY_M_S2 / 0.05
_BIAS_LOAD = 0.025 * STANDARD_GRAVITY_M_S2 / 0.05
"""500 g, and 25 g, on a strip of 5 cm, in N/m."""

_NAPPED = 1.2
"""Friction against the nap over friction with it, from which on a nap is told."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is known or estimated of a cloth.

    Attributes
    ----------
    about
        What it is, for example "Overhang along".
    value, spread
        As a maker reads it, and one standard deviation of that.
    source
        Where it came from; None if it is exact by agreement.
    how
        What stands behind it.
    meaning
        What it means, in words.
    """

    about: str
    value: str
    spread: str
    source: Source | None
    how: str
    meaning: str


def hangs_like(cloth: Cloth) -> str:
    """How the cloth falls and what it hangs like: "soft folds, like a soft plush throw"."""
    rigidity = math.sqrt(cloth.bending_along_n_m * cloth.bending_across_n_m)
    length_m = bending_length_m(cloth.mass_kg_m2, rigidity)
    return f"{hanging_words(length_m)}, like {likeness(length_m, cloth.mass_kg_m2)}"


def findings(choice: ClothChoice, units: UnitSystem) -> tuple[Finding, ...]:
    """Everything worth telling of a cloth, in the order of the swatch sheet."""
    cloth = choice.cloth()
    return (
        _mass(cloth, units),
        *_overhangs(cloth, units),
        *_faces(cloth),
        *_stretches(cloth),
        *_thicknesses(cloth, units),
        *_frictions(cloth),
        *_drape(choice),
        *_shrinkages(cloth),
    )


def _finding(cloth: Cloth, figure: str, about: str, told: tuple[str, str], meaning: str) -> Finding:
    origin = cloth.origin(figure)
    return Finding(
        about=about,
        value=told[0],
        spread=told[1],
        source=None if origin is None else origin.source,
        how="" if origin is None else origin.how,
        meaning=meaning,
    )


def _share(cloth: Cloth, figure: str) -> float:
    """A figure's standard deviation over its value."""
    origin = cloth.origin(figure)
    value: float = getattr(cloth, figure)
    return 0.0 if origin is None or value == 0 else origin.sd / value


def _mass(cloth: Cloth, units: UnitSystem) -> Finding:
    sd = _share(cloth, "mass_kg_m2") * cloth.mass_kg_m2
    value, spread = (
        format_quantity("mass per area", part, units) for part in (cloth.mass_kg_m2, sd)
    )
    return _finding(cloth, "mass_kg_m2", "Weight", (value, spread), hangs_like(cloth))


def _overhangs(cloth: Cloth, units: UnitSystem) -> Iterator[Finding]:
    """Twice the bending length, which is a third as uncertain as rigidity over mass."""
    mass_share = _share(cloth, "mass_kg_m2")
    for direction in DIRECTIONS:
        figure = f"bending_{direction}_n_m"
        length_m = bending_length_m(cloth.mass_kg_m2, getattr(cloth, figure))
        share = math.sqrt(max(_share(cloth, figure) ** 2 - mass_share**2, 0.0)) / 3
        told = tuple(format_fine(2 * part, units) for part in (length_m, share * length_m))
        yield _finding(
            cloth, figure, f"Overhang {direction}", (told[0], told[1]), hanging_words(length_m)
        )


def _faces(cloth: Cloth) -> Iterator[Finding]:
    """How much farther a strip juts out with its pile up; told only where both faces were read."""
    figure = "bending_pile_up_over_down"
    origin = cloth.origin(figure)
    if origin is not None and origin.source == "swatch":
        longer = cloth.bending_pile_up_over_down ** (1 / 3)
        spread = _share(cloth, figure) / 3 * longer
        meaning = "both faces hang alike"
        if abs(longer - 1) > max(spread, 0.03):
            meaning = f"stiffer with the pile {'out' if longer > 1 else 'in'}"
        told = (f"{100 * (longer - 1):+.0f} %", f"{100 * spread:.0f} %")
        yield _finding(cloth, figure, "Overhang pile up, against pile down", told, meaning)


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"


def _stretches(cloth: Cloth) -> Iterator[Finding]:
    for direction in DIRECTIONS:
        figure = f"stretch_{direction}_n_per_m"
        share = _STRIP_LOAD / getattr(cloth, figure)
        told = (_percent(share), _percent(_share(cloth, figure) * share))
        about = f"Stretch {direction}, 500 g on 5 cm"
        yield _finding(cloth, figure, about, told, stretch_words(share))
    stretch = (cloth.stretch_along_n_per_m, cloth.stretch_across_n_per_m)
    share = bias_stretch(_BIAS_LOAD, stretch, cloth.shear_n_per_m)
    told = (_percent(share), _percent(_share(cloth, "shear_n_per_m") * share))
    about = "Stretch at 45 degrees, 25 g on 5 cm"
    yield _finding(cloth, "shear_n_per_m", about, told, bias_words(share))


def _thicknesses(cloth: Cloth, units: UnitSystem) -> Iterator[Finding]:
    left = cloth.compressed_thickness_m / cloth.thickness_m
    for figure, about, meaning in (
        ("thickness_m", "Thickness, lightly pressed", ""),
        ("compressed_thickness_m", "Thickness, pressed hard", lofty_words(left)),
    ):
        value_m: float = getattr(cloth, figure)
        told = (format_fine(value_m, units), format_fine(_share(cloth, figure) * value_m, units))
        yield _finding(cloth, figure, about, told, meaning)


def _frictions(cloth: Cloth) -> Iterator[Finding]:
    napped = cloth.friction_against_nap > _NAPPED * cloth.friction_with_nap
    for figure, about in (
        ("friction_with_nap", "Slips with the nap at"),
        ("friction_against_nap", "Slips against the nap at"),
        ("friction_backs", "Slips back on back at"),
        ("friction_body", "Slips on cotton at"),
    ):
        coefficient: float = getattr(cloth, figure)
        angle = math.degrees(math.atan(coefficient))
        sd = math.degrees(_share(cloth, figure) * coefficient / (1 + coefficient**2))
        meaning = friction_words(coefficient)
        if figure == "friction_against_nap" and napped:
            meaning += ": the nap holds this way"
        yield _finding(cloth, figure, about, (f"{angle:.0f} degrees", f"{sd:.0f} degrees"), meaning)


def _drape(choice: ClothChoice) -> Iterator[Finding]:
    """The round piece: no figure of the cloth, but a look at all of them together."""
    swatch = choice.swatch
    found = drape_coefficient(swatch)
    if found is not None:
        piece, plate = (100 * swatch.one(f"round_{part}") for part in ("piece", "plate"))
        yield Finding(
            about=f"Drape coefficient, {piece:g} cm on {plate:g} cm",
            value=f"{found.value:.0f} %",
            spread=f"{found.sd:.0f} %",
            source="swatch",
            how=f"{found.count} shadow{'' if found.count == 1 else 's'}",
            meaning=drape_words(found.value),
        )


def _shrinkages(cloth: Cloth) -> Iterator[Finding]:
    for direction in DIRECTIONS:
        figure = f"shrinkage_{direction}"
        value: float = getattr(cloth, figure)
        origin = cloth.origin(figure)
        told = (_percent(value), _percent(0.0 if origin is None else origin.sd))
        meaning = "wash before cutting, or cut longer by this" if value >= 0.02 else ""
        yield _finding(cloth, figure, f"Shrinks {direction} in the wash", told, meaning)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Cloth: the figures of one material.

"Along" is the cloth's length (the wale of a knit, v on the pattern), "across" its width (the
course, x on the pattern).
"""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from ..errors import InputError
from ..heavy_strip import elastic_rigidity_n_m
from ..units import require_range
from .figures import FIGURES, Origin, require_figure
from .printed import Print

__all__ = ["HARD_PRESSURE_PA", "LIGHT_PRESSURE_PA", "Cloth"]

LIGHT_PRESSURE_PA, HARD_PRESSURE_PA = 196.133, 9806.65
"""Pressures of 2 and 100 gf/cm²: 200 g, and 10 kg, on a board of 10 by 10 cm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """One material, in SI units.

    Parameters
    ----------
    name
        What the maker calls it, for example "light plush".
    mass_kg_m2
        Mass per area.
    thickness_m, compressed_thickness_m
        Ground and pile together under 0.2 kPa, the pressure of a hand's weight, and under 9.8 kPa;
        `thickness_at` gives what lies between.
    ground_thickness_m
        Of the knit or woven ground alone, its pile sheared off as in a seam allowance.
    pile_height_m
        Height of the free pile over the ground; 0 for cloth without pile.
    nap_lean_rad
        How far the free pile leans from upright, the way the nap strokes smooth: along the cloth,
        as the cut lays it (`nap.NapDown`). 0 for cloth without nap.
    bending_along_n_m, bending_across_n_m
        Bending rigidity per width (N·m²/m = N·m) when the length, or the width, is bent, as the
        ruler test reads it: the mean of both faces, with inner friction in it.
    bending_pile_up_over_down
        Rigidity with the pile on the outside of the bend over that with the pile inside. It tells
        how far the mean of the faces can be trusted; nothing drapes by it.
    bending_friction_along_n, bending_friction_across_n
        Friction moment per width (N·m/m = N) that opposes every change of bend: half of the
        hysteresis 2HB of a pure bending test. Whoever adds it takes `elastic_bending_along_n_m`
        and `elastic_bending_across_n_m` beside it, or friction counts twice.
    stretch_along_n_per_m, stretch_across_n_per_m
        Force per width over strain, as a secant up to about 98 N/m.
    shear_n_per_m
        Shear force per width over shear angle in radians.
    friction_with_nap, friction_against_nap
        Coulomb coefficients of the cloth's pile on itself, moved the way the nap strokes smooth,
        and the other way.
    friction_backs
        Of its wrong side on itself, as inside a garment of two layers.
    friction_body
        Of its pile on a body's clothes or skin.
    bolt_width_m
        Usable width as it is sold.
    shrinkage_along, shrinkage_across
        Share of its length and width that it loses in the first washes.
    price_per_m
        Price of a metre off the bolt, in the maker's own money; None if it is not known.
    colour
        sRGB components from 0 to 1; with a print, of what lies behind its figures.
    origins
        Where figures came from and their standard deviations, at most one for each. A figure
        without one is exact by agreement, as in a test piece.
    print
        What is printed on it; None for plain cloth.

    Raises
    ------
    InputError
        A figure is outside the believable range, thicknesses contradict one another, or a figure
        has two origins.
    """

    name: str
    mass_kg_m2: float
    thickness_m: float
    compressed_thickness_m: float
    ground_thickness_m: float
    pile_height_m: float
    nap_lean_rad: float
    bending_along_n_m: float
    bending_across_n_m: float
    bending_pile_up_over_down: float
    bending_friction_along_n: float
    bending_friction_across_n: float
    stretch_along_n_per_m: float
    stretch_across_n_per_m: float
    shear_n_per_m: float
    friction_with_nap: float
    friction_against_nap: float
    friction_backs: float
    friction_body: float
    bolt_width_m: float
    shrinkage_along: float
    shrinkage_across: float
    price_per_m: float | None = None
    colour: tuple[float, float, float]
    origins: tuple[Origin, ...] = ()
    print: Print | None = None

    def __post_init__(self) -> None:
        for figure in FIGURES:
            require_figure(figure, getattr(self, figure))
        for thinner, thicker in (
            ("ground_thickness_m", "compressed_thickness_m"),
            ("compressed_thickness_m", "thickness_m"),
        ):
            require_range(
                f"cloth.{FIGURES[thinner].key}",
                getattr(self, thinner),
                0.0,
                getattr(self, thicker),
                f"it cannot be thicker than the {FIGURES[thicker].words.lower()}: measure again",
                quantity="length",
            )
        if self.price_per_m is not None:
            require_range(
                "cloth.price",
                self.price_per_m,
                0.0,
                100_000.0,
                "write what a length costs",
                quantity="price per length",
            )
        if len(self.colour) != 3 or not all(0 <= part <= 1 for part in self.colour):
            raise InputError(
                "cloth.colour", self.colour, "three numbers from 0 to 1", "write an sRGB colour"
            )
        named = [origin.figure for origin in self.origins]
        if len(set(named)) < len(named):
            raise InputError("cloth.origins", named, "each figure once", "leave the second one out")

    def origin(self, figure: str) -> Origin | None:
        """Where a figure came from; None if it is exact by agreement."""
        return next((origin for origin in self.origins if origin.figure == figure), None)

    @property
    def estimated(self) -> frozenset[str]:
        """Names of the figures that are estimates, neither measured nor stated."""
        return frozenset(one.figure for one in self.origins if one.source == "estimate")

    def range_of(self, figure: str, deviations: float = 2.0) -> tuple[float, float]:
        """Where a figure may lie: so many standard deviations to both sides.

        A figure that is a size varies by a factor, so it is spread in its logarithm and cannot
        become negative; the ends are kept within what is believable.
        """
        value: float = getattr(self, figure)
        origin = self.origin(figure)
        spread = 0.0 if origin is None else deviations * origin.sd
        if value > 0:
            factor = math.exp(spread / value)
            low, high = value / factor, value * factor
        else:
            low, high = value - spread, value + spread
        known = FIGURES[figure]
        return max(low, known.low), min(high, known.high)

    def thickness_at(self, pressure_pa: float) -> float:
        """Thickness in metres under a pressure.

        A simple law of our own through the two measured thicknesses: between their pressures it
        falls by the logarithm of pressure, ever more slowly as loose fibres pack (C. M. van Wyk,
        J. Text. Inst. 37, 1946, T285, has pressure grow with the cube of density); beyond them it
        stays what it is there.
        """
        decades = math.log(HARD_PRESSURE_PA / LIGHT_PRESSURE_PA)
        pressed = math.log(max(pressure_pa, LIGHT_PRESSURE_PA) / LIGHT_PRESSURE_PA) / decades
        give_m = self.thickness_m - self.compressed_thickness_m
        return self.thickness_m - give_m * min(pressed, 1.0)

    @property
    def elastic_bending_along_n_m(self) -> float:
        """What of the bending rigidity along is elastic; the rest is inner friction."""
        return elastic_rigidity_n_m(
            self.mass_kg_m2, self.bending_along_n_m, self.bending_friction_along_n
        )

    @property
    def elastic_bending_across_n_m(self) -> float:
        """What of the bending rigidity across is elastic; the rest is inner friction."""
        return elastic_rigidity_n_m(
            self.mass_kg_m2, self.bending_across_n_m, self.bending_friction_across_n
        )

    def words(self) -> dict[str, Any]:
        """The cloth as words and numbers for a JSON file, with the names of its estimates.

        What is printed on it is left out: it stands in the job, and no figure follows from it.
        """
        words = asdict(replace(self, print=None))
        del words["print"]
        return words | {"estimated": sorted(self.estimated)}

    @classmethod
    def of_words(cls, words: Mapping[str, Any]) -> "Cloth":
        """The cloth of such words."""
        figures = {name: value for name, value in words.items() if name != "estimated"}
        figures["colour"] = tuple(words["colour"])
        figures["origins"] = tuple(Origin(**origin) for origin in words["origins"])
        return cls(**figures)

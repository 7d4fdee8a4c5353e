# SPDX-License-Identifier: GPL-3.0-or-later
"""Which swatch test to make next: the one after which hem and sleeve are known best.

How far the hem of the reference wrap and the room of its sleeves go with each figure of the cloth
was found by draping it with that figure changed (``python -m tests.bench.sensitivity``). A test's
worth is what it takes off the variance of hem and sleeve together, from the figure's deviation as it
is to what such a test usually leaves.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from .cloth import Cloth
from .units import UnitSystem, format_fine

__all__ = ["SLOPES_M", "TESTS", "Advice", "what_next"]

SLOPES_M: Mapping[str, Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "light": {
            "mass_kg_m2": (-0.005, -0.005),
            "thickness_m": (0.005, -0.025),
            "bending_along_n_m": (0.001, 0.001),
            "bending_across_n_m": (0.001, 0.0),
            "stretch_along_n_per_m": (0.0, 0.006),
            "stretch_across_n_per_m": (0.004, -0.001),
            "shear_n_per_m": (0.005, -0.002),
            "friction_body": (-0.004, -0.001),
            "friction_with_nap": (0.001, 0.001),
        },
        "heavy": {
            "mass_kg_m2": (-0.018, -0.001),
            "thickness_m": (0.021, -0.091),
            "bending_along_n_m": (-0.002, -0.001),
            "bending_across_n_m": (0.005, 0.0),
            "stretch_along_n_per_m": (0.0, 0.013),
            "stretch_across_n_per_m": (0.006, -0.004),
            "shear_n_per_m": (0.0, -0.001),
            "friction_body": (-0.003, -0.001),
            "friction_with_nap": (0.0, 0.0),
        },
    }
)
"""Rise of the hem, and of the room round the upper arm, in metres for a figure 2.7 times as large:
drapes of the reference wrap in light plush, and in long pile lined with curly pile. Two drapes of
the same cloth differ by 1 to 2 mm in both, so slopes of a few millimetres are hardly more than none.
Bending is of that kind: it makes the folds, and neither hem nor sleeve."""

# What each test leaves of a figure's deviation over its value, with the readings of the sheet
TESTS: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "weigh a piece": {"mass_kg_m2": 0.02},
        "let strips jut out (overhang)": {"bending_along_n_m": 0.10, "bending_across_n_m": 0.10},
        "hang a weight on strips along and across": {
            "stretch_along_n_per_m": 0.15,
            "stretch_across_n_per_m": 0.07,
        },
        "hang a weight on a strip at 45 degrees": {"shear_n_per_m": 0.10},
        "stack plies under a board": {"thickness_m": 0.04, "compressed_thickness_m": 0.04},
        "tilt a board": {
            "friction_with_nap": 0.06,
            "friction_against_nap": 0.06,
            "friction_body": 0.06,
        },
    }
)

_HEAVY_KG_M2 = 0.45
"""From here on the slopes of heavy pile hold."""

_MATTERS_M = 0.005
"""Deviation of hem or sleeve below which no test is worth its while: the step they are told in."""


@dataclass(frozen=True, slots=True)
class Advice:
    """The next test, and what it does for hem and sleeve.

    Attributes
    ----------
    test
        One of `TESTS`; None where hem and sleeve are sure enough already.
    hem_m, sleeve_m
        Standard deviation of the hem's height and of the room in the sleeve, from what is not known
        of the cloth, in metres.
    hem_then_m, sleeve_then_m
        The same after the test.
    weighed
        Whether the mass is known.
    """

    test: str | None
    hem_m: float
    sleeve_m: float
    hem_then_m: float
    sleeve_then_m: float
    weighed: bool

    def words(self, units: UnitSystem) -> str:
        """The advice in one or two sentences."""
        hem, sleeve, hem_then, sleeve_then = (
            format_fine(value_m, units)
            for value_m in (self.hem_m, self.sleeve_m, self.hem_then_m, self.sleeve_then_m)
        )
        known = (
            f"what is not known of this cloth moves the hem by {hem}, the sleeve room by {sleeve}"
        )
        weigh = "" if self.weighed else " Weigh a piece all the same, for the garment's weight."
        if self.test is None:
            return f"No test is needed for hem and sleeve: {known}.{weigh}"
        return (
            f"Next: {self.test}. As it is, {known}; after that test, {hem_then} and {sleeve_then}."
        )


def what_next(cloth: Cloth) -> Advice:
    """The test after which hem and sleeve of a wrap of this cloth are known best."""
    slopes = SLOPES_M["heavy" if cloth.mass_kg_m2 >= _HEAVY_KG_M2 else "light"]
    shares = {figure: _share(cloth, figure) for figure in slopes}
    now = _deviations(slopes, shares)
    after = {
        test: _deviations(
            slopes, shares | {f: min(shares[f], left[f]) for f in left if f in slopes}
        )
        for test, left in TESTS.items()
    }
    best = min(after, key=lambda test: math.hypot(*after[test]))
    mass = cloth.origin("mass_kg_m2")
    needed = max(now) > _MATTERS_M and math.hypot(*after[best]) < math.hypot(*now)
    return Advice(
        test=best if needed else None,
        hem_m=now[0],
        sleeve_m=now[1],
        hem_then_m=after[best][0],
        sleeve_then_m=after[best][1],
        weighed=mass is None or mass.source != "estimate",
    )


def _share(cloth: Cloth, figure: str) -> float:
    origin = cloth.origin(figure)
    return 0.0 if origin is None else origin.sd / getattr(cloth, figure)


def _deviations(
    slopes: Mapping[str, tuple[float, float]], shares: Mapping[str, float]
) -> tuple[float, float]:
    """Of hem and sleeve, each figure's share taken as its own."""
    hem_m, sleeve_m = (
        math.sqrt(math.fsum((slopes[figure][end] * shares[figure]) ** 2 for figure in slopes))
        for end in (0, 1)
    )
    return hem_m, sleeve_m

# SPDX-License-Identifier: GPL-3.0-or-later
"""Which swatch test to make next: the one after which hem and sleeve are known best.

A test's worth is what it takes off the estimated doubt about both (`cloth_doubt`): from each
figure's deviation as it is to what such a test usually leaves.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from .cloth import Cloth
from .cloth_doubt import DEVIATIONS, Doubt, Layer, Way, doubts, together
from .telling import Telling
from .units import UnitSystem

__all__ = ["TESTS", "Advice", "best_test", "what_next"]

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

WORTH_IT = 0.8
"""A test that leaves more than this share of a doubt is not worth its while."""

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
            _told(value_m, Telling(units))
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


def _told(value_m: float, tell: Telling) -> str:
    """A deviation to the millimetre or eighth of an inch: it is an estimate itself."""
    told = tell.small(value_m)
    return "next to nothing" if told == tell.small(0.0) else told


def what_next(cloth: Cloth) -> Advice:
    """The test after which hem and sleeve of a wrap of this cloth alone are known best."""
    found = doubts(cloth, cloth)
    now = _deviation(found, "hem"), _deviation(found, "sleeve")
    after = {
        test: (_deviation(found, "hem", test), _deviation(found, "sleeve", test)) for test in TESTS
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


def best_test(found: tuple[Doubt, ...], way: Way) -> tuple[str, Layer] | None:
    """The swatch test, and whose, after which hem or sleeve is known best.

    None where no test is worth its while.
    """
    layers = dict.fromkeys(doubt.layer for doubt in found)
    left_m = {
        (test, layer): _deviation(found, way, test, layer) for test in TESTS for layer in layers
    }
    best = min(left_m, key=lambda key: left_m[key], default=None)
    worth = best is not None and left_m[best] < WORTH_IT * _deviation(found, way)
    return best if worth else None


def _deviation(
    found: tuple[Doubt, ...], way: Way, test: str | None = None, layer: Layer = "both"
) -> float:
    """Standard deviation of hem or sleeve in metres, after a test of a layer's cloth if one is made."""
    left = {} if test is None else TESTS[test]
    return together(
        tuple(
            one.moves_m(way) / DEVIATIONS * (_left(one, left) if one.layer == layer else 1.0)
            for one in found
        )
    )


def _left(doubt: Doubt, left: Mapping[str, float]) -> float:
    """Share of a doubt that a test leaves."""
    if doubt.figure not in left:
        return 1.0
    return min(1.0, DEVIATIONS * left[doubt.figure] / doubt.share)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Which change of one number would mend what does not hold on a drape.

A change is worked out by flat measures, and its effect is then found by a drape. Of several the ones
that take least cloth come first.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from .errors import InputError
from .fit import Fit
from .fit_checks import FitCheck, number_m
from .lay import Order, lay_orders
from .pattern import Cut
from .units import UnitSystem

__all__ = ["MOST_CHANGES", "Advice", "Change", "cheapest"]

MOST_CHANGES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One changed number and its cost.

    Attributes
    ----------
    check
        What it mends.
    cut
        The changed cut.
    cloth_m, area_m2
        More cloth to buy, all bolts together, metres; more cloth in one layer, square metres.
    """

    check: FitCheck
    cut: Cut
    cloth_m: float
    area_m2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """A change that was tried on a drape.

    Attributes
    ----------
    change
        What was changed.
    fit
        What was measured with it.
    mended
        Whether the check holds now.
    broken
        Names of checks that held before and do not hold with it.
    sound
        Whether that drape passed its own checks.
    """

    change: Change
    fit: Fit
    mended: bool
    broken: tuple[str, ...]
    sound: bool

    def to_dict(self) -> dict[str, object]:
        """Plain numbers and words for ``fit.json``."""
        key = self.change.check.key
        return {
            "mends": self.change.check.name,
            "changes": f"cut.{key}",
            "to_m": number_m(self.change.cut, key),
            "more_cloth_m": self.change.cloth_m,
            "mended": self.mended,
            "broken": list(self.broken),
            "drape_sound": self.sound,
            "fit": self.fit.to_dict(),
        }


def cheapest(checks: Sequence[FitCheck], order: Order, units: UnitSystem) -> tuple[Change, ...]:
    """Up to three changes that mend what does not hold, the one that takes least cloth first.

    Two checks that one change mends count once.
    """
    now_m, now_m2 = _cloth(order, units)
    found: dict[Cut, Change] = {}
    for check in checks:
        if check.cut is None or check.cut in found:
            continue
        try:
            then_m, then_m2 = _cloth(replace(order, cut=check.cut), units)
        except InputError:
            continue
        found[check.cut] = Change(
            check=check, cut=check.cut, cloth_m=then_m - now_m, area_m2=then_m2 - now_m2
        )
    ranked = sorted(found.values(), key=lambda change: (change.cloth_m, change.area_m2))
    return tuple(ranked[:MOST_CHANGES])


def _cloth(order: Order, units: UnitSystem) -> tuple[float, float]:
    """Cloth to buy, all bolts together, metres; cloth in the pieces, square metres."""
    bolts = lay_orders([order], units).bolts
    return (
        math.fsum(bolt.bought_m for bolt in bolts),
        math.fsum(bolt.cut_area_m2 for bolt in bolts),
    )

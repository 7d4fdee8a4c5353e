# SPDX-License-Identifier: GPL-3.0-or-later
"""Places and sizes in whole steps of the reader's units, so that what is told lies as it is laid.

A layer is cut from the rectangle that is told. A start that is told is rounded down, the room of a
small piece up: so nothing reaches, as it is told, into the next piece or over an edge.
"""

import math
from dataclasses import dataclass

from ..telling import CHOSEN_STEP_M
from ..units import UnitSystem

__all__ = ["Grid"]

FORGIVEN = 1e-6
"""Share of a step by which a number may miss a whole one through its own rounding."""
LEAST_GAP_M = 0.003


@dataclass(frozen=True, slots=True)
class Grid:
    """Steps of so much, metres; ``gap_m`` stays free between small pieces and beside them."""

    step_m: float
    gap_m: float

    @classmethod
    def of(cls, units: UnitSystem) -> "Grid":
        """The steps in which lengths are told, and the least gap of whole steps."""
        step_m = CHOSEN_STEP_M[units]
        return cls(step_m, step_m * math.ceil(LEAST_GAP_M / step_m - FORGIVEN))

    def near(self, value_m: float) -> float:
        """The told length that comes nearest."""
        return self.step_m * round(value_m / self.step_m)

    def up(self, value_m: float) -> float:
        """The least told length that is not less."""
        return self.step_m * math.ceil(value_m / self.step_m - FORGIVEN)

    def down(self, value_m: float) -> float:
        """The greatest told length that is not more."""
        return self.step_m * math.floor(value_m / self.step_m + FORGIVEN)

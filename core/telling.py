# SPDX-License-Identifier: GPL-3.0-or-later
"""Values in the reader's units."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from .phrases import phrase
from .tape import measure_quantity
from .units import Quantity, UnitSystem, format_fine, format_quantity

__all__ = ["Telling"]

_PA_PER_G_CM2 = 98.0665
_PA_PER_OZ_IN2 = 430.922
"""Weight of an ounce, at standard gravity, on a square inch."""

_MILLIMETRES = re.compile(r"(\d+\.\d) mm")

# Steps to which a measured length is told: finer would promise more than mesh, cloth and body give
STEP_M: Mapping[UnitSystem, float] = {"cm": 0.005, "in": 0.00635}
# Steps to which a chosen length is told
CHOSEN_STEP_M: Mapping[UnitSystem, float] = {"cm": 0.001, "in": 0.003175}
# Steps whose halves are told exactly
HALVED_STEP_M: Mapping[UnitSystem, float] = {"cm": 0.01, "in": 0.00635}


@dataclass(frozen=True, slots=True)
class Telling:
    """Writes SI values in the reader's units; ``space`` stands between figures and unit."""

    units: UnitSystem
    space: str = " "

    def chosen(self, value_m: float) -> str:
        """A length that a person chose, as exactly as the units are written."""
        return self.quantity("length", value_m)

    def rest(self, whole_m: float, *parts_m: float) -> str:
        """What chosen parts leave of a chosen whole, so that all as they are told make the whole."""
        step_m = CHOSEN_STEP_M[self.units]
        steps = round(whole_m / step_m) - sum(round(part_m / step_m) for part_m in parts_m)
        return self.chosen(steps * step_m)

    def length(self, value_m: float) -> str:
        """A measured length, to the nearest 5 mm or quarter of an inch."""
        step_m = STEP_M[self.units]
        return self.chosen(round(value_m / step_m) * step_m)

    def halvable_m(self, value_m: float) -> float:
        """A length of at least this, metres, whose half is told exactly: whole cm, quarter inches."""
        step_m = HALVED_STEP_M[self.units]
        return step_m * math.ceil(value_m / step_m - 1e-9)

    def halvable_down_m(self, value_m: float) -> float:
        """A length of at most this, metres, whose half is told exactly."""
        step_m = HALVED_STEP_M[self.units]
        return step_m * math.floor(value_m / step_m + 1e-9)

    def between(self, low_m: float, high_m: float) -> str:
        """The ends of a measured length's range, the unit once."""
        low, high = self.length(low_m), self.length(high_m)
        if low == high:
            return phrase("hardly more or less")
        number, _, unit = low.rpartition(self.space)
        low = number if high.endswith(unit) else low
        return phrase("{low} to {high}", low=low, high=high)

    def small(self, value_m: float) -> str:
        """A short distance, to the millimetre or eighth of an inch."""
        return self.chosen(value_m)

    def thickness(self, value_m: float) -> str:
        """A thickness or pile height, to a tenth of a millimetre or a hundredth of an inch."""
        return format_fine(value_m, self.units).replace(".0 ", " ").replace(" ", self.space)

    def mass(self, value_kg: float) -> str:
        """A mass."""
        return self.quantity("mass", value_kg)

    def about_area(self, value_m2: float) -> str:
        """A measured area, to two figures."""
        inches = self.units == "in"
        size = value_m2 / (0.0254**2 if inches else 1e-4)
        return f"{float(f'{size:.2g}'):g}{self.space}{'in²' if inches else 'cm²'}"

    def volume(self, value_m3: float) -> str:
        """A measured volume, to two figures."""
        inches = self.units == "in"
        size = value_m3 / (0.0254**3 if inches else 1e-3)
        return f"{float(f'{size:.2g}'):g}{self.space}{'in³' if inches else 'litres'}"

    def pressure(self, value_pa: float) -> str:
        """A light pressure, as the weight that lies on each square centimetre or inch."""
        if self.units == "in":
            return f"{value_pa / _PA_PER_OZ_IN2:.1f}{self.space}oz on each in²"
        return f"{value_pa / _PA_PER_G_CM2:.1f}{self.space}g on each cm²"

    def quantity(self, quantity: Quantity, value_si: float) -> str:
        """Any quantity, as exactly as the units are written."""
        told = format_quantity(quantity, value_si, self.units).replace(".0 ", " ")
        return told.replace(" ", self.space)

    def measure(self, name: str, value: float) -> str:
        """A measure of the body by its name in the tape; the body's mass as scales tell it."""
        quantity = measure_quantity(name)
        told = self.quantity(quantity, value)
        if quantity == "mass":
            number, unit = told.split(self.space)
            return f"{float(number):.0f}{self.space}{unit}"
        return told

    def sentence(self, words: str) -> str:
        """A sentence in which short distances stand in millimetres, in the reader's units."""
        return _MILLIMETRES.sub(lambda found: self.thickness(float(found[1]) / 1000), words)

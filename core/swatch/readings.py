# SPDX-License-Identifier: GPL-3.0-or-later
"""What a maker reads off ruler, scale and tilted board, and how sure several readings are."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from ..errors import InputError
from ..units import Quantity

__all__ = ["READINGS", "Measured", "Reading", "averaged"]

Form = Literal["one", "many", "sides", "count", "tilts", "points"]

_PRIOR_READINGS = 2
"""Weight, in readings, of how a test usually scatters beside how these readings do."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One key of a swatch record.

    Attributes
    ----------
    form
        ``one`` quantity; ``many`` readings of it; two ``sides``; a whole number (``count``); many
        ``tilts``, each an angle or a rise on a board's length; ``points`` (x, y) of a picture.
    quantity
        What is read.
    low, high
        Least and greatest possible reading, SI.
    usual
        What is taken where the record does not say, as the printed sheet asks for it; None where
        it must be said.
    """

    form: Form
    quantity: Quantity
    low: float
    high: float
    usual: float | tuple[float, float] | None = None


_OVERHANG = Reading("many", "length", 0.004, 0.12)
_LOOP = Reading("many", "length", 0.01, 0.4)
_MARKS = Reading("many", "length", 0.02, 1.5)
_HEIGHT = Reading("many", "length", 0.0001, 0.5)
_TILT = Reading("tilts", "angle", math.radians(2), math.radians(72))
_WASHED = Reading("many", "length", 0.05, 3.0)

READINGS: Mapping[str, Reading] = MappingProxyType(
    {
        # weigh a piece
        "piece": Reading("sides", "length", 0.05, 2.0),
        "piece_mass": Reading("many", "mass", 0.0002, 5.0),
        "scale_step": Reading("one", "mass", 1e-6, 0.1, usual=0.001),
        # let a strip jut out until it hangs to the 41.5 degree line
        "overhang_along": _OVERHANG,
        "overhang_along_pile_up": _OVERHANG,
        "overhang_along_pile_down": _OVERHANG,
        "overhang_across": _OVERHANG,
        "overhang_across_pile_up": _OVERHANG,
        "overhang_across_pile_down": _OVERHANG,
        # hang a strip up by both its ends, back to back
        "loop_strip": Reading("one", "length", 0.06, 0.8, usual=0.2),
        "loop_height_along": _LOOP,
        "loop_height_across": _LOOP,
        # hang a weight on a strip with two marks
        "strip_width": Reading("one", "length", 0.01, 0.3, usual=0.05),
        "marks_apart": Reading("one", "length", 0.02, 0.6, usual=0.1),
        "strip_load": Reading("one", "mass", 0.005, 5.0, usual=0.5),
        "marks_along": _MARKS,
        "marks_across": _MARKS,
        "bias_load": Reading("one", "mass", 0.002, 1.0, usual=0.025),
        "marks_bias": _MARKS,
        # stack plies under a board
        "stack_plies": Reading("count", "number", 1, 40, usual=4),
        "stack_board": Reading("sides", "length", 0.03, 0.5, usual=(0.1, 0.1)),
        "stack_light_load": Reading("one", "mass", 0.01, 2.0, usual=0.2),
        "stack_light": _HEIGHT,
        "stack_heavy_load": Reading("one", "mass", 0.5, 60.0, usual=10.0),
        "stack_heavy": _HEIGHT,
        # tilt a board until a covered block slips
        "tilt_with_nap": _TILT,
        "tilt_against_nap": _TILT,
        "tilt_backs": _TILT,
        "tilt_cotton": _TILT,
        # lay a round piece over a plate
        "round_piece": Reading("one", "length", 0.15, 0.5, usual=0.3),
        "round_plate": Reading("one", "length", 0.08, 0.3, usual=0.18),
        "round_shadow": Reading("many", "area", 0.005, 0.2),
        "round_ring_mass": Reading("one", "mass", 0.0002, 0.1),
        "round_shadow_mass": Reading("many", "mass", 0.0001, 0.1),
        "round_radii": Reading("many", "length", 0.03, 0.26),
        "round_outline": Reading("points", "number", -1e6, 1e6),
        "round_ruler": Reading("points", "number", -1e6, 1e6),
        "round_ruler_length": Reading("one", "length", 0.02, 1.0, usual=0.1),
        # wash a piece with two marks
        "wash_marks": Reading("one", "length", 0.05, 3.0, usual=0.5),
        "washed_along": _WASHED,
        "washed_across": _WASHED,
    }
)
"""Every key of a swatch record. Overhangs, loops and marks "along" are of strips cut along."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A value with its standard deviation, from so many readings; in SI."""

    value: float
    sd: float
    count: int

    @property
    def share(self) -> float:
        """The standard deviation over the value."""
        return self.sd / self.value


def averaged(
    key: str, values: Sequence[float], *, scatter: float, reading_sd: float, most_apart: float
) -> Measured:
    """The mean of several readings and its standard deviation.

    The scatter of one reading is that of these readings together with how such tests usually
    scatter, which counts as `_PRIOR_READINGS` more: so one reading alone is not taken for certain,
    nor are two that happen to agree. What the ruler itself cannot tell does not shrink with the
    number of readings.

    Parameters
    ----------
    key
        The reading's key, for errors.
    values
        One or more, positive.
    scatter
        Usual standard deviation of one reading over its value (our estimates).
    reading_sd
        Standard deviation of the reading itself, in the unit of the values.
    most_apart
        Greatest over smallest value that readings of one test may have.

    Raises
    ------
    InputError
        The readings contradict one another.
    """
    if max(values) > most_apart * min(values):
        raise InputError(
            f"cloth.swatch.{key}",
            f"from {min(values):.3g} to {max(values):.3g} once worked out",
            f"readings of one test that differ at most {most_apart:g} times",
            "look for a slip of the pen or a mixed-up strip, and measure again",
        )
    count = len(values)
    mean = math.fsum(values) / count
    squares = math.fsum((value - mean) ** 2 for value in values)
    usual = (scatter * mean) ** 2
    variance = (_PRIOR_READINGS * usual + squares) / (_PRIOR_READINGS + count - 1)
    return Measured(mean, math.sqrt(variance / count + reading_sd**2), count)

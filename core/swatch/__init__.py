# SPDX-License-Identifier: GPL-3.0-or-later
"""Swatch tests: from what a maker reads off ruler, scale and board to a cloth's figures.

The tests are those of the trade's standards, made with what a household has. Each function takes
a record and gives a value, its standard deviation and the number of readings.
"""

from .bending import DIRECTIONS, BendingLength, bending_length
from .likeness import (
    LIKENESSES,
    bias_words,
    drape_words,
    friction_words,
    hanging_words,
    likeness,
    lofty_words,
    stretch_words,
)
from .readings import READINGS, Measured, Reading
from .record import Content, Swatch
from .round_piece import drape_coefficient, outline_area
from .stacking import pressure_pa, thickness_under
from .stretching import (
    BELOW_MARK_M,
    bias_stretch,
    load_n_per_m,
    shear_stiffness,
    stretch_stiffness,
)
from .tilting import friction
from .weighing import mass_per_area, shrinkage

__all__ = [
    "BELOW_MARK_M",
    "DIRECTIONS",
    "LIKENESSES",
    "READINGS",
    "BendingLength",
    "Content",
    "Measured",
    "Reading",
    "Swatch",
    "bending_length",
    "bias_stretch",
    "bias_words",
    "drape_coefficient",
    "drape_words",
    "friction",
    "friction_words",
    "hanging_words",
    "likeness",
    "load_n_per_m",
    "lofty_words",
    "mass_per_area",
    "outline_area",
    "pressure_pa",
    "shear_stiffness",
    "shrinkage",
    "stretch_stiffness",
    "stretch_words",
    "thickness_under",
]

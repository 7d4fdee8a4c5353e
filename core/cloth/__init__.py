# SPDX-License-Identifier: GPL-3.0-or-later
"""Cloth: the figures of one material, the library of kinds, and the maker's choice."""

from ..heavy_strip import STANDARD_GRAVITY_M_S2, bending_rigidity_n_m, elastic_rigidity_n_m
from .changes import put_at
from .choice import ClothChoice
from .figures import FIGURES, SOURCES, Figure, Origin, Source
from .library import library
from .material import HARD_PRESSURE_PA, LIGHT_PRESSURE_PA, Cloth
from .printed import PICTURE, PLAIN, PRINTS, Photograph, Print

__all__ = [
    "FIGURES",
    "HARD_PRESSURE_PA",
    "LIGHT_PRESSURE_PA",
    "PICTURE",
    "PLAIN",
    "PRINTS",
    "SOURCES",
    "STANDARD_GRAVITY_M_S2",
    "Cloth",
    "ClothChoice",
    "Figure",
    "Origin",
    "Photograph",
    "Print",
    "Source",
    "bending_rigidity_n_m",
    "elastic_rigidity_n_m",
    "library",
    "put_at",
]

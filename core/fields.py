# SPDX-License-Identifier: GPL-3.0-or-later
"""Where it pulls and where it stands off: fields on the outer cloth."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from .arrays import FloatArray, IntArray
from .drape import Drape
from .drape.membrane import Membrane

__all__ = ["STAND_OFF_SHOWN_M", "STRETCH_SHOWN", "Fields", "measure_fields"]

STRETCH_SHOWN = (-0.01, 0.05)
"""Ends of the scale on which stretch is shown: a percent pushed together, 5 % longer."""

STAND_OFF_SHOWN_M = {"cm": (0.0, 0.12), "in": (0.0, 0.1143)}
"""Ends of the scale on which stand-off is shown, in round numbers of the reader's units."""


@dataclass(frozen=True, slots=True)
class Fields:
    """Fields on the outer cloth's mesh.

    Attributes
    ----------
    stretch_across, stretch_along
        (n,) change of length over length across and along the cloth, the mean of the triangles at
        each vertex; negative where it is pushed together.
    stand_off_m
        (n,) distance of the outer face from the skin at each vertex, metres.
    """

    stretch_across: FloatArray
    stretch_along: FloatArray
    stand_off_m: FloatArray


def measure_fields(drape: Drape, skin_distance: Callable[[FloatArray], FloatArray]) -> Fields:
    """Measure a drape; ``skin_distance`` as in `fit.measure_fit`."""
    corners = drape.panel.flat[drape.panel.triangles]
    sheet = Membrane.of_sheet(corners, drape.panel.triangles, (1.0, 1.0, 1.0), (1.0, 1.0))
    strains = sheet.strains(drape.outer)
    across, along = (
        _at_vertices(strains[:, axis], sheet.area_m2, drape.panel.triangles, len(drape.outer))
        for axis in (0, 1)
    )
    return Fields(
        stretch_across=across,
        stretch_along=along,
        stand_off_m=skin_distance(drape.outer) + drape.outer_cloth.thickness_m / 2,
    )


def _at_vertices(
    values: FloatArray, area_m2: FloatArray, triangles: IntArray, count: int
) -> FloatArray:
    """Mean (n,) of the triangles (t,) at each vertex, by area: single ones tell of the mesh."""
    corners = triangles.ravel()
    total, area = (
        np.bincount(corners, np.repeat(part, 3), count) for part in (values * area_m2, area_m2)
    )
    return np.asarray(total / area)

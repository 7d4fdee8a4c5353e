# SPDX-License-Identifier: GPL-3.0-or-later
"""How the wrap is worn: what the shoulders carry, how it presses, how it stands off the neck, whether
one sits on it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from .arrays import BoolArray, FloatArray
from .drape import Drape
from .heavy_strip import STANDARD_GRAVITY_M_S2

__all__ = ["Seat", "Worn", "lying_area_m2", "vertex_areas_m2", "worn"]

TOUCHES_M = 0.003
"""Lining nearer than this to where it touches lies on the body, as far as the mesh can tell."""

FACES_UP = 0.3
"""Skin whose normal rises by more than this carries what lies on it."""

STEP_M = 0.001

UNDER_SEAT_M = 0.05
SAT_ON_M2 = 0.005
"""Less cloth than this between body and chair is a brush, not a seat."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Whether one sits or lies on the wrap.

    Attributes
    ----------
    under_m2
        Area of one layer between body and chair or bed, square metres; ``None`` where there is
        neither, and the answer is told by the hem.
    below_seat_m
        How far the centre back's hem hangs below the seat's lower end (the gluteal fold) while
        standing, metres; negative above it.
    """

    under_m2: float | None
    below_seat_m: float

    @property
    def sat_on(self) -> bool:
        """One sits on it: measured where there is a chair, else told by the hem."""
        if self.under_m2 is None:
            return self.below_seat_m > UNDER_SEAT_M
        return self.under_m2 > SAT_ON_M2


@dataclass(frozen=True, slots=True, kw_only=True)
class Worn:
    """What wearing it is like.

    Attributes
    ----------
    carried_kg
        Mass that neck, shoulders and tops of the arms carry: all but the cloth that lies on
        something lower (lap, chair, bed, level forearms), kilograms. An estimate: cloth that hangs
        from lying cloth counts as carried above.
    touching_m2
        Area of skin facing up, above the armpits, on which the wrap lies, square metres.
    pressure_pa
        Weight carried over that area, pascals; zero where nothing touches.
    neck_least_m, neck_median_m
        Clear distance of the lining's neck edge from the skin, metres.
    seat
        Whether one sits on it.
    """

    carried_kg: float
    touching_m2: float
    pressure_pa: float
    neck_least_m: float
    neck_median_m: float
    seat: Seat


def vertex_areas_m2(drape: Drape) -> FloatArray:
    """Share of one layer's flat area that each vertex (n,) stands for, square metres."""
    a, b, c = np.moveaxis(drape.panel.flat[drape.panel.triangles], 1, 0)
    one, two = b - a, c - a
    area = np.abs(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) / 2
    size = len(drape.panel.flat)
    shares: FloatArray = np.bincount(
        drape.panel.triangles.ravel(), np.repeat(area / 3, 3), size
    ).astype(np.float64)
    return shares


def worn(drape: Drape, skin_distance: Callable[[FloatArray], FloatArray]) -> Worn:
    """Measure it; ``skin_distance`` as in `fit.measure_fit`."""
    areas = vertex_areas_m2(drape)
    skin_m = skin_distance(drape.lining)
    clear = skin_m - drape.stand_off_m
    # the distance grows upwards as fast as the skin faces up
    above = drape.lining + np.array([0.0, 0.0, STEP_M])
    facing_up = (skin_distance(above) - skin_m) / STEP_M
    on_body = (clear < TOUCHES_M) & (facing_up > FACES_UP)
    high = drape.lining[:, 2] > drape.body.landmarks["axilla"][2]
    low = (on_body & ~high) | _on_furniture(drape)
    both_kg_m2 = drape.outer_cloth.mass_kg_m2 + drape.lining_cloth.mass_kg_m2
    carried_kg = both_kg_m2 * float(areas[~low].sum())
    touching_m2 = float(areas[on_body & high].sum())
    neck = clear[drape.panel.edges["neck"]]
    return Worn(
        carried_kg=carried_kg,
        touching_m2=touching_m2,
        pressure_pa=carried_kg * STANDARD_GRAVITY_M_S2 / touching_m2 if touching_m2 else 0.0,
        neck_least_m=float(neck.min()),
        neck_median_m=float(np.median(neck)),
        seat=Seat(
            under_m2=lying_area_m2(drape, skin_m) if drape.body.supports else None,
            below_seat_m=_below_seat_m(drape),
        ),
    )


def _on_furniture(drape: Drape) -> BoolArray:
    thickness_m = drape.outer_cloth.thickness_m + drape.lining_cloth.thickness_m
    lies = np.zeros(len(drape.outer), dtype=bool)
    for support in drape.body.supports:
        lies |= support.nearest(drape.outer)[0] < thickness_m + TOUCHES_M
    return lies


def lying_area_m2(drape: Drape, skin_m: FloatArray) -> float:
    """Area of one layer that lies between the body and its chair or bed, square metres.

    ``skin_m`` (n,) is the distance of the lining's vertices from the skin.
    """
    thickness_m = drape.outer_cloth.thickness_m + drape.lining_cloth.thickness_m
    between = _on_furniture(drape) & (skin_m < thickness_m + TOUCHES_M)
    return float(vertex_areas_m2(drape)[between].sum())


def _below_seat_m(drape: Drape) -> float:
    flat = drape.panel.flat
    chain = drape.panel.edges["hem_back"]
    middle = chain[np.argmin(np.abs(flat[chain, 0]))]
    return float(drape.body.landmarks["gluteal_fold"][2] - drape.outer[middle, 2])

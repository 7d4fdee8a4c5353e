# SPDX-License-Identifier: GPL-3.0-or-later
"""A cloth as its swatch measures it: what was read replaces what was stated or estimated."""

import math

from ..heavy_strip import STANDARD_GRAVITY_M_S2, bending_length_m, bending_rigidity_n_m
from ..swatch import (
    DIRECTIONS,
    Measured,
    Swatch,
    bending_length,
    friction,
    mass_per_area,
    shear_stiffness,
    shrinkage,
    stretch_stiffness,
    thickness_under,
)
from .changes import bending_at, known, thick, weighing
from .figures import Origin
from .material import HARD_PRESSURE_PA, LIGHT_PRESSURE_PA, Cloth

__all__ = ["measured"]

_TILTS = {
    "tilt_with_nap": "friction_with_nap",
    "tilt_against_nap": "friction_against_nap",
    "tilt_backs": "friction_backs",
    "tilt_cotton": "friction_body",
}


def measured(cloth: Cloth, swatch: Swatch) -> Cloth:
    """The cloth with every figure that the swatch tells, its deviation and its origin.

    Raises
    ------
    InputError
        A reading is impossible, alone or beside another.
    """
    mass = mass_per_area(swatch)
    if mass is not None:
        cloth = _taken(weighing(cloth, mass.value), "mass_kg_m2", mass, "weighing")
    cloth = _bent(cloth, swatch)
    cloth = _stretched(cloth, swatch)
    cloth = _pressed(cloth, swatch)
    for key, figure in _TILTS.items():
        if (found := friction(swatch, key)) is not None:
            cloth = _taken(cloth, figure, found, "tilt")
    for direction in DIRECTIONS:
        if (found := shrinkage(swatch, direction)) is not None:
            cloth = _taken(cloth, f"shrinkage_{direction}", found, "wash")
    return cloth


def _taken(cloth: Cloth, figure: str, found: Measured, test: str) -> Cloth:
    readings = f"{test}, {found.count} reading{'' if found.count == 1 else 's'}"
    origin = Origin(figure, "swatch", found.sd, readings)
    return known(cloth, origin, **{figure: found.value})


def _bent(cloth: Cloth, swatch: Swatch) -> Cloth:
    """Rigidity is W g c³, so it is as uncertain as mass and three times as uncertain as c."""
    mass = cloth.origin("mass_kg_m2")
    mass_share = 0.0 if mass is None else mass.sd / cloth.mass_kg_m2
    ratios = []
    for direction in DIRECTIONS:
        read = bending_length(swatch, direction, _friction_share(cloth, direction))
        if read is None:
            continue
        cloth = bending_at(cloth, direction, read.mean.value)
        rigidity = bending_rigidity_n_m(cloth.mass_kg_m2, read.mean.value)
        sd = rigidity * math.hypot(3 * read.mean.share, mass_share)
        found = Measured(rigidity, sd, read.mean.count)
        cloth = _taken(cloth, f"bending_{direction}_n_m", found, "overhang or loop")
        if read.pile_up_over_down is not None:
            ratios.append(read.pile_up_over_down)
    if ratios:
        value = math.prod(ratio.value for ratio in ratios) ** (1 / len(ratios))
        share = math.sqrt(math.fsum(ratio.share**2 for ratio in ratios)) / len(ratios)
        both = Measured(value, share * value, sum(ratio.count for ratio in ratios))
        cloth = _taken(cloth, "bending_pile_up_over_down", both, "overhang, both faces")
    return cloth


def _friction_share(cloth: Cloth, direction: str) -> float:
    """The friction moment over W g c², which stays when the cloth's rigidity is measured."""
    rigidity: float = getattr(cloth, f"bending_{direction}_n_m")
    moment: float = getattr(cloth, f"bending_friction_{direction}_n")
    length_m = bending_length_m(cloth.mass_kg_m2, rigidity)
    return moment / (cloth.mass_kg_m2 * STANDARD_GRAVITY_M_S2 * length_m**2)


def _stretched(cloth: Cloth, swatch: Swatch) -> Cloth:
    for direction in DIRECTIONS:
        found = stretch_stiffness(swatch, direction, cloth.mass_kg_m2)
        if found is not None:
            cloth = _taken(cloth, f"stretch_{direction}_n_per_m", found, "hung strip")
    stretch = (cloth.stretch_along_n_per_m, cloth.stretch_across_n_per_m)
    found = shear_stiffness(swatch, stretch, cloth.mass_kg_m2)
    return cloth if found is None else _taken(cloth, "shear_n_per_m", found, "hung 45 degree strip")


def _pressed(cloth: Cloth, swatch: Swatch) -> Cloth:
    found = thickness_under(swatch, (LIGHT_PRESSURE_PA, HARD_PRESSURE_PA))
    if not found:
        return cloth
    cloth = thick(cloth, found[0].value)
    if len(found) == 2:
        ground_m = min(cloth.ground_thickness_m, found[1].value)
        cloth = known(cloth, compressed_thickness_m=found[1].value, ground_thickness_m=ground_m)
        cloth = _taken(cloth, "compressed_thickness_m", found[1], "stack")
    return _taken(cloth, "thickness_m", found[0], "stack")

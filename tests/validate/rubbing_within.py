# SPDX-License-Identifier: GPL-3.0-or-later
"""Inner friction of bending: what a strip keeps, and what the ruler reads of it.

Grosberg 1966 (Textile Research Journal 36:205): M = B κ ± H. A strip that is bent and let go springs
back until the elastic moment no longer overcomes the friction moment, to the curvature H/B. On the
ruler it bends one way only, which the heavy elastica with a friction moment tells exactly
(`elastica.ruler_bending_length`).
"""

from dataclasses import replace

import numpy as np
from napfold.core.cloth import STANDARD_GRAVITY_M_S2, Cloth, bending_rigidity_n_m
from napfold.core.drape.bending_friction import SWAY_PER_M

from ..rows import Row, reported, share
from .elastica import ruler_bending_length
from .sheets import (
    Held,
    Pulled,
    cloth,
    come_to_rest,
    jutting,
    on_line,
    one_layer,
    rectangle,
    sheet,
    start_flat,
)

__all__ = ["bent_and_let_go", "rubbing_cloth", "strips"]

RULER_SOURCE = "heavy elastica with a friction moment (Grosberg 1966)"
KEPT_SOURCE = "H/B (Grosberg 1966)"
MASS_KG_M2 = 0.25


def rubbing_cloth(rigidity_n_m: float, friction_n: float) -> tuple[Cloth, float]:
    """A cloth of this elastic rigidity and friction moment, and the ruler's bending length in m."""
    weight = MASS_KG_M2 * STANDARD_GRAVITY_M_S2
    length_m = ruler_bending_length(weight, rigidity_n_m, friction_n)
    ruler_n_m = bending_rigidity_n_m(MASS_KG_M2, length_m)
    return replace(
        cloth(MASS_KG_M2, (ruler_n_m, ruler_n_m)),
        bending_friction_across_n=friction_n,
        bending_friction_along_n=friction_n,
    ), length_m


def _chord_degrees(friction: float) -> float:
    """Of a strip twice as long as the ruler's bending length; friction in W g c² of elastic c."""
    weight, elastic_m = MASS_KG_M2 * STANDARD_GRAVITY_M_S2, 0.018
    material, length_m = rubbing_cloth(weight * elastic_m**3, friction * weight * elastic_m**2)
    flat, triangles = jutting(2 * length_m, length_m, length_m / 10, "mesher's")
    garment = one_layer(sheet(flat, triangles, length_m / 10), material)
    start = start_flat(garment)
    start[:, 2] = -1e-3 * np.abs(start[:, 0])
    edge = np.flatnonzero(on_line(flat, 0.0))
    places = np.concatenate([flat[edge], np.zeros((len(edge), 1))], axis=1)
    positions, _ = come_to_rest(garment, [Held(edge, places)], start)
    tip = positions[on_line(flat, 2 * length_m)].mean(axis=0)
    return float(np.degrees(np.arctan2(-tip[2], tip[0])))


def bent_and_let_go(rigidity_n_m: float, friction_n: float, start_per_m: float) -> float:
    """Curvature per metre of a weightless strip's middle after it was rolled and let go."""
    flat, triangles = rectangle(0.08, 0.03, 0.004, "rows across")
    flat = flat - [0.04, 0.0]
    material, _ = rubbing_cloth(rigidity_n_m, friction_n)
    garment = one_layer(sheet(flat, triangles, 0.004), material)
    turn = start_per_m * flat[:, 0]
    start = np.stack([np.sin(turn), start_per_m * flat[:, 1], 1 - np.cos(turn)], axis=1)
    start /= start_per_m
    weight_n = STANDARD_GRAVITY_M_S2 * garment.mass_kg
    lifted = Pulled(np.stack([0 * weight_n, 0 * weight_n, weight_n], axis=1))
    positions, _ = come_to_rest(garment, [lifted], start)
    middle = np.abs(flat[:, 0]) < 0.025
    slope = np.polynomial.polynomial.polyfit(flat[middle, 0], positions[middle, 2], 2)
    along = np.polynomial.polynomial.polyfit(flat[middle, 0], positions[middle, 0], 1)
    return float(abs(2 * slope[2]) / along[1] ** 2)


def strips() -> list[Row]:
    """Strips of growing friction on the ruler, and one bent and let go.

    Friction here sways by some curvature before it slips, which the elastica's does not: the strip
    hangs a little lower than the reference where it is hardly bent.
    """
    rows = []
    for friction in (0.1, 0.3, 0.6, 1.0):
        name = f"strip with friction {friction:g} W g c²: chord angle at twice the ruler's length"
        rows.append(share(name, _chord_degrees(friction), 41.5, 0.05, "°", RULER_SOURCE))
    for kept in (10.0, 20.0):
        found = bent_and_let_go(1e-5, kept * 1e-5, 60.0)
        name = f"strip bent to 60/m and let go, H/B={kept:g}/m: curvature kept"
        rows.append(share(name, found, kept, 0.05, "1/m", KEPT_SOURCE))
    rows.append(reported("sway before inner friction slips", SWAY_PER_M, "1/m", "an estimate"))
    return rows

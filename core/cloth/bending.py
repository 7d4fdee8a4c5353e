# SPDX-License-Identifier: GPL-3.0-or-later
"""Bending of heavy strips: what a ruler reads, what of it is elastic, what is inner friction.

A strip that juts out over an edge reaches the 41.5 degree line at an overhang of two bending
lengths c, and its rigidity is G = W g c³ with W the mass per area (F. T. Peirce, "The 'handle' of
cloth as a measurable quantity", J. Text. Inst. 21, 1930, T377; ASTM D1388, ISO 9073-7).

Fibres rub on one another, so a cloth resists each change of its curvature with a constant moment
besides its elastic one (P. Grosberg, Textile Research Journal 36, 1966, 205: M = B κ ± H). The
strip on the ruler bends one way only, and what the ruler reads holds both.
"""

import numpy as np

__all__ = ["STANDARD_GRAVITY_M_S2", "bending_rigidity_n_m", "elastic_rigidity_n_m"]

STANDARD_GRAVITY_M_S2 = 9.80665

# H over W g c², and B over G, of strips on the ruler, c and G being what the ruler reads: solutions
# of the heavy elastica with a friction moment (tests/validate/elastica.py)
_ELASTIC = (
    (0.0, 1.0),
    (0.0263, 0.9619),
    (0.0625, 0.9118),
    (0.1088, 0.8503),
    (0.1835, 0.7566),
    (0.2345, 0.6964),
    (0.2956, 0.6280),
    (0.3668, 0.5533),
    (0.4474, 0.4750),
    (0.5357, 0.3966),
    (0.6292, 0.3218),
    (0.7250, 0.2536),
    (0.8199, 0.1944),
    (0.9110, 0.1451),
    (1.0736, 0.0754),
    (1.2984, 0.0165),
)


def bending_rigidity_n_m(mass_kg_m2: float, bending_length_m: float) -> float:
    """Bending rigidity per width in N·m of a cloth that a cantilever test found this limp.

    G = W g c³ (Peirce 1930): c is half the overhang at which a strip reaches 41.5 degrees.
    """
    return float(mass_kg_m2 * STANDARD_GRAVITY_M_S2 * bending_length_m**3)


def elastic_rigidity_n_m(mass_kg_m2: float, rigidity_n_m: float, friction_n: float) -> float:
    """The elastic part B of a rigidity that a ruler read, in N·m.

    A strip with the moment B κ + H in bending reads the same on the ruler as one with G κ. Exact
    to half a percent of G, up to H = 1.3 W g c²; more friction than that leaves B where it is.

    Parameters
    ----------
    mass_kg_m2, rigidity_n_m
        W and G.
    friction_n
        H, the friction moment per width in N.
    """
    weight = mass_kg_m2 * STANDARD_GRAVITY_M_S2
    bending_length_m = (rigidity_n_m / weight) ** (1 / 3)
    share = friction_n / (weight * bending_length_m**2)
    return float(rigidity_n_m * np.interp(share, *np.transpose(_ELASTIC)))

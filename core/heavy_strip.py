# SPDX-License-Identifier: GPL-3.0-or-later
"""Heavy strips: what an overhang or a loop says of bending, and what of it is inner friction.

A strip that juts out over an edge reaches the 41.5 degree line at an overhang of two bending
lengths c, and its rigidity is G = W g c³ with W the mass per area (F. T. Peirce, "The 'handle' of
cloth as a measurable quantity", J. Text. Inst. 21, 1930, T377; ASTM D1388, ISO 9073-7).

Fibres rub on one another, so a cloth resists each change of its curvature with a constant moment
besides its elastic one (P. Grosberg, Textile Research Journal 36, 1966, 205: M = B κ ± H). The
strip on the ruler bends one way only, and what the ruler reads holds both.

Cloth too limp or too curly to jut out is hung up as a heart-shaped loop (Peirce 1930; ASTM D1388
option B): both ends of a strip are held back to back and the strip falls to both sides.
"""

import numpy as np

__all__ = [
    "LOOP_SHARES",
    "STANDARD_GRAVITY_M_S2",
    "bending_length_m",
    "bending_length_of_loop_m",
    "bending_rigidity_n_m",
    "elastic_rigidity_n_m",
    "elastic_share",
]

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

# Height of a heart loop over its strip's length, and that length over c: the heavy elastica's
# boundary value problem. Peirce's closed formula is within 4 % of it.
_LOOPS = (
    (0.14266, 2.5),
    (0.14883, 3.0),
    (0.15710, 3.5),
    (0.16756, 4.0),
    (0.18013, 4.5),
    (0.19459, 5.0),
    (0.21059, 5.5),
    (0.22766, 6.0),
    (0.24525, 6.5),
    (0.26281, 7.0),
    (0.27987, 7.5),
    (0.29604, 8.0),
    (0.31107, 8.5),
    (0.32483, 9.0),
    (0.33729, 9.5),
    (0.34849, 10.0),
    (0.35853, 10.5),
    (0.36752, 11.0),
    (0.37558, 11.5),
    (0.38281, 12.0),
)
LOOP_SHARES = (_LOOPS[0][0], _LOOPS[-1][0])
"""Height over length of the loops that tell something: a stiffer one keeps its shape, and a limper
one hangs as two plies."""


def bending_rigidity_n_m(mass_kg_m2: float, bending_length_m: float) -> float:
    """Bending rigidity per width in N·m of a cloth that a cantilever test found this limp.

    G = W g c³ (Peirce 1930): c is half the overhang at which a strip reaches 41.5 degrees.
    """
    return float(mass_kg_m2 * STANDARD_GRAVITY_M_S2 * bending_length_m**3)


def bending_length_m(mass_kg_m2: float, rigidity_n_m: float) -> float:
    """Bending length c of a cloth, the inverse of `bending_rigidity_n_m`."""
    return float((rigidity_n_m / (mass_kg_m2 * STANDARD_GRAVITY_M_S2)) ** (1 / 3))


def bending_length_of_loop_m(strip_m: float, height_m: float) -> float:
    """Bending length c of a strip that hangs as a heart loop.

    Parameters
    ----------
    strip_m
        Length of the strip in the loop, from clamp to clamp.
    height_m
        From the clamp down to the lowest point; within `LOOP_SHARES` of the strip.
    """
    return float(strip_m / np.interp(height_m / strip_m, *np.transpose(_LOOPS)))


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
    length_m = bending_length_m(mass_kg_m2, rigidity_n_m)
    share = friction_n / (mass_kg_m2 * STANDARD_GRAVITY_M_S2 * length_m**2)
    return rigidity_n_m * elastic_share(share)


def elastic_share(friction_share: float) -> float:
    """The elastic part of a rigidity that a ruler read, by the friction moment over W g c²."""
    return float(np.interp(friction_share, *np.transpose(_ELASTIC)))

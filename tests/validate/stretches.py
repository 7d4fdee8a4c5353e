# SPDX-License-Identifier: GPL-3.0-or-later
"""Strips under their own weight and under loads, against closed forms.

Hanging: T = W g (L - s), ε = T / K, so the elongation is W g L² / 2K (a bar under its own weight:
Timoshenko, Strength of Materials I, section 3). Pulled at an angle θ to the cloth's directions:
1/E = cos⁴θ/K₁ + sin⁴θ/K₂ + cos²θ sin²θ/G without Poisson coupling (R. M. Jones, Mechanics of
Composite Materials, section 2.6); at 45° 4/E = 1/K₁ + 1/K₂ + 1/G, which the bias test uses to find G.
"""

import numpy as np
from napfold.core.cloth import STANDARD_GRAVITY_M_S2

from ..rows import Row, reported, share
from .sheets import Held, Pulled, cloth, come_to_rest, on_line, one_layer, rectangle, sheet

__all__ = ["hanging", "pulled"]

HANGING_SOURCE = "bar under its own weight: W g L²/2K"
PULLED_SOURCE = "orthotropic sheet at an angle (Jones, Mechanics of Composite Materials, 2.6)"
STRETCH = (700.0, 3000.0)
SHEAR = 40.0
LOOSE = (1e-8, 1e-8)


def hanging() -> list[Row]:
    """Elongation of the whole and of its lower half, cut in both directions of the cloth."""
    rows = []
    mass_kg_m2, length_m, width_m, edge_m = 0.5, 0.5, 0.1, 0.02
    stretch = (60.0, 150.0)
    for turned, name in enumerate(("across", "along")):
        flat, triangles = rectangle(length_m, width_m, edge_m, "mesher's")
        level = flat[:, 0]
        if turned:
            flat = np.stack([-flat[:, 1], flat[:, 0]], axis=1)
        garment = one_layer(sheet(flat, triangles, edge_m), cloth(mass_kg_m2, LOOSE, stretch))
        start = np.stack([flat[:, turned - 1], np.zeros(len(flat)), -level], axis=1)
        top = np.flatnonzero(level < 1e-9)
        positions, _ = come_to_rest(garment, [Held(top, start[top])], start)
        exact_m = mass_kg_m2 * STANDARD_GRAVITY_M_S2 * length_m**2 / (2 * stretch[turned])
        depth = -positions[:, 2]
        bottom = depth[np.abs(level - length_m) < 1e-9].mean()
        near = np.abs(level - length_m / 2) < 2 * edge_m
        middle = np.polyfit(level[near] - length_m / 2, depth[near], 1)[1]
        rows.append(
            share(
                f"strip hanging, cut {name}: elongation",
                1000 * (bottom - length_m),
                1000 * exact_m,
                0.02,
                "mm",
                HANGING_SOURCE,
            )
        )
        rows.append(
            share(
                f"strip hanging, cut {name}: of its lower half",
                1000 * (bottom - middle - length_m / 2),
                1000 * exact_m / 4,
                0.02,
                "mm",
                HANGING_SOURCE,
            )
        )
    return rows


def modulus(angle_rad: float, load_n_per_m: float) -> float:
    """Load over elongation, N/m, of a strip cut at this angle to the cloth's width."""
    length_m, width_m, edge_m = 0.1, 0.05, 0.005
    straight, triangles = rectangle(length_m, width_m, edge_m, "mesher's")
    turn = np.array(
        [[np.cos(angle_rad), np.sin(angle_rad)], [-np.sin(angle_rad), np.cos(angle_rad)]]
    )
    panel = sheet(straight @ turn, triangles, edge_m)
    garment = one_layer(panel, cloth(0.06, LOOSE, STRETCH, SHEAR))
    start = np.concatenate([straight, np.zeros((len(straight), 1))], axis=1)
    force = np.zeros_like(start)
    for place_m, sign in ((0.0, -1.0), (length_m, 1.0)):
        end = np.flatnonzero(on_line(straight, place_m))
        end = end[np.argsort(straight[end, 1])]
        spacing = np.diff(straight[end, 1]) / 2
        force[end[1:], 0] += sign * load_n_per_m * spacing
        force[end[:-1], 0] += sign * load_n_per_m * spacing
    level = Held(np.arange(len(start)), start, axes=(False, False, True))
    positions, _ = come_to_rest(garment, [level, Pulled(force)], start, still_m=1e-9)
    # the one linear map that carries the flat strip nearest to where it is, whatever its turn
    design = np.concatenate([straight, np.ones((len(straight), 1))], axis=1)
    mapped = np.linalg.lstsq(design, positions, rcond=None)[0]
    return load_n_per_m / (float(np.linalg.norm(mapped[0])) - 1)


def pulled() -> list[Row]:
    """Secant moduli at small strain, at 0, 22.5, 45 and 90 degrees; and at the bias test's load."""
    rows = []
    for degrees in (0.0, 22.5, 45.0, 90.0):
        angle = np.radians(degrees)
        cosine, sine = np.cos(angle) ** 2, np.sin(angle) ** 2
        exact = 1 / (cosine**2 / STRETCH[0] + sine**2 / STRETCH[1] + cosine * sine / SHEAR)
        found = modulus(angle, 1e-3 * exact)
        rows.append(
            share(f"pulled at {degrees:g}°: modulus", found, exact, 0.03, "N/m", PULLED_SOURCE)
        )
    found = modulus(np.pi / 4, 4.9)
    name = "pulled at 45° by 4.9 N/m (3 % long): modulus"
    rows.append(
        reported(name, found, "N/m", PULLED_SOURCE, 4 / (sum(1 / k for k in (*STRETCH, SHEAR))))
    )
    return rows

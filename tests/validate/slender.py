# SPDX-License-Identifier: GPL-3.0-or-later
"""Slender sheets that buckle and loop, against beam theory.

Lateral buckling: a blade clamped with its width upright bends sideways from ρ w g L³ = 12.85
√(EI GJ) on (S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, section 6.3; a test of
Romero et al. 2021, ACM Transactions on Graphics 40(4):66). For a narrow strip of a plate without
Poisson coupling EI = D w and GJ = 2 D w, so Γ = ρ g L³/D = 18.17. The theory is of a beam without
width: a clamp holds the twist of a wide blade too, so blades 1:5 and 1:10 are led on to no width by
a straight line. It is also of a material as stiff in compression as in tension, which cloth is not:
for this test alone the membrane's compression is made so, and the cloth's own is reported beside it.

Heart loop: Peirce 1930 (J. Text. Inst. 21, T377) and ASTM D1388 option B, by `elastica.heart_loop`.
"""

from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.cloth import STANDARD_GRAVITY_M_S2, bending_rigidity_n_m
from napfold.core.drape import membrane
from napfold.core.drape.garment import Garment

from ..rows import Row, reported, share
from .elastica import heart_loop
from .sheets import Held, cloth, come_to_rest, one_layer, rectangle, sheet

__all__ = ["buckling", "loops"]

BUCKLING_SOURCE = "12.85 √(EI GJ)/L³ (Timoshenko and Gere 6.3; Romero et al. 2021)"
LOOP_SOURCE = "heavy elastica, boundary value problem (Peirce 1930; ASTM D1388 B)"
MASS_KG_M2 = 0.25
NUDGE_M = 1e-6


@contextmanager
def compressed(share_of_tension: float) -> Iterator[None]:
    """Within this context the membrane's compression is so much of its tension."""
    usual = membrane.COMPRESSION
    membrane.COMPRESSION = share_of_tension
    try:
        yield
    finally:
        membrane.COMPRESSION = usual


def _stress_aside(garment: Garment, positions: FloatArray, free: IntArray) -> FloatArray:
    """Derivatives (k, k) of the membrane's sideways forces on nodes by their sideways places."""
    stress = np.zeros((len(free), len(free)))
    for column, node in enumerate(free):
        aside = positions.copy()
        aside[node, 1] += NUDGE_M
        stress[:, column] = garment.membrane.energy_and_gradient(aside)[1][free, 1] / NUDGE_M
    return stress


def _gamma_of_buckling(parts: int, mesh: str, width_m: float, compression: float) -> float:
    """Γ at which an upright blade first has a sideways shape that costs nothing.

    The blade comes to rest in its own plane. There the second derivatives of the sheet's energy
    sideways are the stresses' share S (differences of the membrane's gradient) and D times that of
    bending, B: the greatest D with a shape for which D B y = -S y is that of buckling.
    """
    length_m = 0.2
    edge_m = length_m / parts
    # held nodes clamp half an edge behind the last of them
    held_m = 2.5 * edge_m
    flat, triangles = rectangle(length_m + held_m, width_m, edge_m, mesh)
    flat = flat - [held_m, 0.0]
    rigidity = 1e-4
    garment = one_layer(
        sheet(flat, triangles, edge_m),
        cloth(MASS_KG_M2, (rigidity, rigidity), (8000.0, 8000.0), 4000.0),
    )
    start = np.stack([flat[:, 0], np.zeros(len(flat)), flat[:, 1]], axis=1)
    clamp = flat[:, 0] < 0.55 * edge_m
    held = np.flatnonzero(clamp)
    free = np.flatnonzero(~clamp)
    plane = Held(np.arange(len(flat)), start, axes=(False, True, False))
    held = np.flatnonzero(clamp)
    holds = [plane, Held(held, start[held])]
    with compressed(compression):
        positions, _ = come_to_rest(garment, holds, start, rounds=100, still_m=1e-9)
        stress = _stress_aside(garment, positions, free)
    bending = np.zeros((len(flat), len(flat)))
    rows, columns, values = garment.bending.entries()
    bending[rows, columns] = values
    bending = bending[np.ix_(free, free)]
    ratio = np.linalg.eigvals(np.linalg.solve(bending, -stress)).real.max()
    return MASS_KG_M2 * STANDARD_GRAVITY_M_S2 * length_m**3 / float(rigidity * ratio)


def buckling() -> list[Row]:
    """Two mesh directions; and the wider blade on finer meshes for the size of edges."""
    rows = []
    exact = 12.85 * float(np.sqrt(2))
    for mesh in ("rows along", "mesher's"):
        wide, narrow = (_gamma_of_buckling(40, mesh, width, 1.0) for width in (0.04, 0.02))
        name = f"blade, {mesh}: Γ of buckling led on to no width"
        rows.append(share(name, 2 * narrow - wide, exact, 0.10, "", BUCKLING_SOURCE))
        rows.append(reported(f"blade 1:10, {mesh}: Γ", narrow, "", BUCKLING_SOURCE, exact))
    usual = _gamma_of_buckling(40, "rows along", 0.02, membrane.COMPRESSION)
    name = "blade 1:10, rows along, soft in compression: Γ"
    rows.append(reported(name, usual, "", BUCKLING_SOURCE, exact))
    return rows


def loops() -> list[Row]:
    """Height of heart loops of 2, 5 and 8 bending lengths, from the clamp to the lowest point."""
    rows = []
    for lengths in (2.0, 5.0, 8.0):
        found = _heart(lengths)
        exact = heart_loop(lengths)
        name = f"heart loop of {lengths:g} c: height over length"
        rows.append(share(name, found, exact, 0.03, "", LOOP_SOURCE))
    return rows


def _heart(lengths: float) -> float:
    """Height over length of a loop that starts as a circle and is held at both ends."""
    bending_length_m = 0.02
    length_m = lengths * bending_length_m
    edge_m = length_m / 80
    margin_m = 2 * edge_m
    width_m = length_m / 10
    flat, triangles = rectangle(length_m + 2 * margin_m, width_m, edge_m, "rows across")
    middle = flat[:, 0] - length_m / 2 - margin_m
    rigidity = bending_rigidity_n_m(MASS_KG_M2, bending_length_m)
    garment = one_layer(
        sheet(flat, triangles, edge_m), cloth(MASS_KG_M2, (rigidity, rigidity), (2000.0, 2000.0))
    )
    # held rows, upright at both ends, up to half an edge beyond the clamp
    beyond = np.abs(middle) - length_m / 2
    clamp = beyond > -0.6 * edge_m
    turn = 2 * np.pi * middle / length_m
    radius_m = length_m / (2 * np.pi)
    start = np.stack([radius_m * np.sin(turn), flat[:, 1], -radius_m * (1 + np.cos(turn))], axis=1)
    places = start.copy()
    places[:, 0] = 1e-4 * np.sign(middle)
    places[:, 2] = -beyond
    held = np.flatnonzero(clamp)
    start[held] = places[held]
    positions, _ = come_to_rest(garment, [Held(held, places[held], 1e3)], start, rounds=150)
    lowest = np.abs(middle) < 0.6 * edge_m
    return -float(positions[lowest, 2].min()) / length_m

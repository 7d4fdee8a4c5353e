# SPDX-License-Identifier: GPL-3.0-or-later
"""Strips that jut out over an edge, against the exact heavy elastica.

Sources: the elastica of `elastica.cantilever`; the test is that of Peirce 1930 (J. Text. Inst. 21,
T377), ASTM D1388 and ISO 9073-7. Γ = ρ g L³ / D and the curve of drop over reach are those of
Romero et al. 2021 (ACM Transactions on Graphics 40(4):66), who show that it tells codes that bend
rightly from those that do not.
"""

import numpy as np
from napfold.core.cloth import bending_rigidity_n_m

from ..rows import Row, share
from .elastica import cantilever
from .sheets import (
    MESHES,
    Held,
    cloth,
    come_to_rest,
    jutting,
    on_line,
    one_layer,
    sheet,
    start_flat,
)

__all__ = ["hung_tip", "master_curve", "strips"]

SOURCE = "heavy elastica, boundary value problem (Peirce 1930; ASTM D1388)"
MASTER_SOURCE = "heavy elastica; curve of Romero et al. 2021, ACM TOG 40(4):66"
BENDING_LENGTH_M = 0.03
MASS_KG_M2 = 0.25


def hung_tip(
    overhang: float,
    edge_share: float,
    mesh: str,
    other_rigidity: float = 1.0,
    width_share: float = 0.5,
) -> tuple[float, float]:
    """Reach and drop of the tip, over the length, of a strip of so many bending lengths.

    Parameters
    ----------
    overhang
        Length in bending lengths.
    edge_share
        Edge length over the strip's length.
    mesh
        One of `MESHES`.
    other_rigidity
        Rigidity across the strip over that along it.
    width_share
        Width over length: half of it as in the ruler test, where 25 mm of width bend over 36 to 66.
    """
    length_m = overhang * BENDING_LENGTH_M
    edge_m = edge_share * length_m
    rigidity = bending_rigidity_n_m(MASS_KG_M2, BENDING_LENGTH_M)
    flat, triangles = jutting(length_m, length_m * width_share, edge_m, mesh)
    panel = sheet(flat, triangles, edge_m)
    garment = one_layer(panel, cloth(MASS_KG_M2, (rigidity, other_rigidity * rigidity)))
    start = start_flat(garment)
    start[:, 2] = -1e-3 * np.abs(start[:, 0])
    edge = np.flatnonzero(on_line(flat, 0.0))
    places = np.concatenate([flat[edge], np.zeros((len(edge), 1))], axis=1)
    positions, _ = come_to_rest(garment, [Held(edge, places)], start)
    tip = positions[on_line(flat, length_m)].mean(axis=0)
    return float(tip[0]) / length_m, float(-tip[2]) / length_m


def _rows(name: str, overhang: float, reach: float, drop: float) -> list[Row]:
    exact = cantilever(overhang)
    chord = float(np.degrees(np.arctan2(drop, reach)))
    way = float(np.hypot(reach - exact.reach, drop - exact.drop))
    return [
        share(f"{name}: chord angle", chord, exact.chord_degrees, 0.03, "°", SOURCE),
        Row(
            name=f"{name}: tip off its place",
            figure=100 * way,
            unit="% of L",
            reference=0.0,
            error=f"{100 * way:.2f} %",
            gate="3 %",
            passed=way <= 0.03,
            source=SOURCE,
        ),
    ]


def strips() -> list[Row]:
    """Three mesh directions and two sizes, alike and 1:10 both ways, at four overhangs."""
    rows = []
    for mesh in MESHES:
        for parts in (20, 40):
            name = f"strip L=2c, {mesh}, edges L/{parts}"
            rows += _rows(name, 2.0, *hung_tip(2.0, 1 / parts, mesh))
        name = f"strip L=2c, narrow (L/5), {mesh}, edges L/20"
        rows += _rows(name, 2.0, *hung_tip(2.0, 1 / 20, mesh, width_share=0.2))
        for overhang in (1.0, 3.0, 4.0):
            name = f"strip L={overhang:g}c, {mesh}, edges L/20"
            rows += _rows(name, overhang, *hung_tip(overhang, 1 / 20, mesh))
        for ratio in (10.0, 0.1):
            name = f"strip L=2c, {ratio:g} times as stiff across, {mesh}, edges L/20"
            rows += _rows(name, 2.0, *hung_tip(2.0, 1 / 20, mesh, ratio))
    return rows


def master_curve() -> list[Row]:
    """Drop over reach along Γ; within 3 %, and 5 % for Γ over 100 where the strip hangs sheer."""
    rows = []
    for gamma in (0.5, 2.0, 8.0, 20.0, 50.0, 100.0, 200.0, 500.0):
        overhang = gamma ** (1 / 3)
        exact = cantilever(overhang)
        reach, drop = hung_tip(overhang, 1 / 40, "mesher's")
        gate = 0.03 if gamma <= 100 else 0.05
        name = f"cantilever Γ={gamma:g}: drop/reach"
        rows.append(share(name, drop / reach, exact.drop / exact.reach, gate, "", MASTER_SOURCE))
    return rows

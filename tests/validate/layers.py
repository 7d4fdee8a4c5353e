# SPDX-License-Identifier: GPL-3.0-or-later
"""Two layers that slide on each other hang as one layer of the same bending length.

Free layers share one shape, so mass and bending rigidity add (laminated beams without bond:
Timoshenko, Strength of Materials I, section 5) and c³ = D / W g stays. Layers of two cloths have
the bending length of the sums. The contact is the drape's own, frictionless here.
"""

import numpy as np
from napfold.core.cloth import STANDARD_GRAVITY_M_S2, Cloth, bending_rigidity_n_m
from napfold.core.drape.body_contact import CLOTH_N_PER_M3
from napfold.core.drape.garment import Garment
from napfold.core.drape.layer_contact import LayerContact

from ..rows import Row, reported, share
from .elastica import cantilever
from .sheets import Held, cloth, come_to_rest, jutting, on_line, sheet

__all__ = ["layers"]

SOURCE = "one layer with the sums of mass and rigidity: heavy elastica"
LENGTH_M, GAP_M = 0.06, 0.0005


def _hung(outer: Cloth, lining: Cloth, friction: float) -> tuple[float, float]:
    """Chord angle of both tips' middle in degrees, and the worst gap's share of the wanted one."""
    edge_m = LENGTH_M / 20
    flat, triangles = jutting(LENGTH_M, LENGTH_M / 2, edge_m, "mesher's")
    garment = Garment.as_two_layers(sheet(flat, triangles, edge_m), outer, lining)
    start = np.zeros((len(garment.mass_kg), 3))
    for node, side in zip(garment.node, (0.5, -0.5), strict=True):
        start[node, :2] = flat
        start[node, 2] = side * GAP_M - 1e-3 * np.abs(flat[:, 0])
    edge = np.concatenate([node[on_line(flat, 0.0)] for node in garment.node])
    contact = LayerContact(
        garment,
        np.full(len(flat), GAP_M),
        CLOTH_N_PER_M3,
        friction,
    )
    positions, _ = come_to_rest(
        garment, [Held(edge, start[edge])], start, layers=contact, still_m=1e-5
    )
    tip = np.concatenate([node[on_line(flat, LENGTH_M)] for node in garment.node])
    middle = positions[tip].mean(axis=0)
    contact.refresh(positions)
    chord = float(np.degrees(np.arctan2(-middle[2], middle[0])))
    return chord, float(contact.gaps(positions).min()) / GAP_M


def layers() -> list[Row]:
    """Alike, and a limp layer lying on one that is heavier and eight times as stiff.

    (The other way round the limp one falls away from under the stiff one, as it must.)
    """
    rows = []
    limp = cloth(0.25, (bending_rigidity_n_m(0.25, 0.03),) * 2)
    stiff = cloth(0.40, (8 * limp.bending_across_n_m,) * 2)
    for outer, lining, name in (
        (limp, limp, "alike"),
        (limp, stiff, "lining 8 times as stiff"),
    ):
        rigidity = outer.bending_across_n_m + lining.bending_across_n_m
        weight = STANDARD_GRAVITY_M_S2 * (outer.mass_kg_m2 + lining.mass_kg_m2)
        exact = cantilever(LENGTH_M / float(np.cbrt(rigidity / weight)))
        chord, gap = _hung(outer, lining, 0.0)
        label = f"two layers, {name}: chord angle"
        rows.append(share(label, chord, exact.chord_degrees, 0.03, "°", SOURCE))
        rows.append(
            Row(
                name=f"two layers, {name}: least gap",
                figure=gap,
                unit="of wanted",
                reference=1.0,
                error=f"{gap - 1:+.3f}",
                gate="over 0",
                passed=gap > 0,
                source="the layers' known order",
            )
        )
    chord, _ = _hung(limp, limp, 0.4)
    exact = cantilever(LENGTH_M / 0.03)
    label = "two layers, alike, friction 0.4 and cling: chord angle"
    rows.append(reported(label, chord, "°", SOURCE, exact.chord_degrees))
    return rows

# SPDX-License-Identifier: GPL-3.0-or-later
"""Cloth that slides on cloth and over its nap, through the drape's own contacts.

Amontons and Coulomb: a piece on an incline of the same cloth rests while tan α < μ. Nodes press as
balls, so two meshes lie on each other like cobbles: what these hold without friction is measured
beside it.
"""

import numpy as np
from napfold.core.arrays import FloatArray
from napfold.core.drape.body_contact import CLOTH_N_PER_M3
from napfold.core.drape.cloth_frames import ClothFrames
from napfold.core.drape.friction import PileFriction
from napfold.core.drape.motion import LONGEST_MOVE, Motion
from napfold.core.drape.self_contact import SelfContact
from napfold.core.drape.self_friction import SelfFriction
from napfold.core.drape.slices import finished
from napfold.core.drape.surroundings import BALL_SHARE
from napfold.core.drape.threads import one_thread

from ..rows import Row, at_most, distance
from .sheets import Held, cloth, one_layer, rectangle, sheet

__all__ = ["lets_go", "on_itself"]

SOURCE = "Coulomb: rests while tan α < μ"
EDGE_M = 0.01
TURNS = (0.4, 0.9, 1.3)
"""How the upper piece's mesh lies to the lower's, radians."""

LET_GO_M = 0.0005


def _slope(tangent: float) -> FloatArray:
    """Rows of places times this turn a level plane into one that falls towards +x."""
    angle = np.arctan(tangent)
    cos, sin = np.cos(angle), np.sin(angle)
    return np.array([[cos, 0.0, -sin], [0.0, 1.0, 0.0], [sin, 0.0, cos]])


def _piece_on_itself(tangent: float, friction: float, turn: float) -> tuple[Motion, int]:
    """A loose piece on a held one, both of one cloth; and how many nodes are held."""
    low, low_triangles = rectangle(0.28, 0.20, EDGE_M, "mesher's")
    high, high_triangles = rectangle(0.12, 0.12, EDGE_M, "mesher's")
    low, high = low - [0.14, 0.10], high - [-0.94, 0.06]
    flat = np.concatenate([low, high])
    triangles = np.concatenate([low_triangles, high_triangles + len(low)])
    garment = one_layer(sheet(flat, triangles, EDGE_M), cloth(0.25, (1e-4, 1e-4)))
    ball_m = BALL_SHARE * EDGE_M
    cos, sin = np.cos(turn), np.sin(turn)
    start = np.zeros((len(flat), 3))
    start[: len(low), :2] = low
    start[len(low) :, :2] = (high - [1.0, 0.0]) @ np.array([[cos, sin], [-sin, cos]]) - [0.04, 0.0]
    start[len(low) :, 2] = 0.9 * ball_m
    start = start @ _slope(tangent)
    nodes, places = garment.flat_places(0)
    rubbing = SelfFriction(ClothFrames.of_sheet(garment, 0), PileFriction(friction, friction))
    stiffness = CLOTH_N_PER_M3 * garment.area_m2
    touch = SelfContact(nodes, places, ball_m, LONGEST_MOVE * EDGE_M, stiffness, rubbing)
    held = np.arange(len(low))
    return Motion(garment, Held(held, start[held]), [touch], start), len(low)


def lets_go(tangent: float, friction: float, turn: float) -> bool:
    """Whether the loose piece has gone downhill after twelve rounds of the descent."""
    motion, held = _piece_on_itself(tangent, friction, turn)
    start = motion.positions
    with one_thread():
        for _ in range(12):
            finished(motion.descend())
    downhill = _slope(tangent)[0]
    return bool(((motion.positions - start)[held:] @ downhill).mean() > LET_GO_M)


def _slope_of_slip(friction: float, turn: float) -> float:
    """The slope at which it lets go, searched to 0.01."""
    low, high = max(0.0, friction - 0.1), friction + 0.2
    while high - low > 0.01:
        middle = (low + high) / 2
        if lets_go(middle, friction, turn):
            high = middle
        else:
            low = middle
    return (low + high) / 2


def on_itself() -> list[Row]:
    """Slope of slip less the coefficient, over three ways of the meshes to each other."""
    rows = []
    bare = [_slope_of_slip(0.0, turn) for turn in TURNS]
    name = "cloth on itself without friction: slope of slip, largest of 3"
    rows.append(at_most(name, max(bare), "", 0.05, "0; the balls' bumps hold a little"))
    for friction in (0.2, 0.5, 0.9):
        found = float(np.mean([_slope_of_slip(friction, turn) for turn in TURNS]))
        name = f"cloth on itself, μ={friction:g}: slope of slip, mean of 3"
        rows.append(distance(name, found, friction, 0.05, "", SOURCE))
    return rows

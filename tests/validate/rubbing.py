# SPDX-License-Identifier: GPL-3.0-or-later
"""Cloth that slides on cloth and over its nap, through the drape's own contacts.

Amontons and Coulomb: a piece on an incline of the same cloth rests while tan α < μ. Nodes press as
balls, so two meshes lie on each other like cobbles: what these hold without friction is measured
beside it.
"""

import numpy as np
from napfold.core.arrays import FloatArray
from napfold.core.drape.body_contact import CLOTH_N_PER_M3
from napfold.core.drape.cloth_frames import ClothFrames, Nap
from napfold.core.drape.contact_points import BALL_SHARE, ContactPoints
from napfold.core.drape.friction import PileFriction
from napfold.core.drape.motion import LONGEST_MOVE, Motion
from napfold.core.drape.self_contact import SelfContact
from napfold.core.drape.self_friction import SelfFriction
from napfold.core.drape.threads import one_thread
from napfold.core.slices import finished

from ..rows import Row, at_most, distance, share
from .sheets import Held, cloth, one_layer, rectangle, sheet
from .sliding import STAND_OFF_M, box, on_body

__all__ = ["lets_go", "nap_lets_go", "on_itself", "over_the_nap"]

SOURCE = "Coulomb: rests while tan α < μ"
EDGE_M = 0.01
TURNS = (0.4, 0.9, 1.3)
"""How the upper piece's mesh lies to the lower's, radians."""

LET_GO_M = 0.0005
NAP = PileFriction(with_nap=0.45, against_nap=0.70)
LINED_FRICTION = 0.4


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
    rubbing = SelfFriction(
        Nap(ClothFrames.of_sheet(garment, 0), PileFriction(friction, friction)), turns=True
    )
    stiffness = CLOTH_N_PER_M3 * garment.area_m2
    points = ContactPoints.of_sheet(garment, 0, ball_m, stiffness)
    touch = SelfContact(points, LONGEST_MOVE * EDGE_M, rubbing)
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


def nap_lets_go(tangent: float, nap_turn: float) -> bool:
    """Whether a square of pile cloth on a slope still goes downhill after ten rounds.

    The pile strokes smooth ``nap_turn`` radians off downhill.
    """
    flat, triangles = rectangle(0.06, 0.06, EDGE_M, "mesher's")
    flat = flat - 0.03
    # v falls the way the nap runs
    cos, sin = np.cos(nap_turn), np.sin(nap_turn)
    on_cloth = flat @ np.array([[sin, -cos], [-cos, -sin]]) * [-1.0, 1.0]
    garment = one_layer(sheet(on_cloth, triangles, EDGE_M), cloth(0.25, (1e-4, 1e-4)))
    downhill = _slope(tangent)
    vertices, faces = box(4.0, 1.0, 0.2)
    nap = Nap(ClothFrames.of_sheet(garment, 0), NAP)
    contact = on_body(vertices @ downhill, faces, garment, LINED_FRICTION, nap)
    start = np.concatenate([flat, np.full((len(flat), 1), STAND_OFF_M)], axis=1) @ downhill
    motion = Motion(garment, contact, [], start)
    middle = start
    with one_thread():
        for index in range(20):
            if index == 10:
                middle = motion.positions
            finished(motion.descend())
    return bool(((motion.positions - middle) @ downhill[0]).mean() > LET_GO_M)


def over_the_nap() -> list[Row]:
    """Slope of slip of pile cloth on a body, its nap uphill, across and downhill.

    Downhill is against the nap where the pile strokes smooth downhill: what lies under it strokes
    it uphill.
    """
    rows = []
    middle = (NAP.with_nap + NAP.against_nap) / 2
    for words, turn, coefficient in (
        ("uphill", np.pi, NAP.with_nap),
        ("across", np.pi / 2, middle),
        ("downhill", 0.0, NAP.against_nap),
    ):
        exact = LINED_FRICTION * coefficient / middle
        low, high = 0.85 * exact, 1.15 * exact
        while high - low > 0.01 * exact:
            between = (low + high) / 2
            if nap_lets_go(between, turn):
                high = between
            else:
                low = between
        name = f"pile on a body, nap {words}: slope of slip"
        rows.append(share(name, (low + high) / 2, exact, 0.05, "", SOURCE))
    return rows

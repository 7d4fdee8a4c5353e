# SPDX-License-Identifier: GPL-3.0-or-later
"""Friction of garment on garment: Coulomb's force, the nap's direction, and turning as a whole."""

import numpy as np
import pytest
from napfold.core.arrays import FloatArray
from napfold.core.drape.cloth_frames import ClothFrames, Nap
from napfold.core.drape.contact_points import ContactPoints
from napfold.core.drape.friction import PileFriction
from napfold.core.drape.garment import Garment
from napfold.core.drape.self_contact import SelfContact
from napfold.core.drape.self_friction import SelfFriction
from napfold.core.nap import NapDown

from ..validate.sheets import cloth, one_layer, rectangle, sheet

EDGE_M, BALL_M = 0.01, 0.0085
LOW_M, HIGH_M = (0.12, 0.12), (0.07, 0.07)


def two_pieces() -> tuple[Garment, int]:
    """Two pieces of one cloth, far apart on it; how many nodes the first has."""
    low, low_triangles = rectangle(*LOW_M, EDGE_M, "mesher's")
    high, high_triangles = rectangle(*HIGH_M, EDGE_M, "mesher's")
    flat = np.concatenate([low - np.array(LOW_M) / 2, high - np.array(HIGH_M) / 2 + [1.0, 0.0]])
    triangles = np.concatenate([low_triangles, high_triangles + len(low)])
    return one_layer(sheet(flat, triangles, EDGE_M), cloth(0.25, (1e-4, 1e-4))), len(low)


def contact_of(garment: Garment, friction: PileFriction, *, turns: bool = True) -> SelfContact:
    rubbing = SelfFriction(Nap(ClothFrames.of_sheet(garment, 0), friction), turns=turns)
    points = ContactPoints.of_sheet(garment, 0, BALL_M, 2e6 * garment.area_m2)
    return SelfContact(points, 1e-3, rubbing)


def laid(garment: Garment, count: int, turn: float, depth_m: float) -> FloatArray:
    """Both pieces level, the second turned and on the first."""
    positions = np.zeros((len(garment.mass_kg), 3))
    positions[:, :2] = garment.panel.flat
    cos, sin = np.cos(turn), np.sin(turn)
    high = positions[count:, :2] - [1.0, 0.0]
    positions[count:, :2] = high @ np.array([[cos, sin], [-sin, cos]])
    positions[count:, 2] = BALL_M - depth_m
    return positions


def dragged(friction: PileFriction, turn: float, way: tuple[float, float]) -> FloatArray:
    """Mean force (3,) in N on the lower piece while the upper is drawn 24 mm over it."""
    garment, count = two_pieces()
    contact = contact_of(garment, friction)
    positions = laid(garment, count, turn, 5e-4)
    forces = []
    for _ in range(120):
        positions[count:, :2] += 2e-4 * np.array(way)
        contact.refresh(positions)
        forces.append(-contact.energy_and_gradient(positions)[1][:count].sum(axis=0))
    mean: FloatArray = np.mean(forces[30:], axis=0)
    return mean


@pytest.mark.parametrize("coefficient", [0.2, 0.6])
def test_cloth_drawn_over_itself_drags_with_coulombs_force(coefficient: float) -> None:
    """Coefficient times pressing force, the way it is drawn; the balls' bumps even out to 0.01."""
    force = dragged(PileFriction(coefficient, coefficient), 0.7, (1.0, 0.0))
    assert force[0] / -force[2] == pytest.approx(coefficient, abs=0.02)
    assert abs(force[1] / force[2]) < 0.02


@pytest.mark.parametrize(
    ("turn", "way", "expected"),
    [
        # both naps smooth towards -y: drawn along y, one is stroked with it, the other against
        (0.0, (0.0, 1.0), 0.55),
        (0.0, (0.0, -1.0), 0.55),
        # head to tail and drawn so that either strokes the other against its nap, or with it
        (np.pi, (0.0, 1.0), 0.7),
        (np.pi, (0.0, -1.0), 0.4),
        (np.pi, (1.0, 0.0), 0.55),
    ],
)
def test_pile_on_pile_drags_by_both_naps(
    turn: float, way: tuple[float, float], expected: float
) -> None:
    force = dragged(PileFriction(with_nap=0.4, against_nap=0.7), turn, way)
    drag = float(force[:2] @ way)
    assert drag / -force[2] == pytest.approx(expected, rel=0.06)


def stuck() -> tuple[SelfContact, FloatArray]:
    """Pieces pressed and drawn a tenth of what they sway before they slide."""
    garment, count = two_pieces()
    contact = contact_of(garment, PileFriction(0.5, 0.5))
    positions = laid(garment, count, 0.7, 1e-3)
    contact.refresh(positions)
    positions[count:, 0] += 1e-4
    contact.refresh(positions)
    return contact, positions


def test_friction_of_what_turns_as_a_whole_turns_with_it() -> None:
    """A sleeve that lies on the side and is turned with it through 60 degrees does not slide."""
    contact, positions = stuck()
    before = contact.energy_and_gradient(positions)[1]
    turn = np.eye(3)
    for _ in range(12):
        cos, sin = np.cos(np.radians(5)), np.sin(np.radians(5))
        turn = np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]]) @ turn
        cos, sin = np.cos(np.radians(3)), np.sin(np.radians(3))
        turn = np.array([[cos, 0.0, sin], [0.0, 1.0, 0.0], [-sin, 0.0, cos]]) @ turn
        contact.refresh(positions @ turn.T)
    after = contact.energy_and_gradient(positions @ turn.T)[1]
    np.testing.assert_allclose(after, before @ turn.T, atol=1e-9 * np.abs(before).max())


def test_on_the_way_to_rest_what_rubs_stays_where_it_is() -> None:
    """Turned as a whole by a thousandth, what holds it back is the pull of the spring to its place."""
    garment, count = two_pieces()
    contact = contact_of(garment, PileFriction(5.0, 5.0), turns=False)
    positions = laid(garment, count, 0.7, 1e-3)
    contact.refresh(positions)
    turned = positions @ np.array([[1.0, 1e-3, 0.0], [-1e-3, 1.0, 0.0], [0.0, 0.0, 1.0]])
    before = contact.energy_and_gradient(turned)
    contact.refresh(turned)
    after = contact.energy_and_gradient(turned)
    assert after[0] == pytest.approx(before[0], rel=1e-2)
    np.testing.assert_allclose(after[1], before[1], atol=2e-3 * np.abs(before[1]).max())


def test_gradient_is_the_derivative_of_the_energy() -> None:
    contact, positions = stuck()
    draw = np.random.default_rng(3)
    positions = positions + draw.normal(scale=2e-4, size=positions.shape)
    direction = draw.normal(size=positions.shape)
    small = 1e-8
    ahead = contact.energy_and_gradient(positions + small * direction)[0]
    behind = contact.energy_and_gradient(positions - small * direction)[0]
    slope = np.vdot(contact.energy_and_gradient(positions)[1], direction)
    np.testing.assert_allclose((ahead - behind) / (2 * small), slope, rtol=1e-5)


def test_what_parted_and_meets_again_starts_anew() -> None:
    contact, positions = stuck()
    pulled = contact.energy_and_gradient(positions)[1][:, 0]
    assert np.abs(pulled).max() > 0
    count = two_pieces()[1]
    lifted = positions.copy()
    lifted[count:, 2] += 0.05
    contact.refresh(lifted)
    assert contact.energy_and_gradient(lifted)[0] == 0.0
    contact.refresh(positions)
    # only what presses is left: level pairs push straight up, tilted ones evenly to all sides
    total = contact.energy_and_gradient(positions)[1][:count].sum(axis=0)
    assert abs(total[0]) < 0.02 * abs(total[2])


@pytest.mark.parametrize(("nap", "way"), [(NapDown.IN_FRONT, -1.0), (NapDown.BEHIND, 1.0)])
def test_frames_go_with_the_cloth(nap: NapDown, way: float) -> None:
    """A sheet rolled round the y axis, v along it: the nap runs along v; out is off the axis."""
    flat, triangles = rectangle(0.1, 0.06, 0.006, "mesher's")
    garment = one_layer(sheet(flat, triangles, 0.006), cloth(0.25, (1e-4, 1e-4)))
    radius_m = 0.05
    turn = flat[:, 0] / radius_m
    positions = np.stack([radius_m * np.sin(turn), flat[:, 1], radius_m * np.cos(turn)], axis=1)
    frames = ClothFrames.of_sheet(garment, 0, nap).at(positions, np.arange(len(flat)))
    # flat triangles on the round shorten across and so shear by h/R, at most
    np.testing.assert_allclose(frames[:, 0], np.tile([0.0, way, 0.0], (len(flat), 1)), atol=0.12)
    out = np.stack([np.sin(turn), np.zeros(len(flat)), np.cos(turn)], axis=1)
    # a node's triangle is turned from the node by at most an edge over the radius
    assert ((frames[:, 2] * out).sum(axis=1) > np.cos(0.006 / radius_m)).all()
    np.testing.assert_allclose(np.linalg.det(frames), 1.0, rtol=1e-9)

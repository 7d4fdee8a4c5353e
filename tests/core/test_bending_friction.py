# SPDX-License-Identifier: GPL-3.0-or-later
"""Inner friction of bending: the loop of a pure bending test, what is kept, and what is left alone."""

from dataclasses import replace

import numpy as np
import pytest
from napfold.core.arrays import FloatArray
from napfold.core.drape.bending_friction import SWAY_PER_M, BendingFriction
from napfold.core.drape.garment import Garment

from ..validate import rubbing_within
from ..validate.sheets import cloth, one_layer, rectangle, sheet

MOMENT_N = 2e-4
LENGTH_M, WIDTH_M, EDGE_M = 0.12, 0.08, 0.004


def piece(across_n: float, along_n: float) -> Garment:
    flat, triangles = rectangle(LENGTH_M, WIDTH_M, EDGE_M, "mesher's")
    material = replace(
        cloth(0.25, (1e-5, 1e-5)),
        bending_friction_across_n=across_n,
        bending_friction_along_n=along_n,
    )
    return one_layer(sheet(flat, triangles, EDGE_M), material)


def rolled(flat: FloatArray, curvature_per_m: float, angle: float) -> FloatArray:
    """The sheet on a cylinder: bent along the direction at this angle from across."""
    way = np.array([np.cos(angle), np.sin(angle)])
    along, beside = flat @ way, flat @ [-way[1], way[0]]
    turn = curvature_per_m * along
    ahead = along * np.sinc(turn / np.pi)
    up = along * np.sinc(turn / (2 * np.pi)) * np.sin(turn / 2)
    return np.stack([ahead * way[0] - beside * way[1], ahead * way[1] + beside * way[0], up], 1)


def moments(
    across_n: float, along_n: float, angle: float, curvatures_per_m: FloatArray
) -> FloatArray:
    """The friction moment per width in N on the way through these curvatures."""
    garment = piece(across_n, along_n)
    flat = garment.panel.flat
    friction = BendingFriction(garment.inner_friction)
    found = []
    for curvature in curvatures_per_m:
        positions = rolled(flat, curvature, angle)
        friction.refresh(positions)
        gradient = friction.energy_and_gradient(positions)[1]
        rate = (
            rolled(flat, curvature + 1e-3, angle) - rolled(flat, curvature - 1e-3, angle)
        ) / 2e-3
        found.append(float(np.vdot(gradient, rate)) / (LENGTH_M * WIDTH_M))
    return np.array(found)


@pytest.mark.parametrize("angle", [0.0, np.pi / 4, np.pi / 2])
def test_a_bending_cycle_loops_with_half_the_width_of_the_hysteresis(angle: float) -> None:
    """Bent to 40/m, back to -40/m and again: ±H but for the free edges, which carry no moment."""
    way = np.concatenate(
        [np.linspace(0, 40, 21), np.linspace(40, -40, 41)[1:], np.linspace(-40, 40, 41)[1:]]
    )
    found = moments(MOMENT_N, MOMENT_N, angle, way)
    slipping = np.abs(found) > 0.9 * MOMENT_N
    # between, it turns within twice the sway; 2/m is the step
    expected = (80 - 2 * SWAY_PER_M) / 2
    assert abs(slipping[21:61].sum() - expected) <= 2
    assert abs(slipping[61:].sum() - expected) <= 2
    np.testing.assert_allclose(found[10:21], MOMENT_N, rtol=0.06)
    np.testing.assert_allclose(found[35:61], -MOMENT_N, rtol=0.06)
    np.testing.assert_allclose(found[75:], MOMENT_N, rtol=0.06)


def test_each_direction_has_its_own_moment() -> None:
    way = np.linspace(0, 40, 21)
    across, along = (moments(2 * MOMENT_N, MOMENT_N, angle, way)[-1] for angle in (0.0, np.pi / 2))
    assert across == pytest.approx(2 * MOMENT_N, rel=0.06)
    assert along == pytest.approx(MOMENT_N, rel=0.06)


def test_a_strip_that_is_let_go_keeps_some_of_its_bend() -> None:
    """It springs back from 60/m until B κ = H, here to 20/m; without friction it lies flat."""
    assert rubbing_within.bent_and_let_go(1e-5, 2e-4, 60.0) == pytest.approx(20.0, rel=0.05)
    assert rubbing_within.bent_and_let_go(1e-5, 0.0, 60.0) < 0.2


def test_cloth_bent_less_than_it_sways_springs_back() -> None:
    found = moments(MOMENT_N, MOMENT_N, 0.0, np.array([0.0, 4.0, 0.0, -4.0, 0.0]))
    np.testing.assert_allclose(found[[0, 2, 4]], 0.0, atol=1e-9 * MOMENT_N)
    assert found[1] == pytest.approx(4.0 / SWAY_PER_M * MOMENT_N, rel=0.06)
    assert found[3] == pytest.approx(-found[1], rel=1e-6)


def bent_friction() -> tuple[BendingFriction, FloatArray]:
    garment = piece(MOMENT_N, 0.5 * MOMENT_N)
    friction = BendingFriction(garment.inner_friction)
    positions = rolled(garment.panel.flat, 12.0, 0.3)
    friction.refresh(positions)
    friction.refresh(rolled(garment.panel.flat, 9.0, 0.3))
    return friction, positions


def test_turning_and_moving_as_a_whole_does_not_rub() -> None:
    friction, positions = bent_friction()
    friction.refresh(positions)
    energy, gradient = friction.energy_and_gradient(positions)
    cos, sin = np.cos(1.1), np.sin(1.1)
    turn = np.array([[cos, 0.0, -sin], [0.0, 1.0, 0.0], [sin, 0.0, cos]])
    moved = positions @ turn.T + [0.3, -0.2, 1.0]
    friction.refresh(moved)
    after, turned = friction.energy_and_gradient(moved)
    assert after == pytest.approx(energy, rel=1e-9)
    np.testing.assert_allclose(turned, gradient @ turn.T, atol=1e-9 * np.abs(gradient).max())


def test_gradient_is_the_derivative_of_the_energy() -> None:
    friction, positions = bent_friction()
    draw = np.random.default_rng(4)
    positions = positions + draw.normal(scale=2e-5, size=positions.shape)
    direction = draw.normal(size=positions.shape)
    small = 1e-9
    ahead = friction.energy_and_gradient(positions + small * direction)[0]
    behind = friction.energy_and_gradient(positions - small * direction)[0]
    slope = np.vdot(friction.energy_and_gradient(positions)[1], direction)
    np.testing.assert_allclose((ahead - behind) / (2 * small), slope, rtol=1e-5)


def test_cloth_without_inner_friction_has_no_pass_for_it() -> None:
    assert piece(0.0, 0.0).inner_friction is None


def test_friction_takes_its_part_of_the_rulers_rigidity() -> None:
    """What the ruler reads holds both: with friction told apart, what bends is limper."""
    material, _ = rubbing_within.rubbing_cloth(1e-5, 2e-4)
    panel = piece(0.0, 0.0).panel
    with_friction = one_layer(panel, material)
    plain = replace(material, bending_friction_across_n=0.0, bending_friction_along_n=0.0)
    without = one_layer(panel, plain)
    positions = rolled(panel.flat, 10.0, 0.0)
    bent, stiff = (np.vdot(positions, one.bending @ positions) for one in (with_friction, without))
    assert bent / stiff == pytest.approx(1e-5 / material.bending_along_n_m, rel=0.01)

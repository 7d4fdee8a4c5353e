# SPDX-License-Identifier: GPL-3.0-or-later
"""Where a sheet may touch itself: which points thin and thick cloth has, and what they share out."""

import numpy as np
import pytest
from napfold.core.drape.contact_points import ContactPoints, ball_size_m
from napfold.core.drape.garment import Garment
from napfold.core.drape.self_contact import SelfContact
from napfold.core.panels import build_panel_mesh
from napfold.core.pattern import build_pattern

from ..validate.sheets import cloth
from .conftest import CUT

EDGE_M = 0.04
THIN_M, THICK_M = 0.007, 0.03


@pytest.fixture(scope="module")
def garment() -> Garment:
    plush = cloth(0.25, (1e-4, 1e-4))
    return Garment.as_one_sheet(build_panel_mesh(build_pattern(CUT), EDGE_M), plush, plush)


def points_of(garment: Garment, thickness_m: float) -> ContactPoints:
    return ContactPoints.of_sheet(garment, 0, thickness_m, garment.area_m2)


def test_thick_cloth_touches_at_its_nodes_and_thin_cloth_also_between_them(
    garment: Garment,
) -> None:
    """Euler: an open wrap has three rims (hem, fronts and neck as one, two sleeve ends): 2 - 3."""
    nodes = len(garment.mass_kg)
    assert len(points_of(garment, THICK_M).ends) == nodes
    edges = len(points_of(garment, THIN_M).ends) - nodes
    assert nodes - edges + len(garment.panel.triangles) == -1


def test_balls_are_as_wide_as_the_cloth_or_close_the_mesh() -> None:
    """Two edges that cross in their middles have ends 0.71 of the points' distance apart."""
    for edge_m in (0.009, 0.018, 0.036):
        for thickness_m in (0.001, 0.007, 0.03):
            size_m = ball_size_m(edge_m, thickness_m)
            assert size_m >= thickness_m
            thin = thickness_m < edge_m / 2
            assert size_m > (edge_m / 2 if thin else edge_m) * 0.71


def test_the_points_share_out_the_stiffness_of_the_nodes(garment: Garment) -> None:
    """All of it but for the rim, where a mesh has fewer edges for a node."""
    every = garment.area_m2.sum()
    assert points_of(garment, THICK_M).stiffness_n_per_m.sum() == pytest.approx(every, rel=1e-12)
    assert points_of(garment, THIN_M).stiffness_n_per_m.sum() == pytest.approx(every, rel=0.03)


def test_points_of_a_seam_lie_at_two_places_and_all_others_at_one(garment: Garment) -> None:
    points = points_of(garment, THIN_M)
    double = (points.rest[:, 0] != points.rest[:, 1]).any(axis=1)
    seam = np.zeros(len(garment.mass_kg), dtype=bool)
    seam[garment.node[0][garment.panel.seam_pairs]] = True
    assert double.any()
    assert seam[points.ends[double]].all()
    # a sewn edge is as far from the shoulder fold in front as behind
    np.testing.assert_allclose(points.rest[double, 0, 1], -points.rest[double, 1, 1], atol=1e-9)


def test_what_touches_between_nodes_is_pushed_apart_by_the_slope_of_the_energy(
    garment: Garment,
) -> None:
    """A crumpled garment: the gradient against differences of the energy."""
    draw = np.random.default_rng(3)
    contact = SelfContact(points_of(garment, THIN_M), 0.005)
    positions = 0.15 * draw.normal(size=(len(garment.mass_kg), 3))
    contact.refresh(positions)
    energy, gradient = contact.energy_and_gradient(positions)
    assert energy > 0
    move = draw.normal(size=positions.shape)
    step = 1e-7
    high, low = (contact.energy_and_gradient(positions + s * step * move)[0] for s in (1, -1))
    assert (high - low) / (2 * step) == pytest.approx(np.vdot(gradient, move), rel=1e-5)
    # nothing outside pushes
    np.testing.assert_allclose(gradient.sum(axis=0), 0.0, atol=1e-9 * np.abs(gradient).max())

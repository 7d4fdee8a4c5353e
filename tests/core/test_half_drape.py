# SPDX-License-Identifier: GPL-3.0-or-later
"""A garment draped as half: joined to its mirror image it is the whole."""

from dataclasses import replace

import numpy as np
import pytest
from napfold.core.cloth import library
from napfold.core.drape import run, settle
from napfold.core.drape.equilibrium import Equilibrium
from napfold.core.drape.garment import Garment
from napfold.core.drape.half_panel import HalfPanel, left_half, whole_of
from napfold.core.drape.middle_plane import HELD_N_PER_M, MiddlePlane
from napfold.core.mannequin import POSES, build_mannequin
from napfold.core.panels import PanelMesh, build_panel_mesh
from napfold.core.pattern import Cut, build_pattern
from napfold.core.tape import Tape

CUT = Cut(
    cloth_width_m=1.47,
    length_m=1.37,
    body_width_m=0.66,
    sleeve_drop_m=0.203,
    corner_radius_m=0.10,
)
PLUSH, LONG = (library()[kind] for kind in ("light plush", "long pile"))
LIKE_FORCE_N = 1e-9


@pytest.fixture(scope="module")
def panel() -> PanelMesh:
    return build_panel_mesh(build_pattern(CUT), 0.05)


@pytest.fixture(scope="module")
def half(panel: PanelMesh) -> HalfPanel:
    found = left_half(panel)
    assert found is not None
    return found


def bent(flat: np.ndarray) -> np.ndarray:
    """A shape alike on both sides, bent and stretched everywhere, the middle too."""
    x, v = flat.T
    height = 0.05 * np.cos(7 * x) + 0.04 * np.sin(5 * v) + 0.1 * x * x * v
    return np.stack([1.01 * x + 0.05 * x**3, v + 0.02 * x * x, height], axis=1)


def test_the_half_has_half_of_everything(panel: PanelMesh, half: HalfPanel) -> None:
    assert len(half.panel.triangles) * 2 == len(panel.triangles)
    assert len(half.panel.seam_pairs) * 2 == len(panel.seam_pairs)
    # the neck's middle at the back lies on the rim of both halves
    assert len(half.panel.rim) * 2 == len(panel.rim) + 2
    assert half.panel.flat[:, 0].min() == 0.0
    middle = half.panel.flat[half.panel.middle]
    assert (middle[:, 0] == 0).all()
    assert (middle[:, 1] > 0).all()


def test_the_whole_of_a_half_is_the_whole(panel: PanelMesh, half: HalfPanel) -> None:
    positions = bent(panel.flat)
    np.testing.assert_allclose(half.whole(positions[half.kept]), positions, rtol=0, atol=1e-15)
    np.testing.assert_array_equal(whole_of(panel).whole(positions), positions)


def test_fronts_that_overlap_have_no_half(panel: PanelMesh) -> None:
    flat = panel.flat.copy()
    flat[panel.edges["front_left"], 0] -= 0.03
    assert left_half(replace(panel, flat=flat)) is None


@pytest.mark.parametrize("layers", [1, 2])
def test_half_the_garment_has_half_the_energy_and_the_same_forces(
    panel: PanelMesh, half: HalfPanel, layers: int
) -> None:
    """Exact but for rounding: bending in the middle sees the image that the other half is."""
    build = Garment.as_one_sheet if layers == 1 else Garment.as_two_layers
    positions = bent(panel.flat)
    energies, forces = [], []
    for part, places in ((panel, positions), (half.panel, positions[half.kept])):
        garment = build(part, PLUSH, LONG)
        nodes = np.zeros((len(garment.mass_kg), 3))
        nodes[garment.node] = places
        equilibrium = Equilibrium(garment, [], None)
        equilibrium.refresh(nodes)
        energy, gradient = equilibrium(nodes)
        energies.append(energy)
        forces.append(gradient[garment.node[0]])
    assert energies[1] == pytest.approx(energies[0] / 2, rel=1e-12)
    beside = np.setdiff1d(np.arange(len(half.kept)), half.panel.middle)
    np.testing.assert_allclose(
        forces[1][beside], forces[0][half.kept[beside]], rtol=1e-9, atol=LIKE_FORCE_N
    )
    # in the middle both halves pull alike, along the plane
    in_plane = forces[0][half.kept[half.panel.middle], 1:]
    np.testing.assert_allclose(
        2 * forces[1][half.panel.middle, 1:], in_plane, rtol=1e-9, atol=LIKE_FORCE_N
    )


def test_the_gradient_of_half_a_garment_is_that_of_its_energy(half: HalfPanel) -> None:
    generator = np.random.default_rng(3)
    garment = Garment.as_one_sheet(half.panel, PLUSH, LONG)
    nodes = np.zeros((len(garment.mass_kg), 3))
    nodes[garment.node[0]] = bent(half.panel.flat)
    equilibrium = Equilibrium(garment, [], None)
    equilibrium.refresh(nodes)
    nodes += generator.normal(scale=1e-3, size=nodes.shape)
    direction = generator.normal(size=nodes.shape)
    small = 1e-8
    ahead, behind = (equilibrium(nodes + way * small * direction)[0] for way in (1, -1))
    slope = np.vdot(equilibrium(nodes)[1], direction)
    np.testing.assert_allclose((ahead - behind) / (2 * small), slope, rtol=1e-5)


def test_the_middle_holds_some_nodes_and_keeps_the_others_on_their_side() -> None:
    plane = MiddlePlane(np.array([0]), np.full(3, 0.004), np.full(3, 500.0))
    positions = np.array([[0.001, 0, 0], [0.003, 0, 0], [0.005, 0, 0]])
    energy, gradient = plane.energy_and_gradient(positions)
    np.testing.assert_allclose(gradient[:, 0], [HELD_N_PER_M * 0.001, -500.0 * 0.001, 0.0])
    assert energy == pytest.approx((HELD_N_PER_M + 500.0) * 0.001**2 / 2)
    np.testing.assert_array_equal(plane.node_blocks(positions)[:, 0, 0], [HELD_N_PER_M, 500.0, 0.0])


def test_a_pose_alike_on_both_sides_hangs_alike_to_the_last_bit() -> None:
    wearer = build_mannequin(Tape(sex="female", given={"height": 1.68, "bust_girth": 0.965}))
    pattern = build_pattern(replace(CUT, length_m=0.92))
    alike = POSES["arms out"]
    raised = replace(alike.left, shoulder_abduction=alike.left.shoulder_abduction - 1e-9)
    half, whole = (
        run(settle(pattern, PLUSH, PLUSH, wearer, pose, 0.06))
        for pose in (alike, replace(alike, left=raised))
    )
    mirror = half.panel.mirror
    np.testing.assert_array_equal(half.outer[mirror] * [-1, 1, 1], half.outer)
    np.testing.assert_array_equal(half.lining[mirror] * [-1, 1, 1], half.lining)
    # draped whole, the hem hangs alike; folds in the sleeves differ from side to side, on so coarse
    # a mesh by up to half an edge length
    ends = {"hem_back": 0.01, "hem_front_left": 0.01, "sleeve_end_left": 0.03}
    for edge, most_m in ends.items():
        heights = [drape.outer[drape.panel.edges[edge], 2].mean() for drape in (half, whole)]
        assert heights[0] == pytest.approx(heights[1], abs=most_m)
    # the lost half counts: of one energy all of it
    energies = [drape.statistics["energy_j"] for drape in (half, whole)]
    assert energies[0] == pytest.approx(energies[1], rel=0.02)

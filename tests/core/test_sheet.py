# SPDX-License-Identifier: GPL-3.0-or-later
"""The elastic sheet: bending and membrane against closed forms, and the strip that hangs."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.drape.bending import (
    BendingStencils,
    opposite_corners,
    second_derivative_weights,
)
from napfold.core.drape.fronts import FrontFactor, Fronts
from napfold.core.drape.membrane import COMPRESSION, WRINKLED, Membrane, buckling_load_n_per_m
from napfold.core.drape.quasi_newton import Descent
from napfold.core.drape.sparse import SymmetricMatrix
from napfold.core.slices import finished
from napfold.core.triangulate import fill_polygon

from .strips import strip

RIGIDITY_N_M = 1e-4
RADIUS_M = 0.1


def bending_matrix(
    flat: np.ndarray, triangles: np.ndarray, across: float, along: float
) -> SymmetricMatrix:
    stencils = BendingStencils.of_sheet(flat, triangles, across, along)
    return SymmetricMatrix.of_triplets(len(flat), stencils.triplets(across, along))


def curled(flat: np.ndarray, axis: int) -> np.ndarray:
    """The sheet bent along one flat axis, its curvature sin(π s/L) / `RADIUS_M` over the length L.

    Both ends are straight, as they are where nothing turns them. The places along the curve are
    integrals of the slope (κ0 L/π)(1 - cos(π s/L)), summed over fine steps.
    """
    along, beside = flat[:, axis], flat[:, 1 - axis]
    length = np.ptp(along)
    fine = np.linspace(0.0, length, 20001)
    slope = length / (np.pi * RADIUS_M) * (1 - np.cos(np.pi * fine / length))
    curve = []
    for rate in (np.cos(slope), np.sin(slope)):
        steps = (rate[1:] + rate[:-1]) / 2 * np.diff(fine)
        curve.append(np.interp(along, fine, np.concatenate([[0.0], np.cumsum(steps)])))
    position = np.zeros((len(flat), 3))
    position[:, axis], position[:, 1 - axis], position[:, 2] = curve[0], beside, curve[1]
    return position


@pytest.mark.parametrize("rows_across", [False, True])
@pytest.mark.parametrize("axis", [0, 1])
def test_a_bent_strip_has_the_energy_of_a_plate(rows_across: bool, axis: int) -> None:
    """½ D κ² over the area, with the mean of sin² a half; no edge takes or adds any."""
    flat, triangles = strip(0.2, 0.1, 0.004, rows_across=rows_across)
    rigidities = [3e-5, 3e-5]
    rigidities[axis] = RIGIDITY_N_M
    matrix = bending_matrix(flat, triangles, *rigidities)
    position = curled(flat, axis)
    energy = 0.5 * np.vdot(position, matrix @ position)
    np.testing.assert_allclose(energy, 0.25 * RIGIDITY_N_M / RADIUS_M**2 * 0.02, rtol=0.004)


def stencils(flat: np.ndarray, triangles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Six points of each triangle that has a neighbour, and which of its edges are free."""
    neighbours = opposite_corners(triangles)
    neighbours, own = neighbours[(neighbours >= 0).any(1)], triangles[(neighbours >= 0).any(1)]
    free = neighbours < 0
    return flat[np.concatenate([own, np.where(free, own, neighbours)], axis=1)], free


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000))
def test_every_uniform_curvature_is_found_on_every_mesh(seed: int) -> None:
    """Nodes shifted at random by up to a quarter of an edge; the quadratic's own derivatives."""
    flat, triangles = strip(0.06, 0.04, 0.01)
    generator = np.random.default_rng(seed)
    points, free = stencils(flat + generator.uniform(-2e-3, 2e-3, flat.shape), triangles)
    points, free = points[~free.any(axis=1)], free[~free.any(axis=1)]
    second = generator.normal(size=3)
    u, v = points[..., 0], points[..., 1]
    value = 0.3 + u - 2 * v + second[0] * u**2 / 2 + second[1] * v**2 / 2 + second[2] * u * v
    weights = second_derivative_weights(points, free, np.array([1.0, 2.0]))
    found = np.einsum("tij,tj->ti", weights, value)
    # four or five corners of a stencil may come near to a conic: then nothing is told
    told = np.abs(weights).max(axis=(1, 2)) > 0
    assert told.mean() > 0.9
    np.testing.assert_allclose(found[told], np.tile(second, (told.sum(), 1)), atol=1e-8)


@pytest.mark.parametrize("angle_rad", [0.0, 0.4, 1.1])
def test_a_free_edge_keeps_every_bend_without_a_moment_across_it(angle_rad: float) -> None:
    """A strip cut at an angle to an orthotropic cloth: m·Hm = 0 across its long edges."""
    flat, triangles = strip(0.06, 0.04, 0.01)
    inner = flat[triangles][:, :, 0]
    triangles = triangles[(inner.min(axis=1) > 1e-9) & (inner.max(axis=1) < 0.06 - 1e-9)]
    points, free = stencils(flat, triangles)
    edge = points[:, [2, 0, 1]] - points[:, [1, 2, 0]]
    level = np.abs(edge[..., 1]) < 1e-9
    sides = free.any(axis=1) & (level | ~free).all(axis=1)
    assert sides.sum() > 5
    roots = np.sqrt([1e-4, 1e-5])
    across, along = roots * [-np.sin(angle_rad), np.cos(angle_rad)]
    f_uu, f_uv = 1.3, -0.7
    f_vv = -(across**2 * f_uu + 2 * across * along * f_uv) / along**2
    turn = np.array(
        [[np.cos(angle_rad), np.sin(angle_rad)], [-np.sin(angle_rad), np.cos(angle_rad)]]
    )
    points = points[sides] @ turn
    u, v = points[..., 0], points[..., 1]
    value = f_uu * u**2 / 2 + f_vv * v**2 / 2 + f_uv * u * v
    weights = second_derivative_weights(points, free[sides], roots)
    found = np.einsum("tij,tj->ti", weights, value)
    np.testing.assert_allclose(found, np.tile([f_uu, f_vv, f_uv], (len(found), 1)), atol=1e-8)


def test_every_corner_resists_bending() -> None:
    """No vertex of the mesher's sheet may flap: only planes and the twist-free tilt cost nothing."""
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    outline = np.concatenate(
        [
            a + np.linspace(0, 1, 10, endpoint=False)[:, None] * (b - a)
            for a, b in zip(square, np.roll(square, -1, axis=0), strict=True)
        ]
    )
    flat, triangles = fill_polygon(outline, 0.1, np.radians(25))
    stencils = BendingStencils.of_sheet(flat, triangles, 1.0, 1.0)
    rows, columns, values = stencils.triplets(1.0, 1.0)
    matrix = np.zeros((len(flat), len(flat)))
    np.add.at(matrix, (rows, columns), values)
    stiffness = np.linalg.eigvalsh(matrix)
    assert np.abs(stiffness[:3]).max() < 1e-9 * stiffness[-1]
    assert stiffness[3] > 1e-5 * stiffness[-1]


def test_flat_and_stretched_sheets_do_not_bend() -> None:
    flat, triangles = strip(0.1, 0.04, 0.007)
    matrix = bending_matrix(flat, triangles, RIGIDITY_N_M, RIGIDITY_N_M)
    tilted = flat @ np.array([[1.1, 0.2, 0.3], [-0.1, 0.9, 0.5]])
    assert np.abs(matrix @ tilted).max() < 1e-12


WRINKLING_N_PER_M = (0.6, 900.0)
"""Across cloth wrinkles more easily than it is compressed, along it does not."""


def membrane(flat: np.ndarray, triangles: np.ndarray) -> Membrane:
    return Membrane.of_sheet(flat[triangles], triangles, (700.0, 3000.0, 40.0), WRINKLING_N_PER_M)


def test_stretch_shear_and_compression_have_their_stiffness() -> None:
    flat, triangles = strip(0.1, 0.04, 0.007)
    sheet = membrane(flat, triangles)
    area = 0.1 * 0.04
    for factors, energy in (
        (np.diag([1.02, 1.0]), 0.5 * 700 * 0.02**2),
        (np.diag([1.0, 1.01]), 0.5 * 3000 * 0.01**2),
        # across 0.6 N/m shorten it by the share that wrinkles take, along it is too stiff for them
        (np.diag([0.98, 1.0]), 0.5 * 0.6 / WRINKLED * 0.02**2),
        (np.diag([1.0, 0.98]), 0.5 * COMPRESSION * 3000 * 0.02**2),
        # beyond that share it resists as a compressed sheet
        (
            np.diag([1 - WRINKLED - 0.02, 1.0]),
            0.6 * (0.5 * WRINKLED + 0.02) + 0.5 * COMPRESSION * 700 * 0.02**2,
        ),
    ):
        position = np.concatenate([flat @ factors, np.zeros((len(flat), 1))], axis=1)
        np.testing.assert_allclose(sheet.energy_and_gradient(position)[0], energy * area, rtol=1e-9)


def test_a_bias_strip_has_the_modulus_of_an_orthotropic_sheet() -> None:
    """4/E = 1/K_u + 1/K_v + 1/G for uniform tension at 45° (laminate theory, Poisson 0)."""
    flat, triangles = strip(0.1, 0.1, 0.02)
    sheet = membrane(flat, triangles)
    strain = 1e-4

    def energy(parts: np.ndarray) -> float:
        symmetric = np.array([[parts[0], parts[2]], [parts[2], parts[1]]])
        position = np.concatenate([flat @ (np.eye(2) + symmetric), np.zeros((len(flat), 1))], 1)
        return sheet.energy_and_gradient(position)[0]

    # stress of uniform strain (e, e, g) is K_u e, K_v e, 2 G g: solve for uniaxial stress s at 45°
    stress = 0.5 * np.ones(3)
    compliance = np.array([1 / 700.0, 1 / 3000.0, 1 / (2 * 40.0)])
    parts = stress * compliance
    elongation = parts[:2].mean() + parts[2]
    modulus = 1 / elongation
    np.testing.assert_allclose(4 / modulus, 1 / 700 + 1 / 3000 + 1 / 40, rtol=1e-12)
    scaled = parts * (strain / elongation)
    np.testing.assert_allclose(energy(scaled), 0.5 * modulus * strain**2 * 0.01, rtol=2e-3)


def test_gradient_is_the_derivative_of_the_energy() -> None:
    flat, triangles = strip(0.06, 0.04, 0.01)
    sheet = membrane(flat, triangles)
    generator = np.random.default_rng(3)
    position = np.concatenate([flat, np.zeros((len(flat), 1))], axis=1)
    position += generator.normal(scale=5e-4, size=position.shape)
    direction = generator.normal(size=position.shape)
    small = 1e-8
    ahead = sheet.energy_and_gradient(position + small * direction)[0]
    behind = sheet.energy_and_gradient(position - small * direction)[0]
    slope = np.vdot(sheet.energy_and_gradient(position)[1], direction)
    np.testing.assert_allclose((ahead - behind) / (2 * small), slope, rtol=1e-6)


def test_turning_the_sheet_changes_no_energy() -> None:
    flat, triangles = strip(0.06, 0.04, 0.01)
    sheet = membrane(flat, triangles)
    generator = np.random.default_rng(4)
    position = np.concatenate([flat, np.zeros((len(flat), 1))], axis=1)
    position += generator.normal(scale=1e-3, size=position.shape)
    turn, _ = np.linalg.qr(generator.normal(size=(3, 3)))
    np.testing.assert_allclose(
        sheet.energy_and_gradient(position @ turn.T)[0],
        sheet.energy_and_gradient(position)[0],
        rtol=1e-12,
    )


class Strip:
    """A strip laid level over a knife edge at its middle: two heavy cantilevers back to back."""

    weight_kg_m2 = 0.2

    def __init__(self, overhang_m: float, edge_m: float, bending_length_m: float) -> None:
        flat, self.triangles = strip(2 * overhang_m, 0.03, edge_m)
        self.flat = flat - [overhang_m, 0.0]
        rigidity = self.weight_kg_m2 * 9.81 * bending_length_m**3
        self.membrane = Membrane.of_sheet(
            self.flat[self.triangles],
            self.triangles,
            (500.0, 500.0, 100.0),
            2 * (buckling_load_n_per_m(rigidity, edge_m),),
        )
        self.bending = bending_matrix(self.flat, self.triangles, rigidity, rigidity)
        share = np.repeat(self.membrane.area_m2 / 3, 3)
        self.mass = self.weight_kg_m2 * np.bincount(self.triangles.ravel(), share)
        self.held = np.where(np.abs(self.flat[:, 0]) < 1e-9, 1e3, 0.0)
        self.start = np.stack([*self.flat.T, -1e-3 * np.abs(self.flat[:, 0])], axis=1)

    def objective(self, position: np.ndarray) -> tuple[float, np.ndarray]:
        energy, gradient = self.membrane.energy_and_gradient(position)
        bend = self.bending @ position
        away = position - np.stack([*self.flat.T, np.zeros(len(position))], axis=1)
        energy += 0.5 * np.vdot(position, bend) + 9.81 * self.mass @ position[:, 2]
        energy += 0.5 * np.vdot(self.held[:, None] * away, away)
        gradient += bend + self.held[:, None] * away
        gradient[:, 2] += 9.81 * self.mass
        return float(energy), gradient

    def factor(self, position: np.ndarray) -> FrontFactor:
        rows, columns, values = self.bending.entries()
        first = np.repeat(self.triangles, 3, axis=1).ravel()
        second = np.tile(self.triangles, (1, 3)).ravel()
        fronts = Fronts(self.flat, np.concatenate([rows, first]), np.concatenate([columns, second]))
        size = fronts.size + 1
        blocks = self.membrane.stiffness_blocks(position)
        flat = np.bincount(fronts.stored(first, second).ravel(), blocks.ravel(), minlength=size)
        for axis in range(3):
            places = fronts.stored(rows, columns)[:, axis, axis]
            flat += np.bincount(places, values, minlength=size)
            nodes = np.arange(len(self.flat))
            places = fronts.stored(nodes, nodes)[:, axis, axis]
            flat += np.bincount(places, self.held + 1e-3, minlength=size)
        return finished(FrontFactor.eliminate(fronts, flat[:-1]))

    def hang(self) -> np.ndarray:
        position = self.start
        for _ in range(40):
            descent = Descent(self.objective, position, self.factor(position), 0.005)
            energies = [descent.energy]
            for _ in range(15):
                descent.step()
                energies.append(descent.energy)
            assert (np.diff(energies) <= 0).all()
            position = descent.positions
        return position


@pytest.mark.parametrize(
    ("overhang", "chord_degrees", "reach", "drop"),
    [(2.0, 41.49, 0.7244, 0.6406), (3.0, 66.96, 0.3673, 0.8636)],
)
def test_a_strip_hangs_as_the_heavy_elastica(
    overhang: float, chord_degrees: float, reach: float, drop: float
) -> None:
    """Tip of a cantilever of 2 and 3 bending lengths: boundary value problem of the elastica."""
    bending_length = 0.05
    length = overhang * bending_length
    test = Strip(length, 0.006, bending_length)
    position = test.hang()
    tip = position[np.abs(test.flat[:, 0] - length) < 1e-9].mean(axis=0)
    angle = np.degrees(np.arctan2(-tip[2], tip[0]))
    np.testing.assert_allclose(angle, chord_degrees, rtol=0.03)
    np.testing.assert_allclose([tip[0] / length, -tip[2] / length], [reach, drop], atol=0.012)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Crossed cloth is found and drawn apart the right way."""

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from napfold.core.drape.crossings import piercings, sheet_edges
from napfold.core.drape.garment import Garment
from napfold.core.drape.tangles import FEW_TANGLES, Tangles
from napfold.core.slices import finished

from .strips import strip

EDGE_M = 0.01


def two_pieces(layers: int) -> tuple[Garment, int]:
    """Two like squares: outer and lining of one cut, or two far places of one sheet."""
    flat, triangles = strip(0.1, 0.1, EDGE_M)
    count = len(flat)
    both = np.concatenate([triangles, triangles + count])
    places = np.repeat(flat[:, None], 2, axis=1)
    if layers == 2:
        sheets = [triangles, triangles + count]
        nodes = [np.arange(count), np.arange(count) + count]
        flats = [places, places]
    else:
        sheets, nodes = [both], [np.arange(2 * count)]
        flats = [np.concatenate([places, places + 5.0])]
    garment = SimpleNamespace(
        node=np.zeros((layers, 1), dtype=np.int64),
        node_triangles=lambda sheet: sheets[sheet],
        flat_places=lambda sheet: (nodes[sheet], flats[sheet]),
        mass_kg=np.ones(2 * count),
        panel=SimpleNamespace(edge_length_m=EDGE_M),
    )
    return cast(Garment, garment), count


def poked(count: int) -> np.ndarray:
    """The second piece 3 mm under the first, with a bump that pokes 1 mm through it."""
    flat, _ = strip(0.1, 0.1, EDGE_M)
    first = np.concatenate([flat, np.zeros((count, 1))], axis=1)
    second = first - [0.0013, 0.0017, 0.003]
    middle = flat.mean(axis=0)
    near = ((flat - middle) ** 2).sum(axis=1) < (1.5 * EDGE_M) ** 2
    second[near, 2] += 0.004
    return np.concatenate([first, second])


def steps_until_clear(tangles: Tangles, positions: np.ndarray, most: int) -> int:
    """Rounds of small moves down the pushes until nothing is found; `most` if it never is."""
    for count in range(most):
        if finished(tangles.find(positions)) == 0:
            return count
        for _ in range(20):
            _, gradient = tangles.energy_and_gradient(positions)
            positions = positions - 2e-3 * gradient
    return most


@pytest.mark.parametrize("layers", [1, 2])
def test_a_bump_through_the_other_piece_is_drawn_back(layers: int) -> None:
    garment, count = two_pieces(layers)
    positions = poked(count)
    triangles = np.concatenate([garment.node_triangles(sheet) for sheet in range(layers)])
    assert len(piercings(positions, sheet_edges(triangles), triangles)) > 4
    tangles = Tangles(garment, np.full(2 * count, 100.0))
    assert steps_until_clear(tangles, positions, 12) < 12


@pytest.mark.parametrize("layers", [1, 2])
def test_a_few_crossings_are_moved_apart_and_the_rest_left_alone(layers: int) -> None:
    garment, count = two_pieces(layers)
    positions = poked(count)
    tangles = Tangles(garment, np.full(2 * count, 100.0))
    crossing = finished(tangles.find(positions))
    assert 0 < crossing <= FEW_TANGLES
    clear, left = finished(tangles.cleared(positions))
    assert left == 0
    assert finished(tangles.find(clear)) == 0
    moved = np.sqrt(((clear - positions) ** 2).sum(axis=1))
    middle = positions[:count].mean(axis=0)
    far = ((positions - middle)[:, :2] ** 2).sum(axis=1) > (4 * EDGE_M) ** 2
    assert moved[far].max() == 0
    assert moved.max() < EDGE_M


def test_the_lining_is_pushed_down_and_the_outer_up() -> None:
    garment, count = two_pieces(2)
    positions = poked(count)
    tangles = Tangles(garment, np.full(2 * count, 100.0))
    finished(tangles.find(positions))
    energy, gradient = tangles.energy_and_gradient(positions)
    assert energy > 0
    assert gradient[:count, 2].max() <= 0  # the force on the outer is against its gradient: up
    assert gradient[count:, 2].min() >= 0
    np.testing.assert_allclose(gradient.sum(axis=0), 0.0, atol=1e-12)


def test_clear_cloth_is_left_alone() -> None:
    garment, count = two_pieces(2)
    positions = poked(count)
    positions[count:, 2] -= 0.01
    tangles = Tangles(garment, np.full(2 * count, 100.0))
    assert finished(tangles.find(positions)) == 0
    energy, gradient = tangles.energy_and_gradient(positions)
    assert energy == 0
    assert np.abs(gradient).max() == 0


def test_pushes_are_the_slope_of_their_energy_and_bounded_by_their_blocks() -> None:
    garment, count = two_pieces(1)
    positions = poked(count)
    tangles = Tangles(garment, np.full(2 * count, 100.0))
    finished(tangles.find(positions))
    move: Any = np.random.default_rng(4).normal(size=positions.shape)
    step = 1e-7
    energies = [tangles.energy_and_gradient(positions + sign * step * move)[0] for sign in (1, -1)]
    slopes = [tangles.energy_and_gradient(positions + sign * step * move)[1] for sign in (1, -1)]
    gradient = tangles.energy_and_gradient(positions)[1]
    np.testing.assert_allclose(
        (energies[0] - energies[1]) / (2 * step), np.vdot(gradient, move), rtol=1e-4
    )
    curvature = np.vdot(move, slopes[0] - slopes[1]) / (2 * step)
    bound = np.einsum("ni,nij,nj->", move, tangles.node_blocks(positions), move)
    assert 0 < curvature <= bound


def test_a_push_is_let_off_once_and_stays_where_cloth_crosses_again() -> None:
    garment, count = two_pieces(2)
    crossing = poked(count)
    beside = crossing.copy()
    beside[count:, 0] += 1.0  # crosses nothing, and as deep as before along the pushes
    tangles = Tangles(garment, np.full(2 * count, 100.0))
    found = finished(tangles.find(crossing))
    full = tangles.energy_and_gradient(beside)[0]
    clear_m = 0.05 * EDGE_M
    # 1 mm deep and 0.5 mm clear: most pushes miss more than twice the clear space
    assert full > found * 0.5 * 100.0 * (2 * clear_m) ** 2
    energies = []
    for _ in range(2):
        assert finished(tangles.find(beside, firmer=True)) == 0
        energies.append(tangles.energy_and_gradient(beside)[0])
    # let off to the clear space at once, then held: it must not creep on from look to look
    assert energies[0] < 0.7 * full
    assert energies[1] == energies[0]
    # still moving it is let off again; at rest it stays
    for firmer, holds in ((False, False), (True, True)):
        assert finished(tangles.find(crossing, firmer=firmer)) == found
        assert finished(tangles.find(beside, firmer=True)) == 0
        assert (tangles.energy_and_gradient(beside)[0] > 0.9 * full) is holds


def test_what_a_push_has_not_drawn_apart_is_added_to_the_next_one_at_rest() -> None:
    """Cloth that other forces hold where it crosses is pushed the harder at the next look."""
    garment, count = two_pieces(2)
    positions = poked(count)
    tangles = Tangles(garment, np.full(2 * count, 100.0))
    finished(tangles.find(positions))
    first = np.abs(tangles.energy_and_gradient(positions)[1]).max()
    finished(tangles.find(positions))
    assert np.abs(tangles.energy_and_gradient(positions)[1]).max() == pytest.approx(first)
    finished(tangles.find(positions, firmer=True))
    second = np.abs(tangles.energy_and_gradient(positions)[1]).max()
    # nothing moved, so the whole push is lacking and comes on top: 1.5 mm and 1.5 mm
    assert second == pytest.approx(2 * first)

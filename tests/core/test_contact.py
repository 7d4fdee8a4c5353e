# SPDX-License-Identifier: GPL-3.0-or-later
"""Contacts of the drape: neighbours, friction, the layers' order, and the check for crossings."""

from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.drape.backend import chosen
from napfold.core.drape.contact_points import ContactPoints
from napfold.core.drape.crossings import piercings, sheet_edges
from napfold.core.drape.friction import PileFriction, drawn_after
from napfold.core.drape.layer_contact import LayerContact, node_normals
from napfold.core.drape.planes import OTHER_SIDE, Planes
from napfold.core.drape.self_contact import SelfContact
from napfold.core.drape.stillness import FOUND_AGAIN, Stillness

from .strips import strip


def two_points(apart_m: float) -> ContactPoints:
    """Two nodes so far apart on cloth of 1 cm."""
    rest = np.array([[[0.0, 0.0]] * 2, [[apart_m, 0.0]] * 2])
    ends = np.array([[0, 0], [1, 1]])
    return ContactPoints(ends, rest, np.full(2, 100.0), 0.01, 0.015)


def test_a_fold_is_kept_as_thick_as_two_plies() -> None:
    """Two nodes far apart on the cloth and 4 mm apart in space are pushed with k d each."""
    contact = SelfContact(two_points(0.5), 0.005)
    positions = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 0.004]])
    contact.refresh(positions)
    energy, gradient = contact.energy_and_gradient(positions)
    np.testing.assert_allclose(energy, 0.5 * 100 * 0.006**2, rtol=1e-12)
    np.testing.assert_allclose(gradient, [[0, 0, 0.6], [0, 0, -0.6]], atol=1e-12)


def test_neighbours_on_the_cloth_do_not_repel() -> None:
    contact = SelfContact(two_points(0.012), 0.005)
    contact.refresh(np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 0.004]]))
    assert contact.pair_count == 0


@pytest.mark.parametrize("coefficient", [0.2, 0.5, 0.9])
def test_a_block_slides_on_an_incline_from_the_angle_of_friction_on(coefficient: float) -> None:
    """Coulomb: it rests while tan α < μ. Searched to 1 % with the drape's own springs."""
    stiffness, weight = 50.0, 0.02
    sways, upright = chosen("passes").sways, np.array([[0.0, 0.0, 1.0]])

    def slides(tangent: float) -> bool:
        normal_n = weight / np.sqrt(1 + tangent**2)
        pull = normal_n * tangent
        sway = np.array([coefficient * normal_n / stiffness])
        place, anchor = 0.0, 0.0
        for _ in range(500):
            slide = np.array([[place - anchor, 0.0, 0.0]])
            _, gradient = sways(slide, upright, np.zeros((1, 3)), sway, np.array([stiffness]))
            place += (pull - gradient[0, 0]) / stiffness
            slide = np.array([[place - anchor, 0.0, 0.0]])
            anchor = place - drawn_after(slide, sway)[0, 0]
        return place > 2 * sway[0]

    assert not slides(0.99 * coefficient)
    assert slides(1.01 * coefficient)


@given(st.lists(st.floats(-0.01, 0.01), min_size=3, max_size=3), st.floats(1e-5, 1e-2))
def test_friction_never_pulls_harder_than_coulombs_law(slide: list[float], sway: float) -> None:
    figures = np.array([sway]), np.array([100.0])
    sways = chosen("passes").sways
    energy, gradient = sways(np.array([slide]), np.zeros((1, 3)), np.zeros((1, 3)), *figures)
    assert np.sqrt((gradient**2).sum()) <= 100.0 * sway * (1 + 1e-9)
    assert energy >= 0


def test_pile_holds_by_the_way_it_is_stroked() -> None:
    """With the nap, against it, across it, at 60 degrees to it, and not moved."""
    pile = PileFriction(with_nap=0.4, against_nap=0.8)
    stroke, length = np.array([2.0, -2.0, 0.0, 1.0, 0.0]), np.array([2.0, 2.0, 2.0, 2.0, 0.0])
    np.testing.assert_allclose(pile.coefficients(stroke, length), [0.4, 0.8, 0.6, 0.5, 0.6])
    np.testing.assert_allclose(pile.shares(stroke, length), np.array([4, 8, 6, 5, 6]) / 6)
    np.testing.assert_allclose(PileFriction(0.0, 0.0).shares(stroke, length), 1.0)


def two_sheets() -> tuple[SimpleNamespace, np.ndarray, np.ndarray]:
    flat, triangles = strip(0.1, 0.06, 0.012)
    count = len(flat)
    area = np.full(len(triangles), 0.1 * 0.06 / len(triangles))
    garment = SimpleNamespace(
        node_triangles=lambda sheet: triangles + sheet * count,
        membrane=SimpleNamespace(area_m2=np.tile(area, 2)),
        panel=SimpleNamespace(triangles=triangles),
    )
    return garment, flat, triangles


@pytest.mark.parametrize("apart_m", [0.002, -0.004])
def test_layers_are_pushed_to_their_own_sides_however_deep(apart_m: float) -> None:
    garment, flat, _ = two_sheets()
    zero = np.zeros((len(flat), 1))
    positions = np.concatenate(
        [np.concatenate([flat, zero + apart_m], 1), np.concatenate([flat, zero], 1)]
    )
    contact = LayerContact(garment, np.full(len(flat), 0.005), 5e5, friction=0.0)
    contact.refresh(positions)
    np.testing.assert_allclose(contact.gaps(positions), apart_m, atol=1e-12)
    energy, gradient = contact.energy_and_gradient(positions)
    np.testing.assert_allclose(energy, 0.5 * 5e5 * (0.005 - apart_m) ** 2 * 0.006, rtol=1e-9)
    outer, lining = np.split(gradient[:, 2], 2)
    assert (outer <= 0).all()
    assert (lining >= 0).all()
    np.testing.assert_allclose(outer.sum(), -5e5 * (0.005 - apart_m) * 0.006, rtol=1e-9)


def test_layer_contact_gradient_is_the_derivative_of_its_energy() -> None:
    garment, flat, _ = two_sheets()
    generator = np.random.default_rng(5)
    positions = np.zeros((2 * len(flat), 3))
    positions[:, :2] = np.tile(flat, (2, 1))
    positions[: len(flat), 2] = 0.003
    contact = LayerContact(garment, np.full(len(flat), 0.005), 5e5, friction=0.4)
    contact.refresh(positions)
    positions += generator.normal(scale=1e-4, size=positions.shape)
    direction = generator.normal(size=positions.shape)
    small = 1e-9
    ahead = contact.energy_and_gradient(positions + small * direction)[0]
    behind = contact.energy_and_gradient(positions - small * direction)[0]
    slope = np.vdot(contact.energy_and_gradient(positions)[1], direction)
    np.testing.assert_allclose((ahead - behind) / (2 * small), slope, rtol=1e-5)


def test_what_presses_and_rubs_two_layers_turns_no_whole() -> None:
    """Layers pressed, slid on each other and turned together: same energy, no force, no torque."""
    garment, flat, _ = two_sheets()
    positions = np.zeros((2 * len(flat), 3))
    positions[:, :2] = np.tile(flat, (2, 1))
    positions[: len(flat), 2] = 0.003 + 0.2 * flat[:, 0] ** 2
    contact = LayerContact(garment, np.full(len(flat), 0.005), 5e5, friction=0.4)
    contact.refresh(positions)
    positions[: len(flat), 0] += 2e-5
    energy, gradient = contact.energy_and_gradient(positions)
    force, torque = gradient.sum(axis=0), np.cross(positions, gradient).sum(axis=0)
    largest = np.abs(gradient).sum()
    np.testing.assert_allclose(force, 0.0, atol=1e-12 * largest)
    np.testing.assert_allclose(torque, 0.0, atol=1e-6 * largest)
    turn = np.array([[np.cos(0.3), 0.0, np.sin(0.3)], [0, 1, 0], [-np.sin(0.3), 0, np.cos(0.3)]])
    turned, _ = contact.energy_and_gradient(positions @ turn.T)
    assert turned == pytest.approx(energy, rel=1e-3)


def two_planes(surface: int, tilt: float) -> Planes:
    """One for node 3 and one for node 5."""
    normal = np.array([[np.sin(tilt), 0.0, np.cos(tilt)]] * 2)
    figure = np.full(2, 0.01)
    return Planes(np.array([3, 5]), np.full(2, surface), normal, figure, figure, np.full(2, 100.0))


def test_a_node_that_lies_still_sees_a_plane_between_the_last_and_the_new_one() -> None:
    """Halfway where it did not move, the new one where it moved."""
    share = np.zeros(6)
    share[3] = 0.5
    eased = two_planes(1, 0.2).eased(two_planes(1, -0.2), share, np.zeros(6))
    np.testing.assert_allclose(eased.normal[0], [0, 0, 1], atol=1e-12)
    # the two planes meet where x = 0: so does the one between them
    assert eased.level_m[0] == pytest.approx(0.01 / np.cos(0.2))
    np.testing.assert_allclose(eased.normal[1], [np.sin(0.2), 0, np.cos(0.2)])
    np.testing.assert_allclose(eased.stiffness, [100.0, 100.0])


@pytest.mark.parametrize(
    ("surface", "tilt", "kept_as"),
    [(2, 0.2, 2), (1, -0.9, 1 + OTHER_SIDE), (-1, 0.2, -1)],
    ids=["another part of the body", "the other side of a hollow", "a chair"],
)
def test_a_plane_that_is_not_found_again_presses_the_less(
    surface: int, tilt: float, kept_as: int
) -> None:
    """It shares the resistance with the new one where the node lay still; else it is gone."""
    share = np.zeros(6)
    share[3] = 0.75
    now, last = two_planes(1, 0.2), two_planes(surface, tilt)
    eased = now.eased(last, share, np.zeros(6))
    np.testing.assert_array_equal(eased.nodes, [3, 5, 3])
    np.testing.assert_array_equal(eased.surface, [1, 1, kept_as])
    np.testing.assert_allclose(eased.stiffness, [25.0, 100.0, 75.0])
    np.testing.assert_allclose(eased.normal[2], last.normal[0])
    # found again after all, by the other's number or its own, the two are one again
    again = last.eased(eased, share, np.zeros(6))
    assert sorted(again.stiffness[again.nodes == 3]) == pytest.approx([0.75 * 25, 25 + 0.75 * 75])


def test_found_now_here_now_there_planes_come_to_rest() -> None:
    """As a node in a hollow finds them by turns: with half as much weight each time they settle."""
    sides = two_planes(1, 0.5), two_planes(1, -0.5)
    planes, before = sides[0], None
    for look in range(1, 12):
        before = planes
        planes = sides[look % 2].eased(before, np.full(6, 1.0 - FOUND_AGAIN**look), np.zeros(6))
    assert before is not None
    pushed, last = (
        (part.stiffness[:, None] * part.normal)[part.nodes == 3].sum(axis=0)
        for part in (planes, before)
    )
    assert np.linalg.norm(pushed - last) < 1e-3 * np.linalg.norm(pushed)


def test_along_a_smooth_limb_the_newer_plane_stands() -> None:
    """On a radius of 3 cm a node that creeps 1 mm sees its plane turn by 1/30; 0.2 rad is a jump."""
    share, crept_m = np.full(6, 0.9), np.full(6, 0.001)
    sliding = two_planes(1, 1 / 30).eased(two_planes(1, 0.0), share, crept_m)
    np.testing.assert_allclose(sliding.normal, two_planes(1, 1 / 30).normal)
    np.testing.assert_allclose(sliding.stiffness, 100.0)
    jumping = two_planes(1, 0.2).eased(two_planes(1, 0.0), share, crept_m)
    np.testing.assert_allclose(jumping.normal[:, 0], 0.02, atol=1e-3)


def seen_at(places: list[float], looks: int = 30) -> tuple[list[float], list[float]]:
    """Share of what was found before and how far it crept (m), of a node seen at these by turns."""
    stillness = Stillness(1)
    seen = [
        stillness.look(np.array([[places[look % len(places)], 0.0, 0.0]])) for look in range(looks)
    ]
    return [float(share[0]) for share, *_ in seen], [float(crept_m[0]) for *_, crept_m in seen]


def test_a_node_that_swings_lies_still_and_one_that_creeps_does_not() -> None:
    """By turns at places within 2 mm of their mean, or at two far apart; or 1 mm on at each look."""
    for swinging in ([0.0], [0.0, 0.001, 0.0006], [0.0, 0.006]):
        share, crept_m = seen_at(swinging)
        assert share[0] == 0.0
        assert min(share[12:]) > 0.99
        # of three places in turn one lies beyond the next, as for one look of a node that creeps
        assert sum(way_m > 0 for way_m in crept_m[12:]) <= 6
    share, crept_m = seen_at([0.001 * look for look in range(30)])
    assert share.count(0.0) > 5
    assert max(share) <= 1 - FOUND_AGAIN**3
    np.testing.assert_allclose(crept_m[2:], 0.001)


def test_the_mean_of_a_stirred_node_begins_anew() -> None:
    stillness, place = Stillness(2), np.zeros((2, 3))
    for _ in range(8):
        share, moved_m, crept_m = stillness.look(place)
    np.testing.assert_array_equal(moved_m, 0.0)
    np.testing.assert_array_equal(crept_m, 0.0)
    assert min(share) > 0.99
    stillness.stir(np.array([1]))
    np.testing.assert_allclose(stillness.look(place)[0], [1 - FOUND_AGAIN**8, 1 - FOUND_AGAIN])
    stillness.forget()
    share, moved_m, crept_m = stillness.look(place)
    assert np.isinf(moved_m).all()
    assert np.isinf(crept_m).all()
    assert not share.any()


def test_the_normal_of_layers_folded_sharply_comes_to_rest() -> None:
    """Two triangles of a pair that face each other, and lean to and fro, keep one normal."""
    garment, flat, _ = two_sheets()
    count = len(flat)
    contact = LayerContact(garment, np.full(count, 0.005), 5e5, friction=0.4)
    lean, pushes = 0.3, []
    for look in range(14):
        tilt = np.pi / 2 + 0.4 + lean * (-1) ** look
        positions = np.zeros((2 * count, 3))
        positions[:count] = np.stack([flat[:, 0], flat[:, 1], np.full(count, 0.002)], axis=1)
        positions[count:] = np.stack(
            [flat[:, 0] * np.cos(tilt), flat[:, 1], -flat[:, 0] * np.sin(tilt)], axis=1
        )
        contact.refresh(positions)
        pushes.append(contact.gaps(positions))
    swing = [np.abs(b - a).max() for a, b in zip(pushes[:-2], pushes[2:], strict=True)]
    assert swing[-1] < 2e-3 * swing[0]


def test_layers_that_fold_and_unfold_by_turns_keep_one_normal_and_flat_ones_their_own() -> None:
    """Bent to 150 degrees, where their mean says little, and to 70, where it does, for ever."""
    garment, flat, _ = two_sheets()
    count = len(flat)

    def bent(degrees: float) -> np.ndarray:
        tilt = np.radians(degrees)
        outer = np.stack([flat[:, 0], flat[:, 1], np.full(count, 0.002)], axis=1)
        turned = [flat[:, 0] * np.cos(tilt), flat[:, 1], -flat[:, 0] * np.sin(tilt)]
        return np.concatenate([outer, np.stack(turned, axis=1)])

    contact = LayerContact(garment, np.full(count, 0.005), 5e5, friction=0.4)
    seen = []
    for look in range(20):
        contact.refresh(bent(70.0 if look % 2 else 150.0))
        seen.append(contact.gaps(bent(0.0)))
    # one look after the other, not every second one: a cycle of two is no rest
    swings = [np.abs(b - a).max() for a, b in pairwise(seen)]
    assert swings[-1] < 2e-3 * swings[0]
    # once they lie flat on each other their normal is their own again, 2 mm apart
    contact.refresh(bent(0.0))
    np.testing.assert_allclose(contact.gaps(bent(0.0)), 0.002, atol=1e-12)


@pytest.mark.parametrize(("hollow", "kept"), [(True, 1), (False, 0)])
def test_both_sides_of_a_hollow_push_and_one_of_an_edge(hollow: bool, kept: int) -> None:
    """Last nearest to one of two slopes, now to the other: of a valley both stay, of a ridge not."""
    up = np.array([[-0.8, 0.0, 0.6], [0.8, 0.0, 0.6]])
    side = 0.01 if hollow else -0.01
    # the slope that faces left lies on the right of a valley, on the left of a ridge
    place = np.array([[side, 0.0, 0.0], [-side, 0.0, 0.0]])
    last, now = (
        Planes(
            np.array([2]),
            np.array([1]),
            up[[row]],
            (place[[row]] * up[[row]]).sum(axis=1) + 0.002,
            np.full(1, 0.01),
            np.full(1, 500.0),
        )
        for row in (0, 1)
    )
    beside = last.across_hollows(now, place[[1]], np.full(1, 0.002), np.full(3, True))
    assert len(beside.nodes) == kept
    assert (
        len(last.across_hollows(now, place[[1]], np.full(1, 0.002), np.full(3, False)).nodes) == 0
    )
    if hollow:
        np.testing.assert_array_equal(beside.normal, last.normal)
        # and once more found as before it takes the other's place
        both = now.joined(beside)
        again = both.across_hollows(last, place[[0]], np.full(1, 0.002), np.full(3, True))
        np.testing.assert_array_equal(again.normal, now.normal)


def test_normals_of_a_flat_sheet_point_up() -> None:
    flat, triangles = strip(0.1, 0.06, 0.012)
    positions = np.concatenate([flat, np.zeros((len(flat), 1))], axis=1)
    np.testing.assert_allclose(
        node_normals(positions, triangles), np.tile([0.0, 0.0, 1.0], (len(flat), 1)), atol=1e-12
    )


def test_two_crossing_sheets_are_found_and_parted_ones_are_not() -> None:
    flat, triangles = strip(0.1, 0.1, 0.01)
    level = np.concatenate([flat - 0.0503, np.zeros((len(flat), 1))], axis=1)
    upright = level[:, [0, 2, 1]] + np.array([0.0017, 0.0, 0.0])
    both = np.concatenate([triangles, triangles + len(flat)])
    edges = sheet_edges(triangles) + len(flat)
    crossed = np.unique(piercings(np.concatenate([level, upright]), edges, triangles)[:, 0])
    # the upright sheet meets the level one along a line: about one edge a triangle it passes
    assert 10 <= len(crossed) <= 40
    lifted = upright + np.array([0.0, 0.0, 0.2])
    assert len(piercings(np.concatenate([level, lifted]), sheet_edges(both), both)) == 0

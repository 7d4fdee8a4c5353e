# SPDX-License-Identifier: GPL-3.0-or-later
"""Flesh on a seat: flat, as much of it as before, and nothing passes through itself for it."""

from functools import cache

import numpy as np
import pytest
from napfold.core.mannequin import Mannequin, PosedBody, build_mannequin
from napfold.core.mannequin.flattening import PRESSED_M, SWOLLEN_M
from napfold.core.mannequin.self_crossings import crossing_pairs
from napfold.core.tape import Tape

TAPES = {
    "slim woman": Tape(sex="female", given={"height": 1.60, "bust_girth": 0.84, "hip_girth": 0.90}),
    "large man": Tape(sex="male", given={"height": 1.78, "bust_girth": 1.24, "hip_girth": 1.18}),
}
ROOM_M = 0.014
every_body = pytest.mark.parametrize("name", TAPES)


@cache
def mannequin_of(name: str) -> Mannequin:
    return build_mannequin(TAPES[name])


@cache
def before_and_after(name: str) -> tuple[PosedBody, PosedBody]:
    mannequin = mannequin_of(name)
    before = mannequin.posed(mannequin.pose_with_room("sitting", ROOM_M))
    return before, mannequin.supported("sitting", ROOM_M)


def volume(body: PosedBody) -> float:
    a, b, c = body.vertices[body.triangles].transpose(1, 0, 2)
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


@every_body
def test_volume_is_kept(name: str) -> None:
    before, after = before_and_after(name)
    assert volume(after) == pytest.approx(volume(before), rel=1e-3)


@every_body
def test_what_was_lowest_lies_flat_on_the_seat(name: str) -> None:
    before, after = before_and_after(name)
    seat = next(part for part in after.supports if part.name == "seat")
    distance, direction, _ = seat.nearest(after.vertices)
    under = np.flatnonzero((direction[:, 2] > 0.99) & (before.normals[:, 2] < -0.5))
    pressed = before.vertices[under, 2] < before.vertices[under, 2].min() + 0.6 * PRESSED_M
    lying = distance[under[pressed]]
    assert lying.min() == pytest.approx(ROOM_M, abs=1e-4)
    assert np.ptp(lying) < 0.002  # it was round over 11 mm
    assert pressed.sum() > 50


@every_body
def test_only_the_skin_over_the_seat_moves(name: str) -> None:
    before, after = before_and_after(name)
    moved = np.linalg.norm(after.vertices - before.vertices, axis=1) > 1e-4
    place, level = before.vertices[moved], before.joints["knee_left"][2]
    assert (place[:, 2] < level + SWOLLEN_M).all()
    assert np.linalg.norm(after.vertices - before.vertices, axis=1).max() < PRESSED_M + 0.001
    feet = before.vertices[:, 2] < 0.5 * level
    assert np.array_equal(after.vertices[feet], before.vertices[feet])


@every_body
def test_nothing_new_passes_through_itself(name: str) -> None:
    before, after = (
        len(crossing_pairs(body.vertices, body.triangles)[0]) for body in before_and_after(name)
    )
    assert after <= before


@every_body
def test_both_sides_are_alike(name: str) -> None:
    _, after = before_and_after(name)
    mirrored = after.vertices[mannequin_of(name).mirror] * [-1.0, 1.0, 1.0]
    assert np.abs(mirrored - after.vertices).max() < 1e-12

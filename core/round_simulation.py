# SPDX-License-Identifier: GPL-3.0-or-later
"""The round piece of the swatch tests on the drape's own solver: its shadow from above."""

from dataclasses import dataclass

import numpy as np

from .arrays import BoolArray, FloatArray, IntArray
from .cloth import Cloth
from .drape.body_contact import CLOTH_N_PER_M3
from .drape.contact_points import ContactPoints
from .drape.equilibrium import Contact
from .drape.motion import LONGEST_MOVE
from .drape.pieces import Held, come_to_rest, one_layer, sheet, start_flat
from .drape.self_contact import SelfContact
from .errors import SolverError
from .swatch import Swatch
from .triangulate import fill_polygon

__all__ = ["RoundPiece", "hang_round_piece"]

EDGE_M = 0.007
PIXEL_M = 0.0005
ROUNDS = 160
STILL_M = 2e-5


@dataclass(frozen=True, slots=True)
class RoundPiece:
    """A round piece at rest over its plate.

    Attributes
    ----------
    shadow_m2
        Area of its shadow from straight above, the plate's included.
    positions, triangles
        (n, 3) and (t, 3), for a picture.
    rounds
        Rounds of the descent; `ROUNDS` where it had not come to rest.
    """

    shadow_m2: float
    positions: FloatArray
    triangles: IntArray
    rounds: int


def hang_round_piece(cloth: Cloth, edge_m: float = EDGE_M, seed: int = 0) -> RoundPiece:
    """Lay a round piece of the printed sheet's size over its plate and let it come to rest.

    It begins flat, with a random unevenness of a fiftieth of an edge: into which folds it falls is
    chance, so several seeds are several liftings. Nodes over the plate are held; held nodes clamp
    half an edge behind the last of them, so those half an edge beyond the plate are held too.

    Raises
    ------
    SolverError
        No mesh was found.
    """
    radius_m, plate_m = Swatch().one("round_piece") / 2, Swatch().one("round_plate") / 2
    turn = 2 * np.pi * np.arange(round(2 * np.pi * radius_m / edge_m))
    turn /= len(turn)
    filled = fill_polygon(
        radius_m * np.stack([np.cos(turn), np.sin(turn)], axis=1), edge_m, np.radians(25)
    )
    if filled is None:
        raise SolverError("No mesh was found for the round piece: take another edge length.")
    flat, triangles = filled
    garment = one_layer(sheet(flat, triangles, edge_m), cloth)
    start = start_flat(garment)
    start[:, 2] = edge_m / 50 * np.random.default_rng(seed).standard_normal(len(start))
    held = np.flatnonzero(np.hypot(flat[:, 0], flat[:, 1]) < plate_m + edge_m / 2)
    start[held, 2] = 0.0
    touch: Contact = SelfContact(
        ContactPoints.of_sheet(garment, 0, cloth.thickness_m, CLOTH_N_PER_M3 * garment.area_m2),
        LONGEST_MOVE * edge_m,
    )
    positions, balances = come_to_rest(
        garment, [Held(held, start[held]), touch], start, rounds=ROUNDS, still_m=STILL_M
    )
    shadow_m2 = float(_shadow(positions, triangles).sum()) * PIXEL_M**2
    return RoundPiece(shadow_m2, positions, triangles, len(balances))


def _shadow(positions: FloatArray, triangles: IntArray) -> BoolArray:
    """Which square pixels the triangles cover seen from above."""
    corner = positions[triangles][:, :, :2]
    longest = np.sqrt(((corner - np.roll(corner, 1, axis=1)) ** 2).sum(axis=2)).max()
    parts = int(np.ceil(2 * longest / PIXEL_M))
    first, second = np.meshgrid(np.arange(parts + 1), np.arange(parts + 1))
    inside = first + second <= parts
    weights = np.stack([first[inside], second[inside]], axis=1) / parts
    weights = np.concatenate([1 - weights.sum(axis=1, keepdims=True), weights], axis=1)
    half = int(np.ceil(np.abs(positions[:, :2]).max() / PIXEL_M)) + 1
    covered = np.zeros((2 * half, 2 * half), dtype=bool)
    for weight in weights:
        place = np.floor(np.einsum("k,tkc->tc", weight, corner) / PIXEL_M).astype(np.int64) + half
        covered[place[:, 0], place[:, 1]] = True
    return covered

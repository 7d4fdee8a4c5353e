# SPDX-License-Identifier: GPL-3.0-or-later
"""Pieces of cloth on the drape's solver without a body: flat, held, pulled, come to rest."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, cast

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from ..cloth import Cloth
from ..errors import SolverError
from ..panels import PanelMesh
from ..slices import finished
from ..triangulate import fill_polygon
from .body_contact import BodyContact
from .equilibrium import Contact
from .garment import Garment
from .layer_contact import LayerContact
from .motion import Balance, Motion
from .threads import one_thread

__all__ = [
    "Held",
    "Pulled",
    "come_to_rest",
    "filled_rectangle",
    "half_of",
    "joined",
    "mirrored",
    "on_line",
    "one_layer",
    "sheet",
    "start_flat",
]


def filled_rectangle(length_m: float, width_m: float, edge_m: float) -> tuple[FloatArray, IntArray]:
    """A rectangle of the mesh that panels are made of.

    Returns
    -------
    flat, triangles
        (n, 2) with x along the length, from a corner at 0, and (t, 3).

    Raises
    ------
    SolverError
        No mesh was found.
    """
    corners = np.array([[0.0, 0.0], [length_m, 0.0], [length_m, width_m], [0.0, width_m]])
    sides = []
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        count = max(1, round(float(np.linalg.norm(end - start)) / edge_m))
        sides.append(start + np.linspace(0.0, 1.0, count, endpoint=False)[:, None] * (end - start))
    filled = fill_polygon(np.concatenate(sides), edge_m, np.radians(25))
    if filled is None:
        raise SolverError("No mesh was found for a strip: take another edge length.")
    return filled


def joined(parts: Sequence[tuple[FloatArray, IntArray]]) -> tuple[FloatArray, IntArray]:
    """Meshes side by side as one: vertices at the same place, to a nanometre, become one."""
    first = np.cumsum([0, *(len(flat) for flat, _ in parts)])
    every = np.concatenate([flat for flat, _ in parts])
    _, kept, index = np.unique(
        np.round(every / 1e-9).astype(np.int64), axis=0, return_index=True, return_inverse=True
    )
    triangles = np.concatenate(
        [corners + start for start, (_, corners) in zip(first[:-1], parts, strict=True)]
    )
    return every[kept], index.ravel()[triangles]


def mirrored(flat: FloatArray, triangles: IntArray) -> tuple[FloatArray, IntArray]:
    """The sheet and its image at -x as one, joined along x = 0."""
    own = np.flatnonzero(np.abs(flat[:, 0]) > 1e-9)
    image = np.arange(len(flat))
    image[own] = len(flat) + np.arange(len(own))
    both = np.concatenate([flat, flat[own] * [-1.0, 1.0]])
    return both, np.concatenate([triangles, image[triangles][:, [0, 2, 1]]])


def sheet(flat: FloatArray, triangles: IntArray, edge_m: float) -> PanelMesh:
    """A panel without seams and rims."""
    return PanelMesh(
        flat=flat,
        triangles=triangles,
        seam_pairs=np.zeros((0, 2), dtype=np.int64),
        rim=np.zeros(0, dtype=np.int64),
        edges={},
        mirror=np.arange(len(flat)),
        edge_length_m=edge_m,
    )


_HALVED = (
    "mass_kg_m2",
    "thickness_m",
    "compressed_thickness_m",
    "ground_thickness_m",
    "bending_along_n_m",
    "bending_across_n_m",
    "bending_friction_along_n",
    "bending_friction_across_n",
    "stretch_along_n_per_m",
    "stretch_across_n_per_m",
    "shear_n_per_m",
)


def half_of(whole: Cloth) -> Cloth:
    """Half the mass, thickness and stiffness: two of these as one sheet are the whole."""
    halves: dict[str, Any] = {figure: getattr(whole, figure) / 2 for figure in _HALVED}
    return replace(whole, origins=(), **halves)


def one_layer(panel: PanelMesh, whole: Cloth) -> Garment:
    """A single sheet of this cloth."""
    return Garment.as_one_sheet(panel, half_of(whole), half_of(whole))


def start_flat(garment: Garment, level_m: float = 0.0) -> FloatArray:
    """Nodes (m, 3) of sheets that lie flat on a level."""
    positions = np.zeros((len(garment.mass_kg), 3))
    for node in garment.node:
        positions[node, :2] = garment.panel.flat
        positions[node, 2] = level_m
    return positions


@dataclass(slots=True)
class Held:
    """Nodes tied to places by springs, axis by axis where asked.

    Attributes
    ----------
    nodes, places
        (k,) and (k, 3).
    stiffness_n_per_m
        Of each spring: stiff enough that its give counts for nothing.
    axes
        (3,) which axes are held.
    """

    nodes: IntArray
    places: FloatArray
    stiffness_n_per_m: float = 1e4
    axes: tuple[bool, bool, bool] = (True, True, True)

    def refresh(self, positions: FloatArray) -> None:
        """Nothing to find."""

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient in N."""
        away = (positions[self.nodes] - self.places) * np.array(self.axes)
        gradient = np.zeros_like(positions)
        gradient[self.nodes] = self.stiffness_n_per_m * away
        return 0.5 * self.stiffness_n_per_m * float((away**2).sum()), gradient

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) second derivatives."""
        blocks = np.zeros((len(positions), 3, 3))
        blocks[self.nodes] = self.stiffness_n_per_m * np.diag(np.array(self.axes, dtype=float))
        return blocks


@dataclass(slots=True)
class Pulled:
    """Dead loads (m, 3) in N on nodes."""

    force_n: FloatArray

    def refresh(self, positions: FloatArray) -> None:
        """Nothing to find."""

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient in N."""
        return -float((self.force_n * positions).sum()), -self.force_n

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) zeros: a dead load has no stiffness."""
        return np.zeros((len(positions), 3, 3))


def come_to_rest(
    garment: Garment,
    holds: Sequence[Contact],
    positions: FloatArray,
    *,
    rounds: int = 60,
    still_m: float = 5e-6,
    layers: LayerContact | None = None,
) -> tuple[FloatArray, list[Balance]]:
    """Descend with the drape's own rounds until nothing moves.

    Parameters
    ----------
    rounds
        At most so many.
    still_m
        Rest is when no node moved farther than this in two rounds one after the other.
    layers
        The contact of two layers, where there are two.

    Returns
    -------
    positions, balances
        (m, 3), and the balance after each round.
    """
    # what holds a piece stands in the body's place; only `move_body` and `lift_dips` ask for more
    first = cast(BodyContact, holds[0])
    motion = Motion(garment, first, list(holds[1:]), positions, layers)
    balances: list[Balance] = []
    with one_thread():
        for _ in range(rounds):
            balances.append(finished(motion.descend()))
            if max(balance.farthest_moved_m for balance in balances[-2:]) < still_m:
                break
    return motion.positions, balances


def on_line(flat: FloatArray, place_m: float, axis: int = 0) -> BoolArray:
    """Vertices whose coordinate is at this place."""
    found: BoolArray = np.abs(flat[:, axis] - place_m) < 1e-9
    return found

# SPDX-License-Identifier: GPL-3.0-or-later
"""Test pieces for the drape's own solver: meshes, cloths, and what holds them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from napfold.core.arrays import BoolArray, FloatArray, IntArray
from napfold.core.cloth import Cloth
from napfold.core.drape.equilibrium import Contact
from napfold.core.drape.garment import Garment
from napfold.core.drape.layer_contact import LayerContact
from napfold.core.drape.motion import Balance, Motion
from napfold.core.drape.slices import finished
from napfold.core.drape.threads import one_thread
from napfold.core.panels import PanelMesh
from napfold.core.triangulate import fill_polygon

from ..core.strips import strip

__all__ = [
    "MESHES",
    "Held",
    "Pulled",
    "cloth",
    "come_to_rest",
    "half_of",
    "jutting",
    "mirrored",
    "on_line",
    "one_layer",
    "rectangle",
    "sheet",
    "start_flat",
]

MESHES = ("rows along", "rows across", "mesher's")
"""Two directions of a regular lattice, and the mesh that panels are made of."""


def rectangle(
    length_m: float, width_m: float, edge_m: float, mesh: str
) -> tuple[FloatArray, IntArray]:
    """Flat positions (n, 2) with x along the length, and triangles (t, 3)."""
    if mesh != "mesher's":
        return strip(length_m, width_m, edge_m, rows_across=mesh == "rows across")
    corners = np.array([[0.0, 0.0], [length_m, 0.0], [length_m, width_m], [0.0, width_m]])
    sides = []
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        count = max(1, round(float(np.linalg.norm(end - start)) / edge_m))
        sides.append(start + np.linspace(0.0, 1.0, count, endpoint=False)[:, None] * (end - start))
    filled = fill_polygon(np.concatenate(sides), edge_m, np.radians(25))
    if filled is None:
        raise RuntimeError("the mesher found no mesh of this strip")
    return filled


def mirrored(flat: FloatArray, triangles: IntArray) -> tuple[FloatArray, IntArray]:
    """The sheet and its image at -x as one, joined along x = 0."""
    own = np.flatnonzero(np.abs(flat[:, 0]) > 1e-9)
    image = np.arange(len(flat))
    image[own] = len(flat) + np.arange(len(own))
    both = np.concatenate([flat, flat[own] * [-1.0, 1.0]])
    return both, np.concatenate([triangles, image[triangles][:, [0, 2, 1]]])


def jutting(
    length_m: float, width_m: float, edge_m: float, mesh: str
) -> tuple[FloatArray, IntArray]:
    """A strip over a knife edge at x = 0, juts out to both sides.

    By symmetry it is level there, as in a clamp. (Held rows of nodes would be a clamp half an edge
    behind the last of them, an error of first order.)
    """
    return mirrored(*rectangle(length_m, width_m, edge_m, mesh))


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


def cloth(
    mass_kg_m2: float,
    bending_n_m: tuple[float, float],
    stretch_n_per_m: tuple[float, float] = (1000.0, 1000.0),
    shear_n_per_m: float = 100.0,
    thickness_m: float = 0.0005,
) -> Cloth:
    """A cloth by its figures, each pair across and along; rubs on nothing unless told so."""
    return Cloth(
        name="test piece",
        mass_kg_m2=mass_kg_m2,
        thickness_m=thickness_m,
        compressed_thickness_m=thickness_m,
        ground_thickness_m=thickness_m,
        pile_height_m=0.0,
        nap_lean_rad=0.0,
        bending_across_n_m=bending_n_m[0],
        bending_along_n_m=bending_n_m[1],
        bending_pile_up_over_down=1.0,
        bending_friction_across_n=0.0,
        bending_friction_along_n=0.0,
        stretch_across_n_per_m=stretch_n_per_m[0],
        stretch_along_n_per_m=stretch_n_per_m[1],
        shear_n_per_m=shear_n_per_m,
        friction_with_nap=0.0,
        friction_against_nap=0.0,
        friction_backs=0.0,
        friction_body=0.0,
        bolt_width_m=1.5,
        shrinkage_along=0.0,
        shrinkage_across=0.0,
        colour=(0.5, 0.5, 0.5),
    )


def half_of(whole: Cloth) -> Cloth:
    """Half the mass and the stiffness: two of these as one sheet are the whole."""
    return cloth(
        whole.mass_kg_m2 / 2,
        (whole.bending_across_n_m / 2, whole.bending_along_n_m / 2),
        (whole.stretch_across_n_per_m / 2, whole.stretch_along_n_per_m / 2),
        whole.shear_n_per_m / 2,
        whole.thickness_m / 2,
    )


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
    motion = Motion(garment, holds[0], list(holds[1:]), positions, layers)
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

# SPDX-License-Identifier: GPL-3.0-or-later
"""The sewn garment as a mechanical system: which vertices move as one, and what resists them."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from ..cloth import Cloth
from ..panels import PanelMesh
from .bending import bending_triplets
from .membrane import Membrane
from .sparse import SymmetricMatrix
from .sums import sum_at

__all__ = ["Garment"]


@dataclass(frozen=True, slots=True)
class Garment:
    """One or two sheets cut alike, sewn, with every sewn pair of vertices as one node.

    Attributes
    ----------
    panel
        The flat mesh of one layer (n vertices).
    node
        (k, n) node of each vertex for each of the k sheets; with two, outer first.
    membrane, bending
        Stiffness in the plane, and the bending matrix (N/m).
    mass_kg, area_m2
        (m,) share of each node; the area is of one sheet.
    sheet_node
        (m,) the node of the one-sheet garment that each node lies on.
    places
        (s, 2) places of the one-sheet garment's nodes, across the cloth and away from the shoulder
        fold: nodes that are coupled lie close in these.
    """

    panel: PanelMesh
    node: IntArray
    membrane: Membrane
    bending: SymmetricMatrix
    mass_kg: FloatArray
    area_m2: FloatArray
    sheet_node: IntArray
    places: FloatArray

    @classmethod
    def as_one_sheet(cls, panel: PanelMesh, outer: Cloth, lining: Cloth) -> "Garment":
        """The two layers as one sheet that carries both masses and both stiffnesses.

        Layers joined at their rims and free to slide hang almost so: mass, membrane stiffness
        and bending rigidity of sliding sheets add.
        """
        node = _sewn_nodes(panel, sheets=1)
        stiffness = (
            outer.stretch_across_n_per_m + lining.stretch_across_n_per_m,
            outer.stretch_along_n_per_m + lining.stretch_along_n_per_m,
            outer.shear_n_per_m + lining.shear_n_per_m,
        )
        bending = (
            outer.bending_across_n_m + lining.bending_across_n_m,
            outer.bending_along_n_m + lining.bending_along_n_m,
        )
        return _assemble(panel, node, [(outer.mass_kg_m2 + lining.mass_kg_m2, stiffness, bending)])

    @classmethod
    def as_two_layers(cls, panel: PanelMesh, outer: Cloth, lining: Cloth) -> "Garment":
        """Outer and lining, each with its own figures, joined along the rim."""
        sheets = [
            (
                cloth.mass_kg_m2,
                (cloth.stretch_across_n_per_m, cloth.stretch_along_n_per_m, cloth.shear_n_per_m),
                (cloth.bending_across_n_m, cloth.bending_along_n_m),
            )
            for cloth in (outer, lining)
        ]
        return _assemble(panel, _sewn_nodes(panel, sheets=2), sheets)

    def flat_places(self, sheet: int) -> tuple[IntArray, FloatArray]:
        """The nodes (k,) of a sheet and the two flat places (k, 2, 2) of each.

        A sewn node lies at two places of the cloth; any other has the same place twice.
        """
        node = self.node[sheet]
        pairs = self.panel.seam_pairs
        both = np.zeros((len(self.mass_kg), 2, 2))
        both[node] = self.panel.flat[:, None]
        both[node[pairs[:, 0]]] = self.panel.flat[pairs]
        nodes = np.unique(node)
        return nodes, both[nodes]

    def node_triangles(self, sheet: int) -> IntArray:
        """(t, 3) nodes of one sheet's triangles."""
        triangles: IntArray = self.node[sheet][self.panel.triangles]
        return triangles


_Sheet = tuple[float, tuple[float, float, float], tuple[float, float]]


def _sewn_nodes(panel: PanelMesh, sheets: int) -> IntArray:
    """Number the nodes: seam partners share one, rim vertices share one over all sheets."""
    count = len(panel.flat)
    leader = np.arange(count)
    leader[panel.seam_pairs[:, 1]] = panel.seam_pairs[:, 0]
    on_rim = np.zeros(count, dtype=bool)
    on_rim[panel.rim] = True
    on_rim[leader[panel.rim]] = True
    on_rim = on_rim[leader]
    leaders = [leader]
    for sheet in range(1, sheets):
        leaders.append(np.where(on_rim, leader, leader + sheet * count))
    _, node = np.unique(np.stack(leaders), return_inverse=True)
    numbered: IntArray = node.reshape(sheets, count)
    return numbered


def _assemble(panel: PanelMesh, node: IntArray, sheets: list[_Sheet]) -> Garment:
    size = int(node.max()) + 1
    corners = panel.flat[panel.triangles]
    membranes, bendings = [], []
    mass = np.zeros(size)
    area = np.zeros(size)
    for places, (mass_kg_m2, stiffness, (across, along)) in zip(node, sheets, strict=True):
        membrane = Membrane.of_sheet(corners, places[panel.triangles], stiffness)
        thirds = np.repeat(membrane.area_m2 / 3, 3)
        share = sum_at(membrane.triangles.ravel(), thirds, size)
        mass += mass_kg_m2 * share
        area = np.maximum(area, share)
        rows, columns, values = bending_triplets(panel.flat, panel.triangles, across, along)
        bendings.append((places[rows], places[columns], values))
        membranes.append(membrane)
    whole = membranes[0]
    for membrane in membranes[1:]:
        whole = whole.joined(membrane)
    one = _sewn_nodes(panel, sheets=1)[0]
    sheet_node = np.zeros(size, dtype=np.int64)
    sheet_node[node] = one
    places = np.zeros((int(one.max()) + 1, 2))
    places[one] = np.stack([panel.flat[:, 0], np.abs(panel.flat[:, 1])], axis=1)
    return Garment(
        panel=panel,
        node=node,
        membrane=whole,
        bending=SymmetricMatrix.of_triplets(size, *bendings),
        mass_kg=mass,
        area_m2=area,
        sheet_node=sheet_node,
        places=places,
    )

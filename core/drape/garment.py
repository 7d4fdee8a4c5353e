# SPDX-License-Identifier: GPL-3.0-or-later
"""The sewn garment as a mechanical system: which vertices move as one, and what resists them."""

from dataclasses import astuple, dataclass
from functools import reduce

import numpy as np

from ..arrays import FloatArray, IntArray
from ..cloth import Cloth
from ..panels import PanelMesh
from ..slices import Slices, finished
from .bending import BendingStencils
from .bending_friction import FrictionStencils
from .images import Images
from .membrane import Membrane, buckling_load_n_per_m
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
        Stiffness in the plane, and the matrix (N/m) of elastic bending of nodes and images.
    inner_friction
        What opposes changes of bend of nodes and images, or None where no cloth has any.
    images
        Mirror images of nodes that bending reaches, where the panel is a half.
    middle
        (k,) nodes where a half is joined to its mirror image.
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
    inner_friction: FrictionStencils | None
    images: Images
    middle: IntArray
    mass_kg: FloatArray
    area_m2: FloatArray
    sheet_node: IntArray
    places: FloatArray

    @staticmethod
    def as_one_sheet(panel: PanelMesh, outer: Cloth, lining: Cloth) -> "Garment":
        """The two layers as one sheet that carries both masses and both stiffnesses.

        Layers joined at their rims and free to slide hang almost so: mass, membrane stiffness,
        bending rigidity and inner friction of sliding sheets add.
        """
        return finished(Garment.one_sheet(panel, outer, lining))

    @staticmethod
    def one_sheet(panel: PanelMesh, outer: Cloth, lining: Cloth) -> "Slices[Garment]":
        """`as_one_sheet` in slices."""
        both = [
            float(one + other)
            for one, other in zip(
                astuple(_Sheet.of(outer)), astuple(_Sheet.of(lining)), strict=True
            )
        ]
        return (yield from _assembled(panel, _sewn_nodes(panel, sheets=1), [_Sheet(*both)]))

    @staticmethod
    def as_two_layers(panel: PanelMesh, outer: Cloth, lining: Cloth) -> "Garment":
        """Outer and lining, each with its own figures, joined along the rim."""
        return finished(Garment.two_layers(panel, outer, lining))

    @staticmethod
    def two_layers(panel: PanelMesh, outer: Cloth, lining: Cloth) -> "Slices[Garment]":
        """`as_two_layers` in slices."""
        sheets = [_Sheet.of(cloth) for cloth in (outer, lining)]
        return (yield from _assembled(panel, _sewn_nodes(panel, sheets=2), sheets))

    def flat_places(self, sheet: int) -> tuple[IntArray, FloatArray]:
        """The nodes (k,) of a sheet and the two flat places (k, 2, 2) of each.

        A sewn node lies at two places of the cloth; any other has the same place twice.
        """
        node = self.node[sheet]
        pairs = self.panel.seam_pairs
        both = np.zeros((len(self.mass_kg), 2, 2))
        flat = self.panel.spread
        both[node] = flat[:, None]
        both[node[pairs[:, 0]]] = flat[pairs]
        nodes = np.unique(node)
        return nodes, both[nodes]

    def node_triangles(self, sheet: int) -> IntArray:
        """(t, 3) nodes of one sheet's triangles."""
        triangles: IntArray = self.node[sheet][self.panel.triangles]
        return triangles


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Figures of one sheet that add where sheets slide on one another; across before along."""

    mass_kg_m2: float
    stretch_across_n_per_m: float
    stretch_along_n_per_m: float
    shear_n_per_m: float
    bending_across_n_m: float
    bending_along_n_m: float
    friction_across_n: float
    friction_along_n: float

    @classmethod
    def of(cls, cloth: Cloth) -> "_Sheet":
        return cls(
            mass_kg_m2=cloth.mass_kg_m2,
            stretch_across_n_per_m=cloth.stretch_across_n_per_m,
            stretch_along_n_per_m=cloth.stretch_along_n_per_m,
            shear_n_per_m=cloth.shear_n_per_m,
            bending_across_n_m=cloth.elastic_bending_across_n_m,
            bending_along_n_m=cloth.elastic_bending_along_n_m,
            friction_across_n=cloth.bending_friction_across_n,
            friction_along_n=cloth.bending_friction_along_n,
        )


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


def _assembled(panel: PanelMesh, node: IntArray, sheets: list[_Sheet]) -> Slices[Garment]:
    size = int(node.max()) + 1
    corners = panel.flat[panel.triangles]
    membranes, bendings = [], []
    frictions: list[FrictionStencils] = []
    mass = np.zeros(size)
    area = np.zeros(size)
    beyond = Images.of_panel(panel)
    images = [beyond.of_nodes(places, size) for places in node]
    first_image = size
    for places, one in zip(node, sheets, strict=True):
        stiffness = one.stretch_across_n_per_m, one.stretch_along_n_per_m, one.shear_n_per_m
        rigidity = one.bending_across_n_m, one.bending_along_n_m
        across, along = (buckling_load_n_per_m(value, panel.edge_length_m) for value in rigidity)
        membrane = Membrane.of_sheet(corners, places[panel.triangles], stiffness, (across, along))
        membranes.append(membrane)
        yield
        thirds = np.repeat(membrane.area_m2 / 3, 3)
        share = sum_at(membrane.triangles.ravel(), thirds, size)
        mass += one.mass_kg_m2 * share
        area = np.maximum(area, share)
        stencils = BendingStencils.of_sheet(panel.flat, panel.triangles, *rigidity, beyond)
        reached = np.concatenate([places, first_image + np.arange(len(beyond.source))])
        first_image += len(beyond.source)
        yield
        rows, columns, values = stencils.triplets(*rigidity)
        bendings.append((reached[rows], reached[columns], values))
        moments = one.friction_across_n, one.friction_along_n
        if max(moments) > 0:
            frictions.append(FrictionStencils.of_sheet(stencils, reached, *moments))
        yield
    one = _sewn_nodes(panel, sheets=1)[0]
    sheet_node = np.zeros(size, dtype=np.int64)
    sheet_node[node] = one
    places = np.zeros((int(one.max()) + 1, 2))
    places[one] = np.stack([panel.flat[:, 0], np.abs(panel.flat[:, 1])], axis=1)
    yield
    bending = SymmetricMatrix.of_triplets(first_image, *bendings)
    yield
    return Garment(
        panel=panel,
        node=node,
        membrane=reduce(Membrane.joined, membranes).laid_out(),
        bending=bending,
        inner_friction=reduce(FrictionStencils.joined, frictions) if frictions else None,
        images=reduce(Images.joined, images),
        middle=np.unique(node[:, panel.middle]),
        mass_kg=mass,
        area_m2=area,
        sheet_node=sheet_node,
        places=places,
    )

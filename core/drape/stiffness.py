# SPDX-License-Identifier: GPL-3.0-or-later
"""Second derivatives of the drape's energy, assembled and factored.

Two layers cut alike are taken apart into their mean and their difference: the mean moves like one
sheet that carries both, and only the difference feels the contact between the layers. Both are
factored on the nodes of the one sheet. What couples the two, where outer and lining differ, is
left to the descent to learn.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from ..slices import Slices, finished
from .backend import chosen
from .fronts import FrontFactor, Fronts
from .garment import Garment
from .sums import sum_at, vectors_at

__all__ = ["LayerFactors", "Stiffness"]

HELD_N_PER_M = 1.0e7
"""Holds the layers' difference at the rim, where they are one: stiffer than any cloth."""


@dataclass(frozen=True, slots=True)
class LayerFactors:
    """Factors of the mean and of the difference of two layers.

    ``outer`` and ``lining`` (k,) are the nodes of the two layers at each node of one sheet; ``parted``
    (k, 1) is 1 where they are two and 0 on the rim, where both are one.
    """

    mean: FrontFactor
    difference: FrontFactor
    outer: IntArray
    lining: IntArray
    parted: FloatArray

    def solve(self, right: FloatArray) -> FloatArray:
        """Solve for one right-hand side (m, 3)."""
        outer, lining = right[self.outer], self.parted * right[self.lining]
        mean = self.mean.solve(outer + lining)
        difference = self.parted * self.difference.solve(self.parted * outer - lining)
        solution = np.zeros_like(right)
        solution[self.outer] = mean + difference
        solution[self.lining] = mean - difference
        return solution


class Stiffness:
    """Assembles a garment's stiffness at given positions; the places are worked out once.

    Parameters
    ----------
    garment
        One or two sheets.
    fronts
        The order of elimination of a garment on the same mesh; None works it out.

    Attributes
    ----------
    fronts
        The order of elimination.
    """

    def __init__(self, garment: Garment, fronts: Fronts | None = None) -> None:
        finished(self._prepare(garment, fronts))

    @classmethod
    def prepared(cls, garment: Garment, fronts: Fronts | None = None) -> "Slices[Stiffness]":
        """The same in slices."""
        stiffness = cls.__new__(cls)
        yield from stiffness._prepare(garment, fronts)
        return stiffness

    def _prepare(self, garment: Garment, fronts: Fronts | None) -> Slices[None]:
        self._garment = garment
        sheet_node = garment.sheet_node
        rows, columns, values = garment.bending.entries()
        node, side = garment.images.sides()
        turned = side[rows] * side[columns]
        rows, columns = sheet_node[node[rows]], sheet_node[node[columns]]
        self._triangles: IntArray = sheet_node[garment.node_triangles(0)]
        first = np.repeat(self._triangles, 3, axis=1).ravel()
        second = np.tile(self._triangles, (1, 3)).ravel()
        if fronts is None:
            couplings = np.concatenate([rows, first]), np.concatenate([columns, second])
            fronts = yield from Fronts.ordered(garment.places, *couplings)
        yield
        self.fronts = fronts
        self._membrane_places = fronts.stored(first, second).ravel()
        nodes = np.arange(len(garment.places))
        self._node_places = fronts.stored(nodes, nodes).ravel()
        yield
        bending_places = fronts.stored(rows, columns)
        yield
        self._bending: FloatArray = np.zeros(fronts.size + 1)
        # what couples a node to a mirror image does so with the other sign across the middle
        for axis, signed in enumerate((values * turned, values, values)):
            self._bending += sum_at(bending_places[:, axis, axis], signed, fronts.size + 1)
        # of each node of one sheet those of the first and of the last layer
        self._layers: IntArray = np.zeros((2, len(nodes)), dtype=np.int64)
        for layer, own in zip(self._layers, garment.node[[0, -1]], strict=True):
            layer[sheet_node[own]] = own
        self._parted: BoolArray = self._layers[0] != self._layers[1]

    def factor(
        self, positions: FloatArray, node_blocks: FloatArray, pair_blocks: FloatArray | None = None
    ) -> "Slices[FrontFactor | LayerFactors]":
        """Factor at positions (m, 3).

        Parameters
        ----------
        positions
            (m, 3) nodes.
        node_blocks
            (m, 3, 3) N/m, added to the nodes.
        pair_blocks
            (t, 3, 3) N/m between the middles of the layers' paired triangles; with two layers.
        """
        sheets = self._garment.membrane.stiffness_blocks(positions)
        sheets = sheets.reshape(len(self._garment.node), *((-1, *sheets.shape[1:]))).sum(axis=0)
        yield
        size = len(self._garment.places)
        nodes = vectors_at(self._garment.sheet_node, node_blocks.reshape(-1, 9), size)
        flat = self._assembled(sheets, self._bending, nodes)
        mean = yield from FrontFactor.eliminate(self.fronts, flat)
        if pair_blocks is None:
            return mean
        sheets += pair_blocks[:, None, None] * (4 / 9)
        nodes[~self._parted] += HELD_N_PER_M * np.eye(3).ravel()
        flat = self._assembled(sheets, self._bending, nodes)
        yield
        difference = yield from FrontFactor.eliminate(self.fronts, flat)
        outer, lining = self._layers
        parted = self._parted[:, None].astype(np.float64)
        return LayerFactors(mean, difference, outer, lining, parted)

    def _assembled(self, sheets: FloatArray, bending: FloatArray, nodes: FloatArray) -> FloatArray:
        sum_fast = chosen("solving").sum_at
        size = self.fronts.size + 1
        flat: FloatArray = sum_fast(self._membrane_places, sheets.ravel(), size)
        flat += bending
        flat += sum_fast(self._node_places, nodes.ravel(), size)
        return flat[:-1]

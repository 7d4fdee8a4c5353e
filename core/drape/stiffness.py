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

    ``sheet_node`` (m,) is the one-sheet node of every node, ``side`` (m,) is 1 on the outer, -1 on
    the lining and 0 on the rim, where both are one.
    """

    mean: FrontFactor
    difference: FrontFactor
    sheet_node: IntArray
    side: FloatArray

    def solve(self, right: FloatArray) -> FloatArray:
        """Solve for one right-hand side (m, 3)."""
        size = int(self.sheet_node.max()) + 1
        both = vectors_at(self.sheet_node, right, size)
        apart = vectors_at(self.sheet_node, self.side[:, None] * right, size)
        mean = self.mean.solve(both)
        difference = self.difference.solve(apart)
        return mean[self.sheet_node] + self.side[:, None] * difference[self.sheet_node]


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
        # half the difference of the layers, with the sign of each; none where they are one
        self._side = np.zeros(len(sheet_node))
        if len(garment.node) == 2:
            self._side[garment.node[0]] += 1.0
            self._side[garment.node[1]] -= 1.0
        self._on_rim: BoolArray = np.zeros(len(nodes), dtype=bool)
        self._on_rim[sheet_node[self._side == 0]] = True

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
        nodes[self._on_rim] += HELD_N_PER_M * np.eye(3).ravel()
        flat = self._assembled(sheets, self._bending, nodes)
        yield
        difference = yield from FrontFactor.eliminate(self.fronts, flat)
        return LayerFactors(mean, difference, self._garment.sheet_node, self._side)

    def _assembled(self, sheets: FloatArray, bending: FloatArray, nodes: FloatArray) -> FloatArray:
        sum_fast = chosen("solving").sum_at
        size = self.fronts.size + 1
        flat: FloatArray = sum_fast(self._membrane_places, sheets.ravel(), size)
        flat += bending
        flat += sum_fast(self._node_places, nodes.ravel(), size)
        return flat[:-1]

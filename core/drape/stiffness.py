# SPDX-License-Identifier: GPL-3.0-or-later
"""Second derivatives of the drape's energy, assembled and factored."""

import numpy as np

from ..arrays import FloatArray
from .fronts import FrontFactor, Fronts
from .garment import Garment
from .slices import Slices
from .sums import sum_at

__all__ = ["Stiffness"]


class Stiffness:
    """Assembles a garment's stiffness at given positions; the places are worked out once."""

    def __init__(self, garment: Garment) -> None:
        self._garment = garment
        rows, columns, values = garment.bending.entries()
        triangles = garment.membrane.triangles
        first = np.repeat(triangles, 3, axis=1).ravel()
        second = np.tile(triangles, (1, 3)).ravel()
        places = garment.places
        self._fronts = Fronts(
            places, np.concatenate([rows, first]), np.concatenate([columns, second])
        )
        self._membrane_places = self._fronts.stored(first, second).ravel()
        nodes = np.arange(len(places))
        self._node_places = self._fronts.stored(nodes, nodes).ravel()
        bending_places = self._fronts.stored(rows, columns)
        bending = np.zeros(self._fronts.size + 1)
        for axis in range(3):
            bending += sum_at(bending_places[:, axis, axis], values, self._fronts.size + 1)
        self._bending = bending

    def factor(self, positions: FloatArray, node_blocks: FloatArray) -> Slices[FrontFactor]:
        """Factor at positions (m, 3) with (m, 3, 3) added to the nodes (N/m)."""
        size = self._fronts.size + 1
        blocks = self._garment.membrane.stiffness_blocks(positions)
        yield
        flat = sum_at(self._membrane_places, blocks.ravel(), size)
        flat += self._bending
        flat += sum_at(self._node_places, node_blocks.ravel(), size)
        yield
        return (yield from FrontFactor.eliminate(self._fronts, flat[:-1]))

# SPDX-License-Identifier: GPL-3.0-or-later
"""Garment against garment: sleeve on side, front on front, folds.

Pile cloth is thick against the mesh's edges, so its nodes act as balls: two nodes that are far
apart on the cloth are kept apart in space by the sheet's thickness.
"""

import numpy as np

from ..arrays import FloatArray, IntArray
from .backend import chosen
from .self_friction import SelfFriction
from .sums import lengths

__all__ = ["APART", "SelfContact"]

APART = 1.5
"""Nodes farther apart on the cloth than this many thicknesses are kept apart in space.

It also keeps a fold as round as two thicknesses of cloth must make it.
"""


class SelfContact:
    """Repulsion between nodes of one sheet that are not neighbours on the cloth.

    Parameters
    ----------
    nodes
        (k,) the nodes of the sheet.
    rest
        (k, 2, 2) their flat positions: two of them, since a seam node lies at two places.
    thickness_m
        Distance kept between nodes in contact.
    travel_m
        How far each node may move before the next refresh.
    stiffness_n_per_m
        (m,) contact stiffness of every node of the garment.
    friction
        What rubs where nodes touch, or None.
    """

    def __init__(
        self,
        nodes: IntArray,
        rest: FloatArray,
        thickness_m: float,
        travel_m: float,
        stiffness_n_per_m: FloatArray,
        friction: SelfFriction | None = None,
    ) -> None:
        self._nodes = nodes
        self._rest = rest
        self._thickness_m = thickness_m
        self._watched_m = thickness_m + 2 * travel_m
        self._stiffness = stiffness_n_per_m
        self._friction = friction
        self._pairs: IntArray = np.zeros((0, 2), dtype=np.int64)
        self._pair_stiffness: FloatArray = np.zeros(0)

    def refresh(self, positions: FloatArray) -> None:
        """Find again the pairs that may touch before the next refresh."""
        apart_m = APART * self._thickness_m
        places = positions[self._nodes], self._rest
        pairs = chosen("search").close_pairs(*places, self._watched_m, apart_m)
        self._pairs = self._nodes[pairs]
        self._pair_stiffness = np.minimum(
            self._stiffness[self._pairs[:, 0]], self._stiffness[self._pairs[:, 1]]
        )
        if self._friction is not None:
            depth = self._depths_m(positions)
            touch = depth > 0
            self._friction.refresh(
                positions, self._pairs[touch], depth[touch], self._pair_stiffness[touch]
            )

    def _depths_m(self, positions: FloatArray) -> FloatArray:
        gap = positions[self._pairs[:, 0]] - positions[self._pairs[:, 1]]
        depth: FloatArray = self._thickness_m - lengths(gap)
        return depth

    @property
    def pair_count(self) -> int:
        """Pairs under watch since the last refresh."""
        return len(self._pairs)

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N."""
        energy, gradient = chosen("passes").balls(
            positions, self._pairs, self._pair_stiffness, self._thickness_m
        )
        if self._friction is not None:
            part, pull = self._friction.energy_and_gradient(positions)
            energy += part
            gradient += pull
        return energy, gradient

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) second derivatives in N/m, couplings between nodes moved to the nodes.

        Touching nodes lie far apart on the cloth, out of the strips' reach; doubling each node's
        own block bounds the pair's stiffness from above.
        """
        first, second = self._pairs[:, 0], self._pairs[:, 1]
        gap = positions[first] - positions[second]
        length = np.maximum(lengths(gap), 1e-9)
        touching = length < self._thickness_m
        unit = gap[touching] / length[touching, None]
        pair = (2 * self._pair_stiffness[touching])[:, None, None] * unit[:, :, None]
        pair = pair * unit[:, None, :]
        blocks = np.zeros((len(positions), 3, 3))
        np.add.at(blocks, first[touching], pair)
        np.add.at(blocks, second[touching], pair)
        if self._friction is not None:
            blocks += self._friction.node_blocks(len(positions))
        return blocks

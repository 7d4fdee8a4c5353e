# SPDX-License-Identifier: GPL-3.0-or-later
"""Garment against garment: sleeve on side, front on front, folds.

Pile cloth is thick, so points of it act as balls: two points that are far apart on the cloth are
kept apart in space by the sheet's thickness.
"""

import numpy as np

from ..arrays import FloatArray, IntArray
from .backend import chosen
from .contact_points import ContactPoints, between, blocks_at_ends
from .self_friction import SelfFriction
from .sums import lengths

__all__ = ["SelfContact"]


class SelfContact:
    """Repulsion between points of one sheet that are not neighbours on the cloth.

    Parameters
    ----------
    points
        Where the sheet may touch itself.
    travel_m
        How far each node may move before the next refresh. Of two points that both go so far
        towards each other at once, some are found a look late, but before they have met.
    friction
        What rubs where points touch, or None.
    """

    def __init__(
        self,
        points: ContactPoints,
        travel_m: float,
        friction: SelfFriction | None = None,
    ) -> None:
        self._points = points
        self._watched_m = points.size_m + travel_m
        self._friction = friction
        self._pairs: IntArray = np.zeros((0, 4), dtype=np.int64)
        self._pair_stiffness: FloatArray = np.zeros(0)

    def refresh(self, positions: FloatArray) -> None:
        """Find again the pairs that may touch before the next refresh."""
        points = self._points
        every = points.at(positions)
        found = chosen("search").close_pairs(every, points.rest, self._watched_m, points.apart_m)
        self._pairs = points.ends[found].reshape(-1, 4)
        self._pair_stiffness = points.stiffness_n_per_m[found].min(axis=1)
        if self._friction is not None:
            depth = points.size_m - lengths(every[found[:, 0]] - every[found[:, 1]])
            touch = depth > 0
            self._friction.refresh(
                positions,
                self._pairs[touch],
                found[touch] @ np.array([len(every), 1]),
                depth[touch],
                self._pair_stiffness[touch],
            )

    @property
    def pair_count(self) -> int:
        """Pairs under watch since the last refresh."""
        return len(self._pairs)

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N."""
        energy, gradient = chosen("passes").balls(
            positions, self._pairs, self._pair_stiffness, self._points.size_m
        )
        if self._friction is not None:
            part, pull = self._friction.energy_and_gradient(positions)
            energy += part
            gradient += pull
        return energy, gradient

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) second derivatives in N/m, couplings between nodes moved to the nodes.

        Touching points lie far apart on the cloth, out of the strips' reach; a pair's stiffness at
        each of the four ends bounds it from above.
        """
        gap = between(positions, self._pairs)
        length = np.maximum(lengths(gap), 1e-9)
        touching = length < self._points.size_m
        unit = gap[touching] / length[touching, None]
        pair = self._pair_stiffness[touching][:, None, None] * unit[:, :, None] * unit[:, None, :]
        blocks = blocks_at_ends(self._pairs[touching], pair, len(positions))
        if self._friction is not None:
            blocks += self._friction.node_blocks(len(positions))
        return blocks

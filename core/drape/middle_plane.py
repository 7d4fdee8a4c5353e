# SPDX-License-Identifier: GPL-3.0-or-later
"""The plane in which a garment draped as half meets its mirror image.

Where the cloth is not cut there, its nodes stay in the plane. All others stay on their side, as far
from it as the cloth there is thick on its side: so front meets front edge to edge, and a sleeve
meets the other one.
"""

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray

__all__ = ["HELD_N_PER_M", "MiddlePlane"]

HELD_N_PER_M = 1.0e5
"""Holds nodes in the plane, stiffer than any cloth that pulls at them."""


class MiddlePlane:
    """Contact of all nodes with the plane x = 0.

    Parameters
    ----------
    held
        (k,) nodes that stay in the plane.
    level_m
        (m,) how far every other node stays from it.
    stiffness_n_per_m
        (m,) resistance of each node.
    """

    def __init__(self, held: IntArray, level_m: FloatArray, stiffness_n_per_m: FloatArray) -> None:
        self._held: BoolArray = np.zeros(len(level_m), dtype=bool)
        self._held[held] = True
        # what is held is missing on either side
        self._least_m: FloatArray = np.where(self._held, -np.inf, 0.0)
        self._level_m: FloatArray = np.where(self._held, 0.0, level_m)
        self._stiffness: FloatArray = np.where(self._held, HELD_N_PER_M, stiffness_n_per_m)

    def refresh(self, positions: FloatArray) -> None:
        """Nothing: the plane stays where it is."""

    def _missing_m(self, positions: FloatArray) -> FloatArray:
        missing: FloatArray = np.maximum(self._level_m - positions[:, 0], self._least_m)
        return missing

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N."""
        missing = self._missing_m(positions)
        force = self._stiffness * missing
        gradient = np.zeros_like(positions)
        gradient[:, 0] = -force
        return 0.5 * float(force @ missing), gradient

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) second derivatives in N/m."""
        blocks = np.zeros((len(positions), 3, 3))
        feels = self._held | (self._missing_m(positions) > 0)
        blocks[:, 0, 0] = np.where(feels, self._stiffness, 0.0)
        return blocks

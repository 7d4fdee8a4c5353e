# SPDX-License-Identifier: GPL-3.0-or-later
"""Friction of garment on garment: where two points press as balls, they also rub.

While the garment is moved about, the anchor of a pair is a place in the cloth round its second node,
so that a fold or a sleeve that turns as a whole does not rub. On the way to rest it stays where it
is: cloth hardly turns there, and an anchor that turned with one triangle at every look would swing
to and fro with it for ever. It is frozen between refreshes, as are the plane in which the pair rubs
and the most that it holds.
"""

import numpy as np

from ..arrays import FloatArray, IntArray
from .backend import chosen
from .body_contact import PILE_SWAY
from .cloth_frames import Nap
from .contact_points import between, blocks_at_ends
from .friction import drawn_after, share_held
from .sums import lengths

__all__ = ["SelfFriction"]


class SelfFriction:
    """Friction between nodes of one sheet that touch.

    Parameters
    ----------
    nap
        How the sheet's pile lies and rubs.
    turns
        Whether anchors turn with the cloth.
    """

    def __init__(self, nap: Nap, *, turns: bool) -> None:
        self._nap = nap
        self._turns = turns
        self._key: IntArray = np.zeros(0, dtype=np.int64)
        self._place: FloatArray = np.zeros((0, 3))
        self._pairs: IntArray = np.zeros((0, 4), dtype=np.int64)
        self._normal: FloatArray = np.zeros((0, 3))
        self._anchor: FloatArray = np.zeros((0, 3))
        self._sway_m: FloatArray = np.zeros(0)
        self._stiffness: FloatArray = np.zeros(0)
        self._held: FloatArray = np.zeros(0)

    def refresh(
        self,
        positions: FloatArray,
        pairs: IntArray,
        key: IntArray,
        depth_m: FloatArray,
        stiffness: FloatArray,
    ) -> None:
        """Let slid pairs go, forget those that parted, hold those that met.

        Parameters
        ----------
        positions
            (m, 3) nodes.
        pairs
            (p, 4) of those that touch: the nodes that either point is midway between.
        key
            (p,) a number of each pair that stays the same, in order.
        depth_m, stiffness
            (p,) how deep they press and their resistance to it, N/m.
        """
        apart = between(positions, pairs)
        normal = apart / np.maximum(np.sqrt((apart**2).sum(axis=1, keepdims=True)), 1e-9)
        first, second = (self._nap.frames.at(positions, pairs[:, end]) for end in (0, 2))
        within = second if self._turns else np.broadcast_to(np.eye(3), second.shape)
        slide = apart - np.einsum("pac,pa->pc", within, self._held_at(key, apart, within))
        slide -= (slide * normal).sum(axis=1, keepdims=True) * normal
        # the second cloth strokes the first's pile against the slide, and the other way round
        stroke = ((second[:, 0] - first[:, 0]) * slide).sum(axis=1) / 2
        coefficient = self._nap.friction.coefficients(stroke, lengths(slide))
        self._sway_m = coefficient * depth_m / PILE_SWAY
        self._held = share_held(slide, self._sway_m)
        self._anchor = apart - drawn_after(slide, self._sway_m)
        self._place = np.einsum("pac,pc->pa", within, self._anchor)
        self._key, self._pairs, self._normal = key, pairs, normal
        self._stiffness = PILE_SWAY * stiffness

    def _held_at(self, key: IntArray, apart: FloatArray, frames: FloatArray) -> FloatArray:
        """Anchors (p, 3) in frames (p, 3, 3); where a pair just met, where it is."""
        place: FloatArray = np.einsum("pac,pc->pa", frames, apart)
        if len(self._key):
            row = np.minimum(np.searchsorted(self._key, key), len(self._key) - 1)
            known = self._key[row] == key
            place[known] = self._place[row[known]]
        return place

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N."""
        result: tuple[float, FloatArray] = chosen("passes").rubs(
            positions, self._pairs, self._normal, self._anchor, self._sway_m, self._stiffness
        )
        return result

    def node_blocks(self, count: int) -> FloatArray:
        """(m, 3, 3) second derivatives in N/m, couplings moved to the nodes."""
        across = np.eye(3) - self._normal[:, :, None] * self._normal[:, None, :]
        pair = (self._stiffness * self._held)[:, None, None] * across
        return blocks_at_ends(self._pairs, pair, count)

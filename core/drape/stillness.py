# SPDX-License-Identifier: GPL-3.0-or-later
"""Which nodes lie still from look to look, and how much what was found of them before then counts.

Contacts are frozen between two looks. Of a node in a hollow or in a sharp fold each look may find
something else; taken as found, it would swing from one to the other for ever. So what is found of a node
that lies still is a mean, which comes to rest.
"""

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from .sums import lengths

__all__ = ["FOUND_AGAIN", "Stillness"]

STILL_M = 0.002
"""A node lies still that stays nearer than this to the mean of its places, or comes back as near to where
it was a look before: it may swing, but does not creep."""

FOUND_AGAIN = 0.5
"""What is found of a thing that lies still counts at every look by this share of what it counted at the
look before, so that the mean comes to rest: weighted alike it would creep for long."""

HOLLOW_M = 0.005
"""A node that moves less than this between two looks may lie against both sides of a hollow."""


class Stillness:
    """Where nodes (m,) have been at the looks so far."""

    def __init__(self, size: int) -> None:
        self._seen: FloatArray = np.full((size, 3), np.inf)
        self._seen_before = self._middle = self._seen
        self._looks: FloatArray = np.zeros(size)

    def forget(self) -> None:
        """Begin anew: what the nodes lie on has moved."""
        self._seen = self._seen_before = self._middle = np.full_like(self._seen, np.inf)

    def stir(self, nodes: IntArray) -> None:
        """Take nodes (k,) for ones that just moved."""
        self._looks[nodes] = 0.0

    def look(self, positions: FloatArray) -> tuple[FloatArray, BoolArray]:
        """Take another look at positions (m, 3).

        Returns
        -------
        The share (m,) with which what was found before counts, 0 of a node that moved; and whether each
        node (m,) moved so little since the last look that it may lie in the same hollow.
        """
        away_m = np.minimum(
            lengths(positions - self._middle), lengths(positions - self._seen_before)
        )
        still = away_m < STILL_M
        self._looks = np.where(still, self._looks + 1, 0.0)
        middle = np.where(still[:, None], self._middle, positions)
        self._middle = middle + (positions - middle) / (self._looks + 1)[:, None]
        near: BoolArray = lengths(positions - self._seen) < HOLLOW_M
        self._seen_before, self._seen = self._seen, positions
        fades = np.clip(2.0 - 2.0 * away_m / STILL_M, 0.0, 1.0)
        share: FloatArray = fades * (1.0 - FOUND_AGAIN**self._looks)
        return share, near

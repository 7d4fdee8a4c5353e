# SPDX-License-Identifier: GPL-3.0-or-later
"""Which nodes lie still from look to look, and how much what was found of them before then counts.

Contacts are frozen between two looks. Of a node in a hollow or in a sharp fold each look may find
something else; taken as found, it would swing from one to the other for ever. So what is found of a node
that lies still is a mean, which comes to rest.
"""

import numpy as np

from ..arrays import FloatArray, IntArray
from .sums import lengths

__all__ = ["FOUND_AGAIN", "Stillness"]

STILL_M = 0.002
"""A node lies still that stays nearer than this to the mean of its places, or comes back as near to where
it was a look before."""

LEAST_WAY_M = 1e-7
"""Shorter ways are rounding."""

STRAIGHT = 0.75
"""A node whose two last moves lead farther than this share of their lengths creeps on."""

FOUND_AGAIN = 0.5
"""What is found of a thing that lies still counts at every look by this share of what it counted at the
look before, so that the mean comes to rest: weighted alike it would creep for long."""


class Stillness:
    """Where nodes (m,) have been at the looks so far."""

    def __init__(self, size: int) -> None:
        self._seen: FloatArray = np.full((size, 3), np.inf)
        self._seen_before = self._middle = self._seen
        self._moved_m: FloatArray = np.full(size, np.inf)
        self._looks: FloatArray = np.zeros(size)

    def forget(self) -> None:
        """Begin anew: what the nodes lie on has moved."""
        self._seen = self._seen_before = self._middle = np.full_like(self._seen, np.inf)
        self._moved_m = np.full_like(self._moved_m, np.inf)

    def stir(self, nodes: IntArray) -> None:
        """Begin the mean of nodes (k,) anew: at the next look what was found before counts half."""
        self._looks[nodes] = 0.0

    def look(self, positions: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Take another look at positions (m, 3).

        Returns
        -------
        The share (m,) with which what was found before counts, 0 of a node that moved; how far each node
        (m,) is from where it was at the last look; and how far of that it crept on rather than swung.
        """
        moved_m, back_m = lengths(positions - self._seen), lengths(positions - self._seen_before)
        away_m = np.minimum(lengths(positions - self._middle), back_m)
        still = away_m < STILL_M
        self._looks = np.where(still, self._looks + 1, 0.0)
        middle = np.where(still[:, None], self._middle, positions)
        self._middle = middle + (positions - middle) / (self._looks + 1)[:, None]
        way_m = np.maximum(moved_m + self._moved_m, LEAST_WAY_M)
        seen_twice = np.isfinite(back_m)
        straight = np.where(seen_twice, back_m, 1.0) / np.where(seen_twice, way_m, 1.0)
        fades = np.clip(2.0 - 2.0 * away_m / STILL_M, 0.0, 1.0)
        share: FloatArray = fades * (1.0 - FOUND_AGAIN**self._looks)
        creeps = np.clip((straight - STRAIGHT) / (1.0 - STRAIGHT), 0.0, 1.0)
        crept_m: FloatArray = np.where(seen_twice, creeps * moved_m, np.inf)
        self._seen_before, self._seen, self._moved_m = self._seen, positions, moved_m
        return share, moved_m, crept_m

# SPDX-License-Identifier: GPL-3.0-or-later
"""Where a sheet of a garment may touch itself: balls round its nodes, and in thin cloth between them.

Balls close a mesh against other cloth where they are nearly as wide as their places are apart.
Cloth that is thinner than that has balls in the middle of its edges too, of half the size, so that
sleeve and side lie as near to each other, and folds are as sharp, as the cloth's thickness lets them.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from .garment import Garment

__all__ = ["APART", "BALL_SHARE", "ContactPoints", "ball_size_m", "between", "blocks_at_ends"]

APART = 1.5
"""Points farther apart on the cloth than this many thicknesses are kept apart in space.

It also keeps a fold as round as two thicknesses of cloth must make it.
"""

APART_EDGES = 1.2
"""And farther than this many edges: what is nearer folds with one edge, which bending opposes."""

BALL_SHARE = 0.85
"""Balls of this share of the distance of their places close the mesh against other cloth.

Two edges that cross in their middles have ends 0.71 of their length apart; balls give a little.
"""

THIN_SHARE = 0.5
"""Cloth thinner than this share of an edge has balls in the middle of edges too."""

POINTS_A_NODE = 4
"""A mesh has about three edges for every node."""


def ball_size_m(edge_m: float, thickness_m: float) -> float:
    """Distance that points of one sheet keep where it touches itself."""
    places_m = edge_m / 2 if _is_thin(edge_m, thickness_m) else edge_m
    return max(thickness_m, BALL_SHARE * places_m)


def _is_thin(edge_m: float, thickness_m: float) -> bool:
    return thickness_m < THIN_SHARE * edge_m


def between(positions: FloatArray, pairs: IntArray) -> FloatArray:
    """(p, 3) from the middle of the last two nodes of pairs (p, 4) to that of the first two."""
    one, two, three, four = (positions[nodes] for nodes in pairs.T)
    gap: FloatArray = 0.5 * (one + two - three - four)
    return gap


def blocks_at_ends(pairs: IntArray, blocks: FloatArray, count: int) -> FloatArray:
    """(count, 3, 3) sums of blocks (p, 3, 3) at each of the four nodes of pairs (p, 4)."""
    sums = np.zeros((count, 3, 3))
    np.add.at(sums, pairs.ravel(), np.repeat(blocks, 4, axis=0))
    return sums


@dataclass(frozen=True, slots=True)
class ContactPoints:
    """The points of one sheet.

    Attributes
    ----------
    ends
        (k, 2) the nodes that a point is midway between; a node itself is both its ends.
    rest
        (k, 2, 2) flat positions: two of them, since a point of a seam lies at two places.
    stiffness_n_per_m
        (k,) contact stiffness.
    size_m
        Distance kept between points that touch.
    apart_m
        Points must lie farther apart than this on the cloth to touch.
    """

    ends: IntArray
    rest: FloatArray
    stiffness_n_per_m: FloatArray
    size_m: float
    apart_m: float

    @classmethod
    def of_sheet(
        cls, garment: Garment, sheet: int, thickness_m: float, stiffness_n_per_m: FloatArray
    ) -> "ContactPoints":
        """The points of a sheet whose nodes resist contact with (m,) N/m, shared out to them."""
        edge_m = garment.panel.edge_length_m
        size_m = ball_size_m(edge_m, thickness_m)
        nodes, rest = garment.flat_places(sheet)
        ends = np.stack([nodes, nodes], axis=1)
        if not _is_thin(edge_m, thickness_m):
            return cls(ends, rest, stiffness_n_per_m[nodes], size_m, APART * size_m)
        sides, places = _edges(garment, sheet)
        ends = np.concatenate([ends, sides])
        shared = stiffness_n_per_m[ends].mean(axis=1) / POINTS_A_NODE
        apart_m = max(APART * size_m, APART_EDGES * edge_m)
        return cls(ends, np.concatenate([rest, places]), shared, size_m, apart_m)

    def at(self, positions: FloatArray) -> FloatArray:
        """Places (k, 3) of the points for nodes at (m, 3)."""
        places: FloatArray = 0.5 * (positions[self.ends[:, 0]] + positions[self.ends[:, 1]])
        return places


def _edges(garment: Garment, sheet: int) -> tuple[IntArray, FloatArray]:
    """End nodes (e, 2) of a sheet's edges and the two flat places (e, 2, 2) of their middles."""
    sides = garment.panel.triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
    middles = garment.panel.spread[sides].mean(axis=1)
    ends = np.sort(garment.node[sheet][sides], axis=1)
    key = ends[:, 0] * len(garment.mass_kg) + ends[:, 1]
    # an edge of a seam is that of two triangles, which lie at two places of the cloth
    order = np.argsort(key, kind="stable")
    new = np.flatnonzero(np.diff(key[order], prepend=-1))
    last = np.append(new[1:], len(order)) - 1
    return ends[order[new]], np.stack([middles[order[new]], middles[order[last]]], axis=1)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Drawing apart what passed through: edges of the cloth that pierce its triangles.

Thickness keeps cloth apart at nodes and at the middles of triangles, so in a sharp fold an edge
may slip through between them. Such places are few. Each one found gets a push of its own, which
stays on, eased. Where outer and lining cross near the same place of the cut, their order says which
way: outer goes to the outer side. Everywhere else the push shortens the line along which the two
pieces cross (Volino and Magnenat-Thalmann 2006, ACM Transactions on Graphics 25:1154) or, where
that line is straight, takes the end back that came through less far.
"""

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from ..slices import Slices
from .crossings import pierced, sheet_edges
from .garment import Garment
from .sums import dots, lengths, sum_at, vectors_at

__all__ = ["FEW_TANGLES", "Tangles"]

SAME_PLACE_EDGES = 5.0
"""Outer and lining this many mesh edges apart on the cut, or nearer, have their known order."""

MOST_PUSH_EDGES = 0.3
"""Share of a mesh edge that a crossing is drawn apart at a time."""

CLEAR_EDGES = 0.05
"""Share of a mesh edge that is left clear beyond the place where the two just touch."""

EASING = 0.5
"""Share of what a push misses, beyond the clear space, that is let off at the next look."""

HOLDING = 2.0
"""At rest, a push that misses more than this many clear spaces is let off to one at once. What misses less
only just holds: let off ever further, the whole wrap would creep after it for a dozen rounds. Where cloth
crosses again after a push was let off, the new one stays as it is."""

LEAST_SHORTENING = 0.3
"""Length by which a crossing line shortens per length moved, below which it counts as straight."""

MOST_TANGLES = 4000
"""Pushes kept at most: where more cloth crosses, drawing it apart place by place is no remedy."""


MOST_CLEARINGS = 12
FEW_TANGLES = 60
"""Places that are still moved apart one by one at rest; more are a matter of the descent."""


class Tangles:
    """Pushes on the places where cloth was found to pass through cloth.

    Parameters
    ----------
    garment
        One or two sheets.
    stiffness_n_per_m
        (m,) resistance at every node.

    Attributes
    ----------
    edges
        (e, 2) all edges of the garment.
    """

    def __init__(self, garment: Garment, stiffness_n_per_m: FloatArray) -> None:
        sheets = [garment.node_triangles(sheet) for sheet in range(len(garment.node))]
        self._triangles: IntArray = np.concatenate(sheets)
        self.edges = sheet_edges(self._triangles)
        self._corners = _corners_beside(self.edges, self._triangles)
        self._stiffness = stiffness_n_per_m
        edge_m = garment.panel.edge_length_m
        self._most_push_m, self._clear_m = MOST_PUSH_EDGES * edge_m, CLEAR_EDGES * edge_m
        self._near_m = SAME_PLACE_EDGES * edge_m
        size = len(garment.mass_kg)
        self._flat: FloatArray = np.zeros((size, 2, 2))
        # +1 on the outer, -1 on the lining, 0 where they are one
        self._side: FloatArray = np.zeros(size)
        for sheet in range(len(garment.node)):
            nodes, flat = garment.flat_places(sheet)
            self._flat[nodes] = flat
            self._side[nodes] += 1 - 2 * sheet
        self._key: IntArray = np.zeros(0, dtype=np.int64)
        self._nodes: IntArray = np.zeros((0, 5), dtype=np.int64)
        # the coordinates of the five nodes, and how what is to grow changes with each
        self._coordinates: IntArray = np.zeros((0, 15), dtype=np.int64)
        self._slopes: FloatArray = np.zeros((0, 15))
        self._level_m: FloatArray = np.zeros(0)
        self._let_off: BoolArray = np.zeros(0, dtype=bool)
        self._stays: BoolArray = np.zeros(0, dtype=bool)
        self._pair_stiffness: FloatArray = np.zeros(0)

    def find(self, positions: FloatArray, *, firmer: bool = False) -> Slices[int]:
        """Find what crosses now and push it apart from now on; how many places cross.

        ``firmer``, for cloth at rest, adds to each push what the one before it has not drawn apart, and
        lets those stay that are needed again. While cloth moves, pushes that go the wrong way would
        wind up against each other.
        """
        missing_m = self._missing_m(positions)
        pairs = yield from pierced(positions, self.edges, self._triangles)
        key = pairs[:, 0] * len(self._triangles) + pairs[:, 1]
        holding, share = (HOLDING, 1.0) if firmer else (1.0, EASING)
        eased = (missing_m > holding * self._clear_m) & ~self._stays & ~np.isin(self._key, key)
        let_off_m = np.where(eased, share * (missing_m - self._clear_m), 0.0)
        self._level_m = self._level_m - let_off_m
        self._let_off |= eased
        nodes, weights, direction, push_m = self._pushes(positions, pairs)
        stays = np.zeros(len(key), dtype=bool)
        if firmer:
            push_m += np.minimum(self._lacking_m(key, missing_m), self._most_push_m)
            stays = np.isin(key, self._key[self._let_off | self._stays])
        self._keep(key, nodes, weights, direction, push_m, stays)
        return len(pairs)

    def _lacking_m(self, key: IntArray, missing_m: FloatArray) -> FloatArray:
        """What pushes lack (p,) that are there already for crossings ``key`` (p,); 0 for new ones."""
        lacking = np.zeros(len(key))
        _, new, old = np.intersect1d(key, self._key, assume_unique=True, return_indices=True)
        lacking[new] = missing_m[old]
        return lacking

    def cleared(self, positions: FloatArray) -> Slices[tuple[FloatArray, int]]:
        """Positions with what crosses moved apart, the rest left alone, and how much still does.

        For the last few places of a garment that hangs at rest: each is off by less than an edge.
        """
        for _ in range(MOST_CLEARINGS):
            pairs = yield from pierced(positions, self.edges, self._triangles)
            if not 0 < len(pairs) <= FEW_TANGLES:
                break
            nodes, weights, direction, push_m = self._pushes(positions, pairs)
            share = weights / (weights**2).sum(axis=1, keepdims=True)
            moves = (share * push_m[:, None])[:, :, None] * direction[:, None]
            counts = np.maximum(np.bincount(nodes.ravel(), minlength=len(positions)), 1)
            total = vectors_at(nodes.ravel(), moves.reshape(-1, 3), len(positions))
            positions = positions + total / counts[:, None]
        return positions, len(pairs)

    def _pushes(
        self, positions: FloatArray, pairs: IntArray
    ) -> tuple[IntArray, FloatArray, FloatArray, FloatArray]:
        """What draws crossing pairs (p, 2) of an edge and a triangle apart.

        Returns
        -------
        Nodes (p, 5), their weights (p, 5), and the unit direction (p, 3) and length (p,) by which
        the weighted sum of the nodes should grow.
        """
        edge, triangle = self.edges[pairs[:, 0]], self._triangles[pairs[:, 1]]
        ends, corners = positions[edge], positions[triangle]
        normal = _unit(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]))
        heights = ((ends - corners[:, :1]) * normal[:, None]).sum(axis=2)
        share = heights[:, 0] / (heights[:, 0] - heights[:, 1])
        place = ends[:, 0] + share[:, None] * (ends[:, 1] - ends[:, 0])
        weights = np.concatenate(
            [np.stack([1 - share, share], axis=1), -_weights_in(place, corners)], axis=1
        )
        shorter, plain = self._shortening(positions, pairs, normal, ends)
        ordered = self._ordered(edge, triangle)
        # the outer goes up from the lining, the lining down from the outer; of other pieces that
        # cross along a straight line, the shorter end goes back
        up = np.sign(self._side[edge].sum(axis=1) - self._side[triangle].sum(axis=1))
        up = np.where(ordered, up, np.where(heights.sum(axis=1) > 0, 1.0, -1.0))
        deep = np.where(up > 0, -heights.min(axis=1), heights.max(axis=1))
        upright = ordered | plain
        direction = np.where(upright[:, None], up[:, None] * normal, shorter)
        push_m = np.where(upright, np.minimum(deep, self._most_push_m), self._most_push_m)
        nodes = np.concatenate([edge, triangle], axis=1)
        return nodes, weights, direction, push_m + self._clear_m

    def _ordered(self, edge: IntArray, triangle: IntArray) -> BoolArray:
        """Whether outer and lining meet near the same place of the cut."""
        apart = self._flat[edge[:, 0]][:, :, None] - self._flat[triangle[:, 0]][:, None]
        near = np.sqrt((apart**2).sum(axis=3).min(axis=(1, 2))) < self._near_m
        sides = self._side[edge].sum(axis=1) * self._side[triangle].sum(axis=1)
        ordered: BoolArray = near & (sides < 0)
        return ordered

    def _shortening(
        self, positions: FloatArray, pairs: IntArray, normal: FloatArray, ends: FloatArray
    ) -> tuple[FloatArray, BoolArray]:
        """Unit direction in which moving the edge shortens the crossing line best.

        And whether that line runs so straight that no direction does.
        """
        along = _unit(ends[:, 1] - ends[:, 0])
        steep = dots(along, normal)
        steep = np.where(np.abs(steep) < 0.1, np.where(steep < 0, -0.1, 0.1), steep)
        total = np.zeros((len(pairs), 3))
        for corner in self._corners[pairs[:, 0]].T:
            to_corner = positions[corner] - ends[:, 0]
            line = _unit(np.cross(normal, np.cross(along, to_corner)))
            inward = np.sign(dots(line, to_corner) - _along(line, to_corner, along))
            line = np.where(corner[:, None] >= 0, inward[:, None] * line, 0.0)
            total += line - (dots(along, line) / steep)[:, None] * normal
        return _unit(total), lengths(total) < LEAST_SHORTENING

    def _keep(
        self,
        key: IntArray,
        nodes: IntArray,
        weights: FloatArray,
        direction: FloatArray,
        level_m: FloatArray,
        stays: BoolArray,
    ) -> None:
        """Put the new pushes in the place of older ones for the same edge and triangle."""
        old = ~np.isin(self._key, key)
        self._key = np.concatenate([self._key[old], key])[-MOST_TANGLES:]
        self._nodes = np.concatenate([self._nodes[old], nodes])[-MOST_TANGLES:]
        self._coordinates = (3 * self._nodes[:, :, None] + np.arange(3)).reshape(-1, 15)
        slopes = (weights[:, :, None] * direction[:, None]).reshape(-1, 15)
        self._slopes = np.concatenate([self._slopes[old], slopes])[-MOST_TANGLES:]
        self._level_m = np.concatenate([self._level_m[old], level_m])[-MOST_TANGLES:]
        self._let_off = np.concatenate([self._let_off[old], np.zeros_like(stays)])[-MOST_TANGLES:]
        self._stays = np.concatenate([self._stays[old], stays])[-MOST_TANGLES:]
        self._pair_stiffness = self._stiffness[self._nodes].min(axis=1)

    def refresh(self, positions: FloatArray) -> None:
        """Nothing: pushes are found by `find` alone."""

    def _missing_m(self, positions: FloatArray) -> FloatArray:
        apart = dots(self._slopes, positions.ravel()[self._coordinates])
        missing: FloatArray = np.maximum(self._level_m - apart, 0.0)
        return missing

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N."""
        if not len(self._nodes):
            return 0.0, np.zeros_like(positions)
        missing = self._missing_m(positions)
        force = self._pair_stiffness * missing
        push = -force[:, None] * self._slopes
        gradient = sum_at(self._coordinates.ravel(), push.ravel(), positions.size)
        return 0.5 * float(force @ missing), gradient.reshape(positions.shape)

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) second derivatives in N/m, couplings moved to the nodes."""
        stiffness = np.where(self._missing_m(positions) > 0, self._pair_stiffness, 0.0)
        slopes = self._slopes.reshape(-1, 5, 3)
        weights = np.sqrt((slopes**2).sum(axis=2))
        share = stiffness[:, None] * weights.sum(axis=1, keepdims=True) / np.maximum(weights, 1e-30)
        blocks = share[:, :, None, None] * slopes[:, :, :, None] * slopes[:, :, None]
        size = len(positions)
        total: FloatArray = vectors_at(self._nodes.ravel(), blocks.reshape(-1, 9), size)
        return total.reshape(size, 3, 3)


def _unit(vectors: FloatArray) -> FloatArray:
    length = np.sqrt((vectors**2).sum(axis=1, keepdims=True))
    unit: FloatArray = vectors / np.maximum(length, 1e-30)
    return unit


def _along(line: FloatArray, to_corner: FloatArray, along: FloatArray) -> FloatArray:
    """What of ``line · to_corner`` comes from the edge's own direction."""
    result: FloatArray = dots(line, along) * dots(to_corner, along)
    return result


def _weights_in(place: FloatArray, corners: FloatArray) -> FloatArray:
    """Weights (p, 3) of places (p, 3) in the planes of triangles (p, 3, 3)."""
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    relative = place - corners[:, 0]
    normal = np.cross(first, second)
    square = np.maximum((normal**2).sum(axis=1), 1e-30)
    b = (np.cross(relative, second) * normal).sum(axis=1) / square
    c = (np.cross(first, relative) * normal).sum(axis=1) / square
    return np.stack([1 - b - c, b, c], axis=1)


def _corners_beside(edges: IntArray, triangles: IntArray) -> IntArray:
    """(e, 2) the corners across from each edge, in the triangles beside it; -1 for none."""
    size = int(triangles.max()) + 1
    sides = np.sort(triangles[:, [[1, 2], [2, 0], [0, 1]]], axis=2).reshape(-1, 2)
    key = sides[:, 0] * size + sides[:, 1]
    order = np.argsort(key, kind="stable")
    wanted = edges[:, 0] * size + edges[:, 1]
    begin = np.searchsorted(key[order], wanted, side="left")
    end = np.searchsorted(key[order], wanted, side="right")
    corner = triangles.ravel()[order]
    beside = np.full((len(edges), 2), -1)
    beside[:, 0] = corner[begin]
    two = end - begin > 1
    beside[two, 1] = corner[begin[two] + 1]
    return beside

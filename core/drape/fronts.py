# SPDX-License-Identifier: GPL-3.0-or-later
"""Direct solution of the garment's stiffness equations, on NumPy alone.

Nested dissection (George 1973, SIAM Journal on Numerical Analysis 10:345): the nodes are halved by
a line over the cloth, again and again; the nodes along each line are eliminated after both halves.
The elimination is multifrontal (Duff and Reid 1983, ACM Transactions on Mathematical Software
9:302): each part is one small dense matrix, so the arithmetic is done by products of dense
matrices, a few hundred of them at any mesh size used here.
"""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import BoolArray, FloatArray, IntArray
from ..slices import Slices, finished
from .backend import chosen

__all__ = ["FrontFactor", "Fronts"]

SingleArray = NDArray[np.float32]

DIMENSIONS = 3
LEAF_NODES = 40
DIRECTIONS = ((1.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, -1.0))
"""Nodes are halved along the one of these that leaves the fewest between the halves."""


@dataclass(frozen=True, slots=True)
class _Front:
    """Nodes eliminated together, the later nodes they touch, and where those lie in the parent.

    The last front of all has no parent (-1).
    """

    own: IntArray
    later: IntArray
    parent: int
    in_parent: IntArray


class Fronts:
    """The order of elimination, and where each coupling of two nodes is stored.

    Parameters
    ----------
    places
        (m, 2) positions by which nodes are halved; coupled nodes should lie close.
    rows, columns
        Coupled pairs of nodes, each in both directions.

    Attributes
    ----------
    size
        How many couplings of coordinates are stored: the length of the one flat array of them.
    """

    def __init__(self, places: FloatArray, rows: IntArray, columns: IntArray) -> None:
        finished(self._order(places, rows, columns))

    @classmethod
    def ordered(cls, places: FloatArray, rows: IntArray, columns: IntArray) -> "Slices[Fronts]":
        """The same in slices."""
        fronts = cls.__new__(cls)
        yield from fronts._order(places, rows, columns)
        return fronts

    def _order(self, places: FloatArray, rows: IntArray, columns: IntArray) -> Slices[None]:
        self._count = len(places)
        order = np.argsort(rows, kind="stable")
        self._columns = columns[order]
        self._row_starts = np.searchsorted(rows[order], np.arange(self._count + 1))
        self._places = places
        self._marked: BoolArray = np.zeros(self._count, dtype=bool)
        own: list[IntArray] = []
        children: list[tuple[int, ...]] = []
        self._dissect(np.arange(self._count), own, children)
        yield
        self.fronts = self._with_boundaries(own, children)
        self._prepare_lookup()
        yield
        yield from self._keep(rows, columns)

    def _neighbours(self, nodes: IntArray) -> IntArray:
        counts = self._row_starts[nodes + 1] - self._row_starts[nodes]
        within = np.arange(int(counts.sum())) - np.repeat(np.cumsum(counts) - counts, counts)
        self._marked[self._columns[np.repeat(self._row_starts[nodes], counts) + within]] = True
        found: IntArray = np.flatnonzero(self._marked)
        self._marked[found] = False
        return found

    def _shared(self, nodes: IntArray, others: IntArray, *, alike: bool) -> IntArray:
        """Those of the nodes that are among others, or those that are not."""
        self._marked[others] = True
        found: IntArray = nodes[self._marked[nodes] == alike]
        self._marked[others] = False
        return found

    def _dissect(
        self, nodes: IntArray, own: list[IntArray], children: list[tuple[int, ...]]
    ) -> int:
        """Append the fronts of these nodes, children first; the index of their last front."""
        parts: tuple[int, ...] = ()
        if len(nodes) > LEAF_NODES:
            cuts = [self._halved(nodes, direction) for direction in DIRECTIONS]
            left, line, right = min(cuts, key=lambda cut: len(cut[1]))
            if len(left) and len(right):
                parts = (
                    self._dissect(left, own, children),
                    self._dissect(right, own, children),
                )
                nodes = line
        own.append(nodes)
        children.append(parts)
        return len(own) - 1

    def _halved(
        self, nodes: IntArray, direction: tuple[float, float]
    ) -> tuple[IntArray, IntArray, IntArray]:
        """One half, the shorter of the two lines of nodes between the halves, the other half."""
        along = self._places[nodes] @ np.array(direction)
        left = nodes[along < np.median(along)]
        right = self._shared(nodes, left, alike=False)
        line = self._shared(self._neighbours(left), right, alike=True)
        other = self._shared(self._neighbours(right), left, alike=True)
        if len(other) < len(line):
            left, line, right = right, other, left
        return left, line, self._shared(right, line, alike=False)

    def _with_boundaries(
        self, own: list[IntArray], children: list[tuple[int, ...]]
    ) -> list[_Front]:
        self._front_of = np.zeros(self._count, dtype=np.int64)
        for index, nodes in enumerate(own):
            self._front_of[nodes] = index
        later: list[IntArray] = []
        for index, nodes in enumerate(own):
            touched = [self._neighbours(nodes), *(later[child] for child in children[index])]
            reached = np.unique(np.concatenate(touched))
            later.append(reached[self._front_of[reached] > index])
        in_parent = [np.zeros(0, dtype=np.int64)] * len(own)
        parent = [-1] * len(own)
        for index, nodes in enumerate(own):
            everyone = np.concatenate([nodes, later[index]])
            sorting = np.argsort(everyone)
            for child in children[index]:
                place = np.searchsorted(everyone[sorting], later[child])
                in_parent[child] = sorting[place]
                parent[child] = index
        return [_Front(*parts) for parts in zip(own, later, parent, in_parent, strict=True)]

    def _prepare_lookup(self) -> None:
        lengths = [len(front.own) + len(front.later) for front in self.fronts]
        front = np.repeat(np.arange(len(lengths)), lengths)
        node = np.concatenate([np.concatenate([f.own, f.later]) for f in self.fronts])
        local = np.concatenate([np.arange(length) for length in lengths])
        key = front * self._count + node
        order = np.argsort(key)
        self._lookup_key, self._lookup_local = key[order], local[order]

    def _local(self, front: IntArray, node: IntArray) -> IntArray:
        place = np.searchsorted(self._lookup_key, front * self._count + node)
        found: IntArray = self._lookup_local[place]
        return found

    def _keep(self, rows: IntArray, columns: IntArray) -> Slices[None]:
        """Give every coupling its place in the flat array, front after front."""
        widths = [DIMENSIONS * (len(front.own) + len(front.later)) for front in self.fronts]
        self._widths = np.array(widths)
        self._starts = np.concatenate([[0], np.cumsum(self._widths**2)])
        places = self._in_fronts(rows, columns)
        yield
        self._entries: IntArray = np.unique(places[places >= 0])
        yield
        self.size = len(self._entries)
        bounds = np.searchsorted(self._entries, self._starts)
        self._bounds = [slice(*pair) for pair in pairwise(bounds.tolist())]
        front = np.repeat(np.arange(len(widths)), np.diff(bounds))
        self._within: IntArray = self._entries - self._starts[front]

    def _in_fronts(self, rows: IntArray, columns: IntArray) -> IntArray:
        """Places (p, 3, 3) of couplings when all fronts lie one after the other; -1 where unused.

        Of a pair in two fronts only the entry in the column of the earlier node is stored.
        """
        front = self._front_of[columns]
        used: BoolArray = self._front_of[rows] >= front
        front = np.minimum(front, self._front_of[rows])
        axis = np.arange(DIMENSIONS)
        row = DIMENSIONS * self._local(front, rows)[:, None, None] + axis[:, None]
        column = DIMENSIONS * self._local(front, columns)[:, None, None] + axis
        place = (self._starts[front] + row.T * self._widths[front]).T + column
        result: IntArray = np.where(used[:, None, None], place, -1)
        return result

    def stored(self, rows: IntArray, columns: IntArray) -> IntArray:
        """Index (p, 3, 3) in the flat array of the couplings of node pairs; `size` where unused."""
        places = self._in_fronts(rows, columns)
        result: IntArray = np.where(places >= 0, np.searchsorted(self._entries, places), self.size)
        return result

    def fill(self, whole: SingleArray, flat: FloatArray, index: int) -> None:
        """Add the stored couplings of one front to its matrix (own + later coordinates)."""
        bounds = self._bounds[index]
        whole.reshape(-1)[self._within[bounds]] += flat[bounds].astype(np.float32)


def _coordinates(nodes: IntArray) -> IntArray:
    spread: IntArray = (DIMENSIONS * nodes[:, None] + np.arange(DIMENSIONS)).ravel()
    return spread


def _zeros(front: _Front) -> SingleArray:
    size = DIMENSIONS * (len(front.own) + len(front.later))
    return np.zeros((size, size), dtype=np.float32)


def _lower(block: SingleArray) -> SingleArray:
    """Cholesky factor of a symmetric block.

    Where rounding left it not quite positive definite its diagonal grows a little: any such factor
    guides a descent.
    """
    most = block.diagonal().max()
    for share in (0.0, 1e-5, 1e-3, 1e-1):
        grown = block
        if share:
            grown = block + share * most * np.eye(len(block), dtype=np.float32)
        try:
            lower: SingleArray = np.linalg.cholesky(grown)
        except np.linalg.LinAlgError:
            continue
        return lower
    raise np.linalg.LinAlgError("The stiffness of the cloth is far from positive definite.")


@dataclass(frozen=True, slots=True)
class FrontFactor:
    """Eliminated fronts, in single precision or less.

    Of every front: the inverse of its own Cholesky factor, and how loads go over to the later nodes,
    as `solving.pack_fronts` keeps them. The factor only guides a minimisation whose own sums are in
    double precision.
    """

    packed: tuple[Any, ...]

    @classmethod
    def eliminate(cls, fronts: Fronts, flat: FloatArray) -> "Slices[FrontFactor]":
        """Eliminate a symmetric positive definite matrix stored by `fronts`, front by front.

        Raises
        ------
        numpy.linalg.LinAlgError
            The matrix is far from positive definite.
        """
        solving = chosen("solving")
        rows: list[SingleArray] = []
        begun: dict[int, SingleArray] = {}
        for index, front in enumerate(fronts.fronts):
            width = DIMENSIONS * len(front.own)
            whole = begun.pop(index, None)
            if whole is None:
                whole = _zeros(front)
            fronts.fill(whole, flat, index)
            inverse = solving.lower_inverse(_lower(whole[:width, :width]))
            link = whole[width:, :width] @ inverse.T
            rows.append(np.concatenate([inverse.T, -inverse.T @ link.T], axis=1))
            if front.parent >= 0:
                if front.parent not in begun:
                    begun[front.parent] = _zeros(fronts.fronts[front.parent])
                left = link @ link.T
                np.subtract(whole[width:, width:], left, out=left)
                solving.add_scattered(begun[front.parent], _coordinates(front.in_parent), left)
            yield
        own = [_coordinates(front.own) for front in fronts.fronts]
        later = [_coordinates(front.later) for front in fronts.fronts]
        return cls(solving.pack_fronts(own, later, rows))

    def solve(self, right: FloatArray) -> FloatArray:
        """Solve for one right-hand side (m, 3)."""
        solution: FloatArray = chosen("solving").solve_fronts(self.packed, right.ravel())
        return solution.reshape(right.shape)

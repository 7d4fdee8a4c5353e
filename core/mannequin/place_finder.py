# SPDX-License-Identifier: GPL-3.0-or-later
"""Finding the closest places on one surface for points that are asked about again and again."""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from hashlib import blake2b

import numpy as np

from ..arrays import FloatArray, IntArray
from . import search as array_code
from .box_tree import PosedTree, Tree, build_tree, posed_tree
from .memory import Memory, farthest_m
from .search import Search

__all__ = ["Found", "PlaceFinder", "fast_search"]

NEIGHBOURHOOD_M = 0.04

SETS_KEPT = 3
"""So many sets of points are remembered; a set is known by the number of its points."""


@dataclass(frozen=True, slots=True)
class Found:
    """The closest triangles to n points, in an order in which points near each other are together.

    ``points`` (3, n) are those of ``search``; ``back`` (n,) tells where each point asked about
    stands among them.
    """

    back: IntArray
    points: FloatArray
    search: Search


@dataclass(slots=True)
class _PointSet:
    """Points in the order in which they are looked for, and what is known of them.

    ``order`` (n,) is the number of each point looked for, ``back`` (n,) when each was; ``last``
    (n,) is the place where it was found last.
    """

    order: IntArray
    back: IntArray
    last: IntArray
    memory: Memory


class PlaceFinder:
    """The closest places on some triangles of a body, in the pose last set.

    Parameters
    ----------
    vertices, triangles
        The body, or a part of it, in its bind pose.
    compiled
        Use Numba where it is installed. Without it array code gives the same answers.
    """

    def __init__(self, vertices: FloatArray, triangles: IntArray, *, compiled: bool = True) -> None:
        self._search = fast_search() if compiled else array_code.search
        self._own: IntArray = np.unique(triangles)
        self._vertices: FloatArray = vertices.take(self._own, axis=0)
        self._sets: dict[int, _PointSet] = {}
        self.tree: Tree = _tree_of(vertices, triangles)
        self.corners: IntArray = np.ascontiguousarray(triangles[self.tree.order].T)
        """(3, k) vertices of the triangle at each place of the tree."""
        self.posed: PosedTree = self._posed(vertices)

    def set_pose(self, vertices: FloatArray) -> bool:
        """Take the body's vertices (n, 3), m; False if none of these triangles moved."""
        own = vertices.take(self._own, axis=0)
        travel_m = farthest_m(self._vertices, own)
        if travel_m == 0.0:
            return False
        for known in self._sets.values():
            known.memory.travel_m += travel_m
        self._vertices = own
        self.posed = self._posed(vertices)
        return True

    def _posed(self, vertices: FloatArray) -> PosedTree:
        columns = np.ascontiguousarray(vertices.T)
        corners = np.stack([columns.take(corner, axis=1) for corner in self.corners])
        return posed_tree(self.tree, corners)

    def closest(self, points: FloatArray, reach_m: float = np.inf) -> Found:
        """The closest triangles to points (n, 3), m, if they are nearer than ``reach_m``.

        Points asked about again in the same order after a small move are found faster; their
        distances do not depend on it.
        """
        known = self._sets.pop(len(points), None) or _point_set(points)
        # those asked about last come last
        self._sets[len(points)] = known
        if len(self._sets) > SETS_KEPT:
            del self._sets[next(iter(self._sets))]
        columns = np.ascontiguousarray(points.take(known.order, axis=0).T)
        search = self._search(columns, known.last, self.posed, reach_m, known.memory)
        known.last = search.place
        return Found(known.back, columns, search)


TREES_KEPT = 12
"""Trees of so many bodies and parts are kept: a wrap is draped again and again on the same body."""

_trees: OrderedDict[bytes, Tree] = OrderedDict()


def _tree_of(vertices: FloatArray, triangles: IntArray) -> Tree:
    """The tree of triangles, built once for the same content."""
    content = blake2b(np.ascontiguousarray(vertices).tobytes())
    content.update(np.ascontiguousarray(triangles).tobytes())
    key = content.digest()
    tree = _trees.pop(key, None) or build_tree(vertices, triangles)
    _trees[key] = tree
    if len(_trees) > TREES_KEPT:
        _trees.popitem(last=False)
    return tree


def _point_set(points: FloatArray) -> _PointSet:
    """Points not yet asked about; those near each other follow each other."""
    x, y, z = np.floor(points.T / NEIGHBOURHOOD_M).astype(np.int64)
    order, count = np.lexsort((x, y, z)), len(points)
    return _PointSet(order, np.argsort(order), np.full(count, -1), Memory.of_nothing(count))


@lru_cache(maxsize=1)
def fast_search() -> Callable[..., Search]:
    """The compiled search where Numba is installed, else the array code."""
    try:
        import numba  # noqa: F401
    except ImportError:
        return array_code.search
    from .search_compiled import search

    return search

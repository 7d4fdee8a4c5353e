# SPDX-License-Identifier: GPL-3.0-or-later
"""A panel mesh of another cut with the same triangles, for cuts that are nearly alike.

The outline's vertices go to the new outline, each as far along its edge as before, and the inside
follows by a thin-plate spline (Bookstein 1989, IEEE Transactions on Pattern Analysis and Machine
Intelligence 11:567). So a drape of the one cut is a start for a drape of the other, vertex by
vertex.
"""

from collections.abc import Iterator
from dataclasses import replace
from math import radians

import numpy as np

from .arrays import FloatArray, IntArray
from .panels import PanelMesh, sharp_joints_m
from .pattern import Edge, Front, Pattern
from .triangulate import corner_angles, unique_edges

__all__ = ["recut"]

LEAST_ANGLE = radians(20)
SHORTEST_SHARE, LONGEST_SHARE = 0.5, 2.0
"""Of the edge length aimed at: beyond, the cuts are too unlike and a mesh of its own is better."""


def recut(panel: PanelMesh, pattern: Pattern) -> PanelMesh | None:
    """The panel mesh moved to a pattern, or None where it would be too crooked for it.

    A pattern with other edges, or whose fronts overlap where they did not, needs a mesh of its own.
    """
    if list(panel.edges) != list(pattern.edges) or _overlaps(panel) != _overlapping(pattern):
        return None
    chains = list(_chains(panel, pattern))
    vertices = np.concatenate([chain for chain, _ in chains])
    places = np.concatenate(
        [edge.at(_distances_m(edge, panel.flat[chain])) for chain, edge in chains]
    )
    inside = np.setdiff1d(np.arange(len(panel.flat)), vertices)
    flat = panel.flat.copy()
    # what is seamed on the shoulders moves half by half
    behind = panel.behind if pattern.cut.seamed else np.ones(len(flat), dtype=bool)
    apart = panel.spread
    for half in np.unique(behind):
        rim = behind[vertices] == half
        before, first = np.unique(apart[vertices[rim]], axis=0, return_index=True)
        moves = places[rim][first] - panel.flat[vertices[rim]][first]
        inner = inside[behind[inside] == half]
        flat[inner] += _spline(before, moves, apart[inner])
    flat[vertices] = places
    # rounding must not lift the two halves from each other's mirror image
    flat = (flat + flat[panel.mirror] * (-1, 1)) / 2 + 0.0
    moved = replace(panel, flat=flat)
    return moved if _is_even(moved) else None


def _chains(panel: PanelMesh, pattern: Pattern) -> Iterator[tuple[IntArray, Edge]]:
    """Vertices along each edge; a sleeve end that a shoulder seam divides as its two halves."""
    behind = panel.behind
    for name, edge in pattern.edges.items():
        chain = panel.edges[name]
        if not (pattern.cut.seamed and name.startswith("sleeve_end")):
            yield chain, edge
            continue
        for half in (False, True):
            pieces = tuple(p for p in edge.pieces if (p.start[1] + p.end[1] > 0) == half)
            yield chain[behind[chain] == half], Edge(name=name, pieces=pieces)


def _overlaps(panel: PanelMesh) -> bool:
    return panel.spread is not panel.flat


def _overlapping(pattern: Pattern) -> bool:
    return pattern.cut.front is Front.OVERLAPPING


def _distances_m(edge: Edge, chain: FloatArray) -> FloatArray:
    """Where on an edge the points of a chain (k, 2) go, metres; the nearest ones into its corners."""
    along_m = edge.length_m * _shares_along(chain)
    for joint_m in sharp_joints_m(edge):
        along_m[1 + np.argmin(np.abs(along_m[1:-1] - joint_m))] = joint_m
    return along_m


def _shares_along(chain: FloatArray) -> FloatArray:
    """How far along a chain of points (k, 2) each lies, 0 to 1."""
    steps = np.sqrt((np.diff(chain, axis=0) ** 2).sum(axis=1))
    length = np.concatenate([[0.0], np.cumsum(steps)])
    shares: FloatArray = length / length[-1]
    return shares


def _spline(knots: FloatArray, values: FloatArray, places: FloatArray) -> FloatArray:
    """Thin-plate spline through values (k, 2) at knots (k, 2), at places (n, 2)."""
    plane = np.column_stack([np.ones(len(knots)), knots])
    system = np.block([[_kernel(knots, knots), plane], [plane.T, np.zeros((3, 3))]])
    weights = np.linalg.solve(system, np.concatenate([values, np.zeros((3, 2))]))
    slope = np.column_stack([np.ones(len(places)), places])
    result: FloatArray = _kernel(places, knots) @ weights[:-3] + slope @ weights[-3:]
    return result


def _kernel(places: FloatArray, knots: FloatArray) -> FloatArray:
    square = ((places[:, None] - knots[None]) ** 2).sum(axis=2)
    kernel: FloatArray = square * np.log(np.maximum(square, 1e-30))
    return kernel


def _is_even(panel: PanelMesh) -> bool:
    """Whether no triangle is turned over or crooked, and no edge far too short or too long."""
    corners = panel.flat[panel.triangles]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    if (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]).min() <= 0:
        return False
    edges, _ = unique_edges(panel.triangles)
    length_m = np.sqrt(((panel.flat[edges[:, 0]] - panel.flat[edges[:, 1]]) ** 2).sum(axis=1))
    share = length_m / panel.edge_length_m
    even = share.min() > SHORTEST_SHARE and share.max() < LONGEST_SHARE
    return bool(even and corner_angles(panel.flat, panel.triangles).min() > LEAST_ANGLE)

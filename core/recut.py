# SPDX-License-Identifier: GPL-3.0-or-later
"""A panel mesh of another cut with the same triangles, for cuts that are nearly alike.

The outline's vertices go to the new outline, each as far along its edge as before, and the inside
follows by a thin-plate spline (Bookstein 1989, IEEE Transactions on Pattern Analysis and Machine
Intelligence 11:567). So a drape of the one cut is a start for a drape of the other, vertex by
vertex.
"""

from dataclasses import replace
from math import radians

import numpy as np

from .arrays import FloatArray
from .panels import PanelMesh
from .pattern import Pattern
from .triangulate import corner_angles, unique_edges

__all__ = ["recut"]

LEAST_ANGLE = radians(20)
SHORTEST_SHARE, LONGEST_SHARE = 0.5, 2.0
"""Of the edge length aimed at: beyond, the cuts are too unlike and a mesh of its own is better."""


def recut(panel: PanelMesh, pattern: Pattern) -> PanelMesh | None:
    """The panel mesh moved to a pattern, or None where it would be too crooked for it."""
    vertices = np.concatenate([panel.edges[name] for name in pattern.edges])
    places = np.concatenate(
        [
            edge.at(edge.length_m * _shares_along(panel.flat[panel.edges[name]]))
            for name, edge in pattern.edges.items()
        ]
    )
    before, first = np.unique(panel.flat[vertices], axis=0, return_index=True)
    inside = np.setdiff1d(np.arange(len(panel.flat)), vertices)
    flat = panel.flat.copy()
    flat[inside] += _spline(before, places[first] - before, panel.flat[inside])
    flat[vertices] = places
    # rounding must not lift the two halves from each other's mirror image
    flat = (flat + flat[panel.mirror] * (-1, 1)) / 2 + 0.0
    moved = replace(panel, flat=flat)
    return moved if _is_even(moved) else None


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

# SPDX-License-Identifier: GPL-3.0-or-later
"""The two layers as they are drawn: smooth, with their thickness, closed along the rim.

A drape holds the middle surface of each layer on a coarse mesh. A picture needs the surface from
which the pile grows, fine enough for a smooth outline, and an edge where both layers roll into
each other as a seam that was turned. Nothing here changes or measures the drape.
"""

from dataclasses import dataclass

import numpy as np

from ...core.arrays import FloatArray, IntArray

__all__ = ["GROUND_THICKNESS_M", "Sheet", "at_vertices", "draw_layers", "stretch_frames"]

GROUND_THICKNESS_M = 0.0008
"""Knitted ground without its pile, about 0.5 to 0.8 mm a ply (an estimate)."""

ALLOWANCE_M = 0.010
"""Width of the trimmed seam allowances that lie inside the turned edge, 6 to 10 mm."""
ALLOWANCE_PLY_M = 0.0015
"""How much one allowance with the remains of its pile lifts the layer above it (an estimate)."""

MOST_EXCESS_M = 0.006
"""Layers that cut each other no deeper are put in order for the picture: an edge of the mesh cuts
off about that much of a fold. What lies deeper is a fault of the drape and stays to be seen."""
MOST_STEPS = 16


@dataclass(frozen=True, slots=True)
class Sheet:
    """One layer, seen from its pile side.

    positions, normals: (n, 3) m and unit, the normals on the pile side; flat: (n, 2) m, position
    in the flat pattern; triangles: (t, 3) counter-clockwise seen from the pile side;
    rim_distance: (n,) m from the edge where both layers are sewn together, along the flat cloth.
    """

    positions: FloatArray
    normals: FloatArray
    flat: FloatArray
    triangles: IntArray
    rim_distance: FloatArray


def draw_layers(
    flat: FloatArray,
    triangles: IntArray,
    seam_pairs: IntArray,
    rim: IntArray,
    outer: FloatArray,
    lining: FloatArray,
    *,
    thickness_outer_m: float,
    thickness_lining_m: float,
    rounds: int = 2,
) -> tuple[Sheet, Sheet]:
    """Outer and lining as sheets whose pile grows from the ground cloth.

    Parameters
    ----------
    flat, triangles, seam_pairs, rim
        The panel mesh of one layer: (n, 2) m, (t, 3), (s, 2), (r,).
    outer, lining
        Middle surfaces, (n, 3) m.
    thickness_outer_m, thickness_lining_m
        Total thickness of each cloth; the ground lies this side of the wrong side of the cloth.
    rounds
        How often every edge is halved.
    """
    rim_edges = flat[_rim_edges(triangles, rim)]
    distance = _distance_to_edges(flat, rim_edges)
    layers = [outer, lining]
    normals = [_vertex_normals(layer, triangles, seam_pairs) for layer in layers]
    for _ in range(rounds):
        edges, triangles = _halve_edges(triangles, len(flat))
        layers = [
            np.concatenate([p, _curved_midpoints(p, n, edges)])
            for p, n in zip(layers, normals, strict=True)
        ]
        normals = [np.concatenate([n, _unit(n[edges].sum(axis=1))]) for n in normals]
        flat = np.concatenate([flat, flat[edges].mean(axis=1)])
        distance = np.concatenate([distance, distance[edges].mean(axis=1)])
    close = distance < 0.03  # where both ends of an edge lie on rims, the mean is not the distance
    distance[close] = _distance_to_edges(flat[close], rim_edges)

    insets = (
        max(thickness_outer_m / 2 - GROUND_THICKNESS_M, 0.0),
        max(thickness_lining_m / 2 - GROUND_THICKNESS_M, 0.0),
    )
    outer, lining = _towards_wrong_sides(layers, normals, insets)
    lining = _inside(lining, outer, normals[0], triangles)
    roll_m = max(thickness_outer_m + thickness_lining_m, ALLOWANCE_M)
    outer, lining = _roll_rim(outer, lining, normals, distance, roll_m)
    around = (flat, triangles, distance, roll_m)
    return (
        Sheet(outer, _lean_over_rim(normals[0], outer, *around), flat, triangles, distance),
        Sheet(
            lining,
            _lean_over_rim(-normals[1], lining, *around),
            flat,
            triangles[:, ::-1].copy(),
            distance,
        ),
    )


def stretch_frames(positions: FloatArray, flat: FloatArray, triangles: IntArray) -> FloatArray:
    """Where one metre across and one metre along the flat cloth go: (t, 3, 2), m per m."""
    sides = (positions[triangles[:, 1:]] - positions[triangles[:, :1]]).transpose(0, 2, 1)
    flat_sides = (flat[triangles[:, 1:]] - flat[triangles[:, :1]]).transpose(0, 2, 1)
    (a, b), (c, d) = flat_sides.transpose(1, 2, 0)
    # written out, since a library's inverse of many small matrices is slow
    inverse = np.stack([np.stack([d, -b], 1), np.stack([-c, a], 1)], 1)
    return sides @ (inverse / (a * d - b * c)[:, None, None])


def _unit(vectors: FloatArray) -> FloatArray:
    length = np.linalg.norm(vectors, axis=-1, keepdims=True)
    return vectors / np.maximum(length, 1e-12)


def _rim_edges(triangles: IntArray, rim: IntArray) -> IntArray:
    edges = np.sort(triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    unique, count = np.unique(edges, axis=0, return_counts=True)
    boundary = unique[count == 1]
    return boundary[np.isin(boundary, rim).all(axis=1)]


def _distance_to_edges(points: FloatArray, edges: FloatArray) -> FloatArray:
    """Distance (n,) m in the flat pattern from points (n, 2) to the nearest of edges (e, 2, 2)."""
    start, along = edges[:, 0], edges[:, 1] - edges[:, 0]
    length_squared = np.maximum((along**2).sum(axis=1), 1e-18)
    nearest = np.full(len(points), 1.0)
    for first in range(0, len(points), 2000):  # blocks bound the memory
        offset = points[first : first + 2000, None, :] - start
        fraction = np.clip((offset * along).sum(axis=2) / length_squared, 0.0, 1.0)
        gap = np.linalg.norm(offset - fraction[..., None] * along, axis=2)
        nearest[first : first + 2000] = gap.min(axis=1, initial=1.0)
    return nearest


def _vertex_normals(positions: FloatArray, triangles: IntArray, seam_pairs: IntArray) -> FloatArray:
    """Area-weighted unit normals (n, 3), the same on both sides of a seam."""
    a, b, c = (positions[triangles[:, k]] for k in range(3))
    normals = at_vertices(np.cross(b - a, c - a), triangles, len(positions))
    front, back = seam_pairs[:, 0], seam_pairs[:, 1]
    normals[front] = normals[back] = normals[front] + normals[back]
    return _unit(normals)


def at_vertices(faces: FloatArray, triangles: IntArray, vertex_count: int) -> FloatArray:
    """Sum a vector of each triangle (t, 3) at its corners: (n, 3)."""
    corner, spread = triangles.reshape(-1), np.repeat(faces, 3, axis=0)
    return np.stack(
        [np.bincount(corner, spread[:, k], minlength=vertex_count) for k in range(3)], axis=1
    )


def _halve_edges(triangles: IntArray, vertex_count: int) -> tuple[IntArray, IntArray]:
    """Edges (e, 2) whose midpoints become vertices n, n + 1, ..., and the 4 t smaller triangles."""
    pairs = np.sort(triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    edges, inverse = np.unique(pairs, axis=0, return_inverse=True)
    ab, bc, ca = (inverse.reshape(-1, 3) + vertex_count).T
    a, b, c = triangles.T
    smaller = np.stack([a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca], axis=1).reshape(-1, 3)
    return edges, smaller


def _curved_midpoints(positions: FloatArray, normals: FloatArray, edges: IntArray) -> FloatArray:
    """Midpoints (e, 3) of the cubic through both ends that is normal to both end normals.

    The edge curve of a curved point-normal triangle (Vlachos et al. 2001).
    """
    a, b = positions[edges[:, 0]], positions[edges[:, 1]]
    na, nb = normals[edges[:, 0]], normals[edges[:, 1]]
    chord = b - a
    rise_a = (chord * na).sum(axis=1, keepdims=True)
    rise_b = -(chord * nb).sum(axis=1, keepdims=True)
    return (a + b) / 2 - (rise_a * na + rise_b * nb) / 8


def _towards_wrong_sides(
    layers: list[FloatArray], normals: list[FloatArray], insets: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Move both middle surfaces to their ground cloths, which keep two grounds apart."""
    outer, lining = layers
    gap = ((outer - lining) * normals[0]).sum(axis=1)
    room = np.maximum(gap - 2 * GROUND_THICKNESS_M, 0.0)
    share = np.minimum(1.0, room / max(sum(insets), 1e-9))[:, None]
    return outer - share * insets[0] * normals[0], lining + share * insets[1] * normals[1]


def _inside(
    lining: FloatArray, outer: FloatArray, outer_normals: FloatArray, triangles: IntArray
) -> FloatArray:
    """Move the lining inside the outer where their coarse meshes only just cut each other.

    The layers slide on each other, so what lies over a point of the lining is not the point of
    the outer that was cut with it; it is found by walking from there over the outer's edges.
    """
    around = _neighbours(triangles, len(outer))
    nearest = np.arange(len(lining))
    for _ in range(MOST_STEPS):
        reach = ((outer[around[nearest]] - lining[:, None]) ** 2).sum(axis=2)
        closer = np.take_along_axis(around[nearest], reach.argmin(axis=1)[:, None], axis=1)[:, 0]
        if np.array_equal(closer, nearest):
            break
        nearest = closer
    normal = outer_normals[nearest]
    height = ((lining - outer[nearest]) * normal).sum(axis=1)
    excess = height + 2 * GROUND_THICKNESS_M
    excess[excess > MOST_EXCESS_M] = 0.0
    return lining - np.maximum(excess, 0.0)[:, None] * normal


def _neighbours(triangles: IntArray, vertex_count: int) -> IntArray:
    """Each vertex and those it shares an edge with, (n, m); rows are filled up with the vertex."""
    edges = triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    pairs = np.unique(np.concatenate([edges, edges[:, ::-1]]), axis=0)
    first = np.searchsorted(pairs[:, 0], np.arange(vertex_count))
    rank = np.arange(len(pairs)) - first[pairs[:, 0]]
    table = np.tile(np.arange(vertex_count)[:, None], int(rank.max(initial=0)) + 2)
    table[pairs[:, 0], rank + 1] = pairs[:, 1]
    return table


def _roll_rim(
    outer: FloatArray,
    lining: FloatArray,
    normals: list[FloatArray],
    distance: FloatArray,
    roll_m: float,
) -> tuple[FloatArray, FloatArray]:
    """Bring both layers together along the rim, on an edge padded by its seam allowances."""
    inward = np.clip(distance / roll_m, 0.0, 1.0)
    opened = np.sqrt(1.0 - (1.0 - inward) ** 2)[:, None]
    padding = ALLOWANCE_PLY_M * np.sin(np.pi * np.sqrt(inward))[:, None]
    middle, half = (outer + lining) / 2, (outer - lining) / 2
    return (
        middle + opened * half + padding * normals[0],
        middle - opened * half - padding * normals[1],
    )


def _lean_over_rim(
    normals: FloatArray,
    positions: FloatArray,
    flat: FloatArray,
    triangles: IntArray,
    distance: FloatArray,
    roll_m: float,
) -> FloatArray:
    """Turn the normals outward towards the rim, as the round edge does."""
    sides = (flat[triangles[:, 1:]] - flat[triangles[:, :1]]).transpose(0, 2, 1)
    rise = distance[triangles[:, 1:]] - distance[triangles[:, :1]]
    slope = np.linalg.solve(sides.transpose(0, 2, 1), rise[..., None])
    outward = -(stretch_frames(positions, flat, triangles) @ slope)[..., 0]
    outward = _unit(at_vertices(outward, triangles, len(positions)))
    inward = np.clip(distance / roll_m, 0.0, 1.0)[:, None]
    return _unit(inward * normals + (1.0 - inward) * outward)

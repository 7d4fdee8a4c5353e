# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes one closed, outward surface of the triangles of a scan or model, or says why it cannot.

Array code on NumPy alone. What is put right: corners that stand twice, triangles without area or
twice there, small loose bits, triangles that face the wrong way, small holes.
"""

from dataclasses import dataclass, replace

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from ..errors import InputError

__all__ = ["REMEDY", "Solid", "close", "connected_components", "lone_body", "merged"]

MERGE_SHARE = 1e-6  # of the longest side: corners this near are one
LOOSE_SHARE = 0.10  # of the body's diagonal: eyes, teeth and specks are smaller
REMEDY = "mend the mesh in the program it comes from"


@dataclass(frozen=True, slots=True)
class Solid:
    """A closed surface: vertices (n, 3), triangles (t, 3) counter-clockwise from outside.

    ``partners`` (t, 3) numbers, for the edge from each corner to the next, the same edge of the
    triangle beyond it, as 3 * triangle + corner. ``holes`` were filled.
    """

    vertices: FloatArray
    triangles: IntArray
    partners: IntArray
    holes: int

    def moved(self, vertices: FloatArray) -> "Solid":
        """The same surface with its vertices (n, 3) elsewhere."""
        return replace(self, vertices=vertices)


def connected_components(count: int, first: IntArray, second: IntArray) -> IntArray:
    """Label (count,) of each node, the least node it is joined to by edges first-second.

    Labels are hooked onto lesser ones and pointers halved until nothing moves, about log(count)
    rounds (Shiloach and Vishkin 1982).
    """
    label: IntArray = np.arange(count)
    while True:
        before = label.copy()
        a, b = label[first], label[second]
        np.minimum.at(label, a, b)
        np.minimum.at(label, b, a)
        label = label[label]
        if np.array_equal(label, before):
            return label


def merged(vertices: FloatArray, triangles: IntArray) -> tuple[FloatArray, IntArray]:
    """Corners at one place made one; triangles without three corners, or there twice, left out."""
    cell = MERGE_SHARE * float(np.ptp(vertices, axis=0).max()) or 1.0
    places = np.rint((vertices - vertices.min(axis=0)) / cell).astype(np.int64)
    _, kept, index = np.unique(places, axis=0, return_index=True, return_inverse=True)
    triangles = index.reshape(-1)[triangles]
    a, b, c = triangles.T
    triangles = triangles[(a != b) & (b != c) & (c != a)]
    _, once = np.unique(np.sort(triangles, axis=1), axis=0, return_index=True)
    return vertices[kept], triangles[np.sort(once)]


def lone_body(vertices: FloatArray, triangles: IntArray) -> tuple[FloatArray, IntArray, int]:
    """The largest connected part, and how many small loose ones were left out.

    Raises
    ------
    InputError
        No triangles are left, or a second part is too large for an eye or a speck.
    """
    if not len(triangles):
        raise InputError("body", "without area", "a closed surface", REMEDY)
    label = connected_components(
        len(vertices), triangles[:, [0, 1]].reshape(-1), triangles[:, [1, 2]].reshape(-1)
    )
    names, part = np.unique(label[triangles[:, 0]], return_inverse=True)
    low, high = np.full((len(names), 3), np.inf), np.full((len(names), 3), -np.inf)
    for corner in triangles.T:
        np.minimum.at(low, part, vertices[corner])
        np.maximum.at(high, part, vertices[corner])
    size = np.linalg.norm(high - low, axis=1)
    body = int(size.argmax())
    large = int((size > LOOSE_SHARE * size[body]).sum())
    if large > 1:
        raise InputError(
            "body",
            f"in {large} large parts that do not hang together",
            "one surface; loose bits up to a tenth of its size are left out",
            "join the parts, and take clothes, hair and stands away",
        )
    triangles = triangles[part == body]
    used, index = np.unique(triangles, return_inverse=True)
    return vertices[used], index.reshape(-1, 3), len(names) - 1


def close(vertices: FloatArray, triangles: IntArray, largest_hole_m: float) -> Solid:
    """Turn all triangles outward and fill holes whose rim is at most ``largest_hole_m`` long.

    Raises
    ------
    InputError
        Sheets meet in one edge, the surface has one side only, or a hole is larger or frayed.
    """
    partners = _pair_edges(triangles)
    triangles = _turned_alike(triangles, partners)
    partners = _pair_edges(triangles)
    start, end = triangles.reshape(-1), np.roll(triangles, -1, axis=1).reshape(-1)
    rim = partners.reshape(-1) < 0
    holes = 0
    if rim.any():
        vertices, patch, holes = _patch(vertices, start[rim], end[rim], largest_hole_m)
        triangles = np.concatenate([triangles, patch])
        partners = _pair_edges(triangles)
    corner = vertices[triangles]
    volume = np.einsum("ij,ij->", corner[:, 0], np.cross(corner[:, 1], corner[:, 2]))
    if volume < 0.0:
        triangles = triangles[:, ::-1]
        partners = _pair_edges(triangles)
    return Solid(vertices, np.ascontiguousarray(triangles), partners, holes)


def _pair_edges(triangles: IntArray) -> IntArray:
    """The partner (t, 3) of every triangle's edges, -1 at a rim."""
    start, end = triangles.reshape(-1), np.roll(triangles, -1, axis=1).reshape(-1)
    key = np.minimum(start, end) * (int(triangles.max()) + 1) + np.maximum(start, end)
    order = np.argsort(key, kind="stable")
    same = key[order][1:] == key[order][:-1]
    if (same[1:] & same[:-1]).any():
        count = len(np.unique(key[order][2:][same[1:] & same[:-1]]))
        raise InputError(
            "body",
            f"a mesh where more than two triangles meet in one edge (edges: {count})",
            "a closed surface without inner walls",
            REMEDY,
        )
    partners = np.full(len(key), -1)
    first, second = order[:-1][same], order[1:][same]
    partners[first], partners[second] = second, first
    return partners.reshape(-1, 3)


def _turned_alike(triangles: IntArray, partners: IntArray) -> IntArray:
    """Triangles of one connected surface, all turned one way.

    Every triangle stands for two, itself and itself turned over; neighbours that agree are joined.
    On a surface with two sides that gives two components, one for each side.
    """
    count = len(triangles)
    edge = np.flatnonzero(partners.reshape(-1) >= 0)
    other = partners.reshape(-1)[edge]
    start = triangles.reshape(-1)
    clash = start[edge] == start[other]  # both run the same way
    if not clash.any():
        return triangles
    here, there = edge // 3, other // 3
    side = connected_components(
        2 * count,
        np.concatenate([here, here + count]),
        np.concatenate([there + count * clash, there + count * ~clash]),
    )
    if (side[:count] == side[count:]).any():
        raise InputError("body", "a surface with one side only", "a closed surface", REMEDY)
    turned: BoolArray = side[:count] != side[0]
    return np.where(turned[:, None], triangles[:, ::-1], triangles)


def _patch(
    vertices: FloatArray, start: IntArray, end: IntArray, largest_hole_m: float
) -> tuple[FloatArray, IntArray, int]:
    """Close every rim, given by its edges, with triangles round its middle."""
    at, index = np.unique(np.concatenate([start, end]), return_inverse=True)
    first, second = np.split(index.reshape(-1), 2)
    if np.bincount(first, minlength=len(at)).max() > 1:
        raise InputError("body", "frayed at the rim of a hole", "a closed surface", REMEDY)
    label = connected_components(len(at), first, second)
    names, hole = np.unique(label[first], return_inverse=True)
    length = np.linalg.norm(vertices[end] - vertices[start], axis=1)
    around = np.bincount(hole, length)
    if around.max() > largest_hole_m:
        where = vertices[start[hole == around.argmax()]].mean(axis=0)
        raise InputError(
            "body",
            f"open: its largest hole is {around.max():.2f} m round, "
            f"at a height of {where[2]:.2f} m",
            f"a closed surface; holes up to {largest_hole_m:.2f} m round are filled",
            "close the holes in the program it comes from",
        )
    middle = 0.5 * (vertices[start] + vertices[end]) * length[:, None]
    total = np.stack([np.bincount(hole, middle[:, axis]) for axis in range(3)], axis=1)
    centres = total / np.maximum(around, 1e-12)[:, None]
    patch = np.stack([end, start, len(vertices) + hole], axis=1)
    return np.concatenate([vertices, centres]), patch, len(names)

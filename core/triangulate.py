# SPDX-License-Identifier: GPL-3.0-or-later
"""Fill a polygon with near-equilateral triangles, as array code.

The vertices of the polygon stay where they are. Inside, a triangular lattice is cut off near the
outline, joined to it by Delaunay's criterion and relaxed with repelling springs along its edges
(the truss analogy of P.-O. Persson and G. Strang, "A Simple Mesh Generator in MATLAB", SIAM Review
46(2), 2004). As the points are spread evenly, the circumcircle of every triangle is small, so
Delaunay's criterion needs near neighbours alone.
"""

import math

import numpy as np

from .arrays import BoolArray, FloatArray, IntArray
from .slices import Slices, finished

__all__ = ["corner_angles", "fill_polygon", "filling", "unique_edges"]

# Shares of the edge length, found by trial over random cuts; they steer quality, not correctness,
# which every filling is checked for
CLEARANCE = 0.6  # lattice points stay this far from the outline
REACH = 2.2  # neighbours searched, so circumcircle radii up to half of this are found
SPRING_LENGTH = 1.12  # natural length of the springs; longer than an edge, so that all push
SPRING_STEP = 0.2
ROUNDS, STEPS_PER_ROUND = 6, 4

# Turned by 15 degrees, no lattice line follows the cloth's length or width, both are treated
# alike (the lattice is its own mirror image in the bias), and over a mesh and its mirror image the
# sixfold bias of a triangular lattice cancels
LATTICE_TURN = math.radians(15)
# Places of the lattice, as shares of its edges, tried in this order until a filling has no angle
# below and no edge above these; the first does for nearly every cut
LATTICE_SHIFTS = tuple((k * 0.382 % 1, k * 0.618 % 1) for k in range(12))
GOOD_ANGLE = math.radians(29)
LONGEST_SHARE = 1.7


def fill_polygon(
    outline: FloatArray, edge_length_m: float, least_angle: float
) -> tuple[FloatArray, IntArray] | None:
    """Fill a simple polygon with triangles.

    Parameters
    ----------
    outline
        (m, 2) corners in metres, counter-clockwise, spaced at about the edge length.
    edge_length_m
        Edge length aimed at.
    least_angle
        Least angle in radians that a triangle may have.

    Returns
    -------
    points, triangles
        (n, 2) float of which the first m are the outline, and (t, 3) int, counter-clockwise;
        None if no filling keeps the least angle.
    """
    return finished(filling(outline, edge_length_m, least_angle))


def filling(
    outline: FloatArray, edge_length_m: float, least_angle: float
) -> Slices[tuple[FloatArray, IntArray] | None]:
    """`fill_polygon` in slices."""
    best: tuple[FloatArray, IntArray] | None = None
    best_quality = 0.0
    for shift in LATTICE_SHIFTS:
        points = np.concatenate([outline, _lattice(outline, edge_length_m, shift)])
        triangles = _connect(points, len(outline), edge_length_m)
        for _ in range(ROUNDS):
            yield
            points = _relax(points, triangles, len(outline), edge_length_m)
            triangles = _connect(points, len(outline), edge_length_m)
        if not _fills(points, triangles, outline):
            continue
        angle = float(corner_angles(points, triangles).min())
        edges, _ = unique_edges(triangles)
        longest_m = np.linalg.norm(points[edges[:, 0]] - points[edges[:, 1]], axis=1).max()
        quality = min(angle / GOOD_ANGLE, LONGEST_SHARE * edge_length_m / longest_m)
        if angle >= least_angle and quality > best_quality:
            best, best_quality = (points, triangles), quality
        if best_quality >= 1:
            break
    return best


def unique_edges(triangles: IntArray) -> tuple[IntArray, IntArray]:
    """Edges (e, 2) with the smaller index first, and how many triangles (e,) have each."""
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    edges.sort(axis=1)
    # one number per edge sorts several times faster than rows do
    size = int(edges.max()) + 1
    keys, counts = np.unique(edges[:, 0] * size + edges[:, 1], return_counts=True)
    return np.stack(np.divmod(keys, size), axis=1), counts


def corner_angles(points: FloatArray, triangles: IntArray) -> FloatArray:
    """Angles (t, 3) in radians at the corners of plane triangles; negative if clockwise."""
    corners = points[triangles]
    forth = np.roll(corners, -1, axis=1) - corners
    back = np.roll(corners, 1, axis=1) - corners
    result: FloatArray = np.arctan2(_cross(forth, back), (forth * back).sum(axis=-1))
    return result


def _cross(first: FloatArray, second: FloatArray) -> FloatArray:
    """Third component of the cross products of plane vectors (..., 2)."""
    result: FloatArray = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
    return result


def _inside_and_distance(outline: FloatArray, points: FloatArray) -> tuple[BoolArray, FloatArray]:
    """Whether points (n,) lie inside the polygon (even-odd rule), and their distance to it."""
    inside = np.zeros(len(points), dtype=bool)
    square = np.full(len(points), np.inf)
    # One pass per side of the outline (some hundreds) keeps memory linear in the points
    for start, end in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        side = end - start
        offset = points - start
        share = np.clip(offset @ side / (side @ side), 0, 1)
        square = np.minimum(square, ((offset - share[:, None] * side) ** 2).sum(axis=1))
        crosses = (start[1] <= points[:, 1]) != (end[1] <= points[:, 1])
        is_left = _cross(side, offset) > 0
        inside ^= crosses & (is_left == (end[1] > start[1]))
    return inside, np.sqrt(square)


def _lattice(outline: FloatArray, edge_length_m: float, shift: tuple[float, float]) -> FloatArray:
    """Points (n, 2) of a turned triangular lattice inside the outline, clear of it."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    count = int(0.6 * math.dist(low, high) / (edge_length_m * math.sqrt(0.75))) + 2
    # whole steps along two lattice lines at 60 degrees cover a rhombus; twice the count across
    # covers the circle round the outline
    along, up = np.meshgrid(np.arange(-2 * count, 2 * count + 1), np.arange(-count, count + 1))
    steps = np.stack([along.ravel() + shift[0], up.ravel() + shift[1]], axis=1)
    lines = np.array(
        [
            [math.cos(LATTICE_TURN + turn), math.sin(LATTICE_TURN + turn)]
            for turn in (0, math.pi / 3)
        ]
    )
    points = (low + high) / 2 + edge_length_m * steps @ lines
    points = points[((points > low) & (points < high)).all(axis=1)]
    inside, distance = _inside_and_distance(outline, points)
    clear: FloatArray = points[inside & (distance > CLEARANCE * edge_length_m)]
    return clear


def _connect(points: FloatArray, outline_size: int, edge_length_m: float) -> IntArray:
    """Delaunay triangles (t, 3) of the points that lie inside the outline."""
    # Four points on one circle have no single answer; a shift of a nanometre's order gives one
    shake = np.random.default_rng(0).uniform(-1e-7, 1e-7, points.shape) * edge_length_m
    triangles = _delaunay(points + shake, REACH * edge_length_m)
    # Only triangles with all corners on the outline can lie outside it
    doubtful = np.flatnonzero((triangles < outline_size).all(axis=1))
    inside, _ = _inside_and_distance(
        points[:outline_size], points[triangles[doubtful]].mean(axis=1)
    )
    return np.delete(triangles, doubtful[~inside], axis=0)


def _delaunay(points: FloatArray, reach_m: float) -> IntArray:
    """Triangles (t, 3), counter-clockwise, with an empty circumcircle of diameter below reach.

    Each triangle is looked for once, from its corner of smallest index; every point that could
    lie in its circumcircle is a neighbour of that corner.
    """
    near, valid = _neighbours(points, reach_m)
    offsets = points[near] - points[:, None]
    offsets[~valid] = 1e6 * reach_m
    first, second = np.triu_indices(near.shape[1], 1)
    later = valid & (near > np.arange(len(points))[:, None])
    corner, pair = np.nonzero(later[:, first] & later[:, second])
    first, second = first[pair], second[pair]
    to_first, to_second = offsets[corner, first], offsets[corner, second]
    twice_area = _cross(to_first, to_second)
    round_enough = np.abs(twice_area) > 1e-6 * reach_m**2
    corner, first, second = corner[round_enough], first[round_enough], second[round_enough]
    to_first, to_second = to_first[round_enough], to_second[round_enough]
    twice_area = twice_area[round_enough]
    # Circumcentre relative to the corner
    turned = (
        to_second * (to_first**2).sum(axis=1)[:, None]
        - to_first * (to_second**2).sum(axis=1)[:, None]
    )
    centre = np.stack([turned[:, 1], -turned[:, 0]], axis=1) / (2 * twice_area)[:, None]
    square = (centre**2).sum(axis=1)
    small = square < (reach_m / 2) ** 2
    corner, first, second = corner[small], first[small], second[small]
    centre, square, twice_area = centre[small], square[small], twice_area[small]
    # |p - c|² < |c|² means that the neighbour p lies in the circle through the corner
    rows = offsets[corner]
    power = (rows**2).sum(axis=2) - 2 * np.einsum("tkd,td->tk", rows, centre)
    each = np.arange(len(corner))
    power[each, first] = power[each, second] = np.inf
    empty = (power >= 0).all(axis=1)
    triangles: IntArray = np.stack([corner, near[corner, first], near[corner, second]], axis=1)
    triangles = triangles[empty]
    clockwise = twice_area[empty] < 0
    triangles[clockwise] = triangles[clockwise][:, [0, 2, 1]]
    return triangles


def _neighbours(points: FloatArray, reach_m: float) -> tuple[IntArray, BoolArray]:
    """Indices (n, k) of the points within reach of each point, and which entries (n, k) count."""
    cells = np.floor((points - points.min(axis=0)) / reach_m).astype(np.int64) + 1
    columns = int(cells[:, 1].max()) + 2
    key = cells[:, 0] * columns + cells[:, 1]
    order = np.argsort(key, kind="stable")
    start = np.concatenate(
        [[0], np.cumsum(np.bincount(key, minlength=(int(cells[:, 0].max()) + 2) * columns))]
    )
    # The three cells of a row about a point are one run of the sorted points
    rows = key[:, None] + columns * np.array([-1, 0, 1])
    first, last = start[rows - 1], start[rows + 2]
    slots = first[:, :, None] + np.arange((last - first).max())
    valid = (slots < last[:, :, None]).reshape(len(points), -1)
    near = order[np.minimum(slots, len(points) - 1)].reshape(len(points), -1)
    distance = np.linalg.norm(points[near] - points[:, None], axis=2)
    valid &= (distance < reach_m) & (near != np.arange(len(points))[:, None])
    # Gather the entries that count at the front of each row
    most = int(valid.sum(axis=1).max())
    front = np.argsort(~valid, axis=1, kind="stable")[:, :most]
    return np.take_along_axis(near, front, axis=1), np.take_along_axis(valid, front, axis=1)


def _relax(
    points: FloatArray, triangles: IntArray, outline_size: int, edge_length_m: float
) -> FloatArray:
    """Let the inner points settle under springs that only push."""
    edges, _ = unique_edges(triangles)
    points = points.copy()
    for _ in range(STEPS_PER_ROUND):
        offset = points[edges[:, 0]] - points[edges[:, 1]]
        length = np.linalg.norm(offset, axis=1)
        push = offset * (np.maximum(SPRING_LENGTH * edge_length_m / length - 1, 0))[:, None]
        for axis in (0, 1):
            move = np.bincount(edges[:, 0], push[:, axis], len(points)) - np.bincount(
                edges[:, 1], push[:, axis], len(points)
            )
            points[outline_size:, axis] += SPRING_STEP * move[outline_size:]
    return points


def _fills(points: FloatArray, triangles: IntArray, outline: FloatArray) -> bool:
    """Whether the triangles cover the polygon once, with its sides as their only border."""
    edges, counts = unique_edges(triangles)
    size = len(outline)
    border = edges[counts == 1]
    side = np.arange(size)
    sides = np.sort(np.stack([side, np.roll(side, -1)], axis=1), axis=1)
    same_border = len(border) == size and np.array_equal(
        border, sides[np.lexsort((sides[:, 1], sides[:, 0]))]
    )
    # Euler's formula for a disc also rules out a point that no triangle has
    return (
        same_border and bool((counts <= 2).all()) and len(points) - len(edges) + len(triangles) == 1
    )

# SPDX-License-Identifier: GPL-3.0-or-later
"""A closed, mirror-symmetric triangle mesh of an implicit body.

Dual meshing on a regular grid: one vertex in every cell that the surface crosses, one
quadrilateral for every grid edge that it crosses ("surface nets", Gibson 1998). Only the half
x >= 0 is meshed; the cells astride x = 0 carry the vertices of the mirror plane.
"""

from collections.abc import Callable
from functools import lru_cache

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from ..errors import SolverError
from ..slices import Slices, finished
from .shapes import ramp

__all__ = ["extract_surface", "surface"]

Field = Callable[[FloatArray], FloatArray]
PORTION = 4000
"""Points of the grid that are asked for their field in one slice."""

COARSE = 4  # fine cells a side of a coarse cell
DIFFERENCE_M = 2e-4
SMOOTHING_ROUNDS = 3
EVENING_ROUNDS = 2
# Taubin (1995): shares towards the mean of the neighbours and back, which even out without shrinking
EVENED = (0.5, -0.52) * 4
TIGHT = 0.18  # of a cell from a vertex to the mean of its neighbours: a radius of 1.4 cells
# Over a sphere the mean of a vertex's neighbours lies h²/2r inside of it, and an equilateral
# triangle of edges h on average h²/8r: a quarter.
SAG_SHARE = 0.25
# corners of a tetrahedron: four evaluations give a gradient
TETRAHEDRON = np.array([[1.0, -1.0, -1.0], [-1.0, -1.0, 1.0], [-1.0, 1.0, -1.0], [1.0, 1.0, 1.0]])


def extract_surface(
    field: Field, low: FloatArray, high: FloatArray, cell_m: float
) -> tuple[FloatArray, IntArray, IntArray]:
    """Mesh the zero level of a field that is even in x.

    Parameters
    ----------
    field
        Negative inside; it must change at least half as fast as distance near the surface.
    low, high
        Corners of a box that holds the half of the body with x >= 0.
    cell_m
        Size of a grid cell, and about the length of the edges.

    Returns
    -------
    tuple
        Vertices (n, 3), triangles (t, 3) counter-clockwise from outside, and for each vertex the
        index of its mirror image (n,); vertices on the mirror plane are their own.

    Raises
    ------
    SolverError
        The surface is not closed and manifold on this grid.
    """
    return finished(surface(field, low, high, cell_m))


def surface(
    field: Field, low: FloatArray, high: FloatArray, cell_m: float
) -> Slices[tuple[FloatArray, IntArray, IntArray]]:
    """`extract_surface` in slices."""
    origin = np.array([-0.5 * cell_m, low[1], low[2]])
    blocks = np.ceil((high - origin) / (COARSE * cell_m)).astype(np.int64)
    values = yield from _sample(field, origin, blocks, cell_m)
    yield
    inside = values < 0.0
    if any(inside[side].any() for side in _outer_sides()):
        raise SolverError("The body leaves the box in which its surface is sought.")
    cells, first_vertex, quads = _dual_quads(values)
    vertices, on_plane = _cell_vertices(values, cells, first_vertex, origin, cell_m)
    vertices[on_plane, 0] = 0.0
    yield
    vertices = yield from _relax(field, vertices, quads, on_plane)
    triangles = _split(vertices, quads)
    yield
    return _mirror(vertices, triangles, on_plane)


def _outer_sides() -> tuple[tuple[slice | int, ...], ...]:
    """The sides of the grid; at the first plane of x the mirror image goes on."""
    every = slice(None)
    return (
        (-1, every, every),
        (every, 0, every),
        (every, -1, every),
        (every, every, 0),
        (every, every, -1),
    )


def _sample(
    field: Field, origin: FloatArray, blocks: IntArray, cell_m: float
) -> Slices[FloatArray]:
    """Field at the grid corners; far from the surface only its sign is true."""
    size = COARSE * cell_m
    centres = np.stack(
        np.meshgrid(*[(np.arange(count) + 0.5) * size for count in blocks], indexing="ij"), axis=-1
    )
    coarse = field(origin + centres.reshape(-1, 3)).reshape(tuple(blocks))
    # half of a block's diagonal, with room for a field that is not quite distance
    near = np.abs(coarse) < 1.35 * 0.5 * np.sqrt(3.0) * size
    shape = tuple(blocks * COARSE + 1)
    sign = np.where(coarse < 0.0, -1.0, 1.0)
    values = np.pad(sign.repeat(COARSE, 0).repeat(COARSE, 1).repeat(COARSE, 2), (0, 1), mode="edge")
    wanted = np.zeros(shape, dtype=bool)
    for corner in np.ndindex(2, 2, 2):
        ends = [
            slice(COARSE * c, COARSE * c + COARSE * n, COARSE)
            for c, n in zip(corner, blocks, strict=True)
        ]
        wanted[tuple(ends)] |= near
    yield
    reach = np.repeat(np.repeat(np.repeat(near, COARSE, 0), COARSE, 1), COARSE, 2)
    wanted[:-1, :-1, :-1] |= reach
    wanted[1:, :-1, :-1] |= reach
    wanted[:-1, 1:, :-1] |= reach
    wanted[:-1, :-1, 1:] |= reach
    wanted[1:, 1:, :-1] |= reach
    wanted[1:, :-1, 1:] |= reach
    wanted[:-1, 1:, 1:] |= reach
    wanted[1:, 1:, 1:] |= reach
    index = np.argwhere(wanted)
    found = []
    for first in range(0, len(index), PORTION):
        yield
        found.append(field(origin + index[first : first + PORTION] * cell_m))
    values[wanted] = np.concatenate([np.zeros(0), *found])
    return values


def _corner(x: int, y: int, z: int) -> int:
    return x + 2 * y + 4 * z


def _edge(axis: int, shift_one: int, shift_two: int) -> int:
    return 4 * axis + shift_one + 2 * shift_two


@lru_cache(maxsize=1)
def _sheet_table() -> tuple[IntArray, IntArray]:
    """For each sign pattern of a cell's corners: sheet of each edge (256, 12), number of sheets.

    A cell may hold two pieces of surface (between two fingers, in a fold). Each piece parts one
    connected set of inside corners from one connected set of outside corners; inside corners
    are connected along edges, outside corners also across the diagonal of a face.
    """
    corners = np.array([[c & 1, c >> 1 & 1, c >> 2 & 1] for c in range(8)])
    distance = np.abs(corners[:, None] - corners[None]).sum(axis=2)
    sheet = np.full((256, 12), -1, dtype=np.int64)
    count = np.zeros(256, dtype=np.int64)
    every_inside = (np.arange(256)[:, None] >> np.arange(8) & 1).astype(bool)
    alike = every_inside[:, :, None] == every_inside[:, None, :]
    joined = alike & (distance <= np.where(every_inside, 1, 2)[:, :, None])
    labels = np.broadcast_to(np.arange(8), (256, 8))
    for _ in range(8):  # spread the smallest label over each connected set
        labels = np.where(joined, labels[:, None, :], 8).min(axis=2)
    for case, (inside, label) in enumerate(zip(every_inside, labels, strict=True)):
        found: dict[tuple[int, int], int] = {}
        for axis in range(3):
            one, two = (axis + 1) % 3, (axis + 2) % 3
            for shift_one in (0, 1):
                for shift_two in (0, 1):
                    place = [0, 0, 0]
                    place[one], place[two] = shift_one, shift_two
                    start = _corner(*place)
                    place[axis] = 1
                    end = _corner(*place)
                    if inside[start] != inside[end]:
                        pair = (
                            (label[start], label[end])
                            if inside[start]
                            else (label[end], label[start])
                        )
                        number = found.setdefault((int(pair[0]), int(pair[1])), len(found))
                        sheet[case, _edge(axis, shift_one, shift_two)] = number
        count[case] = len(found)
    return sheet, count


def _dual_quads(values: FloatArray) -> tuple[IntArray, IntArray, IntArray]:
    """Cells that the surface crosses (n, 3), their first vertex (n,), quads of vertices (q, 4)."""
    inside = values < 0.0
    case = np.zeros(tuple(s - 1 for s in values.shape), dtype=np.int64)
    for corner in np.ndindex(2, 2, 2):
        part = inside[tuple(slice(c, c + s - 1) for c, s in zip(corner, values.shape, strict=True))]
        case += part.astype(np.int64) << _corner(*corner)
    sheet_of, sheet_count = _sheet_table()
    crossed = (case > 0) & (case < 255)
    cells = np.argwhere(crossed)
    sheets = sheet_count[case[crossed]]
    first_vertex = np.concatenate([[0], np.cumsum(sheets)[:-1]])
    number = np.full(crossed.shape, -1, dtype=np.int64)
    number[crossed] = first_vertex
    quads = []
    for axis in range(3):
        one, two = (axis + 1) % 3, (axis + 2) % 3
        first = np.take(inside, np.arange(values.shape[axis] - 1), axis)
        second = np.take(inside, np.arange(1, values.shape[axis]), axis)
        edges = np.argwhere(first != second)
        # the four cells round an edge; at the first grid plane of x the mirror image goes on
        edges = edges[(edges[:, one] > 0) & (edges[:, two] > 0)]
        around = []
        for shift_one, shift_two in ((1, 1), (0, 1), (0, 0), (1, 0)):
            cell = edges.copy()
            cell[:, one] -= shift_one
            cell[:, two] -= shift_two
            where = tuple(cell.T)
            around.append(number[where] + sheet_of[case[where], _edge(axis, shift_one, shift_two)])
        quad = np.stack(around, axis=1)
        flip = second[tuple(edges.T)]
        quads.append(np.where(flip[:, None], quad[:, ::-1], quad))
    return cells, first_vertex, np.concatenate(quads)


def _cell_vertices(
    values: FloatArray, cells: IntArray, first_vertex: IntArray, origin: FloatArray, cell_m: float
) -> tuple[FloatArray, BoolArray]:
    """Mean of the places where each sheet cuts the edges of its cell, and which are at x = 0."""
    sheet_of, sheet_count = _sheet_table()
    inside = values < 0.0
    case = np.zeros(len(cells), dtype=np.int64)
    for corner in np.ndindex(2, 2, 2):
        case += inside[tuple((cells + corner).T)].astype(np.int64) << _corner(*corner)
    total = np.zeros((int(first_vertex[-1] + sheet_count[case[-1]]), 3))
    count = np.zeros(len(total))
    for axis in range(3):
        one, two = (axis + 1) % 3, (axis + 2) % 3
        for shift_one in (0, 1):
            for shift_two in (0, 1):
                start = cells.copy()
                start[:, one] += shift_one
                start[:, two] += shift_two
                sheet = sheet_of[case, _edge(axis, shift_one, shift_two)]
                cut = sheet >= 0
                start = start[cut]
                end = start.copy()
                end[:, axis] += 1
                a, b = values[tuple(start.T)], values[tuple(end.T)]
                point = start.astype(np.float64)
                point[:, axis] += a / (a - b)
                vertex = first_vertex[cut] + sheet[cut]
                # one edge of a cell belongs to one sheet: no vertex is written twice at once
                total[vertex] += point
                count[vertex] += 1.0
    on_plane = np.repeat(cells[:, 0] == 0, sheet_count[case])
    return origin + total / count[:, None] * cell_m, on_plane


def _gradient(field: Field, points: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Field and its gradient from four evaluations."""
    corners = points[None] + DIFFERENCE_M * TETRAHEDRON[:, None]
    around = field(corners.reshape(-1, 3)).reshape(4, -1)
    gradient = np.einsum("cn,cd->nd", around, TETRAHEDRON) / (4.0 * DIFFERENCE_M)
    return around.mean(axis=0), gradient


def _to_surface(
    field: Field, points: FloatArray, on_plane: BoolArray, most_m: float
) -> tuple[FloatArray, FloatArray]:
    value, gradient = _gradient(field, points)
    square = (gradient**2).sum(axis=1)
    step = np.clip(value / np.maximum(square, 0.05), -most_m, most_m)
    moved = points - step[:, None] * gradient
    moved[on_plane, 0] = 0.0
    gradient[on_plane, 0] = 0.0
    normal = gradient / np.maximum(np.sqrt((gradient**2).sum(axis=1)), 1e-9)[:, None]
    return moved, normal


def _relax(
    field: Field, vertices: FloatArray, quads: IntArray, on_plane: BoolArray
) -> Slices[FloatArray]:
    """Even out the vertices along the surface and put them on it."""
    start = quads.reshape(-1)
    end = np.roll(quads, -1, axis=1).reshape(-1)
    count = len(vertices)
    key = np.unique(np.concatenate([start * count + end, end * count + start]))
    pairs = np.stack(np.divmod(key, count), axis=1)
    degree = np.bincount(pairs[:, 0], minlength=count)[:, None]
    starts = np.concatenate([[0], np.cumsum(degree[:-1, 0])])
    cell = np.sqrt(((vertices[pairs[:, 0]] - vertices[pairs[:, 1]]) ** 2).sum(axis=1)).mean()
    for _ in range(SMOOTHING_ROUNDS):
        yield
        vertices, normal = _to_surface(field, vertices, on_plane, 0.5 * cell)
        mean = np.add.reduceat(vertices[pairs[:, 1]], starts) / degree
        shift = mean - vertices
        shift -= (shift * normal).sum(axis=1)[:, None] * normal
        shift[on_plane, 0] = 0.0
        vertices = vertices + 0.6 * shift
    for _ in range(2):
        yield
        vertices, normal = _to_surface(field, vertices, on_plane, 0.5 * cell)

    def to_middle() -> FloatArray:
        """From every vertex to the mean of its neighbours."""
        result: FloatArray = np.add.reduceat(vertices[pairs[:, 1]], starts) / degree - vertices
        result[on_plane, 0] = 0.0
        return result

    # rounds tighter than the grid shows are evened out, and swollen back
    tight = ramp((np.sqrt((to_middle() ** 2).sum(axis=1)) / cell - TIGHT) / TIGHT)
    for _ in range(EVENING_ROUNDS):
        tight = np.maximum(tight, np.add.reduceat(tight[pairs[:, 1]], starts) / degree[:, 0])
    for share in EVENED:
        vertices = vertices + share * tight[:, None] * to_middle()
    # flat triangles lie inside of a round surface: stand out so that on average they lie on it
    sag = (to_middle() * normal).sum(axis=1) * (1.0 - tight)
    result: FloatArray = vertices - SAG_SHARE * sag[:, None] * normal
    return result


def _split(vertices: FloatArray, quads: IntArray) -> IntArray:
    """Cut every quadrilateral along its shorter diagonal."""
    first = ((vertices[quads[:, 0]] - vertices[quads[:, 2]]) ** 2).sum(axis=1)
    second = ((vertices[quads[:, 1]] - vertices[quads[:, 3]]) ** 2).sum(axis=1)
    a = np.where((first <= second)[:, None], quads[:, [0, 1, 2]], quads[:, [0, 1, 3]])
    b = np.where((first <= second)[:, None], quads[:, [0, 2, 3]], quads[:, [1, 2, 3]])
    return np.concatenate([a, b])


def _mirror(
    vertices: FloatArray, triangles: IntArray, on_plane: BoolArray
) -> tuple[FloatArray, IntArray, IntArray]:
    count = len(vertices)
    image = np.where(on_plane, np.arange(count), 0)
    image[~on_plane] = count + np.arange(int((~on_plane).sum()))
    other = vertices[~on_plane] * np.array([-1.0, 1.0, 1.0])
    whole = np.concatenate([vertices, other])
    faces = np.concatenate([triangles, image[triangles][:, ::-1]])
    mirror = np.zeros(len(whole), dtype=np.int64)
    mirror[:count] = image
    mirror[count:] = np.flatnonzero(~on_plane)
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    key = np.sort(edges[:, 0] * len(whole) + edges[:, 1])
    back = np.sort(edges[:, 1] * len(whole) + edges[:, 0])
    if (key[1:] == key[:-1]).any() or not np.array_equal(key, back):
        raise SolverError("The surface of the body is not closed and manifold on this grid.")
    return whole, faces, mirror

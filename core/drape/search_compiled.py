# SPDX-License-Identifier: GPL-3.0-or-later
"""The searches of ``search`` for machines with Numba: the same answers up to rounding, faster.

Import this module only where Numba is installed.
"""

# mypy does not see through Numba's decorator
# mypy: disable-error-code="no-untyped-def,misc"

import math

import numba
import numpy as np

from .search import FLAT, ON_EDGE, ROUNDING_M

__all__ = ["close_pairs", "piercings"]

DIGIT_BITS = 11
"""Keys are sorted by digits of so many bits: their counts stay in the processor's nearest cache."""


@numba.njit(cache=True)
def _order_of(keys):
    """The stable order of keys that are not negative, digit by digit from the least."""
    order, other = np.arange(len(keys)), np.zeros(len(keys), dtype=np.int64)
    largest = 0
    for key in keys:
        largest = max(largest, key)
    place = np.zeros((1 << DIGIT_BITS) + 1, dtype=np.int64)
    shift = 0
    while largest >> shift > 0:
        place[:] = 0
        for key in keys:
            place[((key >> shift) & ((1 << DIGIT_BITS) - 1)) + 1] += 1
        for digit in range(1 << DIGIT_BITS):
            place[digit + 1] += place[digit]
        for i in order:
            digit = (keys[i] >> shift) & ((1 << DIGIT_BITS) - 1)
            other[place[digit]] = i
            place[digit] += 1
        order, other = other, order
        shift += DIGIT_BITS
    return order


@numba.njit(cache=True)
def _sorted_cubes(points, low, cube_m, far, near):
    """Points by the cube they lie in: the cubes' keys in order, and the point of each."""
    key = np.zeros(len(points), dtype=np.int64)
    for i in range(len(points)):
        key[i] = _cube(points[i], low, cube_m, far, near)
    order = _order_of(key)
    return key[order], order


@numba.njit(cache=True)
def _cube(point, low, cube_m, far, near):
    x = math.floor((point[0] - low[0]) / cube_m) + 1
    y = math.floor((point[1] - low[1]) / cube_m) + 1
    z = math.floor((point[2] - low[2]) / cube_m) + 1
    return x * far + y * near + z


@numba.njit(cache=True)
def _strides(first, second, low, cube_m):
    span = np.zeros(3, dtype=np.int64)
    for k in range(3):
        low[k] = min(first[:, k].min(), second[:, k].min())
        high = max(first[:, k].max(), second[:, k].max())
        span[k] = math.floor((high - low[k]) / cube_m) + 3
    return span[1] * span[2], span[2]


@numba.njit(cache=True)
def _with(pairs, count, one, other):
    """Write one more pair; the array doubles when it is full."""
    if count == len(pairs):
        longer = np.zeros((2 * count, 2), dtype=np.int64)
        longer[:count] = pairs
        pairs = longer
    pairs[count, 0], pairs[count, 1] = one, other
    return pairs


@numba.njit(cache=True, inline="always")
def _square(one, other):
    x, y, z = one[0] - other[0], one[1] - other[1], one[2] - other[2]
    return x * x + y * y + z * z


@numba.njit(cache=True)
def _runs(key, start, far, near, runs):
    """Move the bounds (9, 2) of the runs of sorted cubes' keys round one cube on to a later cube."""
    r = 0
    for dx in (-far, 0, far):
        for dy in (-near, 0, near):
            row = start + dx + dy
            first = runs[r, 0]
            while first < len(key) and key[first] < row - 1:
                first += 1
            last = max(first, runs[r, 1])
            while last < len(key) and key[last] <= row + 1:
                last += 1
            runs[r, 0], runs[r, 1] = first, last
            r += 1


@numba.njit(cache=True)
def _in_order(pairs):
    """Sorted by the first of each pair, then by the second."""
    if len(pairs) == 0:
        return pairs
    return pairs[_order_of(pairs[:, 0] * (pairs[:, 1].max() + 1) + pairs[:, 1])]


@numba.njit(cache=True)
def close_pairs(points, rest, radius_m, apart_m):
    low = np.zeros(3)
    far, near = _strides(points, points, low, radius_m)
    key, order = _sorted_cubes(points, low, radius_m, far, near)
    # columns, and a test by itself, so that the inner loop, most of the search, can be vectorised
    x, y, z = points[order, 0], points[order, 1], points[order, 2]
    flat = rest[order]
    runs = np.zeros((9, 2), dtype=np.int64)
    pairs = np.zeros((64, 2), dtype=np.int64)
    count, seen, square = 0, key[0] - 1, radius_m * radius_m
    for i in range(len(points)):
        if key[i] != seen:
            seen = key[i]
            _runs(key, seen, far, near, runs)
        a, b, c = x[i], y[i], z[i]
        for r in range(9):
            for j in range(max(runs[r, 0], i + 1), runs[r, 1]):
                u, v, w = x[j] - a, y[j] - b, z[j] - c
                if u * u + v * v + w * w >= square:
                    continue
                if _farther(flat, i, j, apart_m):
                    one, other = order[i], order[j]
                    pairs = _with(pairs, count, min(one, other), max(one, other))
                    count += 1
    return _in_order(pairs[:count])


@numba.njit(cache=True, inline="always")
def _farther(flat, i, j, apart_m):
    """Whether both flat places of point i, of (n, 2, 2), lie farther from both of point j."""
    for a in range(2):
        for b in range(2):
            x, y = flat[i, a, 0] - flat[j, b, 0], flat[i, a, 1] - flat[j, b, 1]
            if x * x + y * y <= apart_m * apart_m:
                return False
    return True


@numba.njit(cache=True)
def piercings(positions, edges, triangles):
    middle, edge_m = np.zeros((len(edges), 3)), np.zeros(len(edges))
    for e in range(len(edges)):
        start, end = positions[edges[e, 0]], positions[edges[e, 1]]
        for k in range(3):
            middle[e, k] = 0.5 * (start[k] + end[k])
        edge_m[e] = math.sqrt(_square(start, middle[e]))
    centre, triangle_m = np.zeros((len(triangles), 3)), np.zeros(len(triangles))
    for t in range(len(triangles)):
        for k in range(3):
            for corner in range(3):
                centre[t, k] += positions[triangles[t, corner], k] / 3.0
        for corner in range(3):
            square = _square(positions[triangles[t, corner]], centre[t])
            triangle_m[t] = max(triangle_m[t], math.sqrt(square))
    cube_m = edge_m.max() + triangle_m.max()
    low = np.zeros(3)
    far, near = _strides(middle, centre, low, cube_m)
    key, order = _sorted_cubes(centre, low, cube_m, far, near)
    triangle_m, corners = triangle_m[order], triangles[order]
    x, y, z = centre[order, 0], centre[order, 1], centre[order, 2]
    normal, level = _planes(positions, corners)
    start, edge_order = _sorted_cubes(middle, low, cube_m, far, near)
    runs = np.zeros((9, 2), dtype=np.int64)
    pairs = np.zeros((64, 2), dtype=np.int64)
    count, seen = 0, start[0] - 1
    for i in range(len(edges)):
        if start[i] != seen:
            seen = start[i]
            _runs(key, seen, far, near, runs)
        e = edge_order[i]
        p, q = positions[edges[e, 0]], positions[edges[e, 1]]
        a, b, c, half_m = middle[e, 0], middle[e, 1], middle[e, 2], edge_m[e]
        for r in range(9):
            for t in range(runs[r, 0], runs[r, 1]):
                u, v, w = x[t] - a, y[t] - b, z[t] - c
                reach = half_m + triangle_m[t]
                if u * u + v * v + w * w >= reach * reach:
                    continue
                n = normal[t]
                first = n[0] * p[0] + n[1] * p[1] + n[2] * p[2] - level[t]
                second = n[0] * q[0] + n[1] * q[1] + n[2] * q[2] - level[t]
                # both ends on one side: most are
                if min(first, second) > ROUNDING_M or max(first, second) < -ROUNDING_M:
                    continue
                if _pierces(positions, edges[e], corners[t]):
                    pairs = _with(pairs, count, e, order[t])
                    count += 1
    return _in_order(pairs[:count])


@numba.njit(cache=True)
def _planes(positions, triangles):
    """Unit normals (t, 3) and levels (t,) of the triangles' planes."""
    normal, level = np.zeros((len(triangles), 3)), np.zeros(len(triangles))
    for t in range(len(triangles)):
        o, u, v = positions[triangles[t, 0]], positions[triangles[t, 1]], positions[triangles[t, 2]]
        fx, fy, fz = u[0] - o[0], u[1] - o[1], u[2] - o[2]
        sx, sy, sz = v[0] - o[0], v[1] - o[1], v[2] - o[2]
        x, y, z = fy * sz - fz * sy, fz * sx - fx * sz, fx * sy - fy * sx
        scale = 1.0 / max(math.sqrt(x * x + y * y + z * z), FLAT)
        normal[t, 0], normal[t, 1], normal[t, 2] = scale * x, scale * y, scale * z
        level[t] = normal[t, 0] * o[0] + normal[t, 1] * o[1] + normal[t, 2] * o[2]
    return normal, level


@numba.njit(cache=True)
def _pierces(positions, edge, triangle):
    for corner in range(3):
        if triangle[corner] == edge[0] or triangle[corner] == edge[1]:
            return False
    p, q = positions[edge[0]], positions[edge[1]]
    o, u, v = positions[triangle[0]], positions[triangle[1]], positions[triangle[2]]
    dx, dy, dz = q[0] - p[0], q[1] - p[1], q[2] - p[2]
    fx, fy, fz = u[0] - o[0], u[1] - o[1], u[2] - o[2]
    sx, sy, sz = v[0] - o[0], v[1] - o[1], v[2] - o[2]
    rx, ry, rz = p[0] - o[0], p[1] - o[1], p[2] - o[2]
    nx, ny, nz = fy * sz - fz * sy, fz * sx - fx * sz, fx * sy - fy * sx
    side = nx * rx + ny * ry + nz * rz
    if side * (side + nx * dx + ny * dy + nz * dz) >= 0.0:
        return False
    tx, ty, tz = dy * sz - dz * sy, dz * sx - dx * sz, dx * sy - dy * sx
    scale = fx * tx + fy * ty + fz * tz
    if abs(scale) < FLAT:
        return False
    b = (rx * tx + ry * ty + rz * tz) / scale
    wx, wy, wz = ry * fz - rz * fy, rz * fx - rx * fz, rx * fy - ry * fx
    c = (dx * wx + dy * wy + dz * wz) / scale
    return b > ON_EDGE and c > ON_EDGE and b + c < 1.0 - ON_EDGE

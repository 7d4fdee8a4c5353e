# SPDX-License-Identifier: GPL-3.0-or-later
"""The passes of ``passes`` for machines with Numba: the same answers up to rounding, faster.

Import this module only where Numba is installed. The kernels are serial: on two cores threads gain
nothing, and sums stay in one order.
"""

# mypy does not see through Numba's decorator
# mypy: disable-error-code="no-untyped-def,no-untyped-call,misc,call-arg"

import math

import numba
import numpy as np

__all__ = [
    "balls",
    "bends",
    "bent",
    "laid_out",
    "layers",
    "membrane",
    "membrane_blocks",
    "presses",
    "rubs",
    "sways",
]


def laid_out(constants):
    return np.ascontiguousarray(constants)


@numba.njit(cache=True, inline="always")
def _strained(strain, stretch, wrinkling, most_wrinkled, compression):
    if strain >= 0.0:
        return stretch * strain, 0.5 * stretch * strain * strain
    beyond = min(strain + most_wrinkled, 0.0)
    load = wrinkling * (strain - beyond)
    more = compression * stretch * beyond
    return load + more, 0.5 * load * (strain - beyond) + (load + 0.5 * more) * beyond


@numba.njit(cache=True)
def membrane(
    positions, triangles, inverse, stiffness_n_m, wrinkling_n_m, most_wrinkled, compression
):
    gradient = np.zeros_like(positions)
    across, along = np.zeros(3), np.zeros(3)
    energy = 0.0
    for t in range(len(triangles)):
        a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        i00, i01 = inverse[t, 0, 0], inverse[t, 0, 1]
        i10, i11 = inverse[t, 1, 0], inverse[t, 1, 1]
        uu = vv = shear = 0.0
        for k in range(3):
            first = positions[b, k] - positions[a, k]
            second = positions[c, k] - positions[a, k]
            across[k] = first * i00 + second * i10
            along[k] = first * i01 + second * i11
            uu += across[k] * across[k]
            vv += along[k] * along[k]
            shear += across[k] * along[k]
        u, v = math.sqrt(uu), math.sqrt(vv)
        force = stiffness_n_m[t, 2] * shear
        energy += 0.5 * force * shear
        force_u, part = _strained(
            u - 1.0, stiffness_n_m[t, 0], wrinkling_n_m[t, 0], most_wrinkled, compression
        )
        energy += part
        force_v, part = _strained(
            v - 1.0, stiffness_n_m[t, 1], wrinkling_n_m[t, 1], most_wrinkled, compression
        )
        energy += part
        force_u /= max(u, 1e-9)
        force_v /= max(v, 1e-9)
        for k in range(3):
            across_stress = across[k] * force_u + along[k] * force
            along_stress = along[k] * force_v + across[k] * force
            second = across_stress * i00 + along_stress * i01
            third = across_stress * i10 + along_stress * i11
            gradient[a, k] -= second + third
            gradient[b, k] += second
            gradient[c, k] += third
    return energy, gradient


@numba.njit(cache=True)
def membrane_blocks(positions, triangles, inverse, stiffness_n_m, turning_strain):
    blocks = np.zeros((len(triangles), 3, 3, 3, 3))
    across, along = np.zeros(3), np.zeros(3)
    spread, slide = np.zeros((3, 2)), np.zeros((3, 3))
    for t in range(len(triangles)):
        a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        uu = vv = shear = 0.0
        for column in range(2):
            spread[1, column] = inverse[t, 0, column]
            spread[2, column] = inverse[t, 1, column]
            spread[0, column] = -inverse[t, 0, column] - inverse[t, 1, column]
        for k in range(3):
            first = positions[b, k] - positions[a, k]
            second = positions[c, k] - positions[a, k]
            across[k] = first * inverse[t, 0, 0] + second * inverse[t, 1, 0]
            along[k] = first * inverse[t, 0, 1] + second * inverse[t, 1, 1]
            uu += across[k] * across[k]
            vv += along[k] * along[k]
            shear += across[k] * along[k]
        u, v = max(math.sqrt(uu), 1e-9), max(math.sqrt(vv), 1e-9)
        stiff_u, stiff_v = stiffness_n_m[t, 0], stiffness_n_m[t, 1]
        turn_u = stiff_u * min(abs(1.0 - 1.0 / u) + turning_strain, 1.0)
        turn_v = stiff_v * min(abs(1.0 - 1.0 / v) + turning_strain, 1.0)
        turn_s = stiffness_n_m[t, 2] * abs(shear)
        root = math.sqrt(stiffness_n_m[t, 2])
        for i in range(3):
            for k in range(3):
                slide[i, k] = root * (spread[i, 0] * along[k] + spread[i, 1] * across[k])
        for i in range(3):
            for j in range(3):
                pair_u = spread[i, 0] * spread[j, 0]
                pair_v = spread[i, 1] * spread[j, 1]
                turn = pair_u * turn_u + pair_v * turn_v + (pair_u + pair_v) * turn_s
                along_u = pair_u * (stiff_u - turn_u) / (u * u)
                along_v = pair_v * (stiff_v - turn_v) / (v * v)
                for k in range(3):
                    for m in range(3):
                        blocks[t, i, j, k, m] = (
                            along_u * across[k] * across[m]
                            + along_v * along[k] * along[m]
                            + slide[i, k] * slide[j, m]
                        )
                    blocks[t, i, j, k, k] += turn
    return blocks


@numba.njit(cache=True, inline="always")
def _sides(positions, triangles, t):
    """The two sides of a triangle that leave its first corner, as six numbers."""
    a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
    x, y, z = positions[a, 0], positions[a, 1], positions[a, 2]
    return (
        positions[b, 0] - x,
        positions[b, 1] - y,
        positions[b, 2] - z,
        positions[c, 0] - x,
        positions[c, 1] - y,
        positions[c, 2] - z,
    )


@numba.njit(cache=True, inline="always")
def _cross(x1, y1, z1, x2, y2, z2):
    return y1 * z2 - z1 * y2, z1 * x2 - x1 * z2, x1 * y2 - y1 * x2


@numba.njit(cache=True, inline="always")
def _doubled_normal(positions, triangles, t):
    x1, y1, z1, x2, y2, z2 = _sides(positions, triangles, t)
    return _cross(x1, y1, z1, x2, y2, z2)


@numba.njit(cache=True, inline="always")
def _add_turning(gradient, positions, triangles, t, x, y, z):
    """Add by each corner what has the slope (x, y, z) by the triangle's doubled normal."""
    x1, y1, z1, x2, y2, z2 = _sides(positions, triangles, t)
    second = _cross(x2, y2, z2, x, y, z)
    third = _cross(x, y, z, x1, y1, z1)
    for k in range(3):
        gradient[triangles[t, 0], k] -= second[k] + third[k]
        gradient[triangles[t, 1], k] += second[k]
        gradient[triangles[t, 2], k] += third[k]


@numba.njit(cache=True, inline="always")
def _sum_of_corners(positions, triangles, t, k):
    first, second, third = triangles[t, 0], triangles[t, 1], triangles[t, 2]
    return positions[first, k] + positions[second, k] + positions[third, k]


@numba.njit(cache=True)
def layers(
    positions,
    outer,
    lining,
    normal,
    turns,
    gap_m,
    stiffness_n_per_m,
    anchor,
    sway_m,
    sway_stiffness_n_per_m,
):
    gradient = np.zeros_like(positions)
    apart, slide, up, slope = np.zeros(3), np.zeros(3), np.zeros(3), np.zeros(3)
    energy = 0.0
    for t in range(len(outer)):
        size = 1.0
        up[0], up[1], up[2] = normal[t, 0], normal[t, 1], normal[t, 2]
        if turns[t]:
            x1, y1, z1 = _doubled_normal(positions, outer, t)
            x2, y2, z2 = _doubled_normal(positions, lining, t)
            x, y, z = x1 + x2, y1 + y2, z1 + z2
            size = max(math.sqrt(x * x + y * y + z * z), 1e-30)
            up[0], up[1], up[2] = x / size, y / size, z / size
        distance = out = 0.0
        for k in range(3):
            one = _sum_of_corners(positions, outer, t, k)
            apart[k] = (one - _sum_of_corners(positions, lining, t, k)) / 3.0
            distance += apart[k] * up[k]
            out += (apart[k] - anchor[t, k]) * up[k]
        square = 0.0
        for k in range(3):
            slide[k] = apart[k] - anchor[t, k] - out * up[k]
            square += slide[k] * slide[k]
        length = math.sqrt(square)
        held = min(1.0, sway_m[t] / max(length, 1e-12))
        pull = sway_stiffness_n_per_m[t] * held
        depth = max(gap_m[t] - distance, 0.0)
        force = stiffness_n_per_m[t] * depth
        energy += 0.5 * force * depth + pull * square * (1.0 - 0.5 * held)
        for k in range(3):
            push = (force * up[k] - pull * slide[k]) / 3.0
            slope[k] = -(force * (apart[k] - distance * up[k]) + out * pull * slide[k]) / size
            for corner in range(3):
                gradient[lining[t, corner], k] += push
                gradient[outer[t, corner], k] -= push
        if turns[t]:
            _add_turning(gradient, positions, outer, t, slope[0], slope[1], slope[2])
            _add_turning(gradient, positions, lining, t, slope[0], slope[1], slope[2])
    return energy, gradient


@numba.njit(cache=True, inline="always")
def _midway(positions, nodes, k):
    first = positions[nodes[0], k] + positions[nodes[1], k]
    return 0.5 * (first - positions[nodes[2], k] - positions[nodes[3], k])


@numba.njit(cache=True)
def balls(positions, pairs, stiffness_n_per_m, diameter_m):
    gradient = np.zeros_like(positions)
    gap = np.zeros(3)
    energy = 0.0
    for p in range(len(pairs)):
        square = 0.0
        for k in range(3):
            gap[k] = _midway(positions, pairs[p], k)
            square += gap[k] * gap[k]
        if square >= diameter_m * diameter_m:
            continue
        length = max(math.sqrt(square), 1e-9)
        depth = diameter_m - length
        force = stiffness_n_per_m[p] * depth
        energy += 0.5 * force * depth
        for k in range(3):
            push = 0.5 * gap[k] * force / length
            gradient[pairs[p, 0], k] -= push
            gradient[pairs[p, 1], k] -= push
            gradient[pairs[p, 2], k] += push
            gradient[pairs[p, 3], k] += push
    return energy, gradient


@numba.njit(cache=True)
def rubs(positions, pairs, normal, anchor, sway_m, stiffness_n_per_m):
    gradient = np.zeros_like(positions)
    slide = np.zeros(3)
    energy = 0.0
    for p in range(len(pairs)):
        out = square = 0.0
        for k in range(3):
            slide[k] = _midway(positions, pairs[p], k) - anchor[p, k]
            out += slide[k] * normal[p, k]
        for k in range(3):
            slide[k] -= out * normal[p, k]
            square += slide[k] * slide[k]
        held = min(1.0, sway_m[p] / max(math.sqrt(square), 1e-12))
        pull = stiffness_n_per_m[p] * held
        energy += pull * square * (1.0 - 0.5 * held)
        for k in range(3):
            half = 0.5 * pull * slide[k]
            gradient[pairs[p, 0], k] += half
            gradient[pairs[p, 1], k] += half
            gradient[pairs[p, 2], k] -= half
            gradient[pairs[p, 3], k] -= half
    return energy, gradient


@numba.njit(cache=True)
def bent(positions, nodes, weights):
    normal, bend = np.zeros((len(nodes), 3)), np.zeros((len(nodes), 3))
    first, second, out = np.zeros(3), np.zeros(3), np.zeros(3)
    for t in range(len(nodes)):
        for k in range(3):
            first[k] = positions[nodes[t, 1], k] - positions[nodes[t, 0], k]
            second[k] = positions[nodes[t, 2], k] - positions[nodes[t, 0], k]
        for k in range(3):
            out[k] = first[k - 2] * second[k - 1] - first[k - 1] * second[k - 2]
        length = max(math.sqrt(out[0] ** 2 + out[1] ** 2 + out[2] ** 2), 1e-30)
        for k in range(3):
            normal[t, k] = out[k] / length
        for i in range(6):
            height = 0.0
            for k in range(3):
                height += positions[nodes[t, i], k] * normal[t, k]
            for k in range(3):
                bend[t, k] += weights[t, i, k] * height
    return normal, bend


@numba.njit(cache=True)
def bends(positions, nodes, weights, normal, anchor, sway_per_m, stiffness_n_m3):
    gradient = np.zeros_like(positions)
    energy = 0.0
    for t in range(len(nodes)):
        x, y, z = normal[t, 0], normal[t, 1], normal[t, 2]
        u, v, w = -anchor[t, 0], -anchor[t, 1], -anchor[t, 2]
        for i in range(6):
            node = nodes[t, i]
            height = positions[node, 0] * x + positions[node, 1] * y + positions[node, 2] * z
            u += weights[t, i, 0] * height
            v += weights[t, i, 1] * height
            w += weights[t, i, 2] * height
        square = u * u + v * v + w * w
        held = min(1.0, sway_per_m / max(math.sqrt(square), 1e-12))
        pull = stiffness_n_m3[t] * held
        energy += pull * square * (1.0 - 0.5 * held)
        for i in range(6):
            node = nodes[t, i]
            lift = weights[t, i, 0] * u + weights[t, i, 1] * v + weights[t, i, 2] * w
            lift *= pull
            gradient[node, 0] += lift * x
            gradient[node, 1] += lift * y
            gradient[node, 2] += lift * z
    return energy, gradient


@numba.njit(cache=True)
def presses(positions, nodes, normal, level_m, soft_m, stiffness_n_per_m, hardening):
    gradient = np.zeros_like(positions)
    energy = 0.0
    for k in range(len(nodes)):
        node = nodes[k]
        depth = level_m[k]
        for axis in range(3):
            depth -= positions[node, axis] * normal[k, axis]
        if depth > 0.0:
            hard = max(depth - soft_m[k], 0.0)
            energy += 0.5 * stiffness_n_per_m[k] * (depth * depth + hardening * hard * hard)
            force = stiffness_n_per_m[k] * (depth + hardening * hard)
            for axis in range(3):
                gradient[node, axis] -= force * normal[k, axis]
    return energy, gradient


@numba.njit(cache=True)
def sways(positions, normal, anchor, sway_m, stiffness_n_per_m):
    gradient = np.zeros_like(positions)
    slide = np.zeros(3)
    energy = 0.0
    for n in range(len(positions)):
        if sway_m[n] == 0.0:
            continue
        out = 0.0
        for axis in range(3):
            slide[axis] = positions[n, axis] - anchor[n, axis]
            out += slide[axis] * normal[n, axis]
        square = 0.0
        for axis in range(3):
            slide[axis] -= out * normal[n, axis]
            square += slide[axis] * slide[axis]
        held = min(1.0, sway_m[n] / max(math.sqrt(square), 1e-12))
        pull = stiffness_n_per_m[n] * held
        energy += pull * square * (1.0 - 0.5 * held)
        for axis in range(3):
            gradient[n, axis] = pull * slide[axis]
    return energy, gradient

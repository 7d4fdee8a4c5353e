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
    # half as wide, whole numbers are read in half the time
    whole = constants.dtype.kind == "i"
    return np.ascontiguousarray(constants, dtype=np.int32 if whole else None)


# vectors are tuples of three numbers: those stay in registers


@numba.njit(cache=True, inline="always")
def _vector(vectors, n):
    return vectors[n, 0], vectors[n, 1], vectors[n, 2]


@numba.njit(cache=True, inline="always")
def _dot(u, v):
    return u[0] * v[0] + u[1] * v[1] + u[2] * v[2]


@numba.njit(cache=True, inline="always")
def _cross(u, v):
    return u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]


@numba.njit(cache=True, inline="always")
def _times(share, u):
    return share * u[0], share * u[1], share * u[2]


@numba.njit(cache=True, inline="always")
def _sum(share, u, other, v):
    return share * u[0] + other * v[0], share * u[1] + other * v[1], share * u[2] + other * v[2]


@numba.njit(cache=True, inline="always")
def _between(positions, start, end):
    return _sum(1.0, _vector(positions, end), -1.0, _vector(positions, start))


@numba.njit(cache=True, inline="always")
def _add(vectors, n, share, u):
    vectors[n, 0] += share * u[0]
    vectors[n, 1] += share * u[1]
    vectors[n, 2] += share * u[2]


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
    energy = 0.0
    for t in range(len(triangles)):
        a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        i00, i01 = inverse[t, 0, 0], inverse[t, 0, 1]
        i10, i11 = inverse[t, 1, 0], inverse[t, 1, 1]
        first, second = _between(positions, a, b), _between(positions, a, c)
        across, along = _sum(i00, first, i10, second), _sum(i01, first, i11, second)
        u, v = math.sqrt(_dot(across, across)), math.sqrt(_dot(along, along))
        shear = _dot(across, along)
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
        across_stress = _sum(force_u / max(u, 1e-9), across, force, along)
        along_stress = _sum(force_v / max(v, 1e-9), along, force, across)
        second_force = _sum(i00, across_stress, i01, along_stress)
        third_force = _sum(i10, across_stress, i11, along_stress)
        _add(gradient, a, -1.0, _sum(1.0, second_force, 1.0, third_force))
        _add(gradient, b, 1.0, second_force)
        _add(gradient, c, 1.0, third_force)
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
def _add_turning(gradient, triangles, t, first, second, push, slope):
    """Add a push at each corner and what has the slope by the doubled normal of two sides."""
    one, other = _cross(second, slope), _cross(slope, first)
    _add(gradient, triangles[t, 0], 1.0, _sum(1.0, push, -1.0, _sum(1.0, one, 1.0, other)))
    _add(gradient, triangles[t, 1], 1.0, _sum(1.0, push, 1.0, one))
    _add(gradient, triangles[t, 2], 1.0, _sum(1.0, push, 1.0, other))


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
    energy = 0.0
    for t in range(len(outer)):
        up_from, low_from = outer[t, 0], lining[t, 0]
        up_1, up_2 = (
            _between(positions, up_from, outer[t, 1]),
            _between(positions, up_from, outer[t, 2]),
        )
        low_1, low_2 = (
            _between(positions, low_from, lining[t, 1]),
            _between(positions, low_from, lining[t, 2]),
        )
        out, share = _vector(normal, t), 0.0
        if turns[t]:
            both = _sum(1.0, _cross(up_1, up_2), 1.0, _cross(low_1, low_2))
            share = 1.0 / max(math.sqrt(_dot(both, both)), 1e-30)
            out = _times(share, both)
        # the middles of the two triangles
        wider = _sum(1.0, _sum(1.0, up_1, 1.0, up_2), -1.0, _sum(1.0, low_1, 1.0, low_2))
        apart = _sum(1.0, _between(positions, low_from, up_from), 1.0 / 3.0, wider)
        distance = _dot(apart, out)
        from_anchor = _sum(1.0, apart, -1.0, _vector(anchor, t))
        along = _dot(from_anchor, out)
        slide = _sum(1.0, from_anchor, -along, out)
        square = _dot(slide, slide)
        held = min(1.0, sway_m[t] / max(math.sqrt(square), 1e-12))
        pull = sway_stiffness_n_per_m[t] * held
        depth = max(gap_m[t] - distance, 0.0)
        force = stiffness_n_per_m[t] * depth
        energy += 0.5 * force * depth + pull * square * (1.0 - 0.5 * held)
        push = _sum(pull / 3.0, slide, -force / 3.0, out)
        leaning = _sum(force, _sum(1.0, apart, -distance, out), along * pull, slide)
        slope = _times(-share, leaning)
        _add_turning(gradient, outer, t, up_1, up_2, push, slope)
        _add_turning(gradient, lining, t, low_1, low_2, _times(-1.0, push), slope)
    return energy, gradient


@numba.njit(cache=True, inline="always")
def _midway(positions, pairs, p):
    """From the middle of the last two nodes of a pair to the middle of the first two."""
    first = _between(positions, pairs[p, 2], pairs[p, 0])
    return _sum(0.5, first, 0.5, _between(positions, pairs[p, 3], pairs[p, 1]))


@numba.njit(cache=True, inline="always")
def _add_at_pair(gradient, pairs, p, share, pull):
    _add(gradient, pairs[p, 0], share, pull)
    _add(gradient, pairs[p, 1], share, pull)
    _add(gradient, pairs[p, 2], -share, pull)
    _add(gradient, pairs[p, 3], -share, pull)


@numba.njit(cache=True)
def balls(positions, pairs, stiffness_n_per_m, diameter_m):
    gradient = np.zeros_like(positions)
    energy = 0.0
    for p in range(len(pairs)):
        gap = _midway(positions, pairs, p)
        square = _dot(gap, gap)
        if square >= diameter_m * diameter_m:
            continue
        length = max(math.sqrt(square), 1e-9)
        depth = diameter_m - length
        force = stiffness_n_per_m[p] * depth
        energy += 0.5 * force * depth
        _add_at_pair(gradient, pairs, p, -0.5 * force / length, gap)
    return energy, gradient


@numba.njit(cache=True)
def rubs(positions, pairs, normal, anchor, sway_m, stiffness_n_per_m):
    gradient = np.zeros_like(positions)
    energy = 0.0
    for p in range(len(pairs)):
        slide = _sum(1.0, _midway(positions, pairs, p), -1.0, _vector(anchor, p))
        out = _vector(normal, p)
        slide = _sum(1.0, slide, -_dot(slide, out), out)
        square = _dot(slide, slide)
        held = min(1.0, sway_m[p] / max(math.sqrt(square), 1e-12))
        pull = stiffness_n_per_m[p] * held
        energy += pull * square * (1.0 - 0.5 * held)
        _add_at_pair(gradient, pairs, p, 0.5 * pull, slide)
    return energy, gradient


@numba.njit(cache=True)
def bent(positions, nodes, weights):
    normal, bend = np.zeros((len(nodes), 3)), np.zeros((len(nodes), 3))
    for t in range(len(nodes)):
        first = _between(positions, nodes[t, 0], nodes[t, 1])
        out = _cross(first, _between(positions, nodes[t, 0], nodes[t, 2]))
        out = _times(1.0 / max(math.sqrt(_dot(out, out)), 1e-30), out)
        _add(normal, t, 1.0, out)
        for i in range(6):
            height = _dot(_vector(positions, nodes[t, i]), out)
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
        out = _vector(normal, k)
        depth = level_m[k] - _dot(_vector(positions, node), out)
        if depth > 0.0:
            hard = max(depth - soft_m[k], 0.0)
            energy += 0.5 * stiffness_n_per_m[k] * (depth * depth + hardening * hard * hard)
            _add(gradient, node, -stiffness_n_per_m[k] * (depth + hardening * hard), out)
    return energy, gradient


@numba.njit(cache=True)
def sways(positions, normal, anchor, sway_m, stiffness_n_per_m):
    gradient = np.zeros_like(positions)
    energy = 0.0
    for n in range(len(positions)):
        if sway_m[n] == 0.0:
            continue
        slide = _sum(1.0, _vector(positions, n), -1.0, _vector(anchor, n))
        out = _vector(normal, n)
        slide = _sum(1.0, slide, -_dot(slide, out), out)
        square = _dot(slide, slide)
        held = min(1.0, sway_m[n] / max(math.sqrt(square), 1e-12))
        pull = stiffness_n_per_m[n] * held
        energy += pull * square * (1.0 - 0.5 * held)
        _add(gradient, n, pull, slide)
    return energy, gradient

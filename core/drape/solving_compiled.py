# SPDX-License-Identifier: GPL-3.0-or-later
"""The passes of ``solving`` for machines with Numba: the same answers up to rounding, faster.

Import this module only where Numba is installed. The kernels are serial: on two cores threads gain
nothing, and sums stay in one order.
"""

# mypy does not see through Numba's decorator
# mypy: disable-error-code="no-untyped-def,no-untyped-call,misc,call-arg"

import numba
import numpy as np

__all__ = ["add_scattered", "pack_fronts", "solve_fronts", "sparse_product", "sum_at"]


@numba.njit(cache=True)
def sum_at(places, values, size):
    total = np.zeros(size)
    for k in range(len(places)):
        total[places[k]] += values[k]
    return total


@numba.njit(cache=True)
def add_scattered(whole, places, part):
    for i in range(len(places)):
        row = whole[places[i]]
        for j in range(len(places)):
            row[places[j]] += part[i, j]


MOST_16_BITS = 32767


def pack_fronts(own, later, inverses, links):
    """Every row as whole numbers of 16 bits and one scale.

    Solving is a matter of reading the factor from memory, twice: this halves it. The product of
    the two triangles stays symmetric and positive definite whatever is rounded in them.
    """
    inverse, inverse_scale = _in_16_bits(inverses)
    link, link_scale = _in_16_bits(links)
    sizes = np.array([(len(mine), len(others)) for mine, others in zip(own, later, strict=True)])
    places = np.concatenate(own), np.concatenate(later)
    return sizes, *places, inverse, inverse_scale, link, link_scale


def solve_fronts(packed, right):
    return _solve(*packed, right.astype(np.float32)).astype(np.float64)


def _in_16_bits(matrices):
    rows = np.array([len(matrix) for matrix in matrices])
    sizes = np.array([matrix.size for matrix in matrices])
    numbers = np.zeros(sizes.sum(), dtype=np.int16)
    scales = np.zeros(rows.sum(), dtype=np.float32)
    row, place = np.cumsum(rows) - rows, np.cumsum(sizes) - sizes
    for matrix, first_row, first in zip(matrices, row, place, strict=True):
        if matrix.size:
            _round_rows(matrix, numbers[first:], scales[first_row:])
    return numbers, scales


@numba.njit(cache=True)
def _round_rows(matrix, numbers, scales):
    width = matrix.shape[1]
    for i in range(matrix.shape[0]):
        most = np.float32(1e-30)
        for j in range(width):
            most = max(most, abs(matrix[i, j]))
        scales[i] = most / np.float32(MOST_16_BITS)
        share = np.float32(MOST_16_BITS) / most
        for j in range(width):
            numbers[i * width + j] = np.int16(np.rint(matrix[i, j] * share))


@numba.njit(cache=True, fastmath={"reassoc", "contract"})
def _solve(sizes, own, later, inverse, inverse_scale, link, link_scale, work):
    most = sizes[:, 0].max()
    mine, part = np.zeros(most, dtype=np.float32), np.zeros(most, dtype=np.float32)
    at_own = at_later = at_inverse = at_link = 0
    for front in range(len(sizes)):
        width, others = sizes[front]
        for i in range(width):
            mine[i] = work[own[at_own + i]]
        for i in range(width):
            total = np.float32(0.0)
            row = inverse[at_inverse + i * width :]
            for j in range(i + 1):
                total += np.float32(row[j]) * mine[j]
            part[i] = total * inverse_scale[at_own + i]
            work[own[at_own + i]] = part[i]
        for i in range(others):
            total = np.float32(0.0)
            row = link[at_link + i * width :]
            for j in range(width):
                total += np.float32(row[j]) * part[j]
            work[later[at_later + i]] -= total * link_scale[at_later + i]
        at_own, at_later = at_own + width, at_later + others
        at_inverse, at_link = at_inverse + width * width, at_link + others * width
    for front in range(len(sizes) - 1, -1, -1):
        width, others = sizes[front]
        at_own, at_later = at_own - width, at_later - others
        at_inverse, at_link = at_inverse - width * width, at_link - others * width
        for j in range(width):
            mine[j] = work[own[at_own + j]]
            part[j] = np.float32(0.0)
        for i in range(others):
            weight = work[later[at_later + i]] * link_scale[at_later + i]
            row = link[at_link + i * width :]
            for j in range(width):
                mine[j] -= weight * np.float32(row[j])
        for i in range(width):
            weight = mine[i] * inverse_scale[at_own + i]
            row = inverse[at_inverse + i * width :]
            for j in range(i + 1):
                part[j] += weight * np.float32(row[j])
        for j in range(width):
            work[own[at_own + j]] = part[j]
    return work


@numba.njit(cache=True)
def sparse_product(starts, columns, values, vectors):
    result = np.zeros_like(vectors)
    for n in range(len(starts) - 1):
        x = y = z = 0.0
        for w in range(starts[n], starts[n + 1]):
            value = values[w]
            column = columns[w]
            x += value * vectors[column, 0]
            y += value * vectors[column, 1]
            z += value * vectors[column, 2]
        result[n, 0], result[n, 1], result[n, 2] = x, y, z
    return result

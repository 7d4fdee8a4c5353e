# SPDX-License-Identifier: GPL-3.0-or-later
"""The passes of ``solving`` for machines with Numba: the same answers up to rounding, faster.

Import this module only where Numba is installed. The kernels are serial: on two cores threads gain
nothing, and sums stay in one order.
"""

# mypy does not see through Numba's decorator
# mypy: disable-error-code="no-untyped-def,no-untyped-call,misc,call-arg"

import numba
import numpy as np

__all__ = [
    "add_scattered",
    "lower_inverse",
    "pack_fronts",
    "solve_fronts",
    "sparse_product",
    "sum_at",
]


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


@numba.njit(cache=True)
def lower_inverse(lower):
    inverse = np.zeros_like(lower)
    for i in range(len(lower)):
        row = inverse[i]
        for k in range(i):
            share, known = lower[i, k], inverse[k]
            for j in range(k + 1):
                row[j] -= share * known[j]
        row[:i] /= lower[i, i]
        row[i] = 1 / lower[i, i]
    return inverse


MOST_16_BITS = 32767
LANES = 8
"""Rows are filled up with zeros to a multiple of so many numbers, which the processor takes at once."""


def pack_fronts(own, later, rows):
    """Every row as whole numbers of 16 bits and one scale, without the zeros before its own place.

    Solving is a matter of reading the factor from memory, twice: this halves it, and reads one
    number after the other. The product of the two triangles stays symmetric and positive definite
    whatever is rounded in them. Columns of the inverse are scaled too: their size is another than
    that of what is beside them.
    """
    sizes = np.array([(len(mine), len(others)) for mine, others in zip(own, later, strict=True)])
    order = np.concatenate(own)
    numbers = np.zeros(sum(_room(*size) for size in sizes.tolist()), dtype=np.int16)
    column_scales, scales = np.zeros((2, len(order)), dtype=np.float32)
    at = first = 0
    for (width, others), front in zip(sizes.tolist(), rows, strict=True):
        mine = slice(first, first + width)
        _round_rows(front, column_scales[mine], numbers[at:], scales[mine])
        at, first = at + _room(width, others), first + width
    reached = np.argsort(order)[np.concatenate(later)]
    return order, sizes, reached, numbers, column_scales, scales


def solve_fronts(packed, right):
    return _solve(*packed, right)


@numba.njit(cache=True, inline="always")
def _filled(count):
    return (count + LANES - 1) // LANES * LANES


@numba.njit(cache=True)
def _room(width, others):
    room = 0
    for i in range(width):
        room += _filled(width - i + others)
    return room


@numba.njit(cache=True, fastmath=True)
def _round_rows(rows, column_scales, numbers, scales):
    width, length = rows.shape
    for i in range(width):
        for j in range(i, width):
            column_scales[j] = max(column_scales[j], abs(rows[i, j]))
    shares = np.ones(length, dtype=np.float32)
    shares[:width] /= column_scales
    at = 0
    for i in range(width):
        row = rows[i]
        most = np.float32(1e-30)
        for j in range(i, length):
            most = max(most, abs(row[j] * shares[j]))
        scales[i] = most / np.float32(MOST_16_BITS)
        share = np.float32(MOST_16_BITS) / most
        some = numbers[at:]
        for j in range(i, length):
            some[j - i] = np.int16(np.rint(row[j] * shares[j] * share))
        at += _filled(length - i)


@numba.njit(cache=True, fastmath={"reassoc", "contract"})
def _solve(order, sizes, reached, numbers, column_scales, scales, right):
    work = np.zeros(len(order), dtype=np.float32)
    for i in range(len(order)):
        work[i] = right[order[i]]
    # what a front reads or adds to: its own coordinates, the later ones, and zeros
    vector = np.zeros((sizes[:, 0] + sizes[:, 1]).max() + LANES, dtype=np.float32)
    at = at_own = at_later = 0
    for front in range(len(sizes)):
        width, others = sizes[front]
        vector[: width + others] = np.float32(0.0)
        for i in range(width):
            length = _filled(width - i + others)
            row, loads = numbers[at : at + length], vector[i : i + length]
            load = work[at_own + i] * scales[at_own + i]
            for j in range(length):
                loads[j] += load * np.float32(row[j])
            at += length
        for i in range(width):
            work[at_own + i] = vector[i] * column_scales[at_own + i]
        for i in range(others):
            work[reached[at_later + i]] += vector[width + i]
        at_own, at_later = at_own + width, at_later + others
    for front in range(len(sizes) - 1, -1, -1):
        width, others = sizes[front]
        at_own, at_later = at_own - width, at_later - others
        for i in range(width):
            vector[i] = work[at_own + i] * column_scales[at_own + i]
        for i in range(others):
            vector[width + i] = work[reached[at_later + i]]
        vector[width + others : width + others + LANES] = np.float32(0.0)
        for i in range(width - 1, -1, -1):
            length = _filled(width - i + others)
            at -= length
            row, known = numbers[at : at + length], vector[i : i + length]
            total = np.float32(0.0)
            for j in range(length):
                total += known[j] * np.float32(row[j])
            work[at_own + i] = total * scales[at_own + i]
    result = np.zeros(len(order))
    for i in range(len(order)):
        result[order[i]] = work[i]
    return result


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

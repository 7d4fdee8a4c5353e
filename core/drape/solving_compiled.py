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
AT_ONCE = 4
"""So many rows are read at once, and share what is read and written of the vector."""

LANES = 8
"""Rows are filled up to a multiple of so many numbers, which the processor takes together."""


def pack_fronts(own, later, rows):
    """Every row as whole numbers of 16 bits and one scale.

    Solving is a matter of reading the factor from memory, twice: this halves it. The product of
    the two triangles stays symmetric and positive definite whatever is rounded in them.

    A row begins where the first of the `AT_ONCE` rows read with it does. The inverse is taken as
    column by column it has the same largest number: its size is another than that beside it.
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
def _filled(count, multiple):
    return (count + multiple - 1) // multiple * multiple


@numba.njit(cache=True)
def _room(width, others):
    room = 0
    for first in range(0, width, AT_ONCE):
        room += AT_ONCE * _filled(_filled(width, AT_ONCE) + others - first, LANES)
    return room


@numba.njit(cache=True, fastmath=True)
def _round_rows(rows, column_scales, numbers, scales):
    width = len(rows)
    others = rows.shape[1] - width
    filled = _filled(width, AT_ONCE)
    for i in range(width):
        for j in range(i, width):
            column_scales[j] = max(column_scales[j], abs(rows[i, j]))
    shares = np.ones(rows.shape[1], dtype=np.float32)
    shares[:width] /= column_scales
    at = 0
    for i in range(width):
        first = i // AT_ONCE * AT_ONCE
        row = rows[i]
        most = np.float32(1e-30)
        for j in range(i, width + others):
            most = max(most, abs(row[j] * shares[j]))
        scales[i] = most / np.float32(MOST_16_BITS)
        share = np.float32(MOST_16_BITS) / most
        inverse, beside = numbers[at - first :], numbers[at - first + filled - width :]
        for j in range(i, width):
            inverse[j] = np.int16(np.rint(row[j] * shares[j] * share))
        for j in range(width, width + others):
            beside[j] = np.int16(np.rint(row[j] * share))
        at += _filled(filled + others - first, LANES)


@numba.njit(cache=True, fastmath={"reassoc", "contract"})
def _solve(order, sizes, reached, numbers, column_scales, scales, right):
    work = np.zeros(len(order), dtype=np.float32)
    for i in range(len(order)):
        work[i] = right[order[i]]
    most = (sizes[:, 0] + sizes[:, 1]).max() + AT_ONCE + LANES
    vector, loads = np.zeros(most, dtype=np.float32), np.zeros(most, dtype=np.float32)
    at = at_own = at_later = 0
    for front in range(len(sizes)):
        width, others = sizes[front]
        filled = _filled(width, AT_ONCE)
        for i in range(filled + others):
            loads[i] = np.float32(0.0)
        for i in range(width, filled):
            vector[i] = np.float32(0.0)
        for i in range(width):
            vector[i] = work[at_own + i] * scales[at_own + i]
        for first in range(0, width, AT_ONCE):
            length = _filled(filled + others - first, LANES)
            one, two = numbers[at : at + length], numbers[at + length : at + 2 * length]
            at += 2 * length
            three, four = numbers[at : at + length], numbers[at + length : at + 2 * length]
            at += 2 * length
            total = loads[first:]
            a, b, c, d = vector[first], vector[first + 1], vector[first + 2], vector[first + 3]
            for i in range(length):
                total[i] += a * np.float32(one[i]) + b * np.float32(two[i])
                total[i] += c * np.float32(three[i]) + d * np.float32(four[i])
        for i in range(width):
            work[at_own + i] = loads[i] * column_scales[at_own + i]
        for i in range(others):
            work[reached[at_later + i]] += loads[filled + i]
        at_own, at_later = at_own + width, at_later + others
    for front in range(len(sizes) - 1, -1, -1):
        width, others = sizes[front]
        filled = _filled(width, AT_ONCE)
        at_own, at_later = at_own - width, at_later - others
        for i in range(width):
            vector[i] = work[at_own + i] * column_scales[at_own + i]
        for i in range(width, filled):
            vector[i] = np.float32(0.0)
        for i in range(others):
            vector[filled + i] = work[reached[at_later + i]]
        for i in range(filled + others, filled + others + LANES):
            vector[i] = np.float32(0.0)
        for first in range(filled - AT_ONCE, -1, -AT_ONCE):
            length = _filled(filled + others - first, LANES)
            at -= 2 * length
            three, four = numbers[at : at + length], numbers[at + length : at + 2 * length]
            at -= 2 * length
            one, two = numbers[at : at + length], numbers[at + length : at + 2 * length]
            part = vector[first:]
            a = b = c = d = np.float32(0.0)
            for i in range(length):
                a += part[i] * np.float32(one[i])
                b += part[i] * np.float32(two[i])
                c += part[i] * np.float32(three[i])
                d += part[i] * np.float32(four[i])
            loads[first], loads[first + 1], loads[first + 2], loads[first + 3] = a, b, c, d
        for i in range(width):
            work[at_own + i] = loads[i] * scales[at_own + i]
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

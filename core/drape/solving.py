# SPDX-License-Identifier: GPL-3.0-or-later
"""The inner passes of the drape's linear equations: pure functions on arrays, in array code.

``solving_compiled`` holds the same functions for machines with Numba, with rows of 16 bits in the
fronts. A test holds each to the other.
"""

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import FloatArray, IntArray
from .sums import sum_at

__all__ = [
    "add_scattered",
    "lower_inverse",
    "pack_fronts",
    "solve_fronts",
    "sparse_product",
    "sum_at",
]

SingleArray = NDArray[np.float32]

DIRECT_SIZE = 48


def add_scattered(whole: FloatArray, places: IntArray, part: FloatArray) -> None:
    """Add a square part (k, k) to rows and columns ``places`` (k,) of a square whole."""
    rows = np.zeros((len(places), len(whole)), dtype=part.dtype)
    rows[:, places] = part
    whole[places] += rows


def lower_inverse(lower: SingleArray) -> SingleArray:
    """Inverse of a lower triangular matrix, by halves: nearly all of it is products."""
    size = len(lower)
    if size <= DIRECT_SIZE:
        direct: SingleArray = np.linalg.inv(lower)
        return direct
    half = size // 2
    first, second = lower_inverse(lower[:half, :half]), lower_inverse(lower[half:, half:])
    inverse = np.zeros_like(lower)
    inverse[:half, :half] = first
    inverse[half:, half:] = second
    inverse[half:, :half] = -(second @ lower[half:, :half]) @ first
    return inverse


def pack_fronts(
    own: list[IntArray], later: list[IntArray], rows: list[SingleArray]
) -> tuple[Any, ...]:
    """Eliminated fronts in the form that `solve_fronts` reads.

    Of each front, in the order of elimination: its own coordinates (w,), the later ones (l,) that
    it touches, and a row (w, w + l) for each of its own: the upper triangular transpose of the
    inverse of its Cholesky factor, and beside it, negative, how loads on it go over to the later ones.
    """
    order = np.concatenate(own)
    place = np.argsort(order)
    reached = [place[np.concatenate(pair)] for pair in zip(own, later, strict=True)]
    ends = np.cumsum([len(mine) for mine in own]).tolist()
    mine = [slice(*pair) for pair in pairwise([0, *ends])]
    return order, place, list(zip(mine, reached, rows, strict=True))


def solve_fronts(packed: tuple[Any, ...], right: FloatArray) -> FloatArray:
    """Solve the equations of `pack_fronts` for one right-hand side, in single precision."""
    order, place, fronts = packed
    work = right[order].astype(np.float32)
    for mine, reached, rows in fronts:
        loads = work[mine] @ rows
        work[mine] = 0.0
        work[reached] = loads + work[reached]
    for mine, reached, rows in reversed(fronts):
        work[mine] = rows @ work[reached]
    solution: FloatArray = work[place].astype(np.float64)
    return solution


def sparse_product(
    starts: IntArray, columns: IntArray, values: FloatArray, vectors: FloatArray
) -> FloatArray:
    """Product of a matrix in rows with vectors (n, 3).

    Row i holds ``values[starts[i]:starts[i + 1]]`` at ``columns`` of the same places; none is
    empty.
    """
    result = np.zeros_like(vectors)
    for axis, along in enumerate(vectors.T.copy()):
        products = np.take(along, columns, mode="clip")
        products *= values
        result[:, axis] = np.add.reduceat(products, starts[:-1])
    return result

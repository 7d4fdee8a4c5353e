# SPDX-License-Identifier: GPL-3.0-or-later
"""The inner passes of the drape's linear equations: pure functions on arrays, in array code.

``solving_compiled`` holds the same functions for machines with Numba, with rows of 16 bits in the
fronts. A test holds each to the other.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import FloatArray, IntArray
from .sums import sum_at

__all__ = ["add_scattered", "pack_fronts", "solve_fronts", "sparse_product", "sum_at"]

SingleArray = NDArray[np.float32]


def add_scattered(whole: FloatArray, places: IntArray, part: FloatArray) -> None:
    """Add a square part (k, k) to rows and columns ``places`` (k,) of a square whole."""
    rows = np.zeros((len(places), len(whole)), dtype=part.dtype)
    rows[:, places] = part
    whole[places] += rows


def pack_fronts(
    own: list[IntArray],
    later: list[IntArray],
    inverses: list[SingleArray],
    links: list[SingleArray],
) -> tuple[Any, ...]:
    """Eliminated fronts in the form that `solve_fronts` reads.

    Of each front, in the order of elimination: its own coordinates (w,) and the later ones (l,)
    that it touches, the lower triangular inverse (w, w) of its Cholesky factor and that factor's
    rows (l, w) for the later ones.
    """
    return own, later, inverses, links


def solve_fronts(packed: tuple[Any, ...], right: FloatArray) -> FloatArray:
    """Solve the equations of `pack_fronts` for one right-hand side, in single precision."""
    own, later, inverses, links = packed
    work = right.astype(np.float32)
    for mine, others, inverse, link in zip(own, later, inverses, links, strict=True):
        part = inverse @ work[mine]
        work[mine] = part
        work[others] -= link @ part
    for mine, others, inverse, link in reversed(list(zip(*packed, strict=True))):
        work[mine] = (work[mine] - work[others] @ link) @ inverse
    return work.astype(np.float64)


def sparse_product(
    starts: IntArray, columns: IntArray, values: FloatArray, vectors: FloatArray
) -> FloatArray:
    """Product of a matrix in rows with vectors (n, 3).

    Row i holds ``values[starts[i]:starts[i + 1]]`` at ``columns`` of the same places; none is
    empty.
    """
    axes = [np.add.reduceat(values * axis[columns], starts[:-1]) for axis in vectors.T.copy()]
    return np.stack(axes, axis=1)

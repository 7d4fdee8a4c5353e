# SPDX-License-Identifier: GPL-3.0-or-later
"""A symmetric sparse matrix on NumPy alone."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from .backend import chosen
from .sums import sum_at

__all__ = ["SymmetricMatrix"]

Triplets = tuple[IntArray, IntArray, FloatArray]


@dataclass(frozen=True, slots=True)
class SymmetricMatrix:
    """Rows one after the other: row i has ``values`` and ``columns`` (k,) from ``starts[i]`` on.

    ``starts`` (n + 1,) ends with k. No row is empty.
    """

    starts: IntArray
    columns: IntArray
    values: FloatArray

    @classmethod
    def of_triplets(cls, size: int, *parts: Triplets) -> "SymmetricMatrix":
        """Sum repeated entries of (rows, columns, values) parts into an n × n matrix."""
        diagonal = np.arange(size)
        rows = np.concatenate([diagonal, *(part[0] for part in parts)])
        columns = np.concatenate([diagonal, *(part[1] for part in parts)])
        values = np.concatenate([np.zeros(size), *(part[2] for part in parts)])
        key, place = np.unique(rows * size + columns, return_inverse=True)
        summed = sum_at(place.ravel(), values, len(key))
        starts = np.searchsorted(key, size * np.arange(size + 1))
        return cls(starts, chosen("passes").laid_out(key % size), summed)

    def __matmul__(self, vectors: FloatArray) -> FloatArray:
        """Product with (n, 3) vectors."""
        result: FloatArray = chosen("solving").sparse_product(
            self.starts, self.columns, self.values, vectors
        )
        return result

    def entries(self) -> Triplets:
        """Rows, columns and values."""
        rows = np.repeat(np.arange(len(self.starts) - 1), np.diff(self.starts))
        return rows, self.columns.astype(np.int64), self.values

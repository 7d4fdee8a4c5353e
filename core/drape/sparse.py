# SPDX-License-Identifier: GPL-3.0-or-later
"""A symmetric sparse matrix on NumPy alone."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from .passes import chosen

__all__ = ["SymmetricMatrix"]

Triplets = tuple[IntArray, IntArray, FloatArray]


@dataclass(frozen=True, slots=True)
class SymmetricMatrix:
    """Rows padded to one width: `columns` (n, w) and `values` (n, w), zeros where unused."""

    columns: IntArray
    values: FloatArray

    @classmethod
    def of_triplets(cls, size: int, *parts: Triplets) -> "SymmetricMatrix":
        """Sum repeated entries of (rows, columns, values) parts into an n × n matrix."""
        rows = np.concatenate([part[0] for part in parts])
        columns = np.concatenate([part[1] for part in parts])
        values = np.concatenate([part[2] for part in parts])
        key, place = np.unique(rows * size + columns, return_inverse=True)
        summed = np.bincount(place.ravel(), values, minlength=len(key))
        row, column = key // size, key % size
        counts = np.bincount(row, minlength=size)
        slot = np.arange(len(key)) - np.repeat(np.cumsum(counts) - counts, counts)
        width = max(int(counts.max(initial=0)), 1)
        padded_columns = np.repeat(np.arange(size)[:, None], width, axis=1)
        padded_values = np.zeros((size, width))
        padded_columns[row, slot] = column
        padded_values[row, slot] = summed
        return cls(padded_columns, padded_values)

    def __matmul__(self, vectors: FloatArray) -> FloatArray:
        """Product with (n, 3) vectors."""
        result: FloatArray = chosen().sparse_product(self.columns, self.values, vectors)
        return result

    def entries(self) -> Triplets:
        """Rows, columns and values, padding left out."""
        used = self.values != 0
        rows = np.repeat(np.arange(len(self.columns)), used.sum(axis=1))
        return rows, self.columns[used], self.values[used]

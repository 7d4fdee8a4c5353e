# SPDX-License-Identifier: GPL-3.0-or-later
"""Sums of values that belong to the same place, in a fixed order; products of many vectors."""

import numpy as np

from ..arrays import FloatArray, IntArray

__all__ = ["dots", "lengths", "sum_at", "vectors_at"]


def sum_at(places: IntArray, values: FloatArray, size: int) -> FloatArray:
    """Sum of values (k,) at each of `size` places."""
    return np.asarray(np.bincount(places, values, minlength=size), dtype=np.float64)


def vectors_at(places: IntArray, vectors: FloatArray, size: int) -> FloatArray:
    """Sum of vectors (k, d) at each of `size` places, (size, d)."""
    sums = np.zeros((size, vectors.shape[1]))
    for axis, values in enumerate(vectors.T):
        sums[:, axis] = sum_at(places, values, size)
    return sums


def dots(first: FloatArray, second: FloatArray) -> FloatArray:
    """Scalar products (k,) of vectors (k, d)."""
    products: FloatArray = np.einsum("kd,kd->k", first, second)
    return products


def lengths(vectors: FloatArray) -> FloatArray:
    """Lengths (k,) of vectors (k, d)."""
    result: FloatArray = np.sqrt(dots(vectors, vectors))
    return result

# SPDX-License-Identifier: GPL-3.0-or-later
"""Rectangular test strips of near-equilateral triangles, rows along or across the strip."""

import numpy as np
from napfold.core.arrays import FloatArray, IntArray


def strip(
    length_m: float, width_m: float, edge_m: float, *, rows_across: bool = False
) -> tuple[FloatArray, IntArray]:
    """Flat positions (n, 2), x along the strip, and counter-clockwise triangles (t, 3)."""
    if rows_across:
        flat, triangles = strip(width_m, length_m, edge_m)
        return flat[:, ::-1].copy(), triangles[:, [0, 2, 1]]
    columns = round(length_m / edge_m)
    step = length_m / columns
    count = max(2, round(width_m / (step * np.sqrt(3) / 2)))
    even = np.arange(columns + 1) * step
    odd = np.concatenate([[0.0], (np.arange(columns) + 0.5) * step, [length_m]])
    rows = [odd if row % 2 else even for row in range(count + 1)]
    starts = np.cumsum([0] + [len(row) for row in rows])
    flat = np.concatenate(
        [
            np.stack([row, np.full(len(row), index * width_m / count)], axis=1)
            for index, row in enumerate(rows)
        ]
    )
    triangles = []
    for index in range(count):
        low, high = starts[index], starts[index + 1]
        last_low, last_high = high - 1, starts[index + 2] - 1
        while low < last_low or high < last_high:
            forward = high == last_high or (
                low < last_low
                and flat[low + 1, 0] - flat[high, 0] <= flat[high + 1, 0] - flat[low, 0]
            )
            if forward:
                triangles.append((low, low + 1, high))
                low += 1
            else:
                triangles.append((low, high + 1, high))
                high += 1
    return flat, np.array(triangles)

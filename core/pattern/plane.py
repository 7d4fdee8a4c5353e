# SPDX-License-Identifier: GPL-3.0-or-later
"""Points and directions on the flat pattern."""

import math

__all__ = ["Point", "signed", "unit"]

Point = tuple[float, float]


def signed(point: Point, x_sign: int, v_sign: int) -> Point:
    """The mirror image over the centre line and the fold, where the signs are negative."""
    # no negative zeros
    return x_sign * point[0] + 0.0, v_sign * point[1] + 0.0


def unit(vector: Point) -> Point:
    """A vector's direction, of length 1."""
    length = math.hypot(*vector)
    return vector[0] / length, vector[1] / length

# SPDX-License-Identifier: GPL-3.0-or-later
"""A cubic curve: the piece of an outline that is neither a line nor an arc."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from ..arrays import FloatArray
from .plane import Point, signed, unit

__all__ = ["Cubic"]

_leggauss: Callable[[int], Any] = np.polynomial.legendre.leggauss
_NODES, _WEIGHTS = _leggauss(32)
_PANELS = 8
"""Gauss-Legendre nodes in each of so many equal parts: a pattern's cubics come out to 1e-15 m."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cubic:
    """A cubic curve in Bézier's form: it leaves ``start`` towards ``first``, and arrives from ``last``."""

    start: Point
    first: Point
    last: Point
    end: Point
    kind: Literal["cubic"] = "cubic"

    def _points(self) -> FloatArray:
        return np.array([self.start, self.first, self.last, self.end])

    @property
    def directions(self) -> tuple[Point, Point]:
        """Unit tangents at start and end."""
        return (
            unit((self.first[0] - self.start[0], self.first[1] - self.start[1])),
            unit((self.end[0] - self.last[0], self.end[1] - self.last[1])),
        )

    def place(self, share: FloatArray) -> FloatArray:
        """Points (n, 2) at shares (n,) of the curve's own parameter, 0 to 1."""
        t = np.asarray(share, float)[:, None]
        weights = np.concatenate(
            [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3], axis=1
        )
        points: FloatArray = weights @ self._points()
        points[t[:, 0] <= 0] = self.start
        points[t[:, 0] >= 1] = self.end
        return points

    def _speed(self, share: FloatArray) -> FloatArray:
        """Arc length per parameter, metres."""
        t = np.asarray(share, float)[..., None]
        steps = 3 * np.diff(self._points(), axis=0)
        slope = (1 - t) ** 2 * steps[0] + 2 * t * (1 - t) * steps[1] + t**2 * steps[2]
        speed: FloatArray = np.sqrt((slope**2).sum(axis=-1))
        return speed

    def _length_to(self, share: FloatArray) -> FloatArray:
        """Arc length (n,) from the start to parameters (n,)."""
        begins = np.arange(_PANELS) / _PANELS
        half = share[:, None, None] / _PANELS / 2
        nodes = share[:, None, None] * begins[:, None] + half * (1 + _NODES)
        length: FloatArray = (half * self._speed(nodes) * _WEIGHTS).sum(axis=(1, 2))
        return length

    @property
    def length_m(self) -> float:
        return float(self._length_to(np.ones(1))[0])

    def reversed(self) -> "Cubic":
        """The same piece walked the other way."""
        return Cubic(start=self.end, first=self.last, last=self.first, end=self.start)

    def mirrored(self, x_sign: int, v_sign: int) -> "Cubic":
        """The mirror image over the centre line and the fold, where the signs are negative."""
        start, first, last, end = (
            signed(point, x_sign, v_sign) for point in (self.start, self.first, self.last, self.end)
        )
        return Cubic(start=start, first=first, last=last, end=end)

    def until(self, share: float) -> "Cubic":
        """The part from the start to a share of the curve's own parameter."""
        points = self._points()
        rows = [points[0]]
        # de Casteljau: the first control points at every step
        while len(points) > 1:
            points = (1 - share) * points[:-1] + share * points[1:]
            rows.append(points[0])
        first, last, end = ((float(x), float(v)) for x, v in rows[1:])
        return Cubic(start=self.start, first=first, last=last, end=end)

    @property
    def swept_area_m2(self) -> float:
        """Signed area swept from the origin, ½∫(x dv - v dx), in closed form."""
        (x0, v0), (x1, v1), (x2, v2), (x3, v3) = self.start, self.first, self.last, self.end
        pairs = (
            6 * (x0 * v1 - x1 * v0)
            + 3 * (x0 * v2 - x2 * v0)
            + (x0 * v3 - x3 * v0)
            + 3 * (x1 * v2 - x2 * v1)
            + 3 * (x1 * v3 - x3 * v1)
            + 6 * (x2 * v3 - x3 * v2)
        )
        return pairs / 20

    def at(self, distance_m: FloatArray) -> FloatArray:
        """Points (n, 2) at distances (n,) along the piece, both in metres."""
        distance = np.asarray(distance_m, float)
        length = self.length_m
        share = np.clip(distance / length, 0.0, 1.0)
        for _ in range(60):
            error = self._length_to(share) - distance
            share = np.clip(share - error / self._speed(share), 0.0, 1.0)
            if np.all(np.abs(error) < 1e-14):
                break
        points = self.place(share)
        points[distance <= 0] = self.start
        points[distance >= length] = self.end
        return points

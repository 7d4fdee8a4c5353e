# SPDX-License-Identifier: GPL-3.0-or-later
"""Implicit shapes that the body is put together from.

A shape gives, for points, a value that is negative inside, zero on its surface and near the
distance to the surface in metres close to it. Shapes are joined by a smooth minimum, which
rounds the joint like flesh over a bone.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from ..arrays import FloatArray

__all__ = [
    "CLEAR_M",
    "Held",
    "Loft",
    "Plate",
    "Relief",
    "Reliefs",
    "Shape",
    "Union",
    "flowing_curve",
    "make_loft",
    "monotone_curve",
    "natural_curve",
    "ramp",
    "smooth_minimum",
]

TABLE_STEP_M = 0.002
SMALLEST = 1e-9
OVER_MIDDLE = 1.2  # of its radius across: up to there a relief may reach over the mirror plane
CLEAR_M = 0.10  # farther than any joint is round
Curve = Callable[[FloatArray, FloatArray, FloatArray], FloatArray]
STEEPEST = 3.0  # taper (m per m) up to which a loft's field follows distance
FLOW_M = 0.011  # standard deviation of the bell that evens out a flowing curve


class Shape(Protocol):
    """Anything with a field over space."""

    def field(self, points: FloatArray) -> FloatArray:
        """Field (n,) in metres at ``points`` (n, 3)."""
        ...


def ramp(value: FloatArray) -> FloatArray:
    """0 below 0, 1 above 1, smooth between."""
    t = np.clip(value, 0.0, 1.0)
    result: FloatArray = t * t * (3.0 - 2.0 * t)
    return result


def smooth_minimum(
    first: FloatArray, second: FloatArray, radius_m: float | FloatArray
) -> FloatArray:
    """Minimum of two fields, rounded over about ``radius_m`` where they meet.

    Quadratic polynomial form: equal fields are joined ``radius_m / 4`` outside of both.
    """
    near = np.maximum(radius_m - np.abs(first - second), 0.0)
    result: FloatArray = np.minimum(first, second) - near * near / (4.0 * radius_m)
    return result


def monotone_curve(stations: FloatArray, values: FloatArray, at: FloatArray) -> FloatArray:
    """Smooth curve through ``values`` (m, c) at ``stations`` (m,) that makes no new extremes.

    Piecewise cubic with the slopes of Fritsch and Carlson (1980), weighted as by Fritsch and
    Butland (1984). Outside the stations the end values are kept.
    """
    step = np.diff(stations)[:, None]
    slope = np.diff(values, axis=0) / step
    before, after = slope[:-1], slope[1:]
    weight_before = 2.0 * step[1:] + step[:-1]
    weight_after = step[1:] + 2.0 * step[:-1]
    same = before * after > 0.0
    safe_before = np.where(same, before, 1.0)
    safe_after = np.where(same, after, 1.0)
    mean = (weight_before + weight_after) / (
        weight_before / safe_before + weight_after / safe_after
    )
    tangent = np.concatenate([slope[:1], np.where(same, mean, 0.0), slope[-1:]])
    at = np.clip(at, stations[0], stations[-1])
    cell = np.clip(np.searchsorted(stations, at, side="right") - 1, 0, len(stations) - 2)
    width = step[cell]
    t = (at - stations[cell])[:, None] / width
    result: FloatArray = (
        (1.0 + 2.0 * t) * (1.0 - t) ** 2 * values[cell]
        + t * (1.0 - t) ** 2 * width * tangent[cell]
        + t * t * (3.0 - 2.0 * t) * values[cell + 1]
        + t * t * (t - 1.0) * width * tangent[cell + 1]
    )
    return result


def flowing_curve(
    stations: FloatArray, values: FloatArray, at: FloatArray, flow_m: float = FLOW_M
) -> FloatArray:
    """The monotone curve, evened out: it keeps near the values and turns nowhere sharply.

    ``at`` must be evenly spaced. The curve is the mean of the monotone one under a bell of
    standard deviation ``flow_m``.
    """
    step = float(at[1] - at[0])
    reach = int(np.ceil(3.0 * flow_m / step))
    bell = np.exp(-0.5 * (np.arange(-reach, reach + 1) * step / flow_m) ** 2)
    bell /= bell.sum()
    beyond = step * np.arange(1, reach + 1)
    wide = np.concatenate([at[0] - beyond[::-1], at, at[-1] + beyond])
    raw = monotone_curve(stations, values, wide)
    return np.stack([np.convolve(column, bell, mode="valid") for column in raw.T], axis=1)


def natural_curve(stations: FloatArray, values: FloatArray, at: FloatArray) -> FloatArray:
    """Natural cubic spline (continuous curvature) through ``values`` (m, c); ends as above."""
    step = np.diff(stations)
    count = len(stations)
    matrix = np.eye(count)
    right = np.zeros((count, values.shape[1]))
    inner = np.arange(1, count - 1)
    matrix[inner, inner - 1] = step[:-1] / 6.0
    matrix[inner, inner] = (step[:-1] + step[1:]) / 3.0
    matrix[inner, inner + 1] = step[1:] / 6.0
    slope = np.diff(values, axis=0) / step[:, None]
    right[1:-1] = np.diff(slope, axis=0)
    bend = np.linalg.solve(matrix, right)
    at = np.clip(at, stations[0], stations[-1])
    cell = np.clip(np.searchsorted(stations, at, side="right") - 1, 0, count - 2)
    width = step[cell][:, None]
    b = (at - stations[cell])[:, None] / width
    a = 1.0 - b
    result: FloatArray = (
        a * values[cell]
        + b * values[cell + 1]
        + ((a**3 - a) * bend[cell] + (b**3 - b) * bend[cell + 1]) * width**2 / 6.0
    )
    return result


@dataclass(frozen=True, slots=True)
class Loft:
    """Superellipse sections along a straight axis.

    The section at ``s`` along the axis is ``|u/a|^n + |v/d|^n = 1`` about its centre, where the
    depth ``d`` differs on both sides of the centre (front and back). Ends are flat; let the
    sections shrink for a rounded end, or give the start a cap: half a superellipsoid of that
    length.
    """

    origin: FloatArray  # (3,)
    axes: FloatArray  # (3, 3): directions of u, v and s
    start_m: float
    step_m: float
    table: FloatArray  # (m, 6): centre u, centre v, half breadth, front depth, back depth, n
    cap_m: float = 0.0

    @property
    def reach_m(self) -> float:
        """How far it reaches in the direction of u."""
        return float((self.table[:, 0] + self.table[:, 2]).max())

    def field(self, points: FloatArray) -> FloatArray:
        local = (points - self.origin) @ self.axes.T
        length = self.step_m * (len(self.table) - 1)
        along = local[:, 2] - self.start_m
        position = np.clip(along / self.step_m, 0.0, len(self.table) - 1.000001)
        row = position.astype(np.int64)
        t = (position - row)[:, None]
        low, high = self.table[row], self.table[row + 1]
        centre_u, centre_v, a, front, back, n = (low + t * (high - low)).T
        rate = ((high - low) / self.step_m).T
        u, v = local[:, 0] - centre_u, local[:, 1] - centre_v
        is_front = v < 0.0
        d = np.where(is_front, front, back)
        d_rate = np.where(is_front, rate[3], rate[4])
        x = np.maximum(np.abs(u) / a, SMALLEST)
        y = np.maximum(np.abs(v) / d, SMALLEST)
        x_power, y_power = x ** (n - 1.0), y ** (n - 1.0)
        total = x_power * x + y_power * y
        if self.cap_m > 0.0:
            cap = np.maximum(-along / self.cap_m, 0.0)
            cap_power = cap ** (n - 1.0)
            total = total + cap_power * cap
        g = total ** (1.0 / n)
        outer = g / total
        slope_u = outer * x_power / a
        slope_v = outer * y_power / d
        # along the axis as on the surface (g = 1): far away the sections' taper says little
        slope_s = (outer / np.maximum(g, SMALLEST)) * (
            x_power * (x * rate[2] + np.sign(u) * rate[0]) / a
            + y_power * (y * d_rate + np.sign(v) * rate[1]) / d
        )
        beyond = np.maximum(-along, along - length)
        across = slope_u**2 + slope_v**2
        if self.cap_m > 0.0:
            beyond = along - length
            across = across + (outer * cap_power / self.cap_m) ** 2
        slope_s = np.where(
            (along < 0.0) | (beyond > 0.0), 0.0, np.minimum(slope_s**2, STEEPEST**2 * across)
        )
        side = (g - 1.0) / np.sqrt(across + slope_s + SMALLEST)
        outside = np.hypot(np.maximum(side, 0.0), np.maximum(beyond, 0.0))
        result: FloatArray = outside + np.minimum(np.maximum(side, beyond), 0.0)
        return result


def make_loft(
    stations: FloatArray,
    sections: FloatArray,
    origin: FloatArray | Sequence[float] = (0.0, 0.0, 0.0),
    axes: FloatArray | None = None,
    curve: Curve = monotone_curve,
    cap_m: float = 0.0,
) -> Loft:
    """Loft through sections.

    Parameters
    ----------
    stations
        (m,) increasing positions along the axis, m.
    sections
        (m, 6): centre u, front v, back v, half breadth, exponent n, and the share of the depth
        that lies in front of the widest place.
    origin, axes
        Where u = v = s = 0 lies, and the directions (3, 3) of u, v and s; the world's by default.
    curve
        ``flowing_curve`` for the outlines of a body, ``monotone_curve`` for ends that round off.
    cap_m
        Length of a rounded cap before the start; 0 for a flat start.
    """
    count = max(int(np.ceil((stations[-1] - stations[0]) / TABLE_STEP_M)), 2) + 1
    at = np.linspace(stations[0], stations[-1], count)
    centre_u, front, back, a, n, share = curve(stations, sections, at).T
    depth = back - front
    table = np.stack(
        [centre_u, front + share * depth, a, share * depth, (1.0 - share) * depth, n], axis=1
    )
    return Loft(
        np.asarray(origin, dtype=np.float64),
        np.eye(3) if axes is None else axes,
        float(stations[0]),
        float(at[1] - at[0]),
        table,
        cap_m,
    )


@dataclass(frozen=True, slots=True)
class Plate:
    """A flat shape with round edges: all points within the half thickness of a flat outline."""

    origin: FloatArray  # (3,)
    axes: FloatArray  # (3, 3): directions of u (through the plate), v (across) and s (along)
    stations: FloatArray  # (m,) increasing from 0, m
    table: FloatArray  # (m, 3): centre u, half breadth of the flat outline, half thickness

    def field(self, points: FloatArray) -> FloatArray:
        u, v, s = ((points - self.origin) @ self.axes.T).T
        centre, half, thick = (np.interp(s, self.stations, column) for column in self.table.T)
        beyond = np.maximum(-s, s - self.stations[-1])
        across, along = np.maximum(np.abs(v) - half, 0.0), np.maximum(beyond, 0.0)
        result: FloatArray = np.sqrt((u - centre) ** 2 + across**2 + along**2) - thick
        return result


@dataclass(frozen=True, slots=True)
class Relief:
    """A soft rise (or, with a negative height, a dip) of the surface.

    It takes its height off a body's field: full at ``centre``, nothing from one radius on, with
    level tangents at both. ``axes`` (rows) point across, outwards and up. What lies outside of
    the centre's plane counts as in it, so a high relief has the outline of a low one.
    """

    centre: FloatArray  # (3,)
    radii: FloatArray  # (4,): across, inwards, down and up
    axes: FloatArray  # (3, 3)
    height_m: float
    fullness: float = 0.8  # 0: a bell; 1: a dome

    def mirrored(self) -> "Relief":
        """The same on the other side."""
        other = np.array([-1.0, 1.0, 1.0])
        return replace(self, centre=self.centre * other, axes=self.axes * other)

    def height(self, points: FloatArray) -> FloatArray:
        """Height (n,) of this one rise at points (n, 3), m."""
        return Reliefs.of((self,)).height(points)


@dataclass(frozen=True, slots=True)
class Reliefs:
    """Many reliefs, summed up; those beside the mirror plane also stand on its other side.

    Points have x >= 0, so of the other side's reliefs only those count that reach over the plane.
    """

    centre: FloatArray  # (k, 3)
    radii: FloatArray  # (k, 4)
    axes: FloatArray  # (k, 3, 3)
    height_m: FloatArray  # (k,)
    fullness: FloatArray  # (k,)
    reach: FloatArray  # (k, 2): how far below and above the centre it may be felt

    @classmethod
    def of(cls, reliefs: Sequence[Relief]) -> "Reliefs":
        """All of these, as they are."""
        radii = np.stack([relief.radii for relief in reliefs])
        axes = np.stack([relief.axes for relief in reliefs])
        height = np.array([relief.height_m for relief in reliefs])
        lean = np.abs(axes[:, 2, :2]).sum(axis=1) * radii[:, :2].max(axis=1)
        return cls(
            np.stack([relief.centre for relief in reliefs]),
            radii,
            axes,
            height,
            np.array([relief.fullness for relief in reliefs]),
            radii[:, 2:] + (lean + np.abs(height))[:, None],
        )

    @classmethod
    def on_both_sides(cls, reliefs: Sequence[Relief]) -> "Reliefs":
        """These, and the mirror images of those that reach over the middle."""
        beside = [r for r in reliefs if SMALLEST < r.centre[0] < OVER_MIDDLE * r.radii[0]]
        return cls.of((*reliefs, *(relief.mirrored() for relief in beside)))

    def height(self, points: FloatArray) -> FloatArray:
        """Height (n,) at points (n, 3), m."""
        rise = points[:, 2:] - self.centre[:, 2]
        at, which = np.nonzero((rise > -self.reach[:, 0]) & (rise < self.reach[:, 1]))
        offset = points[at] - self.centre[which]
        u, v, w = np.einsum("pij,pj->ip", self.axes[which], offset)
        across, inwards, down, up = self.radii[which].T
        square = (
            (u / across) ** 2
            + (np.minimum(v, 0.0) / inwards) ** 2
            + (w / np.where(w < 0.0, down, up)) ** 2
        )
        rest = np.maximum(1.0 - square, 0.0)
        height = self.height_m[which] * rest * rest * (1.0 + self.fullness[which] * square)
        result: FloatArray = np.bincount(at, height, len(points)).astype(np.float64)
        return result


@dataclass(frozen=True, slots=True)
class Held:
    """A shape in a ball: at points well clear of the ball their distance to it will do."""

    shape: Shape
    centre: FloatArray  # (3,)
    radius_m: float

    def field(self, points: FloatArray) -> FloatArray:
        offset = points - self.centre
        result: FloatArray = np.sqrt((offset**2).sum(axis=1)) - self.radius_m
        near = np.flatnonzero(result < CLEAR_M)
        result[near] = self.shape.field(points[near])
        return result


@dataclass(frozen=True, slots=True)
class Union:
    """Shapes joined one after the other; ``radii_m[i]`` rounds the joint of shape i + 1."""

    shapes: tuple[Shape, ...]
    radii_m: tuple[float, ...]

    def field(self, points: FloatArray) -> FloatArray:
        result = self.shapes[0].field(points)
        for shape, radius in zip(self.shapes[1:], self.radii_m, strict=True):
            result = smooth_minimum(result, shape.field(points), radius)
        return result

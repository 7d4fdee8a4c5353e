# SPDX-License-Identifier: GPL-3.0-or-later
"""The cut (a maker's choices) and the flat pattern that follows from it.

Flat coordinates in metres: x across the cloth, positive to the wearer's left; v along the cloth,
0 at the shoulder fold, negative on the front half, positive on the back half. Both layers of the
garment are cut alike. Curves are exact (circle and ellipse), so lengths and areas carry no
sampling error.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from types import MappingProxyType
from typing import Literal

import numpy as np

from .arrays import FloatArray
from .nap import NapDown
from .units import require_range

__all__ = ["Arc", "Cut", "Edge", "Front", "Line", "Neck", "Pattern", "build_pattern"]

Point = tuple[float, float]

# Least sizes that can be sewn and turned, in metres: a sleeve or side shorter than this is a bulge
LEAST_SLEEVE_M = 0.05
LEAST_SIDE_M = 0.05
LEAST_SHOULDER_M = 0.05
LEAST_LENGTH_M = 0.6


class Neck(StrEnum):
    """Named necklines; all are round behind, and differ in front of the fold."""

    ROUND = "round"
    V = "V"


class Front(StrEnum):
    """How the two fronts meet."""

    EDGE_TO_EDGE = "edge to edge"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The choices that make the flat pattern, all lengths in metres.

    Parameters
    ----------
    cloth_width_m
        Usable width of the cloth, wrist to wrist.
    length_m
        Bought length; the fold over the shoulders halves it into front and back.
    body_width_m
        Full flat width of the body part, side seam to side seam.
    sleeve_drop_m
        Depth kept below the fold for the sleeve; the sleeve's flat circumference is twice this.
    corner_radius_m
        Radius of the rounded inner corner under the arm.
    neck, neck_width_m, neck_front_depth_m, neck_back_depth_m
        Neckline on the fold: its style, full width on the fold, depth in front and behind.
    front
        How the fronts meet along the centre front cut.
    nap
        Down which half the nap strokes smooth, in both layers.

    Raises
    ------
    RangeError
        A length is outside what can be cut, with the range that the other choices leave.
    """

    cloth_width_m: float
    length_m: float
    body_width_m: float
    sleeve_drop_m: float
    corner_radius_m: float = 0.10
    neck: Neck = Neck.ROUND
    neck_width_m: float = 0.18
    neck_front_depth_m: float = 0.09
    neck_back_depth_m: float = 0.025
    front: Front = Front.EDGE_TO_EDGE
    nap: NapDown = NapDown.IN_FRONT

    def __post_init__(self) -> None:
        half = self.length_m / 2
        sleeve = (self.cloth_width_m - self.body_width_m) / 2
        side = half - self.sleeve_drop_m
        # In this order each range only uses values that have passed
        for name, low_m, high_m, remedy in (
            ("cloth_width", 0.6, 3.2, "write the usable width of the bolt"),
            ("length", LEAST_LENGTH_M, 4.0, "write the length you would buy, before folding"),
            (
                "body_width",
                0.3,
                self.cloth_width_m - 2 * LEAST_SLEEVE_M,
                "keep the body narrower than the cloth, so that a sleeve is left on each side",
            ),
            (
                "sleeve_drop",
                0.08,
                half - LEAST_SIDE_M,
                "make the sleeve drop less than half the length, or buy a longer piece",
            ),
            (
                "corner_radius",
                0.01,
                min(sleeve, side),
                "make the corner small enough for the sleeve and the side that it joins",
            ),
            (
                "neck_width",
                0.10,
                min(0.40, self.body_width_m - 2 * LEAST_SHOULDER_M),
                "keep the neck opening narrower than the body, so that it rests on the shoulders",
            ),
            (
                "neck_front_depth",
                0.02,
                min(0.40, half - LEAST_SIDE_M),
                "keep the neck opening above the hem",
            ),
            (
                "neck_back_depth",
                0.01,
                min(0.20, half - LEAST_SIDE_M),
                "keep the back neck shallow, so that the wrap stays on the shoulders",
            ),
        ):
            value_m: float = getattr(self, f"{name}_m")
            require_range(f"cut.{name}", value_m, low_m, high_m, remedy, quantity="length")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A straight piece of an edge, end points (x, v) in metres."""

    start: Point
    end: Point
    kind: Literal["line"] = "line"

    @property
    def length_m(self) -> float:
        return math.dist(self.start, self.end)

    def reversed(self) -> "Line":
        """The same piece walked the other way."""
        return replace(self, start=self.end, end=self.start)

    @property
    def swept_area_m2(self) -> float:
        """Signed area swept from the origin, ½∫(x dv - v dx)."""
        return (self.start[0] * self.end[1] - self.end[0] * self.start[1]) / 2

    def at(self, distance_m: FloatArray) -> FloatArray:
        """Points (n, 2) at distances (n,) along the piece, both in metres."""
        fraction = (np.asarray(distance_m, float) / self.length_m)[:, None]
        # two-sided weights give both end points exactly
        points: FloatArray = (1 - fraction) * np.array(self.start) + fraction * np.array(self.end)
        return points


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A piece of an ellipse with axes along x and v (a circle when they are equal).

    Parameters
    ----------
    centre
        (x, v) in metres.
    radius_x_m, radius_v_m
        Semi-axes.
    start_angle, end_angle
        Eccentric angles in radians; the point at t is centre + (radius_x cos t, radius_v sin t).
    start, end
        The end points, given exactly so that neighbouring pieces share them to the last bit.
    """

    centre: Point
    radius_x_m: float
    radius_v_m: float
    start_angle: float
    end_angle: float
    start: Point
    end: Point
    kind: Literal["arc"] = "arc"

    def _speed(self, angle: FloatArray) -> FloatArray:
        """Arc length per eccentric angle in metres."""
        speed: FloatArray = np.hypot(
            self.radius_x_m * np.sin(angle), self.radius_v_m * np.cos(angle)
        )
        return speed

    def _length_to(self, angle: FloatArray) -> FloatArray:
        """Arc length (n,) from the start to the angles (n,).

        The speed is a cosine series in twice the angle whose terms fall as (|a - b|/(a + b))^k for
        semi-axes a and b, and is integrated term by term; 1024 samples leave far less than a
        nanometre for axes of up to 1 : 20.
        """
        samples = 1024
        series = np.fft.rfft(self._speed(np.arange(samples) * math.pi / samples)).real / samples
        twice = 2 * np.arange(1, len(series))
        waves = np.sin(np.outer(angle, twice)) - np.sin(self.start_angle * twice)
        length = series[0] * (angle - self.start_angle) + waves @ (2 * series[1:] / twice)
        result: FloatArray = np.abs(length)
        return result

    @property
    def length_m(self) -> float:
        if self.radius_x_m == self.radius_v_m:
            return abs(self.end_angle - self.start_angle) * self.radius_x_m
        return float(self._length_to(np.array([self.end_angle]))[0])

    def reversed(self) -> "Arc":
        """The same piece walked the other way."""
        return replace(
            self,
            start_angle=self.end_angle,
            end_angle=self.start_angle,
            start=self.end,
            end=self.start,
        )

    @property
    def swept_area_m2(self) -> float:
        """Signed area swept from the origin, ½∫(x dv - v dx), in closed form."""
        sector = self.radius_x_m * self.radius_v_m * (self.end_angle - self.start_angle)
        dx, dv = self.end[0] - self.start[0], self.end[1] - self.start[1]
        return (sector + self.centre[0] * dv - self.centre[1] * dx) / 2

    def at(self, distance_m: FloatArray) -> FloatArray:
        """Points (n, 2) at distances (n,) along the piece, both in metres."""
        distance = np.asarray(distance_m, float)
        length = self.length_m
        turn = math.copysign(1.0, self.end_angle - self.start_angle)
        angle = self.start_angle + (self.end_angle - self.start_angle) * distance / length
        if self.radius_x_m != self.radius_v_m:
            low = np.full_like(distance, min(self.start_angle, self.end_angle))
            high = np.full_like(distance, max(self.start_angle, self.end_angle))
            # Newton's method on a monotone function, kept inside the arc
            for _ in range(60):
                error = self._length_to(angle) - distance
                step = turn * error / self._speed(angle)
                angle = np.clip(angle - step, low, high)
                if np.all(np.abs(error) < 1e-14):
                    break
        points: FloatArray = np.stack(
            [
                self.centre[0] + self.radius_x_m * np.cos(angle),
                self.centre[1] + self.radius_v_m * np.sin(angle),
            ],
            axis=1,
        )
        points[distance <= 0] = self.start
        points[distance >= length] = self.end
        return points


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A named edge of the pattern: pieces end to end, in order round the outline."""

    name: str
    pieces: tuple[Line | Arc, ...]

    @property
    def start(self) -> Point:
        return self.pieces[0].start

    @property
    def end(self) -> Point:
        return self.pieces[-1].end

    @property
    def length_m(self) -> float:
        return math.fsum(piece.length_m for piece in self.pieces)

    def at(self, distance_m: FloatArray) -> FloatArray:
        """Points (n, 2) at distances (n,) from the edge's start, both in metres."""
        distance = np.asarray(distance_m, float)
        ends = np.cumsum([piece.length_m for piece in self.pieces])
        index = np.minimum(np.searchsorted(ends, distance, side="left"), len(self.pieces) - 1)
        points = np.zeros((len(distance), 2))
        for number, piece in enumerate(self.pieces):
            here = index == number
            if here.any():
                points[here] = piece.at(distance[here] - (ends[number] - piece.length_m))
        return points


@dataclass(frozen=True, slots=True)
class Pattern:
    """The flat outline of one layer: named edges end to end, counter-clockwise in (x, v).

    The edges in order are ``hem_front_left``, ``underarm_front_left``, ``sleeve_end_left``,
    ``underarm_back_left``, ``hem_back``, ``underarm_back_right``, ``sleeve_end_right``,
    ``underarm_front_right``, ``hem_front_right``, ``front_right``, ``neck``, ``front_left``.
    The two front edges lie on each other at x = 0: that is the cut down the centre front. Left is
    the wearer's left. No piece of an edge crosses x = 0 or v = 0.
    """

    cut: Cut
    edges: Mapping[str, Edge]

    @property
    def area_m2(self) -> float:
        """Area of one layer in square metres, in closed form (Green's theorem)."""
        return math.fsum(
            piece.swept_area_m2 for edge in self.edges.values() for piece in edge.pieces
        )

    @property
    def outline_length_m(self) -> float:
        """Length of the outline of one layer in metres, both front edges counted."""
        return math.fsum(edge.length_m for edge in self.edges.values())


def build_pattern(cut: Cut) -> Pattern:
    """Draw the flat outline of one layer."""
    hem, drop = cut.length_m / 2, cut.sleeve_drop_m
    wrist, side, radius = cut.cloth_width_m / 2, cut.body_width_m / 2, cut.corner_radius_m
    neck = cut.neck_width_m / 2

    def underarm(x_sign: int, v_sign: int) -> tuple[Line | Arc, ...]:
        """From the hem, round the inner corner, to the sleeve end."""
        # The arc's eccentric angle on the front left runs from 180 to 90 degrees
        start = math.pi if x_sign > 0 else 0.0
        pieces: list[Line | Arc] = []
        low = (x_sign * side, v_sign * (drop + radius))
        high = (x_sign * (side + radius), v_sign * drop)
        if drop + radius < hem:
            pieces.append(Line(start=(low[0], v_sign * hem), end=low))
        pieces.append(
            Arc(
                centre=(high[0], low[1]),
                radius_x_m=radius,
                radius_v_m=radius,
                start_angle=start,
                end_angle=start + x_sign * v_sign * math.pi / 2,
                start=low,
                end=high,
            )
        )
        if side + radius < wrist:
            pieces.append(Line(start=high, end=(x_sign * wrist, high[1])))
        return tuple(pieces)

    def neck_quarter(x_sign: int, v_sign: int) -> Line | Arc:
        """From the centre line to the fold."""
        depth = cut.neck_front_depth_m if v_sign < 0 else cut.neck_back_depth_m
        if v_sign < 0 and cut.neck is Neck.V:
            return Line(start=(0.0, -depth), end=(x_sign * neck, 0.0))
        start = v_sign * math.pi / 2
        return Arc(
            centre=(0.0, 0.0),
            radius_x_m=neck,
            radius_v_m=depth,
            start_angle=start,
            end_angle=start - x_sign * v_sign * math.pi / 2,
            start=(0.0, v_sign * depth),
            end=(x_sign * neck, 0.0),
        )

    def straight(*points: Point) -> tuple[Line, ...]:
        return tuple(Line(start=start, end=end) for start, end in pairwise(points))

    centre_hem, centre_neck = (0.0, -hem), (0.0, -cut.neck_front_depth_m)
    edges = {
        "hem_front_left": straight(centre_hem, (side, -hem)),
        "underarm_front_left": underarm(1, -1),
        "sleeve_end_left": straight((wrist, -drop), (wrist, 0.0), (wrist, drop)),
        "underarm_back_left": _reverse(underarm(1, 1)),
        "hem_back": straight((side, hem), (0.0, hem), (-side, hem)),
        "underarm_back_right": underarm(-1, 1),
        "sleeve_end_right": straight((-wrist, drop), (-wrist, 0.0), (-wrist, -drop)),
        "underarm_front_right": _reverse(underarm(-1, -1)),
        "hem_front_right": straight((-side, -hem), centre_hem),
        "front_right": straight(centre_hem, centre_neck),
        "neck": (
            neck_quarter(-1, -1),
            *_reverse((neck_quarter(-1, 1),)),
            neck_quarter(1, 1),
            *_reverse((neck_quarter(1, -1),)),
        ),
        "front_left": straight(centre_neck, centre_hem),
    }
    return Pattern(
        cut,
        MappingProxyType({name: Edge(name=name, pieces=pieces) for name, pieces in edges.items()}),
    )


def _reverse(pieces: tuple[Line | Arc, ...]) -> tuple[Line | Arc, ...]:
    """The same pieces walked the other way."""
    return tuple(piece.reversed() for piece in reversed(pieces))

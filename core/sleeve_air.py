# SPDX-License-Identifier: GPL-3.0-or-later
"""The air in a sleeve, and how deep the sleeve hangs below a level forearm."""

import math
from dataclasses import dataclass

import numpy as np

from .arrays import FloatArray
from .drape import Drape
from .mannequin.measuring import hull_girth
from .sections import level_crossing, plane_axes, segment_lengths
from .sleeve_room import (
    Arm,
    Side,
    arm_coordinate,
    corner_across_m,
    faces_beyond,
    fold_marks,
    loop_round,
    sewn,
)

__all__ = ["DIPS_M", "SleeveAir", "SleeveHang", "flat_hang_m", "sleeve_air", "sleeve_hang"]

DIPS_M = 0.08
"""A sleeve that hangs deeper below the forearm than this is cautioned of: it dips into a cup, and
into a candle's flame, before the hand that reaches over them does. Our own choice."""

SECTIONS = 16
TURNS_M = 0.04
"""Planes across the arm turn with it from so far before the elbow to so far behind it."""

LEVEL_SLOPE = math.sin(math.radians(45.0))


@dataclass(frozen=True, slots=True)
class SleeveAir:
    """Air between arm and sleeve.

    Attributes
    ----------
    air_m3
        Volume inside the lining less the arm, cubic metres.
    from_shoulder_m, length_m
        Where along the arm it begins, and over how much of the arm it was summed, metres: from the
        corner under the arm, where it lies over the arm, to the sleeve's end or the knuckles.
    """

    air_m3: float
    from_shoulder_m: float
    length_m: float

    @property
    def litres(self) -> float:
        """The same in litres."""
        return 1000.0 * self.air_m3


@dataclass(frozen=True, slots=True)
class SleeveHang:
    """How deep the outer cloth hangs below the underside of the forearm.

    Attributes
    ----------
    below_m
        Metres; the deepest place.
    measured
        Whether the forearm lay level enough (within 45 degrees) for it to be measured; otherwise
        it is the estimate of `flat_hang_m`.
    """

    below_m: float
    measured: bool


def sleeve_air(drape: Drape, side: Side) -> SleeveAir | None:
    """Sum what lies between lining and arm in sections across the arm.

    ``None`` where none goes round the arm. Sections are even steps of the arm's axis; at a bent
    elbow the planes turn with it.
    """
    arm = Arm.of(drape.body, side)
    across, fold = fold_marks(drape, side, arm.joints)
    if not len(across):
        return None
    first_m, last_m = float(fold[0]), min(float(fold[-1]), float(arm.marks_m[3]))
    if last_m <= first_m:
        return None
    step_m = (last_m - first_m) / SECTIONS
    marks = np.asarray(first_m + (np.arange(SECTIONS) + 0.5) * step_m, dtype=np.float64)
    rings_m = np.interp(marks, fold, across)
    points = arm.on_axis(marks)
    ways = arm.on_axis(marks + TURNS_M) - arm.on_axis(np.maximum(marks - TURNS_M, 0.0))
    free = [
        _free_area_m2(drape, side, ring_m, point, way / np.linalg.norm(way))
        for ring_m, point, way in zip(rings_m, points, ways, strict=True)
    ]
    found = [(mark, area) for mark, area in zip(marks, free, strict=True) if area is not None]
    if not found:
        return None
    return SleeveAir(
        air_m3=math.fsum(area for _, area in found) * step_m,
        from_shoulder_m=float(found[0][0] - step_m / 2),
        length_m=len(found) * step_m,
    )


def _free_area_m2(
    drape: Drape, side: Side, ring_m: float, point: FloatArray, along: FloatArray
) -> float | None:
    """Area between the lining's inside and the arm, seen along the arm.

    On a plane across the arm, or where that leaves the sleeve in the ring of cloth over the place.
    """
    axes, body = plane_axes(along), drape.body
    skin = loop_round(
        level_crossing((body.vertices - point) @ along, body.triangles), body.vertices, point, axes
    )
    corner_m = corner_across_m(drape, side)
    sleeve = sewn(drape)[faces_beyond(drape, side, corner_m)]
    half = sewn(drape)[faces_beyond(drape, side, 0.0)]
    lines = (
        level_crossing((drape.lining - point) @ along, sleeve),
        level_crossing(np.abs(drape.panel.flat[:, 0]) - ring_m, half),
    )
    loops = (loop_round(line, drape.lining, point, axes) for line in lines)
    loop = next((loop for loop in loops if loop is not None), None)
    if skin is None or loop is None:
        return None
    cloth = (loop.points(drape.lining) - point) @ axes.T
    half_m = drape.stand_off_m
    girth_m = float(segment_lengths(cloth).sum())
    lining_m2 = _area_m2(cloth) - half_m * girth_m + math.pi * half_m**2
    return max(lining_m2 - _area_m2((skin.points(body.vertices) - point) @ axes.T), 0.0)


def _area_m2(segments: FloatArray) -> float:
    """Area inside a closed bag of directed segments (k, 2, 2)."""
    start, end = segments[:, 0], segments[:, 1]
    return float(abs((start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]).sum()) / 2)


def sleeve_hang(drape: Drape, side: Side) -> SleeveHang:
    """How deep the sleeve hangs below the forearm, between elbow and knuckles."""
    arm = Arm.of(drape.body, side)
    elbow, wrist, knuckles = arm.marks_m[1:]
    bend, hand = arm.joints[1:3]
    flat = drape.panel.flat
    slope = abs(float(hand[2] - bend[2])) / float(np.linalg.norm(hand - bend))
    radii = [_radius_m(drape, arm, mark) for mark in (elbow + 0.25 * (wrist - elbow), wrist)]
    if slope > LEVEL_SLOPE:
        end = np.sort(np.abs(flat[drape.panel.edges[f"sleeve_end_{side}"], 1]))
        depth_m = float(end[-1] - end[0])
        thickness_m = drape.outer_cloth.thickness_m / 2 + drape.lining_cloth.thickness_m
        return SleeveHang(flat_hang_m(depth_m, max(radii) + thickness_m), measured=False)
    sign = 1.0 if side == "left" else -1.0
    places = drape.outer[sign * flat[:, 0] > corner_across_m(drape, side)]
    marks = arm_coordinate(places, arm.joints)
    over = (marks > elbow) & (marks < knuckles)
    radius = np.interp(marks[over], [elbow, wrist], radii)
    under = arm.on_axis(marks[over])[:, 2] - radius
    depth = under - places[over, 2]
    return SleeveHang(float(depth.max(initial=0.0)), measured=True)


def flat_hang_m(depth_m: float, radius_m: float) -> float:
    """How deep a sleeve of this flat depth would hang below a level forearm, metres.

    Its girth, twice its depth, goes over the upper half of a round arm and straight down on both
    sides (geometry: an estimate of the hang).
    """
    return max(depth_m - math.pi * radius_m / 2 - radius_m, 0.0)


def _radius_m(drape: Drape, arm: Arm, mark_m: float) -> float:
    """Radius of the bare arm at a place, metres: its tape girth over 2 pi."""
    points = arm.on_axis(np.array([mark_m - TURNS_M, mark_m, mark_m + TURNS_M]))
    along = (points[2] - points[0]) / np.linalg.norm(points[2] - points[0])
    axes = plane_axes(along)
    body = drape.body
    crossing = level_crossing((body.vertices - points[1]) @ along, body.triangles)
    loop = loop_round(crossing, body.vertices, points[1], axes)
    if loop is None:
        return 0.04
    skin = loop.points(body.vertices)
    return hull_girth(((skin - points[1]) @ axes.T).reshape(-1, 2)) / (2 * math.pi)

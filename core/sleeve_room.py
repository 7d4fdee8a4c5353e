# SPDX-License-Identifier: GPL-3.0-or-later
"""The room that a sleeve leaves round an arm, and where the sleeve ends on it."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from .arrays import BoolArray, FloatArray, IntArray
from .drape import Drape
from .least_room import bulk_in_sleeve_m
from .mannequin import PosedBody
from .mannequin.measuring import hull_girth
from .mannequin.place_finder import PlaceFinder
from .sections import (
    Crossing,
    closed_round,
    distance_to_segments,
    level_crossing,
    plane_axes,
    segment_lengths,
    smoothed_lengths,
    weighted_quantile,
    winding,
)

__all__ = [
    "SIDES",
    "STATIONS",
    "Arm",
    "RoomLines",
    "Side",
    "SleeveRoom",
    "Station",
    "arm_coordinate",
    "corner_across_m",
    "corner_vertex",
    "faces_beyond",
    "fold_marks",
    "loop_round",
    "room_lines",
    "sewn",
    "sleeve_room",
    "sleeve_start_m",
]

Side = Literal["left", "right"]
SIDES: tuple[Side, ...] = ("left", "right")
Taken = Literal["across the arm", "along the cloth"]
Station = Literal["upper arm", "elbow", "forearm", "wrist"]
STATIONS: tuple[Station, ...] = ("upper arm", "elbow", "forearm", "wrist")
ARM_JOINTS = ("shoulder", "elbow", "wrist", "knuckles")


@dataclass(frozen=True, slots=True, kw_only=True)
class SleeveRoom:
    """Room between arm and sleeve at one place along the arm.

    Attributes
    ----------
    arm_girth_m
        A tape round the bare arm there, metres.
    inner_girth_m
        Round the inside of the sleeve, metres, as far as the outer lets it: its middle surface less
        what both layers take (`bulk_in_sleeve_m`).
    extra_girth_m
        ``inner_girth_m - arm_girth_m``.
    smallest_gap_m, median_gap_m
        Clear distance from the skin to the inside of the sleeve, metres: the smallest, and the
        one that half of the way round the arm has at least. About zero where the sleeve rests on
        the arm, negative where the mesh runs inside the skin.
    taken
        ``across the arm``: on a plane across the arm. ``along the cloth``: that plane leaves the
        sleeve and runs into the body of the garment (the arm hangs, the underarm is low), so the
        ring of cloth over that place is measured instead, seen along the arm; where that place
        lies within the rounded corner, the first ring beyond it, which is the narrowest. The clear
        distance is then the one to the nearest lining, whichever way.
    """

    arm_girth_m: float
    inner_girth_m: float
    extra_girth_m: float
    smallest_gap_m: float
    median_gap_m: float
    taken: Taken


@dataclass(frozen=True, slots=True)
class Arm:
    """Joints (4, 3) from shoulder to knuckles, metres."""

    joints: FloatArray

    @classmethod
    def of(cls, body: PosedBody, side: Side) -> "Arm":
        return cls(np.stack([body.joints[f"{joint}_{side}"] for joint in ARM_JOINTS]))

    def on_axis(self, marks_m: FloatArray) -> FloatArray:
        """Points (k, 3) on the arm's axis at distances (k,) from the shoulder; straight on past
        the knuckles."""
        marks, joints = self.marks_m, self.joints
        last = np.clip(np.searchsorted(marks, marks_m, side="right") - 1, 0, len(marks) - 2)
        step = joints[last + 1] - joints[last]
        share = (marks_m - marks[last]) / (marks[last + 1] - marks[last])
        return np.asarray(joints[last] + share[:, None] * step)

    @property
    def marks_m(self) -> FloatArray:
        """Distance of each joint from the shoulder along the arm (4,), metres."""
        steps = np.linalg.norm(np.diff(self.joints, axis=0), axis=1)
        return np.concatenate([[0.0], np.cumsum(steps)])

    def at(self, station: Station) -> tuple[FloatArray, FloatArray, float]:
        """Point on the arm's axis (3,), direction along the arm (3,), distance from the shoulder.

        The upper arm is taken half way from shoulder to elbow; the elbow across the line from
        shoulder to wrist; the forearm half way from elbow to wrist; the wrist across the forearm.
        """
        shoulder, elbow, wrist, _ = self.joints
        marks = self.marks_m
        match station:
            case "upper arm":
                point, along, mark = (shoulder + elbow) / 2, elbow - shoulder, marks[1] / 2
            case "elbow":
                point, along, mark = elbow, wrist - shoulder, marks[1]
            case "forearm":
                point, along = (elbow + wrist) / 2, wrist - elbow
                mark = (marks[1] + marks[2]) / 2
            case "wrist":
                point, along, mark = wrist, wrist - elbow, marks[2]
        return point, along / np.linalg.norm(along), float(mark)


def arm_coordinate(points: FloatArray, joints: FloatArray) -> FloatArray:
    """Distance along the arm (n,) of the place on its axis nearest to each point (n, 3), metres.

    ``joints`` (4, 3) runs from the shoulder to the knuckles; the axis goes on straight past both
    ends.
    """
    start, step = joints[:-1], np.diff(joints, axis=0)
    length = np.linalg.norm(step, axis=1)
    share = ((points[:, None] - start) * step).sum(axis=-1) / length**2
    last = len(start) - 1
    low = np.where(np.arange(len(start)) == 0, -np.inf, 0.0)
    high = np.where(np.arange(len(start)) == last, np.inf, 1.0)
    share = np.clip(share, low, high)
    gap = points[:, None] - (start + share[..., None] * step)
    best = np.argmin((gap**2).sum(axis=-1), axis=1)
    marks = np.concatenate([[0.0], np.cumsum(length)])
    return np.asarray(marks[best] + share[np.arange(len(points)), best] * length[best])


def corner_across_m(drape: Drape, side: Side) -> float:
    """Flat distance |x| of the inner corner from the centre, metres: sleeve beyond it."""
    return float(abs(drape.panel.flat[corner_vertex(drape, side), 0]))


def corner_vertex(drape: Drape, side: Side) -> int:
    """Vertex in the middle of the inner corner under the arm: half of its turn lies before it."""
    chain, turned, start = _underarm(drape, side)
    away = np.abs(turned[: start + 1] - turned[start + 1] / 2)
    middle = np.flatnonzero(away <= away.min() + _ALIKE)
    return int(chain[middle[len(middle) // 2]])


def sleeve_start_m(drape: Drape, side: Side) -> float:
    """Flat distance |x|, metres, from which on the underarm runs straight out."""
    chain, _, start = _underarm(drape, side)
    return float(abs(drape.panel.flat[chain[start], 0]))


_ALIKE, _STRAIGHT = 0.01, 1e-3
"""Turns, in radians, that are alike; that are none."""


def _underarm(drape: Drape, side: Side) -> tuple[IntArray, FloatArray, int]:
    """Vertices (k,) from the hem up the side and out to the sleeve's end; how far the line has turned
    outwards at each (k,), radians, half of the vertex' own turn counted; and at which the corner ends.

    A tapered sleeve turns once more where its cuff begins: that is no corner.
    """
    chain = np.asarray(drape.panel.edges[f"underarm_front_{side}"])
    places = np.abs(drape.panel.flat[chain])
    # the right side's chain runs the other way
    if places[0, 0] > places[-1, 0]:
        chain, places = chain[::-1], places[::-1]
    steps = np.diff(places, axis=0)
    way = np.unwrap(np.arctan2(steps[:, 0], -steps[:, 1]))
    turns = np.concatenate([[0.0], np.diff(way), [0.0]])
    turned = np.cumsum(turns) - turns / 2
    past_half = np.flatnonzero((turned + turns / 2)[:-1] > turned.max() / 2 + _ALIKE)
    straight = turns[past_half + 1] < _STRAIGHT
    return chain, turned, int(past_half[np.argmax(straight)])


def sewn(drape: Drape) -> IntArray:
    """Triangles (t, 3) of one layer with the underarm seams closed: back vertices become front."""
    vertex = np.arange(len(drape.panel.flat))
    vertex[drape.panel.seam_pairs[:, 1]] = drape.panel.seam_pairs[:, 0]
    return np.asarray(vertex[drape.panel.triangles], dtype=np.int64)


def faces_beyond(drape: Drape, side: Side, across_m: float) -> BoolArray:
    across = drape.panel.flat[drape.panel.triangles, 0].mean(axis=1)
    sign = 1.0 if side == "left" else -1.0
    return np.asarray(sign * across > across_m)


def fold_marks(drape: Drape, side: Side, joints: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Along the fold or seam over one sleeve: flat distance |x| and distance along the arm, metres.

    Both (k,), from the corner under the arm on to the sleeve's end.
    """
    panel = drape.panel
    seam = panel.edges.get(f"shoulder_front_{side}")
    if seam is None:
        fold = level_crossing(panel.flat[:, 1], panel.triangles)
        sign = 1.0 if side == "left" else -1.0
        across = sign * fold.points(panel.flat)[..., 0].reshape(-1)
        top = fold.points(drape.lining).reshape(-1, 3)
    else:
        across, top = np.abs(panel.flat[seam, 0]), drape.lining[seam]
    order = np.argsort(across)
    across, along = across[order], arm_coordinate(top[order], joints)
    corner_m = corner_across_m(drape, side)
    beyond = across > corner_m
    if not beyond.any():
        return across[beyond], along[beyond]
    at_corner_m = np.interp(corner_m, across, along)
    return (
        np.concatenate([[corner_m], across[beyond]]),
        np.concatenate([[at_corner_m], along[beyond]]),
    )


@dataclass(frozen=True, slots=True)
class RoomLines:
    """Arm and lining at a station: segments (k, 2, 3) and (c, 2, 3), and the plane across the arm.

    ``outer_m`` is the length round the outer there; ``taken`` as in `SleeveRoom`.
    """

    skin: FloatArray
    cloth: FloatArray
    outer_m: float
    taken: Taken
    point: FloatArray
    axes: FloatArray


def room_lines(drape: Drape, side: Side, station: Station) -> RoomLines | None:
    """Where `sleeve_room` measures; ``None`` where the sleeve ends before it."""
    arm = Arm.of(drape.body, side)
    point, along, mark_m = arm.at(station)
    across, fold_mark = fold_marks(drape, side, arm.joints)
    if not len(across) or fold_mark[np.argmax(across)] < mark_m:
        return None
    axes = plane_axes(along)
    body = drape.body
    skin = loop_round(
        level_crossing((body.vertices - point) @ along, body.triangles), body.vertices, point, axes
    )
    if skin is None:
        return None
    triangles, layers = sewn(drape), (drape.lining, drape.outer)
    ring_m = max(float(np.interp(mark_m, fold_mark, across)), sleeve_start_m(drape, side))
    outward = np.abs(drape.panel.flat[:, 0]) - ring_m
    # how taken, each layer's distance from the line, and how far from the centre its cloth counts
    ways: tuple[tuple[Taken, list[FloatArray], float], ...] = (
        (
            "across the arm",
            [(layer - point) @ along for layer in layers],
            corner_across_m(drape, side),
        ),
        ("along the cloth", [outward, outward], 0.0),
    )
    for taken, levels, beyond_m in ways:
        kept = triangles[faces_beyond(drape, side, beyond_m)]
        lining, outer = (
            loop_round(level_crossing(level, kept), layer, point, axes)
            for level, layer in zip(levels, layers, strict=True)
        )
        if lining is not None and outer is not None:
            return RoomLines(
                skin=skin.points(body.vertices),
                cloth=lining.points(drape.lining),
                # on the cut, front and back of the seam lie on each other when folded
                outer_m=float(
                    smoothed_lengths(
                        outer.points(drape.outer), outer.points(np.abs(drape.panel.flat))
                    ).sum()
                ),
                taken=taken,
                point=point,
                axes=axes,
            )
    return None


def sleeve_room(drape: Drape, side: Side, station: Station) -> SleeveRoom | None:
    """Measure the room in one sleeve at one station; ``None`` where the sleeve ends before it.

    The lining's middle surface is cut by a plane across the arm, and so is the arm; see
    ``SleeveRoom`` for what is measured and for the case in which the plane leaves the sleeve.
    """
    lines = room_lines(drape, side, station)
    if lines is None:
        return None
    skin, cloth, point, axes = lines.skin, lines.cloth, lines.point, lines.axes
    girth_m = hull_girth(((skin - point) @ axes.T).reshape(-1, 2))
    bulk_m = bulk_in_sleeve_m(drape.outer_cloth.thickness_m, drape.lining_cloth.thickness_m)
    inner_m = lines.outer_m - bulk_m
    if lines.taken == "across the arm":
        gap, share = _clear_distance((skin - point) @ axes.T, (cloth - point) @ axes.T)
    else:
        gap, share = (
            _distance_from(drape.lining, sewn(drape), skin.mean(axis=1)),
            segment_lengths(skin),
        )
    gap = gap - drape.stand_off_m
    return SleeveRoom(
        arm_girth_m=girth_m,
        inner_girth_m=inner_m,
        extra_girth_m=inner_m - girth_m,
        smallest_gap_m=float(gap.min()),
        median_gap_m=weighted_quantile(gap, share, 0.5),
        taken=lines.taken,
    )


def loop_round(
    crossing: Crossing, positions: FloatArray, point: FloatArray, axes: FloatArray
) -> Crossing | None:
    """The shortest closed line that, seen along the arm, goes round it."""
    segments = crossing.points(positions)
    loops = closed_round(crossing, (segments - point) @ axes.T, np.zeros(2))
    return crossing.where(loops[0][1]) if loops else None


def _clear_distance(skin: FloatArray, cloth: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Distance (k,) from each piece of skin (k, 2, 2) to the cloth (c, 2, 2), and its length (k,).

    Negative where the skin lies outside the cloth.
    """
    middle = skin.mean(axis=1)
    enclosed = np.abs(winding(cloth, middle).sum(axis=1)) > 0.5
    gap = distance_to_segments(middle, cloth)
    return np.where(enclosed, gap, -gap), segment_lengths(skin)


def _distance_from(surface: FloatArray, triangles: IntArray, points: FloatArray) -> FloatArray:
    """Distance (k,) of points (k, 3) from triangles."""
    found = PlaceFinder(surface, triangles).closest(points)
    return np.asarray(np.sqrt(found.search.square)[found.back])

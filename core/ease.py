# SPDX-License-Identifier: GPL-3.0-or-later
"""Ease: garment girth against body girth at bust, waist and hip, and the gap between the fronts."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from .arrays import FloatArray, IntArray
from .body_levels import trunk_is_upright
from .drape import Drape
from .sections import level_crossing, segment_lengths
from .sleeve_room import SIDES, Side, corner_vertex

__all__ = ["LEVELS", "SITTING_TAKES_M", "Ease", "Level", "ease"]

Level = Literal["bust", "waist", "hip"]
LEVELS: tuple[Level, ...] = ("bust", "waist", "hip")

SITTING_TAKES_M: dict[Level, tuple[float, float]] = {"waist": (0.02, 0.05), "hip": (0.04, 0.07)}
"""What the body's girth grows when it sits down, least and most, metres: habits of the trade (an
estimate; hips are 34 to 45 mm broader sitting in the ANSUR survey of 2012). The mannequin's flesh
does not give, so this cannot be measured on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ease:
    """Garment girth against body girth at one level.

    Attributes
    ----------
    body_girth_m
        The wearer's girth (ISO 8559-1) from the tape, metres.
    garment_girth_m
        The cloth all round at that level as it was cut, metres, open fronts closed by the straight gap.
    front_gap_m
        That gap, metres; negative where the fronts overlap.
    ease_m
        ``garment_girth_m - body_girth_m``, metres.
    room_m
        ``ease_m`` less what the lining's own thickness takes all round (2 pi times the
        stand-off), metres.
    taken
        ``hung``: on a level plane through the drape. ``flat``: the rounded corner under the arm
        hangs below this level, so that arms and trunk share the room; then twice the flat width
        of the body part stands for the girth, as the trade measures a top under its armholes.
    """

    body_girth_m: float
    garment_girth_m: float
    front_gap_m: float | None
    ease_m: float
    room_m: float
    taken: Literal["hung", "flat"]


def ease(drape: Drape, level: Level, body_girth_m: float) -> Ease | None:
    """Compare garment and body at a level; ``None`` if part of the hem hangs above it.

    Also ``None`` if the trunk leans by more than 20 degrees: level planes then cut it aslant.

    The garment's girth is the cloth all round at that height, so folds count with their full length,
    and the gap between the fronts. See ``Ease`` for the flat rule where the plane lies above the corner.
    """
    flat, edges = drape.panel.flat, drape.panel.edges
    height_m = float(drape.body.landmarks[level][2])
    hem_vertices = np.concatenate(
        [edges["hem_back"], edges["hem_front_left"], edges["hem_front_right"]]
    )
    if drape.lining[hem_vertices, 2].max() > height_m or not trunk_is_upright(drape):
        return None
    gap_m: float | None = None
    taken: Literal["hung", "flat"] = "flat"
    girth_m = sum(2.0 * float(np.abs(flat[_underarm(drape, side), 0]).min()) for side in SIDES)
    if all(drape.lining[corner_vertex(drape, side), 2] > height_m for side in SIDES):
        gap_m = _front_gap_m(drape, height_m)
    if gap_m is not None:
        taken = "hung"
        girth_m = _across_m(drape, height_m) + gap_m
    return Ease(
        body_girth_m=body_girth_m,
        garment_girth_m=girth_m,
        front_gap_m=gap_m,
        ease_m=girth_m - body_girth_m,
        room_m=girth_m - body_girth_m - 2.0 * math.pi * drape.stand_off_m,
        taken=taken,
    )


def _across_m(drape: Drape, height_m: float) -> float:
    """How far it is across the cloth all round at a height, front edge to front edge, metres.

    From edge to side seam and back to back on the cut: a level plane cuts cloth that hangs aslant,
    in folds or near a corner in lines that depend on how it happens to hang.
    """
    edges = drape.panel.edges
    width_m = 0.0
    for side, sign in zip(SIDES, (1.0, -1.0), strict=True):
        seam = _lowest_at(drape, _underarm(drape, side), height_m)
        width_m += 2.0 * abs(float(seam[0][0])) if seam else 0.0
        front = _lowest_at(drape, edges[f"front_{side}"], height_m) if _is_open(drape) else None
        width_m -= sign * float(front[0][0]) if front else 0.0
    return width_m


def _underarm(drape: Drape, side: Side) -> IntArray:
    return np.asarray(drape.panel.edges[f"underarm_front_{side}"])


def _is_open(drape: Drape) -> bool:
    """Whether the wrap opens in front."""
    return "front_left" in drape.panel.edges


def _front_gap_m(drape: Drape, height_m: float) -> float | None:
    """How far the front edges are apart at a height, round the body; negative if they overlap.

    Measured along the level line at right angles to the way from the garment's middle to the
    middle between the edges: one front lying deeper than the other is no gap, and a gap that closes
    goes through zero. ``None`` where an edge does not reach that height. Where an edge folds and
    crosses it more than once, `_lowest_at` says where. A closed front has no gap.
    """
    if not _is_open(drape):
        return 0.0
    places = [_lowest_at(drape, drape.panel.edges[f"front_{side}"], height_m) for side in SIDES]
    if places[0] is None or places[1] is None:
        return None
    left, right = places[0][1], places[1][1]
    forwards = (left + right)[:2] / 2 - _middle(drape, height_m)
    to_left = np.array([-forwards[1], forwards[0]]) / np.linalg.norm(forwards)
    return float((left - right)[:2] @ to_left)


def _lowest_at(
    drape: Drape, chain: IntArray, height_m: float
) -> tuple[FloatArray, FloatArray] | None:
    """Where an edge crosses a height, on the cut (2,) and hung (3,); ``None`` where it does not.

    The crossing nearest to the hem, where it folds and crosses more than once.
    """
    flat, hung = drape.panel.flat[chain], drape.lining[chain]
    if abs(flat[0, 1]) < abs(flat[-1, 1]):
        flat, hung = flat[::-1], hung[::-1]
    below = hung[:, 2] < height_m
    steps = np.flatnonzero(below[:-1] != below[1:])
    if not len(steps):
        return None
    pair = slice(steps[0], steps[0] + 2)
    first, second = hung[pair]
    share = (height_m - first[2]) / (second[2] - first[2])
    place: FloatArray = flat[pair][0] + share * (flat[pair][1] - flat[pair][0])
    return place, first + share * (second - first)


def _middle(drape: Drape, height_m: float) -> FloatArray:
    """Middle (2,) of the body part's level section, by length."""
    panel = drape.panel
    across_m, down_m = np.abs(panel.flat[panel.triangles].mean(axis=1)).T
    corners = [corner_vertex(drape, side) for side in SIDES]
    corner_across_m, corner_down_m = np.abs(panel.flat[corners]).min(axis=0)
    below = (across_m < corner_across_m) & (down_m > corner_down_m)
    line = level_crossing(drape.lining[:, 2] - height_m, panel.triangles[below])
    segments = line.points(drape.lining)[..., :2]
    weights = segment_lengths(segments)
    middle: FloatArray = (segments.mean(axis=1) * weights[:, None]).sum(axis=0) / weights.sum()
    return middle

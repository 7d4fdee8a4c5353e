# SPDX-License-Identifier: GPL-3.0-or-later
"""Ease: garment girth against body girth at bust, waist and hip, and the gap between the fronts."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from .arrays import FloatArray, IntArray
from .body_levels import trunk_is_upright
from .drape import Drape
from .sections import Crossing, level_crossing, segment_lengths
from .sleeve_room import SIDES, Side, corner_across_m, corner_vertex

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
        Round the lining at that level, metres, open fronts closed by the straight gap.
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

    The garment's girth is the sum of the pieces in which a level plane crosses the lining's body
    part (flat |x| up to the rounded corner), each as far as it runs across the cloth, so folds count
    with their full length, and the gap between the fronts. See ``Ease`` for the flat rule where
    the plane lies above the corner.
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
        across = np.abs(flat[drape.panel.triangles, 0].mean(axis=1))
        body_part = across < min(corner_across_m(drape, side) for side in SIDES)
        line = level_crossing(drape.lining[:, 2] - height_m, drape.panel.triangles[body_part])
        girth_m = _across_m(drape, line) + gap_m
    return Ease(
        body_girth_m=body_girth_m,
        garment_girth_m=girth_m,
        front_gap_m=gap_m,
        ease_m=girth_m - body_girth_m,
        room_m=girth_m - body_girth_m - 2.0 * math.pi * drape.stand_off_m,
        taken=taken,
    )


def _across_m(drape: Drape, line: Crossing) -> float:
    """Length of a line on the lining, metres, as far as it runs across the cloth.

    A level plane cuts cloth that hangs aslant in a longer line than goes round the body.
    """
    step = np.abs(np.diff(line.points(drape.panel.flat), axis=1)[:, 0])
    share = step[:, 0] / np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-12)
    return float((share * segment_lengths(line.points(drape.lining))).sum())


def _underarm(drape: Drape, side: Side) -> IntArray:
    return np.asarray(drape.panel.edges[f"underarm_front_{side}"])


def _front_gap_m(drape: Drape, height_m: float) -> float | None:
    """How far the front edges are apart at a height, round the body; negative if they overlap.

    Measured along the level line at right angles to the way from the garment's middle to the
    middle between the edges: one front lying deeper than the other is no gap, and a gap that closes
    goes through zero. ``None`` where an edge does not reach that height. Where an edge folds and
    crosses it more than once, the crossing nearest to the hem counts. A closed front has no gap.
    """
    if "front_left" not in drape.panel.edges:
        return 0.0
    ends = []
    for side in SIDES:
        chain = drape.panel.edges[f"front_{side}"]
        chain = chain[np.argsort(drape.panel.flat[chain, 1])]
        edge = drape.lining[chain]
        below = edge[:, 2] < height_m
        steps = np.flatnonzero(below[:-1] != below[1:])
        if not len(steps):
            return None
        first, second = edge[steps[0]], edge[steps[0] + 1]
        share = (height_m - first[2]) / (second[2] - first[2])
        ends.append(first + share * (second - first))
    left, right = ends
    forwards = (left + right)[:2] / 2 - _middle(drape, height_m)
    to_left = np.array([-forwards[1], forwards[0]]) / np.linalg.norm(forwards)
    return float((left - right)[:2] @ to_left)


def _middle(drape: Drape, height_m: float) -> FloatArray:
    """Middle (2,) of the body part's level section, by length."""
    across = np.abs(drape.panel.flat[drape.panel.triangles, 0].mean(axis=1))
    body_part = across < min(corner_across_m(drape, side) for side in SIDES)
    line = level_crossing(drape.lining[:, 2] - height_m, drape.panel.triangles[body_part])
    segments = line.points(drape.lining)[..., :2]
    weights = segment_lengths(segments)
    middle: FloatArray = (segments.mean(axis=1) * weights[:, None]).sum(axis=0) / weights.sum()
    return middle

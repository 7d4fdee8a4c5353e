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
from .sleeve_room import SIDES, Side, corner_across_m

__all__ = ["LEVELS", "SITTING_TAKES_M", "Ease", "Level", "ease"]

Level = Literal["bust", "waist", "hip"]
LEVELS: tuple[Level, ...] = ("bust", "waist", "hip")

SITTING_TAKES_M: dict[Level, tuple[float, float]] = {"waist": (0.02, 0.05), "hip": (0.04, 0.07)}
"""What the body's girth grows when it sits down, least and most, metres: habits of the trade (an
estimate; hips are 34 to 45 mm broader sitting in the ANSUR survey of 2012). The mannequin's flesh
does not give, so this cannot be measured on it."""

SAME_M = 1e-6
"""Widths nearer than this are one: a straight side is nowhere narrower than elsewhere."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ease:
    """Garment girth against body girth at one level.

    Attributes
    ----------
    body_girth_m
        The wearer's girth (ISO 8559-1) from the tape, metres.
    garment_girth_m
        The cloth round the trunk at that level as it was cut, metres, open fronts closed: edge to
        edge, or lapped as they were cut. What they gape does not count: a wrap that cannot be closed
        has no room by gaping.
    front_gap_m
        How far apart the front edges hang at that level, metres; negative where they overlap. Where
        they end below it, at their upper ends. ``None`` if the front is closed.
    ease_m
        ``garment_girth_m - body_girth_m``, metres.
    room_m
        ``ease_m`` less what the lining's own thickness takes all round (2 pi times the
        stand-off), metres.
    taken
        ``hung``: both sides cross this level below the rounded corner under the arm. ``flat``: the
        corner hangs at this level or below it, so that arms and trunk share the cloth; on that side
        the flat width stands for the hung one, taken where the body part is narrowest, as the trade
        measures a top under its armholes. The cloth of the rounding is the sleeve's: it goes round no
        trunk.
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

    The garment's girth is the cloth round the trunk at that height, so folds count with their full
    length. See ``Ease`` for the flat rule about the corner: the girth goes steadily from one rule to
    the other.
    """
    edges = drape.panel.edges
    height_m = float(drape.body.landmarks[level][2])
    hem_vertices = np.concatenate(
        [edges["hem_back"], edges["hem_front_left"], edges["hem_front_right"]]
    )
    if drape.lining[hem_vertices, 2].max() > height_m or not trunk_is_upright(drape):
        return None
    sides = {side: _side(drape, side) for side in SIDES}
    hung = all(drape.lining[chain, 2].max() >= height_m for chain in sides.values())
    girth_m = sum(_across_m(drape, chain, height_m) for chain in sides.values())
    return Ease(
        body_girth_m=body_girth_m,
        garment_girth_m=girth_m,
        front_gap_m=_front_gap_m(drape, height_m) if "front_left" in edges else None,
        ease_m=girth_m - body_girth_m,
        room_m=girth_m - body_girth_m - 2.0 * math.pi * drape.stand_off_m,
        taken="hung" if hung else "flat",
    )


def _across_m(drape: Drape, side: IntArray, height_m: float) -> float:
    """How far it is across front and back of one side at a height, from the middle, metres.

    On the cut: a level plane cuts cloth that hangs aslant, in folds or near a corner in lines that
    depend on how it happens to hang. ``side`` as `_side` tells.
    """
    return 2.0 * abs(float(_lowest_at(drape, side, height_m)[0][0]))


def _side(drape: Drape, side: Side) -> IntArray:
    """Vertices (k,) of the front's side from the hem, split or sewn, to where it is narrowest: there
    the corner under the arm begins to widen it."""
    edges, flat = drape.panel.edges, drape.panel.flat
    # on the right the pattern's edges run from the sleeve down to the hem
    way = 1 if side == "left" else -1
    names = (f"split_front_{side}", f"underarm_front_{side}")
    chain = np.concatenate([edges[name][::way] for name in names if name in edges])
    across_m = np.abs(flat[chain, 0])
    return np.asarray(chain[: int(np.flatnonzero(across_m <= across_m.min() + SAME_M)[-1]) + 1])


def _front_gap_m(drape: Drape, height_m: float) -> float:
    """How far the front edges are apart at a height, round the body; negative if they overlap.

    Measured along the level line at right angles to the way from the garment's middle to the
    middle between the edges: one front lying deeper than the other is no gap, and a gap that closes
    goes through zero.
    """
    edges = drape.panel.edges
    left, right = (_lowest_at(drape, edges[f"front_{side}"], height_m)[1] for side in SIDES)
    forwards = (left + right)[:2] / 2 - _middle(drape, height_m)
    to_left = np.array([-forwards[1], forwards[0]]) / np.linalg.norm(forwards)
    return float((left - right)[:2] @ to_left)


def _lowest_at(drape: Drape, chain: IntArray, height_m: float) -> tuple[FloatArray, FloatArray]:
    """Where an edge from the hem up crosses a height, on the cut (2,) and hung (3,).

    The crossing nearest to the hem, where it folds and crosses more than once; its upper end, where
    all of it hangs lower.
    """
    flat, hung = drape.panel.flat[chain], drape.lining[chain]
    if abs(flat[0, 1]) < abs(flat[-1, 1]):
        flat, hung = flat[::-1], hung[::-1]
    below = hung[:, 2] < height_m
    steps = np.flatnonzero(below[:-1] != below[1:])
    if not len(steps):
        return flat[-1], hung[-1]
    pair = slice(steps[0], steps[0] + 2)
    first, second = hung[pair]
    share = (height_m - first[2]) / (second[2] - first[2])
    place: FloatArray = flat[pair][0] + share * (flat[pair][1] - flat[pair][0])
    return place, first + share * (second - first)


def _middle(drape: Drape, height_m: float) -> FloatArray:
    """Middle (2,) of the level section between the corners under the arms, by length."""
    panel = drape.panel
    across_m = np.abs(panel.flat[panel.triangles, 0].mean(axis=1))
    between = across_m < min(corner_across_m(drape, side) for side in SIDES)
    line = level_crossing(drape.lining[:, 2] - height_m, panel.triangles[between])
    segments = line.points(drape.lining)[..., :2]
    weights = segment_lengths(segments)
    middle: FloatArray = (segments.mean(axis=1) * weights[:, None]).sum(axis=0) / weights.sum()
    return middle

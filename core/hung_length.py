# SPDX-License-Identifier: GPL-3.0-or-later
"""Flat length against hung length: where the cloth between shoulder and hem goes.

Half of the bought length lies on each side of the fold. Of what hangs, the wrap takes some for the
way over shoulder and chest, some because cloth below hangs aslant and in folds; it gains by stretch,
and it gains or loses where the fold has slid off the shoulder. The parts add up exactly:
drop = flat + slid + stretched - over shoulder and chest - aslant.

Front and back part on the upright plane across the wearer through the side neck points (ISO 8559-1). The
cloth's highest place would not do: cloth is level there, so a millimetre of height moves it by
centimetres.
"""

from dataclasses import dataclass, fields
from typing import Literal

import numpy as np

from .arrays import FloatArray
from .drape import Drape
from .mannequin import PosedBody
from .mannequin.measuring import hull_girth
from .sections import level_crossing

__all__ = ["Half", "HungLength", "along_body_m", "hung_length"]

Half = Literal["front", "back"]
BESIDE_NECK_M = 0.03
_FAR_M = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class HungLength:
    """One half of the outer cloth along a line beside the neck, mean of both sides, metres.

    Attributes
    ----------
    flat_m
        From the fold or seam on the shoulder to the hem on the flat cloth.
    slid_m
        What came over from the other half: the fold does not lie in the plane across the wearer.
    stretched_m
        Longer along the hanging cloth than flat, where it is stretched.
    over_shoulder_m
        Lost on the way from that plane down to bust height: that far is longer along the cloth, with
        all wrinkles smoothed out, than straight down.
    aslant_m
        The same from bust height to the hem: cloth that stands off aslant, or folds.
    drop_m
        Straight down from that plane to the hem.
    shoulder_m
        Height over the floor of the line in that plane; it lies on the shoulder with all cloth under
        it.
    """

    flat_m: float
    slid_m: float
    stretched_m: float
    over_shoulder_m: float
    aslant_m: float
    drop_m: float
    shoulder_m: float


def hung_length(drape: Drape, half: Half) -> HungLength:
    """Follow the cloth beside the neck from the shoulder to the hem, on both sides."""
    neck_m = float(np.abs(drape.panel.flat[drape.panel.edges["neck"], 0]).max())
    found = [_one(drape, half, sign * (neck_m + BESIDE_NECK_M)) for sign in (1.0, -1.0)]
    names = (entry.name for entry in fields(HungLength))
    return HungLength(**dict(zip(names, np.mean(found, axis=0).tolist(), strict=True)))


def _one(drape: Drape, half: Half, across_m: float) -> tuple[float, ...]:
    """The figures of `HungLength` on one line."""
    down, places = _beside(drape, across_m)
    on_top_m, top = _over_shoulder(down, places, drape.body)
    sign = 1.0 if half == "back" else -1.0
    mine = sign * (down - on_top_m) > 0
    order = np.argsort(sign * down[mine])
    way = np.concatenate([[sign * on_top_m], sign * down[mine][order]])
    line = np.concatenate([top[None], places[mine][order]])
    flat = np.diff(way)
    # what is pushed together lies in wrinkles finer than the mesh
    steps = np.maximum(np.sqrt((np.diff(line, axis=0) ** 2).sum(axis=1)), flat)
    lost = steps + np.diff(line[:, 2])
    above = line[1:, 2] > drape.body.landmarks["bust"][2]
    return (
        float(way[-1]),
        -float(way[0]),
        float((steps - flat).sum()),
        float(lost[above].sum()),
        float(lost[~above].sum()),
        float(line[0, 2] - line[-1, 2]),
        float(line[0, 2]),
    )


def _beside(drape: Drape, across_m: float) -> tuple[FloatArray, FloatArray]:
    """The cloth at a distance from the centre, from the front hem to the back one.

    Returns
    -------
    Distance (k,) from the fold or seam on the shoulder along the flat cloth, negative in front, and
    the places (k, 3).
    """
    panel = drape.panel
    down, places = [], []
    for sign in (-1.0, 1.0):
        half = sign * panel.flat[panel.triangles, 1].mean(axis=1) > 0
        # of overlapping fronts the one that is sewn to this side
        own = panel.side[panel.triangles].sum(axis=1) * across_m >= 0
        crossing = level_crossing(panel.flat[:, 0] - across_m, panel.triangles[half & own])
        way = sign * crossing.points(panel.flat)[..., 1].ravel()
        down.append(sign * (way - way.min()))
        places.append(crossing.points(drape.outer).reshape(-1, 3))
    every, first = np.unique(np.round(np.concatenate(down), 9), return_index=True)
    return every, np.concatenate(places)[first]


def _over_shoulder(
    down: FloatArray, places: FloatArray, body: PosedBody
) -> tuple[float, FloatArray]:
    """Where a line (k,), (k, 3) of `_beside` crosses the plane through the side neck points.

    The highest such place, as its distance from the fold and its place (3,). Cloth that has slid off
    to one side of that plane altogether is parted at its highest place.
    """
    behind = places[:, 1] - body.landmarks["side_neck_point_left"][1]
    steps = np.flatnonzero((behind[:-1] < 0) != (behind[1:] < 0))
    if not len(steps):
        highest = int(np.argmax(places[:, 2]))
        return float(down[highest]), places[highest]
    share = behind[steps] / (behind[steps] - behind[steps + 1])
    crossing = places[steps] + share[:, None] * (places[steps + 1] - places[steps])
    best = int(np.argmax(crossing[:, 2]))
    step, way = steps[best], share[best]
    return float(down[step] + way * (down[step + 1] - down[step])), crossing[best]


def along_body_m(body: PosedBody, height_m: float) -> float:
    """Along the back from the back neck point down to a height, as a tape lies: metres.

    In the middle plane, bridging hollows, and straight down from where the body falls away.
    """
    neck = body.landmarks["back_neck_point"][1:]
    segments = level_crossing(body.vertices[:, 0] - 1e-6, body.triangles).points(body.vertices)
    profile: FloatArray = segments.reshape(-1, 3)[:, 1:]
    behind = (profile[:, 1] <= neck[1]) & (profile[:, 1] >= height_m) & (profile[:, 0] > 0)
    profile = np.concatenate([profile[behind], neck[None]])
    front, end = neck[0] - _FAR_M, float(profile[:, 0].max())
    corners = np.array([[front, neck[1]], [front, height_m], [end, height_m]])
    # the hull's other three sides are straight
    around_m = hull_girth(np.concatenate([profile, corners]) - [front, height_m])
    return float(around_m - _FAR_M - (neck[1] - height_m) - (end - front))

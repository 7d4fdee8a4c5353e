# SPDX-License-Identifier: GPL-3.0-or-later
"""What is measured on a drape: where it ends, how much room it leaves, what it weighs.

Every figure is geometry on the draped mesh, in SI units. Limits: the mesh (a few millimetres at
an edge length of 18 mm), the cloth figures (often estimates) and the body (levels that were not
taped scatter by about 20 mm).
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from typing import Literal

import numpy as np

from .arrays import FloatArray, IntArray
from .drape import Drape
from .folds import Folds, measure_folds
from .landing import Landing, land
from .layer_lengths import LayerLine, Place, layer_lines
from .sections import level_crossing, segment_lengths
from .sleeve_room import SIDES, Side, Sleeve, corner_across_m, corner_vertex, measure_sleeve
from .tape import Measures

__all__ = ["BackLength", "Ease", "Fit", "Hem", "Level", "Mass", "StandOff", "ease", "measure_fit"]

Level = Literal["bust", "waist", "hip"]
LEVELS: tuple[Level, ...] = ("bust", "waist", "hip")
MOST_LEAN = math.radians(20.0)
LEAST_STEP_M = 0.02
LEVEL_WORDS = {
    "back_neck_point": "the back neck point",
    "axilla": "the armpit",
    "bust": "the bust line",
    "waist": "the waist",
    "hip": "the fullest hip",
    "crotch": "the crotch",
    "mid_thigh": "mid-thigh",
    "knee": "the knee",
    "calf": "the fullest calf",
    "ankle": "the ankle",
}
SkinDistance = Callable[[FloatArray], FloatArray]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hem:
    """Where the hem of the outer cloth lies; the sides are at the side seams."""

    centre_back: Landing
    left_side: Landing
    right_side: Landing
    front_left: Landing
    front_right: Landing
    lowest_m: float
    highest_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BackLength:
    """The centre back from neck edge to hem, on the outer cloth.

    Attributes
    ----------
    flat_m
        On the flat pattern, metres.
    along_cloth_m
        Along the hanging cloth, folds and stretch included, metres.
    drop_m
        Straight down from neck edge to hem, metres.
    from_back_neck_point_m
        Straight down from the wearer's back neck point to the hem, metres.
    """

    flat_m: float
    along_cloth_m: float
    drop_m: float
    from_back_neck_point_m: float


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Mass:
    """Cloth in the garment without seam allowances and thread: area of one layer, and masses."""

    layer_area_m2: float
    outer_kg: float
    lining_kg: float
    garment_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StandOff:
    """Median distance from the skin over shoulders and chest, above the bust level, metres.

    ``lining_m`` to the lining's middle surface; ``outer_face_m`` to the visible face of the
    outer cloth (its middle surface and half its thickness).
    """

    lining_m: float
    outer_face_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """All that is measured on one drape; ``ease`` may be ``None``, see ``ease``."""

    hem: Hem
    back: BackLength
    sleeves: Mapping[Side, Sleeve]
    ease: Mapping[Level, Ease | None]
    mass: Mass
    stand_off: StandOff
    folds: Folds
    layers: Mapping[Place, LayerLine]

    def to_dict(self) -> dict[str, object]:
        """Plain numbers and words for ``fit.json``; the unit ends each name."""
        return asdict(self)


def measure_fit(drape: Drape, measures: Measures, skin_distance: SkinDistance) -> Fit:
    """Measure a drape.

    Parameters
    ----------
    drape
        The drape, its body posed.
    measures
        The wearer's completed tape.
    skin_distance
        Signed distance (n,) in metres from points (n, 3) to the posed body's skin.
    """
    return Fit(
        hem=hem(drape),
        back=back_length(drape),
        sleeves={side: measure_sleeve(drape, side) for side in SIDES},
        ease={level: ease(drape, level, measures[f"{level}_girth"].value_m) for level in LEVELS},
        mass=mass(drape),
        stand_off=stand_off(drape, skin_distance),
        folds=measure_folds(drape),
        layers=layer_lines(drape),
    )


def body_levels(drape: Drape) -> dict[str, float]:
    """Heights over the floor of the posed body's levels, metres, by the name to be read.

    Only levels that a hem can be told by: from the back neck point down as long as each lies
    below the last (the lap of a sitting body ends the list), less those within 20 mm of the last
    (armpit and bust of a child), and none but the floor when the trunk leans by more than 20
    degrees.
    """
    landmarks = drape.body.landmarks
    levels = {"the floor": 0.0}
    if not trunk_is_upright(drape):
        return levels
    last_m = math.inf
    for name, words in LEVEL_WORDS.items():
        height_m = float(landmarks[name][2])
        if height_m >= last_m:
            break
        if height_m <= last_m - LEAST_STEP_M:
            levels[words] = last_m = height_m
    return levels


def trunk_is_upright(drape: Drape) -> bool:
    """Whether the line from hip level to back neck point leans by at most 20 degrees."""
    landmarks = drape.body.landmarks
    trunk = landmarks["back_neck_point"] - landmarks["hip"]
    return bool(trunk[2] >= math.cos(MOST_LEAN) * np.linalg.norm(trunk))


def hem(drape: Drape) -> Hem:
    """Find the hem's height over the floor at five places, and its lowest and highest point."""
    flat, edges = drape.panel.flat, drape.panel.edges
    height = drape.outer[:, 2]
    levels = body_levels(drape)
    back = edges["hem_back"][np.argsort(flat[edges["hem_back"], 0])]
    fronts = {side: edges[f"hem_front_{side}"] for side in SIDES}
    every = np.concatenate([back, *fronts.values()])

    def at(vertex: int) -> Landing:
        return land(float(height[vertex]), levels)

    inner = {side: int(row[np.argmin(np.abs(flat[row, 0]))]) for side, row in fronts.items()}
    return Hem(
        centre_back=land(float(np.interp(0.0, flat[back, 0], height[back])), levels),
        left_side=at(int(back[-1])),
        right_side=at(int(back[0])),
        front_left=at(inner["left"]),
        front_right=at(inner["right"]),
        lowest_m=float(height[every].min()),
        highest_m=float(height[every].max()),
    )


def back_length(drape: Drape) -> BackLength:
    """Measure the centre back line x = 0 behind the fold, flat and hung."""
    flat = drape.panel.flat
    behind = flat[drape.panel.triangles, 1].mean(axis=1) > 0.0
    centre = level_crossing(flat[:, 0], drape.panel.triangles[behind])
    on_flat, hung = centre.points(flat), centre.points(drape.outer)
    neck = np.unravel_index(np.argmin(on_flat[..., 1]), on_flat.shape[:2])
    hem_end = np.unravel_index(np.argmax(on_flat[..., 1]), on_flat.shape[:2])
    hem_m = float(hung[hem_end][2])
    return BackLength(
        flat_m=float(segment_lengths(on_flat).sum()),
        along_cloth_m=float(segment_lengths(hung).sum()),
        drop_m=float(hung[neck][2]) - hem_m,
        from_back_neck_point_m=float(drape.body.landmarks["back_neck_point"][2]) - hem_m,
    )


def ease(drape: Drape, level: Level, body_girth_m: float) -> Ease | None:
    """Compare garment and body at a level; ``None`` if part of the hem hangs above it.

    Also ``None`` if the trunk leans by more than 20 degrees: level planes then cut it aslant.

    The garment's girth is the sum of the pieces in which a level plane crosses the lining's body
    part (flat |x| up to the rounded corner), so folds count with their full length, and the gap
    between the fronts. See ``Ease`` for the flat rule where the plane lies above the corner.
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
        girth_m = float(segment_lengths(line.points(drape.lining)).sum()) + gap_m
    return Ease(
        body_girth_m=body_girth_m,
        garment_girth_m=girth_m,
        front_gap_m=gap_m,
        ease_m=girth_m - body_girth_m,
        room_m=girth_m - body_girth_m - 2.0 * math.pi * drape.stand_off_m,
        taken=taken,
    )


def _underarm(drape: Drape, side: Side) -> IntArray:
    return np.asarray(drape.panel.edges[f"underarm_front_{side}"])


def _front_gap_m(drape: Drape, height_m: float) -> float | None:
    """Straight distance between the front edges at a height, negative if they overlap.

    ``None`` where an edge does not reach that height. Where an edge folds and crosses it more
    than once, the crossing nearest to the hem counts.
    """
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
    distance_m = float(np.linalg.norm(left - right))
    return distance_m if left[0] >= right[0] else -distance_m


def mass(drape: Drape) -> Mass:
    """Area of one layer on the flat pattern, times each cloth's mass per area."""
    a, b, c = np.moveaxis(drape.panel.flat[drape.panel.triangles], 1, 0)
    edge_1, edge_2 = b - a, c - a
    area_m2 = float(np.abs(edge_1[:, 0] * edge_2[:, 1] - edge_1[:, 1] * edge_2[:, 0]).sum() / 2.0)
    outer_kg = area_m2 * drape.outer_cloth.mass_kg_m2
    lining_kg = area_m2 * drape.lining_cloth.mass_kg_m2
    return Mass(
        layer_area_m2=area_m2,
        outer_kg=outer_kg,
        lining_kg=lining_kg,
        garment_kg=outer_kg + lining_kg,
    )


def stand_off(drape: Drape, skin_distance: SkinDistance) -> StandOff:
    """Median distance of lining and outer face from the skin over shoulders and chest."""
    across = np.abs(drape.panel.flat[:, 0])
    on_body = across < min(corner_across_m(drape, side) for side in SIDES)
    above = on_body & (drape.lining[:, 2] > drape.body.landmarks["bust"][2])
    lining_m = float(np.median(skin_distance(drape.lining[above])))
    outer_m = float(np.median(skin_distance(drape.outer[above])))
    return StandOff(lining_m=lining_m, outer_face_m=outer_m + drape.outer_cloth.thickness_m / 2.0)

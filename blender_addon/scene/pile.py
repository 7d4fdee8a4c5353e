# SPDX-License-Identifier: GPL-3.0-or-later
"""Pile as strands: where each grows, how it lies, how it droops and clings to its neighbours.

A strand stands for a tuft of many fibres, so it is thicker than a fibre. The figures of a style
make a likeness; none is a measurement of a cloth.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from types import MappingProxyType

import numpy as np

from ...core.arrays import FloatArray, IntArray
from ...core.mannequin.supports import Support
from ...core.nap import NapDown
from .surface import GROUND_THICKNESS_M, Sheet, stretch_frames

__all__ = [
    "PileStyle",
    "Strands",
    "grow",
    "pile_style",
    "room_over",
    "room_to_supports",
    "standing_share",
]

MOST_STRANDS = 600_000  # a layer; about 50 MB
LEAST_UPRIGHT, MOST_LEAN_RAD = 0.08, math.radians(88)
LEAST_REACH_M, ASIDE_M = 0.003, 0.014
"""Pile that stands lower is not pressed to be seen; how far aside cloth counts as opposite."""
OPPOSED = -0.3
"""Product of unit normals below which two places face one another."""
MOST_OPPOSITE, BLOCK = 4000, 2000
SHORT_PILE_M, LONG_PILE_M = 0.004, 0.030
PEBBLES = 64  # their pattern comes again after so many
PEBBLE_SLOPE = 1.8  # of a dome's border; lit so, domes are seen from as far as the cloth's own


@dataclass(frozen=True, slots=True, kw_only=True)
class PileStyle:
    """How a pile is drawn.

    Parameters
    ----------
    strands_per_m2, radius_m
        Strands a square metre of flat cloth, and their radius at the root.
    shortest
        Length of the shortest strands over the longest.
    ruffle
        Disorder of the direction, as a share of the length.
    droop
        Pull of the weight at the tip against the stiffness of the strand.
    tuft_m, cling
        Size of the tufts, and how far their tips come together (0 to 1).
    root_shade
        Brightness of the root over that of the tip.
    softness
        How far light is scattered by the pile as one surface (1) or by each strand (0).
    bends
        Straight pieces in a strand.
    curl_m, curls
        Radius of the ringlets that a tuft's strands make together, and how many turns they have.
    sheen
        Shine of strands that are seen along their sides (0 to 1).
    velvet
        How much deeper the colour is where one looks into the pile than where one looks over it
        (0 to 1).
    pebble
        How much lower the pile is between tufts than in their middle, which makes each a small dome (0 to 1).
    stray, stray_reach
        Share of the strands that stand out of the others as a haze, and how many times as long they are.
    """

    strands_per_m2: float
    radius_m: float
    shortest: float
    ruffle: float
    droop: float
    tuft_m: float
    cling: float
    root_shade: float
    softness: float
    bends: float
    curl_m: float = 0.0
    curls: float = 0.0
    sheen: float = 0.25
    velvet: float = 0.0
    pebble: float = 0.0
    stray: float = 0.0
    stray_reach: float = 1.0


_SHORT = PileStyle(
    strands_per_m2=400e3,
    radius_m=0.00042,
    shortest=0.80,
    ruffle=0.12,
    droop=0.0,
    tuft_m=0.0035,
    cling=0.15,
    root_shade=0.92,
    softness=0.9,
    bends=2,
)
_LONG = PileStyle(
    strands_per_m2=120e3,
    radius_m=0.00038,
    shortest=0.65,
    ruffle=0.20,
    droop=1.1,
    tuft_m=0.011,
    cling=0.55,
    root_shade=0.74,
    softness=0.6,
    bends=4,
)


_FLEECE = PileStyle(
    strands_per_m2=300e3,
    radius_m=0.00036,
    shortest=0.6,
    ruffle=0.7,
    droop=0.0,
    tuft_m=0.0065,
    cling=0.3,
    root_shade=0.45,
    softness=0.9,
    bends=3,
    sheen=0.0,
    pebble=0.8,
    stray=0.25,
    stray_reach=4.0,
)

# Kinds of the library whose pile is of its own make: sherpa's knots, the worms of coral fleece,
# velour's cropped shine, the pebbled faces of fleece with their haze, and the fine even one of
# microfleece, which has neither.
_MADE: Mapping[str, PileStyle] = MappingProxyType(
    {
        "curly pile": PileStyle(
            strands_per_m2=210e3,
            radius_m=0.00062,
            shortest=0.85,
            ruffle=0.10,
            droop=0.0,
            tuft_m=0.0065,
            cling=0.9,
            root_shade=0.62,
            softness=0.35,
            bends=8,
            curl_m=0.0024,
            curls=1.9,
            sheen=0.1,
        ),
        "flannel fleece": PileStyle(
            strands_per_m2=300e3,
            radius_m=0.00042,
            shortest=0.85,
            ruffle=0.10,
            droop=0.0,
            tuft_m=0.0048,
            cling=0.85,
            root_shade=0.70,
            softness=0.65,
            bends=3,
            sheen=0.2,
        ),
        "velour knit": PileStyle(
            strands_per_m2=450e3,
            radius_m=0.00034,
            shortest=0.97,
            ruffle=0.04,
            droop=0.0,
            tuft_m=0.002,
            cling=0.0,
            root_shade=0.80,
            softness=0.95,
            bends=2,
            sheen=0.9,
            velvet=0.8,
        ),
        "microfleece": PileStyle(
            strands_per_m2=450e3,
            radius_m=0.00026,
            shortest=0.9,
            ruffle=0.08,
            droop=0.0,
            tuft_m=0.002,
            cling=0.0,
            root_shade=0.96,
            softness=1.0,
            bends=2,
            sheen=0.45,
            velvet=0.15,
        ),
        "medium fleece": _FLEECE,
        "heavy fleece": replace(
            _FLEECE, tuft_m=0.0095, radius_m=0.00044, root_shade=0.38, stray_reach=3.5
        ),
    }
)


def pile_style(pile_height_m: float, kind: str = "") -> PileStyle:
    """The style of a kind of cloth whose pile is made otherwise than by length alone.

    Else the style between velvety short pile and shaggy long pile that a pile height (m) asks for.
    """
    if kind in _MADE:
        return _MADE[kind]
    place = math.log(max(pile_height_m, SHORT_PILE_M) / SHORT_PILE_M)
    share = min(place / math.log(LONG_PILE_M / SHORT_PILE_M), 1.0)
    return PileStyle(
        **{
            field.name: (1 - share) * getattr(_SHORT, field.name)
            + share * getattr(_LONG, field.name)
            for field in fields(PileStyle)
        }
    )


def standing_share(pile_height_m: float, thickness_m: float) -> float:
    """How high a pile stands over how long it is: the rest of it leans."""
    return min(max((thickness_m - GROUND_THICKNESS_M) / pile_height_m, 0.35), 0.92)


@dataclass(frozen=True, slots=True)
class Strands:
    """points: (n, k, 3) m from root to tip; radii: (k,) m, the same for every strand;
    normals: (n, 3) unit, the pile surface there, turned as its nap turns; flat: (n, 2) m, the roots in
    the flat pattern."""

    points: FloatArray
    radii: FloatArray
    normals: FloatArray
    flat: FloatArray


def grow(
    sheet: Sheet,
    style: PileStyle,
    *,
    pile_height_m: float,
    thickness_m: float,
    nap: tuple[float, float] = NapDown.IN_FRONT.stroke,
    seed: int = 0,
    supports: Sequence[Support] = (),
) -> Strands:
    """Grow the pile of one layer.

    Parameters
    ----------
    pile_height_m, thickness_m
        Length of the pile; total thickness of the cloth under light pressure. Their ratio says
        how far the pile leans.
    nap
        Direction (x, v) in the flat pattern in which the pile strokes smooth.
    supports
        Chair, bed and book: where the cloth lies on them its pile lies flat.
    """
    chance = np.random.default_rng(seed)
    triangle, weights = _roots(sheet, style.strands_per_m2, chance)
    corners = sheet.triangles[triangle]
    flat = (weights[..., None] * sheet.flat[corners]).sum(axis=1)
    root = (weights[..., None] * sheet.positions[corners]).sum(axis=1)
    normal = _unit((weights[..., None] * sheet.normals[corners]).sum(axis=1))
    rim_distance = (weights * sheet.rim_distance[corners]).sum(axis=1)

    frames = stretch_frames(sheet.positions, sheet.flat, sheet.triangles)[triangle]
    stroke = (frames @ _combed(flat, np.asarray(nap), chance)[..., None])[..., 0]
    stroke = _unit(stroke - (stroke * normal).sum(axis=1, keepdims=True) * normal)

    tuft = _tufts(flat, style, chance)
    from_middle = _from_middle(flat, tuft, style)
    length = pile_height_m * chance.uniform(style.shortest, 1.0, len(root))
    strays = chance.random(len(root)) < style.stray
    domed = 1.0 - style.pebble * (from_middle**2).sum(axis=1)
    length *= np.where(strays, style.stray_reach, domed)
    length *= np.clip(0.55 + 0.45 * rim_distance / 0.008, 0.55, 1.0)  # sheared out of the seam
    free = standing_share(pile_height_m, thickness_m)
    upright = np.full((len(root), 1), free)
    room_m = _room(sheet, supports, pile_height_m * free)
    if room_m is not None:
        room_here_m = (weights * room_m[corners]).sum(axis=1, keepdims=True)
        upright = np.clip(room_here_m / length[:, None], LEAST_UPRIGHT, free)
    pressed = 1 - upright / free
    way = stroke + chance.normal(0.0, style.ruffle, stroke.shape)
    way -= pressed * (way * normal).sum(axis=1, keepdims=True) * normal
    points = _bend(root, normal, way, np.arccos(upright), pressed, length, style)
    points = _clump(points, tuft, style, chance)
    if style.curl_m:
        points = _curled(points, tuft, normal, stroke, style, chance)
    taper = np.linspace(1.0, 0.25, points.shape[1]) ** 0.7
    slope = PEBBLE_SLOPE * style.pebble * (frames @ from_middle[..., None])[..., 0]
    return Strands(points, taper * style.radius_m, _unit(normal - 0.4 * stroke + slope), flat)


def _room(sheet: Sheet, supports: Sequence[Support], standing_m: float) -> FloatArray | None:
    """Over each vertex (n,) m the room for pile that would stand so high; None where all have enough.

    Pile that faces pile has half of what is between.
    """
    over = room_over(sheet, 2 * standing_m)
    beneath = room_to_supports(sheet, supports, standing_m)
    rooms = [room for room in (None if over is None else over / 2, beneath) if room is not None]
    return np.minimum.reduce(rooms) if rooms else None


def room_to_supports(
    sheet: Sheet, supports: Sequence[Support], reach_m: float
) -> FloatArray | None:
    """How far from each vertex (n,) m a support lies before its pile side, 0 where it lies on it.

    What is farther than ``reach_m`` does not count; None where nothing is nearer.
    """
    if reach_m < LEAST_REACH_M / 2:
        return None
    room = np.full(len(sheet.positions), reach_m)
    for support in supports:
        distance, outward, _ = support.nearest(sheet.positions)
        faces = (outward * sheet.normals).sum(axis=1) < OPPOSED
        room = np.where(faces, np.minimum(room, np.maximum(distance, 0.0)), room)
    return None if (room >= reach_m).all() else room


def room_over(sheet: Sheet, reach_m: float) -> FloatArray | None:
    """How far from each vertex (n,) m the same layer lies opposite, as sleeve and side do under an arm.

    What is farther than ``reach_m`` does not count; None where nothing is nearer.
    """
    if reach_m < LEAST_REACH_M:
        return None
    # coarse vertices come first, and are enough to tell where there is a surface
    over, over_normal = (
        np.ascontiguousarray(values[:MOST_OPPOSITE], dtype=np.float32)
        for values in (sheet.positions, sheet.normals)
    )
    room = np.full(len(sheet.positions), reach_m)
    for first in range(0, len(room), BLOCK):  # blocks bound the memory
        part = slice(first, first + BLOCK)
        here, normal = (
            values[part].astype(np.float32) for values in (sheet.positions, sheet.normals)
        )
        height = normal @ over.T - (normal * here).sum(axis=1)[:, None]
        near = (height > 0) & (height < reach_m) & (normal @ over_normal.T < OPPOSED)
        row, column = np.nonzero(near)
        aside = ((over[column] - here[row]) ** 2).sum(axis=1) - height[row, column] ** 2
        kept = aside < ASIDE_M**2
        np.minimum.at(room[part], row[kept], height[row[kept], column[kept]])
    return None if (room >= reach_m).all() else room


def _unit(vectors: FloatArray) -> FloatArray:
    return vectors / np.maximum(np.linalg.norm(vectors, axis=-1, keepdims=True), 1e-12)


def _roots(
    sheet: Sheet, strands_per_m2: float, chance: np.random.Generator
) -> tuple[IntArray, FloatArray]:
    """Triangle (n,) and barycentric weights (n, 3) of evenly spread roots."""
    a, b, c = (sheet.flat[sheet.triangles[:, k]] for k in range(3))
    u, w = b - a, c - a
    share = np.cumsum(np.abs(u[:, 0] * w[:, 1] - u[:, 1] * w[:, 0]) / 2)
    count = min(round(share[-1] * strands_per_m2), MOST_STRANDS)
    # one root in each of ``count`` equal shares of the cloth leaves no triangle bald
    at = (np.arange(count) + chance.random(count)) / max(count, 1) * share[-1]
    triangle = np.minimum(np.searchsorted(share, at), len(share) - 1)
    side, height = np.sqrt(chance.random(count)), chance.random(count)
    return triangle, np.stack([1 - side, side * (1 - height), side * height], axis=1)


def _combed(flat: FloatArray, nap: FloatArray, chance: np.random.Generator) -> FloatArray:
    """Nap direction (n, 2) with the soft turns that handling leaves in a pile."""
    waves = 7
    wavelength_m = chance.uniform(0.05, 0.25, waves)
    heading = chance.uniform(0, 2 * np.pi, waves)
    phase = chance.uniform(0, 2 * np.pi, waves)
    wave = (2 * np.pi / wavelength_m) * np.stack([np.cos(heading), np.sin(heading)])
    turn = 0.22 * np.sin(flat @ wave + phase).sum(axis=1)
    cos, sin = np.cos(turn), np.sin(turn)
    return np.stack([cos * nap[0] - sin * nap[1], sin * nap[0] + cos * nap[1]], axis=1)


def _bend(
    root: FloatArray,
    normal: FloatArray,
    stroke: FloatArray,
    lean: FloatArray,
    pressed: FloatArray,
    length: FloatArray,
    style: PileStyle,
) -> FloatArray:
    """Strands (n, k, 3) that leave the ground upright, lean with the nap and then droop.

    ``lean`` is that of their middle, (n, 1) radians; what is ``pressed``, (n, 1) from 0 to 1, leans from
    the ground on.
    """
    down = np.array([0.0, 0.0, -1.0])
    into = np.minimum(normal @ down, 0.0)[:, None]
    fall = down - into * normal  # weight presses a pile flat, never through its own ground
    pieces = round(style.bends)
    step = (length / pieces)[:, None]
    points = [root]
    for share in (np.arange(pieces) + 0.5) / pieces:
        angle = lean * ((1 - pressed) * (0.5 + 0.7 * share) + pressed)
        angle = np.minimum(angle, MOST_LEAN_RAD)
        way = np.cos(angle) * normal + np.sin(angle) * stroke + style.droop * share * fall
        points.append(points[-1] + step * _unit(way))
    return np.stack(points, axis=1)


def _tufts(flat: FloatArray, style: PileStyle, chance: np.random.Generator) -> IntArray:
    """Number (n,) of the tuft that each strand belongs to."""
    if style.pebble:
        cell = _pebbles(flat / style.tuft_m, chance)
    else:  # tufts run into one another
        scatter = chance.normal(0.0, 0.4 * style.tuft_m, flat.shape)
        cell = np.floor((flat + scatter) / style.tuft_m).astype(np.int64)
    _, tuft = np.unique(cell[:, 0] * 1_000_003 + cell[:, 1], return_inverse=True)
    return tuft.reshape(-1)


def _pebbles(place: FloatArray, chance: np.random.Generator) -> IntArray:
    """The unit cell (n, 2) whose pebble, which lies anywhere in it, is nearest to each place (n, 2)."""
    lies = chance.uniform(0.0, 1.0, (PEBBLES, PEBBLES, 2))
    cell = np.floor(place).astype(np.int64)
    nearest, least = cell.copy(), np.full(len(place), np.inf)
    for step in np.ndindex(3, 3):
        other = cell + np.array(step) - 1
        column, row = (other % PEBBLES).T
        far = ((other + lies[column, row] - place) ** 2).sum(axis=1)
        closer = far < least
        least[closer], nearest[closer] = far[closer], other[closer]
    return nearest


def _from_middle(flat: FloatArray, tuft: IntArray, style: PileStyle) -> FloatArray:
    """Where in its tuft each strand stands, (n, 2): 0 in the middle, no longer than 1, which is the border."""
    members = np.bincount(tuft)
    middle = np.stack([np.bincount(tuft, axis) / members for axis in flat.T], axis=1)
    off = (flat - middle[tuft]) / (style.tuft_m / 2)
    inside: FloatArray = off / np.maximum(np.linalg.norm(off, axis=1, keepdims=True), 1.0)
    return inside


def _clump(
    points: FloatArray, tuft: IntArray, style: PileStyle, chance: np.random.Generator
) -> FloatArray:
    """Draw the tips of neighbours together, more towards the tip, as tufts cling."""
    members = np.bincount(tuft)
    cling = style.cling * chance.uniform(0.4, 1.0, (len(members), 1))
    drawn = points.copy()
    for k, along in enumerate(np.linspace(0.0, 1.0, points.shape[1])):
        centre = np.stack(
            [np.bincount(tuft, points[:, k, axis]) / members for axis in range(3)], axis=1
        )
        way = centre[tuft] - points[:, k]
        near = np.linalg.norm(way, axis=1, keepdims=True) < 2 * style.tuft_m  # not across a cut
        drawn[:, k] += cling[tuft] * along**1.5 * near * way
    return drawn


def _curled(
    points: FloatArray,
    tuft: IntArray,
    normal: FloatArray,
    stroke: FloatArray,
    style: PileStyle,
    chance: np.random.Generator,
) -> FloatArray:
    """Wind the strands of a tuft to a ringlet that lies on the pile: never into the ground."""
    count = int(tuft.max(initial=-1)) + 1
    heading = chance.uniform(0, 2 * np.pi, count)[tuft, None]
    hand = chance.choice([-1.0, 1.0], count)[tuft, None]
    size = style.curl_m * chance.uniform(0.6, 1.0, count)[tuft, None]
    across = np.cross(normal, stroke)
    way = np.cos(heading) * stroke + np.sin(heading) * across
    curled = points.copy()
    for k, along in enumerate(np.linspace(0.0, 1.0, points.shape[1])):
        turn = 2 * np.pi * style.curls * along
        aside = math.sin(turn) * way + hand * (1 - math.cos(turn)) * np.cross(normal, way)
        curled[:, k] += size * along**0.5 * (aside + 0.4 * (1 - math.cos(turn)) * normal)
    return curled

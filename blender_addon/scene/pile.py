# SPDX-License-Identifier: GPL-3.0-or-later
"""Pile as strands: where each grows, how it lies, how it droops and clings to its neighbours.

What pile of which make looks like stands in `pile_styles`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ...core.arrays import FloatArray, IntArray
from ...core.mannequin.supports import Support
from ...core.nap import NapDown
from .pile_styles import PileStyle, standing_share
from .surface import Sheet, stretch_frames

__all__ = ["Strands", "grow", "room_over", "room_to_supports"]

MOST_STRANDS = 600_000  # a layer; about 50 MB
LEAST_UPRIGHT, MOST_LEAN_RAD = 0.08, math.radians(88)
LEAST_REACH_M, ASIDE_M = 0.003, 0.014
"""Pile that stands lower is not pressed to be seen; how far aside cloth counts as opposite."""
OPPOSED = -0.3
"""Product of unit normals below which two places face one another."""
MOST_OPPOSITE, BLOCK = 4000, 2000
PEBBLES = 64  # their pattern comes again after so many
PEBBLE_SLOPE = 1.8  # of a dome's border; lit so, domes are seen from as far as the cloth's own


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

# SPDX-License-Identifier: GPL-3.0-or-later
"""Fronts and cuffs turned back over what they are sewn to: geometry on drawn layers, no simulation.

Cloth that is turned back lies on itself: a point at the distance s beyond the fold line comes to lie
where the point as far before the line lies, two half thicknesses over it; between, it goes round
half a circle. What is turned keeps its place in the flat pattern, so pile and prints turn along.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import bpy
import numpy as np

from ...core.arrays import BoolArray, FloatArray, IntArray
from ...core.drape import Drape
from ...core.nap import NapDown
from .surface import Sheet, stretch_frames
from .wrap import drawn, put_layer

__all__ = ["covered_by_cuff_m", "cuff_sheets", "cuffs_turned_back", "fronts_turned_back"]

FOLD_AT_TOP_M, FOLD_AT_HEM_M = 0.065, 0.12
"""How far from the front edge a front is folded, at the shoulder line and at the hem."""
LOOSE = 1.15  # how much rounder a fold is than its cloths are thick
SIDES = {"left": 1.0, "right": -1.0}
BLOCK = 256


@dataclass(frozen=True, slots=True)
class _Middle:
    """The surface between both layers: points, unit normals (n, 3), and both in the flat."""

    points: FloatArray
    normals: FloatArray
    flat: FloatArray
    triangles: IntArray


def _middle_of(outer: Sheet, lining: Sheet) -> _Middle:
    points = (outer.positions + lining.positions) / 2
    a, b, c = (points[outer.triangles[:, k]] for k in range(3))
    # sides of a seam are apart in the mesh and one in space
    _, place = np.unique(np.round(points, 5), axis=0, return_inverse=True)
    corner = place.reshape(-1)[outer.triangles.reshape(-1)]
    spread = np.repeat(np.cross(b - a, c - a), 3, axis=0)
    summed = np.stack([np.bincount(corner, spread[:, k]) for k in range(3)], axis=1)
    return _Middle(points, _unit(summed[place.reshape(-1)]), outer.flat, outer.triangles)


def fronts_turned_back(drape: Drape, outer: Sheet, lining: Sheet) -> tuple[Sheet, Sheet]:
    """Both layers with both fronts folded outwards along a line from beside the neck to the hem."""
    middle = _middle_of(outer, lining)
    radius_m = _fold_radius_m(drape)
    side = _sides(middle)
    moved = [outer.positions.copy(), lining.positions.copy()]
    turned = [outer.normals.copy(), lining.normals.copy()]
    for name, sign in SIDES.items():
        edge = drape.panel.spread[drape.panel.edges[f"front_{name}"]]
        start = np.array([edge[0, 0] + sign * FOLD_AT_TOP_M, 0.0])
        end = np.array([edge[0, 0] + sign * FOLD_AT_HEM_M, edge[:, 1].min()])
        along = _unit(end - start)
        to_edge = np.array([along[1], -along[0]]) * sign
        beyond_m = (middle.flat - start) @ to_edge
        mine = (side == sign) & (middle.flat[:, 1] < 0.0)
        folded = np.flatnonzero(mine & (beyond_m > 0.0))
        angle = np.minimum(beyond_m[folded] / radius_m, math.pi)
        back_m = np.where(
            angle < math.pi, radius_m * np.sin(angle), math.pi * radius_m - beyond_m[folded]
        )
        foot = middle.flat[folded] - beyond_m[folded, None] * to_edge
        under = mine[middle.triangles].all(axis=1) & (
            beyond_m[middle.triangles].min(axis=1) > -beyond_m[folded].max() - 0.02
        )
        here = _frames_at(middle, middle.flat[folded], under, to_edge)
        there = _frames_at(middle, foot + back_m[:, None] * to_edge, under, to_edge)
        lift_m = radius_m * (1.0 - np.cos(angle))
        turn = there[1] @ _turned(angle) @ here[1].transpose(0, 2, 1)
        base = there[0] + lift_m[:, None] * there[1][:, :, 2]
        for layer, positions in zip((outer, lining), moved, strict=True):
            off = layer.positions[folded] - middle.points[folded]
            positions[folded] = base + (turn @ off[..., None])[..., 0]
        for layer, normals in zip((outer, lining), turned, strict=True):
            normals[folded] = (turn @ layer.normals[folded][..., None])[..., 0]
    return tuple(
        Sheet(positions, _unit(normals), layer.flat, layer.triangles, layer.rim_distance)
        for layer, positions, normals in zip((outer, lining), moved, turned, strict=True)
    )


def _fold_radius_m(drape: Drape) -> float:
    """Radius of the middle of the cloth round a fold, so that what it turns to lies on it."""
    return LOOSE * (drape.outer_cloth.thickness_m + drape.lining_cloth.thickness_m) / 2


def _sides(middle: _Middle) -> FloatArray:
    """(n,) 1 on the wearer's left, -1 on the right: that of the triangles round a vertex."""
    x = np.repeat(middle.flat[middle.triangles, 0].mean(axis=1), 3)
    return np.sign(np.bincount(middle.triangles.reshape(-1), x, minlength=len(middle.flat)))


def _turned(angle: FloatArray) -> FloatArray:
    """(k, 3, 3) turns within frames of `_frames_at`: the first axis towards the third."""
    turn = np.zeros((len(angle), 3, 3))
    turn[:, 1, 1] = 1.0
    turn[:, 0, 0] = turn[:, 2, 2] = np.cos(angle)
    turn[:, 2, 0], turn[:, 0, 2] = np.sin(angle), -np.sin(angle)
    return turn


def _frames_at(
    middle: _Middle, places: FloatArray, within: BoolArray, way: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """The surface at places (k, 2) in the flat.

    Returns points (k, 3) m and frames (k, 3, 3) with columns: ``way`` in the flat as it lies in the
    surface, across it, and the normal. Only triangles ``within`` are looked at; a place outside of
    them gets the nearest one's plane.
    """
    rows = np.flatnonzero(within)
    triangle, weights = _found(middle.flat[middle.triangles[rows]], places)
    corners = middle.triangles[rows[triangle]]
    points = (weights[..., None] * middle.points[corners]).sum(axis=1)
    normal = _unit((np.clip(weights, 0, 1)[..., None] * middle.normals[corners]).sum(axis=1))
    ways = stretch_frames(middle.points, middle.flat, middle.triangles[rows]) @ way
    first = ways[triangle]
    first = _unit(first - (first * normal).sum(axis=1, keepdims=True) * normal)
    return points, np.stack([first, np.cross(normal, first), normal], axis=2)


def _found(triangles: FloatArray, places: FloatArray) -> tuple[IntArray, FloatArray]:
    """Which of triangles (t, 3, 2) holds each place (k, 2), or is nearest, and its weights (k, 3)."""
    origin = triangles[:, 0]
    inverse = np.linalg.inv((triangles[:, 1:] - origin[:, None]).transpose(0, 2, 1))
    best = np.zeros(len(places), dtype=np.int64)
    weights = np.zeros((len(places), 3))
    for first in range(0, len(places), BLOCK):  # blocks bound the memory
        off = places[first : first + BLOCK, None] - origin
        two = (inverse @ off[..., None])[..., 0]
        least = np.minimum(two.min(axis=2), 1.0 - two.sum(axis=2))
        nearest = least.argmax(axis=1)
        chosen = two[np.arange(len(nearest)), nearest]
        best[first : first + BLOCK] = nearest
        weights[first : first + BLOCK, 1:] = chosen
        weights[first : first + BLOCK, 0] = 1.0 - chosen.sum(axis=1)
    return best, weights


def covered_by_cuff_m(drape: Drape, depth_m: float) -> float:
    """How far from its end a sleeve lies under a cuff ``depth_m`` deep: what goes round the fold is gone."""
    return max(depth_m - math.pi * _fold_radius_m(drape), 0.0)


def cuffs_turned_back(
    drape: Drape, depth_m: float, home: bpy.types.Collection, nap: NapDown
) -> None:
    """Put the turned-back part of both sleeves, ``depth_m`` deep, over their ends into a collection."""
    cloths = {"Outer": drape.outer_cloth, "Lining": drape.lining_cloth}
    for seed, (layer, side, sheet) in enumerate(cuff_sheets(drape, depth_m), start=3):
        put_layer(
            f"{layer} cuff {side}",
            sheet,
            cloths[layer],
            home,
            1.0,
            nap.stroke,
            seed,
            supports=drape.body.furniture,
        )


def cuff_sheets(
    drape: Drape, depth_m: float, *, rounds: int = 2
) -> Iterator[tuple[str, str, Sheet]]:
    """Layer, side and sheet of what is turned back of the sleeves, ``depth_m`` deep.

    A drape has the sleeve up to the fold of its cuff; the cuff is the same cloth once more, turned.
    ``rounds`` is how often every edge is halved.
    """
    panel = drape.panel
    middle = _middle_of(*drawn(drape, rounds=rounds))
    wrist_m = float(panel.spread[panel.edges["sleeve_end_left"], 0].max())
    for name, sign in SIDES.items():
        from_end_m = wrist_m - sign * middle.flat[:, 0]
        near = (from_end_m[middle.triangles] < depth_m - 1e-6).any(axis=1)
        for layer, way in (("Lining", -1.0), ("Outer", 1.0)):
            yield layer, name, _cuff(middle, near, from_end_m, depth_m, drape, way, sign)


def _cuff(
    middle: _Middle,
    near: BoolArray,
    from_end_m: FloatArray,
    depth_m: float,
    drape: Drape,
    way: float,
    sign: float,
) -> Sheet:
    """One layer of a cuff: the outer where ``way`` is 1, the lining where it is -1."""
    used, triangles = np.unique(middle.triangles[near], return_inverse=True)
    radius_m = _fold_radius_m(drape)
    free_m = np.minimum(from_end_m[used], depth_m)
    angle = np.minimum(free_m / radius_m, math.pi)
    lies_m = np.maximum(free_m - math.pi * radius_m, 0.0)
    beyond = np.where(angle < math.pi, radius_m * np.sin(angle), 0.0)
    outwards = np.array([sign, 0.0])
    end = sign * middle.flat[used, 0] + from_end_m[used]
    # the cloth goes on beyond the fold; it comes to lie before it
    flat, place = middle.flat[used].copy(), middle.flat[used].copy()
    flat[:, 0] = sign * (end + free_m)
    place[:, 0] = sign * (end - lies_m)
    points, frames = _frames_at(middle, place, near, outwards)
    base = (
        points
        + beyond[:, None] * frames[:, :, 0]
        + (radius_m * (1.0 - np.cos(angle)))[:, None] * frames[:, :, 2]
    )
    turned = frames @ _turned(angle)
    normal = turned[:, :, 2]
    thick_m = (drape.outer_cloth.thickness_m + drape.lining_cloth.thickness_m) / 4
    edge_m = np.clip((depth_m - free_m) / (2 * thick_m), 0.0, 1.0)
    open_m = np.sqrt(1.0 - (1.0 - edge_m) ** 2) * thick_m
    # round the edge the pile leans over it, as at a seam that was turned
    leans = _unit(edge_m[:, None] * way * normal + (1.0 - edge_m[:, None]) * turned[:, :, 0])
    return Sheet(
        positions=base + (way * open_m)[:, None] * normal,
        normals=leans,
        flat=flat,
        triangles=triangles.reshape(-1, 3)[:, ::-1] if way > 0 else triangles.reshape(-1, 3),
        rim_distance=depth_m - free_m,
    )


def _unit(vectors: FloatArray) -> FloatArray:
    return vectors / np.maximum(np.linalg.norm(vectors, axis=-1, keepdims=True), 1e-12)

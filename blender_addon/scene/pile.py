# SPDX-License-Identifier: GPL-3.0-or-later
"""Pile as strands: where each grows, how it lies, how it droops and clings to its neighbours.

A strand stands for a tuft of many fibres, so its radius is larger than a fibre's. All figures
here are choices for a likeness, none is a measurement of a cloth.
"""

from dataclasses import dataclass

import numpy as np

from ...core.arrays import FloatArray
from .surface import GROUND_THICKNESS_M, Sheet, stretch_frames

__all__ = ["LONG_PILE_M", "Strands", "grow"]

LONG_PILE_M = 0.012
"""From here a pile falls over by its own weight and is drawn with bending strands."""


@dataclass(frozen=True, slots=True)
class Strands:
    """points: (n, k, 3) m from root to tip; radii: (k,) m, the same for every strand."""

    points: FloatArray
    radii: FloatArray


def grow(
    sheet: Sheet,
    *,
    pile_height_m: float,
    thickness_m: float,
    strands_per_m2: float,
    nap: tuple[float, float] = (0.0, -1.0),
    seed: int = 0,
) -> Strands:
    """Grow the pile of one layer.

    Parameters
    ----------
    pile_height_m, thickness_m
        Length of the pile; total thickness of the cloth under light pressure. Their ratio says
        how far the pile leans.
    strands_per_m2
        Strands a square metre of flat cloth.
    nap
        Direction in the flat pattern in which the pile strokes smooth. The default runs one way
        along the cloth: down in front, up at the back.
    """
    chance = np.random.default_rng(seed)
    triangle, weights = _roots(sheet, strands_per_m2, chance)
    corners = sheet.triangles[triangle]
    flat = (weights[..., None] * sheet.flat[corners]).sum(axis=1)
    root = (weights[..., None] * sheet.positions[corners]).sum(axis=1)
    normal = _unit((weights[..., None] * sheet.normals[corners]).sum(axis=1))
    rim_distance = (weights * sheet.rim_distance[corners]).sum(axis=1)

    frames = stretch_frames(sheet.positions, sheet.flat, sheet.triangles)[triangle]
    stroke = (frames @ _combed(flat, np.asarray(nap), pile_height_m, chance)[..., None])[..., 0]
    stroke = _unit(stroke - _along(stroke, normal) * normal)

    long = pile_height_m >= LONG_PILE_M
    count = 5 if long else 3
    length = pile_height_m * chance.uniform(0.75, 1.1, len(root))
    length *= np.clip(0.55 + 0.45 * rim_distance / 0.008, 0.55, 1.0)
    stands = np.clip((thickness_m - GROUND_THICKNESS_M) / pile_height_m, 0.35, 0.92)
    lean = np.arccos(stands)
    ruffle = chance.normal(0.0, 0.2 if long else 0.22, (len(root), 3))
    points = _bend(root, normal, stroke + ruffle, lean, length, count, droop=0.9 if long else 0.0)
    points = _clump(points, flat, 0.011 if long else 0.0035, 0.55 if long else 0.3, chance)
    taper = np.linspace(1.0, 0.25, count) ** (0.8 if long else 0.5)
    return Strands(points, taper * (0.00038 if long else 0.00042))


def _unit(vectors: FloatArray) -> FloatArray:
    return vectors / np.maximum(np.linalg.norm(vectors, axis=-1, keepdims=True), 1e-12)


def _along(vectors: FloatArray, direction: FloatArray) -> FloatArray:
    return (vectors * direction).sum(axis=-1, keepdims=True)


def _roots(
    sheet: Sheet, strands_per_m2: float, chance: np.random.Generator
) -> tuple[np.ndarray, FloatArray]:
    """Triangle (n,) and barycentric weights (n, 3) of evenly spread roots."""
    a, b, c = (sheet.flat[sheet.triangles[:, k]] for k in range(3))
    u, w = b - a, c - a
    area = np.abs(u[:, 0] * w[:, 1] - u[:, 1] * w[:, 0]) / 2
    cumulative = np.cumsum(area)
    count = int(cumulative[-1] * strands_per_m2)
    # one root in each of ``count`` equal shares of the area leaves no bald triangle
    at = (np.arange(count) + chance.random(count)) / count * cumulative[-1]
    triangle = np.minimum(np.searchsorted(cumulative, at), len(area) - 1)
    side, height = np.sqrt(chance.random(count)), chance.random(count)
    return triangle, np.stack([1 - side, side * (1 - height), side * height], axis=1)


def _combed(
    flat: FloatArray, nap: FloatArray, pile_height_m: float, chance: np.random.Generator
) -> FloatArray:
    """Nap direction (n, 2) with the soft turns that handling leaves in a pile."""
    waves = 7
    wavelength = chance.uniform(0.05, 0.25, waves)
    heading = chance.uniform(0, 2 * np.pi, waves)
    phase = chance.uniform(0, 2 * np.pi, waves)
    wave = (2 * np.pi / wavelength) * np.stack([np.cos(heading), np.sin(heading)])
    turn = np.sin(flat @ wave + phase).sum(axis=1) * 0.16
    cos, sin = np.cos(turn), np.sin(turn)
    return np.stack([cos * nap[0] - sin * nap[1], sin * nap[0] + cos * nap[1]], axis=1)


def _bend(
    root: FloatArray,
    normal: FloatArray,
    stroke: FloatArray,
    lean: float,
    length: FloatArray,
    count: int,
    droop: float,
) -> FloatArray:
    """Strands (n, count, 3) that leave the ground upright, lean with the nap and then droop."""
    down = np.array([0.0, 0.0, -1.0])
    into = np.minimum(normal @ down, 0.0)[:, None]
    fall = down - into * normal  # weight presses a pile flat, never through its own ground
    step = (length / (count - 1))[:, None]
    points = [root]
    for share in (np.arange(count - 1) + 0.5) / (count - 1):
        angle = lean * (0.5 + 0.7 * share)
        way = np.cos(angle) * normal + np.sin(angle) * stroke + droop * share * fall
        points.append(points[-1] + step * _unit(way))
    return np.stack(points, axis=1)


def _clump(
    points: FloatArray,
    flat: FloatArray,
    size_m: float,
    pull: float,
    chance: np.random.Generator,
) -> FloatArray:
    """Draw the tips of neighbours together, more towards the tip, as tufts cling."""
    scatter = chance.normal(0.0, 0.4 * size_m, flat.shape)
    cell = np.floor((flat + scatter) / size_m).astype(np.int64)
    _, tuft = np.unique(cell[:, 0] * 1_000_003 + cell[:, 1], return_inverse=True)
    members = np.bincount(tuft)
    cling = pull * chance.uniform(0.4, 1.0, (len(members), 1))
    share = np.linspace(0.0, 1.0, points.shape[1])
    drawn = points.copy()
    for k, along in enumerate(share[1:], start=1):
        centre = np.stack(
            [np.bincount(tuft, points[:, k, axis]) / members for axis in range(3)], axis=1
        )
        way = centre[tuft] - points[:, k]
        near = np.linalg.norm(way, axis=1, keepdims=True) < 2 * size_m  # not across a cut edge
        drawn[:, k] += cling[tuft] * along**1.5 * near * way
    return drawn

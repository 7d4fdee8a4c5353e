# SPDX-License-Identifier: GPL-3.0-or-later
"""The folds along the hem of a drape: how many there are, how far apart and how deep.

Seen from above, the hem waves about a smooth line round the body: its distance from the middle, as
far as three waves to a turn follow it. So an oval, or an egg, has no folds. How many folds there are
and how deep is much a matter of chance: the same wrap put on again differs by one or two, and by a
centimetre. How sharply they bend is less so (a fifth), and goes with the cloth.
"""

from dataclasses import dataclass, replace

import numpy as np

from .arrays import FloatArray, IntArray
from .drape import Drape

__all__ = ["SMOOTHED_M", "Folds", "measure_folds", "waves"]

BODY_WAVES = 3
"""Waves to a turn that are the body's shape and not folds."""

LEAST_DEPTH_M = 0.006
"""Waves shallower than this are no folds."""

STEP_M = 0.004

SMOOTHED_M = 0.025
"""Bends over less than about twice this are smoothed away, so that they do not tell of the mesh."""

SHARP_SHARE = 0.1
"""Share of the hem that bends more sharply than is told."""


@dataclass(frozen=True, slots=True)
class Folds:
    """Folds of the outer cloth along the hem.

    Attributes
    ----------
    count
        How many bulge outwards.
    hem_m
        Length of the hem along the cloth, fronts and back, metres; flat where the mesh is pushed
        together: cloth does not shorten there, it wrinkles.
    depth_m
        From crest to trough: that of an even wave with the same mean square, metres.
    sharp_radius_m
        Radius, seen from above, round which the sharpest tenth of the hem bends or more sharply,
        metres.
    """

    count: int
    hem_m: float
    depth_m: float
    sharp_radius_m: float


def measure_folds(drape: Drape) -> Folds:
    """Count the folds along the hem, from the wearer's left front edge round the back."""
    flat, edges = drape.panel.flat, drape.panel.edges

    def ordered(name: str, sign: int) -> IntArray:
        chain = edges[name]
        in_order: IntArray = chain[np.argsort(sign * flat[chain, 0])]
        return in_order

    chains = ordered("hem_front_left", 1), ordered("hem_back", -1), ordered("hem_front_right", 1)
    lengths = (
        np.maximum(_steps(flat[chain]), _steps(drape.outer[chain])).sum() for chain in chains
    )
    return replace(waves(drape.outer[np.concatenate(chains)]), hem_m=float(sum(lengths)))


def _steps(line: FloatArray) -> FloatArray:
    steps: FloatArray = np.sqrt((np.diff(line, axis=0) ** 2).sum(axis=1))
    return steps


def waves(line: FloatArray) -> Folds:
    """Count the waves of a line (n, 3), m, that runs round the upright axis."""
    # neighbours that are sewn together lie at the same place
    along = np.concatenate([[0.0], np.cumsum(_steps(line))])
    even = np.linspace(0.0, along[-1], max(round(along[-1] / STEP_M), 2))
    plan = np.stack([np.interp(even, along, line[:, axis]) for axis in (0, 1)], axis=1)
    sharp_radius_m = _sharp_radius_m(plan, even[1])
    plan -= plan.mean(axis=0)
    # drawn out to a circle, so that an oval needs no waves to follow it
    spread, axes = np.linalg.eigh(plan.T @ plan / len(plan))
    x, y = (plan @ axes / np.sqrt(spread)).T
    radius, angle = np.hypot(x, y), np.arctan2(y, x)
    turns = angle[:, None] * np.arange(BODY_WAVES + 1)
    shape = np.concatenate([np.cos(turns), np.sin(turns[:, 1:])], axis=1)
    body = shape @ np.linalg.lstsq(shape, radius, rcond=None)[0]
    outwards_m = (1 - body / radius) * np.sqrt((plan**2).sum(axis=1))
    return Folds(
        count=_bulges(outwards_m),
        hem_m=float(along[-1]),
        depth_m=float(2 * np.sqrt(2 * (outwards_m**2).mean())),
        sharp_radius_m=sharp_radius_m,
    )


def _bulges(outwards_m: FloatArray) -> int:
    """Runs beyond half the least depth outwards, each parted from the next by one inwards."""
    side = np.sign(outwards_m) * (np.abs(outwards_m) > LEAST_DEPTH_M / 2)
    side = np.concatenate([[-1.0], side[side != 0]])
    return int(((side[1:] > 0) & (side[:-1] < 0)).sum())


def _sharp_radius_m(plan: FloatArray, step_m: float) -> float:
    """Radius at the sharp end of the curvatures of a line (n, 2) with even steps."""
    reach = min(round(4 * SMOOTHED_M / step_m), len(plan) - 1)
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) * step_m / SMOOTHED_M) ** 2)
    # goes on at both ends as its own image through the end point, so that ends stay where they are
    before, after = (
        2 * plan[end] - plan[inside]
        for end, inside in ((0, slice(reach, 0, -1)), (-1, slice(-2, -reach - 2, -1)))
    )
    longer = np.concatenate([before, plan, after])
    smooth = [np.convolve(part, kernel / kernel.sum(), "valid") for part in longer.T]
    steps = np.diff(np.stack(smooth, axis=1), axis=0)
    turns = np.diff(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))
    curvature = np.abs(turns) / np.sqrt((steps[1:] ** 2).sum(axis=1))
    return float(1 / np.quantile(curvature, 1 - SHARP_SHARE))

# SPDX-License-Identifier: GPL-3.0-or-later
"""How much farther it is round the outer than round the lining, as both hang.

Both layers are cut alike, so the same line of the pattern is as long in both while they lie flat.
Hung, the outer goes round outside, and the lining, cut as long, wrinkles. What it lacks of room is told
by a tape drawn taut round each layer: over wrinkles, whose size is much a matter of the mesh, and
over folds. Where the layers could give way altogether, the difference would be the turn of cloth, angle
turned times distance apart (`making.turn_of_cloth`).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from .arrays import BoolArray, FloatArray
from .drape import Drape
from .mannequin.measuring import hull_girth
from .sections import level_crossing
from .sleeve_room import SIDES, corner_across_m

__all__ = ["ABOVE_HEM_M", "LayerLine", "Place", "layer_lines"]

Place = Literal["bust", "waist", "hip", "hem", "left sleeve", "right sleeve", "over the shoulder"]

SLEEVES: tuple[tuple[Place, float], ...] = (("left sleeve", 1.0), ("right sleeve", -1.0))

ABOVE_HEM_M = 0.05
"""Along the hem itself both layers are sewn together: the line is taken so far above it."""

BESIDE_NECK_M = 0.03


@dataclass(frozen=True, slots=True)
class LayerLine:
    """One line of the pattern on both layers.

    Attributes
    ----------
    more_m
        How much farther a taut tape goes round the outer than round the lining, along the middle
        surface of each as they hang, metres.
    """

    more_m: float


def layer_lines(drape: Drape) -> dict[Place, LayerLine]:
    """Lines round the body part, round each sleeve, and from hem to hem over the shoulder.

    Round the body the line is the one that lies at bust, waist or hip height at the centre back;
    levels below the hem are left out. Round a sleeve it lies half way from the rounded corner to
    the sleeve's end. Over the shoulder it runs beside the neck, mean of both sides.
    """
    flat = drape.panel.flat
    across, down = flat[:, 0], np.abs(flat[:, 1])
    corner_m = min(corner_across_m(drape, side) for side in SIDES)
    body = np.abs(flat[drape.panel.triangles, 0].mean(axis=1)) < corner_m
    left = flat[drape.panel.triangles, 0].mean(axis=1) > 0
    lines: dict[Place, LayerLine] = {}
    for place, down_m in _levels(drape).items():
        lines[place] = _round(drape, down - down_m, body)
    sleeve_m = (corner_m + float(across.max())) / 2
    for place, sign in SLEEVES:
        lines[place] = _round(drape, sign * across - sleeve_m, left == (sign > 0))
    neck = drape.panel.edges["neck"]
    beside_m = float(np.abs(flat[neck, 0]).max()) + BESIDE_NECK_M
    both = [_over(drape, sign * beside_m) for sign in (1.0, -1.0)]
    lines["over the shoulder"] = LayerLine(sum(both) / 2)
    return lines


def _levels(drape: Drape) -> Mapping[Place, float]:
    """Distance from the fold, metres, of the line at each level; the hem's always, last."""
    flat, edges = drape.panel.flat, drape.panel.edges
    # where hems are curved or unlike, the line all round lies above the shortest place
    hems = np.concatenate(
        [edges[name] for name in ("hem_back", "hem_front_left", "hem_front_right")]
    )
    hem_m = float(np.abs(flat[hems, 1]).min()) - ABOVE_HEM_M
    behind = flat[drape.panel.triangles, 1].mean(axis=1) > 0
    centre = level_crossing(flat[:, 0], drape.panel.triangles[behind])
    down, first = np.unique(centre.points(flat)[..., 1].ravel(), return_index=True)
    height = centre.points(drape.outer)[..., 2].ravel()[first]
    levels: dict[Place, float] = {}
    names: tuple[Place, ...] = ("bust", "waist", "hip")
    for name in names:
        level_m = drape.body.landmarks[name][2]
        below = int(np.argmax(height < level_m))
        if not below:
            continue
        pair = slice(below - 1, below + 1)
        down_m = float(np.interp(-level_m, -height[pair], down[pair]))
        if down_m < hem_m:
            levels[name] = down_m
    levels["hem"] = hem_m
    return levels


def _round(drape: Drape, level: FloatArray, keep: BoolArray) -> LayerLine:
    """Round the line ``level`` = 0 of the pattern in the triangles to keep (t,).

    Seen square to the plane that fits the outer's line best.
    """
    crossing = level_crossing(level, drape.panel.triangles[keep])
    outer, lining = (crossing.points(layer).reshape(-1, 3) for layer in (drape.outer, drape.lining))
    _, _, axes = np.linalg.svd(outer - outer.mean(axis=0), full_matrices=False)
    return LayerLine(hull_girth(outer @ axes[:2].T) - hull_girth(lining @ axes[:2].T))


def _over(drape: Drape, across_m: float) -> float:
    """The same over the shoulder from hem to hem, seen from the side: without the way back."""
    panel = drape.panel
    mine = across_m * panel.flat[panel.triangles, 0].mean(axis=1) > 0
    crossing = level_crossing(panel.flat[:, 0] - across_m, panel.triangles[mine])
    down = crossing.points(panel.flat)[..., 1].ravel()
    lengths = []
    for layer in (drape.outer, drape.lining):
        places = crossing.points(layer).reshape(-1, 3)[:, 1:]
        back_m = np.linalg.norm(places[np.argmax(down)] - places[np.argmin(down)])
        lengths.append(hull_girth(places) - float(back_m))
    return lengths[0] - lengths[1]

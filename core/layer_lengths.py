# SPDX-License-Identifier: GPL-3.0-or-later
"""How much longer a line of cloth is on the outer than on the lining, as both hang.

Both layers are cut alike, so the same line of the pattern is as long in both while they lie flat.
Hung, the outer goes round outside: its line keeps its length and the lining's is pushed together,
in wrinkles finer than the mesh. Where the layers could give way altogether, the difference would be
the turn of cloth, angle turned times distance apart (`making.turn_of_cloth`).

Uncertainty: folds that fall otherwise move a difference by about a third; the mesh by 2 mm.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from .arrays import BoolArray, FloatArray
from .drape import Drape
from .sections import level_crossing, segment_lengths
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
    flat_m
        On the flat pattern, metres.
    outer_m, lining_m
        As it hangs, along the middle surface of each layer, metres.
    """

    flat_m: float
    outer_m: float
    lining_m: float

    @property
    def more_m(self) -> float:
        """How much longer it is on the outer."""
        return self.outer_m - self.lining_m


def layer_lines(drape: Drape) -> dict[Place, LayerLine]:
    """Lines round the body part, round each sleeve, and from hem to hem over the shoulder.

    Round the body the line is the one that lies at bust, waist or hip height at the centre back;
    levels below the hem are left out. Round a sleeve it lies half way from the rounded corner to
    the sleeve's end. Over the shoulder it runs beside the neck, mean of both sides.
    """
    flat = drape.panel.flat
    across, along = flat[:, 0], np.abs(flat[:, 1])
    middle = flat[drape.panel.triangles].mean(axis=1)
    corner_m = min(corner_across_m(drape, side) for side in SIDES)
    body = np.abs(middle[:, 0]) < corner_m
    lines: dict[Place, LayerLine] = {}
    for place, down_m in _levels(drape).items():
        lines[place] = _line(drape, along - down_m, body)
    sleeve_m = (corner_m + float(across.max())) / 2
    for place, sign in SLEEVES:
        lines[place] = _line(drape, sign * across - sleeve_m, sign * middle[:, 0] > 0)
    neck = drape.panel.edges["neck"]
    beside_m = float(np.abs(flat[neck, 0]).max()) + BESIDE_NECK_M
    lines["over the shoulder"] = _mean(
        [_line(drape, sign * across - beside_m, sign * middle[:, 0] > 0) for sign in (1.0, -1.0)]
    )
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
    down = centre.points(flat)[..., 1].ravel()
    height = centre.points(drape.outer)[..., 2].ravel()
    order = np.argsort(down)
    levels: dict[Place, float] = {}
    names: tuple[Place, ...] = ("bust", "waist", "hip")
    for name in names:
        below = order[height[order] < drape.body.landmarks[name][2]]
        if len(below) and down[below[0]] < hem_m:
            levels[name] = float(down[below[0]])
    levels["hem"] = hem_m
    return levels


def _line(drape: Drape, level: FloatArray, keep: BoolArray) -> LayerLine:
    """The line ``level`` = 0 of the pattern, in the triangles to keep (t,)."""
    crossing = level_crossing(level, drape.panel.triangles[keep])
    lengths = (
        float(segment_lengths(crossing.points(places)).sum())
        for places in (drape.panel.flat, drape.outer, drape.lining)
    )
    return LayerLine(*lengths)


def _mean(lines: list[LayerLine]) -> LayerLine:
    return LayerLine(
        *(
            math.fsum(getattr(line, name) for line in lines) / len(lines)
            for name in ("flat_m", "outer_m", "lining_m")
        )
    )

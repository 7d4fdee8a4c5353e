# SPDX-License-Identifier: GPL-3.0-or-later
"""A wrap that nobody wears: lying flat, and folded to a stack; plain geometry, true to size."""

import math
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..cloth import Cloth
from ..panels import PanelMesh, build_panel_mesh
from ..pattern import Pattern

__all__ = ["FoldedStack", "Laid", "folded_stack", "laid_flat"]

FLAT_EDGE_M = 0.018
FOLDED_WIDTH_M, FOLDED_DEPTH_M = 0.38, 0.30
PRESSED = 0.8
"""Thickness of a lying layer over that under a hand's weight: it carries those above (an estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A wrap lying on the floor z = 0, drawn as a `Drape` is: (n, 3) m middle surfaces.

    The shoulder fold lies at y = 0, the hem towards -y, the wearer's left towards +x; the front is up.
    """

    panel: PanelMesh
    outer: FloatArray
    lining: FloatArray
    outer_cloth: Cloth
    lining_cloth: Cloth


def laid_flat(pattern: Pattern, outer: Cloth, lining: Cloth) -> Laid:
    """The sewn wrap lying flat: back below, front upon it, each of two layers.

    Where front and back hang together, along shoulder and sides, the layers turn round half a
    circle as high as all four.
    """
    panel = build_panel_mesh(pattern, FLAT_EDGE_M)
    x, v = panel.flat.T
    pile_m = outer.thickness_m + lining.thickness_m
    closed = np.zeros(len(panel.flat), dtype=bool)
    closed[panel.seam_pairs.reshape(-1)] = True
    closed |= (np.abs(v) < 1e-9) & (np.abs(x) >= _neck_half_m(panel))
    distance_m = _distance(panel.flat, panel.flat[closed])
    share = np.clip(distance_m / pile_m, 0.0, 1.0)
    turn = np.sqrt(1.0 - (1.0 - share) ** 2)
    up = np.where(panel.behind, -1.0, 1.0)

    def layer(off_middle_m: float) -> FloatArray:
        return np.stack([x, -np.abs(v), pile_m + up * turn * off_middle_m], axis=1)

    return Laid(
        panel=panel,
        outer=layer(lining.thickness_m + outer.thickness_m / 2),
        lining=layer(lining.thickness_m / 2),
        outer_cloth=outer,
        lining_cloth=lining,
    )


def _neck_half_m(panel: PanelMesh) -> float:
    """Half the width of the neck on the fold."""
    rim = panel.flat[panel.rim]
    on_fold = np.abs(rim[:, 1]) < 1e-9
    inner = np.abs(rim[on_fold, 0])
    return float(inner.min()) if len(inner) else 0.0


def _distance(points: FloatArray, marks: FloatArray) -> FloatArray:
    """Distance (n,) m from points (n, 2) to the nearest of marks (k, 2)."""
    nearest = np.full(len(points), np.inf)
    for first in range(0, len(points), 2000):  # blocks bound the memory
        apart = points[first : first + 2000, None] - marks
        nearest[first : first + 2000] = np.sqrt((apart**2).sum(axis=2)).min(axis=1)
    return nearest


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedStack:
    """A wrap folded to a stack: how large it is, and how many double layers lie in it."""

    width_m: float
    depth_m: float
    plies: int
    ply_m: float

    @property
    def height_m(self) -> float:
        """How high the stack is, metres."""
        return self.plies * self.ply_m


def folded_stack(area_m2: float, outer: Cloth, lining: Cloth) -> FoldedStack:
    """The stack that a wrap of so much double cloth folds to; an even number of plies.

    ``area_m2`` is that of one layer of the sewn wrap, front and back.
    """
    plies = max(2, math.ceil(area_m2 / (FOLDED_WIDTH_M * FOLDED_DEPTH_M) / 2 - 1e-9) * 2)
    return FoldedStack(
        width_m=FOLDED_WIDTH_M,
        depth_m=FOLDED_DEPTH_M,
        plies=plies,
        ply_m=PRESSED * (outer.thickness_m + lining.thickness_m),
    )

# SPDX-License-Identifier: GPL-3.0-or-later
"""Inner friction of bending: cloth resists every change of its curvature, and keeps some of a bend.

Fibres rub on one another, so besides its elastic moment a cloth has a friction moment that opposes
each change of bend and holds up to a constant H (P. Grosberg, Textile Research Journal 36, 1966,
205: M = B κ ± H; H is half the hysteresis 2HB of a pure bending test). It is a spring that gives
way, as all friction here: on each triangle it holds a curvature, its anchor, frozen between
refreshes; it sways before it slips, and then the anchor is drawn after.

What slips is the size of (H_u κ_uu, H_v κ_vv, sqrt(2 H_u H_v) κ_uv): bending along either direction
meets its own moment, and where both are alike so does bending along any. Curvatures are those
along the triangle's normal, which is frozen too.

A system starts as if its cloth had been bent from flat into the shape it has.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from .backend import chosen
from .bending import BendingStencils
from .friction import drawn_after

__all__ = ["BendingFriction", "FrictionStencils"]

SWAY_PER_M = 5.0
"""Curvature that sways before inner friction slips (estimate: hysteresis loops of pure bending
tests take about a tenth of their ±250 per metre to turn)."""


@dataclass(frozen=True, slots=True)
class FrictionStencils:
    """Curvatures on the triangles of one or more sheets, weighted by the moments that oppose them.

    Attributes
    ----------
    nodes
        (t, 6) nodes, the triangle's corners first.
    weights
        (t, 6, 3) that give the three weighted second derivatives, per square metre.
    moment_n_m2
        (t,) area times the greater of the two moments, N·m².
    """

    nodes: IntArray
    weights: FloatArray
    moment_n_m2: FloatArray

    @classmethod
    def of_sheet(
        cls, stencils: BendingStencils, node: IntArray, across_n: float, along_n: float
    ) -> "FrictionStencils":
        """Of a sheet whose vertices are nodes ``node`` (n,), with moments per width in N."""
        greater = max(across_n, along_n)
        share = np.array([across_n, along_n, np.sqrt(2 * across_n * along_n)]) / greater
        weights = np.ascontiguousarray(np.swapaxes(stencils.weights, 1, 2) * share)
        return cls(node[stencils.vertices], weights, greater * stencils.area_m2)

    def joined(self, other: "FrictionStencils") -> "FrictionStencils":
        """Both as one."""
        return FrictionStencils(
            np.concatenate([self.nodes, other.nodes]),
            np.concatenate([self.weights, other.weights]),
            np.concatenate([self.moment_n_m2, other.moment_n_m2]),
        )


class BendingFriction:
    """The friction moments of a garment's sheets."""

    def __init__(self, stencils: FrictionStencils) -> None:
        laid_out = chosen("passes").laid_out
        self._nodes: IntArray = laid_out(stencils.nodes)
        self._weights: FloatArray = laid_out(stencils.weights)
        self._stiffness: FloatArray = stencils.moment_n_m2 / SWAY_PER_M
        self._sway: FloatArray = np.full(len(stencils.nodes), SWAY_PER_M)
        self._normal: FloatArray = np.zeros((len(stencils.nodes), 3))
        self._anchor: FloatArray = np.zeros((len(stencils.nodes), 3))

    def refresh(self, positions: FloatArray) -> None:
        """Take the triangles' normals and let what was bent farther than it sways keep its bend."""
        self._normal, bend = chosen("passes").bent(positions, self._nodes, self._weights)
        change = bend - self._anchor
        self._anchor = bend - drawn_after(change, self._sway)

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N."""
        result: tuple[float, FloatArray] = chosen("passes").bends(
            positions,
            self._nodes,
            self._weights,
            self._normal,
            self._anchor,
            SWAY_PER_M,
            self._stiffness,
        )
        return result

# SPDX-License-Identifier: GPL-3.0-or-later
"""Outer over lining: the two layers in the order in which they were sewn.

Both layers are cut alike and sewn together along the rim, so a triangle of the outer stays near the
same triangle of the lining. The middles of each such pair are kept apart, along the mean normal of
the two, by the distance that both half thicknesses need, however deep they may have gone: the order
is known, so the push is always towards the right side. (Triangles, not vertices: at the vertices of
a sharp fold there is no normal to go by.) Along the cloth the pair slides with friction,
and the napless backs that face each other cling a little (`CLING_PA`).
"""

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from .backend import chosen
from .body_contact import PILE_SWAY
from .friction import drawn_after, share_held
from .garment import Garment
from .stillness import FOUND_AGAIN
from .sums import lengths, vectors_at

__all__ = ["LayerContact", "node_normals", "rim_share"]

LEAST_AGREEMENT = 0.5
"""Of two triangles that lie on each other the normals add up to their whole length. Where their sum
is shorter than this share of it, their mean means little and stays as it was found."""

AGREEMENT_AGAIN, MORE_EACH_TIME, MOST_AGREEMENT = 0.7, 0.1, 0.95
"""Longer than this share again, it turns along again; by so much more each time that it was kept, up to
the last of these, or it goes to and fro for ever where one way of reckoning leads to the other."""

CLING_PA = 20.0
"""Pressure that cloth backs in touch act as if pressed by even unloaded (estimate)."""


def node_normals(positions: FloatArray, triangles: IntArray) -> FloatArray:
    """Unit normals (m, 3) of nodes, triangles weighted by area; zero for nodes without any."""
    normals = np.repeat(_normals(positions, triangles), 3, axis=0)
    return _unit(vectors_at(triangles.ravel(), normals, len(positions)))


def _normals(positions: FloatArray, triangles: IntArray) -> FloatArray:
    """Normals (t, 3) as long as twice each triangle's area."""
    corner = positions[triangles]
    return np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])


def _unit(vectors: FloatArray) -> FloatArray:
    unit: FloatArray = vectors / np.maximum(lengths(vectors), 1e-30)[:, None]
    return unit


def rim_share(garment: Garment, full_at_m: float) -> FloatArray:
    """(n,) share of the full layer gap at each panel vertex: 0 on the rim, 1 from a distance on."""
    flat = garment.panel.spread
    rim = flat[garment.panel.rim]
    distance = np.full(len(flat), np.inf)
    for start in range(0, len(flat), 1024):
        gap = flat[start : start + 1024, None] - rim[None]
        distance[start : start + 1024] = np.sqrt((gap**2).sum(axis=2).min(axis=1))
    share: FloatArray = np.minimum(distance / full_at_m, 1.0)
    return share


class LayerContact:
    """Contact between the outer and the lining of a two-layer garment.

    Parameters
    ----------
    garment
        Two sheets, outer first.
    gap_m
        (n,) distance between the layers' middle surfaces at each panel vertex.
    stiffness_n_per_m3
        Pressure per depth.
    friction
        Coulomb coefficient between the layers.
    """

    def __init__(
        self, garment: Garment, gap_m: FloatArray, stiffness_n_per_m3: float, friction: float
    ) -> None:
        laid_out = chosen("passes").laid_out
        self._outer: IntArray = laid_out(garment.node_triangles(0))
        self._lining: IntArray = laid_out(garment.node_triangles(1))
        count = len(self._outer)
        area = garment.membrane.area_m2[:count]
        self._gap_m: FloatArray = gap_m[garment.panel.triangles].mean(axis=1)
        self._stiffness: FloatArray = stiffness_n_per_m3 * area
        self._friction = friction
        self._cling_n: FloatArray = CLING_PA * area
        self._normal: FloatArray = np.zeros((count, 3))
        self._turns: BoolArray = np.zeros(count, dtype=bool)
        self._looks_kept: FloatArray = np.zeros(count)
        self._times_kept: FloatArray = np.zeros(count)
        self._anchor: FloatArray = np.zeros((count, 3))
        self._sway_m: FloatArray = np.zeros(count)

    def refresh(self, positions: FloatArray) -> None:
        """Take the mean normals of both layers and let slid pairs go."""
        one, other = (_normals(positions, layer) for layer in (self._outer, self._lining))
        both = one + other
        kept = self._looks_kept > 0
        again = AGREEMENT_AGAIN + MORE_EACH_TIME * (self._times_kept - 1)
        least = np.where(kept, np.minimum(again, MOST_AGREEMENT), LEAST_AGREEMENT)
        self._turns = lengths(both) > least * (lengths(one) + lengths(other))
        self._times_kept += ~self._turns & ~kept
        # what stays as it was found turns the less at every look, or it creeps or swings for ever
        share = np.where(self._turns, 1.0, FOUND_AGAIN**self._looks_kept)[:, None]
        self._normal = _unit(share * _unit(both) + (1.0 - share) * self._normal)
        self._looks_kept = np.where(self._turns, 0.0, self._looks_kept + 1)
        pressed = self._stiffness * np.maximum(self._gap_m - self.gaps(positions), 0.0)
        self._sway_m = self._friction * (pressed + self._cling_n) / (PILE_SWAY * self._stiffness)
        slide = self._slide(positions)
        self._anchor = self._anchor + slide - drawn_after(slide, self._sway_m)

    def _apart(self, positions: FloatArray) -> FloatArray:
        outer, lining = positions[self._outer], positions[self._lining]
        apart: FloatArray = (outer - lining).mean(axis=1)
        return apart

    def gaps(self, positions: FloatArray) -> FloatArray:
        """Signed distance of each pair along its normal, metres; negative is out of order."""
        gaps: FloatArray = (self._apart(positions) * self._normal).sum(axis=1)
        return gaps

    def out_of_order(self, positions: FloatArray) -> int:
        """How many pairs have changed sides; those folded too sharply to have sides do not count."""
        return int(((self.gaps(positions) < 0) & self._turns).sum())

    def _slide(self, positions: FloatArray) -> FloatArray:
        slide = self._apart(positions) - self._anchor
        tangent: FloatArray = (
            slide - (slide * self._normal).sum(axis=1, keepdims=True) * self._normal
        )
        return tangent

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N."""
        result: tuple[float, FloatArray] = chosen("passes").layers(
            positions,
            self._outer,
            self._lining,
            self._normal,
            self._turns,
            self._gap_m,
            self._stiffness,
            self._anchor,
            self._sway_m,
            PILE_SWAY * self._stiffness,
        )
        return result

    def pair_blocks(self, positions: FloatArray) -> FloatArray:
        """(t, 3, 3) second derivatives by the distance of each pair, bounded from above, N/m."""
        pressed = np.where(self._gap_m > self.gaps(positions), self._stiffness, 0.0)
        held = PILE_SWAY * self._stiffness * share_held(self._slide(positions), self._sway_m)
        along: FloatArray = self._normal[:, :, None] * self._normal[:, None, :]
        across: FloatArray = np.eye(3) - along
        blocks: FloatArray = pressed[:, None, None] * along + held[:, None, None] * across
        return blocks

# SPDX-License-Identifier: GPL-3.0-or-later
"""Outer over lining: the two layers in the order in which they were sewn.

Both layers are cut alike and sewn together along the rim, so a place of the outer stays near the
same place of the lining. Each such pair is kept apart, along the mean normal of the two layers
there, by the distance that both half thicknesses need, however deep it may have gone: the order is
known, so the push is always towards the right side. Along the cloth the pair slides with friction,
and the napless backs that face each other cling a little (`CLING_PA`).
"""

import numpy as np

from ..arrays import FloatArray, IntArray
from .body_contact import PILE_SWAY
from .friction import drawn_after, friction_energy, share_held
from .garment import Garment

__all__ = ["LayerContact", "node_normals", "rim_share"]

CLING_PA = 20.0
"""Pressure that cloth backs in touch act as if pressed by even unloaded (estimate)."""


def node_normals(positions: FloatArray, triangles: IntArray) -> FloatArray:
    """Unit normals (m, 3) of nodes, triangles weighted by area; zero for nodes without any."""
    return _unit(_normal_sums(positions, triangles))


def _normal_sums(positions: FloatArray, triangles: IntArray) -> FloatArray:
    corner = positions[triangles]
    cross = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    return _spread(np.repeat(cross, 3, axis=0), triangles.ravel(), len(positions))


def _spread(values: FloatArray, places: IntArray, size: int) -> FloatArray:
    """Sum of (k, 3) values at each of `size` places."""
    return np.stack(
        [np.bincount(places, values[:, axis], minlength=size) for axis in range(3)], axis=1
    )


def _unit(vectors: FloatArray) -> FloatArray:
    length = np.sqrt((vectors**2).sum(axis=1, keepdims=True))
    unit: FloatArray = vectors / np.maximum(length, 1e-30)
    return unit


def rim_share(garment: Garment, full_at_m: float) -> FloatArray:
    """(n,) share of the full layer gap at each panel vertex: 0 on the rim, 1 from a distance on."""
    flat = garment.panel.flat
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
    stiffness_n_per_m
        (m,) contact stiffness of each node.
    friction
        Coulomb coefficient between the layers.
    """

    def __init__(
        self,
        garment: Garment,
        gap_m: FloatArray,
        stiffness_n_per_m: FloatArray,
        friction: float,
    ) -> None:
        outer, vertex = np.unique(garment.node[0], return_index=True)
        lining = garment.node[1][vertex]
        free = outer != lining
        self._outer: IntArray = outer[free]
        self._lining: IntArray = lining[free]
        self._gap_m: FloatArray = gap_m[vertex][free]
        self._stiffness: FloatArray = stiffness_n_per_m[self._outer]
        self._triangles = [garment.node_triangles(sheet) for sheet in (0, 1)]
        self._normal: FloatArray = np.zeros((len(self._outer), 3))
        self._friction = friction
        self._cling_n: FloatArray = CLING_PA * garment.area_m2[self._outer]
        self._anchor: FloatArray = np.zeros((len(self._outer), 3))
        self._sway_m: FloatArray = np.zeros(len(self._outer))

    def refresh(self, positions: FloatArray) -> None:
        """Take the mean normals of both layers and let slid pairs go."""
        outer, lining = (_normal_sums(positions, corners) for corners in self._triangles)
        self._normal = _unit(outer[self._outer] + lining[self._lining])
        pressed = self._stiffness * np.maximum(self._gap_m - self.gaps(positions), 0.0)
        self._sway_m = self._friction * (pressed + self._cling_n) / (PILE_SWAY * self._stiffness)
        slide = self._slide(positions)
        self._anchor = self._anchor + slide - drawn_after(slide, self._sway_m)

    def gaps(self, positions: FloatArray) -> FloatArray:
        """Signed distance of each pair along its normal, metres; negative is out of order."""
        apart = positions[self._outer] - positions[self._lining]
        gaps: FloatArray = (apart * self._normal).sum(axis=1)
        return gaps

    def _slide(self, positions: FloatArray) -> FloatArray:
        slide = positions[self._outer] - positions[self._lining] - self._anchor
        tangent: FloatArray = (
            slide - (slide * self._normal).sum(axis=1, keepdims=True) * self._normal
        )
        return tangent

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N."""
        rubbing, drag = friction_energy(
            self._slide(positions), self._sway_m, PILE_SWAY * self._stiffness
        )
        depth = np.maximum(self._gap_m - self.gaps(positions), 0.0)
        force = self._stiffness * depth
        push = force[:, None] * self._normal - drag
        size = len(positions)
        gradient = _spread(push, self._lining, size) - _spread(push, self._outer, size)
        return rubbing + 0.5 * float(force @ depth), gradient

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) second derivatives in N/m; couplings are moved to the nodes, doubled."""
        pressed = np.where(self._gap_m > self.gaps(positions), self._stiffness, 0.0)
        held = PILE_SWAY * self._stiffness * share_held(self._slide(positions), self._sway_m)
        normal = self._normal[:, :, None] * self._normal[:, None, :]
        pair = pressed[:, None, None] * normal + held[:, None, None] * (np.eye(3) - normal)
        blocks = np.zeros((len(positions), 3, 3))
        blocks[self._outer] += 2 * pair
        blocks[self._lining] += 2 * pair
        return blocks

# SPDX-License-Identifier: GPL-3.0-or-later
"""Directions that go with the cloth: how its nap lies at a node, and which way is out."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from ..nap import NapDown
from .friction import PileFriction
from .garment import Garment

__all__ = ["ClothFrames", "Nap"]


@dataclass(frozen=True, slots=True)
class ClothFrames:
    """Each node of a sheet rides on one of the triangles round it, always the same.

    A sewn node lies on two pieces of cloth that may run opposite ways (at the side seam front and
    back do); it goes by one of them.

    Attributes
    ----------
    corners
        (m, 3) nodes of each node's triangle; for nodes of other sheets without meaning.
    inverse
        (m, 2, 2) inverse of that triangle's flat edge matrix, per metre.
    stroke
        Direction (x, v) on the flat cloth in which its pile strokes smooth.
    """

    corners: IntArray
    inverse: FloatArray
    stroke: tuple[float, float]

    @classmethod
    def of_sheet(
        cls, garment: Garment, sheet: int, nap: NapDown = NapDown.IN_FRONT
    ) -> "ClothFrames":
        """The frames of one sheet of a garment."""
        triangles = garment.node_triangles(sheet)
        nodes, first = np.unique(triangles.ravel(), return_index=True)
        row = np.zeros(len(garment.mass_kg), dtype=np.int64)
        row[nodes] = first // 3
        inverse = garment.membrane.inverse[sheet * len(triangles) + row]
        return cls(triangles[row], inverse, nap.stroke)

    def at(self, positions: FloatArray, nodes: IntArray) -> FloatArray:
        """Frames (k, 3, 3) of nodes (k,): rows are unit vectors with the nap, across it and out."""
        corner = positions[self.corners[nodes]]
        edges = corner[:, 1:] - corner[:, :1]
        derivatives = np.einsum("kec,ked->kdc", edges, self.inverse[nodes])
        nap = _unit(np.einsum("d,kdc->kc", self.stroke, derivatives))
        normal = _unit(np.cross(derivatives[:, 0], derivatives[:, 1]))
        return np.stack([nap, np.cross(normal, nap), normal], axis=1)


@dataclass(frozen=True, slots=True)
class Nap:
    """How the pile of a sheet lies, and how it rubs."""

    frames: ClothFrames
    friction: PileFriction


def _unit(vectors: FloatArray) -> FloatArray:
    length = np.sqrt((vectors**2).sum(axis=1, keepdims=True))
    unit: FloatArray = vectors / np.maximum(length, 1e-30)
    return unit

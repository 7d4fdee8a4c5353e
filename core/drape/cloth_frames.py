# SPDX-License-Identifier: GPL-3.0-or-later
"""Directions that go with the cloth: how its nap lies at a node, and which way is out."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
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
    """

    corners: IntArray
    inverse: FloatArray

    @classmethod
    def of_sheet(cls, garment: Garment, sheet: int) -> "ClothFrames":
        """The frames of one sheet of a garment."""
        triangles = garment.node_triangles(sheet)
        nodes, first = np.unique(triangles.ravel(), return_index=True)
        row = np.zeros(len(garment.mass_kg), dtype=np.int64)
        row[nodes] = first // 3
        return cls(triangles[row], garment.membrane.inverse[sheet * len(triangles) + row])

    def at(self, positions: FloatArray, nodes: IntArray) -> FloatArray:
        """Frames (k, 3, 3) of nodes (k,): rows are unit vectors with the nap, across it and out.

        The pile strokes smooth towards smaller v: down the front, and so up the back.
        """
        corner = positions[self.corners[nodes]]
        edges = corner[:, 1:] - corner[:, :1]
        derivatives = np.einsum("kec,ked->kdc", edges, self.inverse[nodes])
        nap = -_unit(derivatives[:, 1])
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

# SPDX-License-Identifier: GPL-3.0-or-later
"""What lies beyond the middle of a garment draped as half: the mirror images of some of its nodes.

Bending on the triangles along the middle reaches one corner beyond it. Positions are given those
images before, and what pulls at an image pulls at the node that it is the image of.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from ..panels import PanelMesh

__all__ = ["Images"]

MIRRORED = np.array([-1.0, 1.0, 1.0])


@dataclass(frozen=True, slots=True)
class Images:
    """Images of vertices or nodes across the plane x = 0, numbered after all others.

    Attributes
    ----------
    count
        Vertices or nodes that are no images.
    source
        (g,) of each image the one that it is an image of.
    edges
        (g, 2) vertices of the edge in the middle that the image lies beyond.
    """

    count: int
    source: IntArray
    edges: IntArray

    @classmethod
    def of_panel(cls, panel: PanelMesh) -> "Images":
        """The image of the corner across from every edge that lies in the panel's middle."""
        in_middle = np.zeros(len(panel.flat), dtype=bool)
        in_middle[panel.middle] = True
        corners = panel.triangles[in_middle[panel.triangles].sum(axis=1) == 2]
        turned = np.argsort(in_middle[corners], axis=1, kind="stable")
        corners = np.take_along_axis(corners, turned, axis=1)
        return cls(len(panel.flat), corners[:, 0], np.sort(corners[:, 1:], axis=1))

    def of_nodes(self, node: IntArray, count: int) -> "Images":
        """The same for vertices that are nodes ``node`` (n,) of ``count``."""
        return Images(count, node[self.source], node[self.edges])

    def joined(self, other: "Images") -> "Images":
        """Both, one after the other."""
        return Images(
            self.count,
            np.concatenate([self.source, other.source]),
            np.concatenate([self.edges, other.edges]),
        )

    def beyond(self, triangles: IntArray, opposite: IntArray) -> IntArray:
        """Far corners (t, 3) across from each corner, with images where there was nothing (-1)."""
        if not len(self.source):
            return opposite
        sides = np.sort(triangles[:, [[1, 2], [2, 0], [0, 1]]], axis=2)
        key = sides[..., 0] * self.count + sides[..., 1]
        known = self.edges[:, 0] * self.count + self.edges[:, 1]
        order = np.argsort(known)
        place = np.minimum(np.searchsorted(known[order], key), len(known) - 1)
        image = order[place]
        found = (opposite < 0) & (known[image] == key)
        return np.where(found, self.count + image, opposite)

    def appended(self, positions: FloatArray) -> FloatArray:
        """Positions (m, 3) and after them those of the images."""
        if not len(self.source):
            return positions
        return np.concatenate([positions, positions[self.source] * MIRRORED])

    def folded(self, gradient: FloatArray) -> FloatArray:
        """A gradient (m + g, 3) by positions and images as one (m, 3) by positions."""
        if not len(self.source):
            return gradient
        folded = gradient[: self.count].copy()
        np.add.at(folded, self.source, gradient[self.count :] * MIRRORED)
        return folded

    def sides(self) -> tuple[IntArray, FloatArray]:
        """(m + g,) the node that each is or is an image of, and 1 or, of images, -1."""
        node = np.concatenate([np.arange(self.count), self.source])
        side = np.ones(len(node))
        side[self.count :] = -1.0
        return node, side

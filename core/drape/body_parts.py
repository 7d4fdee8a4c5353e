# SPDX-License-Identifier: GPL-3.0-or-later
"""The closest places on the parts of a body: cloth in the armpit touches arm and trunk."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from ..mannequin import Mannequin, PosedBody
from ..mannequin.distance import fast_search
from ..mannequin.triangles import (
    Boxes,
    Memory,
    Tree,
    build_tree,
    farthest_m,
    fit_boxes,
    triangle_planes,
)

__all__ = ["BodyParts", "Close"]

CLOSE_M = 0.04
UPRIGHT = 0.8
ON_SKIN_M = 1e-6


@dataclass(frozen=True, slots=True)
class Close:
    """Places (k) on parts of the body close to points.

    ``row`` (k,) is the point that each belongs to, ``point`` (k, 3) the place on the skin, and
    ``direction`` (k, 3) the unit direction away from the body there.
    """

    row: IntArray
    point: FloatArray
    direction: FloatArray


class BodyParts:
    """Trunk, arms and legs of one mannequin, or of a body as it stands, in the pose last set."""

    def __init__(self, body: Mannequin | PosedBody) -> None:
        self._triangles = body.triangles
        self._vertices = body.vertices
        part = body.part[body.triangles].max(axis=1)
        self._trees: list[Tree] = []
        self._part_vertices: list[IntArray] = []
        for index in np.unique(part):
            own = np.flatnonzero(part == index)
            tree = build_tree(body.vertices, body.triangles[own])
            self._trees.append(Tree(tree.depth, own[tree.order]))
            self._part_vertices.append(np.unique(body.triangles[own]))
        self._memory: list[Memory] = []
        self._search = fast_search()
        self._last: IntArray = np.zeros((len(self._trees), 0), dtype=np.int64)
        self._boxes: list[Boxes] = []
        self._planes: FloatArray = np.zeros((0, 13))
        self._normals: FloatArray = np.zeros((0, 3))

    def set_pose(self, posed: PosedBody) -> None:
        """Take the surface of ``posed``, which must come from the same body."""
        for memory, part in zip(self._memory, self._part_vertices, strict=False):
            memory.travel_m += farthest_m(self._vertices[part], posed.vertices[part])
        self._vertices = posed.vertices
        corners = posed.vertices[self._triangles]
        self._boxes = [fit_boxes(tree, corners) for tree in self._trees]
        self._planes, _ = triangle_planes(corners)
        self._normals = posed.normals

    def close(self, points: FloatArray) -> Close:
        """The closest place on every part within `CLOSE_M` of each point (n, 3)."""
        if self._last.shape[1] != len(points):
            self._last = np.full((len(self._trees), len(points)), -1, dtype=np.int64)
            self._memory = [Memory.of_nothing(len(points)) for _ in self._trees]
        found = [
            self._close_on(points, *kept)
            for kept in zip(self._last, self._trees, self._boxes, self._memory, strict=True)
        ]
        return Close(
            np.concatenate([close.row for close in found]),
            np.concatenate([close.point for close in found]),
            np.concatenate([close.direction for close in found]),
        )

    def _close_on(
        self, points: FloatArray, last: IntArray, tree: Tree, boxes: Boxes, memory: Memory
    ) -> Close:
        search = self._search(points, last, tree, boxes, self._planes, CLOSE_M, memory)
        last[:] = search.triangle
        row = np.flatnonzero(np.isfinite(search.square))
        weights, triangle = search.weights[row], search.triangle[row]
        plane = self._planes.take(triangle, axis=0)
        place = plane[:, 0:3] + weights[:, 1:2] * plane[:, 3:6] + weights[:, 2:3] * plane[:, 6:9]
        corner_normals = self._normals.take(self._triangles.take(triangle, axis=0), axis=0)
        normal = np.einsum("ij,ijk->ik", weights, corner_normals)
        normal /= np.sqrt((normal**2).sum(axis=1, keepdims=True))
        offset = points[row] - place
        length = np.sqrt((offset**2).sum(axis=1, keepdims=True))
        side = np.where((offset * normal).sum(axis=1, keepdims=True) < 0, -1.0, 1.0)
        direction = np.where(length > ON_SKIN_M, side * offset / np.maximum(length, 1e-12), normal)
        # a closest place on the edge where a part was cut off is none of the whole body: the
        # direction to it leans over the skin
        upright = (normal * direction).sum(axis=1) > UPRIGHT
        return Close(row[upright], place[upright], direction[upright])

# SPDX-License-Identifier: GPL-3.0-or-later
"""A body in one pose: its surface, its joints and landmarks, and what it rests on."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..arrays import FloatArray, IntArray
from .measuring import hull_girth, section_points, slice_points
from .poses import Pose
from .supports import Support

__all__ = ["ARMS", "PARTS", "PosedBody", "vertex_normals"]

PARTS = ("trunk", "arm_left", "arm_right", "leg_left", "leg_right")  # numbers of the parts
ARMS = (1, 2)
ARM_JOINTS = ("shoulder", "elbow", "wrist", "knuckles", "finger_tip")
LIMB_REACH_M = 0.16  # a bent limb is cut twice: what is farther from the station does not count


@dataclass(frozen=True)
class PosedBody:
    """A body in a pose, its lowest point as high over the floor (z = 0) as the pose says.

    ``landmarks`` and ``joints`` map names (``bust``, ``shoulder_point_left``, ``elbow_left``,
    ...) to points (3,). Triangles are counter-clockwise seen from outside. ``supports`` are the
    parts of the chair or bed that the body rests on, none where it stands; ``held`` is what its
    hands hold, which no cloth touches.
    """

    vertices: FloatArray
    triangles: IntArray
    part: IntArray
    landmarks: Mapping[str, FloatArray]
    joints: Mapping[str, FloatArray]
    pose: Pose
    supports: tuple[Support, ...] = ()
    held: tuple[Support, ...] = ()

    @cached_property
    def normals(self) -> FloatArray:
        """Unit normals (n, 3) of the vertices. Only worked out where they are asked for."""
        return vertex_normals(self.vertices, self.triangles)

    @property
    def furniture(self) -> tuple[Support, ...]:
        """All that is shown beside the body: what it rests on and what it holds."""
        return self.supports + self.held

    def trunk_slice(self, height_m: float) -> FloatArray:
        """Points (k, 2) in x and y where a horizontal plane cuts the body, arms left out."""
        arms = np.isin(self.part, ARMS)[self.triangles].any(axis=1)
        return slice_points(self.vertices, self.triangles[~arms], height_m)

    def limb_girth(self, start: str, end: str, fraction: float) -> float:
        """Tape girth across a limb, at ``fraction`` of the way between two of its joints."""
        way = self.joints[end] - self.joints[start]
        centre = self.joints[start] + fraction * way
        part = PARTS.index(("arm_" if start.startswith(ARM_JOINTS) else "leg_") + side_of(start))
        mine = (self.part == part)[self.triangles].all(axis=1)
        along = _unit(way)
        segments, _ = section_points(self.vertices, self.triangles[mine], centre, along)
        points = segments.reshape(-1, 3) - centre
        first = _unit(np.cross(np.array([0.34, 0.94, 0.0]), along))
        flat = points @ np.stack([first, np.cross(along, first)], axis=1)
        return hull_girth(flat[(flat**2).sum(axis=1) <= LIMB_REACH_M**2])


def side_of(name: str) -> str:
    """``left`` or ``right``, the end of a joint's name."""
    return name.rsplit("_", 1)[1]


def _unit(vector: FloatArray) -> FloatArray:
    result: FloatArray = vector / np.linalg.norm(vector)
    return result


def vertex_normals(vertices: FloatArray, triangles: IntArray) -> FloatArray:
    """Unit normals (n, 3), faces weighted by area."""
    corner = vertices[triangles]
    face = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    normals = np.stack(
        [
            np.bincount(triangles.reshape(-1), np.repeat(face[:, axis], 3), len(vertices))
            for axis in range(3)
        ],
        axis=1,
    )
    result: FloatArray = normals / np.sqrt((normals**2).sum(axis=1, keepdims=True))
    return result

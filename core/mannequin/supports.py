# SPDX-License-Identifier: GPL-3.0-or-later
"""What a body rests on: convex solids with rounded edges, and the distance to them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ..arrays import FloatArray, IntArray
from ..errors import InputError

__all__ = ["Support", "joined_mesh"]

ROUND_STEPS = 5  # strips of the mesh round half a right angle of an edge
FLAT_STEPS = 6
UNIT_TOLERANCE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Support:
    """A box with rounded edges: a seat, a mattress, a cushion.

    Attributes
    ----------
    name
        What it is, in a word or two.
    centre
        (3,) m.
    half_size_m
        (3,) half of its length along each of its own axes.
    rotation
        (3, 3), its own axes as columns.
    edge_radius_m
        Radius of all edges and corners, above zero.
    approach
        (3,) unit vector from its place to where it comes from: put to a dressed body, it moves
        against this direction.
    """

    name: str
    centre: FloatArray
    half_size_m: FloatArray
    rotation: FloatArray
    edge_radius_m: float
    approach: FloatArray

    def __post_init__(self) -> None:
        smallest = float(np.min(self.half_size_m))
        if not 0.0 < self.edge_radius_m <= smallest:
            raise InputError(
                f"support.{self.name}.edge_radius_m",
                f"{self.edge_radius_m:g}",
                f"above 0, up to the smallest half size ({smallest:g})",
                "give a smaller edge radius or a larger support",
            )
        axes = self.rotation
        turned = np.abs(axes.T @ axes - np.eye(3)).max() > UNIT_TOLERANCE
        if turned or np.linalg.det(axes) < 0.0:
            raise InputError(
                f"support.{self.name}.rotation",
                f"{axes.tolist()}",
                "three right-handed unit axes at right angles",
                "give a rotation matrix",
            )
        if abs(float(np.linalg.norm(self.approach)) - 1.0) > UNIT_TOLERANCE:
            raise InputError(
                f"support.{self.name}.approach",
                f"{self.approach.tolist()}",
                "a vector of length 1",
                "divide it by its length",
            )

    def moved(self, offset: FloatArray) -> "Support":
        """The same solid at another place, shifted by ``offset`` (3,) m."""
        return replace(self, centre=self.centre + offset)

    def nearest(self, points: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Distance (n,) of points (n, 3), outward unit directions (n, 3), places on the surface.

        The distance is negative inside. The direction is continuous outside and less deep inside
        than the edge radius; deeper it points to the nearest face.
        """
        local = (points - self.centre) @ self.rotation
        core = self.half_size_m - self.edge_radius_m
        held = np.clip(local, -core, core)
        offset = local - held
        length = np.sqrt((offset**2).sum(axis=1))
        depth = core - np.abs(local)  # to the faces of the core, where all are positive
        face = np.argmin(depth, axis=1)
        rows = np.arange(len(points))
        straight = np.zeros_like(local)
        straight[rows, face] = np.where(local[rows, face] < 0.0, -1.0, 1.0)
        outside = length > 1e-12
        safe = np.where(outside, length, 1.0)
        direction = np.where(outside[:, None], offset / safe[:, None], straight)
        beyond = np.where(outside, length, -depth[rows, face])
        distance = beyond - self.edge_radius_m
        place = local - distance[:, None] * direction
        return (
            distance,
            direction @ self.rotation.T,
            place @ self.rotation.T + self.centre,
        )

    def mesh(self) -> tuple[FloatArray, IntArray]:
        """Vertices (m, 3) and triangles (k, 3) of its closed surface, seen from outside."""
        radius, core = self.edge_radius_m, self.half_size_m - self.edge_radius_m
        bend = radius * np.tan(np.linspace(0.0, np.pi / 4.0, ROUND_STEPS + 1))
        steps = []
        for half in core:
            flat = np.linspace(-half, half, FLAT_STEPS + 1) if half > 1e-9 else np.zeros(1)
            steps.append(np.concatenate([-half - bend[:0:-1], flat, half + bend[1:]]))
        counts = np.array([len(step) for step in steps])
        corners = []
        for axis in range(3):
            one, two = (axis + 1) % 3, (axis + 2) % 3
            low = np.zeros((counts[one] - 1, counts[two] - 1, 3), dtype=np.int64)
            low[..., one] = np.arange(counts[one] - 1)[:, None]
            low[..., two] = np.arange(counts[two] - 1)[None, :]
            right, up = np.eye(3, dtype=np.int64)[[one, two]]
            quads = np.stack([low, low + right, low + right + up, low + up], axis=2)
            far = quads + (counts[axis] - 1) * np.eye(3, dtype=np.int64)[axis]
            corners += [far.reshape(-1, 4, 3), quads[:, :, ::-1].reshape(-1, 4, 3)]
        lattice = np.concatenate(corners)
        key = (lattice[..., 0] * counts[1] + lattice[..., 1]) * counts[2] + lattice[..., 2]
        keys, quad = np.unique(key, return_inverse=True)
        quad = quad.reshape(-1, 4)
        index = np.stack(np.unravel_index(keys, counts), axis=1)
        cube = np.stack([steps[axis][index[:, axis]] for axis in range(3)], axis=1)
        held = np.clip(cube, -core, core)
        offset = cube - held
        offset /= np.sqrt((offset**2).sum(axis=1, keepdims=True))
        vertices = (held + radius * offset) @ self.rotation.T + self.centre
        triangles = np.concatenate([quad[:, [0, 1, 2]], quad[:, [0, 2, 3]]])
        return vertices, triangles.astype(np.int64)

    def words(self) -> dict[str, Any]:
        """All of it in plain lists and numbers, for a file."""
        return {
            "name": self.name,
            "centre": self.centre.tolist(),
            "half_size_m": self.half_size_m.tolist(),
            "rotation": self.rotation.tolist(),
            "edge_radius_m": self.edge_radius_m,
            "approach": self.approach.tolist(),
        }

    @classmethod
    def of_words(cls, words: Mapping[str, Any]) -> "Support":
        """The support that `words` describe."""
        arrays = {
            name: np.array(words[name], dtype=np.float64)
            for name in ("centre", "half_size_m", "rotation", "approach")
        }
        return cls(name=words["name"], edge_radius_m=float(words["edge_radius_m"]), **arrays)


def joined_mesh(supports: Sequence[Support]) -> tuple[FloatArray, IntArray]:
    """Vertices (n, 3) and triangles (t, 3) of all parts of a chair or bed as one mesh."""
    meshes = [support.mesh() for support in supports]
    starts = np.cumsum([0, *(len(vertices) for vertices, _ in meshes)])
    return (
        np.concatenate([vertices for vertices, _ in meshes]),
        np.concatenate(
            [triangles + start for (_, triangles), start in zip(meshes, starts, strict=False)]
        ),
    )

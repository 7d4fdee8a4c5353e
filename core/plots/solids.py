# SPDX-License-Identifier: GPL-3.0-or-later
"""A draped wrap on its body, seen from one side without perspective, as polygons from far to near."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from ..arrays import FloatArray, IntArray
from ..drape import Drape
from ..mannequin.posed_body import vertex_normals
from ..mannequin.supports import joined_mesh

__all__ = ["Seen", "View", "seen_body", "seen_wrap", "together"]

View = Literal["front", "side", "back"]

# Where right, towards the reader, and the light are: the side view is of the wearer's left
_AXES = {
    "front": ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0)),
    "side": ((0.0, 1.0, 0.0), (1.0, 0.0, 0.0)),
    "back": ((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
}
_SKIN = (0.86, 0.83, 0.78)
_FURNITURE = (0.80, 0.74, 0.64)
_LEAST_LIGHT = 0.55


@dataclass(frozen=True, slots=True)
class Seen:
    """Triangles in the plane of view.

    Attributes
    ----------
    corners
        (t, 3, 2) metres to the right and up.
    depth
        (t,) towards the reader.
    colours
        (t, 3).
    """

    corners: FloatArray
    depth: FloatArray
    colours: FloatArray

    def between(self, low_m: float, high_m: float) -> "Seen":
        """What of it lies between two heights."""
        height = self.corners[..., 1]
        keep = (height.max(axis=1) > low_m) & (height.min(axis=1) < high_m)
        return Seen(self.corners[keep], self.depth[keep], self.colours[keep])


def seen_wrap(
    drape: Drape, view: View, colours: FloatArray | None = None, *, shaded: bool = True
) -> Seen:
    """The outer cloth with its pile, in its own colour or in colours (t, 3)."""
    outer = drape.outer
    normals = vertex_normals(outer, drape.panel.triangles)
    face = outer + drape.outer_cloth.thickness_m / 2 * normals
    if colours is None:
        colours = np.tile(np.array(drape.outer_cloth.colour), (len(drape.panel.triangles), 1))
    return _seen(face, drape.panel.triangles, colours, view, shaded=shaded, both_sides=True)


def seen_body(drape: Drape, view: View) -> Seen:
    """The body and what it rests on."""
    body = drape.body
    skin = np.tile(np.array(_SKIN), (len(body.triangles), 1))
    parts = [_seen(body.vertices, body.triangles, skin, view)]
    if body.furniture:
        vertices, triangles = joined_mesh(body.furniture)
        colours = np.tile(np.array(_FURNITURE), (len(triangles), 1))
        parts.append(_seen(vertices, triangles, colours, view))
    return together(parts)


def together(parts: list[Seen]) -> Seen:
    """All of these, the farthest triangle first."""
    depth = np.concatenate([part.depth for part in parts])
    order = np.argsort(depth, kind="stable")
    return Seen(
        np.concatenate([part.corners for part in parts])[order],
        depth[order],
        np.concatenate([part.colours for part in parts])[order],
    )


def _seen(
    vertices: FloatArray,
    triangles: IntArray,
    colours: FloatArray,
    view: View,
    *,
    shaded: bool = True,
    both_sides: bool = False,
) -> Seen:
    right, near = (np.array(axis) for axis in _AXES[view])
    corner = vertices[triangles]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    normal /= np.maximum(np.sqrt((normal**2).sum(axis=1, keepdims=True)), 1e-30)
    facing = normal @ near
    keep = np.flatnonzero(facing > 0) if not both_sides else np.arange(len(triangles))
    light = near + 0.5 * np.array([0.0, 0.0, 1.0]) - 0.35 * right
    lit = np.abs(normal[keep] @ light) / np.linalg.norm(light)
    share = _LEAST_LIGHT + (1 - _LEAST_LIGHT) * lit if shaded else np.ones(len(keep))
    return Seen(
        np.stack([corner[keep] @ right, corner[keep][..., 2]], axis=-1),
        corner[keep].mean(axis=1) @ near,
        np.clip(colours[keep] * share[:, None], 0.0, 1.0),
    )

# SPDX-License-Identifier: GPL-3.0-or-later
"""Bending of a sheet that is flat at rest, as one constant matrix.

While a flat sheet bends without stretching, the second derivatives of its position vector with
respect to the flat coordinates are normal to it and equal its curvatures (do Carmo, Differential
Geometry of Curves and Surfaces, section 4-3: the Christoffel symbols of a flat metric vanish). So

    energy = 1/2 ∫ D_across |x_uu|² + D_along |x_vv|² + 2 sqrt(D_across D_along) |x_uv|²

is the bending energy of an orthotropic plate without Poisson coupling, and it is quadratic in the
positions. On each triangle the second derivatives are those of the one quadratic through the
triangle's three corners and the three opposite corners of its neighbours. That is exact for every
uniform curvature on every mesh: no factor depends on the mesh's shape or direction.

Where a neighbour is missing the edge is free, and a free edge carries no bending moment
(Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, section 22): that condition takes
the missing corner's place. Without Poisson coupling it holds exactly of every strip that is bent
along its length.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from .images import Images

__all__ = ["BendingStencils", "opposite_corners", "second_derivative_weights"]

LEAST_DETERMINANT = 0.5
"""Of six points' quadratic terms in the triangle's own size: 45 where all triangles are equilateral,
17 there at a free edge, over 2.5 on every triangle of the panels' meshes."""


def opposite_corners(triangles: IntArray) -> IntArray:
    """Give for each triangle and corner the far corner of the neighbour across from that corner.

    Parameters
    ----------
    triangles
        (t, 3) corner indices of a consistently oriented manifold mesh.

    Returns
    -------
    (t, 3) vertex index, or -1 where the edge across from the corner is on the boundary.
    """
    count = len(triangles)
    start = triangles[:, [1, 2, 0]].ravel()
    end = triangles[:, [2, 0, 1]].ravel()
    corner = triangles.ravel()
    size = int(triangles.max()) + 1
    key = start * size + end
    order = np.argsort(key, kind="stable")
    twin_key = end * size + start
    place = np.minimum(np.searchsorted(key[order], twin_key), 3 * count - 1)
    twin = order[place]
    found = key[twin] == twin_key
    return np.where(found, corner[twin], -1).reshape(count, 3)


def second_derivative_weights(points: FloatArray, free: BoolArray, roots: FloatArray) -> FloatArray:
    """Weights that give the second derivatives f_uu, f_vv and f_uv on each triangle.

    Parameters
    ----------
    points
        (t, 6, 2) flat places in metres of the corners and of the points beyond the edges across
        from them.
    free
        (t, 3) edges with nothing beyond: the point there counts for nothing, and the moment across
        the edge is zero instead.
    roots
        (2,) square roots of the rigidities across and along. With n the edge's normal and
        m = roots n, the moment across it is m·Hm, H being the second derivatives.

    Returns
    -------
    (t, 3, 6) weights per square metre.
    """
    corners = points[:, :3]
    middle = corners.mean(axis=1, keepdims=True)
    scale = np.sqrt(((corners - middle) ** 2).sum(axis=2).mean(axis=1))[:, None]
    u, v = np.moveaxis((points - middle) / scale[..., None], 2, 0)
    rows = np.stack([np.ones_like(u), u, v, u * u / 2, v * v / 2, u * v], axis=2)
    edge = corners[:, [2, 0, 1]] - corners[:, [1, 2, 0]]
    across, along = edge[..., 1] * roots[0], -edge[..., 0] * roots[1]
    size = across**2 + along**2
    moment = np.zeros_like(rows[:, 3:])
    moment[..., 3:] = np.stack(
        [across**2 / size, along**2 / size, 2 * across * along / size], axis=2
    )
    rows[:, 3:] = np.where(free[..., None], moment, rows[:, 3:])
    counts = np.concatenate([np.ones_like(free), ~free], axis=1)[:, None]
    # a quadratic that these points leave open (they lie on a conic) has no curvature to tell of
    told = np.abs(np.linalg.det(rows)) > LEAST_DETERMINANT
    rows[~told] = np.eye(6)
    weights: FloatArray = np.linalg.inv(rows)[:, 3:] / (scale**2)[..., None]
    return np.where(counts & told[:, None, None], weights, 0.0)


@dataclass(frozen=True, slots=True)
class BendingStencils:
    """Second derivatives on the triangles of one sheet.

    Attributes
    ----------
    vertices
        (t, 6) corners, and the points beyond the edges across from them (where there is none, a
        corner again, with no weight).
    weights
        (t, 3, 6) that give f_uu, f_vv and f_uv, per square metre.
    area_m2
        (t,) of each triangle.
    """

    vertices: IntArray
    weights: FloatArray
    area_m2: FloatArray

    @classmethod
    def of_sheet(
        cls,
        flat: FloatArray,
        triangles: IntArray,
        across_n_m: float,
        along_n_m: float,
        images: Images | None = None,
    ) -> "BendingStencils":
        """Of flat positions (n, 2) in metres, across and along, and corners (t, 3).

        The rigidities for bending along each of the two directions, N·m, tell what no moment
        across a free edge means. Triangles without neighbours are left out. Where an edge is joined
        to the sheet's mirror image, the point beyond it is one of ``images``.
        """
        neighbours = opposite_corners(triangles)
        if images is not None:
            neighbours = images.beyond(triangles, neighbours)
            flat = np.concatenate([flat, flat[images.source] * (-1, 1)])
        held = (neighbours >= 0).any(axis=1)
        triangles, neighbours = triangles[held], neighbours[held]
        free = neighbours < 0
        corners = flat[triangles]
        side = corners[:, 1:] - corners[:, :1]
        area_m2 = (side[:, 0, 0] * side[:, 1, 1] - side[:, 0, 1] * side[:, 1, 0]) / 2
        vertices = np.concatenate([triangles, np.where(free, triangles, neighbours)], axis=1)
        roots = np.sqrt([across_n_m, along_n_m])
        return cls(vertices, second_derivative_weights(flat[vertices], free, roots), area_m2)

    def triplets(
        self, across_n_m: float, along_n_m: float
    ) -> tuple[IntArray, IntArray, FloatArray]:
        """Rows, columns and values (N/m) of the bending matrix K of the sheet.

        The energy is 1/2 Σ x·Kx over the three coordinates. Entries repeat; their sum is meant.
        """
        rigidity = np.array([across_n_m, along_n_m, 2 * np.sqrt(across_n_m * along_n_m)])
        blocks = np.einsum("tki,k,tkj,t->tij", self.weights, rigidity, self.weights, self.area_m2)
        rows = np.broadcast_to(self.vertices[:, :, None], blocks.shape)
        columns = np.broadcast_to(self.vertices[:, None, :], blocks.shape)
        return rows.ravel(), columns.ravel(), blocks.ravel()

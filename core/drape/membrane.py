# SPDX-License-Identifier: GPL-3.0-or-later
"""Stretch and shear in the plane of an orthotropic sheet.

Per triangle, with F the derivative of position by flat position (columns F_u across, F_v along):
stretch ε_u = |F_u| - 1, ε_v = |F_v| - 1, shear γ = F_u·F_v, and energy per area
1/2 (K_u ε_u² + K_v ε_v² + G γ²). For small strains this is an orthotropic sheet without Poisson
coupling: a strip cut at 45° has the modulus E with 4/E = 1/K_u + 1/K_v + 1/G.

In compression cloth gives way in wrinkles. Those too fine for the mesh shorten its triangles instead
(tension field theory: Pipkin 1986, IMA Journal of Applied Mathematics 36:85). The finest that a mesh of
edge h can show are 2 h long, and a sheet of rigidity B buckles into such under the load B (π / h)² per
width (Euler): while triangles shorten by `WRINKLED` the load grows evenly to that, and beyond it with
`COMPRESSION` of the stiffness in tension. So a lining lies smooth in a sleeve in which it has not the
room to, on a coarse mesh as on a fine one, where its wrinkles would be as deep as edges are long.
"""

import math
from dataclasses import dataclass, fields

import numpy as np

from ..arrays import FloatArray, IntArray
from .backend import chosen
from .passes import derivatives

__all__ = ["COMPRESSION", "WRINKLED", "Membrane", "buckling_load_n_per_m"]

COMPRESSION = 0.1
"""Stiffness in compression where wrinkles are used up, and at most while cloth wrinkles, over stiffness
in tension."""

WRINKLED = 0.075
"""Share of its length that cloth loses in wrinkles finer than the mesh: somewhat more than the lining of
a sleeve in plush, which lacks 2 π times the distance of the layers, 22 mm of 400."""

TURNING = 0.015
"""Strain that a step is expected to add; it bounds how far a taut triangle may turn in one.

With more of it drapes take fewer iterations. But bends that rub within the cloth are then led so gently
that simulated loops read too stiff (`validate swatches`): at 0.03 by 7 %, past their gate.
"""


def buckling_load_n_per_m(rigidity_n_m: float, edge_m: float) -> float:
    """Load per width under which a sheet buckles into the finest wrinkles of a mesh, N/m (Euler)."""
    return rigidity_n_m * (math.pi / edge_m) ** 2


@dataclass(frozen=True, slots=True)
class Membrane:
    """Triangles of one or more sheets with their stiffness.

    Attributes
    ----------
    triangles
        (t, 3) vertex indices in the solved system.
    inverse
        (t, 2, 2) inverse of the flat edge matrix [p1 - p0, p2 - p0], per metre.
    area_m2
        (t,) flat areas.
    stiffness_n_m
        (t, 3) area times stiffness across, along and in shear, N·m.
    wrinkling_n_m
        (t, 2) area times stiffness in compression across and along while cloth wrinkles, N·m.
    """

    triangles: IntArray
    inverse: FloatArray
    area_m2: FloatArray
    stiffness_n_m: FloatArray
    wrinkling_n_m: FloatArray

    @classmethod
    def of_sheet(
        cls,
        corners: FloatArray,
        triangles: IntArray,
        stiffness_n_per_m: tuple[float, float, float],
        buckling_n_per_m: tuple[float, float],
    ) -> "Membrane":
        """Build from flat corner positions (t, 3, 2) in metres and system indices (t, 3).

        Stiffnesses across, along and in shear; loads per width that make the mesh's finest wrinkles,
        across and along (`buckling_load_n_per_m`).
        """
        stiffness = np.asarray(stiffness_n_per_m)
        wrinkling = np.minimum(COMPRESSION * stiffness[:2], np.asarray(buckling_n_per_m) / WRINKLED)
        edges = np.swapaxes(corners[:, 1:] - corners[:, :1], 1, 2)
        area_m2 = np.linalg.det(edges) / 2
        inverse = np.asarray(np.linalg.inv(edges), dtype=np.float64)
        return cls(
            triangles=triangles,
            inverse=inverse,
            area_m2=area_m2,
            stiffness_n_m=area_m2[:, None] * stiffness,
            wrinkling_n_m=area_m2[:, None] * wrinkling,
        )

    def joined(self, other: "Membrane") -> "Membrane":
        """Both sheets in one set of arrays."""
        return Membrane(
            np.concatenate([self.triangles, other.triangles]),
            np.concatenate([self.inverse, other.inverse]),
            np.concatenate([self.area_m2, other.area_m2]),
            np.concatenate([self.stiffness_n_m, other.stiffness_n_m]),
            np.concatenate([self.wrinkling_n_m, other.wrinkling_n_m]),
        )

    def laid_out(self) -> "Membrane":
        """The same, arrays laid out as the passes read them fastest."""
        laid_out = chosen("passes").laid_out
        return Membrane(*(laid_out(getattr(self, field.name)) for field in fields(self)))

    def strains(self, positions: FloatArray) -> FloatArray:
        """(t, 3) stretch across, stretch along, shear (radians for small angles)."""
        across, along = derivatives(positions, self.triangles, self.inverse)
        return np.stack(
            [
                np.sqrt((across**2).sum(axis=0)) - 1,
                np.sqrt((along**2).sum(axis=0)) - 1,
                (across * along).sum(axis=0),
            ],
            axis=1,
        )

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (n, 3) in N."""
        result: tuple[float, FloatArray] = chosen("passes").membrane(
            positions,
            self.triangles,
            self.inverse,
            self.stiffness_n_m,
            self.wrinkling_n_m,
            WRINKLED,
            COMPRESSION,
        )
        return result

    def stiffness_blocks(self, positions: FloatArray) -> FloatArray:
        """(t, 3, 3, 3, 3) second derivatives by corner, corner, axis, axis, in N/m.

        They are bounded from above so that their sum can be factored and a step with it is safe:
        compression counts as stiff as tension, since a small move turns one into the other, and
        every strain resists turning, by its size and by `TURNING` more.
        """
        blocks: FloatArray = chosen("passes").membrane_blocks(
            positions, self.triangles, self.inverse, self.stiffness_n_m, TURNING
        )
        return blocks

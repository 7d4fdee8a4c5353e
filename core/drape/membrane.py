# SPDX-License-Identifier: GPL-3.0-or-later
"""Stretch and shear in the plane of an orthotropic sheet.

Per triangle, with F the derivative of position by flat position (columns F_u across, F_v along):
stretch ε_u = |F_u| - 1, ε_v = |F_v| - 1, shear γ = F_u·F_v, and energy per area
1/2 (K_u ε_u² + K_v ε_v² + G γ²). For small strains this is an orthotropic sheet without Poisson
coupling: a strip cut at 45° has the modulus E with 4/E = 1/K_u + 1/K_v + 1/G.

Compression is weaker than tension by `COMPRESSION`: cloth in compression buckles into wrinkles
finer than the mesh (tension field theory: Pipkin 1986, IMA Journal of Applied Mathematics 36:85).
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from .backend import chosen
from .passes import derivatives

__all__ = ["COMPRESSION", "Membrane"]

COMPRESSION = 0.1
"""Stiffness in compression over stiffness in tension."""

TURNING = 0.015
"""Strain that a step is expected to add; it bounds how far a taut triangle may turn in one.

With more of it drapes take fewer iterations. But bends that rub within the cloth are then led so gently
that simulated loops read too stiff (`validate swatches`): at 0.03 by 7 %, past their gate.
"""


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
    """

    triangles: IntArray
    inverse: FloatArray
    area_m2: FloatArray
    stiffness_n_m: FloatArray

    @classmethod
    def of_sheet(
        cls, corners: FloatArray, triangles: IntArray, stiffness_n_per_m: tuple[float, float, float]
    ) -> "Membrane":
        """Build from flat corner positions (t, 3, 2) in metres and system indices (t, 3)."""
        edges = np.swapaxes(corners[:, 1:] - corners[:, :1], 1, 2)
        area_m2 = np.linalg.det(edges) / 2
        inverse = np.asarray(np.linalg.inv(edges), dtype=np.float64)
        return cls(
            triangles=triangles,
            inverse=inverse,
            area_m2=area_m2,
            stiffness_n_m=area_m2[:, None] * np.asarray(stiffness_n_per_m),
        )

    def joined(self, other: "Membrane") -> "Membrane":
        """Both sheets in one set of arrays."""
        return Membrane(
            np.concatenate([self.triangles, other.triangles]),
            np.concatenate([self.inverse, other.inverse]),
            np.concatenate([self.area_m2, other.area_m2]),
            np.concatenate([self.stiffness_n_m, other.stiffness_n_m]),
        )

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
            positions, self.triangles, self.inverse, self.stiffness_n_m, COMPRESSION
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

# SPDX-License-Identifier: GPL-3.0-or-later
"""Moving one garment mesh: damped time steps, and the descent to rest."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..mannequin import PosedBody
from ..slices import Slices
from .body_contact import CLOTH_N_PER_M3, LEAST_CLEAR_M, BodyContact
from .equilibrium import GRAVITY_M_PER_S2, Contact, Equilibrium
from .fronts import Fronts
from .garment import Garment
from .layer_contact import LayerContact
from .quasi_newton import Descent, Factor
from .stiffness import Stiffness
from .sums import lengths
from .tangles import Tangles

__all__ = [
    "LONGEST_MOVE",
    "LONG_ROUND_ITERATIONS",
    "ROUND_ITERATIONS",
    "SHORT_ROUND_ITERATIONS",
    "Balance",
    "Motion",
]

STEP_S = 1 / 30
STEP_ITERATIONS = 6
LONGEST_MOVE = 0.4
"""Share of the mesh's edge length that nodes move at most before contacts are found again."""

ROUND_ITERATIONS = 40
"""Iterations between two looks for contacts: fewer leave slow modes behind, more go astray."""

SHORT_ROUND_ITERATIONS = 30
"""Enough where an earlier drape is gone on from."""

LONG_ROUND_ITERATIONS = 80
"""Where contacts hardly change any more, what the descent has learnt is worth more than a new look."""

POINTS_A_SLICE = 8000
"""So many points are asked for their distance from the body without a pause."""

FACTOR_USES = 3
"""Steps or rounds that one factor guides: it ages slowly, and costs as much as a round."""

FORCE_AT_REST = 0.005
"""A round ends where the nodes' out-of-balance force is this small: root mean squares, over weight."""

RESTRAINT_PER_S2 = 10.0
"""Inertia kept in the stiffness at rest, so that what nothing holds does not fly off."""


@dataclass(frozen=True, slots=True)
class Balance:
    """How near a garment is to rest.

    Attributes
    ----------
    mean_force, largest_force
        Out-of-balance force of the nodes: root mean square and largest, over the root mean
        square of the nodes' weight.
    energy_j
        Elastic, contact and weight energy.
    energy_height_m
        The same as a height: as high as the garment's own weight would be lifted by it.
    most_moved_m, farthest_moved_m
        How far 99 of 100 nodes moved at most in the round, and how far the farthest did.
    """

    mean_force: float
    largest_force: float
    energy_j: float
    energy_height_m: float
    most_moved_m: float
    farthest_moved_m: float


class Motion:
    """A garment on its way.

    Attributes
    ----------
    positions
        (m, 3) nodes.
    velocity
        (m, 3) in m/s.
    iterations, factorizations
        Work done so far.
    """

    def __init__(
        self,
        garment: Garment,
        body: BodyContact,
        others: Sequence[Contact],
        positions: FloatArray,
        layers: LayerContact | None = None,
        stiffness: Stiffness | None = None,
    ) -> None:
        self.garment = garment
        self.positions = positions
        self.velocity = np.zeros_like(positions)
        self.iterations = 0
        self.factorizations = 0
        self._body = body
        self._tangles = Tangles(garment, CLOTH_N_PER_M3 * garment.area_m2)
        self._equilibrium = Equilibrium(garment, [body, *others, self._tangles], layers)
        self._stiffness = stiffness or Stiffness(garment)
        self._factor: Factor | None = None
        self._factor_uses = 0
        self._factor_at_rest = False

    @property
    def fronts(self) -> Fronts:
        """The order of elimination, for another garment on the same mesh."""
        return self._stiffness.fronts

    def move_body(self, posed: PosedBody) -> None:
        """Change the body's pose and carry the cloth near it along."""
        self.positions = self.positions + self._body.move_body(posed)

    def untangle(self, *, firmer: bool = False) -> Slices[int]:
        """Find where cloth crosses cloth and push it apart from now on; how many places.

        ``firmer``, for cloth at rest, pushes the harder the longer cloth has crossed.
        """
        return (yield from self._tangles.find(self.positions, firmer=firmer))

    def clear_tangles(self) -> Slices[bool]:
        """Move apart the last few places where cloth crosses cloth; False where that fails.

        It fails where some still cross, or where cloth came deeper under the skin.
        """
        positions, left = yield from self._tangles.cleared(self.positions)
        before_m, after_m = (
            float(self._body.depths_m(part).max()) for part in (self.positions, positions)
        )
        if left or after_m > max(LEAST_CLEAR_M, before_m):
            return False
        self.positions = positions
        return True

    def lift_dips(self) -> Slices[int]:
        """Have the ends of edges that dip into the skin keep farther off.

        Returns how many edges pass under it: those that only come near do not count.
        """
        edges = self._tangles.edges
        depths = []
        for first in range(0, len(edges), POINTS_A_SLICE):
            part = edges[first : first + POINTS_A_SLICE]
            depths.append(self._body.depths_m(self.positions[part].mean(axis=1)))
            yield
        depth_m = np.concatenate(depths)
        dips = np.flatnonzero(depth_m > 0)
        self._body.lift(edges[dips].ravel(), np.repeat(depth_m[dips], 2))
        return int((depth_m > LEAST_CLEAR_M).sum())

    def step(self, *, gravity_share: float, kept_velocity: float) -> Slices[None]:
        """One implicit Euler step of `STEP_S`, with a share of the velocity kept."""
        start = self.positions
        self._equilibrium.gravity_share = gravity_share
        self._equilibrium.inertia = (
            start + kept_velocity * STEP_S * self.velocity,
            self.garment.mass_kg / STEP_S**2,
        )
        yield from self._descend(STEP_ITERATIONS)
        self.velocity = (self.positions - start) / STEP_S

    def descend(self, iterations: int = ROUND_ITERATIONS) -> Slices[Balance]:
        """One round of the descent to rest: find contacts, factor, go down in energy."""
        start = self.positions
        self._equilibrium.gravity_share = 1.0
        self._equilibrium.inertia = None
        descent = yield from self._descend(iterations)
        self.velocity = np.zeros_like(start)
        force = lengths(descent.gradient)
        mass_kg = self.garment.mass_kg
        weight = GRAVITY_M_PER_S2 * float(np.sqrt((mass_kg**2).mean()))
        moved = lengths(self.positions - start)
        return Balance(
            mean_force=self._mean_force(descent.gradient),
            largest_force=float(force.max()) / weight,
            energy_j=descent.energy,
            energy_height_m=descent.energy / (GRAVITY_M_PER_S2 * float(mass_kg.sum())),
            most_moved_m=float(np.percentile(moved, 99)),
            farthest_moved_m=float(moved.max()),
        )

    def _descend(self, iterations: int) -> Slices[Descent]:
        equilibrium = self._equilibrium
        yield from equilibrium.refresh(self.positions)
        factor = yield from self._guide()
        longest_m = LONGEST_MOVE * self.garment.panel.edge_length_m
        descent = Descent(equilibrium, self.positions, factor, longest_m)
        seen = self.positions
        for _ in range(iterations):
            if equilibrium.inertia is None and self._mean_force(descent.gradient) < FORCE_AT_REST:
                break
            descent.step()
            self.iterations += 1
            yield
            if descent.stuck:
                fresh = self._factor_uses == 1
                self._factor = None
                if fresh:
                    break
                factor = yield from self._guide()
                descent = Descent(equilibrium, descent.positions, factor, longest_m)
            if lengths(descent.positions - seen).max() > longest_m:
                seen = descent.positions
                yield from equilibrium.refresh(seen)
                descent.restart()
        self.positions = descent.positions
        return descent

    def _mean_force(self, gradient: FloatArray) -> float:
        """Root mean square of the nodes' forces (m, 3) over that of their weights."""
        mass_kg = self.garment.mass_kg
        share = np.vdot(gradient, gradient) / np.vdot(mass_kg, mass_kg)
        return float(np.sqrt(share)) / GRAVITY_M_PER_S2

    def _guide(self) -> Slices[Factor]:
        """The factor that guides the descent, `FACTOR_USES` times the same."""
        equilibrium = self._equilibrium
        at_rest = equilibrium.inertia is None
        young = self._factor_uses < FACTOR_USES and self._factor_at_rest == at_rest
        if self._factor is not None and young:
            self._factor_uses += 1
            return self._factor
        blocks = equilibrium.node_blocks(self.positions)
        if at_rest:
            hold = RESTRAINT_PER_S2 * self.garment.mass_kg
            blocks += hold[:, None, None] * np.eye(3)
        pairs = equilibrium.pair_blocks(self.positions)
        yield
        self._factor = yield from self._stiffness.factor(self.positions, blocks, pairs)
        self._factor_uses, self._factor_at_rest = 1, at_rest
        self.factorizations += 1
        return self._factor

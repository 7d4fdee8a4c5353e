# SPDX-License-Identifier: GPL-3.0-or-later
"""The sum that the drape makes smallest: elastic energy, weight, contacts, and inertia in a step."""

from collections.abc import Sequence
from typing import Protocol

import numpy as np

from ..arrays import FloatArray
from ..slices import Slices
from .bending_friction import BendingFriction
from .garment import Garment
from .layer_contact import LayerContact

__all__ = ["GRAVITY_M_PER_S2", "Contact", "Equilibrium"]

GRAVITY_M_PER_S2 = 9.80665
"""Standard gravity (ISO 80000-3)."""


class Touch(Protocol):
    """What resists or pushes besides the elastic sheets."""

    def refresh(self, positions: FloatArray) -> None:
        """Find again what touches."""

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N, with what touches as last found."""


class Contact(Touch, Protocol):
    """What pushes on nodes one by one."""

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) second derivatives in N/m, bounded from above node by node."""


class Equilibrium:
    """Energy of a garment at rest or within one time step.

    Attributes
    ----------
    gravity_share
        0 without weight, 1 with all of it.
    inertia
        None at rest; else (target (m, 3), kilograms over squared seconds (m,)): the positions
        that the nodes would reach unhindered, and how strongly mass holds them there.
    """

    def __init__(
        self, garment: Garment, contacts: Sequence[Contact], layers: LayerContact | None
    ) -> None:
        self._garment = garment
        self._contacts = contacts
        self._layers = layers
        self._touches: list[Touch] = [*contacts] if layers is None else [*contacts, layers]
        friction = garment.inner_friction
        self._inner_friction = None if friction is None else BendingFriction(friction)
        self._weight_n = GRAVITY_M_PER_S2 * garment.mass_kg
        self.gravity_share = 1.0
        self.inertia: tuple[FloatArray, FloatArray] | None = None

    def refresh(self, positions: FloatArray) -> Slices[None]:
        """Find contacts again."""
        for touch in self._touches:
            touch.refresh(positions)
            yield
        if self._inner_friction is not None:
            self._inner_friction.refresh(self._garment.images.appended(positions))
            yield

    def __call__(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N."""
        energy, gradient = self._garment.membrane.energy_and_gradient(positions)
        images = self._garment.images
        reached = images.appended(positions)
        bend = self._garment.bending @ reached
        energy += 0.5 * float(np.vdot(reached, bend))
        if self._inner_friction is not None:
            part, push = self._inner_friction.energy_and_gradient(reached)
            energy += part
            bend += push
        gradient += images.folded(bend)
        weight = self.gravity_share * self._weight_n
        energy += float(weight @ positions[:, 2])
        gradient[:, 2] += weight
        for touch in self._touches:
            part, push = touch.energy_and_gradient(positions)
            energy += part
            gradient += push
        if self.inertia is not None:
            target, hold = self.inertia
            lag = positions - target
            energy += 0.5 * float((hold * (lag**2).sum(axis=1)).sum())
            gradient += hold[:, None] * lag
        return energy, gradient

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) second derivatives of contacts and inertia, N/m."""
        hold = np.zeros(len(positions)) if self.inertia is None else self.inertia[1]
        blocks = hold[:, None, None] * np.eye(3)
        for contact in self._contacts:
            blocks += contact.node_blocks(positions)
        return blocks

    def pair_blocks(self, positions: FloatArray) -> FloatArray | None:
        """(t, 3, 3) second derivatives of the contact between two layers, N/m."""
        return None if self._layers is None else self._layers.pair_blocks(positions)

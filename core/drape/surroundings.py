# SPDX-License-Identifier: GPL-3.0-or-later
"""A garment put in motion with all that it touches: the body, itself, and its other layer."""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..cloth import Cloth
from ..mannequin import BodyDistance, PosedBody
from ..nap import NapDown
from ..panels import PanelMesh
from ..slices import Slices
from .body_contact import CLOTH_N_PER_M3, BodyContact
from .cloth_frames import ClothFrames, Nap
from .contact_points import APART, ContactPoints
from .equilibrium import Contact
from .friction import PileFriction
from .fronts import Fronts
from .garment import Garment
from .layer_contact import LayerContact, node_normals, rim_share
from .middle_plane import MiddlePlane
from .motion import LONGEST_MOVE, Motion
from .self_contact import SelfContact
from .self_friction import SelfFriction
from .stiffness import Stiffness

__all__ = ["Surroundings"]

LIMB_RADIUS_M = 0.05
"""Roundness of an arm, the sharpest that cloth rests on."""

PARTED_SHARE = 0.3
"""Share of their distance by which the layers start apart: with all, they cross in every fold."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a wrap of two cloths meets on one body.

    Attributes
    ----------
    outer, lining
        The materials.
    distance
        Distance to the body and its parts.
    body
        The posed body.
    nap
        Which way the nap of both layers runs.
    """

    outer: Cloth
    lining: Cloth
    distance: BodyDistance
    body: PosedBody
    nap: NapDown

    @property
    def thickness_m(self) -> float:
        """Thickness of both layers together."""
        return self.outer.thickness_m + self.lining.thickness_m

    def one_sheet(self, panel: PanelMesh, placed: FloatArray, *, moves: bool) -> Slices[Motion]:
        """Both layers as one sheet, its vertices at (n, 3), to be moved about or to come to rest."""
        garment = yield from Garment.one_sheet(panel, self.outer, self.lining)
        positions = np.zeros((len(garment.mass_kg), 3))
        positions[garment.node[0]] = placed
        stand_off_m = np.full(len(positions), self.thickness_m / 2)
        body = self._body_contact(garment, stand_off_m, self.lining.friction_body)
        yield
        # mostly outer on outer: sleeve on side, front on front
        others: list[Contact] = [
            self._self_contact(garment, 0, self.thickness_m, self.outer, turns=moves)
        ]
        others += self._middle(garment)
        stiffness = yield from Stiffness.prepared(garment)
        return Motion(garment, body, others, positions, None, stiffness)

    def parted(self, sheet: Motion) -> Slices[tuple[Motion, LayerContact]]:
        """The one sheet as two layers, a share of their distance apart."""
        panel = sheet.garment.panel
        garment = yield from Garment.two_layers(panel, self.outer, self.lining)
        normals = node_normals(sheet.positions, sheet.garment.node_triangles(0))
        middle, out = (part[sheet.garment.node[0]] for part in (sheet.positions, normals))
        out = PARTED_SHARE / 2 * rim_share(garment, self.thickness_m)[:, None] * out
        outer = middle + self.lining.thickness_m * out
        lining = middle - self.outer.thickness_m * out
        return (yield from self._layers(garment, outer, lining, sheet.fronts))

    def two_layers(
        self, panel: PanelMesh, outer: FloatArray, lining: FloatArray
    ) -> Slices[tuple[Motion, LayerContact]]:
        """Outer and lining, their vertices at (n, 3) each."""
        garment = yield from Garment.two_layers(panel, self.outer, self.lining)
        return (yield from self._layers(garment, outer, lining, None))

    def _layers(
        self, garment: Garment, outer: FloatArray, lining: FloatArray, fronts: Fronts | None
    ) -> Slices[tuple[Motion, LayerContact]]:
        panel, share = garment.panel, rim_share(garment, self.thickness_m)
        positions = np.zeros((len(garment.mass_kg), 3))
        positions[garment.node[1]] = lining
        positions[garment.node[0]] = outer
        stand_off = np.zeros(len(positions))
        stand_off[garment.node[0]] = self.thickness_m / 2 + share * self.lining.thickness_m / 2
        stand_off[garment.node[1]] = self.thickness_m / 2 - share * self.outer.thickness_m / 2
        # it is the lining that rubs on the skin
        friction = np.zeros(len(positions))
        friction[garment.node[1]] = self.lining.friction_body
        body = self._body_contact(garment, stand_off, friction)
        yield
        apart_m = share * (self.thickness_m / 2 + _dip_m(panel))
        friction_backs = (self.outer.friction_backs + self.lining.friction_backs) / 2
        layers = LayerContact(garment, apart_m, CLOTH_N_PER_M3, friction_backs)
        yield
        others: list[Contact] = [
            self._self_contact(garment, sheet, cloth.thickness_m, cloth, turns=False)
            for sheet, cloth in enumerate((self.outer, self.lining))
        ]
        others += self._middle(garment)
        stiffness = yield from Stiffness.prepared(garment, fronts)
        yield
        return Motion(garment, body, others, positions, layers, stiffness), layers

    def _middle(self, garment: Garment) -> list[Contact]:
        """What a half meets where its mirror image begins; nothing of a whole garment."""
        panel = garment.panel
        if not len(panel.middle):
            return []
        gap = panel.flat[:, None] - panel.flat[None, panel.middle]
        # a fold in the middle is as round as its thickness makes it
        far_m = np.sqrt((gap**2).sum(axis=2).min(axis=1))
        level_m = np.zeros(len(garment.mass_kg))
        for node, thick_m in zip(garment.node, self._thicknesses_m(garment), strict=True):
            level_m[node] += np.where(far_m > APART / 2 * thick_m, thick_m / 2, 0.0)
        return [MiddlePlane(garment.middle, level_m, CLOTH_N_PER_M3 * garment.area_m2)]

    def _thicknesses_m(self, garment: Garment) -> tuple[float, ...]:
        """Of each sheet of a garment."""
        if len(garment.node) == 1:
            return (self.thickness_m,)
        return self.outer.thickness_m, self.lining.thickness_m

    def _body_contact(
        self, garment: Garment, stand_off_m: FloatArray, friction: float | FloatArray
    ) -> BodyContact:
        clear_m = stand_off_m + _dip_m(garment.panel)
        contact = BodyContact(
            self.distance,
            clear_m,
            self.thickness_m,
            garment.area_m2,
            friction,
            self._nap(garment, len(garment.node) - 1, self.lining),
        )
        contact.move_body(self.body)
        return contact

    def _self_contact(
        self, garment: Garment, sheet: int, thickness_m: float, cloth: Cloth, *, turns: bool
    ) -> SelfContact:
        travel_m = LONGEST_MOVE * garment.panel.edge_length_m
        stiffness = CLOTH_N_PER_M3 * garment.area_m2
        points = ContactPoints.of_sheet(garment, sheet, thickness_m, stiffness)
        rubbing = SelfFriction(self._nap(garment, sheet, cloth), turns=turns)
        return SelfContact(points, travel_m, rubbing)

    def _nap(self, garment: Garment, sheet: int, cloth: Cloth) -> Nap:
        friction = PileFriction(cloth.friction_with_nap, cloth.friction_against_nap)
        return Nap(ClothFrames.of_sheet(garment, sheet, self.nap), friction)


def _dip_m(panel: PanelMesh) -> float:
    """How far an edge over a round limb, or over the other layer there, dips: h²/8R."""
    return panel.edge_length_m**2 / (8 * LIMB_RADIUS_M)

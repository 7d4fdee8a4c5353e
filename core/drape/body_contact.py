# SPDX-License-Identifier: GPL-3.0-or-later
"""Cloth on the body and on its chair or bed: it stands off, presses, sticks and slides.

Between two refreshes each node sees the tangent planes at its closest body points. Pressing in is
resisted by the foundation stiffness of pile and flesh, sliding by friction on an anchor in the
skin. Anchors ride on the body, so cloth goes with a moving arm until it slips.
"""

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from ..mannequin import BodyDistance, PosedBody
from .backend import chosen
from .body_parts import close_places
from .cloth_frames import Nap
from .friction import drawn_after, share_held
from .planes import Planes, jump_share
from .stillness import Stillness
from .sums import dots, lengths, sum_at

__all__ = ["CLOTH_N_PER_M3", "LEAST_CLEAR_M", "BodyContact"]

FOUNDATION_N_PER_M3 = 5.0e5
"""Pressure per depth at which compressed pile and flesh yield: 0.5 kPa a millimetre (estimate)."""

CLOTH_N_PER_M3 = 4.0 * FOUNDATION_N_PER_M3
"""The same of cloth against cloth, stiffer: cloth yields last in a pinch (estimate)."""

SOFT_SHARE = 0.5
HARDENING = 10.0
"""Squeezed by more than this share of its stand-off, pile is this much harder (estimate)."""

PILE_SWAY = 0.3
"""Tangential over normal stiffness before slip: pile sways before it slides (estimate)."""

HOLD_M, CARRY_M = 0.01, 0.05
"""A moving limb carries cloth along fully up to the first distance, not at all from the second."""

LEAST_CLEAR_M = 0.0003
"""The middle of an edge nearer to the skin than this dips: its ends are lifted."""

MOST_LIFT_M = 0.005

MOST_GIVE_M = 0.005
"""So far flesh and pile give way on either side of cloth that is pinched (estimate)."""

DEEPEST_M = 0.02
"""Cloth deeper under the skin than this has passed through the body, and no lift brings it back."""

HOLLOW_M = 0.005
"""A node that moves less than this between two looks may lie against both sides of a hollow."""

TOUCH_M = 0.0005
"""Nodes this close to contact count as touching in the stiffness matrix."""


class BodyContact:
    """Contact of all nodes with one posed body.

    Trunk, arms and legs press each on their own: cloth in the armpit is pushed by both sides, so
    the push does not jump where the closest point changes from one to the other.

    Parameters
    ----------
    distance
        Distance to the body and its parts; the pose is set by `move_body`.
    stand_off_m
        (m,) distance that each node keeps from the skin.
    thickness_m
        Thickness of the whole garment: what of it is not between node and skin lies between the
        node and a chair or bed.
    area_m2
        (m,) area that each node stands for.
    friction
        Coulomb coefficient, one for all or (m,): of pile, the mean of with its nap and against.
    nap
        How the pile lies that rubs; None if every way is alike.
    """

    def __init__(
        self,
        distance: BodyDistance,
        stand_off_m: FloatArray,
        thickness_m: float,
        area_m2: FloatArray,
        friction: float | FloatArray,
        nap: Nap | None = None,
    ) -> None:
        self._distance = distance
        self._stand_off_m = stand_off_m
        self._lift_m = np.zeros_like(stand_off_m)
        self._thickness_m = thickness_m
        self._stiffness = FOUNDATION_N_PER_M3 * area_m2
        self._friction = friction
        self._nap = nap
        size = len(area_m2)
        self._body: PosedBody | None = None
        self._planes = Planes(
            np.zeros(0, dtype=np.int64),
            np.zeros(0, dtype=np.int64),
            np.zeros((0, 3)),
            np.zeros(0),
            np.zeros(0),
            np.zeros(0),
        )
        self._stillness = Stillness(size)
        self._normal: FloatArray = np.zeros((size, 3))
        self._clear_m: FloatArray = np.full(size, np.inf)
        self._sway_m: FloatArray = np.zeros(size)
        self._held: FloatArray = np.zeros(size)
        self._touching: BoolArray = np.zeros(size, dtype=bool)
        self._anchor: FloatArray = np.zeros((size, 3))
        self._anchor_triangle: IntArray = np.zeros(size, dtype=np.int64)
        self._anchor_weights: FloatArray = np.zeros((size, 3))
        self._anchor_offset: FloatArray = np.zeros((size, 3))
        # what each node is nearest to: -1 the body, else the number of a support
        self._nearest_to: IntArray = np.full(size, -1)

    def move_body(self, body: PosedBody) -> FloatArray:
        """Set the pose; anchors go with the skin.

        Returns
        -------
        (m, 3) how far the body carries each node along: as far as the skin under it moved, less
        the farther it is from the skin, and nothing beyond `CARRY_M`.
        """
        carried = np.zeros_like(self._anchor_offset)
        if self._body is not None:
            moved = (body.vertices - self._body.vertices)[body.triangles[self._anchor_triangle]]
            share = np.clip(1.0 - (self._clear_m - HOLD_M) / (CARRY_M - HOLD_M), 0.0, 1.0)
            share = np.where(self._nearest_to < 0, share, 0.0)
            carried = np.einsum("nk,nkc->nc", self._anchor_weights, moved) * share[:, None]
        self._body = body
        self._stillness.forget()
        self._distance.set_pose(body)
        return carried

    def refresh(self, positions: FloatArray) -> None:
        """Find the closest places on body, chair and bed again and let anchors slip."""
        share, moved_m, crept_m = self._stillness.look(positions)
        stand_off = self._stand_off_m + self._lift_m
        look = self._distance.look(positions, CARRY_M + float(stand_off.max()))
        nearest, close = self._distance.nearest_of(look), close_places(self._distance, look)
        planes = [(close.row, close.part, close.direction, close.point, stand_off)]
        clear_m, direction, point = nearest.distance - stand_off, nearest.direction, nearest.point
        nearest_to = np.full(len(positions), -1)
        stand_off = self._thickness_m - self._stand_off_m + self._lift_m
        for index, support in enumerate(self._body.supports if self._body else ()):
            distance, outward, place = support.nearest(positions)
            near = np.flatnonzero(distance < CARRY_M)
            number = np.full(len(near), -1 - index)
            planes.append((near, number, outward[near], place[near], stand_off))
            closer = distance - stand_off < clear_m
            nearest_to[closer] = index
            clear_m = np.where(closer, distance - stand_off, clear_m)
            direction = np.where(closer[:, None], outward, direction)
            point = np.where(closer[:, None], place, point)
        rows, surface, normal, place = (
            np.concatenate([part[column] for part in planes]) for column in range(4)
        )
        off_m = np.concatenate([off[row] for row, *_, off in planes])
        found = Planes(
            rows,
            surface,
            normal,
            dots(place, normal) + off_m,
            SOFT_SHARE * self._stand_off_m[rows],
            self._stiffness[rows],
        )
        other_side = self._planes.across_hollows(found, place, off_m, moved_m < HOLLOW_M)
        pressing = found.joined(other_side).giving_way(positions, MOST_GIVE_M)
        self._planes = pressing.eased(self._planes, share, crept_m)
        self._clear_m, pressed_m = clear_m, self._pressed_m(positions)
        stays = self._touching & (pressed_m > 0) & (nearest_to == self._nearest_to)
        self._normal = self._rubbed_along(direction, share * stays, crept_m)
        self._slip(positions, point, pressed_m, nearest_to)
        self._anchor_triangle = nearest.triangle
        self._anchor_weights = nearest.weights
        self._touching = pressed_m > 0

    def _pressed_m(self, positions: FloatArray) -> FloatArray:
        """Depth (m,) that would press as hard, unsqueezed, as all planes of each node together."""
        planes = self._planes
        depth_m = np.maximum(-planes.gap(positions), 0.0)
        depth_m += HARDENING * np.maximum(depth_m - planes.soft_m, 0.0)
        push_n = sum_at(planes.nodes, planes.stiffness * depth_m, len(positions))
        pressed_m: FloatArray = push_n / self._stiffness
        return pressed_m

    def _rubbed_along(
        self, direction: FloatArray, share: FloatArray, crept_m: FloatArray
    ) -> FloatArray:
        """The normals (m, 3) of the planes in which nodes rub, the last counting with shares (m,).

        In a hollow they lie now nearer to one side, now to the other, and rub on both.
        """
        before = np.where(dots(self._normal, direction) < 0.0, -1.0, 1.0)[:, None] * self._normal
        share = share * jump_share(direction, before, crept_m)
        normal: FloatArray = direction + share[:, None] * (before - direction)
        normal /= np.maximum(lengths(normal), 1e-9)[:, None]
        return normal

    def depths_m(self, points: FloatArray) -> FloatArray:
        """How much each point (k, 3) lacks of `LEAST_CLEAR_M` from skin, chair and bed, or 0."""
        nearest = self._distance.nearest(points, DEEPEST_M)
        depths: FloatArray = np.maximum(LEAST_CLEAR_M - nearest.distance, 0.0)
        for support in self._body.supports if self._body else ():
            depths = np.maximum(depths, LEAST_CLEAR_M - support.nearest(points)[0])
        return depths

    def lift(self, nodes: IntArray, more_m: FloatArray) -> None:
        """Have nodes (k,) keep farther from the skin by ``more_m`` (k,) from the next refresh on.

        By `MOST_LIFT_M` in all: squeezed between body and chair, cloth gives no more. What was found
        before of a lifted node counts half at that refresh.
        """
        lift_m = np.minimum(self._lift_m[nodes] + more_m, MOST_LIFT_M)
        np.maximum.at(self._lift_m, nodes, lift_m)
        self._stillness.stir(nodes)

    def _slip(
        self, positions: FloatArray, point: FloatArray, pressed_m: FloatArray, nearest_to: IntArray
    ) -> None:
        if self._body is None:
            raise RuntimeError("move_body comes before refresh")
        skin = self._body.vertices[self._body.triangles[self._anchor_triangle]]
        anchor = np.einsum("nk,nkc->nc", self._anchor_weights, skin) + self._anchor_offset
        # chair and bed stand still: there the anchor is where it was
        anchor = np.where(nearest_to[:, None] < 0, anchor, self._anchor)
        holds = self._touching & (nearest_to == self._nearest_to)
        self._nearest_to = nearest_to
        offset = self._along(np.where(holds[:, None], anchor - positions, 0.0))
        friction = self._friction * self._stroked(positions, offset, pressed_m)
        self._sway_m = friction * pressed_m / PILE_SWAY
        # as it slid until now, before its anchor was drawn after: so it will go on
        self._held = share_held(offset, self._sway_m)
        # not on a smooth skin, but in a hollow the nearest place lies aside
        aside = self._along(positions - point)
        self._anchor_offset = drawn_after(offset, self._sway_m) + aside
        self._anchor = point + self._anchor_offset

    def _stroked(
        self, positions: FloatArray, offset: FloatArray, pressed_m: FloatArray
    ) -> float | FloatArray:
        """How much more or less than the mean the pile holds, (m,), by the way it slides now.

        The skin strokes the pile towards where the node sticks, ``offset`` (m, 3) from it.
        """
        if self._nap is None:
            return 1.0
        nodes = np.flatnonzero(pressed_m > 0)
        way = offset[nodes]
        nap = self._nap.frames.at(positions, nodes)[:, 0]
        share = np.ones_like(pressed_m)
        share[nodes] = self._nap.friction.shares(dots(nap, way), lengths(way))
        return share

    def _along(self, vectors: FloatArray) -> FloatArray:
        """What of vectors (m, 3) lies in the planes in which the nodes rub."""
        along: FloatArray = vectors - dots(vectors, self._normal)[:, None] * self._normal
        return along

    def energy_and_gradient(self, positions: FloatArray) -> tuple[float, FloatArray]:
        """Energy in J and its gradient (m, 3) in N, with planes and anchors as last refreshed."""
        passes, planes = chosen("passes"), self._planes
        energy, gradient = passes.presses(
            positions,
            planes.nodes,
            planes.normal,
            planes.level_m,
            planes.soft_m,
            planes.stiffness,
            HARDENING,
        )
        stuck = self._normal, self._anchor, self._sway_m, PILE_SWAY * self._stiffness
        part, pull = passes.sways(positions, *stuck)
        gradient += pull
        return energy + part, gradient

    def node_blocks(self, positions: FloatArray) -> FloatArray:
        """(m, 3, 3) second derivatives of the energy in N/m."""
        normal = self._normal
        across = np.eye(3) - normal[:, :, None] * normal[:, None, :]
        held = PILE_SWAY * self._stiffness * self._held
        blocks = held[:, None, None] * across
        planes = self._planes
        gap = planes.gap(positions)
        pressed = np.where(gap < TOUCH_M, planes.stiffness, 0.0)
        pressed += np.where(gap < TOUCH_M - planes.soft_m, HARDENING * planes.stiffness, 0.0)
        push = pressed[:, None, None] * planes.normal[:, :, None] * planes.normal[:, None, :]
        np.add.at(blocks, planes.nodes, push)
        return blocks

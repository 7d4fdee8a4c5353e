# SPDX-License-Identifier: GPL-3.0-or-later
"""The planes that nodes keep out of: what body, chair and bed look like between two looks.

A node that lies in a hollow of the skin, as in an armpit, is nearest now to one side of it, now to
the other. Were each look's planes to stand for themselves, cloth at rest would swing from one to
the other for ever. So planes that hardly turned are eased into each other, what is found only now and
then presses the less, and where a plane turned far round a hollow, the last one stays beside the new one.
Only what turned smoothly under a node that creeps is taken as found.
"""

from dataclasses import dataclass, fields, replace

import numpy as np

from ..arrays import BoolArray, FloatArray, IntArray
from .sums import dots, lengths

__all__ = ["Planes", "jump_share"]

ALIKE = 0.9
"""Cosine between normals: planes that turned less are one, others are two sides of an edge."""

ASLANT, FACING = 0.3, 0.8
"""Cosine between one normal and the other's opposite: a wedge up to the first squeezes cloth out, two
sides that face each other from the second on pinch it."""

MOST_PLANES = 6
"""Parts of a body, and chair and bed, that one node may touch."""

OTHER_SIDE = 1000
"""Added to the number of a surface for the plane on the other side of a hollow."""

ROUND_M = 0.02
"""Radius of the sharpest smooth skin. What turned no more than along it under a node that crept on is
another place of one smooth surface, and the newer is right: a mean would hold what slides like a notch."""

LEAST_TURN = 1e-4
"""Turns of fewer radians count as none."""

LEAST_SHARE = 0.01
"""A plane that would press with less than this share of the greatest stiffness is forgotten."""


@dataclass(frozen=True, slots=True)
class Planes:
    """Half spaces that nodes keep out of: normal · position >= level (metres).

    ``surface`` numbers the parts of the body and, below zero, chair and bed. From ``soft_m`` below
    the level on, the push is harder.
    """

    nodes: IntArray
    surface: IntArray
    normal: FloatArray
    level_m: FloatArray
    soft_m: FloatArray
    stiffness: FloatArray

    def gap(self, positions: FloatArray) -> FloatArray:
        """How far (p,) the nodes of positions (m, 3) are outside, m."""
        gap: FloatArray = dots(positions[self.nodes], self.normal) - self.level_m
        return gap

    def joined(self, other: "Planes") -> "Planes":
        """Both."""
        parts = (
            np.concatenate([getattr(self, field.name), getattr(other, field.name)])
            for field in fields(self)
        )
        return Planes(*parts)

    def _among(self, other: "Planes") -> tuple[IntArray, BoolArray]:
        """The row (p,) in other planes of each one's node and surface, and whether there is one."""
        size = 1 + max((int(part.nodes.max(initial=0)) for part in (self, other)), default=0)
        key, known = (part.surface * size + part.nodes for part in (self, other))
        order = np.argsort(known, kind="stable")
        row = order[np.minimum(np.searchsorted(known[order], key), len(known) - 1)]
        return row, known[row] == key

    def eased(self, before: "Planes", share: FloatArray, crept_m: FloatArray) -> "Planes":
        """The mean of these planes and those before, which count with a share of each node (m,).

        Planes alike become one; what only one of both has presses the less. Where a node crept (m,)
        along a smooth surface, its newer plane stands.
        """
        if not len(before.nodes):
            return self
        row, alike = self._alike(before)
        share_here = share[self.nodes]
        last = np.where(alike, share_here, 0.0)
        stiffness = (1 - share_here) * self.stiffness + last * before.stiffness[row]
        last *= jump_share(self.normal, before.normal[row], crept_m[self.nodes])
        normal = self.normal + last[:, None] * (before.normal[row] - self.normal)
        level_m = self.level_m + last * (before.level_m[row] - self.level_m)
        length = lengths(normal)
        eased = replace(
            self, normal=normal / length[:, None], level_m=level_m / length, stiffness=stiffness
        )
        return eased.joined(self._gone(before, np.unique(row[alike]), share))

    def _alike(self, before: "Planes") -> tuple[IntArray, BoolArray]:
        """The row (p,) of each one among those before, and whether there is one."""
        row, same = self._among(before)
        same &= dots(self.normal, before.normal[row]) > ALIKE
        turned = replace(self, surface=_other_side(self.surface))
        other, there = turned._among(before)
        there &= ~same & (dots(self.normal, before.normal[other]) > ALIKE)
        return np.where(there, other, row), same | there

    def _gone(self, before: "Planes", found: IntArray, share: FloatArray) -> "Planes":
        """Those before, but for the rows ``found``, that have room beside these, pressing less."""
        stiffness = share[before.nodes] * before.stiffness
        keep = stiffness > LEAST_SHARE * self.stiffness.max(initial=0.0)
        keep[found] = False
        gone = replace(before, stiffness=stiffness)._at(np.flatnonzero(keep))
        if not len(gone.nodes) or not len(self.nodes):
            return gone
        taken = gone._among(self)[1]
        gone = replace(gone, surface=np.where(taken, _other_side(gone.surface), gone.surface))
        return gone._at(np.flatnonzero(~gone._among(self)[1]))

    def giving_way(self, positions: FloatArray, most_m: float) -> "Planes":
        """These planes, those moved back that face each other across less room than they keep.

        Both give way alike, by at most ``most_m``: nodes of (m, 3) then lie between them unpressed,
        as cloth does in an armpit, where flesh gives way on both sides.
        """
        level_m = self.level_m.copy()
        order = np.argsort(self.nodes, kind="stable")
        gap = self.gap(positions)
        for step in range(1, MOST_PLANES):
            one, other = order[:-step], order[step:]
            same = self.nodes[one] == self.nodes[other]
            one, other = one[same], other[same]
            facing = -dots(self.normal[one], self.normal[other])
            share = np.clip((facing - ASLANT) / (FACING - ASLANT), 0.0, 1.0)
            missing_m = np.maximum(-gap[one] - gap[other], 0.0)
            give_m = share * np.minimum(missing_m / 2, most_m)
            for rows in (one, other):
                np.minimum.at(level_m, rows, self.level_m[rows] - give_m)
        return replace(self, level_m=level_m)

    def across_hollows(
        self, found: "Planes", place: FloatArray, off_m: FloatArray, near: BoolArray
    ) -> "Planes":
        """Those of these planes that are the other side of a hollow in what was found since.

        Parameters
        ----------
        found
            The planes found since.
        place, off_m
            (p, 3) their places on the surface, and (p,) how far nodes keep from it.
        near
            (m,) nodes that moved little meanwhile.
        """
        if not len(self.nodes) or not len(found.nodes):
            return self._at(np.zeros(0, dtype=np.int64))
        surface = np.where(_is_other(self.surface), self.surface - OTHER_SIDE, self.surface)
        row, known = replace(self, surface=surface)._among(found)
        turned = dots(self.normal, found.normal[row]) < ALIKE
        # in a hollow the new place lies before the last plane, round an edge behind it
        ahead = dots(self.normal, place[row]) + off_m[row] > self.level_m
        chosen = np.flatnonzero(known & turned & ahead & near[self.nodes])
        # the last one found comes before what was kept beside it
        chosen = chosen[np.argsort(_is_other(self.surface[chosen]), kind="stable")]
        _, first = np.unique(row[chosen], return_index=True)
        chosen = np.sort(chosen[first])
        return replace(self._at(chosen), surface=surface[chosen] + OTHER_SIDE)

    def _at(self, rows: IntArray) -> "Planes":
        return Planes(*(getattr(self, field.name)[rows] for field in fields(self)))


def jump_share(normal: FloatArray, before: FloatArray, crept_m: FloatArray) -> FloatArray:
    """How far (k,) from none to all a normal jumped rather than turned along a smooth surface."""
    smooth = crept_m / ROUND_M + LEAST_TURN
    share: FloatArray = np.clip(lengths(normal - before) / smooth - 1.0, 0.0, 1.0)
    return share


def _is_other(surface: IntArray) -> BoolArray:
    """Whether each is a plane on the other side of a hollow; chair and bed are below zero."""
    other: BoolArray = surface > OTHER_SIDE // 2
    return other


def _other_side(surface: IntArray) -> IntArray:
    other: IntArray = np.where(_is_other(surface), surface - OTHER_SIDE, surface + OTHER_SIDE)
    return other

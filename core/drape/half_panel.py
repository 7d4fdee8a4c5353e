# SPDX-License-Identifier: GPL-3.0-or-later
"""The wearer's left half of a panel mesh that is its own mirror image.

What is alike on both sides need only be draped once: the half is joined to its mirror image along
the middle, wherever the cloth is not cut there.
"""

from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray, IntArray
from ..panels import PanelMesh

__all__ = ["HalfPanel", "left_half", "whole_of"]


@dataclass(frozen=True, slots=True)
class HalfPanel:
    """A half of a panel mesh, or all of it.

    Attributes
    ----------
    of
        The whole mesh (n vertices).
    panel
        The half (k vertices); its ``middle`` tells where it is joined to its mirror image. Edges
        keep their names and directions; those of the other half are empty.
    kept
        (k,) the whole mesh's vertex of each of the half's.
    twin
        (n,) the half's vertex that each of the whole mesh's is, or is the mirror image of.
    side
        (n,) 1 on the half kept, -1 on its image.
    """

    of: PanelMesh
    panel: PanelMesh
    kept: IntArray
    twin: IntArray
    side: FloatArray

    def whole(self, positions: FloatArray) -> FloatArray:
        """Positions (n, 3) of the whole mesh from those of the half (k, 3)."""
        both: FloatArray = positions[self.twin]
        both[:, 0] *= self.side
        both[self.kept[self.panel.middle], 0] = 0.0
        return both


def left_half(panel: PanelMesh) -> HalfPanel | None:
    """The left half of a panel mesh, or None where its two halves do not part along the middle.

    Overlapping fronts do not: one lies on the other. Closed ones hang otherwise as a half: what is
    too wide in front is then pinched into one sharp fold in the middle, where the whole cloth lays
    itself into two beside it.
    """
    if panel.spread is not panel.flat or "front_left" not in panel.edges:
        return None
    sided = panel.flat[panel.triangles, 0].sum(axis=1) > 0
    kept, corners = np.unique(panel.triangles[sided], return_inverse=True)
    if len(np.unique(panel.mirror[kept])) != len(kept) or (panel.flat[kept, 0] < 0).any():
        return None
    place = np.full(len(panel.flat), -1)
    place[kept] = np.arange(len(kept))
    twin = np.where(place >= 0, place, place[panel.mirror])
    if (twin < 0).any():
        return None
    side = np.where(place >= 0, 1.0, -1.0)
    pairs = place[panel.seam_pairs]

    def within(chain: IntArray) -> IntArray:
        here = place[chain]
        return here[here >= 0]

    half = replace(
        panel,
        flat=panel.flat[kept],
        triangles=corners.reshape(-1, 3),
        seam_pairs=pairs[(pairs >= 0).all(axis=1)],
        rim=within(panel.rim),
        edges=MappingProxyType({name: within(chain) for name, chain in panel.edges.items()}),
        mirror=np.arange(len(kept)),
        middle=np.flatnonzero(panel.mirror[kept] == kept),
    )
    return HalfPanel(panel, half, kept, twin, side)


def whole_of(panel: PanelMesh) -> HalfPanel:
    """All of a panel mesh, for what hangs differently on both sides."""
    every = np.arange(len(panel.flat))
    return HalfPanel(panel, panel, every, every, np.ones(len(every)))

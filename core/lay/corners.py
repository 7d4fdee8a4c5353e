# SPDX-License-Identifier: GPL-3.0-or-later
"""Small pieces in the corners that are cut away under the arms."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from .bolt import Layer
from .grid import Grid
from .offcuts import Corner, corner_of
from .packing import Box, put_apart

__all__ = ["CornerRoom", "corner_rooms"]

CORNER_NAMES: Mapping[str, tuple[str, ...]] = {
    "layer": ("front left", "back left", "back right", "front right"),
    "back": ("back left", "back right"),
    "front": ("front left", "front right"),
    "front left": ("front left",),
    "front right": ("front right",),
}
"""The corners that are cut away from each part of a layer."""


@dataclass(slots=True)
class CornerRoom:
    """A cut-away corner while pieces are put into it.

    ``at`` is the layer's rectangle on the bolt, its sides whole steps; ``taken`` is in the corner's
    own coordinates, its outer square corner being the origin.
    """

    layer: Layer
    name: str
    shape: Corner
    at: Box
    grid: Grid
    taken: list[Box] = field(default_factory=list)

    def put(self, sides: Sequence[tuple[float, float]]) -> tuple[Box, int] | None:
        """Find room for a piece: its place on the bolt and which of ``sides`` it has, or None.

        Gaps stay free between pieces, to the edges and to the cut line. Places are whole steps from
        the layer's own left end and lower edge, from where they are measured.
        """
        found = put_apart(self.shape.ground, self.taken, sides, self.grid)
        if found is None:
            return None
        own, turn = found
        self.taken.append(own)
        x_m = own.x_m if self._at_the_left_edge else self.at.width_m - own.right_m
        y_m = own.y_m if self._at_the_lower_end else self.at.length_m - own.top_m
        return Box(self.at.x_m + x_m, self.at.y_m + y_m, *sides[turn]), turn

    @property
    def _at_the_left_edge(self) -> bool:
        """The wearer's left lies at greater x."""
        return "right" in self.name

    @property
    def _at_the_lower_end(self) -> bool:
        return "front" in self.name


def corner_rooms(layer: Layer, at: Box, grid: Grid) -> list[CornerRoom]:
    """The corners of a layer that lies here."""
    return [
        CornerRoom(layer, name, corner_of(layer.mark, name), at, grid)
        for name in CORNER_NAMES[layer.part]
    ]

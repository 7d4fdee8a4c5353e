# SPDX-License-Identifier: GPL-3.0-or-later
"""The flat pattern of one layer: its quarters, and its named edges all round."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from .choices import Front
from .curves import Edge, Line, Piece, reverse
from .cut import Cut
from .edges import hem_pieces, sleeve_end_pieces, split_pieces, underarm_pieces
from .neck import neck_pieces

__all__ = ["Pattern", "Quarter", "build_pattern", "sewn"]

Pieces = tuple[Piece, ...]
SIGNS = {"left": 1, "right": -1}


def sewn(edge: str) -> bool:
    """Whether an edge is sewn to its partner on the other half: underarm, side, shoulder."""
    return edge.startswith(("underarm", "shoulder"))


@dataclass(frozen=True, slots=True)
class Quarter:
    """One half of the front or of the back: on the wearer's left, v turned to negative behind too.

    The parts end to end, counter-clockwise: ``hem`` from the centre or the edge of the front,
    ``split`` (where the side is left open), ``underarm`` round the corner, ``sleeve_end``,
    ``shoulder`` along fold or seam, ``neck``, ``centre``.
    """

    parts: Mapping[str, Pieces]

    @property
    def area_m2(self) -> float:
        """Its area, in closed form (Green's theorem)."""
        return math.fsum(piece.swept_area_m2 for part in self.parts.values() for piece in part)

    def seen(self, part: str, side: str, *, front: bool) -> Pieces:
        """A part in its place on the cloth, walked counter-clockwise round the layer."""
        x_sign, v_sign = SIGNS[side], -1 if not front else 1
        pieces = tuple(piece.mirrored(x_sign, v_sign) for piece in self.parts[part])
        return pieces if x_sign * v_sign > 0 else reverse(pieces)


@dataclass(frozen=True, slots=True)
class Pattern:
    """The flat outline of one layer: its quarters, and named edges counter-clockwise in (x, v).

    The edges in order are ``hem_front_left``, ``underarm_front_left``, ``sleeve_end_left``,
    ``underarm_back_left``, ``hem_back``, ``underarm_back_right``, ``sleeve_end_right``,
    ``underarm_front_right``, ``hem_front_right``, ``front_right``, ``neck``, ``front_left``. Sides
    that are left open have a ``split`` beside each hem, seamed shoulders a ``shoulder`` beside each
    sleeve end, and a closed front has no front edges. Where fronts meet edge to edge both lie at
    x = 0: that is the cut down the centre front. Left is the wearer's left. No piece crosses x = 0 or
    v = 0.
    """

    cut: Cut
    front: Quarter
    back: Quarter
    edges: Mapping[str, Edge]

    @property
    def area_m2(self) -> float:
        """Area of one layer in square metres, in closed form."""
        return 2 * (self.front.area_m2 + self.back.area_m2)

    @property
    def outline_length_m(self) -> float:
        """Length of the outline of one layer in metres, both front edges counted."""
        return math.fsum(edge.length_m for edge in self.edges.values())


def build_pattern(cut: Cut) -> Pattern:
    """Draw the flat outline of one layer."""
    front, back = (_quarter(cut, front=half) for half in (True, False))
    return Pattern(cut, front, back, MappingProxyType(dict(_edges(cut, front, back))))


def _quarter(cut: Cut, *, front: bool) -> Quarter:
    hem, neck = hem_pieces(cut, front=front), neck_pieces(cut, front=front)
    sleeve_end = sleeve_end_pieces(cut)
    parts = {
        "hem": hem,
        "split": split_pieces(cut),
        "underarm": underarm_pieces(cut),
        "sleeve_end": sleeve_end,
        "shoulder": (Line(start=sleeve_end[-1].end, end=neck[0].start),),
        "neck": neck,
        "centre": (Line(start=neck[-1].end, end=hem[0].start),),
    }
    return Quarter(MappingProxyType({name: part for name, part in parts.items() if part}))


def _edges(cut: Cut, front: Quarter, back: Quarter) -> Iterable[tuple[str, Edge]]:
    """All named edges round the layer, from the front hem on the wearer's left."""

    def at_front(part: str, side: str) -> Pieces:
        return front.seen(part, side, front=True) if part in front.parts else ()

    def at_back(part: str, side: str) -> Pieces:
        return back.seen(part, side, front=False) if part in back.parts else ()

    found: dict[str, Pieces] = {
        "hem_front_left": at_front("hem", "left"),
        "split_front_left": at_front("split", "left"),
        "underarm_front_left": at_front("underarm", "left"),
        "sleeve_end_left": (*at_front("sleeve_end", "left"), *at_back("sleeve_end", "left")),
        "underarm_back_left": at_back("underarm", "left"),
        "split_back_left": at_back("split", "left"),
        "hem_back": (*at_back("hem", "left"), *at_back("hem", "right")),
        "split_back_right": at_back("split", "right"),
        "underarm_back_right": at_back("underarm", "right"),
        "sleeve_end_right": (*at_back("sleeve_end", "right"), *at_front("sleeve_end", "right")),
        "underarm_front_right": at_front("underarm", "right"),
        "split_front_right": at_front("split", "right"),
        "hem_front_right": at_front("hem", "right"),
        "front_right": at_front("centre", "right"),
        "neck": (
            *at_front("neck", "right"),
            *at_back("neck", "right"),
            *at_back("neck", "left"),
            *at_front("neck", "left"),
        ),
        "front_left": at_front("centre", "left"),
    }
    if cut.front is Front.CLOSED:
        del found["front_right"], found["front_left"]
    if cut.seamed:
        found |= {
            f"shoulder_{half}_{side}": seen("shoulder", side)
            for half, seen in (("front", at_front), ("back", at_back))
            for side in SIGNS
        }
    return ((name, Edge(name=name, pieces=pieces)) for name, pieces in found.items() if pieces)

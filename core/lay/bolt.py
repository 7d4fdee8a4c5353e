# SPDX-License-Identifier: GPL-3.0-or-later
"""What is ordered, and how it lies on bolts of cloth.

x runs across the usable width from one margin, y along the cloth from the end cut first; metres as
the cloth lies when it is cut (after the wash, if it is washed first). A layer takes the whole
rectangle from which it is cut. Every layer lies with its front half at lower y, so the nap strokes
the same way in all of them.
"""

from dataclasses import dataclass

from ..cloth import Cloth, ClothChoice
from ..cut_line import Allowances, CutLine, Part, cut_line_of
from ..pattern import Cut
from .choice import Extra, LayChoice
from .offcuts import Offcut
from .packing import Box

__all__ = ["Bolt", "Lay", "Layer", "Order", "Placed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Garments of one cut, out of these cloths."""

    name: str
    cut: Cut
    allowances: Allowances
    outer: ClothChoice
    lining: ClothChoice
    choice: LayChoice

    @property
    def cut_line(self) -> CutLine:
        """What is marked on each layer."""
        return cut_line_of(self.cut, self.allowances)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One part of a layer to cut: the whole of it, or its back or a front."""

    order: Order
    garment: int
    layer: str
    part: str = "layer"

    @property
    def mark(self) -> Part:
        """What is marked on it."""
        parts = self.order.cut_line.parts
        return next(part for part in parts if part.name == self.part)

    @property
    def size_m(self) -> tuple[float, float]:
        """Sides of the rectangle that it is cut from: across and along the cloth."""
        left_m, right_m, low_m, high_m = self.mark.bounds_m
        return right_m - left_m, high_m - low_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A piece in its place.

    A layer's box is the rectangle as it is told. ``turn_degrees`` is how far it is turned from its own direction along the cloth; ``corner_of``
    is the layer out of whose cut-away corner (``corner``) it is cut, or None.
    """

    name: str
    box: Box
    turn_degrees: int = 0
    source: Layer | Extra
    corner_of: Layer | None = None
    corner: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolt:
    """One cloth with all that is cut from it.

    Attributes
    ----------
    cloth
        The cloth.
    layers
        Which layers it makes, in words: "outer", "lining" or "outer and lining".
    usable_width_m
        Between the margins, as it lies when it is cut, metres.
    needed_m
        Length that the pieces take, as it lies when it is cut, metres.
    shop_width_m
        Least usable width, before the wash, that still holds the pieces, metres.
    shrinkage
        Shares of its length and of its width that the wash takes before the cloth is cut.
    repeat_m
        At multiples of this from the left end layers begin, as it lies when it is cut, metres; 0: anywhere.
    cuts_m
        Where the cloth is cut straight across, from its left end, metres: no layer lies across.
    bought_m
        What to buy: shrinkage and squaring added, rounded up to what shops sell, metres.
    exact_m
        The same before rounding.
    unmatched_m
        The same if layers could begin anywhere on a print.
    lying_m
        What was bought as it lies when it is cut, its ends square, metres.
    placed
        Layers and extra pieces, those cut from corners included.
    offcuts
        What is left over.
    cut_area_m2, bought_area_m2
        Cloth in the pieces; whole cloth as it lies when it is cut.
    """

    cloth: Cloth
    layers: str
    usable_width_m: float
    needed_m: float
    shop_width_m: float
    shrinkage: tuple[float, float]
    repeat_m: float
    cuts_m: tuple[float, ...]
    exact_m: float
    unmatched_m: float
    bought_m: float
    lying_m: float
    placed: tuple[Placed, ...]
    offcuts: tuple[Offcut, ...]
    cut_area_m2: float
    bought_area_m2: float

    @property
    def waste(self) -> float:
        """Share of the bought cloth that is in no piece."""
        return 1 - self.cut_area_m2 / self.bought_area_m2

    @property
    def whole(self) -> tuple[Placed, ...]:
        """Layers and pieces that lie on the bolt itself."""
        return tuple(piece for piece in self.placed if piece.corner_of is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lay:
    """All bolts."""

    bolts: tuple[Bolt, ...]
    garments: int

# SPDX-License-Identifier: GPL-3.0-or-later
"""Layers and extra pieces on bolts of cloth.

x runs across the usable width from one margin, y along the cloth from the end cut first; metres as
the cloth lies when it is cut (after the wash, if it is washed first). A layer takes the whole
rectangle from which it is cut. Every layer lies with its front half at lower y, so the nap strokes
the same way in all of them.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import groupby, pairwise

from ..cloth import Cloth, ClothChoice
from ..cut_line import Allowances, CutLine, Part, build_cut_line
from ..errors import InputError
from ..pattern import LEAST_SLEEVE_M, Cut, build_pattern
from ..units import UnitSystem, require_range
from .choice import MOST_GARMENTS, Extra, Kind, LayChoice, Nap
from .offcuts import LEAST_SIDE_M, Corner, Offcut, corner_of
from .packing import Box, Ground, put
from .words import ACROSS, BETWEEN, CORNER, END, LAYERS, MIRROR_IMAGE, MIRRORED, PARTS, STRIP

__all__ = [
    "SHOP_STEP_M",
    "Bolt",
    "Lay",
    "Layer",
    "Order",
    "Placed",
    "lay_orders",
    "usable_width_m",
    "widest_cut_m",
]

SAME_M = 1e-6
SHOP_STEP_M: dict[UnitSystem, float] = {"cm": 0.10, "in": 0.1143}
"""Cloth is sold by 10 cm, or by the eighth of a yard."""
CORNER_NAMES: Mapping[str, tuple[str, ...]] = {
    "layer": ("front left", "back left", "back right", "front right"),
    "back": ("back left", "back right"),
    "front": ("front left", "front right"),
    "front left": ("front left",),
    "front right": ("front right",),
}
"""The corners that are cut away from each part of a layer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Garments of one cut, out of these cloths."""

    name: str
    cut: Cut
    allowances: Allowances
    outer: ClothChoice
    lining: ClothChoice
    choice: LayChoice


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
        parts = _cut_line(self.order.cut, self.order.allowances).parts
        return next(part for part in parts if part.name == self.part)

    @property
    def size_m(self) -> tuple[float, float]:
        """Sides of the rectangle that it is cut from: across and along the cloth."""
        left_m, right_m, low_m, high_m = self.mark.bounds_m
        return right_m - left_m, high_m - low_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A piece in its place.

    ``turn_degrees`` is how far it is turned from its own direction along the cloth; ``corner_of``
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
    bought_m
        What to buy: shrinkage and squaring added, rounded up to what shops sell, metres.
    exact_m
        The same before rounding.
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
    exact_m: float
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


@dataclass(slots=True)
class _Laying:
    """A bolt while pieces are put on it."""

    choice: LayChoice
    usable_width_m: float
    placed: list[Placed] = field(default_factory=list)

    def boxes(self) -> list[Box]:
        return [piece.box for piece in self.placed if piece.corner_of is None]

    def put(self, name: str, source: Layer | Extra, sides: list[tuple[float, float]]) -> None:
        repeat_m = self.choice.print_repeat_m if isinstance(source, Layer) else 0.0
        found = put(Ground(width_m=self.usable_width_m), self.boxes(), sides, repeat_m)
        assert found is not None, "a strip without an end has room for what is not wider"
        box, turn = found
        self.placed.append(Placed(name=name, box=box, turn_degrees=90 * turn, source=source))


def lay_orders(orders: Sequence[Order], units: UnitSystem) -> Lay:
    """Lay all garments of the orders, those of one cloth on one bolt.

    Margins, nap, repeat and washing are the first order's for each bolt.

    Raises
    ------
    RangeError
        A layer or an extra piece is wider than the usable cloth.
    """
    wanted: list[tuple[ClothChoice, Layer]] = []
    for order in orders:
        for garment in range(1, order.choice.garments + 1):
            for layer, cloth in (("outer", order.outer), ("lining", order.lining)):
                wanted += [
                    (cloth, Layer(order=order, garment=garment, layer=layer, part=part.name))
                    for part in _cut_line(order.cut, order.allowances).parts
                ]
    cloths: list[ClothChoice] = []
    for cloth, _ in wanted:
        if cloth not in cloths:
            cloths.append(cloth)
    bolts = tuple(
        _bolt(cloth, [layer for own, layer in wanted if own == cloth], units) for cloth in cloths
    )
    return Lay(bolts=bolts, garments=sum(order.choice.garments for order in orders))


def usable_width_m(cloth: Cloth, rules: LayChoice) -> float:
    """Width of a bolt between its margins, as it lies when it is cut, metres."""
    _, across = _shrinkage(cloth, rules)
    return (cloth.bolt_width_m - 2 * rules.selvedge_m) * (1 - across)


def widest_cut_m(order: Order) -> float:
    """The widest layer that both cloths of an order give, metres."""
    cloths = (order.outer.cloth(), order.lining.cloth())
    return min(usable_width_m(cloth, order.choice) for cloth in cloths)


def _bolt(choice: ClothChoice, layers: Sequence[Layer], units: UnitSystem) -> Bolt:
    cloth = choice.cloth()
    rules = layers[0].order.choice
    along, across = _shrinkage(cloth, rules)
    usable_m = usable_width_m(cloth, rules)
    for layer in layers:
        cut = layer.order.cut
        beside_m = cut.cloth_width_m - layer.size_m[0]
        require_range(
            "cut.cloth_width",
            cut.cloth_width_m,
            cut.body_width_m + 2 * LEAST_SLEEVE_M,
            usable_m + beside_m,
            f"the bolt of {cloth.name} has no more when it is cut; cut narrower, or state the "
            "cloth's bolt_width, its shrinkage or a smaller lay.selvedge",
            quantity="length",
        )
    naps = dict.fromkeys(layer.order.cut.nap for layer in layers)
    if len(naps) > 1:
        raise InputError(
            "cut.nap",
            " and ".join(f'"{nap}"' for nap in naps),
            "the same for all wraps of one cloth",
            "lay them apart, or give them the same nap",
        )
    orders = {layer.order.name for layer in layers}
    several = len({(layer.order.name, layer.garment) for layer in layers}) > 1
    bolt = _Laying(rules, usable_m)
    for layer in sorted(layers, key=lambda one: -one.size_m[1]):
        garment = (
            f", {layer.order.name} {layer.garment}" if len(orders) > 1 else f" {layer.garment}"
        )
        number = garment if several else ""
        part = MIRRORED.get(layer.part, layer.part) if layer.layer == "lining" else layer.part
        name = f"{LAYERS[layer.layer]}{PARTS[part]}{number}"
        bolt.put(name, layer, [layer.size_m])
    extras = sorted(
        (
            # whose it is, where several wraps share the cloth
            (
                _piece_name(extra, copy) + (f", {layer.order.name}" if len(orders) > 1 else ""),
                extra,
            )
            for layer in layers
            if layer.part in ("layer", "back")  # once for each layer
            for extra in layer.order.choice.extras
            if extra.layer == layer.layer
            for copy in range(extra.count)
        ),
        key=lambda named: -math.prod(named[1].size_m),
    )
    corners = [
        _Corner(layer, name, corner_of(layer.mark, name))
        for layer in layers
        for name in CORNER_NAMES[layer.part]
    ]
    for name, extra in extras:
        _place_extra(bolt, corners, name, extra)
    needed_m = max(box.top_m for box in bolt.boxes())
    exact_m = (needed_m + rules.squaring_m) / (1 - along)
    step_m = SHOP_STEP_M[units]
    bought_m = step_m * math.ceil(exact_m / step_m - 1e-6)
    lying_m = bought_m * (1 - along) - rules.squaring_m
    areas_m2 = [
        piece.source.mark.area_m2
        if isinstance(piece.source, Layer)
        else math.prod(piece.source.size_m)
        for piece in bolt.placed
    ]
    return Bolt(
        cloth=cloth,
        layers=BETWEEN.join(dict.fromkeys(LAYERS[layer.layer] for layer in layers)),
        usable_width_m=usable_m,
        needed_m=needed_m,
        exact_m=exact_m,
        bought_m=bought_m,
        lying_m=lying_m,
        placed=tuple(bolt.placed),
        offcuts=tuple(_offcuts(bolt, corners, lying_m)),
        cut_area_m2=math.fsum(areas_m2),
        bought_area_m2=bought_m * (1 - along) * cloth.bolt_width_m * (1 - across),
    )


def _shrinkage(cloth: Cloth, choice: LayChoice) -> tuple[float, float]:
    """Share that is lost along and across before cutting."""
    return (cloth.shrinkage_along, cloth.shrinkage_across) if choice.wash_first else (0.0, 0.0)


@lru_cache(maxsize=MOST_GARMENTS)
def _cut_line(cut: Cut, allowances: Allowances) -> CutLine:
    return build_cut_line(build_pattern(cut), allowances)


@dataclass(slots=True)
class _Corner:
    """A cut-away corner while pieces are put into it, its square corner being the origin."""

    layer: Layer
    name: str
    shape: Corner
    taken: list[Box] = field(default_factory=list)


def _piece_name(extra: Extra, copy: int) -> str:
    """Every second half of a hood is the other one's mirror image."""
    return (
        MIRROR_IMAGE.format(name=extra.name) if extra.kind is Kind.HOOD and copy % 2 else extra.name
    )


def _place_extra(bolt: _Laying, corners: Sequence[_Corner], name: str, extra: Extra) -> None:
    """Into a cut-away corner if one has room, else on the bolt."""
    sides = [extra.size_m]
    if extra.any_grain and bolt.choice.nap is Nap.EITHER_WAY:
        sides.append(extra.size_m[::-1])
    for corner in corners:
        found = put(corner.shape.ground, corner.taken, sides)
        if found is not None:
            box, turn = found
            corner.taken.append(box)
            bolt.placed.append(
                Placed(
                    name=name,
                    box=_on_the_bolt(bolt, corner, box),
                    turn_degrees=90 * turn,
                    source=extra,
                    corner_of=corner.layer,
                    corner=corner.name,
                )
            )
            return
    require_range(
        "lay.piece.width",
        min(width_m for width_m, _ in sides),
        0.0,
        bolt.usable_width_m,
        "make the piece narrower than the cloth",
        quantity="length",
    )
    bolt.put(name, extra, sides)


def _on_the_bolt(bolt: _Laying, corner: _Corner, box: Box) -> Box:
    """A box of a corner's own coordinates on the bolt; the wearer's left lies at greater x."""
    layer = next(piece.box for piece in bolt.placed if piece.source is corner.layer)
    x_m = box.x_m if "right" in corner.name else layer.width_m - box.right_m
    y_m = box.y_m if "front" in corner.name else layer.length_m - box.top_m
    return Box(layer.x_m + x_m, layer.y_m + y_m, box.width_m, box.length_m)


def _offcuts(bolt: _Laying, corners: Sequence[_Corner], washed_m: float) -> list[Offcut]:
    """Corners alike together, then strips beside the pieces and across the cloth, and its end."""

    def shape(corner: _Corner) -> tuple[object, ...]:
        cut_away = corner.shape
        taken = tuple((b.x_m, b.y_m, b.width_m, b.length_m) for b in corner.taken)
        sizes = (-cut_away.width_m, -cut_away.length_m, cut_away.rounding_m)
        # mirrored ones differ by rounding alone
        return (*(round(size_m, 9) for size_m in sizes), taken)

    offcuts = []
    for _, alike in groupby(sorted(corners, key=shape), key=shape):
        same = list(alike)
        cut_away = same[0].shape
        offcuts.append(
            Offcut(
                name=CORNER,
                count=len(same),
                width_m=cut_away.width_m,
                length_m=cut_away.length_m,
                rounding_m=cut_away.rounding_m,
                line=cut_away.line,
                taken=tuple(same[0].taken),
            )
        )
    for name, width_m, length_m in _free(bolt, washed_m):
        if min(width_m, length_m) >= LEAST_SIDE_M:
            offcuts.append(Offcut(name=name, count=1, width_m=width_m, length_m=length_m))
    return offcuts


def _free(bolt: _Laying, washed_m: float) -> Iterator[tuple[str, float, float]]:
    """What of the cloth lies beyond the pieces, from end to end: name, width, length."""
    boxes = bolt.boxes()
    top_m = max(box.top_m for box in boxes)
    ends_m = sorted({0.0, washed_m, *(end_m for box in boxes for end_m in (box.y_m, box.top_m))})
    strips: list[tuple[float, float, float]] = []  # taken up to, from, to
    for low_m, high_m in pairwise(ends_m):
        if high_m - low_m < SAME_M:
            continue
        middle_m = (low_m + high_m) / 2
        taken_m = max((b.right_m for b in boxes if b.y_m < middle_m < b.top_m), default=0.0)
        if strips and abs(strips[-1][0] - taken_m) < SAME_M:
            low_m = strips.pop()[1]
        strips.append((taken_m, low_m, high_m))
    for taken_m, low_m, high_m in strips:
        across = END if low_m > top_m - SAME_M else ACROSS
        name = STRIP if taken_m else across
        yield name, bolt.usable_width_m - taken_m, high_m - low_m

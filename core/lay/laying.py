# SPDX-License-Identifier: GPL-3.0-or-later
"""Layers and extra pieces are laid on bolts of cloth."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ..cloth import Cloth, ClothChoice
from ..errors import InputError
from ..pattern import LEAST_SLEEVE_M
from ..units import UnitSystem, require_range
from .bolt import Bolt, Lay, Layer, Order, Placed
from .choice import LEAST_PIECE_M, Extra, Kind, LayChoice, Nap
from .corners import CornerRoom, corner_rooms
from .grid import Grid
from .offcuts import Offcut, corners_left, strips_left
from .packing import Box, Ground, put, put_apart
from .words import BETWEEN, LAYERS, MIRROR_IMAGE, MIRRORED, PARTS

__all__ = ["SHOP_STEP_M", "lay_orders", "usable_width_m", "widest_cut_m"]

SAME_M = 1e-6
SHOP_STEP_M: dict[UnitSystem, float] = {"cm": 0.10, "in": 0.1143}
"""Cloth is sold by 10 cm, or by the eighth of a yard."""


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
                    for part in order.cut_line.parts
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


def _shrinkage(cloth: Cloth, choice: LayChoice) -> tuple[float, float]:
    """Share that is lost along and across before cutting."""
    return (cloth.shrinkage_along, cloth.shrinkage_across) if choice.wash_first else (0.0, 0.0)


def _laid_repeat_m(cloth: Cloth, order: Order) -> float:
    """The repeat along a cloth by which its layers are laid, before the wash, metres; 0 for none.

    A plain cloth has none where the other one has the print.
    """
    printed = [own.cloth().print is not None for own in (order.outer, order.lining)]
    return order.choice.print_repeat_m if cloth.print is not None or not any(printed) else 0.0


def _bolt(choice: ClothChoice, layers: Sequence[Layer], units: UnitSystem) -> Bolt:
    """One cloth with all its layers and their small pieces."""
    cloth, rules = choice.cloth(), layers[0].order.choice
    usable_m = usable_width_m(cloth, rules)
    _require_room(cloth, layers, usable_m)
    along, across = _shrinkage(cloth, rules)
    repeat_m = _laid_repeat_m(cloth, layers[0].order) * (1 - along)
    laying = _laid(_Laying(rules, usable_m, repeat_m, Grid.of(units)), layers)
    anywhere = _laid(_Laying(rules, usable_m, 0.0, Grid.of(units)), layers) if repeat_m else laying
    exact_m, unmatched_m = (
        (one.needed_m + rules.squaring_m) / (1 - along) for one in (laying, anywhere)
    )
    step_m = SHOP_STEP_M[units]
    bought_m = step_m * math.ceil(exact_m / step_m - 1e-6)
    lying_m = bought_m * (1 - along) - rules.squaring_m
    return Bolt(
        cloth=cloth,
        layers=BETWEEN.join(dict.fromkeys(LAYERS[layer.layer] for layer in layers)),
        usable_width_m=usable_m,
        needed_m=laying.needed_m,
        shop_width_m=laying.widest_m / (1 - across),
        shrinkage=(along, across),
        repeat_m=repeat_m,
        cuts_m=tuple(laying.cuts_m()),
        exact_m=exact_m,
        unmatched_m=unmatched_m,
        bought_m=bought_m,
        lying_m=lying_m,
        placed=tuple(laying.placed),
        offcuts=tuple(laying.left(lying_m)),
        cut_area_m2=math.fsum(_area_m2(piece) for piece in laying.placed),
        bought_area_m2=bought_m * (1 - along) * cloth.bolt_width_m * (1 - across),
    )


def _laid(laying: "_Laying", layers: Sequence[Layer]) -> "_Laying":
    """All layers and then their small pieces put on a bolt."""
    for name, layer in _named_layers(layers):
        laying.put_layer(name, layer)
    laying.open_corners(layers)
    for name, extra in _named_extras(layers):
        laying.put_extra(name, extra)
    return laying


def _require_room(cloth: Cloth, layers: Sequence[Layer], usable_m: float) -> None:
    """Every layer is no wider than the cloth, and the nap of all runs alike."""
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


def _named_layers(layers: Sequence[Layer]) -> Iterator[tuple[str, Layer]]:
    """The longest first; with the number of the garment, and whose it is, where there are several."""
    orders = {layer.order.name for layer in layers}
    several = len({(layer.order.name, layer.garment) for layer in layers}) > 1
    for layer in sorted(layers, key=lambda one: -one.size_m[1]):
        garment = (
            f", {layer.order.name} {layer.garment}" if len(orders) > 1 else f" {layer.garment}"
        )
        part = MIRRORED.get(layer.part, layer.part) if layer.layer == "lining" else layer.part
        yield f"{LAYERS[layer.layer]}{PARTS[part]}{garment if several else ''}", layer


def _named_extras(layers: Sequence[Layer]) -> list[tuple[str, Extra]]:
    """The small pieces of all garments, the largest first."""
    orders = {layer.order.name for layer in layers}
    extras = [
        # whose it is, where several wraps share the cloth
        (_piece_name(extra, copy) + (f", {layer.order.name}" if len(orders) > 1 else ""), extra)
        for layer in layers
        if layer.part in ("layer", "back")  # once for each layer
        for extra in layer.order.choice.extras
        if extra.layer == layer.layer
        for copy in range(extra.count)
    ]
    return sorted(extras, key=lambda named: -math.prod(named[1].size_m))


def _piece_name(extra: Extra, copy: int) -> str:
    """Every second half of a hood is the other one's mirror image."""
    return (
        MIRROR_IMAGE.format(name=extra.name) if extra.kind is Kind.HOOD and copy % 2 else extra.name
    )


def _area_m2(piece: Placed) -> float:
    source = piece.source
    return source.mark.area_m2 if isinstance(source, Layer) else math.prod(source.size_m)


@dataclass(slots=True)
class _Laying:
    """A bolt while pieces are put on it; ``layers`` and ``pieces`` is the room they take as told."""

    choice: LayChoice
    usable_width_m: float
    repeat_m: float
    grid: Grid
    placed: list[Placed] = field(default_factory=list)
    layers: list[Box] = field(default_factory=list)
    pieces: list[Box] = field(default_factory=list)
    corners: list[CornerRoom] = field(default_factory=list)

    def put_layer(self, name: str, layer: Layer) -> None:
        """Edge on edge with what lies there, the rectangle as large as it is told."""
        grid = self.grid
        width_m, length_m = (grid.near(side_m) for side_m in layer.size_m)
        # one that is as wide as the cloth has room, whatever its told width
        ground = Ground(width_m=max(self.usable_width_m, width_m))
        found = put(ground, self.layers, [(width_m, length_m)], self.repeat_m)
        assert found is not None, "a strip without an end has room for what is not wider"
        box, _ = found
        # as it is told: up to a step before the print's repeat
        box = Box(box.x_m, grid.down(box.y_m), width_m, length_m)
        self.layers.append(box)
        self.placed.append(Placed(name=name, box=box, source=layer))

    def open_corners(self, layers: Sequence[Layer]) -> None:
        """The corners of all layers, in their order, for small pieces."""
        at = {id(piece.source): piece.box for piece in self.placed}
        for layer in layers:
            self.corners += corner_rooms(layer, at[id(layer)], self.grid)

    def put_extra(self, name: str, extra: Extra) -> None:
        """Into a cut-away corner if one has room, else on the bolt."""
        sides = [extra.size_m]
        if extra.any_grain and self.choice.nap is Nap.EITHER_WAY:
            sides.append(extra.size_m[::-1])
        for corner in self.corners:
            found = corner.put(sides)
            if found is not None:
                box, turn = found
                self.placed.append(
                    Placed(
                        name=name,
                        box=box,
                        turn_degrees=90 * turn,
                        source=extra,
                        corner_of=corner.layer,
                        corner=corner.name,
                    )
                )
                return
        self._put_beside(name, extra, sides)

    def _put_beside(self, name: str, extra: Extra, sides: Sequence[tuple[float, float]]) -> None:
        """On the bolt, gaps on all sides."""
        grid = self.grid
        require_range(
            "lay.piece.width",
            min(width_m for width_m, _ in sides),
            LEAST_PIECE_M,
            grid.down(self.usable_width_m - 2 * grid.gap_m),
            "make the piece narrower than the cloth",
            quantity="length",
        )
        ground = Ground(width_m=self.usable_width_m)
        found = put_apart(ground, (*self.layers, *self.pieces), sides, grid)
        assert found is not None, "a strip without an end has room for what is not wider"
        room, turn = found
        self.pieces.append(room)
        box = Box(room.x_m, room.y_m, *sides[turn])
        self.placed.append(Placed(name=name, box=box, turn_degrees=90 * turn, source=extra))

    @property
    def needed_m(self) -> float:
        """Length that all of it takes, metres."""
        ends_m = [box.top_m for box in self.layers]
        return max(*ends_m, *(box.top_m + self.grid.gap_m for box in self.pieces), 0.0)

    @property
    def widest_m(self) -> float:
        """Width that all of it takes, metres."""
        return max(piece.box.right_m for piece in self.placed if piece.corner_of is None)

    def cuts_m(self) -> Iterator[float]:
        """Ends of layers that no other layer lies across: there the cloth is cut apart."""
        ends_m = {end_m for box in self.layers for end_m in (box.y_m, box.top_m)}
        for end_m in sorted(ends_m):
            across = (box.y_m + SAME_M < end_m < box.top_m - SAME_M for box in self.layers)
            if end_m > SAME_M and not any(across):
                yield end_m

    def left(self, lying_m: float) -> Iterator[Offcut]:
        """What is left over when all is cut as it is told."""
        yield from corners_left((corner.shape, corner.taken) for corner in self.corners)
        gap_m = self.grid.gap_m
        # the gap along the cloth beside a small piece is no end of a strip
        pieces = (
            Box(box.x_m, box.y_m - gap_m, box.width_m, box.length_m + 2 * gap_m)
            for box in self.pieces
        )
        yield from strips_left(
            (*self.layers, *pieces),
            tuple(self.cuts_m()),
            (self.grid.down(self.usable_width_m), self.grid.down(lying_m)),
        )

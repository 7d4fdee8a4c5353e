# SPDX-License-Identifier: GPL-3.0-or-later
"""What to buy for a cut: whole steps of what shops sell, and one step less.

Where hem and sleeves land is told by flat measures, or, in a `DrapedWish`, as drapes showed it.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from .buying import NICE_M, FlatFit, Wish, flat_fit, wished_cut
from .errors import InputError
from .lay import Bolt, Grid, Lay, Layer, Order, lay_orders
from .lay.laying import SHOP_STEP_M
from .money import Cost, Money, cost
from .pattern import Cut, fitted
from .tape import Measures
from .units import RangeError, UnitSystem, format_quantity

__all__ = [
    "DrapedWish",
    "Granted",
    "Purchase",
    "best_purchase",
    "lengths_compared",
    "lengths_to_compare",
    "purchase_for",
    "purchased",
]

_SHOP_UNITS: Mapping[UnitSystem, tuple[float, str]] = {"cm": (1.0, "m"), "in": (0.9144, "yd")}


SAME_M = 1e-6
LENGTHS = {"1": 1.0, "1 1/2": 1.5, "2": 2.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """A cut with the cloth that it takes and where it would land."""

    order: Order
    lay: Lay
    cost: Cost
    fit: FlatFit

    @property
    def bought_m(self) -> float:
        """Length of all bolts together."""
        return math.fsum(bolt.bought_m for bolt in self.lay.bolts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Granted:
    """What to buy for a cut.

    Attributes
    ----------
    wished
        The cut as it is wished, out of the shortest lengths that are sold.
    less
        The longest cut out of one step less of every bolt; None where that leaves no wrap.
    used_up
        The longest cut out of what is bought for the wished one; None where that is no longer.
    """

    wished: Purchase
    less: Purchase | None
    used_up: Purchase | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DrapedWish:
    """A wish granted on drapes: hem and sleeve ends of each purchase are those of its own drape.

    Attributes
    ----------
    granted
        What to buy, one step less, and all of it used.
    lengths
        One length of cloth for each layer, one and a half, and two.
    drapes
        How many drapes it took.
    sound
        Whether all of them passed their own checks.
    """

    granted: Granted
    lengths: tuple[tuple[str, Purchase], ...]
    drapes: int
    sound: bool


def _purchase(measures: Measures, order: Order, money: Money, units: UnitSystem) -> Purchase:
    lay = lay_orders([order], units)
    return Purchase(
        order=order,
        lay=lay,
        cost=cost(lay, money),
        fit=flat_fit(
            measures,
            order.cut,
            order.allowances,
            order.outer.cloth().thickness_m,
            order.lining.cloth().thickness_m,
        ),
    )


def purchase_for(
    measures: Measures, order: Order, wish: Wish, money: Money, units: UnitSystem
) -> Granted:
    """What to buy for a wish, what one step less of every bolt would give, and all of it used.

    Raises
    ------
    InputError
        No such wrap can be cut.
    """
    wanted = replace(order, cut=wished_cut(measures, order, wish, units))
    return purchased(measures, wanted, money, units)


def purchased(measures: Measures, wanted: Order, money: Money, units: UnitSystem) -> Granted:
    """What to buy for a cut as it is, for the longest one out of a step less, and out of as much.

    Raises
    ------
    InputError
        No such wrap can be cut.
    """
    wished = _purchase(measures, wanted, money, units)
    bought_m = [bolt.bought_m for bolt in wished.lay.bolts]
    less_m = [length_m - SHOP_STEP_M[units] for length_m in bought_m]

    def longest(lengths_m: Sequence[float]) -> Purchase | None:
        try:
            return _purchase(measures, _using(wanted, lengths_m, units), money, units)
        except InputError:
            return None

    used_up = longest(bought_m)
    if used_up is not None and used_up.order.cut.length_m < wanted.cut.length_m + SAME_M:
        used_up = None
    return Granted(wished=wished, less=longest(less_m), used_up=used_up)


def best_purchase(
    measures: Measures,
    order: Order,
    lengths_in_hand_m: Sequence[float],
    money: Money,
    units: UnitSystem,
) -> Purchase:
    """The longest wrap out of the cloth in hand: one length for each cloth, as it was bought.

    Raises
    ------
    InputError
        The cloth is too short or too narrow for the rest of the cut.
    """
    return _purchase(measures, _using(order, lengths_in_hand_m, units), money, units)


def _using(order: Order, bought_m: Sequence[float], units: UnitSystem) -> Order:
    """The order with the longest cut that these lengths of its bolts give, in round numbers."""
    shortest = replace(order, cut=fitted(order.cut))
    bolts = lay_orders([shortest], units).bolts
    if len(bolts) != len(bought_m):
        raise InputError(
            "lay.in_hand",
            f"a list of {len(bought_m)}",
            f"a list of {len(bolts)}",
            "give one length for each cloth; layers of one cloth share it",
        )
    longest_m = min(
        _longest_m(bolt, length_m, order, units)
        for bolt, length_m in zip(bolts, bought_m, strict=True)
    )
    try:
        return replace(order, cut=fitted(order.cut, length_m=longest_m))
    except RangeError:
        if longest_m >= order.cut.length_m:
            raise
        raise _too_short(order, bought_m, longest_m, units) from None


def _too_short(
    order: Order, bought_m: Sequence[float], longest_m: float, units: UnitSystem
) -> InputError:
    """What is wrong with cloth that makes no wrap, told by the piece that lacks most."""
    step_m = NICE_M[units]
    steps = math.ceil((order.cut.length_m - longest_m) / step_m)
    shortest = next(
        (cut for step in range(1, steps) if (cut := _cut_of(order, longest_m + step * step_m))),
        order.cut,
    )
    bolts = lay_orders([replace(order, cut=shortest)], units).bolts
    needed_m = [bolt.bought_m for bolt in bolts]
    in_hand_m, least_m = max(
        zip(bought_m, needed_m, strict=True), key=lambda both: both[1] - both[0]
    )
    wrap = format_quantity("length", shortest.length_m, units)
    return InputError(
        "lay.in_hand",
        _in_shop_units(in_hand_m, units),
        f"{_in_shop_units(least_m, units)} and more, since the shortest wrap of this cut is "
        f"{wrap} long",
        "take more cloth, or leave lay.in_hand out",
    )


def _in_shop_units(length_m: float, units: UnitSystem) -> str:
    """A length of cloth as people write what they bought."""
    unit_m, unit = _SHOP_UNITS[units]
    return f"{length_m / unit_m:.4g} {unit}"


def _cut_of(order: Order, length_m: float) -> Cut | None:
    """The order's cut in another length, if there is such a one."""
    try:
        return fitted(order.cut, length_m=length_m)
    except RangeError:
        return None


def _longest_m(bolt: Bolt, length_m: float, order: Order, units: UnitSystem) -> float:
    """Longest cut that a length of a bolt gives, its layers laid in as many rows as now."""
    step_m, grid = NICE_M[units], Grid.of(units)
    placed = [(piece.source, piece.box) for piece in bolt.whole if isinstance(piece.source, Layer)]
    beyond_m = bolt.needed_m - max(box.top_m for _, box in placed)
    squaring_m, repeat_m = order.choice.squaring_m, bolt.repeat_m
    washed_m = length_m * (bolt.needed_m + squaring_m) / bolt.exact_m
    room_m = washed_m - squaring_m - beyond_m
    # a whole layer grows with the cut's length, a back or front with half of it
    rows: dict[float, tuple[float, float]] = {}
    for layer, box in placed:
        grows = 1.0 if layer.part == "layer" else 0.5
        fixed_m = layer.size_m[1] - grows * order.cut.length_m
        rows[box.y_m] = max(rows.get(box.y_m, (0.0, -1.0)), (grows, fixed_m))
    *earlier, last = (rows[y_m] for y_m in sorted(rows))

    def taken_m(cut_m: float) -> float:
        # each as it is told
        lengths = [grid.near(grows * cut_m + fixed_m) for grows, fixed_m in earlier]
        if repeat_m > 0:
            # every row but the last takes whole repeats
            lengths = [repeat_m * math.ceil(one_m / repeat_m - 1e-9) for one_m in lengths]
        return math.fsum([*lengths, grid.near(last[0] * cut_m + last[1])])

    growth = math.fsum(grows for grows, _ in (*earlier, last))
    taken_first_m = 0.0 if repeat_m else taken_m(0.0)
    steps = math.floor((room_m - taken_first_m) / growth / step_m) + 1
    return step_m * next(
        (count for count in range(steps, 0, -1) if taken_m(count * step_m) <= room_m + 1e-9), 0
    )


def lengths_to_compare(units: UnitSystem) -> dict[str, float]:
    """One length of cloth for each layer, one and a half, and two: metres, or yards."""
    unit_m, unit = _SHOP_UNITS[units]
    return {f"{words} {unit}": share * unit_m for words, share in LENGTHS.items()}


def lengths_compared(
    measures: Measures, order: Order, money: Money, units: UnitSystem
) -> tuple[tuple[str, Purchase], ...]:
    """Those of the lengths to compare of which this wrap can be cut, with what they take."""
    found = []
    for words, length_m in lengths_to_compare(units).items():
        try:
            cut = fitted(order.cut, length_m=length_m)
            purchase = _purchase(measures, replace(order, cut=cut), money, units)
        except InputError:
            continue
        found.append((words, purchase))
    return tuple(found)

# SPDX-License-Identifier: GPL-3.0-or-later
"""What a lay costs, in the maker's own money; nothing is looked up anywhere."""

import math
from dataclasses import dataclass

from .errors import InputError
from .lay import Lay

__all__ = ["Cost", "CostLine", "Money", "cost"]

MOST_AMOUNT = 1e9
MOST_SIGNS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Money:
    """The maker's money.

    Parameters
    ----------
    currency
        Sign or letters of the currency; stands before an amount if it is one sign, else behind.
    thread
        What thread for one garment costs.
    other
        Whatever else one garment costs: labels, needles, work.
    decimals
        Places behind the point.
    """

    currency: str = ""
    thread: float = 0.0
    other: float = 0.0
    decimals: int = 2

    def __post_init__(self) -> None:
        if len(self.currency) > MOST_SIGNS or not self.currency.isprintable():
            raise InputError(
                "money.currency",
                f'"{self.currency[:20]}"',
                f"up to {MOST_SIGNS} printable signs",
                "write the sign or the letters of the currency",
            )
        for name in ("thread", "other"):
            amount = getattr(self, name)
            if not (math.isfinite(amount) and 0 <= amount <= MOST_AMOUNT):
                raise InputError(
                    f"money.{name}", amount, "0 or more", "write what it costs for one garment"
                )
        if not 0 <= self.decimals <= 4:
            raise InputError("money.decimals", self.decimals, "0 to 4", "usually 2")

    def told(self, amount: float) -> str:
        """An amount as people write it."""
        figures = f"{amount:.{self.decimals}f}"
        if not self.currency:
            return figures
        before = len(self.currency) == 1 and not self.currency.isalpha()
        return f"{self.currency}{figures}" if before else f"{figures} {self.currency}"


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of the bill; ``amount`` is None where a price is not known."""

    name: str
    amount: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """The bill; ``complete`` tells whether every cloth's price is known."""

    lines: tuple[CostLine, ...]
    garments: int

    @property
    def complete(self) -> bool:
        return all(line.amount is not None for line in self.lines)

    @property
    def total(self) -> float:
        """Sum of what is known."""
        return math.fsum(line.amount for line in self.lines if line.amount is not None)

    @property
    def each(self) -> float:
        """The total for one garment."""
        return self.total / self.garments


def cost(lay: Lay, money: Money) -> Cost:
    """Add up what the bought cloth, the thread and the rest cost."""
    lines = []
    for bolt in lay.bolts:
        price = bolt.cloth.price_per_m
        amount = None if price is None else price * bolt.bought_m
        lines.append(CostLine(name=f"{bolt.cloth.name} ({bolt.layers})", amount=amount))
    for name, amount in (("thread", money.thread), ("other", money.other)):
        if amount:
            lines.append(CostLine(name=name, amount=amount * lay.garments))
    return Cost(lines=tuple(lines), garments=lay.garments)

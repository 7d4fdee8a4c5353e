# SPDX-License-Identifier: GPL-3.0-or-later
"""What the maker decides about the lay."""

from dataclasses import dataclass
from enum import StrEnum

from ..errors import InputError
from ..units import require_range

__all__ = ["MOST_REPEAT_M", "Extra", "Kind", "LayChoice", "Nap"]

MOST_GARMENTS, MOST_PIECES = 24, 24
MOST_REPEAT_M = 1.5
LEAST_PIECE_M, MOST_PIECE_M = 0.02, 3.0
"""Sides of a small piece."""


class Nap(StrEnum):
    """Which way pieces may lie."""

    ONE_WAY = "one way"
    EITHER_WAY = "either way"


class Kind(StrEnum):
    """What a small piece is for: how large it is if its size is left out, and how it is sewn."""

    PLAIN = "plain"
    POCKET = "patch pocket"
    HOOD = "hood"
    COLLAR = "collar band"
    BELT = "tie belt"
    CUFF = "cuff band"
    SQUARE = "square"


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra:
    """A small piece to be cut besides, its sides in metres: across and along the cloth.

    A side that is None follows from what the piece is for; a plain one has both.
    ``any_grain`` allows it to lie crosswise, where the nap may point either way; ``layer`` is the
    layer from whose cloth it is cut. ``neck_edge_m`` is the lower edge of a hood, allowances included:
    it follows from the neck that the hood is sewn to, and the hood is shaped from there to its width.
    ``neck_back_m`` is how far from its back seam that edge meets the shoulder.
    """

    name: str
    width_m: float | None = None
    length_m: float | None = None
    count: int = 1
    layer: str = "outer"
    any_grain: bool = False
    kind: Kind = Kind.PLAIN
    neck_edge_m: float | None = None
    neck_back_m: float = 0.0

    def __post_init__(self) -> None:
        for side in ("width", "length"):
            value_m = getattr(self, f"{side}_m")
            if value_m is None and self.kind is Kind.PLAIN:
                raise InputError(
                    f"lay.piece.{side}",
                    "missing",
                    "a length with its unit",
                    f"write the size of the piece with its allowances, or its kind: "
                    f"{', '.join(list(Kind)[1:])}",
                )
            if value_m is not None:
                require_range(
                    f"lay.piece.{side}",
                    value_m,
                    LEAST_PIECE_M,
                    MOST_PIECE_M,
                    "write the size of the piece with its allowances",
                    quantity="length",
                )

    @property
    def size_m(self) -> tuple[float, float]:
        """Width and length of a piece whose size is known, metres."""
        assert self.width_m is not None, "sized() comes before laying"
        assert self.length_m is not None, "sized() comes before laying"
        return self.width_m, self.length_m


@dataclass(frozen=True, slots=True, kw_only=True)
class LayChoice:
    """How the cloth is bought and laid.

    Parameters
    ----------
    nap
        Whether all pieces must point the same way along the cloth.
    selvedge_m
        Margin left unused along each side of the bolt's width, metres.
    squaring_m
        Length lost in cutting the two ends square, both together, metres.
    print_repeat_m
        Repeat of a print along the cloth before the wash: every layer of a printed cloth begins at the
        same place of it. 0: none.
    garments
        How many of this garment.
    wash_first
        Whether the cloth is washed, and shrinks, before it is cut.
    extras
        Small pieces to cut besides, for each garment.
    in_hand_m
        Lengths that the maker has already, one for each cloth, as bought, metres.
    """

    nap: Nap = Nap.ONE_WAY
    selvedge_m: float = 0.0
    squaring_m: float = 0.0
    print_repeat_m: float = 0.0
    garments: int = 1
    wash_first: bool = True
    extras: tuple[Extra, ...] = ()
    in_hand_m: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        for name, high_m, remedy in (
            ("selvedge", 0.10, "write the margin at one side"),
            ("squaring", 0.30, "write what both ends lose together"),
            ("print_repeat", MOST_REPEAT_M, "write the length after which the print comes again"),
        ):
            value_m = getattr(self, f"{name}_m")
            require_range(f"lay.{name}", value_m, 0.0, high_m, remedy, quantity="length")
        for length_m in self.in_hand_m:
            require_range(
                "lay.in_hand", length_m, 0.2, 100.0, "write the length you have", quantity="length"
            )
        if not 1 <= self.garments <= MOST_GARMENTS:
            raise InputError(
                "lay.garments", self.garments, f"1 to {MOST_GARMENTS}", "split the batch"
            )
        pieces = sum(extra.count for extra in self.extras)
        if pieces > MOST_PIECES:
            raise InputError(
                "lay.piece", f"{pieces} pieces", f"up to {MOST_PIECES} a garment", "leave some out"
            )

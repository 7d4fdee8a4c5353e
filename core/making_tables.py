# SPDX-License-Identifier: GPL-3.0-or-later
"""The tables of a job file for the cutting table: wish, sewing, lay, money; read and written."""

from typing import Any

from .buying import HEMS, ROOM, SLEEVE_ENDS, SLEEVE_ROOM, Wish
from .cut_line import EDGES, Allowances
from .document import Table
from .errors import InputError
from .lay import Extra, Kind, LayChoice, Nap
from .lay.choice import MOST_GARMENTS, MOST_PIECES
from .money import MOST_AMOUNT, Money
from .units import UnitSystem, write_quantity

__all__ = [
    "read_lay",
    "read_money",
    "read_sewing",
    "read_wish",
    "write_lay",
    "write_money",
    "write_sewing",
    "write_wish",
]

LAYERS = ("outer", "lining")
LAY_LENGTHS = ("selvedge", "squaring", "print_repeat")
PIECE_KEYS = ("kind", "name", "width", "length", "count", "cloth", "any_grain")
USUAL_COUNTS = {Kind.POCKET: 2, Kind.HOOD: 2, Kind.CUFF: 2, Kind.BELT: 2}
MOST_NAME_CHARACTERS = 40
MOST_CURRENCY_CHARACTERS = 8


def read_sewing(document: Table) -> Allowances:
    """The allowances: ``allowance`` for every edge, and each edge's own."""
    keys = ("allowance", *(f"{edge}_allowance" for edge in EDGES))
    table = document.table("sewing", keys)
    values: dict[str, Any] = {}
    for edge in EDGES:
        key = f"{edge}_allowance" if f"{edge}_allowance" in table else "allowance"
        if key in table:
            values[f"{edge}_m"] = table.quantity(key, "length")
    return Allowances(**values)


def write_sewing(allowances: Allowances, units: UnitSystem) -> dict[str, object]:
    """The table that `read_sewing` reads."""
    return {
        f"{edge}_allowance": write_quantity("length", getattr(allowances, f"{edge}_m"), units)
        for edge in EDGES
    }


def read_lay(document: Table) -> LayChoice:
    """How the cloth is bought and laid."""
    table = document.table(
        "lay", ("nap", *LAY_LENGTHS, "garments", "wash_first", "in_hand", "piece")
    )
    values: dict[str, Any] = {
        f"{key}_m": table.quantity(key, "length") for key in LAY_LENGTHS if key in table
    }
    if "nap" in table:
        values["nap"] = Nap(table.word("nap", Nap))
    if "garments" in table:
        values["garments"] = table.whole_number("garments", 1, MOST_GARMENTS)
    if "wash_first" in table:
        values["wash_first"] = table.truth("wash_first")
    if "in_hand" in table:
        values["in_hand_m"] = table.quantities("in_hand", "length")
    values["extras"] = tuple(_read_extra(piece) for piece in table.tables("piece", PIECE_KEYS))
    return LayChoice(**values)


def _read_extra(table: Table) -> Extra:
    """A small piece: of a kind that has a usual size, or with its width and length."""
    kind = Kind(table.word("kind", Kind)) if "kind" in table else Kind.PLAIN
    values: dict[str, Any] = {"kind": kind, "count": USUAL_COUNTS.get(kind, 1)}
    if "count" in table:
        values["count"] = count = table.whole_number("count", 1, MOST_PIECES)
        if kind is Kind.HOOD and count % 2:
            raise InputError(
                "lay.piece.count", count, "an even number, since a hood has two halves", "write 2"
            )
    if "cloth" in table:
        values["layer"] = table.word("cloth", LAYERS)
    if "any_grain" in table:
        values["any_grain"] = table.truth("any_grain")
    for side in ("width", "length"):
        if side in table or kind is Kind.PLAIN:
            values[f"{side}_m"] = table.quantity(side, "length")
    named = "name" in table or kind is Kind.PLAIN
    return Extra(name=table.text("name", MOST_NAME_CHARACTERS) if named else str(kind), **values)


def write_lay(choice: LayChoice, units: UnitSystem) -> dict[str, object]:
    """The table that `read_lay` reads."""
    table: dict[str, object] = {
        key: write_quantity("length", getattr(choice, f"{key}_m"), units) for key in LAY_LENGTHS
    }
    table |= {
        "nap": str(choice.nap),
        "garments": choice.garments,
        "wash_first": choice.wash_first,
    }
    pieces = [
        {
            "kind": str(extra.kind),
            "name": extra.name,
            **{
                side: write_quantity("length", value_m, units)
                for side, value_m in (("width", extra.width_m), ("length", extra.length_m))
                if value_m is not None
            },
            "count": extra.count,
            "cloth": extra.layer,
            "any_grain": extra.any_grain,
        }
        for extra in choice.extras
    ]
    if choice.in_hand_m:
        table["in_hand"] = [write_quantity("length", one_m, units) for one_m in choice.in_hand_m]
    return table | ({"piece": pieces} if pieces else {})


def read_money(document: Table) -> Money:
    """The maker's money."""
    table = document.table("money", ("currency", "thread", "other", "decimals"))
    values: dict[str, Any] = {
        key: table.number(key, 0.0, MOST_AMOUNT) for key in ("thread", "other") if key in table
    }
    if "currency" in table:
        values["currency"] = table.text("currency", MOST_CURRENCY_CHARACTERS)
    if "decimals" in table:
        values["decimals"] = table.whole_number("decimals", 0, 4)
    return Money(**values)


def write_money(money: Money) -> dict[str, object]:
    """The table that `read_money` reads."""
    table: dict[str, object] = {
        "thread": money.thread,
        "other": money.other,
        "decimals": money.decimals,
    }
    return table | ({"currency": money.currency} if money.currency else {})


def read_wish(document: Table) -> Wish | None:
    """Where hem and sleeves should end and how roomy it should be; None without the table."""
    if "wish" not in document:
        return None
    table = document.table("wish", ("hem", "sleeve_end", "body", "sleeve", "draped"))
    values: dict[str, Any] = {
        # a level or room by its name, or a height over the floor or ease
        key: table.quantity(key, "length")
        if key != "sleeve_end" and str(table.content[key])[:1].isdigit()
        else table.word(key, words)
        for key, words in (
            ("hem", HEMS),
            ("sleeve_end", SLEEVE_ENDS),
            ("body", ROOM),
            ("sleeve", SLEEVE_ROOM),
        )
        if key in table
    }
    if "draped" in table:
        values["draped"] = table.truth("draped")
    return Wish(**values)


def write_wish(wish: Wish, units: UnitSystem) -> dict[str, object]:
    """The table that `read_wish` reads."""

    def told(value: str | float | None) -> str | None:
        return write_quantity("length", value, units) if isinstance(value, float) else value

    table = {
        "hem": told(wish.hem),
        "sleeve_end": wish.sleeve_end,
        "body": told(wish.body),
        "sleeve": told(wish.sleeve),
        "draped": True if wish.draped else None,
    }
    return {key: value for key, value in table.items() if value is not None}

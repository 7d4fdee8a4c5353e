# SPDX-License-Identifier: GPL-3.0-or-later
"""The cloth tables of a job file: kind, stated figures, and the swatch; read and written."""

import math
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from .cloth import ClothChoice, library
from .document import Table, shown
from .errors import InputError
from .print_tables import read_photograph, read_print, write_photograph, write_print
from .swatch import READINGS, Content, Reading, Swatch
from .units import (
    Quantity,
    RangeError,
    UnitSystem,
    parse_pair,
    parse_quantity,
    write_quantity,
)

__all__ = ["CLOTH_FIGURES", "read_cloth", "write_cloth"]

MOST_COLOUR_CHARACTERS = 80

# Keys of the file and the fields that hold them, by quantity
_STATED: Mapping[str, tuple[str, Quantity]] = MappingProxyType(
    {
        "mass": ("mass_kg_m2", "mass per area"),
        "thickness": ("thickness_m", "length"),
        "pile_height": ("pile_height_m", "length"),
        "bending_length_along": ("bending_length_along_m", "length"),
        "bending_length_across": ("bending_length_across_m", "length"),
        "bolt_width": ("bolt_width_m", "length"),
        "shrinkage_along": ("shrinkage_along", "share"),
        "shrinkage_across": ("shrinkage_across", "share"),
        "price": ("price_per_m", "price per length"),
    }
)
CLOTH_FIGURES = (*_STATED, "swatch")
"""Keys that belong to one cloth and not to another of another kind."""


def read_cloth(cloth: Table, layer: str, folder: Path) -> ClothChoice:
    """The choice of cloth for one layer, its pictures looked for from a folder."""
    table = cloth.table(layer, ("kind", *CLOTH_FIGURES, "colour", "print", "photograph"))
    figures = {
        field: table.quantity(key, quantity)
        for key, (field, quantity) in _STATED.items()
        if key in table
    }
    kind = table.word("kind", library())
    colour = table.text("colour", MOST_COLOUR_CHARACTERS) if "colour" in table else None
    readings = table.table("swatch", READINGS)
    try:
        given = {key: _read(readings, key, READINGS[key]) for key in readings.content}
        return ClothChoice(
            kind=kind,
            colour=colour,
            swatch=Swatch(given=given),
            print=read_print(table, folder),
            photograph=read_photograph(table, folder),
            **figures,
        )
    except InputError as error:
        if error.key.startswith(f"{table.path}."):
            raise
        key = error.key.replace("cloth.", f"{table.path}.", 1)
        if isinstance(error, RangeError):
            raise error.retold(key, "cm", None) from error
        raise InputError(key, error.value, error.allowed, error.remedy) from error


def write_cloth(choice: ClothChoice, units: UnitSystem, folder: Path | None) -> dict[str, object]:
    """The table that `read_cloth` reads; paths in it start from the folder, or are whole."""
    table: dict[str, object] = {"kind": choice.kind}
    for key, (field, quantity) in _STATED.items():
        value: float | None = getattr(choice, field)
        if value is not None:
            table[key] = write_quantity(quantity, value, units)
    if choice.colour is not None:
        table["colour"] = choice.colour
    if choice.print is not None:
        table["print"] = write_print(choice.print, units, folder)
    if choice.photograph is not None:
        table["photograph"] = write_photograph(choice.photograph, units, folder)
    readings = {
        key: _write(READINGS[key], content, units) for key, content in choice.swatch.given.items()
    }
    return table | ({"swatch": readings} if readings else {})


def _read(table: Table, key: str, reading: Reading) -> Content:
    match reading.form:
        case "one":
            return table.quantity(key, reading.quantity)
        case "many":
            return table.quantities(key, reading.quantity)
        case "sides":
            return parse_pair(
                f"{table.path}.{key}", _one_line(table, key, '"20 cm x 20 cm"'), ("x", "×", "by")
            )
        case "count":
            return table.whole_number(key, int(reading.low), int(reading.high))
        case "tilts":
            lines = table.lines(key, 'a tilt such as "24 deg" or "25 cm on 60 cm", or a list')
            return tuple(_tilt(f"{table.path}.{key}", line) for line in lines)
        case "points":
            return table.points(key)


def _one_line(table: Table, key: str, example: str) -> str:
    lines = table.lines(key, f"one text such as {example}")
    if len(lines) > 1:
        raise InputError(
            f"{table.path}.{key}", f"a list of {len(lines)}", f"one, such as {example}", "write one"
        )
    return lines[0]


def _tilt(key: str, text: str) -> float:
    """An angle, or the rise of a board's end on its length."""
    if " on " not in text:
        return parse_quantity("angle", key, text)
    rise_m, board_m = parse_pair(key, text, (" on ",))
    if not 0 < rise_m < board_m:
        raise InputError(
            key,
            shown(text),
            "a rise shorter than the board",
            "write how high its end was raised, then the length of the board",
        )
    return math.asin(rise_m / board_m)


def _write(reading: Reading, content: Content, units: UnitSystem) -> object:
    match reading.form, content:
        case "count", _:
            return content
        case "points", tuple():
            return [list(point) for point in content if isinstance(point, tuple)]
        case "sides", tuple():
            return " x ".join(_written(reading, side, units) for side in content)
        case _, tuple():
            return [_written(reading, value, units) for value in content]
        case _:
            return _written(reading, content, units)


def _written(reading: Reading, value: object, units: UnitSystem) -> str:
    if not isinstance(value, float | int):
        raise TypeError(f"{value!r} is no reading")
    return write_quantity(reading.quantity, float(value), units)

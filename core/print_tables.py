# SPDX-License-Identifier: GPL-3.0-or-later
"""The tables ``print`` and ``photograph`` of a cloth in a job file, read and written."""

from pathlib import Path
from typing import Any

from .cloth import PICTURE, PLAIN, PRINTS, Photograph, Print
from .document import Table, shown
from .errors import FileError, InputError
from .job_paths import read_path, written_path
from .picture_file import PictureFile, open_picture
from .units import UnitSystem, parse_pair, write_quantity

__all__ = [
    "read_photograph",
    "read_print",
    "write_photograph",
    "write_print",
]

PRINT_KEYS = ("kind", "repeat", "offset", "turn", "colours", "one_way", "file")
PHOTOGRAPH_KEYS = ("file", "width", "tiled")


def read_print(cloth: Table, folder: Path) -> Print | None:
    """What is printed on a cloth, its picture looked for from a folder; None for plain cloth."""
    table = cloth.table("print", PRINT_KEYS)
    if not table.content:  # a variant may have left out all of it
        return None
    kind = table.word("kind", (PLAIN, *PRINTS))
    if kind == PLAIN:
        return None
    values: dict[str, Any] = {"kind": kind, "repeat_m": table.quantity("repeat", "length")}
    if "offset" in table:
        text = table.text("offset", 80)
        values["offset_m"] = parse_pair(f"{table.path}.offset", text, ("x", "×", "by"), signed=True)
    if "turn" in table:
        values["turn_rad"] = table.quantity("turn", "angle")
    if "colours" in table:
        values["colours"] = table.lines("colours", 'a list of colours like "#e6dcc8"')
    if "one_way" in table:
        values["one_way"] = table.truth("one_way")
    if "file" in table or kind == PICTURE:
        values["picture"] = _opened(table, folder)
    return Print(**values)


def write_print(motif: Print, units: UnitSystem, folder: Path | None) -> dict[str, object]:
    """The table that `read_print` reads, its path from a folder or whole."""
    table: dict[str, object] = {
        "kind": motif.kind,
        "repeat": write_quantity("length", motif.repeat_m, units),
    }
    if any(motif.offset_m):
        table["offset"] = " x ".join(
            ("-" if side_m < 0 else "") + write_quantity("length", abs(side_m), units)
            for side_m in motif.offset_m
        )
    if motif.turn_rad:
        table["turn"] = write_quantity("angle", motif.turn_rad, units)
    if motif.colours:
        table["colours"] = list(motif.colours)
    if motif.one_way is not None:
        table["one_way"] = motif.one_way
    if motif.picture is not None:
        table["file"] = written_path(motif.picture.path, folder)
    return table


def read_photograph(cloth: Table, folder: Path) -> Photograph | None:
    """The photograph of a cloth; None where there is none."""
    table = cloth.table("photograph", PHOTOGRAPH_KEYS)
    if not table.content:
        return None
    width_m = table.quantity("width", "length")
    tiled = table.truth("tiled") if "tiled" in table else False
    return Photograph(picture=_opened(table, folder), width_m=width_m, tiled=tiled)


def write_photograph(
    photograph: Photograph, units: UnitSystem, folder: Path | None
) -> dict[str, object]:
    """The table that `read_photograph` reads."""
    return {
        "file": written_path(photograph.picture.path, folder),
        "width": write_quantity("length", photograph.width_m, units),
        **({"tiled": True} if photograph.tiled else {}),
    }


def _opened(table: Table, folder: Path) -> PictureFile:
    path = read_path(table, "a PNG or JPEG file", folder)
    try:
        return open_picture(path)
    except FileError as error:
        written = shown(table.content["file"])
        raise InputError(
            f"{table.path}.file", written, "a PNG or JPEG picture", str(error).rstrip(".")
        ) from error

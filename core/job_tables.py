# SPDX-License-Identifier: GPL-3.0-or-later
"""The tables of a job file: the wearer's tape and body, and the cut; read and written."""

import math
from collections.abc import Mapping
from dataclasses import fields
from enum import StrEnum
from pathlib import Path
from types import MappingProxyType
from typing import Any

from .document import Table, shown
from .errors import InputError
from .job_paths import read_path, written_path
from .mannequin.own_body import UNITS_M, UP_AXES, BodyChoice
from .nap import NapDown
from .pattern import Corner, Cut, Front, Neck, Shoulder, sized_to_head, sized_to_neck
from .tape import SEXES, SYNONYMS, Measures, Tape, measure_names, measure_quantity
from .units import RangeError, UnitSystem, write_quantity

__all__ = [
    "MOST_NAME_CHARACTERS",
    "read_body",
    "read_cut",
    "read_tape",
    "write_body",
    "write_cut",
    "write_tape",
]

MOST_NAME_CHARACTERS = 80

# Keys of the file and the fields that hold them, by quantity
CUT_LENGTHS: Mapping[str, str] = MappingProxyType(
    {
        key: f"{key}_m"
        for key in (
            "cloth_width",
            "length",
            "body_width",
            "sleeve_drop",
            "corner_radius",
            "neck_width",
            "neck_front_depth",
            "neck_back_depth",
            "neck_ease",
            "front_overlap",
            "shoulder_drop",
            "wrist_opening",
            "sleeve_shortened",
            "cuff_depth",
            "hem_curve",
            "back_longer",
            "side_flare",
            "side_split",
        )
    }
)
CUT_WORDS: Mapping[str, type[StrEnum]] = MappingProxyType(
    {"neck": Neck, "front": Front, "shoulder": Shoulder, "corner": Corner, "nap": NapDown}
)
NECK_LENGTHS = ("neck_width_m", "neck_front_depth_m")
CUT_REQUIRED = ("cloth_width", "length", "body_width", "sleeve_drop")
TAPE_REQUIRED = ("height", "bust_girth")


def read_tape(document: Table, *, required: bool) -> Tape:
    """The tape; without height and bust girth only where these are not ``required``."""
    table = document.table("tape", ("sex", *measure_names(), *SYNONYMS))
    given = {
        key: table.quantity(key, measure_quantity(key)) for key in table.content if key != "sex"
    }
    for name in TAPE_REQUIRED if required else ():
        if not any(SYNONYMS.get(key, key) == name for key in given):
            table.quantity(name, "length")  # tells that it is missing
    sex = table.word("sex", SEXES) if "sex" in table else "unstated"
    try:
        return Tape(sex=sex, given=given)
    except RangeError:
        raise
    except InputError as error:
        written = shown(table.content.get(error.key.removeprefix("tape."), error.value))
        raise InputError(error.key, written, error.allowed, error.remedy) from error


def write_tape(tape: Tape, units: UnitSystem) -> dict[str, object]:
    """The table that `read_tape` reads."""
    return {
        "sex": tape.sex,
        **{
            name: write_quantity(measure_quantity(name), value, units)
            for name, value in tape.given.items()
        },
    }


def read_body(document: Table, folder: Path) -> BodyChoice | None:
    """The wearer's own body, its file looked for from a folder; None if the job names none."""
    if "body" not in document:
        return None
    table = document.table("body", ("file", "unit", "up"))
    return BodyChoice(
        path=read_path(table, "a file", folder),
        unit=table.word("unit", UNITS_M) if "unit" in table else None,
        up=table.word("up", UP_AXES) if "up" in table else None,
    )


def write_body(choice: BodyChoice, folder: Path | None) -> dict[str, object]:
    """The table that `read_body` reads, from a folder or with the whole path."""
    table: dict[str, object] = {"file": written_path(choice.path, folder)}
    return table | {
        key: word for key, word in (("unit", choice.unit), ("up", choice.up)) if word is not None
    }


def read_cut(document: Table, measures: Measures, lining_thickness_m: float) -> Cut:
    """The choices of the flat pattern; ``neck_ease`` sizes the neck to the wearer's measures.

    Of a closed front what the table leaves out of the neck's width and depth is sized to the head,
    the lining's thickness round it.
    """
    table = document.table("cut", (*CUT_LENGTHS, *CUT_WORDS))
    if "neck_ease" in table and "neck_width" in table:
        raise InputError(
            "cut.neck_ease",
            shown(table.content["neck_ease"]),
            "either neck_ease or neck_width",
            "leave one of the two out: the ease over the neck base makes the width",
        )
    values: dict[str, Any] = {
        field: table.quantity(key, "length")
        for key, field in CUT_LENGTHS.items()
        if key in table or key in CUT_REQUIRED
    }
    for key, words in CUT_WORDS.items():
        if key in table:
            values[key] = words(table.word(key, words))
    cut = sized_to_neck(Cut(**values), measures.value("neck_base_girth"))
    if cut.front is not Front.CLOSED or cut.neck_ease_m is not None:
        return cut
    left_out = [field for field in NECK_LENGTHS if field not in values]
    around_m = measures.value("head_girth") + math.pi * lining_thickness_m
    return sized_to_head(cut, around_m, left_out)


def write_cut(cut: Cut, units: UnitSystem) -> dict[str, object]:
    """The table that `read_cut` reads.

    A neck as it is where nothing is said of it stays unsaid: a variant that closes the front sizes it
    to the head.
    """
    usual = {field.name: field.default for field in fields(Cut)}
    unsaid = {
        field
        for field in NECK_LENGTHS
        if cut.front is not Front.CLOSED and getattr(cut, field) == usual[field]
    }
    lengths = {
        key: write_quantity("length", getattr(cut, field), units)
        for key, field in CUT_LENGTHS.items()
        if getattr(cut, field) is not None and field not in unsaid
    }
    if cut.neck_ease_m is not None:
        lengths.pop("neck_width", None)
    return {**lengths, **{key: str(getattr(cut, key)) for key in CUT_WORDS}}

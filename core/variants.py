# SPDX-License-Identifier: GPL-3.0-or-later
"""Variants of a job: what differs in one of its drapes, as keys and values of the job file."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

from .document import Table, flat, nested, shown
from .errors import InputError
from .job_paths import whole_path, written_path
from .job_tables import MOST_NAME_CHARACTERS

__all__ = ["LEFT_OUT", "Variant", "read_variants", "write_variants"]

MOST_VARIANTS = 24

LEFT_OUT = "left out"
"""In a variant: without what the job gives here, as if the job had no such line."""

_PATHS = tuple(
    f"cloth.{layer}.{table}.file"
    for layer in ("outer", "lining")
    for table in ("print", "photograph")
)
_VARIED = ("tape", "cloth", "cut", "wish", "sewing", "lay", "money", "drape")


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """What differs from the job in one of its drapes.

    ``changes`` maps dotted keys of the job file, such as ``cut.length``, to values as they stand
    in the file, or to `LEFT_OUT`.
    """

    name: str
    changes: Mapping[str, object]


def read_variants(document: Table, folder: Path) -> tuple[Variant, ...]:
    """The variants of a job file that stands in a folder."""
    tables = document.tables("variant", ("name", *_VARIED))
    if len(tables) > MOST_VARIANTS:
        raise InputError(
            "variant",
            f"a list of {len(tables)}",
            f"up to {MOST_VARIANTS} variants",
            "split the job into several files",
        )
    variants = tuple(
        Variant(
            name=table.text("name", MOST_NAME_CHARACTERS),
            changes=MappingProxyType(
                _moved(
                    flat({key: part for key, part in table.content.items() if key != "name"}),
                    lambda text: whole_path(text, folder),
                )
            ),
        )
        for table in tables
    )
    names = [variant.name for variant in variants]
    for place, name in enumerate(names):
        if name in names[:place]:
            raise InputError(
                "variant.name", shown(name), "a different name for each", "rename one of the two"
            )
    return variants


def write_variants(variants: Sequence[Variant], folder: Path | None) -> list[dict[str, Any]]:
    """Their tables for a job's file in a folder; without one, paths are written whole."""
    return [
        {
            "name": variant.name,
            **nested(_moved(variant.changes, lambda text: written_path(Path(text), folder))),
        }
        for variant in variants
    ]


def _moved(changes: Mapping[str, object], move: Callable[[str], str]) -> dict[str, object]:
    """A variant's changes with every path in them told otherwise."""
    return {
        key: move(value)
        if key in _PATHS and isinstance(value, str) and value != LEFT_OUT
        else value
        for key, value in changes.items()
    }

# SPDX-License-Identifier: GPL-3.0-or-later
"""Every measure of every variant as a table for other programs: CSV (RFC 4180), one measure a row."""

import csv
import io
from collections.abc import Iterator, Mapping
from pathlib import Path

from .comparison import Outcome
from .files import write_text

__all__ = ["measure_rows", "write_measures"]

HEADING = ("variant", "pose", "measure", "value", "unit")
UNITS: Mapping[str, str] = {"m": "m", "m2": "m2", "m3": "m3", "kg": "kg", "pa": "Pa"}
"""By the end of a measure's name in `fit.json`."""

LEFT_OUT = ("along_m", "height_m", "places_m")
"""Curves: they stand in `fit.json`."""


def write_measures(path: Path, outcomes: tuple[Outcome, ...]) -> None:
    """Write the table, whole or not at all."""
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(HEADING)
    for outcome in outcomes:
        for name, value, unit in measure_rows(outcome):
            writer.writerow((outcome.variant or outcome.name, outcome.pose, name, value, unit))
    write_text(path, file.getvalue())


def measure_rows(outcome: Outcome) -> Iterator[tuple[str, object, str]]:
    """(name, value, unit) of every single measure; a count and a word have no unit."""
    yield from _leaves((), outcome.fit.to_dict())


def _leaves(path: tuple[str, ...], value: object) -> Iterator[tuple[str, object, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            if not (path[:1] == ("hem_curve",) and key in LEFT_OUT):
                yield from _leaves((*path, str(key)), inner)
    elif value is not None:
        stem, _, end = path[-1].rpartition("_")
        unit = UNITS.get(end, "") if isinstance(value, float) else ""
        name = ", ".join((*path[:-1], stem if unit else path[-1])).replace("_", " ")
        yield name, f"{value:.6g}" if isinstance(value, float) else value, unit

# SPDX-License-Identifier: GPL-3.0-or-later
"""What a measurement of the bench hands back: a figure beside what it is held against."""

import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from typing import Any, TypeVar

__all__ = ["Row", "as_data", "at_most", "cpu_seconds", "say", "shown", "table"]

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One figure.

    Attributes
    ----------
    name, figure, unit
        What was measured; the figure is None where it could not be, and ``reference`` says why.
    reference
        The goal, or who else was measured, in words.
    gate
        What the figure may be, in words; empty where it is only reported.
    passed
        Whether it is, or None where there is no gate.
    """

    name: str
    figure: float | None
    unit: str = ""
    reference: str = ""
    gate: str = ""
    passed: bool | None = None


def at_most(name: str, figure: float, unit: str, most: float, reference: str = "") -> Row:
    """A figure that may not be larger than a gate."""
    return Row(
        name=name,
        figure=figure,
        unit=unit,
        reference=reference,
        gate=f"≤ {most:g}",
        passed=bool(figure <= most),
    )


def shown(name: str, figure: float, unit: str, reference: str = "") -> Row:
    """A figure without a gate."""
    return Row(name=name, figure=figure, unit=unit, reference=reference)


def cpu_seconds(work: Callable[[], Result], times: int) -> tuple[float, Result]:
    """Least processor time of several runs, and the last result: other programs count for less."""
    best = float("inf")
    for _ in range(times):
        start = time.process_time()
        result = work()
        best = min(best, time.process_time() - start)
    return best, result


def say(text: str) -> None:
    """Tell how far the bench is."""
    print(f"  .. {text}", flush=True)


def as_data(rows: list[Row]) -> list[dict[str, Any]]:
    """The rows for a JSON file."""
    return [asdict(row) for row in rows]


_VERDICT = {True: "yes", False: "NO", None: "-"}


def table(rows: list[Row]) -> str:
    """The rows as lines of text."""
    lines = [("figure", "", "unit", "gate", "passed", "goal or peer")]
    for row in rows:
        figure = "-" if row.figure is None else f"{row.figure:.4g}"
        lines.append((row.name, figure, row.unit, row.gate, _VERDICT[row.passed], row.reference))
    widths = [max(len(line[column]) for line in lines) for column in range(len(lines[0]))]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if column == 1 else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    )

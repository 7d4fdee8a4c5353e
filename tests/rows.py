# SPDX-License-Identifier: GPL-3.0-or-later
"""A measured figure beside what it is held against: the rows of `validate` and `bench`."""

from dataclasses import asdict, dataclass
from typing import Any

__all__ = [
    "Row",
    "as_data",
    "at_most",
    "distance",
    "exactly",
    "missed",
    "reported",
    "share",
    "table",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One figure of ours.

    Attributes
    ----------
    name, unit
        What was measured.
    figure
        Ours; None where it could not be measured, and ``reference`` says why.
    reference
        The figure that it should be; or the goal, or who else was measured, in words.
    error
        How far apart the two are, as the gate counts it.
    gate
        What may be, in words; empty where the figure is only reported.
    passed
        Whether it is, or None where there is no gate.
    source
        Where the reference comes from.
    """

    name: str
    figure: float | None
    unit: str = ""
    reference: float | str = ""
    error: str = ""
    gate: str = ""
    passed: bool | None = None
    source: str = ""


def reported(
    name: str, figure: float, unit: str, source: str = "", reference: float | str = ""
) -> Row:
    """A figure without a gate."""
    error = "" if isinstance(reference, str) else f"{figure - reference:+.3g}"
    return Row(name=name, figure=figure, unit=unit, reference=reference, error=error, source=source)


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


def share(name: str, figure: float, reference: float, gate: float, unit: str, source: str) -> Row:
    """A figure that may differ by a share of the reference."""
    error = figure / reference - 1
    told = (f"{100 * error:+.2f} %", f"±{100 * gate:g} %")
    return _held(name, figure, reference, told, abs(error) <= gate, unit, source)


def distance(
    name: str, figure: float, reference: float, gate: float, unit: str, source: str
) -> Row:
    """A figure that may differ by an amount in its own unit."""
    error = figure - reference
    told = (f"{error:+.3g}", f"±{gate:g}")
    return _held(name, figure, reference, told, abs(error) <= gate, unit, source)


def exactly(name: str, figure: float, reference: float, unit: str, source: str) -> Row:
    """A figure that must be the reference itself."""
    told = (f"{figure - reference:+.3g}", "same")
    return _held(name, figure, reference, told, figure == reference, unit, source)


def _held(
    name: str,
    figure: float,
    reference: float,
    told: tuple[str, str],
    passed: bool,
    unit: str,
    source: str,
) -> Row:
    error, gate = told
    return Row(
        name=name,
        figure=figure,
        unit=unit,
        reference=reference,
        error=error,
        gate=gate,
        passed=bool(passed),
        source=source,
    )


def missed(rows: list[Row]) -> list[str]:
    """Names of the rows past their gate."""
    return [row.name for row in rows if row.passed is False]


def as_data(rows: list[Row]) -> list[dict[str, Any]]:
    """The rows for a JSON file."""
    return [asdict(row) for row in rows]


HEADS = ("figure", "unit", "reference", "ours", "error", "gate", "passed")
TO_THE_RIGHT = ("ours", "error")
VERDICT = {True: "yes", False: "NO", None: "-"}


def table(rows: list[Row]) -> str:
    """The rows as lines of text; columns that stay empty are left out."""
    lines = [HEADS, *(_cells(row) for row in rows)]
    used = [head for head in range(len(HEADS)) if any(line[head] for line in lines[1:])]
    widths = {head: max(len(line[head]) for line in lines) for head in used}
    return "\n".join(
        "  ".join(
            line[head].rjust(widths[head])
            if HEADS[head] in TO_THE_RIGHT
            else line[head].ljust(widths[head])
            for head in used
        ).rstrip()
        for line in lines
    )


def _cells(row: Row) -> tuple[str, ...]:
    figure = "-" if row.figure is None else f"{row.figure:.4g}"
    reference = row.reference if isinstance(row.reference, str) else f"{row.reference:.4g}"
    return row.name, row.unit, reference, figure, row.error, row.gate, VERDICT[row.passed]

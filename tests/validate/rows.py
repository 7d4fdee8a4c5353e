# SPDX-License-Identifier: GPL-3.0-or-later
"""What a test of the drape's mechanics hands back: figures beside references, with a gate."""

from dataclasses import asdict, dataclass
from typing import Any

__all__ = ["Row", "as_data", "distance", "exactly", "reported", "share", "table"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One figure of ours beside the one that it should be.

    Attributes
    ----------
    name, unit
        What was measured.
    figure, reference
        Ours and the reference's; no reference where the figure stands for itself.
    error
        How far apart they are, as the gate counts it.
    gate
        What the error may be at most, in words; empty where the figure is only reported.
    passed
        Whether it is, or None where there is no gate.
    source
        Where the reference comes from.
    """

    name: str
    figure: float
    unit: str
    reference: float | None
    error: str
    gate: str
    passed: bool | None
    source: str


def share(name: str, figure: float, reference: float, gate: float, unit: str, source: str) -> Row:
    """A figure that may differ by a share of the reference."""
    error = figure / reference - 1
    return Row(
        name=name,
        figure=figure,
        unit=unit,
        reference=reference,
        error=f"{100 * error:+.2f} %",
        gate=f"±{100 * gate:g} %",
        passed=bool(abs(error) <= gate),
        source=source,
    )


def distance(
    name: str, figure: float, reference: float, gate: float, unit: str, source: str
) -> Row:
    """A figure that may differ by an amount in its own unit."""
    error = figure - reference
    return Row(
        name=name,
        figure=figure,
        unit=unit,
        reference=reference,
        error=f"{error:+.3g}",
        gate=f"±{gate:g}",
        passed=bool(abs(error) <= gate),
        source=source,
    )


def exactly(name: str, figure: float, reference: float, unit: str, source: str) -> Row:
    """A figure that must be the reference itself."""
    return Row(
        name=name,
        figure=figure,
        unit=unit,
        reference=reference,
        error=f"{figure - reference:+.3g}",
        gate="same",
        passed=bool(figure == reference),
        source=source,
    )


def reported(
    name: str, figure: float, unit: str, source: str, reference: float | None = None
) -> Row:
    """A figure without a gate."""
    error = "" if reference is None else f"{figure - reference:+.3g}"
    return Row(
        name=name,
        figure=figure,
        unit=unit,
        reference=reference,
        error=error,
        gate="",
        passed=None,
        source=source,
    )


def as_data(rows: list[Row]) -> list[dict[str, Any]]:
    """The rows for a JSON file."""
    return [asdict(row) for row in rows]


_VERDICT = {True: "yes", False: "NO", None: "-"}


def table(rows: list[Row]) -> str:
    """The rows as lines of text: test, reference, ours, error, gate, passed."""
    lines = [("test", "unit", "reference", "ours", "error", "gate", "passed")]
    for row in rows:
        reference = "" if row.reference is None else f"{row.reference:.4g}"
        verdict = _VERDICT[row.passed]
        lines.append(
            (row.name, row.unit, reference, f"{row.figure:.4g}", row.error, row.gate, verdict)
        )
    widths = [max(len(line[column]) for line in lines) for column in range(len(lines[0]))]
    left = {0, 1, 6}
    return "\n".join(
        "  ".join(
            cell.ljust(width) if column in left else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    )

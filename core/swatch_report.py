# SPDX-License-Identifier: GPL-3.0-or-later
"""What the swatches of a job say, as lines of text: every cloth in it, and what to test next."""

from collections.abc import Iterator

from .cloth import ClothChoice
from .cloth_findings import Finding, findings
from .job import Job
from .next_test import what_next
from .units import UnitSystem

__all__ = ["swatch_lines"]


def swatch_lines(job: Job) -> tuple[str, ...]:
    """Each different cloth of the job with its findings and the next test."""
    lines: list[str] = []
    seen: list[ClothChoice] = []
    for name, drape in job.expand():
        for layer, choice in (("outer", drape.outer), ("lining", drape.lining)):
            if choice not in seen:
                seen.append(choice)
                lines += ["", f"{name}, {layer}: {choice.kind}"]
                lines += _table(findings(choice, job.units))
                lines += _advice(choice, job.units)
    return tuple(lines[1:])


def _table(found: tuple[Finding, ...]) -> Iterator[str]:
    """One line each: what it is, value and spread, source, meaning."""
    rows = [
        (one.about, f"{one.value} ± {one.spread}", one.source or "exact", one.meaning)
        for one in found
    ]
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    for row in rows:
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=False))
        yield f"  {'  '.join((*cells, row[3]))}".rstrip()


def _advice(choice: ClothChoice, units: UnitSystem) -> Iterator[str]:
    yield f"  {what_next(choice.cloth()).words(units)}"

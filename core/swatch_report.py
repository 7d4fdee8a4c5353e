# SPDX-License-Identifier: GPL-3.0-or-later
"""What the swatches of a job say, as lines of text: every cloth in it, and what to test next."""

from collections.abc import Iterator

from .cloth import FIGURES, ClothChoice, library
from .cloth_findings import Finding, findings
from .job import Job
from .next_test import what_next
from .round_simulation import hang_round_piece
from .swatch import Swatch, drape_coefficient

__all__ = ["round_check", "swatch_lines", "unusual"]

_AGREES_PERCENT = 10.0
"""As near as the drape comes to published drape coefficients (tests/validate/round_drape.py)."""

_UNUSUAL = 3.0
"""Standard deviations of a kind from which on a measured figure is not expected of it."""


def swatch_lines(job: Job) -> tuple[str, ...]:
    """Each different cloth of the job with its findings and the next test.

    A round piece that was read is hung on the computer too, which takes some seconds.
    """
    lines: list[str] = []
    seen: list[ClothChoice] = []
    for name, drape in job.expand():
        for layer, choice in (("outer", drape.outer), ("lining", drape.lining)):
            if choice not in seen:
                seen.append(choice)
                lines += ["", f"{name}, {layer}: {choice.kind}"]
                lines += _table(findings(choice, job.units))
                lines += (f"  {line}" for line in (*unusual(choice), *round_check(choice)))
                lines.append(f"  {what_next(choice.cloth()).words(job.units)}")
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


def unusual(choice: ClothChoice) -> Iterator[str]:
    """Tell measured figures that are not expected of the kind: another kind may be nearer."""
    cloth, kind = choice.cloth(), library()[choice.kind]
    for origin in cloth.origins:
        if origin.source == "swatch":
            low, high = kind.range_of(origin.figure, _UNUSUAL)
            value: float = getattr(cloth, origin.figure)
            # the two are apart by more than what the reading leaves open
            if value + origin.sd < low or value - origin.sd > high:
                words = FIGURES[origin.figure].words.lower()
                side = "less" if value < low else "more"
                yield (
                    f"Unusual: the {words} is {side} than is expected of {choice.kind}. Check the "
                    "readings; if they are right, see whether another kind is nearer."
                )


def round_check(choice: ClothChoice) -> Iterator[str]:
    """Hang the round piece with the cloth's figures and compare it with what was read.

    It is a look at all figures together: bending both ways, shear, and weight.
    """
    swatch = choice.swatch
    read = drape_coefficient(swatch)
    sizes = ("round_piece", "round_plate")
    if read is None or any(swatch.one(key) != Swatch().one(key) for key in sizes):
        return
    shadow_m2 = hang_round_piece(choice.cloth()).shadow_m2
    computed = drape_coefficient(Swatch(given={"round_shadow": (shadow_m2,)}))
    if computed is None:
        return
    told = (
        f"Round piece: {read.value:.0f} % was read, and {computed.value:.0f} % computed from the "
        "other figures"
    )
    if abs(computed.value - read.value) <= _AGREES_PERCENT + read.sd:
        yield f"{told}: they agree."
    else:
        limper = "limper" if read.value < computed.value else "stiffer"
        yield (
            f"{told}: the cloth is {limper} than its strips say. Let overhangs and the 45 degree "
            "strip be read again, and look whether the strips were creased or curled."
        )

# SPDX-License-Identifier: GPL-3.0-or-later
"""What is kept of a measured drape beside its meshes: words in both kinds of units, and heights.

A figure carries this, so that table, labels and ruler stand at once when a file is opened.
"""

from collections.abc import Mapping
from typing import Any

from ..core.comparison import Outcome, choices, wearer
from ..core.fit_checks import fit_checks
from ..core.job import Job
from ..core.phrases import kept, phrase, recalled
from ..core.report import verdict
from ..core.report_tables import measured_rows
from ..core.sleeve_room import SIDES, STATIONS
from ..core.telling import Telling
from ..core.units import UNIT_SYSTEMS
from .language import spoken, translated

__all__ = ["findings_in", "stopped", "told_of"]


def told_of(outcome: Outcome, job: Job) -> dict[str, Any]:
    """The words and heights of one drape of a job, as plain data."""
    return {
        "words": {units: _words(outcome, job, Telling(units)) for units in UNIT_SYSTEMS},
        "reasons": [kept(reason) for reason in outcome.reasons],
        "sound": outcome.converged,
        "levels_m": dict(outcome.levels),
        "hem_m": outcome.fit.hem.centre_back.height_m,
    }


def _words(outcome: Outcome, job: Job, tell: Telling) -> dict[str, Any]:
    checks = fit_checks(outcome.fit, outcome.cut, outcome.measures, job.wish, tell)
    return {
        "verdict": [[about, kept(words)] for about, words in verdict(outcome, tell).items()],
        "rows": {name: kept(cell[0]) for name, cell in measured_rows(outcome, tell).items()},
        "chosen": choices(outcome, tell) | wearer(outcome, tell),
        "failing": [
            kept(
                phrase(
                    "{name}: {found} (should be: {rule})",
                    name=check.name,
                    found=check.found,
                    rule=check.rule,
                )
            )
            for check in checks
            if not check.holds
        ],
        "rooms": {
            f"{side} {station}": tell.length(room.extra_girth_m)
            for side in SIDES
            for station in STATIONS
            if (room := outcome.fit.sleeves[side].room[station]) is not None
        },
    }


def stopped(said: str) -> dict[str, Any]:
    """What is kept of a drape that was not measured."""
    return {"said": said}


def findings_in(told: Mapping[str, Any], units: str) -> str:
    """The findings as lines, in the language of the interface."""
    if "words" not in told:
        words = str(told.get("said", ""))
        return translated(words)
    verdict = told["words"][units]["verdict"]
    lines = [f"{translated(about)}: {spoken(recalled(words))}" for about, words in verdict]
    return "\n".join([*lines, *(spoken(recalled(reason)) for reason in told["reasons"])])

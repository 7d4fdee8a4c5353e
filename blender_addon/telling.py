# SPDX-License-Identifier: GPL-3.0-or-later
"""What is kept of a measured drape beside its meshes: words in both kinds of units, and heights.

A figure carries this, so that table, labels and ruler stand at once when a file is opened.
"""

from collections.abc import Mapping
from typing import Any

from ..core.comparison import Outcome, choices, wearer
from ..core.drape import Drape
from ..core.fit import body_levels
from ..core.report import verdict
from ..core.report_tables import measured_rows
from ..core.telling import Telling
from ..core.units import UNIT_SYSTEMS

__all__ = ["findings_in", "stopped", "told_of"]


def told_of(outcome: Outcome, drape: Drape) -> dict[str, Any]:
    """The words and heights of one drape, as plain data."""
    words = {}
    for units in UNIT_SYSTEMS:
        tell = Telling(units)
        words[units] = {
            "verdict": [*map(list, verdict(outcome, tell).items())],
            "rows": {name: list(cell) for name, cell in measured_rows(outcome, tell).items()},
            "chosen": choices(outcome, tell) | wearer(outcome, tell),
        }
    return {
        "words": words,
        "reasons": list(outcome.reasons),
        "sound": outcome.converged,
        "levels_m": body_levels(drape),
        "hem_m": outcome.fit.hem.centre_back.height_m,
    }


def stopped(said: str) -> dict[str, Any]:
    """What is kept of a drape that was not measured."""
    return {"said": said}


def findings_in(told: Mapping[str, Any], units: str) -> str:
    """The findings as lines."""
    if "words" not in told:
        return str(told.get("said", ""))
    lines = [f"{about}: {words}" for about, words in told["words"][units]["verdict"]]
    return "\n".join([*lines, *told["reasons"]])

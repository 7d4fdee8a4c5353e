# SPDX-License-Identifier: GPL-3.0-or-later
"""One check before cutting: its state, its numbers and its remedy."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from .check_words import NAMES, NUMBERS, spoken
from .phrases import phrase
from .telling import Telling

__all__ = ["Check", "State", "check_of", "state_of"]


class State(StrEnum):
    """How a check came out."""

    PASS = "pass"
    TIGHT = "tight"
    TOO_SMALL = "too small"
    TOO_LARGE = "too large"


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check: what is looked at, how it came out, the numbers, and what would mend it.

    ``key`` is the number of the job file that it is told beside; ``remedy`` names numbers by their
    keys there.
    """

    name: str
    key: str
    state: State
    numbers: str
    remedy: str

    @property
    def told_remedy(self) -> str:
        """What to do, in the trade's words; nothing where the check passes."""
        return "" if self.state is State.PASS else spoken(self.remedy)


def check_of(
    tell: Telling,
    name: str,
    key: str,
    state: State,
    lengths_m: Mapping[str, float],
    remedy: str,
    *,
    numbers: str = "",
    **words: str,
) -> Check:
    """A check by its name in `check_words`, its lengths (metres) told; ``numbers`` is for other numbers."""
    told = {what: tell.length(value_m) for what, value_m in lengths_m.items()}
    return Check(
        name=phrase(NAMES[name]),
        key=key,
        state=state,
        numbers=phrase(NUMBERS[numbers or name], **told, **words),
        remedy=remedy,
    )


def state_of(value_m: float, passes_m: float, tight_m: float) -> State:
    """How a length comes out that passes from one length on and is tight from another."""
    if value_m >= passes_m:
        return State.PASS
    return State.TIGHT if value_m >= tight_m else State.TOO_SMALL

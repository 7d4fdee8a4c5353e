# SPDX-License-Identifier: GPL-3.0-or-later
"""A wrap and its wearer for the checks before cutting, and the lengths that a remedy tells."""

import re

from napfold.core.cloth import ClothChoice
from napfold.core.pattern import Cut
from napfold.core.tape import Tape, complete
from napfold.core.units import parse_quantity

PLUSH = ClothChoice(kind="light plush").cloth()
HER, _ = complete(
    Tape(
        sex="female",
        given={"height": 1.68, "bust_girth": 0.96, "waist_girth": 0.8, "hip_girth": 1.04},
    )
)
CUT = Cut(cloth_width_m=1.45, length_m=1.4, body_width_m=0.66, sleeve_drop_m=0.26)


def told_m(pattern: str, words: str) -> float:
    """The one length in words that stands where the pattern has its group, metres."""
    (found,) = re.findall(pattern, words)
    return parse_quantity("length", "told", found)

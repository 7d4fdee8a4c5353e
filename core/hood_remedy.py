# SPDX-License-Identifier: GPL-3.0-or-later
"""What would let a hood be put up whose face edge does not reach from the neck over the crown."""

import math
from dataclasses import replace

from .buying import NICE_M, rounded_up_m
from .check_words import REMEDIES
from .cut_line import Allowances
from .lay import Extra
from .lay.pieces import highest_hood_m, hood_edge_m, hood_needed_m
from .pattern import Cut
from .phrases import phrase
from .tape import Measures
from .telling import Telling
from .units import RangeError

__all__ = ["hood_remedy"]


def hood_remedy(
    hood: Extra, cut: Cut, allowances: Allowances, measures: Measures, tell: Telling
) -> str:
    """A higher hood while it hangs well, else a neck so shallow that this hood reaches; nothing if it does."""
    needed_m, edge_m = hood_needed_m(cut, allowances, measures), hood_edge_m(hood, allowances)
    step_m = NICE_M[tell.units]
    if needed_m <= edge_m:
        return ""
    if needed_m <= highest_hood_m(measures):
        high_m = rounded_up_m(hood.size_m[1] + needed_m - edge_m, tell.units)
        return phrase(REMEDIES["hood"], value=tell.chosen(high_m))
    shallow_m = _shallow_m(cut, allowances, measures, edge_m, step_m)
    if shallow_m is None:
        return phrase(REMEDIES["hood, shallower"])
    return phrase(REMEDIES["hood, neck"], value=tell.chosen(shallow_m))


def _shallow_m(
    cut: Cut, allowances: Allowances, measures: Measures, edge_m: float, step_m: float
) -> float | None:
    """The deepest neck in front, in round numbers, from which an edge of this length reaches, metres."""
    for steps in range(math.floor(cut.neck_front_depth_m / step_m + 1e-9), 0, -1):
        try:
            shallow = replace(cut, neck_front_depth_m=steps * step_m)
        except RangeError:
            return None
        if hood_needed_m(shallow, allowances, measures) <= edge_m:
            return steps * step_m
    return None

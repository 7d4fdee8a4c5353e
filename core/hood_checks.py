# SPDX-License-Identifier: GPL-3.0-or-later
"""A hood against the head: whether it reaches over the crown and round it, and what would mend it."""

import math
from collections.abc import Iterator
from dataclasses import replace

from .buying import NICE_M, rounded_down_m, rounded_up_m
from .check import Check, State, check_of, state_of
from .check_words import REMEDIES
from .cut_line import Allowances
from .lay import Extra
from .lay.pieces import HoodFit, hood_fit, hood_needed_m, neck_end_m
from .pattern import Cut
from .phrases import phrase
from .tape import Measures
from .telling import Telling
from .units import RangeError

__all__ = ["hood_checks"]

HAIRLINE_M = 0.05
"""So far below the crown the hair begins; a hood's edge that ends lower hangs before the eyes (an estimate)."""
SAME_M = 1e-6


def hood_checks(
    hood: Extra, cut: Cut, allowances: Allowances, measures: Measures, tell: Telling
) -> Iterator[Check]:
    """Its face edge from the sewn neck over the crown, and its depth round the head."""
    fit = hood_fit(hood, cut, allowances, measures)
    bag = fit.edge_m > fit.highest_m + SAME_M
    yield check_of(
        tell,
        "hood",
        "cut.neck_front_depth",
        State.TOO_LARGE if bag else state_of(fit.edge_m - fit.needed_m, -SAME_M, -HAIRLINE_M),
        {
            "edge": fit.edge_m,
            "depth": neck_end_m(cut, allowances),
            "needed": fit.needed_m,
            "most": fit.highest_m,
        },
        _higher_or_lower(fit, hood, cut, allowances, measures, tell),
        numbers="hood, high" if bag else "",
    )
    lacking_m = fit.easy_deep_m - fit.deep_m
    given = measures["head_girth"].given
    yield check_of(
        tell,
        "hood round",
        "lay.piece.width",
        state_of(fit.deep_m, fit.easy_deep_m, fit.least_deep_m),
        {
            "deep": fit.deep_m,
            "head": measures.value("head_girth"),
            "needed": fit.easy_deep_m,
        },
        ""
        if lacking_m <= 0
        else phrase(
            REMEDIES["hood, wide"],
            value=tell.chosen(rounded_up_m(hood.size_m[0] + lacking_m, tell.units)),
        ),
        numbers="hood round" if given else "hood round, estimated",
    )


def _higher_or_lower(
    fit: HoodFit, hood: Extra, cut: Cut, allowances: Allowances, measures: Measures, tell: Telling
) -> str:
    """A hood of another height while it hangs well, else a shallower neck; nothing if it reaches.

    Heights are held against what they are when they are written out in round numbers.
    """
    if fit.needed_m - SAME_M <= fit.edge_m <= fit.highest_m + SAME_M:
        return ""
    length_m, step_m = hood.size_m[1], NICE_M[tell.units]
    least_m = rounded_up_m(length_m + fit.needed_m - fit.edge_m, tell.units)
    most_m = rounded_down_m(length_m + fit.highest_m - fit.edge_m, tell.units)
    if least_m <= most_m:
        high_m = least_m if fit.edge_m < fit.needed_m else most_m
        return phrase(REMEDIES["hood"], value=tell.chosen(high_m))
    as_high_as_can_be = most_m <= length_m and fit.edge_m <= fit.highest_m + SAME_M
    edge_m = fit.edge_m if as_high_as_can_be else fit.edge_m + most_m - length_m
    shallow_m = _shallow_m(cut, allowances, measures, edge_m, step_m)
    if shallow_m is None:
        return phrase(REMEDIES["hood, shallower"])
    depth = tell.chosen(shallow_m)
    if as_high_as_can_be:
        return phrase(REMEDIES["hood, neck"], value=depth)
    return phrase(REMEDIES["hood, both"], value=tell.chosen(most_m), depth=depth)


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

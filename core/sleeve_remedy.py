# SPDX-License-Identifier: GPL-3.0-or-later
"""What would let a sleeve that ends too far before the wrist reach it, or how far that goes."""

from .buying import NICE_M, rounded_down_m, rounded_up_m
from .check_words import REMEDIES
from .lay import Grid
from .pattern import Cut
from .phrases import phrase
from .telling import Telling

__all__ = ["sleeve_remedy"]


def sleeve_remedy(cut: Cut, short_m: float, widest_m: float, tell: Telling) -> str:
    """Wider cloth, shallower cuffs, or both: what reaches the wrist, else how far it goes.

    Parameters
    ----------
    cut
        The cut.
    short_m
        What each sleeve lacks, metres.
    widest_m
        Usable width of the narrower cloth, metres.
    tell
        The reader's units.
    """
    width_m, cuff_m = cut.cloth_width_m, cut.cuff_depth_m
    step_m, chosen = NICE_M[tell.units], tell.chosen
    wide_m = rounded_up_m(width_m + 2 * short_m, tell.units)
    if wide_m <= widest_m + 1e-9:
        return phrase(REMEDIES["sleeve"], value=chosen(wide_m))
    # rounded down, since no more can be cut, to what is told exactly on each side
    most_m = tell.halvable_down_m(widest_m)
    wider = most_m >= width_m + step_m
    gain_m = (most_m - width_m) / 2 if wider else 0.0
    shallow_m = rounded_down_m(cuff_m - (short_m - gain_m), tell.units)
    if cuff_m and shallow_m >= 0:
        alone_m = rounded_down_m(cuff_m - short_m, tell.units)
        if alone_m >= 0:
            return phrase(REMEDIES["sleeve, cuff"], cuff=chosen(alone_m))
        return phrase(REMEDIES["sleeve, both"], value=chosen(most_m), cuff=chosen(shallow_m))
    if not cuff_m and not wider:
        return phrase(REMEDIES["sleeve, none"])
    values = {
        "short": tell.length(short_m),
        "gain": chosen(Grid.of(tell.units).down(gain_m + cuff_m)),
    }
    if not wider:
        return phrase(REMEDIES["sleeve, no cuff alone"], **values)
    remedy = "sleeve, no cuff" if cuff_m else "sleeve, most"
    return phrase(REMEDIES[remedy], value=chosen(most_m), **values)

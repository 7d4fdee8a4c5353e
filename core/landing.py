# SPDX-License-Identifier: GPL-3.0-or-later
"""Where something lands on the body, as a number and in words."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from .phrases import phrase

__all__ = ["AT_M", "NEAR_M", "Landing", "land", "sleeve_end_words"]

# Levels predicted from a tape scatter by about 20 mm from person to person (residual standard
# deviations of 12 to 26 mm at given height in the ANSUR surveys of 1988 and 2012): nearer than
# that, "at" is the honest word.
AT_M = 0.020
# Beyond three times that, a level is no longer where a person would look first.
NEAR_M = 0.060


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """A height over the floor and the body levels round it.

    Attributes
    ----------
    height_m
        Height over the floor, metres.
    nearest, offset_m
        Name of the nearest level, and how far above it (negative: below) this lies, metres.
    above, below
        Names of the levels that enclose it; ``None`` beyond the last one.
    """

    height_m: float
    nearest: str
    offset_m: float
    above: str | None
    below: str | None

    def words(self, length: Callable[[float], str]) -> str:
        """Tell it in words; ``length`` writes metres in the reader's unit.

        Within 20 mm "at", within 60 mm above or below the nearest level, otherwise between two.
        """
        if abs(self.offset_m) <= AT_M:
            return phrase("at {level}", level=self.nearest)
        if abs(self.offset_m) <= NEAR_M or self.above is None or self.below is None:
            return self.from_nearest(length)
        return phrase("between {above} and {below}", above=self.above, below=self.below)

    def from_nearest(self, length: Callable[[float], str]) -> str:
        """Tell the distance from the nearest level, however far."""
        return phrase(
            "{distance} above {level}" if self.offset_m > 0 else "{distance} below {level}",
            distance=length(abs(self.offset_m)),
            level=self.nearest,
        )


def land(height_m: float, levels: Mapping[str, float]) -> Landing:
    """Place a height among named levels.

    Parameters
    ----------
    height_m
        Height over the floor, metres.
    levels
        Heights of the body's levels over the floor, metres, by the name to be read.
    """
    ranked = sorted(levels.items(), key=lambda item: -item[1])
    nearest, level_m = min(ranked, key=lambda item: abs(item[1] - height_m))
    above = below = None
    if height_m > ranked[0][1]:
        below = ranked[0][0]
    elif height_m < ranked[-1][1]:
        above = ranked[-1][0]
    else:
        for (upper, upper_m), (lower, lower_m) in pairwise(ranked):
            if lower_m <= height_m <= upper_m:
                above, below = upper, lower
                break
    return Landing(
        height_m=height_m,
        nearest=nearest,
        offset_m=height_m - level_m,
        above=above,
        below=below,
    )


def sleeve_end_words(past_wrist_m: float, hand_m: float, length: Callable[[float], str]) -> str:
    """Tell where a sleeve ends on the arm.

    Parameters
    ----------
    past_wrist_m
        Distance past the wrist towards the fingers, metres; negative on the forearm.
    hand_m
        Distance from the wrist to the knuckles, metres.
    length
        Writes metres in the reader's unit.
    """
    past_knuckles_m = past_wrist_m - hand_m
    if abs(past_wrist_m) <= AT_M:
        return phrase("at the wrist")
    if abs(past_knuckles_m) <= AT_M:
        return phrase("at the knuckles")
    if past_wrist_m < 0:
        return phrase("{distance} short of the wrist", distance=length(-past_wrist_m))
    if past_knuckles_m < 0:
        return phrase("on the hand, {distance} past the wrist", distance=length(past_wrist_m))
    return phrase("{distance} past the knuckles", distance=length(past_knuckles_m))

# SPDX-License-Identifier: GPL-3.0-or-later
"""Hem and sleeve as ranges: how far they can be off because the cloths are not known exactly.

Each figure in doubt moves hem and sleeve by itself, at its low and at its high end; figures err
independently, so what they do to one side adds up as squares. Where a figure was draped at its
ends the moves are measured; elsewhere they are estimates. The range is about the cloths alone, not
about the body, the sewing or the folds into which the same wrap falls another time.
"""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass

from .cloth import Cloth
from .cloth_doubt import Doubt, doubts
from .drape import Drape
from .fit import Fit, hem
from .sleeve_room import SIDES, sleeve_room

__all__ = ["Cause", "FitRange", "Reading", "Span", "fit_range", "reading"]


@dataclass(frozen=True, slots=True)
class Reading:
    """What of a drape has a range.

    Attributes
    ----------
    hem_m
        Height of the hem at the centre back over the floor, metres.
    sleeve_m
        Room round the upper arm, mean of both sides, metres; None where a sleeve ends before it.
    """

    hem_m: float
    sleeve_m: float | None


@dataclass(frozen=True, slots=True)
class Span:
    """A measure and the ends of its range, metres."""

    value_m: float
    low_m: float
    high_m: float

    @property
    def width_m(self) -> float:
        """From end to end."""
        return self.high_m - self.low_m


@dataclass(frozen=True, slots=True)
class Cause:
    """What one figure in doubt does.

    Attributes
    ----------
    doubt
        The figure.
    hem_m, sleeve_m
        Move of each with the figure at its low, and at its high end, metres.
    draped
        Whether both moves were measured on drapes; else one at least is an estimate.
    """

    doubt: Doubt
    hem_m: tuple[float, float]
    sleeve_m: tuple[float, float]
    draped: bool


@dataclass(frozen=True, slots=True)
class FitRange:
    """Hem at the centre back and room in the left sleeve with their ranges.

    Attributes
    ----------
    hem
        Height over the floor.
    sleeve
        Room round the upper arm; None where the sleeve ends before it.
    causes
        What each figure in doubt does, the one with the largest move first.
    """

    hem: Span
    sleeve: Span | None
    causes: tuple[Cause, ...]

    @property
    def draped(self) -> bool:
        """Whether the ends of any figure were draped; else the range is an estimate throughout."""
        return any(cause.draped for cause in self.causes)

    def to_dict(self) -> dict[str, object]:
        """Plain numbers and words for ``fit.json``."""
        return asdict(self) | {"draped": self.draped}


def reading(drape: Drape) -> Reading:
    """Read hem and sleeve off a drape."""
    rooms = [sleeve_room(drape, side, "upper arm") for side in SIDES]
    girths = [room.extra_girth_m for room in rooms if room is not None]
    mean_m = math.fsum(girths) / len(girths) if len(girths) == len(rooms) else None
    return Reading(hem(drape).centre_back.height_m, mean_m)


def fit_range(
    fit: Fit,
    outer: Cloth,
    lining: Cloth,
    base: Reading | None = None,
    at_ends: Mapping[Doubt, tuple[Reading | None, Reading | None]] | None = None,
) -> FitRange:
    """The ranges of a fit.

    Parameters
    ----------
    fit
        What was measured on the drape.
    outer, lining
        Its cloths.
    base
        The drape's own reading, if figures were draped at their ends.
    at_ends
        Readings with a figure at its low and at its high end; None for a drape that failed.
    """
    causes = [
        _cause(doubt, base, (at_ends or {}).get(doubt, (None, None)))
        for doubt in doubts(outer, lining)
    ]
    causes.sort(key=lambda cause: -max(map(abs, (*cause.hem_m, *cause.sleeve_m))))
    room = fit.sleeves["left"].room["upper arm"]
    hem_m = fit.hem.centre_back.height_m
    return FitRange(
        hem=_span(hem_m, [cause.hem_m for cause in causes]),
        sleeve=None
        if room is None
        else _span(room.extra_girth_m, [cause.sleeve_m for cause in causes]),
        causes=tuple(causes),
    )


def _cause(
    doubt: Doubt, base: Reading | None, found: tuple[Reading | None, Reading | None]
) -> Cause:
    hem_m, sleeve_m = [-doubt.hem_m, doubt.hem_m], [-doubt.sleeve_m, doubt.sleeve_m]
    for end, there in enumerate(found):
        if base is not None and there is not None:
            hem_m[end] = there.hem_m - base.hem_m
            if there.sleeve_m is not None and base.sleeve_m is not None:
                sleeve_m[end] = there.sleeve_m - base.sleeve_m
    return Cause(
        doubt,
        (hem_m[0], hem_m[1]),
        (sleeve_m[0], sleeve_m[1]),
        draped=base is not None and all(there is not None for there in found),
    )


def _span(value_m: float, moves_m: list[tuple[float, float]]) -> Span:
    down_m = math.sqrt(math.fsum(min(*move, 0.0) ** 2 for move in moves_m))
    up_m = math.sqrt(math.fsum(max(*move, 0.0) ** 2 for move in moves_m))
    return Span(value_m, value_m - down_m, value_m + up_m)

# SPDX-License-Identifier: GPL-3.0-or-later
"""All plots and drawn wraps of a report."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..comparison import Outcome
from ..drape import Drape
from ..fields import Fields
from ..sweep import sweeps
from ..units import UnitSystem
from .hems import hem_plot
from .lines import sweep_plot
from .plate import Plate
from .pulls import pull_plate
from .solids import View
from .wraps import wrap_row

__all__ = ["Hung", "gallery"]


MOST_PULLS = 8
"""So many wraps show their fields: each takes half a megabyte of the page."""


@dataclass(frozen=True, slots=True)
class Hung:
    """A variant with its drape and the fields on it."""

    outcome: Outcome
    drape: Drape
    fields: Fields


def gallery(hung: Sequence[Hung], units: UnitSystem) -> Iterator[Plate]:
    """Make every plate; see `canvas.figure` for what is raised."""
    outcomes = [one.outcome for one in hung]
    resting = [one for one in hung if one.drape.body.supports]
    upright = [one for one in hung if not one.drape.body.supports]
    yield from _row(hung, "front", units)
    yield from _row(upright, "back", units)
    # a chair or bed hides the back
    yield from _row(resting, "side", units)
    for pose in dict.fromkeys(one.pose for one in outcomes):
        posed = [one for one in outcomes if one.pose == pose]
        alike = all(one.levels == posed[0].levels for one in posed)
        yield hem_plot(posed, dict(posed[0].levels) if alike else {}, units)
    for one in hung[:MOST_PULLS]:
        yield pull_plate(one.outcome, one.drape, one.fields, units)
    for sweep in sweeps(outcomes):
        yield sweep_plot(sweep, units)


def _row(hung: Sequence[Hung], view: View, units: UnitSystem) -> Iterator[Plate]:
    """Wraps to one scale, if there are any."""
    if hung:
        outcomes = [one.outcome for one in hung]
        levels = [dict(one.levels) for one in outcomes]
        yield from wrap_row(outcomes, [one.drape for one in hung], levels, view, units)

# SPDX-License-Identifier: GPL-3.0-or-later
"""A wish granted on drapes: the flat answer is hung up, measured, mended, and hung up again.

Each drape goes on from the one before, so all but the first are quick.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from .buying import (
    Wish,
    corrected_length_m,
    rounded_down_m,
    rounded_up_m,
    wished_cut,
    wished_hem_m,
    wished_past_wrist_m,
)
from .cut_line import finished_cut
from .drape import Drape, Progress, run, settle
from .errors import InputError
from .fit import hem
from .job import Job
from .landing import Landing
from .lay import widest_cut_m
from .mannequin import Mannequin, build_mannequin
from .pattern import Cut, build_pattern, fitted
from .purchasing import DrapedWish, Granted, Purchase, lengths_compared, purchased
from .sleeve import measure_sleeve
from .tape import Measures

__all__ = ["grant_on_drapes"]

EDGE_M = 0.024
MOST_MENDINGS = 3
NEAR_M = 0.006
"""A hem or a sleeve end nearer to its wish than this is there: a step of a proposed measure."""


@dataclass(frozen=True, slots=True)
class _Hung:
    """Where hem and sleeve ends of a drape are."""

    hem: Landing
    past_wrist_m: float


class _Rail:
    """Hangs cuts up, one after the other, in the pose of the standing wearer."""

    def __init__(self, job: Job, mannequin: Mannequin, tell: Callable[[str, float], None]) -> None:
        self._job, self._mannequin, self._tell = job, mannequin, tell
        self._last: Drape | None = None
        self.drapes, self.sound = 0, True

    def hang(self, cut: Cut) -> _Hung:
        """Drape a cut and measure it."""
        self.drapes += 1

        def progress(now: Progress) -> None:
            self._tell(f"wish, drape {self.drapes}: {now.text}", now.fraction)

        job = self._job
        steps = settle(
            build_pattern(finished_cut(cut, job.allowances)),
            job.outer_cloth,
            job.lining_cloth,
            self._mannequin,
            "standing",
            EDGE_M,
            earlier=self._last,
        )
        drape = run(steps, progress)
        self.sound &= drape.converged
        self._last = drape
        ends = [measure_sleeve(drape, side).past_wrist_m for side in ("left", "right")]
        return _Hung(hem(drape).centre_back, sum(ends) / 2)


def grant_on_drapes(job: Job, tell: Callable[[str, float], None]) -> DrapedWish:
    """What to buy for a job's wish, hem and sleeve ends as drapes show them.

    Raises
    ------
    InputError
        The job wishes nothing, is for a body of the wearer's own, or no such wrap can be cut.
    SolverError
        A wrap could not be draped.
    """
    if job.wish is None:
        raise InputError(
            "wish", "missing", "a table with what you wish", "add a table [wish] to the job file"
        )
    if job.body is not None:
        raise InputError(
            "wish.draped",
            "true",
            "only for a wearer with a tape",
            "leave it out; the wish is then granted by flat measures",
        )
    mannequin = build_mannequin(job.tape)
    rail = _Rail(job, mannequin, tell)
    wanted = _mended(job, job.wish, mannequin.measures, rail)
    order = replace(job.order, cut=wanted)
    granted = purchased(mannequin.measures, order, job.money, job.units)

    def hung(purchase: Purchase) -> Purchase:
        found = rail.hang(purchase.order.cut)
        fit = replace(purchase.fit, hem=found.hem, past_wrist_m=found.past_wrist_m)
        return replace(purchase, fit=fit)

    granted = Granted(
        wished=hung(granted.wished),
        less=None if granted.less is None else hung(granted.less),
        used_up=None if granted.used_up is None else hung(granted.used_up),
    )
    compared = lengths_compared(mannequin.measures, order, job.money, job.units)
    lengths = tuple((words, hung(purchase)) for words, purchase in compared)
    return DrapedWish(granted=granted, lengths=lengths, drapes=rail.drapes, sound=rail.sound)


def _mended(job: Job, wish: Wish, measures: Measures, rail: _Rail) -> Cut:
    """The flat answer, mended by what its drapes show."""
    cut = wished_cut(measures, job.order, wish, job.units)
    hem_m = wished_hem_m(measures, wish)
    wrist_m = wished_past_wrist_m(measures, wish)
    widest_m = rounded_down_m(widest_cut_m(job.order), job.units)
    for _ in range(MOST_MENDINGS):
        hung = rail.hang(cut)
        changes: dict[str, float] = {}
        if hem_m is not None and not 0.0 <= hem_m - hung.hem.height_m <= NEAR_M:
            length_m = corrected_length_m(cut, hung.hem.height_m, hem_m)
            changes["length_m"] = rounded_up_m(length_m, job.units)
        if wrist_m is not None and not 0.0 <= hung.past_wrist_m - wrist_m <= NEAR_M:
            width_m = rounded_up_m(cut.cloth_width_m + 2 * (wrist_m - hung.past_wrist_m), job.units)
            changes["cloth_width_m"] = min(width_m, widest_m)
        changes = {key: value_m for key, value_m in changes.items() if value_m != getattr(cut, key)}
        if not changes:
            break
        cut = fitted(cut, **changes)
    return cut

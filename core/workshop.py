# SPDX-License-Identifier: GPL-3.0-or-later
"""One drape of a job after the other: the wrap as it is, and what else the job asks to be tried."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Protocol

from .advice import Advice, cheapest
from .arrays import FloatArray
from .body_levels import body_levels
from .cloth import FIGURES, Cloth
from .cloth_doubt import Doubt, doubts, ends, worth_draping
from .comparison import Outcome
from .cut_line import finished_cut
from .drape import Drape, Progress, run, save_drape, settle
from .errors import InputError, SolverError
from .fields import measure_fields
from .fit import measure_fit
from .fit_checks import FitCheck, fit_checks
from .fit_range import Reading, fit_range, reading
from .job import Job, save_job
from .mannequin import BodyDistance
from .mannequin.own_body import OwnBody
from .pattern import build_pattern
from .plots.gallery import Hung
from .reach import EDGE_M as REACH_EDGE_M
from .reach import Reach, find_reach, raised, raised_pose
from .tape import Tape
from .telling import Telling
from .wearer import Wearer, dress_form

__all__ = ["Say", "Single", "Workshop"]


class Say(Protocol):
    """Tells the user what is going on: a step, and how far it is (0 to 1) where that is known."""

    def __call__(self, step: str, fraction: float | None = None) -> None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Single:
    """One drape to be made: a variant in one pose."""

    name: str
    slug: str
    job: Job
    pose: str
    variant: str


class Workshop:
    """Makes drapes; keeps each body for the next drape on it.

    Parameters
    ----------
    edge_length_m
        Edge length of the panel meshes, metres.
    own
        The body that the job names, if it names one.
    in_a_row
        Whether each drape goes on from the last one, where both are alike enough: quicker, and what
        chance does to folds stays the same.
    """

    def __init__(
        self, edge_length_m: float, own: OwnBody | None, *, in_a_row: bool = False
    ) -> None:
        self._edge_length_m = edge_length_m
        self._own = own
        self._in_a_row = in_a_row
        self._last: Drape | None = None
        self._wearers: list[tuple[Tape, Wearer, BodyDistance]] = []

    def drape(self, single: Single, say: Say) -> Drape:
        """The drape alone."""
        say(f"{single.name}: building the mannequin")
        wearer, _ = self._wearer(single.job)
        return self._drape(single, wearer, single.job.outer_cloth, single.job.lining_cloth, say)

    def make(self, single: Single, folder: Path, say: Say) -> Hung:
        """Drape, measure and try what the job asks for; the drape and its job go to the folder."""
        job = single.job
        say(f"{single.name}: building the mannequin")
        wearer, distance = self._wearer(job)
        outer, lining = job.outer_cloth, job.lining_cloth
        before = None if self._last is None else ("", self._last)
        drape = self._drape(single, wearer, outer, lining, say, before)
        self._last = drape if self._in_a_row else None
        say(f"{single.name}: measuring the fit")
        skin_distance = _from_skin(distance, drape)
        fit = measure_fit(drape, wearer.measures, skin_distance)
        fields = measure_fields(drape, skin_distance)
        at_ends = self._at_ends(single, wearer, drape, say) if job.ranges else {}
        found = fit_checks(fit, job.cut, wearer.measures, job.wish, Telling(job.units))
        advice = self._advice(single, drape, found, say) if job.advice else ()
        standing = single.pose == "standing" and self._own is None
        reach = self._reach(single, wearer, say) if job.reach and standing else None
        save_drape(folder / "drape.npz", drape)
        save_job(folder / "job.toml", job)
        outcome = Outcome(
            name=single.name,
            slug=single.slug,
            measures=wearer.measures,
            warnings=wearer.warnings,
            cut=job.cut,
            allowances=job.allowances,
            lay=job.lay,
            outer_cloth=drape.outer_cloth,
            lining_cloth=drape.lining_cloth,
            pose=single.pose,
            fit=fit,
            range=fit_range(fit, outer, lining, reading(drape) if at_ends else None, at_ends),
            converged=drape.converged,
            reasons=drape.reasons,
            statistics=drape.statistics,
            pictures={},
            variant=single.variant,
            levels=body_levels(drape),
            checks=found,
            advice=advice,
            reach=reach,
        )
        return Hung(outcome, drape, fields)

    def _wearer(self, job: Job) -> tuple[Wearer, BodyDistance]:
        for known, wearer, distance in self._wearers:
            if known == job.tape:
                return wearer, distance
        wearer = dress_form(job.tape, self._own, job.units)
        distance = BodyDistance(wearer.surface, wearer.surface.part)
        self._wearers.append((job.tape, wearer, distance))
        return wearer, distance

    def _at_ends(
        self, single: Single, wearer: Wearer, drape: Drape, say: Say
    ) -> dict[Doubt, tuple[Reading | None, Reading | None]]:
        """Hem and sleeve with each figure that matters at both ends of where it may lie."""
        found = {}
        for doubt in worth_draping(doubts(drape.outer_cloth, drape.lining_cloth)):
            figure = FIGURES[doubt.figure].words.lower()
            whose = "both layers" if doubt.layer == "both" else f"the {doubt.layer}"
            readings: list[Reading | None] = []
            pairs = ends(doubt, drape.outer_cloth, drape.lining_cloth)
            for (outer, lining), way in zip(pairs, ("low", "high"), strict=True):
                end = f"{figure} of {whose} at its {way} end"
                try:
                    there = self._drape(single, wearer, outer, lining, say, (end, drape))
                    readings.append(reading(there))
                except SolverError as error:
                    say(f"{single.name}: not draped with {end}: {error}")
                    readings.append(None)
            found[doubt] = (readings[0], readings[1])
        return found

    def _advice(
        self, single: Single, drape: Drape, found: Sequence[FitCheck], say: Say
    ) -> tuple[Advice, ...]:
        """Drape the cheapest changes that would mend what does not hold."""
        job = single.job
        held = {check.name for check in found if check.holds}
        tried = []
        for change in cheapest(found, job.order, job.units):
            key, check = change.check.key, change.check.name
            name = f"{key.replace('_', ' ')} changed for {check}"
            try:
                changed = replace(single, job=replace(job, cut=change.cut, variants=()))
                wearer, distance = self._wearer(changed.job)
                there = self._drape(
                    changed, wearer, drape.outer_cloth, drape.lining_cloth, say, (name, drape)
                )
            except (InputError, SolverError) as error:
                say(f"{single.name}: not draped with {name}: {error}")
                continue
            fit = measure_fit(there, wearer.measures, _from_skin(distance, there))
            now = fit_checks(fit, change.cut, wearer.measures, job.wish, Telling(job.units))
            wrong = {check.name for check in now if not check.holds}
            tried.append(
                Advice(
                    change=change,
                    fit=fit,
                    mended=check not in wrong,
                    broken=tuple(sorted(held & wrong)),
                    sound=there.converged,
                )
            )
        return tuple(tried)

    def _reach(self, single: Single, wearer: Wearer, say: Say) -> Reach | None:
        """Drape with arms at several angles, on a coarse mesh."""
        job = single.job
        drapes: list[Drape] = []

        def at(degrees: float) -> Drape:
            def tell(progress: Progress) -> None:
                say(f"{single.name}, arms at {degrees:.0f} degrees: {progress.text}")

            steps = settle(
                build_pattern(finished_cut(job.cut, job.allowances)),
                job.outer_cloth,
                job.lining_cloth,
                wearer.mannequin,
                raised_pose(degrees),
                REACH_EDGE_M,
            )
            return run(steps, tell)

        try:
            drapes.append(at(0.0))
            return find_reach(lambda degrees: raised(degrees, at(degrees), drapes[0]))
        except (InputError, SolverError) as error:
            say(f"{single.name}: reach not found: {error}")
            return None

    def _drape(
        self,
        single: Single,
        wearer: Wearer,
        outer: Cloth,
        lining: Cloth,
        say: Say,
        end: tuple[str, Drape] | None = None,
    ) -> Drape:
        """Drape a wrap; where something of it was changed, going on from the drape before that."""
        name = f"{single.name}, {end[0]}" if end and end[0] else single.name

        def tell(progress: Progress) -> None:
            say(f"{name}: {progress.text}", progress.fraction)

        steps = settle(
            build_pattern(finished_cut(single.job.cut, single.job.allowances)),
            outer,
            lining,
            wearer.mannequin,
            wearer.pose or single.pose,
            self._edge_length_m,
            wearer.own,
            None if end is None else end[1],
        )
        try:
            return run(steps, tell)
        except SolverError as error:
            raise SolverError(f"{name} could not be draped. {error}") from error


def _from_skin(distance: BodyDistance, drape: Drape) -> Callable[[FloatArray], FloatArray]:
    """Distance from the skin of the drape's body."""
    distance.set_pose(drape.body)

    def from_skin(points: FloatArray) -> FloatArray:
        return distance.nearest(points).distance

    return from_skin

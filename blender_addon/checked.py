# SPDX-License-Identifier: GPL-3.0-or-later
"""The workroom's checks of a scene's numbers, and where hem and sleeves land by flat measures."""

from collections.abc import Mapping, Sequence
from functools import lru_cache

from bpy.types import Scene

from ..core.buying import flat_fit
from ..core.checks import Check, State, checks
from ..core.errors import NapfoldError
from ..core.landing import sleeve_end_words
from ..core.lay import widest_cut_m
from ..core.phrases import joined
from ..core.tape import complete
from ..core.telling import Telling
from .jobs import Numbers, job_from, numbers_of

__all__ = ["failing", "landing"]


def failing(scene: Scene) -> Mapping[str, Sequence[Check]]:
    """What does not pass, by the job file's name of the number that it is told beside."""
    try:
        return _failing(numbers_of(scene))
    except NapfoldError:
        return {}


@lru_cache(maxsize=8)
def _failing(numbers: Numbers) -> Mapping[str, Sequence[Check]]:
    job = job_from(numbers)
    measures, _ = complete(job.tape)
    found: dict[str, list[Check]] = {}
    for check in checks(
        measures,
        job.cut,
        job.allowances,
        job.outer_cloth,
        job.lining_cloth,
        Telling(job.units),
        widest_cut_m(job.order),
        job.order.choice.extras,
    ):
        if check.state is not State.PASS:
            found.setdefault(check.key, []).append(check)
    return found


def landing(scene: Scene) -> Sequence[tuple[str, str]]:
    """Hem and sleeve end by flat measures, in words; nothing where the settings make no job."""
    try:
        return _landing(numbers_of(scene))
    except NapfoldError:
        return ()


@lru_cache(maxsize=8)
def _landing(numbers: Numbers) -> Sequence[tuple[str, str]]:
    job = job_from(numbers)
    measures, _ = complete(job.tape)
    tell = Telling(job.units)
    cloths = job.outer_cloth, job.lining_cloth
    fit = flat_fit(measures, job.cut, job.allowances, *(cloth.thickness_m for cloth in cloths))
    return (
        ("Hem", fit.hem.words(tell.length)),
        (
            "Sleeves",
            joined(
                "; ",
                (sleeve_end_words(fit.past_wrist_m, fit.hand_m, tell.length), fit.sleeve_words),
            ),
        ),
        ("Body", fit.body_words),
    )

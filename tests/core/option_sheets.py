# SPDX-License-Identifier: GPL-3.0-or-later
"""The sheets of the cuts of all options."""

from dataclasses import replace
from pathlib import Path

from napfold.core.job import load_job
from napfold.core.sheets.flow import Step
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sheet_job import SheetJob, sheet_job

from .options import CUTS

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"


def sheet_of(name: str, **changes: object) -> SheetJob:
    """The sheets of a cut out of the options, in the metric sample's cloth."""
    read = load_job(JOBS / "larch_hut_metric.toml")
    return sheet_job(replace(read, cut=replace(CUTS[name], **changes)))


def step_of(sheet: SheetJob, title: str) -> Step:
    """The step of a cutting plan whose title begins so."""
    blocks = cutting_plan(sheet, "wrap")
    return next(one for one in blocks if isinstance(one, Step) and one.title.startswith(title))

# SPDX-License-Identifier: GPL-3.0-or-later
"""The steps of the sample jobs, and the lengths told in them."""

import re
from pathlib import Path

from napfold.core.job import Job, load_job
from napfold.core.sheets.flow import Step
from napfold.core.units import parse_quantity

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"


def sample(variant: str, job: str = "larch_hut") -> Job:
    """A variant of a sample job."""
    return dict(load_job(JOBS / f"{job}.toml").expand())[variant]


def steps(blocks) -> dict[str, str]:
    """Title and words of each step, in their order."""
    return {one.title: " ".join(one.lines) for one in blocks if isinstance(one, Step)}


def length_m(words: str, pattern: str) -> float:
    """The length in words that stands where the pattern has its group, metres."""
    found = re.search(pattern, words)
    assert found is not None, words
    return parse_quantity("length", "found", found[1])

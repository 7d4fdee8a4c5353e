# SPDX-License-Identifier: GPL-3.0-or-later
"""Seconds and memory of one shot: the front of the demo's longer wraps, 1000 px, with all their pile.

Wall-clock seconds of a process of its own, Blender's start and the studio included: what a seller waits for
the first shot of a set. They depend on the machine and on what else runs on it.
"""

import resource
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from napfold.core.blender_process import has_blender, photograph
from napfold.core.cloth import Print
from napfold.core.drape import Drape, save_drape
from napfold.core.errors import SolverError
from napfold.core.job import Job, load_job
from napfold.core.picture_plan import plan_pictures
from napfold.core.pictures.choice import PictureChoice
from napfold.core.pictures.take import write_takes
from napfold.core.workshop import Single, Workshop

from ..rows import Row, at_most, reported
from .timing import say

__all__ = ["measure"]

JOB = Path(__file__).resolve().parents[2] / "sample_avatars" / "jobs" / "larch_hut.toml"
EDGE_M = 0.018
FERN = Print(kind="fern", repeat_m=0.24)
VARIANTS = {
    "short pile": ("one and a half yards, light pile", {}, 60.0),
    "short pile, printed": ("one and a half yards, light pile", {"print": FERN}, 60.0),
    "curly pile": ("one and a half yards, light pile", {"kind": "curly pile"}, 60.0),
    "long pile": ("one and a half yards, heavy pile", {}, 150.0),
}
"""Variant of the demo, what its outer cloth looks like otherwise (its drape stays), and the most seconds that its
shot may take on two cores."""
QUICK_S, MOST_GB = 10.0, 4.0
CORES = 2
"""Of the machine that the gates are meant for: what a shot takes where nothing else runs is no less than this share
of its processor seconds."""


def measure() -> list[Row]:
    """Both piles in full, and the quick first look at each."""
    if not has_blender():
        return [reported("pictures: Blender's module is missing", 0.0, "")]
    jobs = dict(load_job(JOB).expand())
    rows = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        drapes: dict[str, Drape] = {}
        for pile, (variant, otherwise, most_s) in VARIANTS.items():
            job = replace(jobs[variant], pictures=PictureChoice(shots=("front",)))
            if variant not in drapes:
                say(f"draping for a picture of {pile}")
                drapes[variant] = _draped(job)
                save_drape(folder / f"{variant}.npz", drapes[variant])
            job = replace(job, outer=replace(job.outer, **otherwise))
            say(f"a picture of {pile}")
            for words, quick, gate_s in (
                ("front, 1000 px", False, most_s),
                ("the same, quick", True, QUICK_S),
            ):
                busy_s = _processor_s()
                taken_s = _seconds(job, drapes[variant], folder, variant, quick=quick)
                rows.append(at_most(f"{words}, {pile}", taken_s, "s", gate_s))
                shared_s = (_processor_s() - busy_s) / CORES
                rows.append(reported("  its processor seconds on two cores", shared_s, "s"))
    used = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    used_gb = used / (1e9 if sys.platform == "darwin" else 1e6)
    return [*rows, at_most("memory of Blender's process", used_gb, "GB", MOST_GB)]


def _processor_s() -> float:
    """Processor seconds of all processes that were started and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _draped(job: Job) -> Drape:
    single = Single(name=job.name, slug="", job=job, pose="standing", variant="")
    return Workshop(EDGE_M, None).drape(single, lambda step, fraction=None: None)


def _seconds(job: Job, drape: Drape, folder: Path, variant: str, *, quick: bool) -> float:
    """Seconds for one picture, from the start of Blender to the file."""
    file = str(folder / f"{variant}.npz")
    pictures, _ = plan_pictures(job, folder, lambda *_: (file, drape), quick=quick)
    write_takes(folder / "takes.json", [one.take for one in pictures])
    start = time.monotonic()
    failed = photograph(["--takes", str(folder / "takes.json")], lambda line: None)
    if failed:
        raise SolverError(failed)
    return time.monotonic() - start

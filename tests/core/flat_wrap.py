# SPDX-License-Identifier: GPL-3.0-or-later
"""The demo job with two variants, and a drape for its pictures that is two flat sheets."""

from dataclasses import replace
from pathlib import Path

import numpy as np
from napfold.core.cloth import library
from napfold.core.drape import Drape
from napfold.core.job import Job, load_job
from napfold.core.mannequin import POSES, build_mannequin
from napfold.core.panels import build_panel_mesh
from napfold.core.pattern import build_pattern
from napfold.core.pictures.choice import PictureChoice
from napfold.core.tape import Tape

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"


def two_variants() -> Job:
    """The first two of the demo job."""
    one = replace(load_job(JOBS / "larch_hut.toml"), pictures=PictureChoice())
    return replace(one, variants=one.variants[:2])


def two_sheets(job: Job) -> Drape:
    """A wrap that hangs as two flat sheets beside a body."""
    panel = build_panel_mesh(build_pattern(job.cut), 0.05)
    x, v = panel.flat.T
    outer = np.column_stack([x, 0.2 * np.sign(v), 1.42 - np.abs(v)])
    body = build_mannequin(Tape(given={"height": 1.68, "bust_girth": 0.97}))
    cloth = library()["light plush"]
    return Drape(
        panel, outer, 0.99 * outer, cloth, cloth, body.posed(POSES["standing"]), 0.0, True, (), {}
    )

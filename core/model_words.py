# SPDX-License-Identifier: GPL-3.0-or-later
"""A wrap in 3D for a product page, with what it says about itself."""

import json
from dataclasses import replace
from pathlib import Path

from .job import job_text
from .picture_plan import Look
from .picture_words import alt_text, estimates, notice
from .pictures.choice import PictureChoice
from .pictures.model import Model
from .pictures.take import Wrap

__all__ = ["FRONT", "model_of"]

FRONT = "front"


def model_of(look: Look, folder: Path, drape: str, *, mannequin: bool) -> Model:
    """The model of a look from the file of its drape, with what it says about itself."""
    job = look.job
    return Model(
        folder=str(folder),
        wrap=Wrap(
            job_text=job_text(replace(job, variants=(), pictures=PictureChoice()), None),
            drape=drape,
        ),
        mannequin=mannequin,
        texts={
            "Title": " ".join(filter(None, (job.name, look.variant, look.colourway))),
            "Description": alt_text(job, FRONT, mannequin="shown" if mannequin else "hidden"),
            "Comment": notice(job),
            "Estimates": json.dumps(
                {layer: list(words) for layer, words in estimates(job).items()}
            ),
        },
    )

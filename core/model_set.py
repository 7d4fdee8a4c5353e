# SPDX-License-Identifier: GPL-3.0-or-later
"""Every variant of a job in 3D for a product page."""

from dataclasses import dataclass
from pathlib import Path

from .blender_process import NO_BLENDER, has_blender, photograph
from .drape_store import DrapeStore
from .files import remove_file
from .job import Job
from .mannequin.own_body import OwnBody
from .model_words import FRONT, model_of
from .picture_plan import looks, pose_of
from .pictures.model import MODEL_FILES, write_models
from .pictures.shots import SHOTS
from .workshop import Say, Workshop

__all__ = ["ModelSet", "make_model_set"]

MODELS = "models.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelSet:
    """The folders of the models that were made, and why others were not, if so."""

    folders: tuple[Path, ...]
    failed: str


def make_model_set(
    job: Job,
    out: Path,
    edge_length_m: float,
    *,
    say: Say,
    own: OwnBody | None = None,
    mannequin: bool = False,
) -> ModelSet:
    """Write every variant in every colourway, standing, into a folder of its own.

    Parameters
    ----------
    job
        The job.
    out
        Folder for the models' folders. Drapes are kept in it.
    edge_length_m
        Edge length of the cloth's mesh, metres.
    say
        Told at each step.
    own
        The body that ``job.body`` names, read; None if it names none.
    mannequin
        Whether who wears it is in the model.

    Raises
    ------
    InputError, FileError, SolverError
        A drape cannot be made, or a file cannot be read or written. What was finished is kept.
    """
    store = DrapeStore(out, edge_length_m, Workshop(edge_length_m, own), say)
    models = []
    for look in looks(job):
        drape, _ = store.drape_of(look.job, pose_of(look.job, SHOTS[FRONT]))
        models.append(model_of(look, out / look.slug, drape, mannequin=mannequin))
    if not has_blender():
        return ModelSet(folders=(), failed=NO_BLENDER)
    folders = [Path(model.folder) for model in models]
    for folder in folders:  # an earlier model may be of another cut
        remove_file(folder / MODEL_FILES[0])
    listed = out / MODELS
    write_models(listed, models)
    say(f"Writing {len(models)} models: starting Blender")
    try:
        failed = photograph(["--models", str(listed)], lambda line: say(f"Models: {line}"))
    finally:
        remove_file(listed)
    made = tuple(folder for folder in folders if (folder / MODEL_FILES[0]).is_file())
    return ModelSet(folders=made, failed=failed)

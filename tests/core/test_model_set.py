# SPDX-License-Identifier: GPL-3.0-or-later
"""Models of a whole job: which folders, what they say, what is kept; Blender itself stands in for."""

from dataclasses import replace
from pathlib import Path

import pytest
from napfold.core import model_set
from napfold.core.blender_process import NO_BLENDER
from napfold.core.job import Job, load_job
from napfold.core.model_set import make_model_set
from napfold.core.pictures.choice import Colourway, PictureChoice
from napfold.core.pictures.model import MODEL_FILES, Model, read_models

ROOT = Path(__file__).resolve().parents[2]


class Store:
    """Drapes by the names of their cloths, none of them computed."""

    def __init__(self, *_: object) -> None:
        self.asked: list[tuple[str, str]] = []

    def drape_of(self, job: Job, pose: str) -> tuple[str, None]:
        self.asked.append((job.outer.kind, pose))
        return f"{job.outer.kind}.npz", None


@pytest.fixture
def job() -> Job:
    one = load_job(ROOT / "sample_avatars" / "jobs" / "larch_hut.toml")
    ways = (Colourway(name="moss", outer="#5a6b4e"), Colourway(name="ash", outer="#888888"))
    return replace(one, variants=one.variants[1:3], pictures=PictureChoice(colourways=ways))


@pytest.fixture
def written(monkeypatch: pytest.MonkeyPatch) -> list[Model]:
    """The models that Blender was asked for; it writes the first file of each."""
    found: list[Model] = []

    def blender(arguments: list[str], hear: object) -> str:
        assert arguments[0] == "--models"
        for model in read_models(Path(arguments[1])):
            found.append(model)
            Path(model.folder).mkdir(parents=True, exist_ok=True)
            Path(model.folder, MODEL_FILES[0]).write_bytes(b"new")
        return ""

    monkeypatch.setattr(model_set, "DrapeStore", Store)
    monkeypatch.setattr(model_set, "has_blender", lambda: True)
    monkeypatch.setattr(model_set, "photograph", blender)
    return found


def say(step: str, fraction: float | None = None) -> None:
    assert step


def test_every_variant_in_every_colourway_has_a_folder(
    job: Job, written: list[Model], tmp_path: Path
) -> None:
    made = make_model_set(job, tmp_path, 0.03, say=say, mannequin=True)
    assert made.failed == ""
    assert len(made.folders) == len({folder.name for folder in made.folders}) == 4
    assert [Path(model.folder) for model in written] == list(made.folders)
    assert all(model.mannequin for model in written)
    titles = [model.texts["Title"] for model in written]
    assert titles[0] == "Larch Hut reading wrap one and a half yards, light pile moss"
    assert "grey long pile outside" in written[3].texts["Description"]
    assert "mass per area" in written[0].texts["Estimates"]
    assert written[3].wrap.drape == "long pile.npz"
    assert not (tmp_path / "models.json").exists()


def test_a_model_that_was_not_made_is_not_listed_even_if_an_older_one_is_there(
    job: Job, written: list[Model], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = make_model_set(job, tmp_path, 0.03, say=say).folders
    monkeypatch.setattr(model_set, "photograph", lambda *_: "Not all pictures could be made: no")
    made = make_model_set(job, tmp_path, 0.03, say=say)
    assert made.folders == ()
    assert made.failed.endswith("no")
    assert not (first[0] / MODEL_FILES[0]).exists()


def test_without_blender_older_models_stay_and_it_is_told(
    job: Job, written: list[Model], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = make_model_set(job, tmp_path, 0.03, say=say).folders
    monkeypatch.setattr(model_set, "has_blender", lambda: False)
    made = make_model_set(job, tmp_path, 0.03, say=say)
    assert (made.folders, made.failed) == ((), NO_BLENDER)
    assert (first[0] / MODEL_FILES[0]).read_bytes() == b"new"

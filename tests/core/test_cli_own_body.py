# SPDX-License-Identifier: GPL-3.0-or-later
"""The command on a body of the wearer's own, with cloth bent round it."""

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from napfold.core import workshop as workshop_module
from napfold.core.cli import FINE, WRONG_INPUT
from napfold.core.drape import load_drape
from napfold.core.job import load_job
from napfold.core.mannequin.own_body import load_own_body

from .bent_round import JOB, bent_round, command


@pytest.fixture
def bent(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workshop_module, "settle", bent_round)


AVATARS = Path(__file__).parents[2] / "sample_avatars"
OWN = JOB.split("[[variant]]")[0].replace(
    "[cloth.outer]", '[body]\nfile = "guest.glb"\n[cloth.outer]'
)


@pytest.fixture
def own_job(tmp_path: Path) -> Path:
    shutil.copy(AVATARS / "woman_medium_average.glb", tmp_path / "guest.glb")
    path = tmp_path / "own.toml"
    path.write_text(OWN, encoding="utf-8")
    return path


@pytest.mark.usefixtures("bent")
def test_an_own_body_is_dressed_and_measured(
    own_job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert command(own_job, out, "--no-pictures") == FINE
    drape = load_drape(out / "larch-hut-reading-wrap" / "drape.npz")
    body = load_own_body(tmp_path / "guest.glb")
    assert len(drape.body.vertices) == len(body.vertices)
    assert np.ptp(drape.body.vertices, axis=0) == pytest.approx(np.ptp(body.vertices, axis=0))
    told = json.loads((out / "fit.json").read_text(encoding="utf-8"))["variants"][0]
    assert told["fit"]["ease"]["bust"]["body_girth_m"] == pytest.approx(body.measures["bust_girth"])
    page = (out / "report.html").read_text(encoding="utf-8")
    assert "The body&#x27;s file is taken to count in m, with y up" in page
    assert "The tape says 168.0 cm for the height, the body&#x27;s mesh has 164.0 cm" in page
    assert "as it stands" in page
    assert capsys.readouterr().err == ""
    # the folder's own job still finds the body
    assert load_job(out / "larch-hut-reading-wrap" / "job.toml").body == load_job(own_job).body


@pytest.mark.usefixtures("bent")
@pytest.mark.parametrize(
    ("written", "changed", "told"),
    [
        ("guest.glb", "nobody.glb", "nobody.glb cannot be read: No such file"),
        ("guest.glb", "own.stl", "own.stl is not a whole STL file"),
        ('guest.glb"', 'guest.glb"\nunit = "cm"', "body.unit is cm, which makes the body"),
        ('guest.glb"', 'guest.glb"\nup = "z"', "body.unit is in doubt"),
        ('body_width = "66 cm"', 'body_width = "40 cm"', "cut.body_width is 40.0 cm; allowed: 5"),
    ],
)
def test_what_is_wrong_with_a_body_is_told_before_anything_is_made(
    own_job: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    written: str,
    changed: str,
    told: str,
) -> None:
    (tmp_path / "own.stl").write_bytes(b"nothing of the kind")
    own_job.write_text(OWN.replace(written, changed), encoding="utf-8")
    assert command(own_job, tmp_path / "out") == WRONG_INPUT
    message = capsys.readouterr().err
    assert told in message
    assert message.count("\n") == 1
    assert not (tmp_path / "out").exists()

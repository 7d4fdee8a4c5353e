# SPDX-License-Identifier: GPL-3.0-or-later
"""Every ready tape gives a body that reads the same tape."""

import tomllib
from pathlib import Path

import pytest
from napfold.core.mannequin import build_mannequin
from napfold.core.mannequin.body_tape import measure_body
from napfold.core.tape import Tape
from napfold.core.units import parse_quantity

FOLDER = Path(__file__).parents[2] / "sample_avatars"
FILES = sorted(FOLDER.glob("*.toml"))


def read_tape(path: Path) -> Tape:
    table = tomllib.loads(path.read_text(encoding="utf-8"))["tape"]
    given = {
        name: parse_quantity("length", f"tape.{name}", text)
        for name, text in table.items()
        if name != "sex"
    }
    return Tape(sex=table["sex"], given=given)


def test_there_are_ten() -> None:
    assert len(FILES) == 10


@pytest.mark.slow
@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_mannequin_of_the_tape(path: Path) -> None:
    tape = read_tape(path)
    mannequin = build_mannequin(tape)
    assert mannequin.warnings == ()
    assert 8_000 <= len(mannequin.vertices) <= 20_000
    found = measure_body(mannequin)
    for name, value in tape.given.items():
        tolerance_m = 0.003 if name == "height" else 0.002
        assert found[name] == pytest.approx(value, abs=tolerance_m), name
    for name in ("upper_arm_girth", "neck_girth", "thigh_girth", "calf_girth", "wrist_girth"):
        assert found[name] == pytest.approx(mannequin.measures.value(name), abs=0.004), name
    faces = mannequin.triangles
    edges = 3 * len(faces) // 2
    assert len(mannequin.vertices) - edges + len(faces) == 2  # closed, without handles

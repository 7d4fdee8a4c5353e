# SPDX-License-Identifier: GPL-3.0-or-later
"""The check against surveyed people, on a made-up person with the survey's own means."""

from pathlib import Path

import pytest
from napfold.core.mannequin.survey_check import CHECKED, GIVEN, Row, main, table
from napfold.core.tape import Tape, complete


def person(path: Path, **changed_mm: float) -> Path:
    """A file with one woman as the survey leads to expect, but for what is changed."""
    means, _ = complete(Tape(sex="female"))
    values = {column: means.value(name) * 1e3 for name, column in (GIVEN | CHECKED).items()}
    values |= {column: values[column] + more for column, more in changed_mm.items()}
    lines = [",".join(["sex", *values]), ",".join(["female", *map(str, values.values())])]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_the_mean_woman_is_met(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([str(person(tmp_path / "mean.csv"))]) == 0
    told = capsys.readouterr()
    assert told.err == ""
    lines = told.out.splitlines()
    assert len(lines) == 4 + len(GIVEN) + len(CHECKED)
    assert all(line.count("|") == 5 for line in lines)
    assert lines.index("| *given* | | | |") < lines.index("| *checked* | | | |")
    assert "**" not in told.out


def test_a_bias_beyond_the_gate_fails(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # a depth may be off, since calipers press flesh in; a girth or a height may not
    off = person(tmp_path / "off.csv", calfcircumference=14.0, chestdepth=40.0)
    assert main([str(off)]) == 1
    told = capsys.readouterr()
    assert told.err == "More than 10 mm off in the mean: calf girth.\n"
    assert "| calf girth | **-1" in told.out


def test_rows_are_judged_by_their_means() -> None:
    assert Row("hip_girth", False, -10.1, 1.0, 3).biased
    assert not Row("hip_girth", False, 10.0, 50.0, 3).biased
    assert not Row("hip_depth", False, 30.0, 1.0, 3).biased
    assert "| hip girth | **-10.1** | 1.0 | 3 |" in table([Row("hip_girth", False, -10.1, 1.0, 3)])


def test_what_is_no_survey_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 2
    assert main(["a.csv", "all"]) == 2
    assert main([str(tmp_path / "none.csv")]) == 2
    path = tmp_path / "other.csv"
    path.write_text("sex,stature\nfemale,1600\n", encoding="utf-8")
    assert main([str(path)]) == 2
    assert "lacks the columns buttockcircumference" in capsys.readouterr().err

# SPDX-License-Identifier: GPL-3.0-or-later
"""The page with every option of the cut."""

from dataclasses import replace
from pathlib import Path

import pytest
from napfold.core import option_page
from napfold.core.cli import FINE, main
from napfold.core.option_page import OPTIONS
from napfold.core.pattern import fitted
from napfold.core.telling import Telling
from napfold.core.units import RangeError


@pytest.mark.parametrize("units", ["cm", "in"])
def test_options_are_drawn_with_their_limits(tmp_path: Path, capsys, units: str) -> None:
    assert main(["options", "--out", str(tmp_path), "--units", units]) == FINE
    page = Path(capsys.readouterr().out.strip())
    text = page.read_text(encoding="utf-8")
    assert text.count("<svg") == len(OPTIONS)
    tell = Telling(units)
    for option in OPTIONS:
        # what is drawn is a cut that a job file with these lines makes
        assert option.cut == fitted(option_page.PLAIN, **option.changes)
        for line in option.lines(tell):
            assert line.replace('"', "&quot;") in text
        if option.limited:
            low_m, high_m = option.cut.limits[option.limited]
            value_m = getattr(option.cut, f"{option.limited}_m")
            assert low_m <= value_m <= high_m
            # and no more: a step beyond is refused
            with pytest.raises(RangeError):
                replace(option.cut, **{f"{option.limited}_m": high_m + 0.001})

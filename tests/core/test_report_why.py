# SPDX-License-Identifier: GPL-3.0-or-later
"""What the report says of folds is what was measured: no change is told where the figures are alike."""

from types import SimpleNamespace

import pytest
from napfold.core.cloth import ClothChoice
from napfold.core.report_why import _folds
from napfold.core.telling import Telling


def hung(kind: str, radius_m: float) -> SimpleNamespace:
    cloth = ClothChoice(kind=kind).cloth()
    folds = SimpleNamespace(sharp_radius_m=radius_m, count=9)
    return SimpleNamespace(outer_cloth=cloth, lining_cloth=cloth, fit=SimpleNamespace(folds=folds))


@pytest.mark.parametrize(
    ("units", "before_m", "after_m", "words"),
    [
        # both are told as 1 3/4 in; 2 cm and 4 cm are not alike
        ("in", 0.0440, 0.0450, "show no change: the sharpest bend round a radius of 1 3/4 in"),
        ("cm", 0.0440, 0.0452, "show no change: the sharpest bend round a radius of 4.5 cm"),
        ("cm", 0.020, 0.040, "the sharpest folds are rounder: they bend round a radius of 2 cm"),
        ("cm", 0.040, 0.020, "the sharpest folds are sharper: they bend round a radius of 4 cm"),
    ],
)
def test_folds_change_only_where_their_told_radii_do(units, before_m, after_m, words) -> None:
    told = _folds(hung("light plush", before_m), hung("long pile", after_m), Telling(units))
    assert words in told
    assert "folds are wider" not in told

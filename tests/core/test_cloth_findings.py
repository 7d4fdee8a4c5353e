# SPDX-License-Identifier: GPL-3.0-or-later
"""A cloth told in a maker's terms: what a reading would be, what it means, where it came from."""

import itertools
import math
from pathlib import Path

import pytest
from napfold.core.cloth import ClothChoice, library
from napfold.core.cloth_findings import Finding, findings, hangs_like
from napfold.core.job import load_job, save_job
from napfold.core.swatch import (
    LIKENESSES,
    Swatch,
    bias_stretch,
    bias_words,
    drape_words,
    friction_words,
    hanging_words,
    likeness,
    lofty_words,
    stretch_words,
)

JOB = Path(__file__).parents[2] / "sample_avatars" / "jobs" / "larch_hut_swatches.toml"


def by_name(choice: ClothChoice, units: str = "cm") -> dict[str, Finding]:
    return {finding.about: finding for finding in findings(choice, units)}


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("light plush", "soft plush throw"),
        ("medium fleece", "fleece jacket"),
        ("heavy fleece", "winter blanket"),
        ("curly pile", "bath towel"),
        ("short pile", "heavy curtain"),
        ("long pile", "fur coat"),
        ("cotton broadcloth", "crisp shirt"),
        ("tropical wool", "wool trousers"),
        ("polyester faille", "satin lining"),
        ("single jersey", "T-shirt"),
        ("brushed cotton", "flannel sheet"),
        ("denim", "jeans"),
    ],
)
def test_cloths_hang_like_what_they_are_made_into(kind: str, words: str) -> None:
    assert words in hangs_like(library()[kind])


def test_each_likeness_is_like_itself() -> None:
    for name, length_m, mass_kg_m2 in LIKENESSES:
        assert likeness(length_m, mass_kg_m2) == name


@pytest.mark.parametrize(
    ("tell", "values", "words"),
    [
        (hanging_words, (0.0119, 0.012, 0.0169, 0.017, 0.031, 0.033), "very limp full few stiff"),
        (stretch_words, (0.01, 0.02, 0.11, 0.13, 0.29, 0.31), "not hardly little stretches lot"),
        (bias_words, (0.01, 0.03, 0.05, 0.1), "holds little gives soft"),
        (friction_words, (0.29, 0.3, 0.49, 0.5, 0.69, 0.71), "easily pulled holds clings"),
        (lofty_words, (0.44, 0.45, 0.69, 0.71), "lofty springy firm"),
        (drape_words, (29.0, 31.0, 49.0, 69.0, 84.0, 86.0), "limp soft full firm stiff"),
    ],
)
def test_scales_go_one_way_and_turn_at_their_bounds(tell, values, words: str) -> None:
    told = [tell(value) for value in values]
    changes = [first != second for first, second in itertools.pairwise(told)]
    assert len(set(told)) == 1 + sum(changes)  # never back to an earlier word
    for word in words.split():
        assert any(word in one for one in told)


def test_findings_are_what_the_maker_read() -> None:
    choice = load_job(JOB).outer
    found = by_name(choice)
    assert found["Weight"].value == "267 g/m²"
    assert found["Weight"].source == "swatch"
    assert found["Weight"].how == "weighing, 2 readings"
    up, down = 0.039, 0.10 * 0.343333
    along = ((up**3 + down**3) / 2) ** (1 / 3)
    assert found["Overhang along"].value == f"{1000 * along:.1f} mm"
    # 11.7 over 10.3 cm along, 8.8 over 8.0 across: the geometric mean
    assert found["Overhang pile up, against pile down"].value == "+12 %"
    assert "stiffer with the pile out" in found["Overhang pile up, against pile down"].meaning
    assert found["Stretch along, 500 g on 5 cm"].value == "3.0 %"
    # the share that strips of 11.5 and 11.6 cm grew, less the little that the strip itself weighs
    assert found["Stretch across, 500 g on 5 cm"].value == "15.5 %"
    assert found["Thickness, lightly pressed"].value == "3.4 mm"
    assert found["Thickness, pressed hard"].value == "1.8 mm"
    assert found["Slips with the nap at"].value == "25 degrees"
    assert "nap holds" in found["Slips against the nap at"].meaning
    assert found["Shrinks along in the wash"].value == "1.6 %"
    assert found["Drape coefficient, 30 cm on 18 cm"].how == "1 shadow"


def test_the_bias_stretch_told_is_the_one_that_was_read() -> None:
    choice = ClothChoice(kind="light plush", swatch=Swatch(given={"marks_bias": (0.1045,)}))
    found = by_name(choice)["Stretch at 45 degrees, 25 g on 5 cm"]
    # the strip's own weight pulled too: 5.2 of 4.9 N/m
    assert found.value == "4.3 %"
    assert found.source == "swatch"


@pytest.mark.parametrize("load", [0.5, 4.9, 40.0])
def test_bias_stretch_of_stiff_yarns_is_all_shear(load: float) -> None:
    share = bias_stretch(load, (1e9, 1e9), 40.0)
    stretch = 1 + share
    assert 2 * 40.0 * stretch * (stretch**2 - 1) == pytest.approx(load)
    assert bias_stretch(load, (100.0, 200.0), 40.0) - share == pytest.approx(load / 4 * 0.015)


def test_estimates_are_told_as_expected_readings_of_their_kind() -> None:
    for kind in library():
        for finding in findings(ClothChoice(kind=kind), "in"):
            assert finding.source == "estimate"
            assert kind in finding.how
            assert "N/m" not in finding.value + finding.meaning


def test_overhangs_of_an_estimate_spread_as_the_library_says() -> None:
    """Within a factor of 2.5 in rigidity is within 1.36 in overhang, two deviations."""
    found = by_name(ClothChoice(kind="light plush"))["Overhang along"]
    assert found.value == "36.0 mm"
    spread = float(found.spread.removesuffix(" mm"))
    assert 2 * spread / 36 == pytest.approx(math.log(2.5) / 3, rel=0.05)


def test_the_sample_records_measure_what_hangs_the_wrap(tmp_path: Path) -> None:
    """Three records, each believable for its kind; what was not tested stays an estimate."""
    job = load_job(JOB)
    drapes = dict(job.expand())
    assert list(drapes) == ["green plush", "curly cream", "long moss pile"]
    for name, drape in drapes.items():
        cloth = drape.outer_cloth
        kind = library()[drape.outer.kind]
        for figure in ("mass_kg_m2", "bending_along_n_m", "bending_across_n_m"):
            low, high = kind.range_of(figure)
            assert low < getattr(cloth, figure) < high
            assert figure not in cloth.estimated
        if name != "long moss pile":
            assert not cloth.estimated & {"thickness_m", "shear_n_per_m", "stretch_across_n_per_m"}
    assert drapes["curly cream"].outer.price_per_m == pytest.approx(11 / 0.9144)
    assert drapes["long moss pile"].outer.price_per_m is None
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job

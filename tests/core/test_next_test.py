# SPDX-License-Identifier: GPL-3.0-or-later
"""The next swatch test: worth is what it takes off the variance of hem and sleeve."""

import math
from dataclasses import replace
from pathlib import Path

import pytest
from napfold.core.cli import FINE, WRONG_INPUT, main
from napfold.core.cloth import ClothChoice, Origin, library
from napfold.core.cloth_doubt import SLOPES_M
from napfold.core.next_test import TESTS, what_next
from napfold.core.swatch import Swatch

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"
STACK = {"stack_light": (0.06, 0.061), "stack_heavy": (0.021,)}


def test_slopes_and_tests_name_figures_of_a_cloth() -> None:
    cloth = library()["light plush"]
    figures = {origin.figure for origin in cloth.origins}
    for slopes in SLOPES_M.values():
        assert set(slopes) <= figures
    assert {figure for left in TESTS.values() for figure in left} <= figures


def test_long_pile_is_stacked_first_since_its_thickness_fills_the_sleeve() -> None:
    cloth = library()["long pile"]
    advice = what_next(cloth)
    assert advice.test == "stack plies under a board"
    origin = cloth.origin("thickness_m")
    assert origin is not None
    # by hand: thickness alone, outer and lining of this cloth, pi times outer and twice the lining
    thickness_m = 3 * math.pi * origin.sd
    assert thickness_m < advice.sleeve_m < 1.1 * thickness_m
    assert advice.sleeve_then_m < advice.sleeve_m / 3
    words = advice.words("cm")
    assert words.startswith("Next: stack plies")
    assert f"{100 * advice.sleeve_then_m:.1f} cm" in words


def test_a_stacked_long_pile_asks_for_another_test() -> None:
    cloth = ClothChoice(kind="long pile", swatch=Swatch(given=STACK)).cloth()
    advice = what_next(cloth)
    assert advice.test == "hang a weight on strips along and across"
    assert advice.sleeve_m < what_next(library()["long pile"]).sleeve_m / 3


def test_light_plush_needs_no_test_for_hem_and_sleeve() -> None:
    advice = what_next(library()["light plush"])
    assert advice.test is None
    assert max(advice.hem_m, advice.sleeve_m) < 0.005
    assert "Weigh a piece all the same" in advice.words("in")
    weighed = {"piece": (0.3, 0.3), "piece_mass": (0.024,)}
    known = what_next(ClothChoice(kind="light plush", swatch=Swatch(given=weighed)).cloth())
    assert "Weigh" not in known.words("in")


def test_an_exact_cloth_leaves_nothing_open() -> None:
    advice = what_next(replace(library()["long pile"], origins=()))
    assert (advice.test, advice.hem_m, advice.sleeve_m) == (None, 0.0, 0.0)


@pytest.mark.parametrize("figure", sorted(SLOPES_M["heavy"]))
def test_one_unsure_figure_asks_for_the_test_that_tells_it(figure: str) -> None:
    cloth = library()["long pile"]
    value = getattr(cloth, figure)
    unsure = replace(cloth, origins=(Origin(figure, "estimate", 2 * value),))
    advice = what_next(unsure)
    hem, sleeve = SLOPES_M["heavy"][figure]
    assert advice.hem_m == pytest.approx(2 * abs(hem))
    assert advice.sleeve_m == pytest.approx(2 * abs(sleeve))
    if max(abs(hem), abs(sleeve)) > 0.0025:
        assert advice.test is not None
        assert figure in TESTS[advice.test]
        left = TESTS[advice.test][figure]
        assert math.hypot(advice.hem_then_m, advice.sleeve_then_m) == pytest.approx(
            left * math.hypot(hem, sleeve)
        )


def test_the_command_tells_every_cloth_of_a_job(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["swatch", str(JOBS / "larch_hut_swatches.toml")]) == FINE
    told = capsys.readouterr().out
    heads = [line for line in told.splitlines() if line and not line.startswith(" ")]
    assert heads == [
        "green plush, outer: light plush",
        "green plush, lining: light plush",
        "curly cream, outer: curly pile",
        "long moss pile, outer: long pile",
    ]
    assert "267 g/m² ± " in told
    assert "like a fur coat" in told
    assert told.count("Next: stack plies") == 1  # of the moss pile alone
    assert "swatch" in told
    assert "estimate" in told
    assert "they agree" in told
    assert "Unusual" not in told


def test_the_command_refuses_a_job_that_is_wrong(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "job.toml"
    path.write_text('name = "x"\n', encoding="utf-8")
    assert main(["swatch", str(path)]) == WRONG_INPUT
    assert "units" in capsys.readouterr().err

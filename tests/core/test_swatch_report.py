# SPDX-License-Identifier: GPL-3.0-or-later
"""What the command tells besides the figures: unusual ones, and the round piece beside the strips."""

import math

import numpy as np
import pytest
from napfold.core.cloth import ClothChoice, library
from napfold.core.round_simulation import hang_round_piece
from napfold.core.swatch import Swatch
from napfold.core.swatch_report import round_check, unusual

PLATE_M2, PIECE_M2 = math.pi * 0.09**2, math.pi * 0.15**2


def choice(**given: object) -> ClothChoice:
    return ClothChoice(kind="light plush", swatch=Swatch(given=given))


def shadow_m2(percent: float) -> float:
    return PLATE_M2 + percent / 100 * (PIECE_M2 - PLATE_M2)


def test_a_figure_that_the_kind_does_not_have_is_told() -> None:
    # plush of 640 g/m² is 19 deviations of its kind away
    (line,) = unusual(choice(piece=(0.3, 0.3), piece_mass=(0.0576,)))
    assert "mass per area is more than is expected of light plush" in line
    (line,) = unusual(choice(stack_light=(0.008,)))
    assert "thickness, lightly pressed is less" in line
    assert list(unusual(choice(piece=(0.3, 0.3), piece_mass=(0.024,)))) == []
    assert list(unusual(ClothChoice(kind="light plush", mass_kg_m2=0.64))) == []


@pytest.fixture(scope="module")
def hung_percent() -> float:
    """Drape coefficient of light plush as it hangs on the computer."""
    hung = hang_round_piece(library()["light plush"])
    return 100 * (hung.shadow_m2 - PLATE_M2) / (PIECE_M2 - PLATE_M2)


def test_a_round_piece_of_light_plush_falls_as_such_cloth_can_be_expected_to(
    hung_percent: float,
) -> None:
    assert 35 <= hung_percent <= 50


def test_a_reading_is_held_against_what_is_computed(hung_percent: float) -> None:
    (same,) = round_check(choice(round_shadow=(shadow_m2(hung_percent),)))
    assert "they agree" in same
    (limper,) = round_check(choice(round_shadow=(shadow_m2(hung_percent - 20),)))
    assert "limper than its strips say" in limper
    (stiffer,) = round_check(choice(round_shadow=(shadow_m2(hung_percent + 25),)))
    assert "stiffer than its strips say" in stiffer


def test_other_sizes_are_not_compared() -> None:
    small = {"round_piece": 0.24, "round_plate": 0.14, "round_shadow": (0.03,)}
    assert list(round_check(choice(**small))) == []
    assert list(round_check(choice())) == []


def test_stiff_cloth_casts_a_larger_shadow_than_limp_cloth() -> None:
    """Heavier by the same bending length changes nothing; four times the length nearly all."""
    limp, stiff = (
        ClothChoice(
            kind="light plush",
            bending_length_along_m=length_m,
            bending_length_across_m=length_m,
        ).cloth()
        for length_m in (0.012, 0.048)
    )
    shadows = [hang_round_piece(cloth, edge_m=0.012).shadow_m2 for cloth in (limp, stiff)]
    assert PLATE_M2 < shadows[0] < shadows[1] < PIECE_M2
    assert shadows[1] > shadow_m2(80)


def test_the_piece_comes_to_rest_under_its_plate() -> None:
    hung = hang_round_piece(library()["light plush"], edge_m=0.015)
    assert hung.rounds < 160
    assert hung.positions[:, 2].max() < 0.02
    assert hung.positions[:, 2].min() < -0.03
    assert np.isfinite(hung.positions).all()

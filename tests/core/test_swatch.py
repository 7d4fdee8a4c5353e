# SPDX-License-Identifier: GPL-3.0-or-later
"""Swatch tests: readings give the figures of the published formulas, and say how sure they are."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.cloth import (
    HARD_PRESSURE_PA,
    LIGHT_PRESSURE_PA,
    library,
)
from napfold.core.cloth.measured import measured
from napfold.core.heavy_strip import (
    LOOP_SHARES,
    bending_length_of_loop_m,
    bending_rigidity_n_m,
    elastic_rigidity_n_m,
)
from napfold.core.swatch import (
    BELOW_MARK_M,
    Swatch,
    bending_length,
    drape_coefficient,
    friction,
    mass_per_area,
    outline_area,
    pressure_pa,
    shear_stiffness,
    shrinkage,
    stretch_stiffness,
    thickness_under,
)
from napfold.core.swatch.readings import averaged

from ..validate.elastica import cantilever, heart_loop

G = 9.80665
PRESSURES = (LIGHT_PRESSURE_PA, HARD_PRESSURE_PA)


def swatch(**given: object) -> Swatch:
    return Swatch(given=given)


# --- several readings ------------------------------------------------------------------------------


def spread(values: list[float], scatter: float = 0.1, reading_sd: float = 0.0) -> float:
    return averaged("piece_mass", values, scatter=scatter, reading_sd=reading_sd, most_apart=2.0).sd


def test_one_reading_scatters_as_such_tests_do() -> None:
    assert spread([2.0]) == pytest.approx(0.2)


def test_two_that_agree_are_surer_but_not_certain() -> None:
    # (2 * 0.2² + 0) / 3, over two readings
    assert spread([2.0, 2.0]) == pytest.approx(math.sqrt(2 * 0.04 / 3 / 2))


def test_many_readings_speak_for_themselves() -> None:
    values = list(np.random.default_rng(1).normal(1.0, 0.02, 200))
    assert spread(values) == pytest.approx(np.std(values, ddof=1) / math.sqrt(200), rel=0.15)


def test_what_the_ruler_cannot_tell_does_not_shrink_with_the_number() -> None:
    assert spread([1.0] * 1000, reading_sd=0.05) == pytest.approx(0.05, rel=0.01)


@given(st.lists(st.floats(1.0, 1.9), min_size=1, max_size=8))
def test_the_mean_lies_among_its_readings(values: list[float]) -> None:
    found = averaged("piece_mass", values, scatter=0.1, reading_sd=0.0, most_apart=2.0)
    assert min(values) - 1e-12 <= found.value <= max(values) + 1e-12
    assert found.count == len(values)
    assert found.sd > 0


# --- weighing and washing --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("side_m", "mass_g", "factor"), [(0.1, 2.6, 100.0), (0.2, 10.4, 25.0), (0.3, 23.4, 11.11)]
)
def test_grams_of_a_square_times_its_factor_are_grams_per_square_metre(
    side_m: float, mass_g: float, factor: float
) -> None:
    found = mass_per_area(swatch(piece=(side_m, side_m), piece_mass=(mass_g / 1000,)))
    assert found is not None
    assert 1000 * found.value == pytest.approx(mass_g * factor, rel=1e-3)


def test_a_gram_scale_blurs_a_small_piece_more() -> None:
    small, large = (
        mass_per_area(swatch(piece=(side, side), piece_mass=(0.26 * side**2,)))
        for side in (0.1, 0.3)
    )
    assert small is not None
    assert large is not None
    # one step of 1 g spread evenly is 0.29 g: 29 g/m² of the small piece, 3.2 of the large
    assert small.sd > 0.0289
    assert large.sd < 0.010
    fine = mass_per_area(swatch(piece=(0.1, 0.1), piece_mass=(0.0026,), scale_step=0.0001))
    assert fine is not None
    assert fine.sd < small.sd / 3


def test_the_wash_takes_a_share_of_the_length() -> None:
    found = shrinkage(swatch(wash_marks=0.5, washed_along=(0.485, 0.487)), "along")
    assert found is not None
    assert found.value == pytest.approx(0.028)
    assert shrinkage(swatch(wash_marks=0.5), "across") is None


# --- bending ---------------------------------------------------------------------------------------


def test_the_line_of_the_sheet_is_where_the_elastica_hangs_at_twice_its_bending_length() -> None:
    """100 mm out and 88.5 mm down, and a strip of L = 2c, both at 41.5 degrees."""
    assert math.degrees(math.atan2(88.5, 100)) == pytest.approx(41.5, abs=0.02)
    assert cantilever(2.0).chord_degrees == pytest.approx(41.5, abs=0.02)


def test_half_the_overhang_is_the_bending_length() -> None:
    found = bending_length(swatch(overhang_along=(0.036, 0.035, 0.037)), "along")
    assert found is not None
    assert found.mean.value == pytest.approx(0.018)
    assert found.mean.count == 3
    assert found.pile_up_over_down is None
    assert bending_length(swatch(overhang_along=(0.036,)), "across") is None


def test_two_faces_average_in_rigidity_and_their_difference_is_uncertainty() -> None:
    record = swatch(overhang_across_pile_up=(0.040,) * 3, overhang_across_pile_down=(0.032,) * 3)
    found = bending_length(record, "across")
    assert found is not None
    assert found.mean.value**3 == pytest.approx((0.020**3 + 0.016**3) / 2)
    assert found.mean.sd > 0.004 / math.sqrt(12)
    assert found.pile_up_over_down is not None
    assert found.pile_up_over_down.value == pytest.approx((20 / 16) ** 3)
    alike = swatch(overhang_across_pile_up=(0.036,) * 3, overhang_across_pile_down=(0.036,) * 3)
    even = bending_length(alike, "across")
    assert even is not None
    assert even.mean.sd < found.mean.sd / 1.5


def test_one_face_alone_is_less_sure_than_unnamed_readings_of_both() -> None:
    one = bending_length(swatch(overhang_along_pile_up=(0.036,) * 4), "along")
    both = bending_length(swatch(overhang_along=(0.036,) * 4), "along")
    assert one is not None
    assert both is not None
    assert one.mean.sd > both.mean.sd


@pytest.mark.parametrize("lengths", [3.0, 5.0, 8.0])
def test_a_loop_of_the_elastica_gives_its_bending_length_back(lengths: float) -> None:
    strip_m = 0.15
    height_m = heart_loop(lengths) * strip_m
    assert bending_length_of_loop_m(strip_m, height_m) == pytest.approx(
        strip_m / lengths, rel=0.002
    )


@pytest.mark.parametrize("share", [0.16, 0.22, 0.30])
def test_peirces_formula_of_the_loop_is_near(share: float) -> None:
    """c = l₀ (cos θ / tan θ)^⅓ with l₀ = 0.1337 L, θ = 32.85° d/l₀: 4 % of the elastica's."""
    l0 = 0.1337
    turn = math.radians(32.85 * (share - l0) / l0)
    peirce = l0 * (math.cos(turn) / math.tan(turn)) ** (1 / 3)
    assert bending_length_of_loop_m(1.0, share) == pytest.approx(peirce, rel=0.045)


def test_a_loop_tells_of_the_elastic_part_and_is_told_as_an_overhang() -> None:
    strip_m = 0.14
    height_m = heart_loop(7.0) * strip_m  # the loop of an elastic strip of 20 mm
    read = swatch(loop_strip=strip_m, loop_height_along=(height_m,))
    plain, rubbing = (bending_length(read, "along", share) for share in (0.0, 0.2956))
    assert plain is not None
    assert rubbing is not None
    assert plain.mean.value == pytest.approx(0.020, rel=1e-3)
    # with a friction moment of 0.2956 W g c² the elastic part is 0.6280 of what a ruler reads
    assert rubbing.mean.value == pytest.approx(0.020 * 0.6280 ** (-1 / 3), rel=1e-3)
    assert rubbing.mean.share > plain.mean.share
    # an overhang holds both already
    jutting = swatch(overhang_along=(0.036,))
    assert bending_length(jutting, "along", 0.2956) == bending_length(jutting, "along")
    cloth = measured(library()["light plush"], read)
    back = elastic_rigidity_n_m(
        cloth.mass_kg_m2, cloth.bending_along_n_m, cloth.bending_friction_along_n
    )
    assert back == pytest.approx(bending_rigidity_n_m(cloth.mass_kg_m2, 0.020), rel=0.01)


def test_loops_and_overhangs_are_taken_together_by_their_certainty() -> None:
    strip_m = 0.1
    height_m = heart_loop(5.0) * strip_m  # c = 20 mm
    alone = bending_length(swatch(overhang_along=(0.036,)), "along")
    both = bending_length(
        swatch(overhang_along=(0.036,), loop_strip=strip_m, loop_height_along=(height_m,)), "along"
    )
    assert alone is not None
    assert both is not None
    assert 0.018 < both.mean.value < 0.020
    assert both.mean.sd < alone.mean.sd


# --- stretch ---------------------------------------------------------------------------------------


def test_a_hung_weight_over_the_stretch_is_the_stiffness() -> None:
    """500 g on 5 cm are 98.1 N/m; of 13 % stretch the stiffness is 98.1/0.13 and a little."""
    found = stretch_stiffness(swatch(marks_across=(0.113,)), "across", 0.26)
    assert found is not None
    hung_below = 0.26 * G * (0.05 + BELOW_MARK_M)
    assert found.value == pytest.approx((0.5 * G / 0.05 + hung_below) / 0.13, rel=1e-9)
    assert found.value == pytest.approx(98.07 / 0.13, rel=0.005)


def test_shear_of_a_stiff_cloth_is_that_of_the_bias_test() -> None:
    """123 over percent at 25 g on 5 cm, where the stretch is small and the yarns do not give."""
    found = shear_stiffness(swatch(marks_bias=(0.1015,)), (1e5, 1e5), 0.03)
    assert found is not None
    assert found.value == pytest.approx(122.6 / 1.5, rel=0.03)


def test_the_yarns_share_of_the_bias_stretch_is_taken_off() -> None:
    """4/E = 1/K₁ + 1/K₂ + 1/G at small stretch."""
    record = swatch(marks_apart=0.5, marks_bias=(0.505,), bias_load=0.01)
    load = G * (0.01 / 0.05 + 0.26 * (0.25 + BELOW_MARK_M))
    found = shear_stiffness(record, (700.0, 3000.0), 0.26)
    assert found is not None
    expected = 1 / (4 * 0.01 / load - 1 / 700 - 1 / 3000)
    assert found.value == pytest.approx(expected, rel=0.02)


# --- thickness and friction ------------------------------------------------------------------------


def test_the_usual_weights_press_with_the_usual_pressures() -> None:
    record = swatch(stack_light=(0.014,), stack_heavy=(0.007,))
    assert pressure_pa(record, "stack_light_load") == pytest.approx(LIGHT_PRESSURE_PA)
    assert pressure_pa(record, "stack_heavy_load") == pytest.approx(HARD_PRESSURE_PA)
    light, hard = thickness_under(record, PRESSURES)
    assert (light.value, hard.value) == (pytest.approx(0.0035), pytest.approx(0.00175))
    assert light.sd > hard.sd / 2


def test_other_weights_are_led_along_the_logarithm_of_pressure() -> None:
    """Through 2 kg (1.96 kPa, a decade up) to 9.8 kPa, 1.7 decades up."""
    record = swatch(stack_light=(0.016,), stack_heavy=(0.012,), stack_heavy_load=2.0)
    light, hard = thickness_under(record, PRESSURES)
    assert light.value == pytest.approx(0.004)
    assert hard.value == pytest.approx(0.004 - 0.001 * math.log10(50), rel=1e-6)


def test_friction_is_the_tangent_of_the_tilt() -> None:
    found = friction(swatch(tilt_backs=(math.radians(20), math.radians(22))), "tilt_backs")
    assert found is not None
    assert found.value == pytest.approx(math.tan(math.radians(21)), rel=0.001)


# --- round piece -----------------------------------------------------------------------------------

FLAT_M2 = math.pi * 0.15**2
PLATE_M2 = math.pi * 0.09**2


def test_limp_cloth_shades_the_plate_and_stiff_cloth_all() -> None:
    limp = drape_coefficient(swatch(round_shadow=(PLATE_M2,)))
    stiff = drape_coefficient(swatch(round_shadow=(FLAT_M2,)))
    assert limp is not None
    assert stiff is not None
    assert limp.value <= 1.0
    assert stiff.value == pytest.approx(100.0)


def test_ring_area_and_outline_tell_the_same() -> None:
    """One shadow with six folds: by its area, its paper, its radii, and points of a picture."""
    turn = np.arange(72) * 2 * np.pi / 72
    radius = 0.12 * (1 + 0.1 * np.cos(6 * turn))
    area = float(np.pi * (0.12**2 + 0.012**2 / 2))  # the curve's own, exactly
    share = (area - PLATE_M2) / (FLAT_M2 - PLATE_M2)
    pixels = np.stack([900 + 4000 * radius * np.cos(turn), 700 - 4000 * radius * np.sin(turn)], 1)
    records = (
        swatch(round_shadow=(area,)),
        swatch(round_ring_mass=0.004, round_shadow_mass=(0.004 * share,)),
        swatch(round_radii=tuple(radius)),
        swatch(
            round_outline=tuple(map(tuple, pixels)),
            round_ruler=((100.0, 100.0), (500.0, 100.0)),  # 10 cm
        ),
    )
    for record in records:
        found = drape_coefficient(record)
        assert found is not None
        assert found.value == pytest.approx(100 * share, abs=1.0)
    assert drape_coefficient(swatch()) is None


def test_twelve_radii_of_a_flat_piece_are_all_of_it() -> None:
    found = drape_coefficient(swatch(round_radii=(0.15,) * 12))
    assert found is not None
    assert found.value == pytest.approx(100.0)


@given(st.floats(0, 6.28), st.floats(-3, 3), st.floats(-3, 3))
def test_an_outlines_area_does_not_mind_where_it_lies(turn: float, x: float, y: float) -> None:
    corners = np.array([[0.0, 0.0], [3.0, 0.0], [3.0, 2.0], [0.0, 2.0]])
    turned = corners @ np.array(
        [[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]]
    )
    points = [(float(a) + x, float(b) + y) for a, b in turned]
    assert outline_area(points) == pytest.approx(6.0)
    assert outline_area(points[::-1]) == pytest.approx(6.0)


def test_loops_that_say_nothing_are_out_of_the_formulas_reach() -> None:
    stiff, limp = LOOP_SHARES
    assert bending_length_of_loop_m(1.0, stiff) == pytest.approx(1 / 2.5)
    assert bending_length_of_loop_m(1.0, limp) == pytest.approx(1 / 12)

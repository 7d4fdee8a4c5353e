# SPDX-License-Identifier: GPL-3.0-or-later
"""A quick part of `build.py validate`, with the same gates: the physics must not break unseen."""

import math

import numpy as np
import pytest

from ..rows import Row, exactly, missed, share, table
from ..validate import cantilevers, elastica, rubbing, slender, sliding, stretches
from ..validate.round_drape import FABRICS, drape_coefficient, folds, ring


def failed(rows: list[Row]) -> list[str]:
    """Names of the rows past their gate; there must be some with one."""
    assert any(row.passed is not None for row in rows)
    return missed(rows)


@pytest.mark.parametrize(
    ("gamma", "drop_over_reach"), [(1.0, 0.12456), (8.0, 0.88433), (100.0, 5.8881)]
)
def test_the_reference_meets_the_tabulated_elastica(gamma: float, drop_over_reach: float) -> None:
    """Drop over reach at Γ: values of an independent solver, tolerance 1e-9."""
    tip = elastica.cantilever(gamma ** (1 / 3))
    assert tip.drop / tip.reach == pytest.approx(drop_over_reach, rel=1e-4)


def test_friction_in_the_cloth_lengthens_what_the_ruler_reads() -> None:
    """Fabric A: c 21.2 mm by its rigidity, 29.6 mm with its friction moment of 0.608 mN."""
    fabric = FABRICS[0]
    weight = fabric.mass_kg_m2 * 9.80665
    assert (fabric.rigidity_n_m / weight) ** (1 / 3) == pytest.approx(0.0212, abs=1e-4)
    assert fabric.bending_length_m == pytest.approx(0.0296, abs=1e-4)


def test_the_reference_loop_without_weight_is_peirces() -> None:
    """Height of the weightless heart loop: 0.1337 of the strip."""
    assert elastica.heart_loop(0.05) == pytest.approx(0.1337, abs=3e-4)


def test_a_strip_hangs_as_the_heavy_elastica() -> None:
    reach, drop = cantilevers.hung_tip(2.0, 1 / 20, "mesher's")
    exact = elastica.cantilever(2.0)
    chord = math.degrees(math.atan2(drop, reach))
    assert chord == pytest.approx(exact.chord_degrees, rel=0.03)
    assert math.hypot(reach - exact.reach, drop - exact.drop) < 0.03


def test_narrow_strips_are_no_limper() -> None:
    """A fifth as wide as long, four edges: what free edges lose shows here first."""
    reach, drop = cantilevers.hung_tip(2.0, 1 / 20, "rows across", width_share=0.2)
    assert math.degrees(math.atan2(drop, reach)) == pytest.approx(41.49, rel=0.03)


def test_strips_stretch_as_they_must() -> None:
    assert failed(stretches.hanging()) == []
    assert failed(stretches.pulled()) == []


def test_a_blade_buckles_where_beam_theory_says() -> None:
    assert failed(slender.buckling()) == []


def test_cloth_on_a_body_slides_from_the_angle_of_friction_on() -> None:
    low, high = (sliding.slid_m(0.5 * ratio, 0.5, stepping=False)[0] for ratio in (0.95, 1.05))
    assert low < 0.001 < high


def test_cloth_on_itself_slides_from_the_angle_of_friction_on() -> None:
    slopes = [0.5 - 0.05, 0.5 + 0.05]
    assert [rubbing.lets_go(slope, 0.5, 0.4) for slope in slopes] == [False, True]


def test_pile_slides_down_a_slope_sooner_with_its_nap_uphill() -> None:
    """Mean coefficient 0.4: 0.313 with the nap, 0.487 against it."""
    assert [rubbing.nap_lets_go(slope, np.pi) for slope in (0.30, 0.33)] == [False, True]
    assert [rubbing.nap_lets_go(slope, 0.0) for slope in (0.47, 0.51)] == [False, True]


def test_a_flat_specimen_shades_all_of_its_ring() -> None:
    flat, triangles = ring(0.05, 0.127, 0.01)
    positions = np.concatenate([flat, np.zeros((len(flat), 1))], axis=1)
    # the outline's polygon and whole pixels: within one percent
    assert drape_coefficient(positions, triangles) == pytest.approx(100.0, abs=1.0)
    assert folds(flat, positions) == 0


def test_five_waves_are_five_nodes() -> None:
    flat, _ = ring(0.05, 0.127, 0.01)
    turn = np.arctan2(flat[:, 1], flat[:, 0])
    radius = np.hypot(flat[:, 0], flat[:, 1]) * (0.8 + 0.15 * np.cos(5 * turn))
    positions = np.stack([radius * np.cos(turn), radius * np.sin(turn), 0 * turn], axis=1)
    assert folds(flat, positions) == 5


def test_a_gate_can_be_missed_and_says_so() -> None:
    rows = [share("length", 1.04, 1.0, 0.03, "m", "ruler"), exactly("count", 2, 2, "", "fingers")]
    assert failed(rows) == ["length"]
    assert "NO" in table(rows).splitlines()[1]

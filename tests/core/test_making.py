# SPDX-License-Identifier: GPL-3.0-or-later
"""Two layers at the sewing table: plies and circles by hand; guidance that follows the cloth."""

import json
import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.cloth import library
from napfold.core.making import FILLED, making, sewing_for, turning
from napfold.core.pattern import Cut

CUT = Cut(cloth_width_m=1.48, length_m=1.40, body_width_m=0.66, sleeve_drop_m=0.22)
KINDS = library()
PLUSH, LONG, DENIM = KINDS["light plush"], KINDS["long pile"], KINDS["denim"]


def test_layers_add_up() -> None:
    one = making(CUT, LONG, PLUSH)
    assert one.mass_kg_m2 == pytest.approx(0.85 + 0.26)
    assert one.thickness_m == pytest.approx(0.015 + 0.0035)
    assert one.pressed_m == pytest.approx(0.35 * 0.015 + 0.5 * 0.0035)


def test_edges_are_four_plies_and_crossings_eight() -> None:
    bulk = making(CUT, LONG, PLUSH).bulk
    pile_m, ground_m = 0.00525 + 0.00175, 0.0011 + 0.00065
    assert (bulk["edge"].plies, bulk["crossing"].plies) == (4, 8)
    assert bulk["edge"].with_pile_m == pytest.approx(2 * pile_m)
    assert bulk["crossing"].with_pile_m == pytest.approx(4 * pile_m)
    # layers keep their pile, allowances are ground
    assert bulk["edge"].shorn_m == pytest.approx(pile_m + ground_m)
    assert bulk["crossing"].shorn_m == pytest.approx(2 * (pile_m + ground_m))


def test_a_bunch_fills_its_share_of_the_smallest_opening() -> None:
    found = turning(CUT, LONG, PLUSH)
    assert found.bunch_m2 == pytest.approx(1.40 * 0.007)
    for girth_m, filled in zip((found.most_m, found.needed_m, found.least_m), FILLED, strict=True):
        assert found.bunch_m2 / (girth_m**2 / (4 * math.pi)) == pytest.approx(filled)
    assert found.opening_m == pytest.approx(0.44)
    # both sides of the gap together are the girth
    assert 2 * found.gap_m == pytest.approx(found.needed_m)


def test_thick_wraps_need_a_wider_sleeve_to_be_turned() -> None:
    assert turning(CUT, PLUSH, PLUSH).goes == "easily"
    narrow = replace(CUT, sleeve_drop_m=0.16)
    assert turning(narrow, PLUSH, PLUSH).goes == "with patience"
    assert turning(narrow, LONG, PLUSH).goes == "not"
    enough = replace(CUT, sleeve_drop_m=turning(CUT, LONG, PLUSH).most_m / 2)
    assert turning(enough, LONG, PLUSH).goes == "easily"


@given(st.sampled_from(sorted(KINDS)), st.sampled_from(sorted(KINDS)))
def test_guidance_is_that_of_the_more_demanding_cloth(first: str, second: str) -> None:
    """Whichever is outside; and never for less pile than either alone asks for."""
    both = sewing_for(KINDS[first], KINDS[second])
    assert both == sewing_for(KINDS[second], KINDS[first])
    alone = [sewing_for(KINDS[name], KINDS[name]) for name in (first, second)]
    assert both.stitch_m[1] >= max(one.stitch_m[1] for one in alone) - 1e-12
    assert both.pins_m[0] <= min(one.pins_m[0] for one in alone)


@pytest.mark.parametrize(
    ("kind", "needle", "pins_m"),
    [
        # home-sewing instructions: plush and fleece 75/11 to 90/14, pins every 1 to 1.5 in
        ("light plush", "stretch or ball-point needle 75/11 to 90/14", (0.025, 0.038)),
        # fur cloth: 80/12 to 90/14, heavy grounds 110 to 120, pins every half inch
        ("short pile", "80/12 to 90/14", (0.013, 0.025)),
        ("long pile", "90/14 to 110/18", (0.013, 0.025)),
        ("denim", "universal needle 90/14", (0.05, 0.10)),
        ("single jersey", "stretch or ball-point needle 70/10", (0.05, 0.10)),
    ],
)
def test_needle_and_pins_by_class(kind: str, needle: str, pins_m: tuple[float, float]) -> None:
    found = sewing_for(KINDS[kind], KINDS[kind])
    assert needle in found.needle
    assert found.pins_m == pins_m


def test_warmth_grows_with_thickness() -> None:
    assert making(CUT, DENIM, KINDS["cotton broadcloth"]).warmth == "like a shirt"
    assert making(CUT, PLUSH, PLUSH).warmth == "like a fleece jacket"
    assert making(CUT, LONG, PLUSH).warmth == "like a padded jacket"


def test_it_can_be_written_as_json() -> None:
    plain = making(CUT, LONG, PLUSH).to_dict()
    assert json.loads(json.dumps(plain))["turning"]["goes"] == "with patience"

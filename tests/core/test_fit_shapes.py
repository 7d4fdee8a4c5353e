# SPDX-License-Identifier: GPL-3.0-or-later
"""Hem curve, hung length, air, hang and load where the answer is known: tubes, a cone, a sphere."""

import math
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import trimesh
from napfold.core.hem_curve import hem_curve
from napfold.core.hung_length import along_body_m, hung_length
from napfold.core.sleeve_air import DIPS_M, flat_hang_m, sleeve_air, sleeve_hang
from napfold.core.sleeve_room import corner_across_m, sleeve_room
from napfold.core.worn import vertex_areas_m2, worn

MakeTubes = Callable[..., Any]


def test_the_hem_curve_goes_from_front_to_front_by_way_of_the_back(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    drape = tubes.drape
    drape.outer[:, 2] += 0.1 * drape.outer[:, 0]
    curve = hem_curve(drape)
    places = dict(curve.places_m)
    half = tubes.cut.body_width_m / 2
    expected = [0.0, half, 2 * half, 3 * half, 4 * half]
    np.testing.assert_allclose(list(places.values()), expected, atol=1e-9)
    hem_m = tubes.shoulder_height_m - tubes.cut.length_m / 2
    assert curve.at(places["centre back"]) == pytest.approx(hem_m, abs=2e-4)
    # an open front turns the side seams a little to the back; the tilt lifts the left one
    radius = tubes.girth_radius_m
    across = radius * math.cos(math.pi / 2 - half / radius)
    assert curve.at(places["left side"]) == pytest.approx(hem_m + 0.1 * across, abs=1e-3)
    mirrored = hem_curve(_mirrored(drape))
    np.testing.assert_allclose(mirrored.height_m, curve.height_m[::-1], atol=2e-4)


def _mirrored(drape: Any) -> Any:
    """The same drape seen in a mirror: every vertex takes its partner's place."""
    twin = drape.panel.mirror
    flip = [-1.0, 1.0, 1.0]
    return SimpleNamespace(**{**vars(drape), "outer": drape.outer[twin] * flip})


def test_cloth_that_hangs_straight_loses_nothing(make_tubes: MakeTubes) -> None:
    drape = make_tubes().drape
    # both halves straight down from a line
    x, v = drape.panel.flat.T
    drape.outer[:] = np.stack([x, np.zeros_like(x), 1.40 - np.abs(v)], axis=1)
    for half in ("front", "back"):
        found = hung_length(drape, half)
        assert found.flat_m == pytest.approx(0.70)
        assert found.drop_m == pytest.approx(0.70, abs=1e-9)
        for name in ("slid_m", "stretched_m", "over_shoulder_m", "aslant_m"):
            assert getattr(found, name) == pytest.approx(0.0, abs=1e-6)
    drape.outer[:, 2] = 1.40 + 1.05 * (drape.outer[:, 2] - 1.40)
    assert hung_length(drape, "back").stretched_m == pytest.approx(0.035, abs=1e-4)


@pytest.mark.parametrize("slid", [0.0, 0.04])
def test_over_a_round_bar_an_arc_is_lost(make_tubes: MakeTubes, slid: float) -> None:
    drape = make_tubes().drape
    x, v = drape.panel.flat.T
    bar_m, top_m = 0.08, 1.36
    way = v + slid
    angle = np.clip(way / bar_m, -math.pi / 2, math.pi / 2)
    hanging = np.abs(way - bar_m * angle)
    drape.outer[:] = np.stack(
        [x, bar_m * np.sin(angle), top_m - bar_m + bar_m * np.cos(angle) - hanging], axis=1
    )
    back, front = hung_length(drape, "back"), hung_length(drape, "front")
    # a quarter of the bar's girth takes cloth along an arc and gives its radius of drop
    lost = (math.pi / 2 - 1) * bar_m
    for found, sign in ((back, 1.0), (front, -1.0)):
        # chords of 20 mm on 80 mm
        assert found.slid_m == pytest.approx(sign * slid, abs=2e-4)
        assert found.over_shoulder_m == pytest.approx(lost, abs=0.001)
        assert found.aslant_m == pytest.approx(0.0, abs=1e-6)
        parts = found.flat_m + found.slid_m + found.stretched_m
        assert parts - found.over_shoulder_m - found.aslant_m == pytest.approx(found.drop_m)
    assert back.drop_m - front.drop_m == pytest.approx(2 * slid, abs=0.003)


def test_a_tape_along_a_ball_is_an_arc_and_then_hangs_straight() -> None:
    radius, start = 0.3, math.radians(30)
    ball = trimesh.creation.icosphere(subdivisions=4, radius=radius)
    neck = np.array([0.0, radius * math.sin(start), radius * math.cos(start)])
    body = SimpleNamespace(
        vertices=np.asarray(ball.vertices),
        triangles=np.asarray(ball.faces, dtype=np.int64),
        landmarks={"back_neck_point": neck},
    )
    # from 30 degrees under the pole to the equator, and 10 cm below it
    arc = (math.pi / 2 - start) * radius
    assert along_body_m(body, -0.10) == pytest.approx(arc + 0.10, abs=0.001)
    assert along_body_m(body, 0.0) == pytest.approx(arc, abs=0.001)


def _coned(tubes: Any, flare: float) -> Callable[[float], float]:
    """Sleeves as cones round the arm, their radius larger by ``flare`` a metre of the way out."""
    drape = tubes.drape
    start = corner_across_m(drape, "left")
    out = np.abs(drape.panel.flat[:, 0]) - start
    share = 1 + flare * out / tubes.sleeve_radius_m
    sleeve = out > 0
    for layer in (drape.outer, drape.lining):
        layer[sleeve, 1] *= share[sleeve]
        above = layer[sleeve, 2] - tubes.shoulder_height_m
        layer[sleeve, 2] = tubes.shoulder_height_m + above * share[sleeve]
    return lambda across: tubes.sleeve_radius_m + flare * (across - start)


def test_an_arm_in_a_cone_has_the_cones_room(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    radius_at = _coned(tubes, flare=0.03)
    stand_off = tubes.drape.stand_off_m
    for station, across in (("elbow", 0.50), ("forearm", 0.60), ("wrist", 0.70)):
        room = sleeve_room(tubes.drape, "left", station)
        assert room is not None
        clear = radius_at(across) - tubes.arm_radius_m - stand_off
        assert room.median_gap_m == pytest.approx(clear, abs=0.001)
        # the outer of a stand-in lies where its lining lies; the lining is let in between
        thick = tubes.drape.outer_cloth.thickness_m / 2 + tubes.drape.lining_cloth.thickness_m
        round_m = 2 * math.pi * (clear + stand_off - thick)
        assert room.extra_girth_m == pytest.approx(round_m, abs=0.004)


@pytest.mark.parametrize("flare", [0.0, 0.03])
def test_air_is_the_cone_less_the_arm(make_tubes: MakeTubes, flare: float) -> None:
    tubes = make_tubes()
    # the stand-in tears the sleeve off its trunk: here it goes on inwards for two rows
    x, v = tubes.drape.panel.flat.T
    inwards = (np.abs(x) > corner_across_m(tubes.drape, "left") - 0.05) & (np.abs(x) < 0.36)
    turn = np.clip(v / tubes.sleeve_radius_m, -math.pi, math.pi)
    tubes.drape.lining[inwards] = np.stack(
        [
            x,
            tubes.sleeve_radius_m * np.sin(turn),
            tubes.shoulder_height_m + tubes.sleeve_radius_m * np.cos(turn),
        ],
        axis=1,
    )[inwards]
    radius_at = _coned(tubes, flare)
    air = sleeve_air(tubes.drape, "left")
    assert air is not None
    start = 0.36 + air.from_shoulder_m
    radii = [radius_at(across) - tubes.drape.stand_off_m for across in (start, 0.74)]
    # a frustum less a cylinder
    frustum = math.pi / 3 * (radii[0] ** 2 + radii[0] * radii[1] + radii[1] ** 2)
    expected = (frustum - math.pi * tubes.arm_radius_m**2) * air.length_m
    assert start + air.length_m == pytest.approx(0.74, abs=0.002)
    # chords of 20 mm in a circle of 70 mm take 1.4 % of its area, 3 % of what is free of it
    assert air.air_m3 == pytest.approx(expected, rel=0.05)
    assert air.litres == pytest.approx(1000 * air.air_m3)


def test_a_round_sleeve_hangs_below_a_level_arm_by_the_difference_of_radii(
    make_tubes: MakeTubes,
) -> None:
    tubes = make_tubes()
    hang = sleeve_hang(tubes.drape, "right")
    assert hang.measured
    assert hang.below_m == pytest.approx(tubes.sleeve_radius_m - tubes.arm_radius_m, abs=0.001)
    # deeper than the round stand-in: pulled flat by its weight
    assert flat_hang_m(0.22, 0.05) == pytest.approx(0.22 - 0.05 * math.pi / 2 - 0.05)
    assert flat_hang_m(0.10, 0.05) == 0.0
    assert flat_hang_m(0.25, 0.05) > DIPS_M


def test_a_hanging_arm_has_an_estimate(make_tubes: MakeTubes) -> None:
    drape = make_tubes().drape
    drape.body.joints["wrist_left"] = drape.body.joints["elbow_left"] - [0.0, 0.0, 0.2]
    assert not sleeve_hang(drape, "left").measured


def test_what_lies_on_a_level_top_is_carried_there(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    drape = tubes.drape
    level_m = 1.3801

    def over_table(points: Any) -> Any:
        return points[:, 2] - level_m

    found = worn(drape, over_table)
    lying = drape.lining[:, 2] - drape.stand_off_m < level_m + 0.003
    lying &= drape.lining[:, 2] > 1.26
    areas = vertex_areas_m2(drape)
    assert areas.sum() == pytest.approx(drape.outer.shape[0] * areas.mean())
    assert found.touching_m2 == pytest.approx(areas[lying].sum())
    # cloth below the armpits lies on the same table
    low = drape.lining[:, 2] <= 1.26
    carried = (0.85 + 0.26) * areas[~low].sum()
    assert found.carried_kg == pytest.approx(carried)
    assert found.pressure_pa == pytest.approx(carried * 9.80665 / areas[lying].sum())
    assert found.seat.under_m2 is None


def test_cloth_between_body_and_chair_is_sat_on(make_tubes: MakeTubes) -> None:
    drape = make_tubes().drape
    drape.body.supports = (
        SimpleNamespace(nearest=lambda points: (points[:, 2] - 0.75, None, None)),
    )
    found = worn(drape, lambda points: 0.80 - points[:, 2])
    thickness = 0.015 + 0.0035
    between = drape.outer[:, 2] < 0.75 + thickness + 0.003
    between &= 0.80 - drape.lining[:, 2] < thickness + 0.003
    assert found.seat.under_m2 == pytest.approx(vertex_areas_m2(drape)[between].sum())
    standing = worn(make_tubes().drape, lambda points: np.ones(len(points)))
    assert standing.touching_m2 == 0.0
    assert standing.pressure_pa == 0.0
    # the hem at 0.70 m hangs 7 cm below the seat
    assert standing.seat.below_seat_m == pytest.approx(0.07, abs=1e-6)
    assert standing.seat.sat_on

# SPDX-License-Identifier: GPL-3.0-or-later
"""Fit on tubes: every expected number follows from a radius, see conftest."""

import json
import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from napfold.core.body_levels import body_levels
from napfold.core.drape import Drape
from napfold.core.ease import ease
from napfold.core.fit import back_length, hem, mass, measure_fit, stand_off
from napfold.core.landing import land, sleeve_end_words
from napfold.core.pattern import build_pattern
from napfold.core.roominess import (
    BODY_CLASSES,
    SLEEVE_CLASSES,
    body_class,
    class_bounds,
    sleeve_class,
)
from napfold.core.sleeve import measure_sleeve
from napfold.core.sleeve_room import STATIONS, arm_coordinate, sleeve_room
from napfold.core.tape import Tape, complete

MakeTubes = Callable[..., Any]
# 20 mm edges round a sleeve of 70 mm radius: chords cut inside the circle by up to
# 0.02² / (8 x 0.07), 0.7 mm
MESH_M = 0.0008


def within_m(drape: Drape) -> float:
    """What lies between the outer's middle surface and the inside of a sleeve."""
    return drape.outer_cloth.thickness_m / 2 + drape.lining_cloth.thickness_m


def test_hem_hangs_half_the_length_below_the_fold(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    found = hem(tubes.drape)
    expected = tubes.shoulder_height_m - tubes.cut.length_m / 2
    places = (
        found.centre_back,
        found.left_side,
        found.right_side,
        found.front_left,
        found.front_right,
    )
    np.testing.assert_allclose([place.height_m for place in places], expected, atol=1e-9)
    assert found.lowest_m == pytest.approx(expected, abs=1e-9)
    assert found.highest_m == pytest.approx(expected, abs=1e-9)
    assert (found.centre_back.above, found.centre_back.below) == ("the crotch", "mid-thigh")


def test_each_hem_point_is_read_at_its_own_place(make_tubes: MakeTubes) -> None:
    drape = make_tubes().drape
    # tilt the whole garment: higher to the wearer's left, and lower to the back
    tilt_x, tilt_y = 0.1, -0.05
    drape.outer[:, 2] += tilt_x * drape.outer[:, 0] + tilt_y * drape.outer[:, 1]
    found = hem(drape)
    radius = np.hypot(*drape.lining[drape.panel.edges["hem_back"][0], :2])
    level = found.centre_back.height_m - tilt_y * radius
    # an open front turns the side seams a little to the back
    turn = math.pi / 2 - 0.33 / radius
    for place, sign in ((found.left_side, 1), (found.right_side, -1)):
        across, back = radius * math.cos(turn), radius * math.sin(turn)
        expected = level + sign * tilt_x * across + tilt_y * back
        assert place.height_m == pytest.approx(expected, abs=1e-6)
    half_gap = 0.025  # of arc, each side of the front centre line
    across = radius * math.sin(half_gap / radius)
    forward = -radius * math.cos(half_gap / radius)
    for place, sign in ((found.front_left, 1), (found.front_right, -1)):
        expected = level + sign * tilt_x * across + tilt_y * forward
        assert place.height_m == pytest.approx(expected, abs=1e-6)


def test_centre_back_length_flat_hung_and_straight(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    flat = tubes.cut.length_m / 2 - tubes.cut.neck_back_depth_m
    found = back_length(tubes.drape)
    assert found.flat_m == pytest.approx(flat, abs=1e-9)
    assert found.along_cloth_m == pytest.approx(flat, abs=1e-9)
    assert found.drop_m == pytest.approx(flat, abs=1e-9)
    hem_m = tubes.shoulder_height_m - tubes.cut.length_m / 2
    assert found.from_back_neck_point_m == pytest.approx(1.45 - hem_m, abs=1e-9)
    # cloth stretched by a twentieth along its length hangs that much lower
    tubes.drape.outer[:, 2] += 0.05 * (tubes.drape.outer[:, 2] - tubes.shoulder_height_m)
    stretched = back_length(tubes.drape)
    assert stretched.flat_m == pytest.approx(flat, abs=1e-9)
    assert stretched.along_cloth_m == pytest.approx(1.05 * flat, rel=1e-6)


@pytest.mark.parametrize("station", STATIONS)
def test_room_in_a_round_sleeve_with_the_arm_in_its_middle(
    make_tubes: MakeTubes, station: str
) -> None:
    tubes = make_tubes()
    for side in ("left", "right"):
        room = sleeve_room(tubes.drape, side, station)
        assert room is not None
        assert room.taken == "across the arm"
        # the flat sleeve is twice the drop round
        inner = 2 * tubes.cut.sleeve_drop_m - 2 * math.pi * within_m(tubes.drape)
        arm = 2 * math.pi * tubes.arm_radius_m
        assert room.arm_girth_m == pytest.approx(arm, rel=1e-4)
        assert room.inner_girth_m == pytest.approx(inner, abs=0.003)
        assert room.extra_girth_m == pytest.approx(inner - arm, abs=0.003)
        gap = tubes.sleeve_radius_m - tubes.arm_radius_m - tubes.drape.stand_off_m
        assert room.smallest_gap_m == pytest.approx(gap, abs=2 * MESH_M)
        assert room.median_gap_m == pytest.approx(gap, abs=MESH_M)


def test_an_arm_that_lies_high_touches_above_and_has_room_below(make_tubes: MakeTubes) -> None:
    lift = 0.015
    tubes = make_tubes(arm_lift_m=lift)
    room = sleeve_room(tubes.drape, "left", "elbow")
    assert room is not None
    sleeve, arm, stand_off_m = tubes.sleeve_radius_m, tubes.arm_radius_m, tubes.drape.stand_off_m
    assert room.smallest_gap_m == pytest.approx(sleeve - arm - lift - stand_off_m, abs=2 * MESH_M)
    # half of the skin lies above the arm's middle: there, the skin is hypot(arm, lift) from the
    # sleeve's axis
    median = sleeve - math.hypot(arm, lift) - stand_off_m
    assert room.median_gap_m == pytest.approx(median, abs=MESH_M)
    extra = 2 * math.pi * (sleeve - arm - within_m(tubes.drape))
    assert room.extra_girth_m == pytest.approx(extra, abs=0.003)


def test_skin_outside_the_sleeve_has_a_negative_gap(make_tubes: MakeTubes) -> None:
    tubes = make_tubes(arm_lift_m=0.03)
    room = sleeve_room(tubes.drape, "left", "elbow")
    assert room is not None
    through = tubes.sleeve_radius_m - tubes.arm_radius_m - 0.03 - tubes.drape.stand_off_m
    assert through < 0
    assert room.smallest_gap_m == pytest.approx(through, abs=2 * MESH_M)


def test_a_station_over_the_body_of_the_garment_is_taken_along_the_cloth(
    make_tubes: MakeTubes,
) -> None:
    tubes = make_tubes()
    # an upper arm whose middle lies before the rounded corner, at 0.33 m from the centre
    tubes.drape.body.joints["shoulder_left"] = np.array([0.16, 0.0, tubes.shoulder_height_m])
    room = sleeve_room(tubes.drape, "left", "upper arm")
    assert room is not None
    assert room.taken == "along the cloth"
    inner = 2 * tubes.cut.sleeve_drop_m - 2 * math.pi * within_m(tubes.drape)
    # the ring nearest to the corner is longer by what the rounded corner adds at its foot
    assert inner - 0.003 < room.inner_girth_m < inner + 4 * tubes.cut.corner_radius_m


def test_where_the_sleeve_ends_before_a_station_there_is_no_room(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    wrist = np.array([0.80, 0.0, tubes.shoulder_height_m])
    tubes.drape.body.joints["wrist_left"] = wrist
    tubes.drape.body.joints["knuckles_left"] = wrist + np.array([0.08, 0, 0])
    sleeve = measure_sleeve(tubes.drape, "left")
    assert sleeve.room["wrist"] is None
    assert sleeve.room["elbow"] is not None
    assert sleeve.past_wrist_m == pytest.approx(0.74 - 0.80, abs=1e-9)
    assert measure_sleeve(tubes.drape, "right").past_wrist_m == pytest.approx(0.04, abs=1e-9)


def test_sleeve_opening_is_twice_the_drop(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    opening = measure_sleeve(tubes.drape, "right").opening_m
    assert opening == pytest.approx(2 * tubes.cut.sleeve_drop_m, abs=0.002)


def test_what_is_pushed_together_counts_as_it_is_cut(make_tubes: MakeTubes) -> None:
    """It lies in wrinkles finer than the mesh, which an arm or a hand smooths."""
    tubes = make_tubes()
    drape, shoulder_m = tubes.drape, tubes.shoulder_height_m
    before = sleeve_room(drape, "left", "elbow")
    drape.outer[:, 1] *= 0.9
    drape.outer[:, 2] += 0.1 * (shoulder_m - drape.outer[:, 2])
    after = sleeve_room(drape, "left", "elbow")
    assert before is not None
    assert after is not None
    assert after.inner_girth_m == pytest.approx(before.inner_girth_m, abs=1e-6)
    opening = measure_sleeve(drape, "right").opening_m
    assert opening == pytest.approx(2 * tubes.cut.sleeve_drop_m, abs=1e-6)
    found = back_length(drape)
    assert found.along_cloth_m == pytest.approx(found.flat_m, abs=1e-9)
    assert found.drop_m == pytest.approx(0.9 * found.flat_m, abs=1e-6)


def test_a_deeper_drop_never_leaves_less_room(make_tubes: MakeTubes) -> None:
    rooms = []
    for drop in (0.19, 0.22, 0.25):
        tubes = make_tubes(cut=replace(make_tubes().cut, sleeve_drop_m=drop))
        room = sleeve_room(tubes.drape, "left", "elbow")
        assert room is not None
        rooms.append((room.extra_girth_m, room.median_gap_m))
    steps = np.diff(np.array(rooms), axis=0)
    # each 3 cm of drop adds 6 cm of girth, 6 / 2 pi cm of clear distance
    np.testing.assert_allclose(steps[:, 0], 0.06, atol=0.002)
    np.testing.assert_allclose(steps[:, 1], 0.06 / (2 * math.pi), atol=MESH_M)


def test_a_leaning_body_is_told_by_the_floor_alone(make_tubes: MakeTubes) -> None:
    drape = make_tubes().drape
    drape.body.landmarks["back_neck_point"] = np.array([0.0, 0.4, 1.45])
    found = hem(drape).centre_back
    assert found.words(lambda metres: f"{metres * 100:.0f} cm") == "70 cm above the floor"
    assert ease(drape, "hip", 0.95) is None


def test_the_lap_of_a_sitting_body_ends_the_levels(make_tubes: MakeTubes) -> None:
    drape = make_tubes().drape
    # the thighs lie as high as the crotch
    drape.body.landmarks["mid_thigh"] = np.array([0.0, -0.2, 0.79])
    found = hem(drape).centre_back
    assert (found.above, found.below) == ("the crotch", "the floor")


def test_levels_close_together_are_told_as_the_upper_one(make_tubes: MakeTubes) -> None:
    drape = make_tubes().drape
    marks = drape.body.landmarks
    # as on a child: the bust line 15 mm below the armpit
    marks["bust"] = marks["axilla"] - [0.0, 0.0, 0.015]
    levels = body_levels(drape)
    assert "the bust line" not in levels
    assert levels["the armpit"] == marks["axilla"][2]
    assert levels["the waist"] == marks["waist"][2]


def test_mass_is_area_times_mass_per_area(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    found = mass(tubes.drape)
    area = build_pattern(tubes.cut).area_m2
    # straight edges instead of arcs in neck and corners
    assert found.layer_area_m2 == pytest.approx(area, rel=1e-3)
    assert found.outer_kg == pytest.approx(area * 0.85, rel=1e-3)
    assert found.lining_kg == pytest.approx(area * 0.26, rel=1e-3)
    assert found.garment_kg == pytest.approx(found.outer_kg + found.lining_kg)


def test_stand_off_is_the_distance_between_the_tubes(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    # only places on the cylinder: the stand-in has no shoulders to lie on
    found = stand_off(tubes.drape, tubes.skin_distance)
    expected = tubes.girth_radius_m - 0.15
    assert found.lining_m == pytest.approx(expected, abs=1e-6)
    thickness = tubes.drape.outer_cloth.thickness_m
    assert found.outer_face_m == pytest.approx(expected + thickness / 2, abs=1e-6)


def test_a_mirrored_garment_has_mirrored_sleeves(make_tubes: MakeTubes) -> None:
    drape = make_tubes().drape
    fits = [measure_sleeve(drape, side) for side in ("left", "right")]
    assert fits[0].opening_m == pytest.approx(fits[1].opening_m, abs=1e-9)
    assert fits[0].past_wrist_m == pytest.approx(fits[1].past_wrist_m, abs=1e-9)
    for station in STATIONS:
        left, right = (fit.room[station] for fit in fits)
        assert left is not None
        assert right is not None
        assert left.inner_girth_m == pytest.approx(right.inner_girth_m, abs=1e-9)
        assert left.median_gap_m == pytest.approx(right.median_gap_m, abs=1e-6)


def test_fit_as_plain_numbers_survives_json(make_tubes: MakeTubes) -> None:
    tubes = make_tubes()
    measures, _ = complete(Tape(given={"height": 1.68, "bust_girth": 0.96}))
    fit = measure_fit(tubes.drape, measures, tubes.skin_distance)
    plain = json.loads(json.dumps(fit.to_dict(), allow_nan=False))
    assert plain["hem"]["centre_back"]["height_m"] == fit.hem.centre_back.height_m
    assert plain["ease"]["bust"]["body_girth_m"] == 0.96
    elbow = fit.sleeves["left"].room["elbow"]
    assert elbow is not None
    assert plain["sleeves"]["left"]["room"]["elbow"]["extra_girth_m"] == elbow.extra_girth_m


def test_arm_coordinate_follows_a_bent_arm_and_goes_on_past_its_ends() -> None:
    joints = np.array([[0.0, 0.0, 0.0], [0.3, 0.0, 0.0], [0.3, 0.0, -0.25], [0.3, 0.0, -0.35]])
    points = np.array([[0.1, 0.05, 0.0], [0.35, 0.0, -0.1], [0.3, 0.1, -0.45], [-0.1, 0.0, 0.02]])
    np.testing.assert_allclose(arm_coordinate(points, joints), [0.1, 0.4, 0.75, -0.1])


LEVELS = {"the waist": 1.08, "the fullest hip": 0.86, "mid-thigh": 0.64, "the floor": 0.0}


@pytest.mark.parametrize(
    ("height_m", "words"),
    [
        (0.875, "at the fullest hip"),
        (0.845, "at the fullest hip"),
        (0.90, "4 cm above the fullest hip"),
        (0.81, "5 cm below the fullest hip"),
        (0.97, "between the waist and the fullest hip"),
        (1.30, "22 cm above the waist"),
        (0.30, "between mid-thigh and the floor"),
    ],
)
def test_a_height_is_told_by_the_nearest_level(height_m: float, words: str) -> None:
    # 20 mm: "at"; 60 mm: named; beyond: between
    assert land(height_m, LEVELS).words(lambda metres: f"{metres * 100:.0f} cm") == words


@pytest.mark.parametrize(
    ("past_m", "words"),
    [
        (-0.05, "5 cm short of the wrist"),
        (0.015, "at the wrist"),
        (0.04, "on the hand, 4 cm past the wrist"),
        (0.07, "at the knuckles"),
        (0.12, "4 cm past the knuckles"),
    ],
)
def test_a_sleeve_end_is_told_by_wrist_and_knuckles(past_m: float, words: str) -> None:
    assert sleeve_end_words(past_m, 0.08, lambda metres: f"{metres * 100:.0f} cm") == words


def test_room_words_rise_with_ease_and_their_bounds_meet() -> None:
    # 20 cm at the bust is semi-fitted for a coat (171 to 203 mm are its class and its gap)
    assert body_class(0.19) == "semi-fitted"
    assert body_class(0.35) == "very loose"
    assert body_class(-0.2) == "too small to wear over clothes"
    assert sleeve_class(0.11) == "like a coat sleeve"
    assert sleeve_class(-0.01) == "too tight to wear"
    for classes in (BODY_CLASSES, SLEEVE_CLASSES):
        bounds = class_bounds(classes)
        assert bounds[0][0] is None
        assert bounds[-1][1] is None
        for (_, high, _), (low, _, _) in pairwise(bounds):
            assert high == low

# SPDX-License-Identifier: GPL-3.0-or-later
"""Options of the cut against plane geometry done by hand: areas, lengths, seams that match."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.errors import InputError
from napfold.core.pattern import (
    Arc,
    Corner,
    Cubic,
    Cut,
    Front,
    Neck,
    Shoulder,
    build_pattern,
    fitted,
    neck_length_m,
    parallel,
    sized_to_neck,
)
from napfold.core.units import RangeError

from .options import CUTS, OVERLAP, PLAIN

steps = st.tuples(*6 * [st.floats(0.05, 1)])


def area(cut: Cut) -> float:
    return build_pattern(cut).area_m2


@settings(deadline=None, max_examples=60)
@given(st.floats(-1, 1), steps)
def test_cubics_by_dense_polygons(across, along) -> None:
    """Area and length of a cubic against 4,000 chords, whose error falls with their square.

    As in patterns, it goes on in the same two directions all the way and so has no cusp.
    """
    places = np.concatenate([[[across, 0.3]], np.reshape(along, (3, 2))]).cumsum(axis=0)
    start, first, last, end = (tuple(place) for place in places)
    curve = Cubic(start=start, first=first, last=last, end=end)
    points = curve.place(np.linspace(0, 1, 4001))
    x, v = points.T
    swept = ((x[:-1] * v[1:] - x[1:] * v[:-1]).sum()) / 2
    assert curve.swept_area_m2 == pytest.approx(swept, abs=2e-6)
    chords = np.linalg.norm(np.diff(points, axis=0), axis=1).sum()
    assert curve.length_m == pytest.approx(chords, abs=2e-5)
    halves = curve.until(0.37)
    np.testing.assert_allclose(halves.end, curve.place(np.array([0.37]))[0], atol=1e-12)


def test_a_cubic_is_walked_at_its_own_length() -> None:
    curve = Cubic(start=(0.0, -0.7), first=(0.17, -0.7), last=(0.17, -0.6), end=(0.34, -0.6))
    places = np.linspace(0, curve.length_m, 9)
    points = curve.at(places)
    steps = [curve.at(np.linspace(a, b, 4001)) for a, b in pairwise(places)]
    lengths = [np.linalg.norm(np.diff(step, axis=0), axis=1).sum() for step in steps]
    np.testing.assert_allclose(lengths, np.diff(places), atol=1e-9)
    np.testing.assert_array_equal(points[[0, -1]], [curve.start, curve.end])


@pytest.mark.parametrize("name", CUTS)
def test_matching_edges_are_equally_long_and_quarters_close(name: str) -> None:
    pattern = build_pattern(CUTS[name])
    edges = pattern.edges
    for kind in ("underarm", "split", "shoulder"):
        for side in ("left", "right"):
            if f"{kind}_front_{side}" in edges:
                front, back = (edges[f"{kind}_{half}_{side}"] for half in ("front", "back"))
                assert front.length_m == pytest.approx(back.length_m, abs=1e-12)
                places = np.linspace(0, front.length_m, 21)
                mirrored = back.at(back.length_m - places) * (1, -1)
                np.testing.assert_allclose(front.at(places), mirrored, atol=1e-9)
    for quarter in (pattern.front, pattern.back):
        pieces = [piece for part in quarter.parts.values() for piece in part]
        for piece, following in pairwise([*pieces, pieces[0]]):
            assert piece.end == following.start
    for left in (name for name in edges if name.endswith("left")):
        right = left.replace("left", "right")
        assert edges[left].length_m == pytest.approx(edges[right].length_m, abs=1e-12)


def test_areas_by_hand() -> None:
    plain = area(PLAIN)
    rounding = (1 - math.pi / 4) * 0.10**2
    square = plain - 4 * rounding
    sleeve_m, side_m = (1.47 - 0.68) / 2, 1.37 / 2 - 0.24
    expected = {
        "square": square,
        "diagonal": square + 4 * 0.10**2 / 2,
        # a ramp of 15 cm of half depth over each sleeve half, its corner rounded by less than r²
        "shortened": plain - 2 * 0.15 * 2 * 0.24,
        "split": plain,
        "seamed": plain,
        # twice the strip of half the overlap, up to the neckline where it is
        "overlapping": plain + 2 * _overlap_m2(0.06),
        # between hem and rounded corner on each side a triangle
        "high back": plain + math.pi / 2 * 0.09 * 0.025,
    }
    for name, area_m2 in expected.items():
        assert area(CUTS[name]) == pytest.approx(area_m2, abs=1e-9), name
    # with square corners tapers, flares and slopes are triangles
    sharp = replace(PLAIN, corner=Corner.SQUARE)
    for changes, more in (
        # a wedge, and the last 5 cm of the sleeve all along
        ({"wrist_opening_m": 0.34}, -4 * ((sleeve_m - 0.05) / 2 + 0.05) * (0.24 - 0.17)),
        ({"side_flare_m": 0.10}, 4 * side_m * 0.10 / 2),
        ({"hem_curve_m": 0.08}, -4 * 0.08 * 0.34 / 2 - 0.0),
        ({"back_longer_m": 0.10}, None),
    ):
        found = area(replace(sharp, **changes)) - square
        if more is not None:
            assert found == pytest.approx(more, abs=1e-9), changes
        else:
            # the front loses 5 cm all across, the back gains half of what it dips more
            assert found == pytest.approx(-0.68 * 0.05 - 0.68 * 0.05 + 0.68 * 0.10 / 2, abs=1e-9)


def _overlap_m2(beyond_m: float) -> float:
    """Area of a strip beyond the centre line, from a round neck of 18 by 9 cm down to the hem."""
    width, depth, hem = 0.09, 0.09, 1.37 / 2
    turn = math.asin(beyond_m / width)
    under_the_neck = depth * (beyond_m * math.cos(turn) + width * turn) / 2
    return hem * beyond_m - under_the_neck


def test_a_tapered_sleeve_ends_with_its_opening() -> None:
    for name, opening_m in (("tapered", 0.34), ("cuff", 0.36), ("nearly all", 0.36)):
        edge = build_pattern(CUTS[name]).edges["sleeve_end_left"]
        assert edge.length_m == pytest.approx(opening_m, abs=1e-12)
    # a cuff of 8 cm turns back over as much sleeve again, straight
    under = build_pattern(CUTS["cuff"]).edges["underarm_front_left"].pieces[-1]
    assert under.length_m == pytest.approx(2 * 0.08 + 0.02)
    assert under.start[1] == under.end[1] == pytest.approx(-0.18)


@settings(deadline=None)
@given(radius=st.floats(0.02, 0.20), opening=st.floats(0.30, 0.48), flare=st.floats(0.0, 0.12))
def test_the_corner_touches_side_and_underarm(radius, opening, flare) -> None:
    cut = fitted(PLAIN, wrist_opening_m=opening, side_flare_m=flare, corner_radius_m=radius)
    pieces = build_pattern(cut).edges["underarm_front_left"].pieces
    (number,) = (n for n, piece in enumerate(pieces) if isinstance(piece, Arc))
    arc = pieces[number]
    assert arc.radius_x_m == pytest.approx(cut.corner_radius_m)
    for end in (arc.start, arc.end):
        assert math.dist(end, arc.centre) == pytest.approx(cut.corner_radius_m, abs=1e-12)
    for before, after in pairwise(pieces[number - 1 : number + 2]):
        np.testing.assert_allclose(before.directions[1], after.directions[0], atol=1e-9)


def test_the_largest_corner_takes_up_side_or_sleeve() -> None:
    tapered = replace(PLAIN, wrist_opening_m=0.30, corner_radius_m=0.05)
    most_m = tapered.largest_corner_m
    whole = replace(tapered, corner_radius_m=most_m)
    kinds = [piece.kind for piece in build_pattern(whole).edges["underarm_front_left"].pieces]
    # the narrowing part of the sleeve is used up, its straight end is left
    assert kinds == ["line", "arc", "line"]
    with pytest.raises(RangeError, match=r"cut\.corner_radius"):
        replace(tapered, corner_radius_m=most_m + 1e-6)


@settings(deadline=None, max_examples=40)
@given(
    neck=st.sampled_from(Neck),
    base_m=st.floats(0.36, 0.48),
    ease_m=st.floats(0.06, 0.20),
    depth_m=st.floats(0.06, 0.16),
)
def test_a_neck_sized_to_its_wearer_is_as_long_as_asked(neck, base_m, ease_m, depth_m) -> None:
    cut = replace(PLAIN, neck=neck, neck_front_depth_m=depth_m, neck_ease_m=ease_m)
    least_m, most_m = (
        neck_length_m(replace(cut, neck_width_m=width_m)) - base_m for width_m in (0.10, 0.40)
    )
    if not least_m <= ease_m <= most_m:
        with pytest.raises(RangeError, match=r"cut\.neck_ease"):
            sized_to_neck(cut, base_m)
        return
    sized = sized_to_neck(cut, base_m)
    assert neck_length_m(sized) == pytest.approx(base_m + ease_m, abs=1e-9)
    assert sized.neck_ease_m == ease_m


def test_an_oval_is_fuller_and_a_v_emptier_than_a_round_neck() -> None:
    oval, round_, v = (
        area(replace(PLAIN, neck=neck, neck_front_depth_m=0.15))
        for neck in (Neck.OVAL, Neck.ROUND, Neck.V)
    )
    assert oval < round_ < v


def test_parallels_of_circles_and_lines_are_exact() -> None:
    """Round a corner of radius r the parallel at d outside the seam is a circle of r - d."""
    edge = build_pattern(PLAIN).edges["underarm_front_left"]
    beside = parallel(edge.pieces, 0.015)
    quarter = math.pi / 2
    length_m = edge.length_m - quarter * 0.10 + quarter * (0.10 - 0.015)
    assert math.fsum(piece.length_m for piece in beside) == pytest.approx(length_m, abs=1e-12)


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"front": Front.OVERLAPPING}, "cut.front"),
        ({"shoulder_drop_m": 0.05}, "cut.shoulder_drop"),
        ({"wrist_opening_m": 0.10}, "cut.wrist_opening"),
        ({"wrist_opening_m": 0.49}, "cut.wrist_opening"),
        ({"sleeve_shortened_m": 0.35}, "cut.sleeve_shortened"),
        ({"cuff_depth_m": 0.17}, "cut.cuff_depth"),
        ({"hem_curve_m": 0.30}, "cut.hem_curve"),
        ({"back_longer_m": 0.60}, "cut.back_longer"),
        ({"side_flare_m": 0.45}, "cut.side_flare"),
        ({"side_split_m": 0.42}, "cut.side_split"),
        ({"shoulder": Shoulder.SEAMED, "shoulder_drop_m": 0.13}, "cut.shoulder_drop"),
        (
            {"shoulder": Shoulder.SEAMED, "front": Front.OVERLAPPING, "front_overlap_m": 0.15},
            "cut.front_overlap",
        ),
        # 0.12 m would rise to a point of 31 degrees at the front edge
        (OVERLAP | {"neck_width_m": 0.20, "neck_front_depth_m": 0.22}, "cut.front_overlap"),
        # straight on beyond the centre, this V would end below the hem
        (
            OVERLAP | {"neck": Neck.V, "neck_front_depth_m": 0.37, "front_overlap_m": 0.10},
            "cut.neck_front_depth",
        ),
    ],
)
def test_what_cannot_be_cut_is_refused_by_name(changes: dict[str, object], key: str) -> None:
    with pytest.raises(InputError) as caught:
        replace(PLAIN, **changes)
    assert caught.value.key == key

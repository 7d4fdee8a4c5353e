# SPDX-License-Identifier: GPL-3.0-or-later
"""Turn of cloth where it is known: on a cylinder and over a round bar; and in a sleeve as it hangs."""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from napfold.core.cloth import library
from napfold.core.drape import run, settle
from napfold.core.layer_lengths import layer_lines
from napfold.core.making import turn_of_cloth
from napfold.core.mannequin import build_mannequin
from napfold.core.pattern import build_pattern
from napfold.core.sleeve_room import STATIONS, corner_across_m, sleeve_room

from ..bench.jobs import REFERENCE, cloths, cut_for, tape_of

APART_M = 0.011


def test_round_a_cylinder_the_outer_is_longer_by_a_turn_of_the_distance(
    make_tubes: Callable[..., Any],
) -> None:
    tubes = make_tubes(front_gap_m=0.0)
    drape = tubes.drape
    across = np.abs(drape.panel.flat[:, 0])
    outwards = np.zeros_like(drape.lining)
    radius = np.hypot(drape.lining[:, 0], drape.lining[:, 1])
    trunk = across <= corner_across_m(drape, "left")
    outwards[trunk, :2] = drape.lining[trunk, :2] / radius[trunk, None]
    sleeve = drape.lining - [0.0, 0.0, tubes.shoulder_height_m]
    sleeve[:, 0] = 0.0
    outwards[~trunk] = (sleeve / tubes.sleeve_radius_m)[~trunk]
    drape.outer[:] = drape.lining + APART_M * outwards
    lines = layer_lines(drape)
    # a whole turn; chords of 20 mm on 210 mm and 70 mm shorten both alike. (At the bust the stand-in's
    # sleeve tears off its trunk.)
    for place in ("waist", "hip", "hem"):
        assert lines[place].more_m == pytest.approx(2 * math.pi * APART_M, rel=0.002)
    for place in ("left sleeve", "right sleeve"):
        assert lines[place].more_m == pytest.approx(2 * math.pi * APART_M, rel=0.005)


def test_wrinkles_of_the_lining_are_bridged(make_tubes: Callable[..., Any]) -> None:
    drape = make_tubes(front_gap_m=0.0).drape
    drape.outer[:] = drape.lining
    # every other row across the trunk, 20 mm, pushed 5 mm in: longer along the cloth by 12 %
    x = np.abs(drape.panel.flat[:, 0])
    pushed = (np.round(x / 0.02) % 2 == 1) & (x < 0.2)
    drape.lining[pushed, :2] *= 1 - 0.005 / np.hypot(*drape.lining[pushed, :2].T)[:, None]
    for place in ("waist", "hip"):
        # a polygon of chords twice as long on 210 mm lies within the finer one by 0.1 % of its girth
        assert layer_lines(drape)[place].more_m == pytest.approx(0.0, abs=0.003)


def test_over_a_round_bar_the_outer_is_longer_by_half_a_turn(
    make_tubes: Callable[..., Any],
) -> None:
    drape = make_tubes().drape
    x, v = drape.panel.flat.T
    bar_m = 0.08
    angle = np.clip(v / bar_m, -math.pi / 2, math.pi / 2)
    hanging_m = np.abs(v - bar_m * angle)

    def laid(radius_m: float) -> Any:
        return np.stack(
            [x, radius_m * np.sin(angle), 1.2 + radius_m * np.cos(angle) - hanging_m], axis=1
        )

    drape.lining[:], drape.outer[:] = laid(bar_m), laid(bar_m + APART_M)
    line = layer_lines(drape)["over the shoulder"]
    assert line.more_m == pytest.approx(math.pi * APART_M, rel=0.005)


def test_a_level_below_the_hem_has_no_line(make_tubes: Callable[..., Any]) -> None:
    drape = make_tubes(cut=replace(make_tubes().cut, length_m=1.0)).drape
    lines = layer_lines(drape)
    assert "hip" not in lines
    assert lines["hem"].more_m == pytest.approx(0.0, abs=1e-9)


def test_the_turn_is_that_of_half_of_each_thickness() -> None:
    kinds = library()
    turn = turn_of_cloth(kinds["long pile"], kinds["light plush"])
    # 15 and 3.5 mm
    assert turn.apart_m == pytest.approx(0.00925)
    assert turn.round_m == pytest.approx(0.0581, abs=1e-4)
    assert turn.fold_m == pytest.approx(turn.round_m / 2)


def test_a_sleeve_tells_its_room_and_its_turn_of_cloth_on_any_mesh() -> None:
    """A lining that lacks room does not fold as deep as edges are long."""
    mannequin, pattern = build_mannequin(tape_of(REFERENCE)), build_pattern(cut_for(REFERENCE))
    drapes = [
        run(settle(pattern, *cloths(REFERENCE), mannequin, REFERENCE.pose, edge_m))
        for edge_m in (0.024, 0.03)
    ]
    for station in STATIONS[:3]:
        fine, coarse = (sleeve_room(drape, "left", station) for drape in drapes)
        assert fine is not None
        assert coarse is not None
        assert coarse.inner_girth_m == pytest.approx(fine.inner_girth_m, abs=0.002)
    # coarse layers lie farther apart by how far an edge dips round an arm: h² / 8 R, up to 2 mm
    expected_m = turn_of_cloth(*cloths(REFERENCE)).round_m
    for drape in drapes:
        assert layer_lines(drape)["left sleeve"].more_m == pytest.approx(expected_m, abs=0.012)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Folds: waves of known number and depth on ovals, and none on a plain tube."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.arrays import FloatArray
from napfold.core.folds import SMOOTHED_M, measure_folds, waves


def waving(count: int, depth_m: float, *, oval: float = 0.75, turn: float = 0.0) -> FloatArray:
    """Round an open oval, 1.3 m long or so, with even waves: (n, 3), counter-clockwise."""
    share = np.linspace(0.0, 1.0, 400)
    angle = -math.pi / 2 + 2 * math.pi * (0.02 + 0.96 * share)
    radius = 0.22 + depth_m / 2 * np.sin(2 * math.pi * count * share)
    x, y = radius * np.cos(angle), oval * radius * np.sin(angle)
    cos, sin = math.cos(turn), math.sin(turn)
    return np.stack([cos * x - sin * y, sin * x + cos * y, np.zeros(400)], axis=1)


@pytest.mark.parametrize("count", [5, 7, 10, 14])
@pytest.mark.parametrize("depth_m", [0.02, 0.04])
def test_waves_are_counted_and_their_depth_read(count: int, depth_m: float) -> None:
    folds = waves(waving(count, depth_m, oval=1.0))
    assert folds.count == count
    # the smooth line takes a little of the widest waves
    assert folds.depth_m == pytest.approx(depth_m, rel=0.12)


@pytest.mark.parametrize(("depth_m", "length_m"), [(0.03, 0.20), (0.02, 0.15), (0.04, 0.30)])
def test_a_wave_bends_as_sharply_as_a_sine(depth_m: float, length_m: float) -> None:
    """On an arc so wide that it hardly bends: a k² at the crests, less what smoothing takes."""
    along = np.linspace(0.0, 1.8, 1500)
    wave, wide = 2 * math.pi / length_m, 20.0
    radius = wide + depth_m / 2 * np.sin(wave * along)
    turn = along / wide
    line = np.stack([radius * np.cos(turn), radius * np.sin(turn), np.zeros(1500)], axis=1)
    smoothed = depth_m / 2 * math.exp(-0.5 * (SMOOTHED_M * wave) ** 2)
    # where the sine is at nine tenths of its quarter turn; slopes bend it a little
    place = 0.9 * math.pi / 2
    curvature = smoothed * wave**2 * math.sin(place)
    curvature /= (1 + (smoothed * wave * math.cos(place)) ** 2) ** 1.5
    assert waves(line).sharp_radius_m == pytest.approx(1 / curvature, rel=0.06)


@given(st.floats(0.6, 1.2), st.floats(0.0, 6.3))
def test_an_oval_without_waves_has_no_folds(oval: float, turn: float) -> None:
    folds = waves(waving(0, 0.0, oval=oval, turn=turn))
    assert folds.count == 0
    assert folds.depth_m < 0.004


@given(st.integers(6, 12), st.floats(0.7, 1.0), st.floats(0.0, 6.3))
def test_turning_the_body_changes_nothing(count: int, oval: float, turn: float) -> None:
    still, turned = (
        waves(waving(count, 0.03, oval=oval)),
        waves(waving(count, 0.03, oval=oval, turn=turn)),
    )
    assert still.count == turned.count == count
    assert turned.depth_m == pytest.approx(still.depth_m)
    assert turned.hem_m == pytest.approx(still.hem_m)
    assert turned.sharp_radius_m == pytest.approx(still.sharp_radius_m)


def test_a_tube_has_no_folds_and_its_hem_is_its_cloth(make_tubes: Callable[..., Any]) -> None:
    tubes = make_tubes()
    folds = measure_folds(tubes.drape)
    assert folds.count == 0
    # chords of 20 mm on a radius of 0.22 m are short by (h/R)²/24
    assert folds.hem_m == pytest.approx(2 * tubes.cut.body_width_m, rel=4e-4)
    assert folds.sharp_radius_m == pytest.approx(tubes.girth_radius_m, rel=0.03)


def test_waves_put_on_the_tube_are_found(make_tubes: Callable[..., Any]) -> None:
    drape = make_tubes().drape
    flat, edges = drape.panel.flat, drape.panel.edges
    for name in ("hem_front_left", "hem_back", "hem_front_right"):
        chain = edges[name]
        x = flat[chain, 0]
        # six waves on each half, symmetric left and right, continuous at the sides
        swell = 1 + 0.08 * np.sin(2 * math.pi * 6 * np.abs(x) / 0.66) ** 2
        drape.outer[chain, :2] *= swell[:, None]
    assert measure_folds(drape).count == 24

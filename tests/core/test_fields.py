# SPDX-License-Identifier: GPL-3.0-or-later
"""Fields on a ball, where the stretch of a flat sheet is known, and the scale that shows them."""

import math
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from napfold.core.cloth import library
from napfold.core.colour_scale import ANCHORS, colours, lightness
from napfold.core.drape.pieces import filled_rectangle, sheet
from napfold.core.fields import measure_fields

RADIUS_M = 0.3


def test_a_flat_sheet_on_a_ball_shrinks_round_its_middle_and_not_outwards() -> None:
    flat, triangles = filled_rectangle(0.4, 0.4, 0.01)
    panel = sheet(flat - 0.2, triangles, 0.01)
    # every way out from the middle keeps its length, so circles shrink: by sin(a) / a at the angle a
    out = np.hypot(*panel.flat.T)
    angle = out / RADIUS_M
    way = panel.flat / np.maximum(out, 1e-12)[:, None]
    place = RADIUS_M * np.column_stack([np.sin(angle)[:, None] * way, np.cos(angle)])
    drape = SimpleNamespace(panel=panel, outer=place, outer_cloth=library()["light plush"])
    found = measure_fields(drape, lambda points: np.linalg.norm(points, axis=1) - 0.28)
    right = (np.abs(panel.flat[:, 1]) < 0.01) & (panel.flat[:, 0] > 0.1)
    right &= panel.flat[:, 0] < 0.18
    turn = panel.flat[right, 0] / RADIUS_M
    np.testing.assert_allclose(found.stretch_across[right], 0.0, atol=2e-3)
    np.testing.assert_allclose(found.stretch_along[right], np.sin(turn) / turn - 1, atol=4e-3)
    # 20 mm from a ball of 280 mm, and half of 3.5 mm of thickness
    np.testing.assert_allclose(found.stand_off_m, 0.02 + 0.00175, atol=1e-9)


def test_stretched_cloth_shows_its_stretch(make_tubes: Callable[..., Any]) -> None:
    tubes = make_tubes()
    drape = tubes.drape
    hanging = np.abs(drape.panel.flat[:, 1]) > 0.37
    drape.outer[:, 2] *= 1.04
    found = measure_fields(drape, tubes.skin_distance)
    np.testing.assert_allclose(found.stretch_along[hanging], 0.04, atol=1e-3)
    # chords of 20 mm on 210 mm
    np.testing.assert_allclose(found.stretch_across[hanging], 0.0, atol=7e-4)


def test_the_scale_falls_evenly_in_lightness_and_so_reads_in_grey() -> None:
    light = lightness(colours(np.linspace(-1.0, 3.0, 9), -1.0, 3.0))
    steps = -np.diff(light)
    assert light[0] - light[-1] > 80
    np.testing.assert_allclose(steps, steps.mean(), rtol=0.05)
    np.testing.assert_allclose(colours(np.array([-5.0, 9.0]), 0.0, 1.0), [ANCHORS[0], ANCHORS[-1]])
    assert lightness(np.array([[1.0, 1.0, 1.0]]))[0] == pytest.approx(100.0, abs=0.01)
    # mid grey of screens: L* 53.6 (CIE)
    assert lightness(np.full((1, 3), 128 / 255))[0] == pytest.approx(53.6, abs=0.05)
    assert math.isclose(lightness(np.zeros((1, 3)))[0], 0.0, abs_tol=1e-9)

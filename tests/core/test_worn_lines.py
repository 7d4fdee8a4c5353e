# SPDX-License-Identifier: GPL-3.0-or-later
"""Lines to be drawn on a drape, where round tubes tell where they must lie."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from napfold.core.worn_lines import hem_segments, room_rings, section

Make = Callable[..., Any]


def length_m(segments: np.ndarray) -> float:
    return float(np.linalg.norm(segments[:, 1] - segments[:, 0], axis=1).sum())


def test_the_hem_goes_once_round(make_tubes: Make) -> None:
    tubes = make_tubes()
    hem = hem_segments(tubes.drape)
    np.testing.assert_allclose(np.hypot(*hem.reshape(-1, 3)[:, :2].T), tubes.girth_radius_m)
    np.testing.assert_allclose(hem[..., 2], tubes.shoulder_height_m - tubes.cut.length_m / 2)
    # twice the body width, on chords of 2 cm: shorter by (s/r)²/24
    assert length_m(hem) == pytest.approx(2 * tubes.cut.body_width_m, rel=1e-3)


def test_rings_lie_round_arm_and_sleeve(make_tubes: Make) -> None:
    tubes = make_tubes()
    rings = room_rings(tubes.drape)
    assert {(ring.side, ring.station) for ring in rings} >= {
        ("left", "elbow"),
        ("right", "elbow"),
        ("left", "wrist"),
    }
    for ring in rings:
        assert length_m(ring.skin) == pytest.approx(2 * math.pi * tubes.arm_radius_m, rel=5e-3)
        assert length_m(ring.cloth) == pytest.approx(2 * tubes.cut.sleeve_drop_m, rel=5e-3)
        assert np.ptp(ring.cloth[..., 0]) < 1e-9  # on one plane across the arm


def test_a_section_is_level_and_has_the_girths(make_tubes: Make) -> None:
    tubes = make_tubes()
    height_m = tubes.shoulder_height_m - 0.45
    parts = section(tubes.drape, height_m)
    assert set(parts) == {"body", "lining", "outer"}
    for segments in parts.values():
        np.testing.assert_allclose(segments[..., 2], height_m, atol=1e-12)
    assert length_m(parts["outer"]) == pytest.approx(2 * tubes.cut.body_width_m, rel=1e-3)
    assert length_m(parts["body"]) == pytest.approx(2 * math.pi * 0.15, rel=5e-3)

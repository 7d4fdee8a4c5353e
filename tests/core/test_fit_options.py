# SPDX-License-Identifier: GPL-3.0-or-later
"""What fit asks of the flat mesh holds for every option of the cut."""

import math
from functools import cache
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from napfold.core.hem_curve import hem_line
from napfold.core.hung_length import hung_length
from napfold.core.layer_lengths import layer_lines
from napfold.core.panels import PanelMesh, build_panel_mesh
from napfold.core.pattern import Corner, Front, build_pattern
from napfold.core.sleeve_room import corner_across_m, fold_marks, sleeve_start_m

from .options import CUTS

EDGE_M = 0.02


@cache
def panel(name: str) -> PanelMesh:
    return build_panel_mesh(build_pattern(CUTS[name]), EDGE_M)


def laid(name: str) -> Any:
    """A stand-in that hangs plumb from its shoulder line."""
    mesh = panel(name)
    x, v = mesh.flat.T
    place = np.stack([x, np.zeros_like(x), 1.40 - np.abs(v)], axis=1)
    marks = {"side_neck_point_left": 1.40, "bust": 1.22, "waist": 1.05, "hip": 0.86}
    body = SimpleNamespace(
        landmarks={key: np.array([0.0, 0.0, height]) for key, height in marks.items()}
    )
    return SimpleNamespace(panel=mesh, outer=place, lining=place, body=body)


@pytest.mark.parametrize("name", CUTS)
def test_the_corner_lies_in_the_middle_of_its_turn(name: str) -> None:
    cut, drape = CUTS[name], laid(name)
    side_m, size_m = cut.body_width_m / 2, cut.corner_radius_m
    for side in ("left", "right"):
        corner, start = corner_across_m(drape, side), sleeve_start_m(drape, side)
        if cut.corner is Corner.SQUARE:
            expected = (0.0, 0.0)
        elif cut.corner is Corner.DIAGONAL:
            expected = (size_m / 2, size_m)
        else:
            expected = (size_m * (1 - math.sqrt(0.5)), size_m)
        # vertices lie an edge apart; tapered sleeves and flared sides turn by less than a right angle,
        # and a flared side is a little wider where its corner begins
        near_m = 1.6 * EDGE_M + 0.3 * cut.side_flare_m
        assert corner - side_m == pytest.approx(expected[0], abs=near_m)
        assert start - side_m == pytest.approx(expected[1], abs=near_m)
        assert start >= corner


@pytest.mark.parametrize("name", CUTS)
def test_the_top_of_the_sleeve_is_found_with_fold_or_seam(name: str) -> None:
    drape, cut = laid(name), CUTS[name]
    joints = np.array([[at, 0.0, 1.40] for at in (0.18, 0.45, 0.70, 0.78)])
    across, along = fold_marks(drape, "left", joints)
    assert across.max() == pytest.approx(cut.wrist_m, abs=1e-9)
    np.testing.assert_allclose(along, across - 0.18, atol=1e-6)


@pytest.mark.parametrize("name", CUTS)
def test_hem_and_lengths_are_read_whatever_was_chosen(name: str) -> None:
    drape, cut = laid(name), CUTS[name]
    line, along = hem_line(drape)
    hem_m = 4 * (cut.hem_side_m + (cut.overlap_half_m if cut.front is Front.OVERLAPPING else 0) / 2)
    assert along[-1] == pytest.approx(hem_m, abs=1e-6)
    assert len(line) == len(along)
    for half in ("front", "back"):
        found = hung_length(drape, half)
        # plumb cloth loses nothing
        assert found.drop_m == pytest.approx(found.flat_m, abs=1e-9)
        for part in ("stretched_m", "over_shoulder_m", "aslant_m"):
            # the way down is told apart to a nanometre
            assert getattr(found, part) == pytest.approx(0.0, abs=1e-7)
    for place in layer_lines(drape).values():
        assert place.more_m == pytest.approx(0.0, abs=1e-12)

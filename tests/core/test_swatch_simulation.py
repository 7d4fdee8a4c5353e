# SPDX-License-Identifier: GPL-3.0-or-later
"""The loop from the ruler to the drape: a quick part of `build.py validate swatch`."""

import numpy as np
import pytest
from napfold.core.cloth import library
from napfold.core.drape.pieces import filled_rectangle, joined, mirrored
from napfold.core.swatch_simulation import piece_mass_kg, stack_height_m, strip_angle

from ..rows import missed
from ..validate import swatches


def test_simulated_swatch_tests_give_the_cloths_figures_back() -> None:
    rows = swatches.swatches(("light plush",))
    assert sum(row.passed is not None for row in rows) == 13
    assert missed(rows) == []


def test_a_strip_hangs_lower_the_farther_it_juts_out() -> None:
    cloth = library()["curly pile"]
    angles = [strip_angle(cloth, "across", out_m) for out_m in (0.02, 0.04)]
    assert 0 < angles[0] < angles[1] < np.pi / 2


def test_a_piece_weighs_its_area() -> None:
    cloth = library()["heavy fleece"]
    assert piece_mass_kg(cloth, 0.3, 0.2) == pytest.approx(0.06 * 0.31, rel=1e-12)
    assert stack_height_m(cloth, 4, 0.0) == pytest.approx(4 * 0.0045)


def test_joined_meshes_share_the_vertices_of_their_common_side() -> None:
    first = filled_rectangle(0.1, 0.04, 0.01)
    flat, triangles = filled_rectangle(0.05, 0.04, 0.01)
    whole, corners = joined([first, (np.add(flat, (0.1, 0.0)), triangles)])
    assert len(whole) == len(first[0]) + len(flat) - 5  # 4 cm in edges of 1 cm
    edges = whole[corners][:, 1:] - whole[corners][:, :1]
    areas = (edges[:, 0, 0] * edges[:, 1, 1] - edges[:, 0, 1] * edges[:, 1, 0]) / 2
    assert areas.min() > 0
    assert areas.sum() == pytest.approx(0.15 * 0.04)
    both, _ = mirrored(whole, corners)
    assert len(both) == 2 * len(whole) - 5

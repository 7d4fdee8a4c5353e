# SPDX-License-Identifier: GPL-3.0-or-later
"""One mesh moved to another cut."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.panels import PanelMesh, build_panel_mesh
from napfold.core.pattern import Cut, build_pattern
from napfold.core.recut import recut

from .options import CUTS, PLAIN

EDGE_M = 0.03
CUT = Cut(
    cloth_width_m=1.47,
    length_m=1.2,
    body_width_m=0.66,
    sleeve_drop_m=0.21,
    corner_radius_m=0.10,
)


def area_m2(panel: PanelMesh) -> float:
    corners = panel.flat[panel.triangles]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    return float((first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]).sum() / 2)


@pytest.fixture(scope="module")
def panel() -> PanelMesh:
    return build_panel_mesh(build_pattern(CUT), EDGE_M)


@settings(max_examples=25, deadline=None)
@given(
    length=st.floats(-0.05, 0.05),
    drop=st.floats(-0.02, 0.03),
    body=st.floats(-0.03, 0.04),
    width=st.floats(-0.06, 0.06),
)
def test_a_moved_mesh_is_a_mesh_of_the_new_cut(
    panel: PanelMesh, length: float, drop: float, body: float, width: float
) -> None:
    """Area within what polygons miss of the arcs; seams and mirror image as exact as before."""
    cut = replace(
        CUT,
        length_m=CUT.length_m + length,
        sleeve_drop_m=CUT.sleeve_drop_m + drop,
        body_width_m=CUT.body_width_m + body,
        cloth_width_m=CUT.cloth_width_m + width,
    )
    pattern = build_pattern(cut)
    moved = recut(panel, pattern)
    assert moved is not None
    np.testing.assert_array_equal(moved.triangles, panel.triangles)
    missed = abs(area_m2(panel) - build_pattern(CUT).area_m2)
    assert abs(area_m2(moved) - pattern.area_m2) < missed + 2e-4
    np.testing.assert_array_equal(moved.flat[moved.mirror], moved.flat * (-1, 1))
    front, back = moved.seam_pairs.T
    np.testing.assert_allclose(moved.flat[front], moved.flat[back] * (1, -1), atol=1e-12)
    for name, edge in pattern.edges.items():
        ends = moved.flat[moved.edges[name][[0, -1]]]
        np.testing.assert_allclose(ends, [edge.start, edge.end], atol=1e-12)


def test_a_far_longer_cut_needs_a_mesh_of_its_own(panel: PanelMesh) -> None:
    assert recut(panel, build_pattern(replace(CUT, length_m=2 * CUT.length_m))) is None


@pytest.mark.parametrize("name", CUTS)
def test_a_mesh_of_every_option_is_moved_to_a_longer_cut(name: str) -> None:
    cut = CUTS[name]
    mesh = build_panel_mesh(build_pattern(cut), EDGE_M)
    pattern = build_pattern(
        replace(cut, length_m=cut.length_m + 0.04, sleeve_drop_m=cut.sleeve_drop_m + 0.01)
    )
    moved = recut(mesh, pattern)
    assert moved is not None
    missed = abs(area_m2(mesh) - build_pattern(cut).area_m2)
    assert abs(area_m2(moved) - pattern.area_m2) < missed + 2e-4
    np.testing.assert_array_equal(moved.flat[moved.mirror], moved.flat * (-1, 1))
    front, back = moved.seam_pairs.T
    np.testing.assert_allclose(moved.flat[front], moved.flat[back] * (1, -1), atol=1e-12)


@pytest.mark.parametrize("name", ["closed", "seamed", "split", "overlapping"])
def test_another_set_of_edges_needs_a_mesh_of_its_own(panel: PanelMesh, name: str) -> None:
    assert recut(panel, build_pattern(CUTS[name])) is None
    mesh = build_panel_mesh(build_pattern(CUTS[name]), EDGE_M)
    assert recut(mesh, build_pattern(PLAIN)) is None


def test_fronts_that_begin_to_overlap_need_a_mesh_of_their_own() -> None:
    mesh = build_panel_mesh(build_pattern(CUTS["seamed"]), EDGE_M)
    assert recut(mesh, build_pattern(CUTS["overlapping"])) is None


def test_shoulders_that_begin_to_slope_move_half_by_half() -> None:
    mesh = build_panel_mesh(build_pattern(CUTS["seamed"]), EDGE_M)
    pattern = build_pattern(replace(CUTS["seamed"], shoulder_drop_m=0.03))
    moved = recut(mesh, pattern)
    assert moved is not None
    missed = abs(area_m2(mesh) - build_pattern(CUTS["seamed"]).area_m2)
    assert abs(area_m2(moved) - pattern.area_m2) < missed + 2e-4

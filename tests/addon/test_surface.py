# SPDX-License-Identifier: GPL-3.0-or-later
"""The drawn layers lie where the drape lies, in their order, with closed rims and seams that do not show."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

pytest.importorskip("bpy")

from napfold.blender_addon.scene.surface import (
    ALLOWANCE_M,
    GROUND_THICKNESS_M,
    Sheet,
    draw_layers,
    stretch_frames,
)

from .flat_cloth import border, grid

pytestmark = pytest.mark.addon

NO_PAIRS = np.zeros((0, 2), dtype=np.int64)


def without_seams(
    flat: np.ndarray,
    triangles: np.ndarray,
    layers: tuple[np.ndarray, np.ndarray],
    thickness_m: tuple[float, float],
) -> tuple[Sheet, Sheet]:
    """Outer and lining of a rectangle as they are drawn, joined at its rim alone."""
    outer_m, lining_m = thickness_m
    return draw_layers(
        flat,
        triangles,
        NO_PAIRS,
        border(flat),
        *layers,
        thickness_outer_m=outer_m,
        thickness_lining_m=lining_m,
    )


class TestLayers:
    def test_the_ground_lies_half_a_thickness_inside_the_middle_surface(self) -> None:
        flat, triangles = grid(0.4, 0.4, 0.02)
        outer = np.column_stack([flat, np.full(len(flat), 0.010)])
        lining = np.column_stack([flat, np.zeros(len(flat))])
        drawn_outer, drawn_lining = without_seams(flat, triangles, (outer, lining), (0.012, 0.006))
        inside = drawn_outer.rim_distance > 0.03
        # 12 and 6 mm of cloth with their middles 10 mm apart leave 1 mm of air between the grounds
        np.testing.assert_allclose(
            drawn_outer.positions[inside, 2], 0.010 - 0.006 + GROUND_THICKNESS_M, atol=1e-12
        )
        np.testing.assert_allclose(
            drawn_lining.positions[inside, 2], 0.003 - GROUND_THICKNESS_M, atol=1e-12
        )
        np.testing.assert_allclose(drawn_outer.normals[inside] @ [0, 0, 1], 1.0)
        np.testing.assert_allclose(drawn_lining.normals[inside] @ [0, 0, -1], 1.0)

    def test_layers_pressed_together_keep_their_order(self) -> None:
        flat, triangles = grid(0.4, 0.4, 0.02)
        outer = np.column_stack([flat, np.full(len(flat), 0.002)])
        lining = np.column_stack([flat, np.zeros(len(flat))])
        drawn_outer, drawn_lining = without_seams(flat, triangles, (outer, lining), (0.020, 0.004))
        gap = (drawn_outer.positions - drawn_lining.positions)[:, 2]
        inside = drawn_outer.rim_distance > 0.03
        np.testing.assert_allclose(gap[inside], 2 * GROUND_THICKNESS_M, atol=1e-12)
        assert gap.min() >= -1e-12

    @pytest.mark.parametrize(
        ("depth_m", "drawn_m"), [(0.003, -2 * GROUND_THICKNESS_M), (0.01, 0.01)]
    )
    def test_a_slid_lining_is_put_inside_where_the_meshes_only_just_cut(
        self, depth_m: float, drawn_m: float
    ) -> None:
        """3 mm through the outer is the coarse mesh; 10 mm is a fault and stays to be seen."""
        flat, triangles = grid(0.4, 0.4, 0.02)
        outer = np.column_stack([flat, np.zeros(len(flat))])
        lining = outer + np.array([0.016, 0.0, depth_m])
        sheets = without_seams(flat, triangles, (outer, lining), (0.004, 0.004))
        inside = sheets[1].rim_distance > 0.04
        np.testing.assert_allclose(sheets[1].positions[inside, 2], drawn_m, atol=1e-12)
        np.testing.assert_allclose(sheets[0].positions[inside, 2], 0.0, atol=1e-12)

    def test_the_rim_is_closed_and_faces_outward(self) -> None:
        flat, triangles = grid(0.4, 0.4, 0.02)
        outer = np.column_stack([flat, np.full(len(flat), 0.006)])
        lining = np.column_stack([flat, np.zeros(len(flat))])
        drawn = without_seams(flat, triangles, (outer, lining), (0.006, 0.006))
        rim = drawn[0].rim_distance == 0
        assert rim.sum() > 4 * 0.4 / 0.02
        np.testing.assert_allclose(drawn[0].positions[rim], drawn[1].positions[rim], atol=1e-12)
        east = rim & (drawn[0].flat[:, 0] > 0.199) & (np.abs(drawn[0].flat[:, 1]) < 0.15)
        for sheet in drawn:
            # outward, along the round edge that the sheet makes there
            assert (sheet.normals[east] @ [1, 0, 0]).min() > math.cos(math.radians(30))

    def test_rim_distance_is_the_distance_to_the_border(self) -> None:
        flat, triangles = grid(0.3, 0.2, 0.02)
        layer = np.column_stack([flat, np.zeros(len(flat))])
        sheet, _ = without_seams(flat, triangles, (layer, layer), (0.004, 0.004))
        exact = (np.array([0.15, 0.10]) - np.abs(sheet.flat)).min(axis=1)
        near = exact < 2 * ALLOWANCE_M
        np.testing.assert_allclose(sheet.rim_distance[near], exact[near], atol=1e-12)

    def test_smoothing_follows_a_cylinder(self) -> None:
        """Halving chords of 20 mm on a 60 mm cylinder leaves far less than their 0.83 mm sag."""
        radius, edge = 0.06, 0.02
        flat, triangles = grid(0.16, 0.2, edge)
        angle = flat[:, 0] / radius
        layer = np.column_stack([radius * np.sin(angle), flat[:, 1], radius * np.cos(angle)])
        sheet, _ = draw_layers(
            flat,
            triangles,
            NO_PAIRS,
            np.zeros(0, dtype=np.int64),
            layer,
            layer,
            thickness_outer_m=0.0,
            thickness_lining_m=0.0,
        )
        sag = radius * (1 - math.cos(edge / radius / 2))
        away = np.hypot(sheet.positions[:, 0], sheet.positions[:, 2]) - radius
        inner = np.abs(sheet.flat).max(axis=1) < 0.05
        assert np.abs(away[inner]).max() < 0.05 * sag

    def test_a_seam_is_no_crease(self) -> None:
        """A tube sewn from a sheet has the same normals on both sides of its seam."""
        radius = 0.16 / (2 * math.pi)
        flat, triangles = grid(0.16, 0.1, 0.02)
        angle = flat[:, 0] / radius
        tube = np.column_stack([radius * np.sin(angle), flat[:, 1], radius * np.cos(angle)])
        left = np.flatnonzero(np.abs(flat[:, 0] + 0.08) < 1e-9)
        right = np.flatnonzero(np.abs(flat[:, 0] - 0.08) < 1e-9)
        sheet, _ = draw_layers(
            flat,
            triangles,
            np.stack([left, right], axis=1),
            np.zeros(0, dtype=np.int64),
            tube,
            tube,
            thickness_outer_m=0.0,
            thickness_lining_m=0.0,
        )
        order = [
            side[np.argsort(sheet.flat[side, 1])]
            for side in (
                np.flatnonzero(np.abs(sheet.flat[:, 0] + 0.08) < 1e-9),
                np.flatnonzero(np.abs(sheet.flat[:, 0] - 0.08) < 1e-9),
            )
        ]
        np.testing.assert_allclose(sheet.positions[order[0]], sheet.positions[order[1]], atol=1e-9)
        np.testing.assert_allclose(sheet.normals[order[0]], sheet.normals[order[1]], atol=1e-9)

    @settings(max_examples=25, deadline=None)
    @given(st.lists(st.floats(-2, 2), min_size=6, max_size=6))
    def test_stretch_frames_recover_an_affine_map(self, entries: list[float]) -> None:
        flat, triangles = grid(0.2, 0.2, 0.1)
        matrix = np.array(entries).reshape(3, 2)
        frames = stretch_frames(flat @ matrix.T, flat, triangles)
        np.testing.assert_allclose(frames, np.tile(matrix, (len(triangles), 1, 1)), atol=1e-9)

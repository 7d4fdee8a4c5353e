# SPDX-License-Identifier: GPL-3.0-or-later
"""Pile as strands: how many, how long, which way they lean, and that they stay on their side."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

pytest.importorskip("bpy")

from napfold.blender_addon.scene.pile import grow, room_over
from napfold.blender_addon.scene.pile_styles import pile_style
from napfold.blender_addon.scene.surface import Sheet
from napfold.core.cloth import library
from napfold.core.mannequin.supports import Support
from napfold.core.nap import NapDown

from .flat_cloth import grid, level_sheet

pytestmark = pytest.mark.addon

PILE_KINDS = ("curly pile", "flannel fleece", "velour knit", "medium fleece", "microfleece")


class TestPile:
    def test_density_and_spread(self) -> None:
        style = replace(pile_style(0.003), strands_per_m2=50_000)
        strands = grow(level_sheet(), style, pile_height_m=0.003, thickness_m=0.0035)
        assert len(strands.points) == round(0.2 * 0.3 * 50_000)
        counts, _, _ = np.histogram2d(
            strands.points[:, 0, 0], strands.points[:, 0, 1], bins=(10, 15)
        )
        # stratified: every 2 by 2 cm cell has close to its 20 strands
        np.testing.assert_allclose(counts, 20, atol=6)

    def test_same_seed_same_strands(self) -> None:
        sheet, style = level_sheet(), replace(pile_style(0.03), strands_per_m2=20_000)
        first, second, other = (
            grow(sheet, style, pile_height_m=0.03, thickness_m=0.015, seed=seed).points
            for seed in (3, 3, 4)
        )
        np.testing.assert_array_equal(first, second)
        assert not np.array_equal(first, other)

    def test_pile_lies_flat_between_cloth_and_cloth(self) -> None:
        """Two layers pile to pile, 12 mm apart: 20 mm of pile ends at the middle, 6 mm up, on either side."""
        one = level_sheet(0.01)
        count, across = len(one.flat), np.array([1.0, -1.0, -1.0])
        facing = Sheet(
            np.concatenate([one.positions, one.positions * across + [0, 0, 0.012]]),
            np.concatenate([one.normals, -one.normals]),
            np.concatenate([one.flat, one.flat + np.array([1.0, 0.0])]),
            np.concatenate([one.triangles, one.triangles[:, ::-1] + count]),
            np.ones(2 * count),
        )
        room = room_over(facing, 0.036)
        np.testing.assert_allclose(room, 0.012, atol=1e-6)
        assert room_over(one, 0.036) is None
        style = replace(pile_style(0.02), strands_per_m2=20_000, cling=0.0)
        how = {"pile_height_m": 0.02, "thickness_m": 0.018}
        height = grow(facing, style, **how).points[..., 2].max(axis=1)
        low = grow(facing, style, **how).points[:, 0, 2] < 0.006
        assert np.quantile(height[low], 0.9) < 1.5 * 0.006  # with its ruffle
        assert np.median(height[low]) == pytest.approx(0.006, abs=0.0015)
        assert np.median(grow(one, style, **how).points[..., 2].max(axis=1)) > 0.013

    def test_pile_lies_flat_on_what_it_rests_on_and_stands_elsewhere(self) -> None:
        """Pile downwards, 4 mm over a bed under its left half; pile upwards the bed does not count."""
        level = level_sheet(0.01)
        down = replace(
            level,
            positions=level.positions + np.array([0.0, 0.0, 0.504]),
            normals=-level.normals,
            triangles=level.triangles[:, ::-1],
        )
        bed = Support(
            name="bed",
            centre=np.array([-0.5, 0.0, 0.25]),
            rotation=np.eye(3),
            half_size_m=np.array([0.5, 1.0, 0.25]),
            edge_radius_m=0.02,
            approach=np.array([0.0, 0.0, 1.0]),
        )
        style = replace(pile_style(0.02), strands_per_m2=40_000, cling=0.0, droop=0.0, ruffle=0.0)
        how = {"pile_height_m": 0.02, "thickness_m": 0.018}
        points = grow(down, style, **how, supports=(bed,)).points
        depth = 0.504 - points[..., 2].min(axis=1)
        on, off = points[:, 0, 0] < -0.03, points[:, 0, 0] > 0.03
        assert depth[on].max() < 1.25 * 0.004  # with its bend
        assert np.median(depth[off]) > 0.011
        up = replace(down, normals=level.normals, triangles=level.triangles)
        np.testing.assert_array_equal(
            grow(up, style, **how, supports=(bed,)).points, grow(up, style, **how).points
        )

    def test_a_fleece_is_pebbled_and_hazy_and_a_microfleece_even(self) -> None:
        """Medium fleece differs in height from place to place and has strands that stand out of it."""
        sheet = level_sheet()
        share, rough = {}, {}
        for kind in ("medium fleece", "microfleece"):
            cloth = library()[kind]
            style = pile_style(cloth.pile_height_m, kind)
            how = {"pile_height_m": cloth.pile_height_m, "thickness_m": cloth.thickness_m}
            top = grow(sheet, style, **how).points[..., 2].max(axis=1)
            share[kind] = (top > 1.2 * cloth.pile_height_m).mean()
            rough[kind] = top.std() / top.mean()
        assert share["medium fleece"] > 0.05
        assert share["microfleece"] == 0.0
        assert rough["medium fleece"] > 3 * rough["microfleece"]

    @pytest.mark.parametrize("nap", NapDown)
    @pytest.mark.parametrize("pile_height_m", [0.003, 0.010, 0.045])
    def test_strands_lean_with_the_nap_and_are_no_longer_than_the_pile(
        self, pile_height_m: float, nap: NapDown
    ) -> None:
        style = replace(pile_style(pile_height_m), strands_per_m2=20_000)
        strands = grow(
            level_sheet(),
            style,
            pile_height_m=pile_height_m,
            thickness_m=0.6 * pile_height_m,
            nap=nap.stroke,
        )
        reach = strands.points[:, -1] - strands.points[:, 0]
        assert (reach[:, 1] * nap.stroke[1]).mean() > 0.3 * pile_height_m
        assert abs(reach[:, 0].mean()) < 0.1 * pile_height_m
        straight = replace(style, cling=0.0)
        strands = grow(
            level_sheet(), straight, pile_height_m=pile_height_m, thickness_m=0.6 * pile_height_m
        )
        length = np.linalg.norm(np.diff(strands.points, axis=1), axis=2).sum(axis=1)
        assert length.max() <= pile_height_m * (1 + 1e-9)
        assert length.min() >= style.shortest * pile_height_m * (1 - 1e-9)

    @settings(max_examples=20, deadline=None)
    @given(st.floats(0, math.pi), st.floats(0, 2 * math.pi))
    def test_no_strand_grows_into_its_ground(self, tilt: float, heading: float) -> None:
        """Whichever way a sheet faces, upside down included, its pile stays on its own side."""
        c, s, e, f = math.cos(tilt), math.sin(tilt), math.cos(heading), math.sin(heading)
        turn = np.array([[e, -f, 0], [f, e, 0], [0, 0, 1]]) @ [[1, 0, 0], [0, c, -s], [0, s, c]]
        level = level_sheet(0.05)
        sheet = replace(level, positions=level.positions @ turn.T, normals=level.normals @ turn.T)
        style = replace(pile_style(0.045), strands_per_m2=5_000, ruffle=0.0)
        strands = grow(sheet, style, pile_height_m=0.045, thickness_m=0.015)
        assert (strands.points @ turn[:, 2]).min() > -1e-9

    def test_long_pile_hangs_and_short_pile_does_not(self) -> None:
        """On a back that faces +y with the nap stroking up, only long pile falls over."""
        flat, triangles = grid(0.2, 0.3, 0.02)
        positions = np.column_stack([-flat[:, 0], np.zeros(len(flat)), -flat[:, 1]])
        sheet = Sheet(
            positions, np.tile([0.0, 1.0, 0.0], (len(flat), 1)), flat, triangles, np.ones(len(flat))
        )
        rise = {}
        for height_m in (0.003, 0.045):
            style = replace(pile_style(height_m), strands_per_m2=20_000)
            strands = grow(sheet, style, pile_height_m=height_m, thickness_m=0.6 * height_m)
            rise[height_m] = (strands.points[:, -1] - strands.points[:, 0])[:, 2].mean() / height_m
        assert rise[0.003] > 0.4
        assert rise[0.045] < 0.6 * rise[0.003]

    def test_tufts_do_not_reach_across_a_cut(self) -> None:
        """Two pieces that touch in the pattern but hang apart share no strand."""
        flat, triangles = grid(0.04, 0.2, 0.02)
        left = flat[:, 0] < 0
        middle = np.abs(flat[:, 0]) < 1e-9
        doubled = np.concatenate([flat, flat[middle]])
        twin = np.full(len(flat), -1)
        twin[middle] = len(flat) + np.arange(middle.sum())
        west = left[triangles].any(axis=1)[:, None] & (twin[triangles] >= 0)
        triangles = np.where(west, twin[triangles], triangles)
        apart = np.where(np.concatenate([left, np.ones(middle.sum(), bool)]), -0.3, 0.3)
        positions = np.column_stack([doubled[:, 0] + apart, doubled[:, 1], np.zeros(len(doubled))])
        up = np.tile([0.0, 0.0, 1.0], (len(doubled), 1))
        sheet = Sheet(positions, up, doubled, triangles, np.ones(len(doubled)))
        strands = grow(sheet, pile_style(0.045), pile_height_m=0.045, thickness_m=0.015)
        reach = np.linalg.norm(strands.points - strands.points[:, :1], axis=2)
        assert reach.max() < 0.045 + 2 * pile_style(0.045).tuft_m

    def test_styles_run_from_velvet_to_shag(self) -> None:
        styles = [pile_style(height_m) for height_m in (0.001, 0.004, 0.008, 0.016, 0.03, 0.06)]
        assert styles[0] == styles[1]
        assert styles[4] == styles[5]
        for name, sign in (("droop", 1), ("tuft_m", 1), ("softness", -1), ("strands_per_m2", -1)):
            values = sign * np.array([getattr(style, name) for style in styles[1:5]])
            assert (np.diff(values) > 0).all()

    def test_kinds_of_one_height_are_told_apart(self) -> None:
        # all five stand in the library with a pile of 1 to 7 mm
        made = [pile_style(0.004, kind) for kind in PILE_KINDS]
        assert len({pile_style(0.004), *made}) == len(PILE_KINDS) + 1
        assert set(PILE_KINDS) <= set(library())

    def test_only_curly_pile_winds_and_it_stays_above_its_ground(self) -> None:
        sheet = level_sheet()
        wound = {}
        for kind in PILE_KINDS:
            style = replace(pile_style(0.007, kind), strands_per_m2=20_000)
            points = grow(sheet, style, pile_height_m=0.007, thickness_m=0.007).points
            if kind == "curly pile":
                assert points[..., 2].min() >= sheet.positions[:, 2].min() - 1e-6
            along = np.linalg.norm(np.diff(points, axis=1), axis=2).sum(axis=1)
            apart = np.linalg.norm(points[:, -1] - points[:, 0], axis=1)
            wound[kind] = float(np.median(along / apart))
        assert wound.pop("curly pile") > 1.3
        assert max(wound.values()) < 1.1

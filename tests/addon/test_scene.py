# SPDX-License-Identifier: GPL-3.0-or-later
"""The scene: what is drawn lies where the drape lies, and every picture has the same frame."""

import math
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

bpy = pytest.importorskip("bpy")

from bpy_extras.object_utils import world_to_camera_view  # noqa: E402
from napfold.blender_addon import pictures  # noqa: E402
from napfold.blender_addon.scene import bridge, materials, studio, views  # noqa: E402
from napfold.blender_addon.scene.pile import grow, pile_style  # noqa: E402
from napfold.blender_addon.scene.surface import (  # noqa: E402
    ALLOWANCE_M,
    GROUND_THICKNESS_M,
    Sheet,
    draw_layers,
    stretch_frames,
)
from napfold.core.cloth import ClothChoice, library  # noqa: E402
from napfold.core.drape import Drape, save_drape  # noqa: E402
from napfold.core.errors import FileError  # noqa: E402
from napfold.core.job import load_job, save_job  # noqa: E402
from napfold.core.mannequin import POSES, build_mannequin  # noqa: E402
from napfold.core.nap import NapDown  # noqa: E402
from napfold.core.panels import build_panel_mesh  # noqa: E402
from napfold.core.pattern import Cut, build_pattern  # noqa: E402
from napfold.core.pictures.framing import camera_for  # noqa: E402
from napfold.core.pictures.shots import SHOTS  # noqa: E402
from napfold.core.tape import Tape  # noqa: E402

pytestmark = pytest.mark.addon

ROOT = Path(__file__).resolve().parents[2]
NO_PAIRS = np.zeros((0, 2), dtype=np.int64)
PILE_KINDS = ("curly pile", "flannel fleece", "velour knit", "medium fleece")


def grid(width_m: float, length_m: float, edge_m: float) -> tuple[np.ndarray, np.ndarray]:
    """A flat rectangle about the origin: (n, 2) and counter-clockwise triangles (t, 3)."""
    across, along = round(width_m / edge_m), round(length_m / edge_m)
    x, v = np.meshgrid(
        np.linspace(-width_m / 2, width_m / 2, across + 1),
        np.linspace(-length_m / 2, length_m / 2, along + 1),
    )
    at = np.arange((across + 1) * (along + 1)).reshape(along + 1, across + 1)
    a, b, c, d = (part.ravel() for part in (at[:-1, :-1], at[:-1, 1:], at[1:, 1:], at[1:, :-1]))
    triangles = np.concatenate([np.stack([a, b, c], 1), np.stack([a, c, d], 1)])
    return np.stack([x.ravel(), v.ravel()], axis=1), triangles


def border(flat: np.ndarray) -> np.ndarray:
    edge = np.abs(flat).max(axis=0)
    return np.flatnonzero((np.abs(np.abs(flat) - edge) < 1e-9).any(axis=1))


def level_sheet(edge_m: float = 0.02) -> Sheet:
    """20 by 30 cm of level cloth, pile up, far from any rim."""
    flat, triangles = grid(0.2, 0.3, edge_m)
    positions = np.column_stack([flat, np.zeros(len(flat))])
    up = np.tile([0.0, 0.0, 1.0], (len(flat), 1))
    return Sheet(positions, up, flat, triangles, np.ones(len(flat)))


@pytest.fixture
def stage() -> "bpy.types.Scene":
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    return bpy.context.scene


class TestLayers:
    def test_the_ground_lies_half_a_thickness_inside_the_middle_surface(self) -> None:
        flat, triangles = grid(0.4, 0.4, 0.02)
        outer = np.column_stack([flat, np.full(len(flat), 0.010)])
        lining = np.column_stack([flat, np.zeros(len(flat))])
        drawn_outer, drawn_lining = draw_layers(
            flat,
            triangles,
            NO_PAIRS,
            border(flat),
            outer,
            lining,
            thickness_outer_m=0.012,
            thickness_lining_m=0.006,
        )
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
        drawn_outer, drawn_lining = draw_layers(
            flat,
            triangles,
            NO_PAIRS,
            border(flat),
            outer,
            lining,
            thickness_outer_m=0.020,
            thickness_lining_m=0.004,
        )
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
        sheets = draw_layers(
            flat,
            triangles,
            NO_PAIRS,
            border(flat),
            outer,
            lining,
            thickness_outer_m=0.004,
            thickness_lining_m=0.004,
        )
        inside = sheets[1].rim_distance > 0.04
        np.testing.assert_allclose(sheets[1].positions[inside, 2], drawn_m, atol=1e-12)
        np.testing.assert_allclose(sheets[0].positions[inside, 2], 0.0, atol=1e-12)

    def test_the_rim_is_closed_and_faces_outward(self) -> None:
        flat, triangles = grid(0.4, 0.4, 0.02)
        outer = np.column_stack([flat, np.full(len(flat), 0.006)])
        lining = np.column_stack([flat, np.zeros(len(flat))])
        drawn = draw_layers(
            flat,
            triangles,
            NO_PAIRS,
            border(flat),
            outer,
            lining,
            thickness_outer_m=0.006,
            thickness_lining_m=0.006,
        )
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
        sheet, _ = draw_layers(
            flat,
            triangles,
            NO_PAIRS,
            border(flat),
            layer,
            layer,
            thickness_outer_m=0.004,
            thickness_lining_m=0.004,
        )
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
        # all four stand in the library with a pile of 1 to 7 mm
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


class TestBridge:
    @pytest.mark.parametrize("scale_length", [1.0, 0.01, 0.3048])
    def test_mesh_round_trip(self, stage: "bpy.types.Scene", scale_length: float) -> None:
        flat, triangles = grid(0.4, 0.3, 0.1)
        vertices = np.column_stack([flat, flat[:, 0] ** 2])
        thing = bridge.put_mesh(
            "Cloth", vertices, triangles, stage.collection, flat=flat, scale_length=scale_length
        )
        np.testing.assert_allclose(
            bridge.positions_of(thing.data, scale_length=scale_length), vertices, atol=1e-7
        )
        np.testing.assert_array_equal(bridge.triangles_of(thing.data), triangles)
        texture = np.zeros(6 * len(triangles), dtype=np.float32)
        thing.data.uv_layers[0].uv.foreach_get("vector", texture)
        np.testing.assert_allclose(texture.reshape(-1, 3, 2), flat[triangles], atol=1e-7)
        assert max(thing.dimensions) == pytest.approx(0.4 / scale_length, rel=1e-6)

    def test_curves_keep_points_radii_and_normals(self, stage: "bpy.types.Scene") -> None:
        points = np.random.default_rng(0).random((7, 4, 3))
        radii, normals = np.array([4e-4, 3e-4, 2e-4, 1e-4]), np.eye(3)[[0, 1, 2, 0, 1, 2, 0]]
        thing = bridge.put_curves(
            "Pile", points, radii, normals, stage.collection, scale_length=0.1
        )
        assert [len(curve.points) for curve in thing.data.curves] == [4] * 7
        read = np.zeros(84, dtype=np.float32)
        thing.data.attributes["position"].data.foreach_get("vector", read)
        np.testing.assert_allclose(read.reshape(7, 4, 3), points * 10, atol=1e-5)
        assert thing.data.curves[3].points[1].radius == pytest.approx(3e-3)
        kept = thing.data.attributes[bridge.PILE_NORMAL].data
        assert tuple(kept[4].vector) == (0.0, 1.0, 0.0)


class TestStudio:
    @pytest.mark.parametrize("name", ["front", "side", "back", "reading in bed", "flat lay"])
    @pytest.mark.parametrize(("width", "height"), [(100, 100), (80, 100), (150, 100)])
    def test_all_that_is_shown_is_in_the_frame(
        self, stage: "bpy.types.Scene", name: str, width: int, height: int
    ) -> None:
        """And fills it: at least one side is reached within margin, rounding and perspective."""
        from mathutils import Vector

        low, high = np.array([-0.5, -0.3, 0.4]), np.array([0.7, 0.3, 1.7])
        signs = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)])
        corners = low + signs * (high - low)
        camera = camera_for(SHOTS[name], [corners])
        studio.build_studio(stage, low, high)
        studio.aim(stage, 1, name, camera, width, height)
        bpy.context.view_layer.update()
        seen = np.array([world_to_camera_view(stage, stage.camera, Vector(p)) for p in corners])
        assert seen[:, :2].min() > 0.0
        assert seen[:, :2].max() < 1.0
        assert np.ptp(seen[:, :2], axis=0).max() > 0.8

    def test_each_view_looks_at_its_side(self, stage: "bpy.types.Scene") -> None:
        low, high = np.array([-0.3, -0.3, 0.0]), np.array([0.3, 0.3, 1.7])
        studio.build_studio(stage, low, high)
        # the wearer faces -y and has the left hand at +x
        for frame, (view, side) in enumerate(
            (("front", (0, -1)), ("side", (1, 0)), ("back", (0, 1))), start=1
        ):
            camera = camera_for(SHOTS[view], [np.stack([low, high])])
            studio.aim(stage, frame, view, camera, 64, 64)
            bpy.context.view_layer.update()
            place = np.array(stage.camera.matrix_world.translation)[:2]
            np.testing.assert_allclose(place / np.linalg.norm(place), side, atol=1e-6)
            way = -np.array(stage.camera.matrix_world)[:3, 2]
            np.testing.assert_allclose(way, (*(-np.array(side)), 0), atol=1e-6)

    def test_lights_follow_the_camera(self, stage: "bpy.types.Scene") -> None:
        box = np.array([[-0.3, -0.3, 0.0], [0.3, 0.3, 1.7]])
        studio.build_studio(stage, *box)
        key = bpy.data.objects["Key light"]
        ways = []
        for frame, view in enumerate(("front", "back"), start=1):
            studio.aim(stage, frame, view, camera_for(SHOTS[view], [box]), 64, 64)
            bpy.context.view_layer.update()
            ways.append(np.array(key.matrix_world.translation)[:2])
        np.testing.assert_allclose(ways[0], -ways[1], atol=1e-5)

    def test_colours_are_linear_for_shaders(self) -> None:
        assert materials.linear((0.0, 1.0, 0.5)) == pytest.approx(
            (0.0, 1.0, 0.21404, 1.0), abs=1e-5
        )


@pytest.fixture(scope="module")
def drape() -> Drape:
    """A small wrap hung over the shoulders of a mannequin as two flat sheets."""
    cut = Cut(
        cloth_width_m=1.1,
        length_m=1.0,
        body_width_m=0.6,
        sleeve_drop_m=0.2,
        corner_radius_m=0.08,
    )
    panel = build_panel_mesh(build_pattern(cut), 0.05)
    mannequin = build_mannequin(Tape(sex="female", given={"height": 1.68, "bust_girth": 0.9}))
    x, v = panel.flat.T
    outer = np.column_stack([x, 0.2 * np.sign(v), 1.42 - np.abs(v)])
    cloths = library()
    return Drape(
        panel=panel,
        outer=outer,
        lining=outer * [1, 0.98, 1],
        outer_cloth=replace(cloths["short pile"], colour=(0.2, 0.3, 0.6)),
        lining_cloth=cloths["light plush"],
        body=mannequin.posed(POSES["standing"]),
        stand_off_m=0.002,
        converged=True,
        reasons=(),
        statistics={},
    )


@pytest.fixture
def folder(drape: Drape, tmp_path: Path) -> Path:
    job = load_job(ROOT / "sample_avatars" / "jobs" / "larch_hut.toml")
    blue = ClothChoice(kind="short pile", colour="#334d99")
    job = replace(
        job, name="Trial", outer=blue, variants=(), views=("front", "back"), picture_size_px=64
    )
    save_job(tmp_path / "job.toml", job)
    save_drape(tmp_path / "drape.npz", drape)
    return tmp_path


def pixels(path: Path) -> np.ndarray:
    """(height, width, 3) sRGB from 0 to 1, top row first."""
    image = bpy.data.images.load(str(path))
    image.colorspace_settings.name = "Non-Color"
    width, height = image.size
    values = np.zeros(width * height * 4, dtype=np.float32)
    image.pixels.foreach_get(values)
    return values.reshape(height, width, 4)[::-1, :, :3]


class TestPictures:
    def test_whole_command(self, folder: Path) -> None:
        done = subprocess.run(
            [sys.executable, "-W", "error", "-m", "napfold.blender_addon.pictures", str(folder)],
            capture_output=True,
            text=True,
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, "")
        assert done.stdout.splitlines() == [
            "setting the scene of Trial",
            "rendering front (1 of 2)",
            "rendering back (2 of 2)",
        ]
        assert {path.name for path in folder.iterdir()} == {
            "back.png",
            "drape.npz",
            "front.png",
            "job.toml",
            "scene.blend",
        }
        for view in ("front", "back"):
            path = folder / f"{view}.png"
            assert b"Preview made by simulation with Napfold" in path.read_bytes()
            assert str(folder).encode() not in path.read_bytes()
            picture = pixels(path)
            assert picture.shape == (64, 64, 3)
            # pale paper in the corners, the cloth's blue below the chest, the mannequin between
            assert picture[:4, :4].min() > 0.55
            cloth = picture[28:40, 18:26].mean(axis=(0, 1))
            given_colour = np.array([0.2, 0.3, 0.6])
            np.testing.assert_allclose(
                cloth / cloth.sum(), given_colour / given_colour.sum(), atol=0.03
            )
            assert 0.55 < cloth.sum() / given_colour.sum() < 1.15
        bpy.ops.wm.open_mainfile(filepath=str(folder / "scene.blend"))
        assert {"Mannequin", "Outer", "Lining", "Outer pile", "Lining pile"} <= set(
            bpy.data.objects.keys()
        )
        assert [marker.name for marker in bpy.context.scene.timeline_markers] == [
            "front",
            "back",
        ]

    def test_a_missing_drape_is_told_in_one_sentence(
        self, folder: Path, capfd: pytest.CaptureFixture[str]
    ) -> None:
        (folder / "drape.npz").unlink()
        told_steps: list[str] = []
        assert pictures.main([str(folder)], told_steps.append) == 1
        told = capfd.readouterr().err.strip()
        assert "drape.npz cannot be read" in told
        assert "\n" not in told
        assert {path.name for path in folder.iterdir()} == {"job.toml"}

    def test_a_picture_that_fails_leaves_no_file(self, folder: Path) -> None:
        def remove_camera(view: str) -> None:
            bpy.data.objects.remove(bpy.data.objects["Camera"])

        job = load_job(folder / "job.toml")
        with pytest.raises(FileError, match="front picture could not be rendered"):
            views.take_views([folder], [job], lambda name: None, remove_camera)
        assert {path.name for path in folder.iterdir()} == {"drape.npz", "job.toml", "scene.blend"}

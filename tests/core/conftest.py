# SPDX-License-Identifier: GPL-3.0-or-later
"""A garment and a body made of round tubes, for which every measure is known by hand.

The flat panel is bent, not settled: its body part round an upright cylinder, each sleeve round a
level one. Both bends keep lengths, so girths, clear distances and hem heights follow from radii.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.cloth import library
from napfold.core.drape import Drape
from napfold.core.job import Job
from napfold.core.panels import PanelMesh, build_panel_mesh
from napfold.core.pattern import Cut, build_pattern

from .flat_wrap import two_sheets, two_variants

CUT = Cut(
    cloth_width_m=1.48,
    length_m=1.40,
    body_width_m=0.66,
    sleeve_drop_m=0.22,
    corner_radius_m=0.06,
)
SHOULDER_HEIGHT_M = 1.40
TRUNK_RADIUS_M = 0.15
ARM_RADIUS_M = 0.05
STAND_OFF_M = 0.004


@dataclass(frozen=True)
class Tubes:
    """The stand-in drape and what its makers chose."""

    drape: SimpleNamespace
    cut: Cut
    arm_radius_m: float
    shoulder_height_m: float
    front_gap_m: float
    girth_radius_m: float
    sleeve_radius_m: float
    skin_distance: Callable[[FloatArray], FloatArray]


def _closed_tube(
    start: FloatArray, end: FloatArray, radius_m: float, sides: int = 96
) -> tuple[FloatArray, IntArray]:
    """A capped cylinder whose rings have the girth 2 pi radius, outside counter-clockwise."""
    along = (end - start) / np.linalg.norm(end - start)
    first = np.cross(along, np.eye(3)[np.argmin(np.abs(along))])
    first /= np.linalg.norm(first)
    second = np.cross(along, first)
    angle = np.arange(sides) * 2 * math.pi / sides
    # circumscribed so that the polygon's girth is the circle's
    corner_m = radius_m * (math.pi / sides) / math.sin(math.pi / sides)
    ring = corner_m * (np.cos(angle)[:, None] * first + np.sin(angle)[:, None] * second)
    vertices = np.concatenate([start + ring, end + ring, [start, end]])
    i = np.arange(sides)
    j = (i + 1) % sides
    triangles = np.concatenate(
        [
            np.stack([i, j, j + sides], axis=1),
            np.stack([i, j + sides, i + sides], axis=1),
            np.stack([j, i, np.full(sides, 2 * sides)], axis=1),
            np.stack([i + sides, j + sides, np.full(sides, 2 * sides + 1)], axis=1),
        ]
    )
    return vertices, triangles.astype(np.int64)


@cache
def _panel(cut: Cut, edge_m: float) -> PanelMesh:
    return build_panel_mesh(build_pattern(cut), edge_m)


@pytest.fixture(scope="session")
def make_tubes() -> Callable[..., Tubes]:
    """Build the stand-in: the cut, a gap between the fronts, how high arms lie in the sleeves, the
    length of the mesh's edges."""

    def make(
        cut: Cut = CUT, front_gap_m: float = 0.05, arm_lift_m: float = 0.0, edge_m: float = 0.02
    ) -> Tubes:
        panel = _panel(cut, edge_m)
        x, v = panel.flat.T
        radius = (cut.body_width_m + front_gap_m / 2) / math.pi
        side = np.sign(x)
        if "front_left" in panel.edges:
            side[panel.edges["front_left"]] = 1.0
            side[panel.edges["front_right"]] = -1.0
        turn = np.where(
            v < 0, -math.pi / 2 + (x + side * front_gap_m / 2) / radius, math.pi / 2 - x / radius
        )
        trunk = np.stack(
            [radius * np.cos(turn), radius * np.sin(turn), SHOULDER_HEIGHT_M - np.abs(v)], axis=1
        )
        sleeve_radius = cut.sleeve_drop_m / math.pi
        roll = v / sleeve_radius
        sleeve = np.stack(
            [x, sleeve_radius * np.sin(roll), SHOULDER_HEIGHT_M + sleeve_radius * np.cos(roll)],
            axis=1,
        )
        corner = panel.edges["underarm_front_left"]
        corner_x, corner_v = panel.flat[corner[np.argmin(np.abs(panel.flat[corner]).sum(axis=1))]]
        beyond = (np.abs(x) > corner_x) & (np.abs(v) < abs(corner_v))
        lining = np.where(beyond[:, None], sleeve, trunk)
        seam = panel.seam_pairs
        lining[seam[:, 1]] = lining[seam[:, 0]]

        shoulder, elbow, wrist, knuckles = 0.36, 0.50, 0.70, 0.78
        parts = [_closed_tube(np.array([0, 0, 0.8]), np.array([0, 0, 1.45]), TRUNK_RADIUS_M)]
        joints = {}
        arm_height_m = SHOULDER_HEIGHT_M + arm_lift_m
        for name, sign in (("left", 1.0), ("right", -1.0)):
            parts.append(
                _closed_tube(
                    np.array([sign * 0.25, 0, arm_height_m]),
                    np.array([sign * 0.82, 0, arm_height_m]),
                    ARM_RADIUS_M,
                )
            )
            for joint, at in (
                ("shoulder", shoulder),
                ("elbow", elbow),
                ("wrist", wrist),
                ("knuckles", knuckles),
            ):
                joints[f"{joint}_{name}"] = np.array([sign * at, 0, arm_height_m])
        counts = np.cumsum([0, *[len(vertices) for vertices, _ in parts]])
        landmarks = {
            "back_neck_point": 1.45,
            "side_neck_point_left": 1.45,
            "bust": 1.22,
            "waist": 1.05,
            "hip": 0.86,
            "crotch": 0.78,
            "mid_thigh": 0.62,
            "knee": 0.45,
            "calf": 0.30,
            "ankle": 0.07,
            "axilla": 1.26,
            "gluteal_fold": 0.77,
        }
        body = SimpleNamespace(
            vertices=np.concatenate([vertices for vertices, _ in parts]),
            triangles=np.concatenate(
                [rows + first for (_, rows), first in zip(parts, counts, strict=False)]
            ),
            landmarks={name: np.array([0.0, 0.0, z]) for name, z in landmarks.items()},
            joints=joints,
            supports=(),
        )
        kinds = library()
        drape = SimpleNamespace(
            panel=panel,
            outer=lining.copy(),
            lining=lining,
            outer_cloth=kinds["long pile"],
            lining_cloth=kinds["light plush"],
            body=body,
            stand_off_m=STAND_OFF_M,
            converged=True,
            reasons=(),
            statistics={},
        )
        return Tubes(
            drape=drape,
            cut=cut,
            arm_radius_m=ARM_RADIUS_M,
            shoulder_height_m=SHOULDER_HEIGHT_M,
            front_gap_m=2 * radius * math.sin(front_gap_m / (2 * radius)),
            girth_radius_m=radius,
            sleeve_radius_m=sleeve_radius,
            skin_distance=lambda points: np.hypot(points[:, 0], points[:, 1]) - TRUNK_RADIUS_M,
        )

    return make


@pytest.fixture(scope="module")
def job() -> Job:
    """The demo job with two variants."""
    return two_variants()


@pytest.fixture(scope="module")
def drape(job: Job) -> Drape:
    """Its wrap as two flat sheets."""
    return two_sheets(job)

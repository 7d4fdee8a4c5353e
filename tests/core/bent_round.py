# SPDX-License-Identifier: GPL-3.0-or-later
"""The command with a stand-in for the settling: cloth bent round the body instead of draped."""

import math
from collections.abc import Generator
from pathlib import Path

import numpy as np
from napfold.core.cli import main
from napfold.core.cloth import Cloth
from napfold.core.drape import Drape, Progress
from napfold.core.mannequin import POSES, Mannequin, Pose, PosedBody
from napfold.core.panels import build_panel_mesh
from napfold.core.pattern import Pattern

JOB = """
name = "Larch Hut reading wrap"
units = "cm"

[tape]
height = "168 cm"
bust_girth = "96 cm"

[cloth.outer]
kind = "long pile"
[cloth.lining]
kind = "light plush"

[cut]
cloth_width = "148 cm"
length = "100 cm"
body_width = "66 cm"
sleeve_drop = "22 cm"

[[variant]]
name = "Short"

[[variant]]
name = "Long!"
cut.length = "140 cm"
"""


def bent_round(
    pattern: Pattern,
    outer: Cloth,
    lining: Cloth,
    mannequin: Mannequin,
    pose: str | Pose,
    edge_length_m: float,
    own_body: PosedBody | None = None,
    earlier: Drape | None = None,
) -> Generator[Progress, None, Drape]:
    """Stand-in for the drape: the flat cloth bent round an upright cylinder.

    It hangs lower by the thickness of the outer cloth.
    """
    panel = build_panel_mesh(pattern, edge_length_m)
    yield Progress(0.5, "bending", None)
    body = own_body or mannequin.posed(POSES[pose] if isinstance(pose, str) else pose)
    x, v = panel.flat.T
    radius = 0.66 / math.pi
    turn = np.where(v < 0, -math.pi / 2 + x / radius, math.pi / 2 - x / radius)
    top = body.landmarks["back_neck_point"][2] - outer.thickness_m
    points = np.stack([radius * np.cos(turn), radius * np.sin(turn), top - np.abs(v)], axis=1)
    points[panel.seam_pairs[:, 1]] = points[panel.seam_pairs[:, 0]]
    return Drape(
        panel=panel,
        outer=points,
        lining=points.copy(),
        outer_cloth=outer,
        lining_cloth=lining,
        body=body,
        stand_off_m=0.003,
        converged=False,
        reasons=("this is a stand-in",),
        statistics={},
    )


def command(job: Path, out: Path, *more: str) -> int:
    return main(["preview", str(job), "--out", str(out), "--edge-length", "40 mm", *more])

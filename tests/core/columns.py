# SPDX-License-Identifier: GPL-3.0-or-later
"""Upright columns as stand-ins for bodies: their girths are known by hand."""

import math
from collections.abc import Callable

import numpy as np
import pytest
import trimesh
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.mannequin.own_body import OwnBody
from napfold.core.mannequin.posed_body import vertex_normals

HEIGHT_M, HALF_BREADTH_M, HALF_DEPTH_M = 1.70, 0.17, 0.12
SIDES, RINGS = 96, 51  # a ring every 3.4 cm

Mesh = tuple[FloatArray, IntArray]


def ellipse_girth(a: float, b: float) -> float:
    """Ramanujan's second approximation, exact to 1e-9 for such ellipses."""
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))


def column(radius: Callable[[FloatArray], FloatArray]) -> Mesh:
    """An upright column, radius given by direction; z up, outside counter-clockwise."""
    angle = np.arange(SIDES) * 2 * math.pi / SIDES
    flat = radius(angle)[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    heights = np.linspace(0.0, HEIGHT_M, RINGS)
    rings = np.concatenate([np.tile(flat, (RINGS, 1)), np.repeat(heights, SIDES)[:, None]], axis=1)
    at = np.arange(RINGS * SIDES).reshape(RINGS, SIDES)
    a, b, c, d = at[:-1], np.roll(at[:-1], -1, 1), at[1:], np.roll(at[1:], -1, 1)
    bottom, top = RINGS * SIDES, RINGS * SIDES + 1
    first, last, ones = at[0], at[-1], np.ones(SIDES, dtype=np.int64)
    triangles = [
        np.stack([a, b, d], axis=-1).reshape(-1, 3),
        np.stack([a, d, c], axis=-1).reshape(-1, 3),
        np.stack([np.roll(first, -1), first, bottom * ones], axis=1),
        np.stack([last, np.roll(last, -1), top * ones], axis=1),
    ]
    ends = [[0.0, 0.0, 0.0], [0.0, 0.0, HEIGHT_M]]
    return np.concatenate([rings, ends]), np.concatenate(triangles)


def ellipse(angle: FloatArray) -> FloatArray:
    return 1.0 / np.hypot(np.cos(angle) / HALF_BREADTH_M, np.sin(angle) / HALF_DEPTH_M)


def ellipse_with_arms(angle: FloatArray) -> FloatArray:
    """The ellipse with a round arm of 9 cm melted onto each side."""
    arm, away = 0.045, HALF_BREADTH_M + 0.03
    along = away * np.abs(np.cos(angle))
    across = away * np.sin(angle)
    reach = np.sqrt(np.maximum(arm**2 - across**2, 0.0))
    return np.maximum(ellipse(angle), np.where(reach > 0, along + reach, 0.0))


def tall_box() -> Mesh:
    """For files: 8 corners, 12 triangles."""
    box = trimesh.creation.box(extents=(0.34, 0.24, 1.7))
    return np.array(box.vertices), np.array(box.faces)


def exported(mesh: Mesh, suffix: str, **options: object) -> bytes:
    """A mesh as the content of a file."""
    content = trimesh.Trimesh(*mesh, process=False).export(file_type=suffix, **options)
    return content.encode() if isinstance(content, str) else content


def require_closed(body: OwnBody) -> None:
    """Assert a watertight surface, outside out, with unit normals."""
    mesh = trimesh.Trimesh(body.vertices, body.triangles, process=False)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume > 0.0
    assert np.linalg.norm(vertex_normals(body.vertices, body.triangles), axis=1) == pytest.approx(
        1.0
    )

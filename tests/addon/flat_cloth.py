# SPDX-License-Identifier: GPL-3.0-or-later
"""Rectangles of flat cloth with known rims, for tests of what is drawn of them."""

import numpy as np
from napfold.blender_addon.scene.surface import Sheet


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

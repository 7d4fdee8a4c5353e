# SPDX-License-Identifier: GPL-3.0-or-later
"""Which way an upright body looks: across its trunk, and where its toes point."""

import math

import numpy as np

from ..arrays import FloatArray
from .outlines import Outline, Slicer

__all__ = ["turn_to_front"]

TRUNK_SHARES = (0.50, 0.53, 0.56, 0.59, 0.62, 0.65)  # of the height: hips to waist
FOOT_SHARE, ANKLE_SHARE = 0.015, 0.055
LEAST_BROADER = 1.2  # moments across over moments along, for a trunk that shows its sides
LEAST_TOES_M = 0.02  # middle of the feet before the middle of the ankles
LEAST_TURN = math.radians(5.0)  # people do not stand straighter


def turn_to_front(slicer: Slicer, height_m: float) -> float:
    """Angle (radians) about z that turns a body to face -y; 0 where it does so or does not show.

    The trunk is broader than deep, which gives two ways to look; toes point to the front. Without
    feet it is the way that is nearer to -y.
    """
    moments = sum(_moments(slicer.trunk(share * height_m)) for share in TRUNK_SHARES)
    (least, most), axes = np.linalg.eigh(moments)
    if most < LEAST_BROADER * least:
        return 0.0
    front = axes[:, 0]
    toes = _toes(slicer, height_m)
    way = toes if np.linalg.norm(toes) >= LEAST_TOES_M else np.array([0.0, -1.0])
    if front @ way < 0.0:
        front = -front
    turn = math.atan2(-front[0], -front[1])
    return turn if abs(turn) >= LEAST_TURN else 0.0


def _toes(slicer: Slicer, height_m: float) -> FloatArray:
    """From the middle of the ankles to the middle of the feet (2,), m."""
    foot, ankle = (
        np.mean([outline.middle for outline in slicer.outlines(share * height_m)[:2]], axis=0)
        for share in (FOOT_SHARE, ANKLE_SHARE)
    )
    result: FloatArray = foot - ankle
    return result


def _moments(outline: Outline) -> FloatArray:
    """Second moments (2, 2) of a curve about its middle, m^3."""
    length = np.linalg.norm(outline.pieces[:, 1] - outline.pieces[:, 0], axis=1)
    at = outline.pieces.mean(axis=1)
    away = at - length @ at / length.sum()
    result: FloatArray = (away * length[:, None]).T @ away
    return result

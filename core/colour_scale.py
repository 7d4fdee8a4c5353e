# SPDX-License-Identifier: GPL-3.0-or-later
"""Our own colour scale for fields: from cream over ochre and clay to ink.

Its lightness falls evenly from end to end, so it reads the same in grey, in print, and for people who
do not tell red from green: what is darker is more.
"""

import numpy as np

from .arrays import FloatArray

__all__ = ["ANCHORS", "colours", "lightness"]

ANCHORS: tuple[tuple[float, float, float], ...] = (
    (0.976, 0.945, 0.851),
    (0.925, 0.796, 0.494),
    (0.839, 0.604, 0.263),
    (0.702, 0.408, 0.188),
    (0.510, 0.247, 0.200),
    (0.310, 0.137, 0.212),
    (0.137, 0.071, 0.149),
)
"""Red, green and blue as screens take them (IEC 61966-2-1), 0 to 1, from least to most."""

STEPS = 256


def lightness(rgb: FloatArray) -> FloatArray:
    """Lightness L* (n,), 0 black to 100 white, of colours (n, 3) as screens take them (CIE 1976)."""
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    luminance = linear @ np.array([0.2126, 0.7152, 0.0722])
    root = np.where(
        luminance > (6 / 29) ** 3, np.cbrt(luminance), luminance / (3 * (6 / 29) ** 2) + 4 / 29
    )
    return np.asarray(116 * root - 16)


def colours(values: FloatArray, low: float, high: float) -> FloatArray:
    """Colours (n, 3) of values (n,) on a scale from ``low`` to ``high``; beyond it its ends."""
    share = np.clip((np.asarray(values) - low) / (high - low), 0.0, 1.0)
    places, scale = _even_scale()
    return np.stack([np.interp(share, places, scale[:, axis]) for axis in range(3)], axis=1)


def _even_scale() -> tuple[FloatArray, FloatArray]:
    """The scale in steps that are even in lightness: places (k,) from 0 to 1, and colours (k, 3)."""
    fine = np.linspace(0.0, len(ANCHORS) - 1, STEPS)
    anchors = np.array(ANCHORS)
    scale = np.stack(
        [np.interp(fine, np.arange(len(anchors)), anchors[:, axis]) for axis in range(3)], axis=1
    )
    light = lightness(scale)
    return (light[0] - light) / (light[0] - light[-1]), scale

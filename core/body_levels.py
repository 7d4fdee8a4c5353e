# SPDX-License-Identifier: GPL-3.0-or-later
"""Heights of a posed body by which a hem can be told."""

import math

import numpy as np

from .drape import Drape
from .phrases import phrase

__all__ = ["LEVEL_WORDS", "body_levels", "trunk_is_upright"]

MOST_LEAN = math.radians(20.0)
LEAST_STEP_M = 0.02
LEVEL_WORDS = {
    "back_neck_point": "the back neck point",
    "axilla": "the armpit",
    "bust": "the bust line",
    "waist": "the waist",
    "hip": "the fullest hip",
    "crotch": "the crotch",
    "mid_thigh": "mid-thigh",
    "knee": "the knee",
    "calf": "the fullest calf",
    "ankle": "the ankle",
}


def body_levels(drape: Drape) -> dict[str, float]:
    """Heights over the floor of the posed body's levels, metres, by the name to be read.

    Only levels that a hem can be told by: from the back neck point down as long as each lies
    below the last (the lap of a sitting body ends the list), less those within 20 mm of the last
    (armpit and bust of a child), and none but the floor when the trunk leans by more than 20
    degrees.
    """
    landmarks = drape.body.landmarks
    levels: dict[str, float] = {phrase("the floor"): 0.0}
    if not trunk_is_upright(drape):
        return levels
    last_m = math.inf
    for name, words in LEVEL_WORDS.items():
        height_m = float(landmarks[name][2])
        if height_m >= last_m:
            break
        if height_m <= last_m - LEAST_STEP_M:
            levels[phrase(words)] = last_m = height_m
    return levels


def trunk_is_upright(drape: Drape) -> bool:
    """Whether the line from hip level to back neck point leans by at most 20 degrees."""
    landmarks = drape.body.landmarks
    trunk = landmarks["back_neck_point"] - landmarks["hip"]
    return bool(trunk[2] >= math.cos(MOST_LEAN) * np.linalg.norm(trunk))

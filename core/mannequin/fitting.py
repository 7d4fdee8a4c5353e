# SPDX-License-Identifier: GPL-3.0-or-later
"""Tunes the shapes until a tape round the body reads what the measures say."""

import math
from collections.abc import Callable

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import Frame
from .head import NECK_ABOVE_BACK_POINT_M, NECK_AXIS_FORWARD_M, NECK_TILT
from .limbs import LOWER_THIGH_ABOVE_KNEE_M, RELAXED_FOREARM
from .measuring import hull_girth, shape_sections
from .sections import breadth_for, depth_ratio
from .surface import BodyShapes, make_shapes

__all__ = ["UPPER_ARM_SHARE", "fit_shapes"]

ROUNDS = 7
RAYS = 72
LIMB_RAYS = 40
NECK_REACH_M = 0.090  # outside of every neck, short of chin and shoulders
# how far a section may be deepened or flattened to reach the survey's depth over breadth; at the
# chest the arms swell the breadth, and more would make a ridge
DEPTH_RANGE = {
    "hip": (0.92, 1.15),
    "navel_waist": (0.85, 1.20),
    "waist": (0.85, 1.20),
    "bust": (0.92, 1.04),
}
TRUNK_LEVELS = ("hip", "navel_waist", "waist", "underbust", "bust")
BUST_EXPONENT = 3.3  # of a superellipse round rib cage and breasts
UPPER_ARM_SHARE = 0.34  # where the upper arm girth is taken, of the way from shoulder to elbow
X, Y, Z = np.eye(3)

Field = Callable[[FloatArray], FloatArray]


def fit_shapes(m: Measures, frame: Frame) -> BodyShapes:
    """Shapes whose girths are those of the measures, to a fraction of a millimetre."""
    scale: dict[str, float] = {}
    shapes = make_shapes(m, frame, scale)
    for _ in range(ROUNDS):
        _tune_trunk(m, frame, shapes, scale)
        _tune_arm(m, frame, shapes.arm.field, scale)
        _tune_leg(m, frame, shapes.field, scale)
        shapes = make_shapes(m, frame, scale)
    return shapes


def _tune_trunk(m: Measures, frame: Frame, shapes: BodyShapes, scale: dict[str, float]) -> None:
    v = m.value
    heights = np.array([frame.levels[level] for level in TRUNK_LEVELS])
    centres = np.column_stack(
        [np.zeros(len(heights)), np.full(len(heights), frame.back_y - 0.10), heights]
    )
    outlines = shape_sections(shapes.without_arm, centres, X, Y, 0.60, rays=RAYS)
    for level, outline in zip(TRUNK_LEVELS, outlines, strict=True):
        girth, (breadth, depth) = hull_girth(outline), np.ptp(outline, axis=0)
        if level == "bust" and m.female_share >= 0.5:
            # the rib cage makes the breadth, the breasts the rest of the girth
            wanted = breadth_for(m, level, BUST_EXPONENT)
            factor = scale.get(level, 1.0) * (wanted / breadth) ** 0.8
            scale[level] = max(factor, 0.88)
            missing = 0.45 * (v("bust_girth") - girth)
            scale["breast"] = max(scale.get("breast", 0.0) + missing, -0.028)
            continue
        factor = scale.get(level, 1.0) * v(f"{level}_girth") / girth
        scale[level] = max(factor, 0.97) if level == "underbust" else factor
        if level != "underbust":
            key = f"{level}_depth"
            deeper = (depth_ratio(m, level) * breadth / depth) ** 0.7
            scale[key] = float(np.clip(scale.get(key, 1.0) * deeper, *DEPTH_RANGE[level]))
    neck = frame["neck_root"] + np.array([0.0, -NECK_AXIS_FORWARD_M, NECK_ABOVE_BACK_POINT_M])
    backward = np.array([0.0, math.cos(NECK_TILT), math.sin(NECK_TILT)])
    outline = shape_sections(shapes.field, neck[None], X, backward, NECK_REACH_M, rays=LIMB_RAYS)[0]
    scale["neck"] = scale.get("neck", 1.0) * v("neck_girth") / hull_girth(outline)
    # the shoulder line passes through the shoulder point
    below = frame["shoulder_point"] - np.array([0.0, 0.0, 0.04])
    top = shape_sections(shapes.field, below[None], Z, Y, 0.12, rays=1)[0, 0, 0]
    scale["shoulder"] = scale.get("shoulder", -0.006) + 0.7 * (0.04 - float(top))


def _tune_arm(m: Measures, frame: Frame, field: Field, scale: dict[str, float]) -> None:
    along = frame["elbow"] - frame["shoulder"]
    fore = frame["wrist"] - frame["elbow"]
    side = np.cross(Y, along / np.linalg.norm(along))
    stations = {
        "upper_arm": frame["shoulder"] + UPPER_ARM_SHARE * along,
        "elbow": frame["elbow"],
        "forearm": frame["elbow"] + 0.22 * fore,
        "wrist": frame["wrist"],
    }
    outlines = shape_sections(
        field, np.stack(list(stations.values())), side, Y, 0.25, rays=LIMB_RAYS
    )
    for key, outline in zip(stations, outlines, strict=True):
        wanted = m.value(key + "_girth") * (RELAXED_FOREARM if key == "forearm" else 1.0)
        scale[key] = scale.get(key, 1.0) * wanted / hull_girth(outline)


def _tune_leg(m: Measures, frame: Frame, field: Field, scale: dict[str, float]) -> None:
    stations = {
        "thigh": frame.levels["thigh"],
        "lower_thigh": frame.levels["knee"] + LOWER_THIGH_ABOVE_KNEE_M,
        "knee": frame.levels["knee"],
        "calf": frame.levels["calf"],
        "ankle": frame.levels["ankle"] + 0.055,
    }
    centres = np.array([[frame["hip"][0], 0.008, height] for height in stations.values()])
    # rays towards the other leg end at the mirror plane
    inward = -np.cos(np.arange(LIMB_RAYS) * (2.0 * math.pi / LIMB_RAYS))
    reach = np.minimum((frame["hip"][0] - 0.002) / np.maximum(inward, 1e-3), 0.30)
    outlines = shape_sections(
        field, centres, X, Y, np.tile(reach, (len(centres), 1)), rays=LIMB_RAYS
    )
    for key, outline in zip(stations, outlines, strict=True):
        scale[key] = scale.get(key, 1.0) * m.value(key + "_girth") / hull_girth(outline)

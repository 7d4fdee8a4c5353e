# SPDX-License-Identifier: GPL-3.0-or-later
"""Tunes the shapes until a tape round the body reads what the measures say."""

import math
from collections.abc import Callable, Mapping

import numpy as np

from ..arrays import FloatArray
from ..slices import Slices
from ..tape import Measures
from .frame import Frame
from .head import NECK_ABOVE_BACK_POINT_M, NECK_AXIS_FORWARD_M, NECK_TILT
from .limbs import LOWER_THIGH_ABOVE_KNEE_M, RELAXED_FOREARM
from .measuring import RIDGE_M, hull_girth, shape_sections
from .sections import depth_ratio
from .surface import ARMPIT_JOINT_M, BodyShapes, make_shapes

__all__ = ["UPPER_ARM_SHARE", "fit_shapes", "neck_reach"]

ROUNDS = 8
ROUNDS_OF_SHAPE = 5  # in which depths are tuned beside girths; then girths alone
RAYS = 40  # on half a section
LIMB_RAYS = 40
NECK_REACH = 0.27  # of the neck girth: outside of every neck, short of chin and shoulders
# how far a section may be deepened or flattened to reach the survey's depth over breadth
DEPTH_RANGE = {
    "hip": (0.82, 1.15),
    "navel_waist": (0.85, 1.20),
    "waist": (0.85, 1.20),
    "bust": (0.90, 1.12),
}
TRUNK_LEVELS = ("hip", "navel_waist", "waist", "underbust", "bust")
RIBS_RANGE = (0.80, 1.12)  # how far the rib cage may differ from its estimate at the bust
MOST_BREAST_M, LEAST_BREAST_M = 0.20, -0.028
ARMPIT_COLUMNS, ARMPIT_ROWS = 14, 24
ARMPIT_RANGE_M = (0.028, 0.130)
MOST_UNDERBUST_DEVIATIONS = 3.5
OVER_WAIST_M = 0.015
GIRTH_GAIN = 1.3  # a level of the trunk is evened out with its neighbours: it answers with less
UPPER_ARM_SHARE = 0.34  # where the upper arm girth is taken, of the way from shoulder to elbow
NECK_HOLLOW = 0.997  # the mesh bridges the hollow of the neck in height by about this share
BELOW_SKIN_M = 0.04
X, Y, Z = np.eye(3)

Field = Callable[[FloatArray], FloatArray]


class _Tuner:
    """The parameters of the shapes, each stepped by the secant of its own error."""

    def __init__(self) -> None:
        self.scale: dict[str, float] = {}
        self._last: dict[str, tuple[float, float]] = {}

    def shift(
        self,
        key: str,
        start: float,
        error: float,
        gain: float,
        limits: tuple[float, float],
        secant: bool = True,
    ) -> None:
        """Step a parameter towards no error; ``gain`` is a first guess of its effect inverted."""
        now = self.scale.get(key, start)
        if secant and key in self._last:
            before, error_before = self._last[key]
            moved, less = now - before, error_before - error
            if abs(moved) > 1e-7 and abs(less) > 1e-7:
                gain = min(max(moved / less, 0.3 * gain), 3.0 * gain)
        self._last[key] = (now, error)
        self.scale[key] = min(max(now + gain * error, limits[0]), limits[1])

    def stretch(
        self,
        key: str,
        ratio: float,
        gain: float = 1.0,
        limits: tuple[float, float] = (0.3, 3.0),
        secant: bool = True,
    ) -> None:
        """Step a factor; ``ratio`` is wanted over found."""
        self.scale[key] = math.log(self.scale.get(key, 1.0))
        bounds = (math.log(limits[0]), math.log(limits[1]))
        self.shift(key, 0.0, math.log(ratio), gain, bounds, secant)
        self.scale[key] = math.exp(self.scale[key])


def fit_shapes(m: Measures, frame: Frame) -> Slices[BodyShapes]:
    """Shapes whose girths are those of the measures, to a fraction of a millimetre."""
    tuner = _Tuner()
    shapes = make_shapes(m, frame, tuner.scale)
    for turn in range(ROUNDS):
        _tune_trunk(m, frame, shapes, tuner, turn < ROUNDS_OF_SHAPE)
        _tune_neck(m, frame, shapes.field, tuner)
        yield
        _tune_joints(frame, shapes.field, tuner)
        yield
        _tune_arm(m, frame, shapes.arm.field, tuner)
        _tune_leg(m, frame, shapes.field, tuner)
        shapes = make_shapes(m, frame, tuner.scale)
        yield
    return shapes


def neck_reach(m: Measures) -> float:
    """How far from the neck's axis a section may belong to the neck, m."""
    return NECK_REACH * m.value("neck_girth")


def _tune_trunk(
    m: Measures, frame: Frame, shapes: BodyShapes, tuner: _Tuner, shape_too: bool
) -> None:
    heights = np.array([frame.levels[level] for level in TRUNK_LEVELS])
    centres = np.column_stack(
        [np.zeros(len(heights)), np.full(len(heights), frame.back_y - 0.10), heights]
    )
    outlines = shape_sections(shapes.without_arms, centres, Y, X, 0.60, rays=RAYS, turn=math.pi)
    outlines = np.concatenate([outlines, outlines * [1.0, -1.0]], axis=1)  # both sides are alike
    for level, outline in zip(TRUNK_LEVELS, outlines, strict=True):
        girth, (depth, breadth) = hull_girth(outline), np.ptp(outline, axis=0)
        if level == "underbust":
            tuner.stretch(level, _underbust(m) / girth, GIRTH_GAIN, secant=False)
            continue
        ratio = depth_ratio(m, level) * breadth / depth
        wanted = m.value(f"{level}_girth")
        if level == "bust" and m.female_share >= 0.5:
            limits = (LEAST_BREAST_M, MOST_BREAST_M)
            # once the depths rest, the secant of the last steps tells the effect of the next
            tuner.shift("breast", 0.0, wanted - girth, 0.5, limits, secant=not shape_too)
            key, gain, depths = level, -0.5, RIBS_RANGE  # broader ribs leave less to the breasts
        else:
            tuner.stretch(level, wanted / girth, GIRTH_GAIN, secant=False)
            key, gain, depths = f"{level}_depth", 0.7, DEPTH_RANGE[level]
        if shape_too:
            tuner.stretch(key, ratio, gain, depths, secant=False)


def _underbust(m: Measures) -> float:
    """The girth below the bust; an estimate gives way, by its spread, to a larger waist.

    Between the breasts and the belly the waist stays the narrowest place.
    """
    girth, spread, given = m["underbust_girth"]
    if given:
        return girth
    wanted = m.value("waist_girth") + OVER_WAIST_M
    return girth + min(max(wanted - girth, 0.0), MOST_UNDERBUST_DEVIATIONS * spread)


def _tune_neck(m: Measures, frame: Frame, field: Field, tuner: _Tuner) -> None:
    centre = frame["neck_root"] + np.array([0.0, -NECK_AXIS_FORWARD_M, NECK_ABOVE_BACK_POINT_M])
    backward = np.array([0.0, math.cos(NECK_TILT), math.sin(NECK_TILT)])
    outline = shape_sections(field, centre[None], X, backward, neck_reach(m), rays=LIMB_RAYS)[0]
    tuner.stretch("neck", NECK_HOLLOW * m.value("neck_girth") / hull_girth(outline))


def _tune_joints(frame: Frame, field: Field, tuner: _Tuner) -> None:
    """Put shoulder line, armpit and crotch where they belong."""
    names = ("shoulder_point", "side_neck_point")
    ridge = np.linspace(-RIDGE_M, RIDGE_M, 5)[:, None] * Y - BELOW_SKIN_M * Z
    below = np.concatenate([frame[name] + ridge for name in names])
    tops = shape_sections(field, below, Z, Y, 0.12, rays=1)[:, 0, 0].reshape(len(names), -1)
    for name, top in zip(names, tops.max(axis=1).tolist(), strict=True):
        tuner.shift(name, 0.0, BELOW_SKIN_M - top, 0.7, (-0.06, 0.06))
    low = _armpit(frame, field) - frame.levels["axilla"]
    tuner.shift("armpit", ARMPIT_JOINT_M, low, 1.2, ARMPIT_RANGE_M)
    hip = frame.levels["hip"]
    seats = frame["hip"] * Y + hip * Z + np.outer(np.linspace(-0.04, 0.06, 6), Y)
    drop = shape_sections(field, seats, -Z, Y, 0.20, rays=1)[:, 0, 0].max()
    tuner.shift("crotch", 0.0, frame.levels["crotch"] - (hip - float(drop)), 0.8, (-0.05, 0.05))


def _armpit(frame: Frame, field: Field) -> float:
    """Height where arm and trunk meet: the highest place that is reached from below, outside."""
    axilla, shoulder = frame.levels["axilla"], frame["shoulder"]
    x = np.linspace(0.60 * shoulder[0], shoulder[0] + 0.06, ARMPIT_COLUMNS)
    z = np.linspace(axilla - 0.10, axilla + 0.09, ARMPIT_ROWS)
    points = np.stack(np.broadcast_arrays(x[:, None], shoulder[1], z), axis=-1)
    value = field(points.reshape(-1, 3)).reshape(ARMPIT_COLUMNS, ARMPIT_ROWS)
    free = np.minimum.accumulate(value > 0.0, axis=1)
    last = free.sum(axis=1) - 1
    columns = np.flatnonzero((last >= 0) & (last < ARMPIT_ROWS - 1))
    if len(columns) == 0:
        return float(axilla)
    below, above = value[columns, last[columns]], value[columns, last[columns] + 1]
    return float((z[last[columns]] + below / (below - above) * (z[1] - z[0])).max())


def _tune_limb(
    m: Measures, stations: Mapping[str, float], outlines: FloatArray, tuner: _Tuner
) -> None:
    """Stretch a limb's girths; ``stations`` holds a factor on the measure at each station."""
    for (key, factor), outline in zip(stations.items(), outlines, strict=True):
        tuner.stretch(key, factor * m.value(f"{key}_girth") / hull_girth(outline))


def _tune_arm(m: Measures, frame: Frame, field: Field, tuner: _Tuner) -> None:
    along = frame["elbow"] - frame["shoulder"]
    fore = frame["wrist"] - frame["elbow"]
    side = np.cross(Y, along / np.linalg.norm(along))
    centres = np.stack(
        [
            frame["shoulder"] + UPPER_ARM_SHARE * along,
            frame["elbow"],
            frame["elbow"] + 0.22 * fore,
            frame["wrist"],
        ]
    )
    outlines = shape_sections(field, centres, side, Y, 0.25, rays=LIMB_RAYS)
    stations = {"upper_arm": 1.0, "elbow": 1.0, "forearm": RELAXED_FOREARM, "wrist": 1.0}
    _tune_limb(m, stations, outlines, tuner)


def _tune_leg(m: Measures, frame: Frame, field: Field, tuner: _Tuner) -> None:
    level = frame.levels
    heights = {
        "thigh": level["thigh"],
        "lower_thigh": level["knee"] + LOWER_THIGH_ABOVE_KNEE_M,
        "knee": level["knee"],
        "calf": level["calf"],
        "ankle": level["ankle"] + 0.055,
    }
    centres = np.array([[frame["hip"][0], 0.008, height] for height in heights.values()])
    # rays towards the other leg end at the mirror plane
    inward = -np.cos(np.arange(LIMB_RAYS) * (2.0 * math.pi / LIMB_RAYS))
    reach = np.minimum((frame["hip"][0] - 0.002) / np.maximum(inward, 1e-3), 0.30)
    outlines = shape_sections(
        field, centres, X, Y, np.tile(reach, (len(centres), 1)), rays=LIMB_RAYS
    )
    _tune_limb(m, dict.fromkeys(heights, 1.0), outlines, tuner)

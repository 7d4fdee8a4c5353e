# SPDX-License-Identifier: GPL-3.0-or-later
"""Tunes the shapes until a tape round the body reads what the measures say."""

import math
from collections.abc import Iterator, Mapping

import numpy as np

from ..arrays import FloatArray
from ..slices import Slices
from ..tape import Measures
from .frame import Frame
from .head import NECK_ABOVE_BACK_POINT_M, NECK_AXIS_FORWARD_M, NECK_TILT
from .limbs import ARMPIT_JOINT_M, LOWER_THIGH_ABOVE_KNEE_M, RELAXED_FOREARM
from .measuring import RIDGE_M, Fan, hull_girth, ray_lengths
from .sections import depth_ratio
from .surface import BodyShapes, make_shapes
from .tuning import Knob, Tuner

__all__ = ["UPPER_ARM_SHARE", "fit_shapes", "make_tuner", "neck_reach"]

MOST_ROUNDS = 10
ENOUGH = 2e-4  # of a girth or a ratio, or m
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
TAPED_DEPTH_RANGE = (0.5, 2.0)  # and to reach a given breadth or depth
TAPED_SQUARE_RANGE = (0.72, 1.6)  # of the exponent, where breadth and depth are both given
TRUNK_LEVELS = ("hip", "navel_waist", "waist", "underbust", "bust")
RIBS_RANGE = (0.80, 1.12)  # how far the rib cage may differ from its estimate at the bust
TAPED_RIBS_RANGE = (0.6, 1.4)
BREAST_RANGE_M = (-0.028, 0.20)
ARMPIT_COLUMNS, ARMPIT_ROWS = 14, 24
SHIFTS = {  # gain, limits and start, m
    "shoulder_point": (3.3, -0.10, 0.06, -0.037),
    "side_neck_point": (1.28, -0.10, 0.06, 0.0),
    "armpit": (1.55, -0.010, 0.130, ARMPIT_JOINT_M),
    "crotch": (1.4, -0.05, 0.05, -0.014),
}
MOST_UNDERBUST_DEVIATIONS = 3.5
OVER_WAIST_M = 0.015
# Gains and starts of the parameters, and which pull at what others tune: as they were found by
# small steps from the tuned bodies of seven medium tapes, in round figures.
GIRTH_STARTS = {
    "hip": (1.45, 0.97),
    "navel_waist": (1.04, 1.0),
    "waist": (1.08, 1.0),
    "underbust": (1.07, 1.0),
    "bust": (1.15, 0.96),
    "neck": (1.35, 0.88),
    "upper_arm": (1.0, 1.0),
    "elbow": (1.0, 1.0),
    "forearm": (1.0, 1.0),
    "wrist": (2.7, 0.77),
    "thigh": (1.0, 1.0),
    "lower_thigh": (1.08, 0.985),
    "knee": (1.14, 1.0),
    "calf": (1.06, 0.99),
    "ankle": (1.03, 0.977),
}
DEPTH_STARTS = {
    "hip": (1.9, 0.90),
    "navel_waist": (1.05, 1.0),
    "waist": (1.08, 1.01),
    "bust": (1.1, 1.04),
}
COUPLINGS = {
    ("hip", "thigh"): 0.21,
    ("hip_depth", "hip"): -0.7,
    ("hip_depth", "thigh"): 0.6,
    ("hip_depth", "crotch"): 0.47,
    ("neck", "side_neck_point"): 2.6,
    ("bust", "bust_depth"): 0.39,
    ("bust_depth", "bust"): 0.18,
    ("ribs", "breast"): -1.6,
    ("underbust", "breast"): 0.45,
}
GIRTH_RANGE = (0.3, 3.0)
SQUARE_GAIN = 3.0  # breadth and depth at equal girth answer little to the exponent
UPPER_ARM_SHARE = 0.34  # where the upper arm girth is taken, of the way from shoulder to elbow
NECK_HOLLOW = 0.997  # the mesh bridges the hollow of the neck in height by about this share
BELOW_SKIN_M = 0.04
ARM_STATIONS = {"upper_arm": 1.0, "elbow": 1.0, "forearm": RELAXED_FOREARM, "wrist": 1.0}
LEG_STATIONS = ("thigh", "lower_thigh", "knee", "calf", "ankle")
X, Y, Z = np.eye(3)

Missing = Iterator[tuple[str, float]]


def make_tuner(m: Measures) -> Tuner:
    """The parameters of a body's shapes, not yet tuned."""
    breasts = _has_breasts(m)
    knobs = {}
    for level in TRUNK_LEVELS:
        gain, start = GIRTH_STARTS[level]
        knobs[level] = Knob(gain, *GIRTH_RANGE, start)
    if breasts:
        knobs["underbust"] = Knob(1.25, *GIRTH_RANGE, 0.97)
        del knobs["bust"]
    for level, limits in DEPTH_RANGE.items():
        taped = _taped(m, level)
        if level == "bust" and breasts:
            knobs["ribs"] = Knob(1.6, *(TAPED_RIBS_RANGE if taped else RIBS_RANGE), 0.94)
            knobs["breast"] = Knob(0.56, *BREAST_RANGE_M, 0.04, factor=False)
        else:
            gain, start = DEPTH_STARTS[level]
            knobs[f"{level}_depth"] = Knob(gain, *(TAPED_DEPTH_RANGE if taped else limits), start)
        if len(taped) == 2:
            knobs[f"{level}_square"] = Knob(SQUARE_GAIN, *TAPED_SQUARE_RANGE)
    for name in ("neck", *ARM_STATIONS, *LEG_STATIONS):
        gain, start = GIRTH_STARTS[name]
        knobs[name] = Knob(gain, *GIRTH_RANGE, start)
    for name, (gain, low, high, start) in SHIFTS.items():
        knobs[name] = Knob(gain, low, high, start, factor=False)
    return Tuner(knobs, COUPLINGS)


def fit_shapes(m: Measures, frame: Frame, tuner: Tuner) -> Slices[BodyShapes]:
    """Shapes whose girths are those of the measures, to a fraction of a millimetre.

    ``tuner`` starts where an earlier fit has left it.
    """
    tuner.restart()
    shapes = make_shapes(m, frame, tuner.scale)
    for _ in range(MOST_ROUNDS):
        yield
        missing = dict(_missing(m, frame, shapes))
        # what is not tuned on this body is left out
        rest = tuner.step({name: missing[name] for name in tuner.knobs})
        shapes = make_shapes(m, frame, tuner.scale)
        if rest < ENOUGH:
            break
    return shapes


def neck_reach(m: Measures) -> float:
    """How far from the neck's axis a section may belong to the neck, m."""
    return NECK_REACH * m.value("neck_girth")


def _has_breasts(m: Measures) -> bool:
    return m.female_share >= 0.5


def _taped(m: Measures, level: str) -> tuple[str, ...]:
    """Which of a level's breadth and depth the tape gives."""
    sides = ("breadth", "depth")
    return tuple(s for s in sides if f"{level}_{s}" in m and m[f"{level}_{s}"].given)


def _missing(m: Measures, frame: Frame, shapes: BodyShapes) -> Missing:
    """By how much the shapes fall short of the measures: shares of a girth or ratio, or m."""
    trunk, neck, leg = _trunk_fan(frame), _neck_fan(m, frame), _leg_fan(frame)
    seats = _seats(frame)
    fans = (trunk, neck, leg)
    rays = [*(fan.rays() for fan in fans), seats]
    lengths = ray_lengths(
        shapes.without_arms, *(np.concatenate(part) for part in zip(*rays, strict=True))
    )
    ends = np.cumsum([len(reach) for _, _, reach in rays])[:-1]
    *outlines, drops = np.split(lengths, ends)
    across, round_neck, legs = (f.outlines(o) for f, o in zip(fans, outlines, strict=True))
    yield from _trunk_missing(m, across)
    yield "neck", math.log(NECK_HOLLOW * m.value("neck_girth") / hull_girth(round_neck[0]))
    yield from _limb_missing(m, dict.fromkeys(LEG_STATIONS, 1.0), legs)
    yield "crotch", frame.levels["crotch"] - (frame.levels["hip"] - float(drops.max()))
    yield from _shoulder_missing(frame, shapes)
    arm = _arm_fan(frame)
    round_arm = arm.outlines(ray_lengths(shapes.arm.field, *arm.rays()))
    yield from _limb_missing(m, ARM_STATIONS, round_arm)


def _trunk_fan(frame: Frame) -> Fan:
    heights = np.array([frame.levels[level] for level in TRUNK_LEVELS])
    centres = np.column_stack(
        [np.zeros(len(heights)), np.full(len(heights), frame.back_y - 0.10), heights]
    )
    return Fan(centres, Y, X, 0.60, RAYS, math.pi)


def _trunk_missing(m: Measures, outlines: FloatArray) -> Missing:
    outlines = np.concatenate([outlines, outlines * [1.0, -1.0]], axis=1)  # both sides are alike
    for level, outline in zip(TRUNK_LEVELS, outlines, strict=True):
        girth, (depth, breadth) = hull_girth(outline), np.ptp(outline, axis=0).tolist()
        if level == "underbust":
            yield level, math.log(_underbust(m) / girth)
            continue
        short = math.log(m.value(f"{level}_girth") / girth)
        narrower, deeper = _section_missing(m, level, breadth, depth)
        # of equal girth, the squarer section is the smaller one
        square = narrower - deeper
        if level == "bust" and _has_breasts(m):
            yield from _breast_missing(m, short, narrower, deeper)
            square = short
        yield level, short
        yield f"{level}_square", square
        yield f"{level}_depth", (narrower + deeper) / max(len(_taped(m, level)), 1)


def _section_missing(m: Measures, level: str, breadth: float, depth: float) -> tuple[float, float]:
    """By how much a section should be narrower, and by how much deeper.

    Where the tape gives neither breadth nor depth, the survey's ratio counts.
    """
    taped = _taped(m, level)
    if not taped:
        return 0.0, math.log(depth_ratio(m, level) * breadth / depth)
    narrower, deeper = (
        (math.log(breadth / m.value(f"{level}_breadth")) if "breadth" in taped else 0.0),
        (math.log(m.value(f"{level}_depth") / depth) if "depth" in taped else 0.0),
    )
    return narrower, deeper


def _breast_missing(m: Measures, short: float, narrower: float, deeper: float) -> Missing:
    """Broader ribs leave less of a girth to the breasts; but breasts make a given depth."""
    if "depth" in _taped(m, "bust"):
        yield "breast", deeper
        yield "ribs", -narrower if "breadth" in _taped(m, "bust") else short
    else:
        yield "breast", short
        yield "ribs", -narrower - deeper


def _underbust(m: Measures) -> float:
    """The girth below the bust; an estimate gives way, by its spread, to a larger waist.

    Between the breasts and the belly the waist stays the narrowest place.
    """
    girth, spread, given = m["underbust_girth"]
    if given:
        return girth
    wanted = m.value("waist_girth") + OVER_WAIST_M
    return girth + min(max(wanted - girth, 0.0), MOST_UNDERBUST_DEVIATIONS * spread)


def _neck_fan(m: Measures, frame: Frame) -> Fan:
    centre = frame["neck_root"] + np.array([0.0, -NECK_AXIS_FORWARD_M, NECK_ABOVE_BACK_POINT_M])
    backward = np.array([0.0, math.cos(NECK_TILT), math.sin(NECK_TILT)])
    return Fan(centre[None], X, backward, neck_reach(m), LIMB_RAYS)


def _seats(frame: Frame) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Rays from the height of the hip down to the crotch."""
    starts = frame["hip"] * Y + frame.levels["hip"] * Z + np.outer(np.linspace(-0.04, 0.06, 6), Y)
    return starts, np.tile(-Z, (len(starts), 1)), np.full(len(starts), 0.20)


def _shoulder_missing(frame: Frame, shapes: BodyShapes) -> Missing:
    """Where shoulder line and armpit belong, against where they are."""
    names = ("shoulder_point", "side_neck_point")
    ridge = np.linspace(-RIDGE_M, RIDGE_M, 5)[:, None] * Y - BELOW_SKIN_M * Z
    below = np.concatenate([frame[name] + ridge for name in names])
    up, reach = np.tile(Z, (len(below), 1)), np.full(len(below), 0.12)
    tops = ray_lengths(shapes.field, below, up, reach).reshape(len(names), -1)
    for name, top in zip(names, tops.max(axis=1).tolist(), strict=True):
        yield name, BELOW_SKIN_M - top
    yield "armpit", _armpit(frame, shapes) - frame.levels["axilla"]


def _armpit(frame: Frame, shapes: BodyShapes) -> float:
    """Height where arm and trunk meet: the highest place that is reached from below, outside."""
    axilla, shoulder = frame.levels["axilla"], frame["shoulder"]
    x = np.linspace(0.60 * shoulder[0], shoulder[0] + 0.06, ARMPIT_COLUMNS)
    z = np.linspace(axilla - 0.10, axilla + 0.09, ARMPIT_ROWS)
    points = np.stack(np.broadcast_arrays(x[:, None], shoulder[1], z), axis=-1)
    value = shapes.field(points.reshape(-1, 3)).reshape(ARMPIT_COLUMNS, ARMPIT_ROWS)
    free = np.minimum.accumulate(value > 0.0, axis=1)
    last = free.sum(axis=1) - 1
    columns = np.flatnonzero((last >= 0) & (last < ARMPIT_ROWS - 1))
    if len(columns) == 0:
        return float(axilla)
    below, above = value[columns, last[columns]], value[columns, last[columns] + 1]
    return float((z[last[columns]] + below / (below - above) * (z[1] - z[0])).max())


def _limb_missing(m: Measures, stations: Mapping[str, float], outlines: FloatArray) -> Missing:
    """``stations`` holds a factor on the measure at each station."""
    for (name, factor), outline in zip(stations.items(), outlines, strict=True):
        yield name, math.log(factor * m.value(f"{name}_girth") / hull_girth(outline))


def _arm_fan(frame: Frame) -> Fan:
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
    return Fan(centres, side, Y, 0.25, LIMB_RAYS)


def _leg_fan(frame: Frame) -> Fan:
    level = frame.levels
    heights = np.array(
        [
            level["thigh"],
            level["knee"] + LOWER_THIGH_ABOVE_KNEE_M,
            level["knee"],
            level["calf"],
            level["ankle"] + 0.055,
        ]
    )
    centres = np.column_stack(np.broadcast_arrays(frame["hip"][0], 0.008, heights))
    # rays towards the other leg end at the mirror plane
    inward = -np.cos(np.arange(LIMB_RAYS) * (2.0 * math.pi / LIMB_RAYS))
    reach = np.minimum((frame["hip"][0] - 0.002) / np.maximum(inward, 1e-3), 0.30)
    return Fan(centres, X, Y, np.tile(reach, (len(centres), 1)), LIMB_RAYS)

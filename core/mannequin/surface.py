# SPDX-License-Identifier: GPL-3.0-or-later
"""The body as implicit shapes, from the measures.

The bind pose: upright, the arms straight and raised 45 degrees to the side, the legs straight.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .shapes import Ellipsoid, Loft, Union, make_loft, natural_curve, smooth_minimum

__all__ = ["BIND_ABDUCTION", "BodyShapes", "Frame", "build_body", "make_frame"]

BIND_ABDUCTION = math.radians(45.0)


@dataclass(frozen=True, slots=True)
class Frame:
    """Points that the shapes hang on, bind pose, wearer's left side where a side matters."""

    points: Mapping[str, FloatArray]

    def __getitem__(self, name: str) -> FloatArray:
        return self.points[name]


@dataclass(frozen=True, slots=True)
class BodyShapes:
    """The joined shapes; ``field`` is even in x."""

    trunk: Union
    neck_head: Union
    arm: Union
    leg: Union

    def parts(self, points: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Fields of trunk with neck and head, of the left arm and of the left leg."""
        points = points * np.array([1.0, 1.0, 1.0])
        points[:, 0] = np.abs(points[:, 0])
        trunk = smooth_minimum(self.trunk.field(points), self.neck_head.field(points), 0.030)
        return trunk, self.arm.field(points), self.leg.field(points)

    def field(self, points: FloatArray) -> FloatArray:
        """Field of the whole body at ``points`` (n, 3)."""
        trunk, arm, leg = self.parts(points)
        return smooth_minimum(smooth_minimum(trunk, leg, 0.030), arm, 0.050)


def ellipse_half_axes(girth_m: float, depth_over_breadth: float) -> tuple[float, float]:
    """Half breadth and half depth of the ellipse with that girth (Ramanujan's first formula)."""
    r = depth_over_breadth
    around = math.pi * (3.0 * (1.0 + r) - math.sqrt((3.0 + r) * (1.0 + 3.0 * r)))
    return girth_m / around, girth_m / around * r


def make_frame(m: Measures) -> Frame:
    """Joint centres and landmarks from the measures."""
    v = m.value
    biacromial = v("biacromial_breadth")
    arm_radius = v("upper_arm_girth") / (2.0 * math.pi)
    slope = v("shoulder_slope")
    tip = np.array([0.5 * biacromial, 0.012, v("shoulder_point_height")])
    side_neck_x = max(0.5 * biacromial - v("shoulder_length") * math.cos(slope), 0.035)
    shoulder_x = max(0.5 * v("bideltoid_breadth") - 1.0 * arm_radius, 0.47 * biacromial)
    shoulder = np.array([shoulder_x, 0.012, tip[2] - 0.045])
    upper = v("shoulder_point_to_elbow") - 0.040
    along = np.array([math.sin(BIND_ABDUCTION), 0.0, -math.cos(BIND_ABDUCTION)])
    elbow = shoulder + upper * along
    wrist = elbow + v("elbow_to_wrist") * along
    hand = v("hand_length")
    hip_x = 0.26 * v("hip_breadth")
    ankle_z = v("ankle_height")
    points = {
        "back_neck_point": np.array([0.0, 0.072, v("back_neck_point_height")]),
        "side_neck_point": np.array([side_neck_x, 0.028, v("side_neck_point_height")]),
        "front_neck_point": np.array([0.0, -0.045, v("front_neck_point_height")]),
        "shoulder_point": tip,
        "shoulder": shoulder,
        "elbow": elbow,
        "wrist": wrist,
        "knuckles": wrist + 0.56 * hand * along,
        "finger_tip": wrist + hand * along,
        "hip": np.array([hip_x, 0.0, v("trochanter_height") + 0.01]),
        "knee": np.array([hip_x + 0.004, -0.002, v("knee_height")]),
        "ankle": np.array([hip_x + 0.008, 0.030, ankle_z]),
        "top_of_head": np.array([0.0, -0.01, v("height")]),
        "chin": np.array([0.0, -0.09, v("height") * 0.867]),
    }
    return Frame(points)


def build_body(m: Measures, frame: Frame, scale: Mapping[str, float]) -> BodyShapes:
    """Shapes for the measures; ``scale`` holds the factors and shifts that the fitting tunes."""
    trunk = _trunk(m, frame, scale)
    return BodyShapes(
        trunk, _neck_head(m, frame, scale), _arm(m, frame, scale), _leg(m, frame, scale)
    )


def _between(low: float, high: float, share: float) -> float:
    return low + share * (high - low)


def trunk_shape(m: Measures) -> dict[str, float]:
    """Depth over breadth and exponents, between the sexes by ``female_share``."""
    f = m.female_share
    v = m.value

    def mix(female: float, male: float) -> float:
        return _between(male, female, f)

    return {
        # survey of 1988, regression on girth in mm
        "bust_ratio": mix(
            0.61548 + 0.000266 * 1e3 * v("bust_girth"), 0.67627 + 8.17e-5 * 1e3 * v("bust_girth")
        ),
        "waist_ratio": mix(
            0.5846 + 1.507e-4 * 1e3 * v("waist_girth"), 0.61797 + 1.3135e-4 * 1e3 * v("waist_girth")
        ),
        "navel_ratio": mix(
            0.5846 + 1.507e-4 * 1e3 * v("navel_waist_girth"),
            0.61797 + 1.3135e-4 * 1e3 * v("navel_waist_girth"),
        ),
        "hip_ratio": mix(
            0.5176 + 1.504e-4 * 1e3 * v("hip_girth"), 0.50419 + 2.2692e-4 * 1e3 * v("hip_girth")
        ),
        "hollow": mix(0.034, 0.024),
    }


def _perimeter_factor(ratio: float, n: float) -> float:
    """Girth over breadth of a superellipse."""
    t = np.linspace(0.0, 0.5 * math.pi, 400)
    x = 0.5 * np.cos(t) ** (2.0 / n)
    y = 0.5 * ratio * np.sin(t) ** (2.0 / n)
    return float(4.0 * np.hypot(np.diff(x), np.diff(y)).sum())


def _trunk(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Union:
    v = m.value
    f = m.female_share
    shape = trunk_shape(m)
    tip = frame["shoulder_point"]

    def level(girth: float, ratio: float, n: float, key: str) -> tuple[float, float]:
        breadth = girth / _perimeter_factor(ratio, n) * scale.get(key, 1.0)
        return 0.5 * breadth, ratio * breadth * scale.get(key + "_depth", 1.0)

    bust_z, waist_z = v("bust_height"), v("waist_height")
    navel_z, hip_z = v("navel_waist_height"), v("hip_height")
    crotch_z, axilla_z = v("inside_leg_height"), v("axilla_height")
    under_z = bust_z - _between(0.055, 0.075, f)
    hip_a, hip_d = level(v("hip_girth"), shape["hip_ratio"], _between(2.7, 2.8, f), "hip")
    waist_a, waist_d = level(v("waist_girth"), shape["waist_ratio"], 2.25, "waist")
    navel_a, navel_d = level(v("navel_waist_girth"), shape["navel_ratio"], 2.3, "navel")
    under_ratio = _between(0.745, 0.74, f)
    under_a, under_d = level(v("underbust_girth"), under_ratio, 2.5, "under")
    cup = max(v("bust_girth") - v("underbust_girth"), 0.0)
    # the rib cage at the bust line, without the breasts
    rib_girth = _between(
        v("bust_girth"), 0.55 * v("underbust_girth") + 0.45 * v("upper_chest_girth"), f
    )
    rib_ratio = _between(shape["bust_ratio"], 0.745, f)
    bust_a, bust_d = level(rib_girth, rib_ratio, _between(2.9, 2.7, f), "bust")
    chest_a, chest_d = level(v("upper_chest_girth"), 0.70, 2.8, "chest")
    chest_a = min(chest_a * 0.98, 0.5 * v("biacromial_breadth") * 0.93)
    chest_d *= 0.93
    back = 0.112 + 0.10 * (v("bust_girth") - 0.95) * 0.5  # the shoulder blades
    hip_back = max(0.56 * hip_d, back + 0.012)
    waist_back = back - shape["hollow"] + 0.10 * (waist_d - 0.19)
    navel_back = 0.55 * waist_back + 0.45 * hip_back - 0.018
    rows: list[tuple[float | None, ...]] = [
        # height, front y, back y, half breadth, exponent, share of depth in front of widest
        (
            crotch_z - 0.004,
            hip_back - 0.93 * hip_d,
            hip_back - 0.10 * hip_d,
            0.60 * hip_a,
            2.3,
            0.5,
        ),
        (
            0.5 * (crotch_z + hip_z),
            hip_back - 0.97 * hip_d,
            hip_back - 0.03 * hip_d,
            0.92 * hip_a,
            2.5,
            0.5,
        ),
        (hip_z, hip_back - hip_d, hip_back, hip_a, _between(2.7, 2.8, f), 0.48),
        (0.42 * hip_z + 0.58 * navel_z, None, None, None, None, None),
        (navel_z, navel_back - navel_d, navel_back, navel_a, 2.35, 0.52),
        (waist_z, waist_back - waist_d, waist_back, waist_a, 2.25, 0.52),
        (under_z, back - 0.008 - under_d, back - 0.008, under_a, 2.5, 0.55),
        (bust_z, back - bust_d, back, bust_a, _between(2.9, 2.7, f), 0.55),
        (axilla_z, back + 0.002 - chest_d, back + 0.002, chest_a, 2.7, 0.50),
        (
            0.45 * axilla_z + 0.55 * tip[2],
            back - 0.004 - 0.80 * chest_d,
            back - 0.004,
            0.90 * chest_a,
            2.5,
            0.45,
        ),
        (tip[2] - 0.004, back - 0.022 - 0.56 * chest_d, back - 0.022, 0.70 * chest_a, 2.3, 0.45),
        (tip[2] + 0.030, back - 0.045 - 0.36 * chest_d, back - 0.045, 0.45 * chest_a, 2.2, 0.45),
    ]
    rows = _fill_gap(rows, hip_a, hip_d, hip_back, navel_a, navel_d, navel_back)
    table = np.array(rows, dtype=np.float64)
    sections = np.column_stack([np.zeros(len(table)), table[:, 1:]])
    loft = make_loft(table[:, 0], sections, curve=natural_curve)
    shapes: list[Loft | Ellipsoid | Union] = [loft, _shoulder_girdle(m, frame, scale)]
    radii = [0.035]
    # breasts: a fuller lower and a longer upper half
    if f > 0.02:
        size = max(0.20 * cup * f + scale.get("breast", 0.0), 0.001)
        width = 0.056 + 0.10 * cup
        y = back - bust_d
        x = 0.5 * v("bust_point_breadth") * 0.94
        # points away from the middle by about 15 degrees
        turn = math.radians(14.0)
        axes = np.array(
            [
                [math.cos(turn), math.sin(turn), 0.0],
                [-math.sin(turn), math.cos(turn), 0.0],
                [0.0, 0.0, 1.0],
            ]
        )
        centre = np.array([x, y + 0.020, bust_z - 0.004])
        radius = np.array([width, size + 0.020, width * 0.92])
        shapes.append(Ellipsoid(centre, radius, width * 1.5, axes))
        radii.append(0.034)
    # buttocks
    girth = v("hip_girth")
    buttock = Ellipsoid(
        np.array([0.072 * girth, hip_back - 0.070 * girth + 0.004, hip_z - 0.002]),
        np.array([0.075 * girth, 0.070 * girth, 0.076 * girth]),
        0.095 * girth,
        np.eye(3),
    )
    shapes.append(buttock)
    radii.append(0.030)
    return Union(tuple(shapes), tuple(radii))


def _fill_gap(
    rows: list[tuple[float | None, ...]],
    hip_a: float,
    hip_d: float,
    hip_back: float,
    navel_a: float,
    navel_d: float,
    navel_back: float,
) -> list[tuple[float | None, ...]]:
    """Section between navel and hip: breadth nearer to the hip's, the belly nearer to the navel's."""
    filled: list[tuple[float | None, ...]] = []
    for row in rows:
        if row[1] is None:
            a = max(0.62 * hip_a + 0.38 * navel_a, 0.0)
            front = 0.45 * (hip_back - hip_d) + 0.55 * (navel_back - navel_d) - 0.004
            back = 0.40 * hip_back + 0.60 * navel_back + 0.004
            filled.append((row[0], front, back, a, 2.45, 0.5))
        else:
            filled.append(row)
    return filled


def _shoulder_girdle(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Loft:
    """A bar along x under the shoulder line, from the middle to the shoulder point."""
    tip, neck = frame["shoulder_point"], frame["side_neck_point"]
    lift = scale.get("shoulder_lift", -0.006)
    fall = (neck[2] - tip[2]) / (tip[0] - neck[0])
    rows = []
    for x, half, front, back in (
        (0.0, 0.045, -0.030, 0.088),
        (0.5 * neck[0], 0.045, -0.032, 0.088),
        (neck[0] + 0.2 * (tip[0] - neck[0]), 0.042, -0.034, 0.086),
        (neck[0] + 0.6 * (tip[0] - neck[0]), 0.038, -0.036, 0.074),
        (tip[0] - 0.004, 0.036, -0.034, 0.060),
        (tip[0] + 0.012, 0.028, -0.024, 0.048),
        (tip[0] + 0.022, 0.010, -0.005, 0.028),
    ):
        dip = 0.004 * math.sin(math.pi * min(max((x - neck[0]) / (tip[0] - neck[0]), 0.0), 1.0))
        top = neck[2] - fall * (max(x, neck[0]) - neck[0]) + lift - dip
        if x > tip[0]:
            top = tip[2] + lift - (x - tip[0]) * 0.9
        rows.append((x, top - half, front, back, half, 2.2, 0.5))
    table = np.array(rows)
    # u is height, v is depth, s is x
    axes = np.array([[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0]])
    return make_loft(table[:, 0], table[:, 1:], axes=axes)


def _neck_head(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Union:
    v = m.value
    neck = scale.get("neck", 1.0)
    base_a, base_d = ellipse_half_axes(v("neck_base_girth") * 0.97, 1.02)
    mid_a, mid_d = ellipse_half_axes(v("neck_girth") * neck, 1.04)
    back_z, front_z = v("back_neck_point_height"), v("front_neck_point_height")
    chin_z, top_z = frame["chin"][2], v("height")
    head_a, head_d = 0.5 * v("head_breadth"), 0.5 * v("head_length")
    head_y = -0.018
    mid_z = _between(back_z, chin_z, 0.55)
    rows = [
        (front_z - 0.03, 0.030 - base_d, 0.030 + base_d, base_a, 2.1, 0.5),
        (0.5 * (front_z + back_z), 0.022 - base_d, 0.022 + base_d, base_a * 0.99, 2.1, 0.5),
        (back_z + 0.005, 0.010 - mid_d * 1.03, 0.010 + mid_d * 1.06, mid_a * 1.03, 2.05, 0.5),
        (mid_z, 0.002 - mid_d, 0.002 + mid_d, mid_a, 2.0, 0.5),
        (chin_z + 0.02, -0.004 - 0.98 * mid_d, -0.004 + mid_d, 0.97 * mid_a, 2.0, 0.5),
        (_between(chin_z, top_z, 0.4), -0.004 - 0.8 * mid_d, 0.004 + mid_d, 0.85 * mid_a, 2.0, 0.5),
    ]
    table = np.array(rows)
    neck_loft = make_loft(table[:, 0], np.column_stack([np.zeros(len(table)), table[:, 1:]]))
    face = head_y - head_d
    rear = head_y + head_d
    head_rows = [
        (0.000, face + 0.022, face + 0.040, 0.008),
        (0.012, face + 0.010, face + 0.060, 0.020),
        (0.050, face + 0.004, face + 0.085, 0.033),
        (0.130, face + 0.005, face + 0.115, 0.048),
        (0.250, face + 0.004, face + 0.50 * 2 * head_d, 0.060),
        (0.400, face + 0.001, face + 0.86 * 2 * head_d, 0.068),
        (0.550, face + 0.000, rear - 0.004, 0.0725),
        (0.680, face + 0.005, rear, 0.074),
        (0.800, face + 0.018, rear - 0.010, 0.069),
        (0.900, face + 0.042, rear - 0.032, 0.055),
        (0.960, face + 0.066, rear - 0.056, 0.037),
        (0.990, face + 0.084, rear - 0.076, 0.019),
        (1.000, face + 0.094, rear - 0.088, 0.006),
    ]
    table = np.array(head_rows)
    z = chin_z + table[:, 0] * (top_z - chin_z)
    sections = np.column_stack(
        [
            np.zeros(len(table)),
            table[:, 1],
            table[:, 2],
            table[:, 3] * head_a / 0.074,
            np.full(len(table), 2.15),
            np.full(len(table), 0.52),
        ]
    )
    return Union((make_loft(z, sections), neck_loft), (0.022,))


def _arm(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Union:
    v = m.value
    along = np.array([math.sin(BIND_ABDUCTION), 0.0, -math.cos(BIND_ABDUCTION)])
    depth = np.array([0.0, 1.0, 0.0])
    # u points to the palm side, v to the back, s to the hand
    axes = np.stack([np.cross(depth, along), depth, along])
    origin = frame["shoulder"]
    upper = float(np.linalg.norm(frame["elbow"] - origin))
    fore = float(np.linalg.norm(frame["wrist"] - frame["elbow"]))
    key = scale.get

    def ring(s: float, girth: float, ratio: float, y: float = 0.0, u: float = 0.0) -> list[float]:
        half_u, half_v = ellipse_half_axes(girth, ratio)
        return [s, u, y - half_v, y + half_v, half_u, 2.05, 0.5]

    top = v("upper_arm_girth") * key("upper_arm", 1.0)
    elbow = v("elbow_girth") * key("elbow", 1.0)
    forearm = v("forearm_girth") * 0.965 * key("forearm", 1.0)
    wrist = v("wrist_girth") * key("wrist", 1.0)
    radius = top / (2.0 * math.pi)
    rows = [
        ring(-0.92 * radius, 0.40 * top, 1.05),
        ring(-0.70 * radius, 0.72 * top, 1.05),
        ring(-0.35 * radius, 0.94 * top, 1.06),
        ring(0.0, 1.02 * top, 1.07),
        ring(0.18 * upper, 1.03 * top, 1.08),
        ring(0.34 * upper, 1.00 * top, 1.08),
        ring(0.55 * upper, _between(elbow, top, 0.80), 1.06, -0.003),
        ring(0.80 * upper, _between(elbow, top, 0.30), 1.02, -0.001),
        ring(upper, elbow, 1.00),
        ring(upper + 0.22 * fore, forearm, 1.04),
        ring(upper + 0.55 * fore, _between(wrist, forearm, 0.58), 1.12),
        ring(upper + 0.86 * fore, _between(wrist, forearm, 0.06), 1.32),
        ring(upper + fore, wrist, 1.42),
    ]
    hand, end = v("hand_length"), upper + fore
    breadth = v("hand_breadth")
    thick = 0.0145 * hand / 0.185
    for share, half_v, half_u in (
        (0.12, 0.40, 1.05),
        (0.28, 0.47, 1.05),
        (0.48, 0.50, 0.98),
        (0.70, 0.44, 0.78),
        (0.88, 0.34, 0.62),
        (0.96, 0.22, 0.48),
        (1.00, 0.08, 0.25),
    ):
        half = half_v * breadth
        rows.append([end + share * hand, 0.004 * share, -half, half, half_u * thick, 2.4, 0.5])
    table = np.array(rows)
    limb = make_loft(table[:, 0], table[:, 1:], origin, axes)
    # thumb: from the front edge of the palm, about 35 degrees off the hand
    start = origin + (end + 0.14 * hand) * along - 0.30 * breadth * depth + 0.004 * axes[0]
    lean = math.radians(32.0)
    direction = math.cos(lean) * along - math.sin(lean) * depth
    side = np.cross(axes[0], direction)
    length = 0.42 * hand
    thumb_rows = np.array(
        [
            [0.00, 0.0, -0.013, 0.013, 0.012, 2.0, 0.5],
            [0.45, 0.0, -0.011, 0.011, 0.0105, 2.0, 0.5],
            [0.85, 0.0, -0.0095, 0.0095, 0.009, 2.0, 0.5],
            [0.96, 0.0, -0.006, 0.006, 0.006, 2.0, 0.5],
            [1.00, 0.0, -0.002, 0.002, 0.002, 2.0, 0.5],
        ]
    )
    thumb_rows[:, 2:5] *= hand / 0.185
    thumb = make_loft(
        thumb_rows[:, 0] * length,
        thumb_rows[:, 1:],
        start,
        np.stack([axes[0], side, direction]),
    )
    return Union((limb, thumb), (0.018,))


def _leg(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Union:
    v = m.value
    key = scale.get
    hip_z, crotch_z = v("hip_height"), v("inside_leg_height")
    fold_z, knee_z = v("gluteal_fold_height"), v("knee_height")
    calf_z, ankle_z = v("calf_height"), v("ankle_height")
    knee, ankle = frame["knee"], frame["ankle"]
    thigh = v("thigh_girth") * key("thigh", 1.0)
    lower = v("lower_thigh_girth") * key("lower_thigh", 1.0)
    knee_girth = v("knee_girth") * key("knee", 1.0)
    calf = v("calf_girth") * key("calf", 1.0)
    ankle_girth = v("ankle_girth") * key("ankle", 1.0)
    thigh_a, _ = ellipse_half_axes(thigh, 1.18)
    inner = 0.004

    def ring(
        z: float, x: float, y: float, girth: float, ratio: float, n: float = 2.05
    ) -> list[float]:
        half_a, half_d = ellipse_half_axes(girth, ratio)
        return [z, x, y - half_d, y + half_d, half_a, n, 0.5]

    thigh_x = thigh_a + inner
    middle_z = 0.5 * (crotch_z + knee_z)
    middle = 0.52 * thigh + 0.48 * lower
    middle_a, _ = ellipse_half_axes(middle, 1.12)
    middle_x = max(0.5 * (thigh_x + knee[0]) + 0.004, middle_a + 0.010)
    rows = [
        [0.015, ankle[0], ankle[1] - 0.022, ankle[1] + 0.026, 0.026, 2.1, 0.5],
        ring(ankle_z, ankle[0], ankle[1] - 0.004, 1.06 * ankle_girth, 1.22),
        ring(ankle_z + 0.055, ankle[0], ankle[1] - 0.006, ankle_girth, 1.14),
        ring(
            _between(ankle_z, calf_z, 0.55),
            ankle[0] * 0.6 + knee[0] * 0.4 + 0.002,
            0.5 * (ankle[1] + 0.022),
            _between(ankle_girth, calf, 0.50),
            1.08,
        ),
        ring(calf_z, knee[0] + 0.004, 0.022, calf, 1.05),
        ring(
            _between(calf_z, knee_z, 0.62),
            knee[0] + 0.001,
            0.012,
            0.30 * calf + 0.70 * knee_girth * 0.955,
            1.04,
        ),
        ring(knee_z, knee[0], 0.000, knee_girth, 1.05),
        ring(knee_z + 0.065, 0.9 * knee[0] + 0.1 * middle_x, 0.000, lower, 1.07),
        ring(middle_z, middle_x, -0.006, middle, 1.12),
        ring(fold_z, thigh_x, 0.012, thigh, 1.18),
        ring(crotch_z + 0.01, thigh_x, 0.012, 0.98 * thigh, 1.15),
        ring(hip_z + 0.02, thigh_x * 0.99, 0.010, 0.88 * thigh, 1.15),
        ring(hip_z + 0.08, thigh_x * 0.95, 0.006, 0.60 * thigh, 1.15),
    ]
    table = np.array(rows)
    limb = make_loft(table[:, 0], table[:, 1:], curve=natural_curve)
    return Union((limb, _foot(m, frame)), (0.025,))


def _foot(m: Measures, frame: Frame) -> Loft:
    """Along the foot from the heel to the toes, turned out a little."""
    v = m.value
    length, breadth = v("foot_length"), v("foot_breadth")
    ankle = frame["ankle"]
    turn = math.radians(6.0)
    forward = np.array([math.sin(turn), -math.cos(turn), 0.0])
    side = np.array([math.cos(turn), math.sin(turn), 0.0])
    heel = np.array([ankle[0], ankle[1], 0.0]) - 0.185 * length * forward
    rows = []
    for share, half, top, shift in (
        (0.000, 0.10, 0.024, 0.0),
        (0.020, 0.22, 0.034, 0.0),
        (0.080, 0.31, 0.050, 0.0),
        (0.200, 0.34, 0.066, 0.0),
        (0.350, 0.34, 0.070, 0.0),
        (0.500, 0.38, 0.056, 0.0),
        (0.700, 0.48, 0.038, -0.002),
        (0.850, 0.44, 0.026, -0.004),
        (0.940, 0.34, 0.021, -0.008),
        (0.985, 0.18, 0.016, -0.012),
        (1.000, 0.07, 0.012, -0.014),
    ):
        rows.append([share * length, shift, 0.0, top * length / 0.25, half * breadth, 2.6, 0.42])
    table = np.array(rows)
    # u across, v upwards, s forwards
    return make_loft(
        table[:, 0], table[:, 1:], heel, np.stack([side, np.array([0.0, 0.0, 1.0]), forward])
    )

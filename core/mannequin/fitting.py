# SPDX-License-Identifier: GPL-3.0-or-later
"""Tunes the shapes until a tape round the body reads what the measures say."""

from collections.abc import Callable

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .measuring import hull_girth, shape_section
from .shapes import smooth_minimum
from .surface import BodyShapes, Frame, build_body

__all__ = ["fit_body"]

ROUNDS = 6
X, Y, Z = np.eye(3)


def fit_body(m: Measures, frame: Frame) -> BodyShapes:
    """Shapes whose girths are those of the measures, to a fraction of a millimetre."""
    scale: dict[str, float] = {}
    for _ in range(ROUNDS):
        body = build_body(m, frame, scale)
        _tune(m, frame, body, scale)
    return build_body(m, frame, scale)


def _tune(m: Measures, frame: Frame, body: BodyShapes, scale: dict[str, float]) -> None:
    v = m.value

    def trunk(points: FloatArray) -> FloatArray:
        torso, _, leg = body.parts(points)
        return smooth_minimum(torso, leg, 0.030)

    def girth_at(height: float) -> float:
        centre = np.array([0.0, 0.0, height])
        return hull_girth(shape_section(trunk, centre, X, Y, 0.60))

    def bust_girth() -> float:
        # here the armpit bulges: rays end in the gap between trunk and arm
        centre = np.array([0.0, 0.0, v("bust_height")])
        drop = frame["shoulder"][2] - v("bust_height")
        reach = frame["shoulder"][0] + 0.5 * drop
        return hull_girth(shape_section(body.field, centre, X, Y, reach))

    for key, height in (
        ("hip", v("hip_height")),
        ("navel", v("navel_waist_height")),
        ("waist", v("waist_height")),
        ("under", _underbust_height(m)),
    ):
        wanted = v({"navel": "navel_waist", "under": "underbust"}.get(key, key) + "_girth")
        scale[key] = scale.get(key, 1.0) * wanted / girth_at(height)
    bust = bust_girth()
    if m.female_share > 0.3:
        scale["breast"] = scale.get("breast", 0.0) + (v("bust_girth") - bust) * 0.6
    else:
        scale["bust"] = scale.get("bust", 1.0) * v("bust_girth") / bust
    neck = hull_girth(
        shape_section(
            body.neck_head.field,
            np.array([0.0, 0.0, frame["back_neck_point"][2] + 0.03]),
            X,
            Y,
            0.3,
        )
    )
    scale["neck"] = scale.get("neck", 1.0) * v("neck_girth") / neck
    _tune_arm(m, frame, body.arm.field, scale)
    _tune_leg(m, frame, body.leg.field, scale)


def _underbust_height(m: Measures) -> float:
    return m.value("bust_height") - 0.055 - 0.020 * m.female_share


def _tune_arm(
    m: Measures, frame: Frame, field: Callable[[FloatArray], FloatArray], scale: dict[str, float]
) -> None:
    v = m.value
    along = frame["elbow"] - frame["shoulder"]
    along = along / np.linalg.norm(along)
    side = np.cross(Y, along)
    fore = frame["wrist"] - frame["elbow"]
    stations = {
        "upper_arm": frame["shoulder"] + 0.34 * (frame["elbow"] - frame["shoulder"]),
        "elbow": frame["elbow"],
        "forearm": frame["elbow"] + 0.22 * fore,
        "wrist": frame["wrist"],
    }
    for key, centre in stations.items():
        wanted = v(key + "_girth") * (0.965 if key == "forearm" else 1.0)
        girth = hull_girth(shape_section(field, centre, side, Y, 0.3, rays=48))
        scale[key] = scale.get(key, 1.0) * wanted / girth


def _tune_leg(
    m: Measures, frame: Frame, field: Callable[[FloatArray], FloatArray], scale: dict[str, float]
) -> None:
    v = m.value
    hip_x = frame["hip"][0]
    stations = {
        "thigh": v("gluteal_fold_height"),
        "lower_thigh": v("knee_height") + 0.065,
        "knee": v("knee_height"),
        "calf": v("calf_height"),
        "ankle": v("ankle_height") + 0.055,
    }
    for key, height in stations.items():
        centre = np.array([hip_x, 0.012, height])
        girth = hull_girth(shape_section(field, centre, X, Y, 0.4, rays=48))
        scale[key] = scale.get(key, 1.0) * v(key + "_girth") / girth

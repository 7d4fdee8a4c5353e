# SPDX-License-Identifier: GPL-3.0-or-later
"""What is raised from trunk and legs: breasts or chest, seat, bones and furrows."""

import math
from collections.abc import Mapping

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import Frame, between
from .shapes import Relief
from .torso import hip_back_y, rib_ratio

__all__ = ["make_reliefs"]

FORWARD = 180.0


def _facing(degrees: float, roll: float = 0.0) -> FloatArray:
    """Axes across, outwards, up for a relief that faces ``degrees`` from the back to the left.

    ``roll`` raises its outer end (that away from the middle of a front or back) by so many degrees.
    """
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    outwards, across, up = np.array([s, c, 0.0]), np.array([c, -s, 0.0]), np.array([0.0, 0.0, 1.0])
    r, t = math.cos(math.radians(roll)), math.sin(math.radians(roll))
    t *= 1.0 if across[0] > 0.0 else -1.0
    return np.stack([r * across + t * up, outwards, r * up - t * across])


def make_reliefs(m: Measures, frame: Frame, scale: Mapping[str, float]) -> tuple[Relief, ...]:
    """All of them, for the wearer's left side and the middle.

    Bones and furrows are as deep as on lean people, and shallower the stouter the body is.
    """
    v = m.value
    lean = float(np.clip(1.5 - 2.0 * (v("waist_girth") / v("height") - 0.42) / 0.12, 0.25, 1.0))
    f = m.female_share
    reliefs = [*_back(m, frame, lean), *_front(m, frame, lean), *_leg(m, frame, lean)]
    if f > 0.02:
        reliefs.extend(_breast(m, frame, scale))
    if f < 0.98:
        reliefs.extend(_chest(m, frame, lean))
    return tuple(reliefs)


def _back(m: Measures, frame: Frame, lean: float) -> tuple[Relief, ...]:
    seat, level = m.value("hip_girth") / 1.02, frame.levels
    tip, axilla, back_y = frame["shoulder_point"], level["axilla"], frame.back_y
    hip_y = hip_back_y(m, frame)
    return (
        Relief(
            np.array([0.0714 * seat, hip_y - 0.006, level["hip"] - 0.004]),
            np.array([0.105, 0.085, 0.085, 0.185]) * seat,
            _facing(14.0),
            between(0.023, 0.026, m.female_share) * seat,
            0.1,
        ),
        Relief(  # the fold under it
            np.array([0.080 * seat, hip_y - 0.050, level["gluteal_fold"] + 0.004]),
            np.array([0.080 * seat, 0.060, 0.030, 0.034]),
            _facing(8.0, 8.0),
            -0.0045,
        ),
        Relief(  # furrow of the spine
            np.array([0.0, back_y - 0.010, between(level["waist"], axilla, 0.30)]),
            np.array([0.034, 0.060, 0.26, 0.24]),
            np.eye(3),
            -0.0095 * lean,
        ),
        Relief(  # shoulder blade
            np.array([0.46 * tip[0], back_y, axilla + 0.010]),
            np.array([0.072, 0.060, 0.095, 0.075]),
            _facing(16.0, -12.0),
            0.0075 * lean,
        ),
    )


def _front(m: Measures, frame: Frame, lean: float) -> tuple[Relief, ...]:
    level, back_y, f = frame.levels, frame.back_y, m.female_share
    pit, tip, hip = frame["front_neck_point"], frame["shoulder_point"], frame["hip"]
    inside_y = back_y - 0.12  # well behind the skin of the front: that counts as on the centre
    seat = m.value("hip_girth") / 1.02
    return (
        Relief(  # furrow of the belly
            np.array([0.0, inside_y, between(level["waist"], level["underbust"], 0.1)]),
            np.array([0.032, 0.080, 0.13, 0.13]),
            _facing(FORWARD),
            -0.0045 * lean,
        ),
        Relief(  # under the arch of the ribs
            np.array([0.075, inside_y, between(level["waist"], level["underbust"], 0.62)]),
            np.array([0.085, 0.060, 0.040, 0.050]),
            _facing(FORWARD - 14.0, -48.0),
            -0.0030 * lean * (1.0 - 0.5 * f),
        ),
        Relief(  # collar bone
            np.array([0.46 * tip[0], pit[1] + 0.02, between(pit[2], tip[2], 0.45) + 0.006]),
            np.array([0.52 * tip[0], 0.050, 0.019, 0.021]),
            _facing(FORWARD - 12.0, 8.0),
            0.0055 * lean,
        ),
        Relief(  # hollow over it
            np.array([0.50 * tip[0], pit[1] + 0.03, between(pit[2], tip[2], 0.5) + 0.034]),
            np.array([0.30 * tip[0], 0.050, 0.026, 0.030]),
            _facing(FORWARD - 12.0, 6.0),
            -0.0050 * lean,
        ),
        Relief(  # groin
            np.array([0.082 * seat, hip[1] - 0.03, level["crotch"] + 0.088]),
            np.array([0.105 * seat, 0.060, 0.030, 0.034]),
            _facing(FORWARD - 10.0, 46.0),
            -0.0045 * (0.4 + 0.6 * lean),
        ),
    )


def _leg(m: Measures, frame: Frame, lean: float) -> tuple[Relief, ...]:
    level, knee, ankle = frame.levels, frame["knee"], frame["ankle"]
    calf = m.value("calf_girth") / 0.38
    return (
        Relief(  # front of the thigh
            np.array([knee[0] + 0.006, -0.02, between(level["knee"], level["crotch"], 0.60)]),
            np.array([0.065, 0.080, 0.17, 0.15]),
            _facing(FORWARD + 10.0),
            0.0060,
        ),
        Relief(  # knee cap
            np.array([knee[0], -0.02, level["knee"] + 0.004]),
            np.array([0.036, 0.040, 0.040, 0.044]),
            _facing(FORWARD),
            0.0065 * lean,
        ),
        Relief(  # hollow of the knee
            np.array([knee[0], 0.010, level["knee"] + 0.004]),
            np.array([0.030, 0.050, 0.055, 0.060]),
            _facing(0.0),
            -0.0055 * lean,
        ),
        Relief(  # inner head of the calf, lower than the outer
            np.array([knee[0] - 0.010, 0.020, level["calf"] - 0.012]),
            np.array([0.042, 0.060, 0.075, 0.090]) * calf,
            _facing(-38.0),
            0.0050,
        ),
        *(
            Relief(  # ankle bones
                np.array([ankle[0], ankle[1] - 0.008, level["ankle"] + up]),
                np.array([0.021, 0.030, 0.022, 0.028]),
                _facing(side),
                0.0055 * lean,
            )
            for side, up in ((90.0, -0.002), (-90.0, 0.008))
        ),
    )


def _chest(m: Measures, frame: Frame, lean: float) -> tuple[Relief, ...]:
    """The muscles of a man's chest and of the sides of his back."""
    level, apart = frame.levels, m.value("bust_point_breadth")
    inside_y, share = frame.back_y - 0.12, 1.0 - m.female_share
    axilla, tip = level["axilla"], frame["shoulder_point"]
    return (
        Relief(
            np.array([0.43 * apart, inside_y, level["bust"] + 0.018]),
            np.array([0.100, 0.090, 0.062, 0.110]),
            _facing(FORWARD - 14.0, 14.0),
            0.0110 * share,
            0.55,
        ),
        Relief(  # between them
            np.array([0.0, inside_y, level["bust"] + 0.030]),
            np.array([0.026, 0.080, 0.075, 0.085]),
            _facing(FORWARD),
            -0.0050 * share * lean,
        ),
        Relief(
            np.array([0.62 * tip[0], frame.back_y - 0.06, axilla - 0.045]),
            np.array([0.070, 0.080, 0.140, 0.090]),
            _facing(62.0),
            0.0080 * share * lean,
        ),
    )


def _breast(m: Measures, frame: Frame, scale: Mapping[str, float]) -> tuple[Relief, Relief]:
    """Breasts, round below and sloping above, facing outwards a little, and what joins them.

    The larger they are, the more of their height they share, as in a brassiere.
    """
    v = m.value
    z = frame.levels["bust"]
    below = z - frame.levels["underbust"]
    cup = max(v("bust_girth") - v("underbust_girth"), 0.0)
    out = max(0.030 + scale.get("breast", 0.0), 0.0)
    # behind the ribs' front, since the chest above recedes
    inside_y = frame.back_y - rib_ratio(m) * v("underbust_girth") / 2.72 + 0.012 + 0.15 * cup
    across = 0.072 + 0.17 * cup
    x = max(0.47 * v("bust_point_breadth"), 0.74 * across)
    shared = float(np.clip(0.26 + 1.0 * (cup - 0.12), 0.20, 0.34))
    down = max(1.12 * below, 0.058)
    # the long slope from above shifts the apex of the sum up: the more, the smaller the breasts
    lower = max(0.040 - 0.18 * cup, 0.001)
    z, down = z - lower, down - 0.8 * (lower - 0.006)
    return (
        Relief(
            np.array([x, inside_y, z]),
            np.array([across, 0.095, down, 1.60 * across + 0.010]),
            _facing(FORWARD - 14.0, 10.0),
            (1.0 - shared) * out,
            0.42,
        ),
        Relief(
            np.array([0.0, inside_y, z]),
            np.array([x + 0.45 * across, 0.095, down, 1.60 * across + 0.020]),
            _facing(FORWARD),
            1.15 * shared * out,
            0.4,
        ),
    )

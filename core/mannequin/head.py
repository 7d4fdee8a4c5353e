# SPDX-License-Identifier: GPL-3.0-or-later
"""Shapes of neck and head: a plain head without features, as shop mannequins have."""

import math
from collections.abc import Mapping
from functools import partial

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import Frame, between
from .sections import ellipse_half_axes
from .shapes import Loft, Relief, flowing_curve, make_loft

__all__ = [
    "NECK_ABOVE_BACK_POINT_M",
    "NECK_AXIS_FORWARD_M",
    "NECK_RATIO",
    "NECK_TILT",
    "make_face",
    "make_head",
    "neck_rows",
]

# The neck girth is taken across the leaning neck: on its axis the plane passes this far above the
# back neck point, and it falls to the front.
NECK_ABOVE_BACK_POINT_M = 0.022
NECK_AXIS_FORWARD_M = 0.014
NECK_TILT = math.radians(20.0)
REAR_BEHIND_NECK_M = 0.040
HEAD_FLOW_M = 0.007
DOWNWARDS: FloatArray = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, -1.0]])
# From the widest place of the skull down. Height over the chin as a share of the head's height;
# front and back as shares of its length, from the back; half breadth over the skull's; exponent;
# share of the depth in front of the widest place. After drawings of heads in profile and from
# the front, without features.
SECTIONS: FloatArray = np.array(
    [
        (0.60, 0.985, 0.000, 1.00, 2.05, 0.56),
        (0.52, 0.990, 0.005, 0.99, 2.10, 0.58),
        (0.44, 0.980, 0.030, 0.95, 2.10, 0.60),
        (0.34, 0.985, 0.090, 0.87, 2.10, 0.62),
        (0.24, 0.980, 0.180, 0.77, 2.05, 0.64),
        (0.14, 0.965, 0.300, 0.63, 2.00, 0.64),
        (0.06, 0.935, 0.420, 0.47, 2.00, 0.60),
        (0.00, 0.860, 0.520, 0.32, 2.00, 0.55),
    ]
)
STANDS_OUT_M = 0.0003  # the mesh, in its vertices, over the round of the head
NECK_RATIO = 1.10  # depth over breadth of a level section


def neck_rows(m: Measures, frame: Frame, scale: Mapping[str, float]) -> FloatArray:
    """Sections of the trunk's loft for the neck, which leans forward, up into the head."""
    a, d = ellipse_half_axes(m.value("neck_girth") * scale.get("neck", 1.0), NECK_RATIO)
    back, y = frame["back_neck_point"][2], frame["neck_root"][1]
    top = m.value("height")
    rows = []
    for z, centre, size in (
        (back + 0.016, -NECK_AXIS_FORWARD_M + 0.002, 1.02),
        (back + 0.036, -NECK_AXIS_FORWARD_M - 0.006, 0.99),
        (between(back, top, 0.28), -0.028, 0.97),
        (between(back, top, 0.46), -0.034, 0.86),
    ):
        middle = y + centre
        rows.append([z, 0.0, middle - size * d, middle + size * d, size * a, 2.05, 0.5])
    return np.array(rows)


def make_head(m: Measures, frame: Frame) -> Loft:
    """Level sections from the crown, which is a cap, down to the chin."""
    v = m.value
    chin_z, top_z = frame["chin"][2], v("height") - STANDS_OUT_M
    high, length, half = top_z - chin_z, v("head_length"), 0.5 * v("head_breadth")
    rear = frame["neck_root"][1] + REAR_BEHIND_NECK_M
    share, front, back, broad, n, before = SECTIONS.T
    sections = np.stack(
        [
            np.zeros(len(share)),
            rear - front * length,
            rear - back * length,
            broad * half,
            n,
            before,
        ],
        axis=1,
    )
    widest = float(share[0])
    return make_loft(
        (widest - share) * high,
        sections,
        np.array([0.0, 0.0, chin_z + widest * high]),
        DOWNWARDS,
        partial(flowing_curve, flow_m=HEAD_FLOW_M),
        cap_m=(1.0 - widest) * high,
    )


def make_face(m: Measures, frame: Frame) -> tuple[Relief, ...]:
    """What tells the front of a head from its back: a hint of nose and of the hollows of the eyes."""
    v = m.value
    high = v("height") - frame["chin"][2]
    front = frame["neck_root"][1] + REAR_BEHIND_NECK_M - v("head_length")
    size = high / 0.23
    forward = np.array([[-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]])
    return (
        Relief(
            np.array([0.0, front + 0.004, frame["chin"][2] + 0.355 * high]),
            np.array([0.024, 0.030, 0.024, 0.060]) * size,
            forward,
            0.0095 * size,
            0.0,
        ),
        Relief(
            np.array([0.030 * size, front + 0.010, frame["chin"][2] + 0.505 * high]),
            np.array([0.024, 0.040, 0.024, 0.022]) * size,
            forward,
            -0.0055 * size,
            0.2,
        ),
    )

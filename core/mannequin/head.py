# SPDX-License-Identifier: GPL-3.0-or-later
"""Shapes of neck and head: a plain head without features, as shop mannequins have."""

import math
from collections.abc import Mapping

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import Frame, between
from .sections import ellipse_half_axes
from .shapes import Ellipsoid, Union

__all__ = [
    "NECK_ABOVE_BACK_POINT_M",
    "NECK_AXIS_FORWARD_M",
    "NECK_RATIO",
    "NECK_TILT",
    "make_head",
    "neck_rows",
]

# The neck girth is taken across the leaning neck: on its axis the plane passes this far above the
# back neck point, and it falls to the front.
NECK_ABOVE_BACK_POINT_M = 0.022
NECK_AXIS_FORWARD_M = 0.014
NECK_TILT = math.radians(20.0)
FACE_JOINT_M = 0.060
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


def make_head(m: Measures, frame: Frame) -> Union:
    """An egg of two: skull, and face down to the chin."""
    v = m.value
    chin_z, top_z = frame["chin"][2], v("height") - STANDS_OUT_M
    high, length, half = top_z - chin_z, v("head_length"), 0.5 * v("head_breadth")
    rear = frame["neck_root"][1] + 0.040
    skull = Ellipsoid(
        np.array([0.0, rear - 0.50 * length, top_z - 0.45 * high]),
        np.array([half, 0.50 * length, 0.45 * high]),
        0.45 * high,
        np.eye(3),
    )
    face = Ellipsoid(
        np.array([0.0, rear - 0.66 * length, chin_z + 0.43 * high]),
        np.array([0.72 * half, 0.275 * length, 0.43 * high]),
        0.34 * high,
        _leaning(17.0),
    )
    return Union((skull, face), (FACE_JOINT_M,))


def _leaning(degrees: float) -> FloatArray:
    """Axes whose third, upwards, leans backwards."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]])

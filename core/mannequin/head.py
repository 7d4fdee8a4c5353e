# SPDX-License-Identifier: GPL-3.0-or-later
"""Shapes of neck and head: a plain head without features, as shop mannequins have."""

import math
from collections.abc import Mapping

import numpy as np

from ..tape import Measures
from .frame import Frame, between
from .sections import ellipse_half_axes, ratio_for
from .shapes import Union, make_loft, natural_curve

__all__ = [
    "NECK_ABOVE_BACK_POINT_M",
    "NECK_AXIS_FORWARD_M",
    "NECK_TILT",
    "make_neck_and_head",
]

# The neck girth is taken across the leaning neck: on its axis the plane passes this far above the
# back neck point, and it falls to the front.
NECK_ABOVE_BACK_POINT_M = 0.022
NECK_AXIS_FORWARD_M = 0.014
NECK_TILT = math.radians(20.0)


def make_neck_and_head(m: Measures, frame: Frame, scale: Mapping[str, float]) -> Union:
    """Neck leaning forward, head over it."""
    v = m.value
    girth = v("neck_girth") * scale.get("neck", 1.0)
    mid_a, mid_d = ellipse_half_axes(girth, 1.06)
    # the neck ends sideways at the side neck point; the rest of the girth is depth
    base = 0.98 * v("neck_base_girth")
    ratio = min(max(ratio_for(base, frame["side_neck_point"][0]), 1.0), 1.3)
    base_a, base_d = ellipse_half_axes(base, ratio)
    back, front = frame["back_neck_point"], frame["front_neck_point"]
    chin_z, top_z = frame["chin"][2], v("height")
    root_y = frame["neck_root"][1]
    rows = [
        # height, centre y, half breadth, half depth
        (front[2] - 0.035, root_y + 0.012, base_a, base_d),
        (between(front[2], back[2], 0.45), root_y + 0.004, 0.98 * base_a, 0.98 * base_d),
        (back[2] + 0.004, root_y - 0.010, 1.02 * mid_a, 1.03 * mid_d),
        (back[2] + NECK_ABOVE_BACK_POINT_M, root_y - NECK_AXIS_FORWARD_M, mid_a, mid_d),
        (between(back[2], top_z, 0.24), root_y - 0.022, 0.97 * mid_a, 0.98 * mid_d),
        (between(back[2], top_z, 0.50), root_y - 0.026, 0.90 * mid_a, 0.90 * mid_d),
    ]
    table = np.array(rows)
    sections = np.column_stack(
        [
            np.zeros(len(table)),
            table[:, 1] - table[:, 3],
            table[:, 1] + table[:, 3],
            table[:, 2],
            np.full(len(table), 2.05),
            np.full(len(table), 0.5),
        ]
    )
    neck = make_loft(table[:, 0], sections, curve=natural_curve)
    head_a, head_d = 0.5 * v("head_breadth"), 0.5 * v("head_length")
    rear = root_y + 0.030
    face = rear - 2.0 * head_d
    length = 2.0 * head_d
    head_rows = np.array(
        [
            # share of the height over the chin, front and rear over the length, half breadth
            (0.000, 0.075, 0.200, 0.10),
            (0.014, 0.045, 0.270, 0.22),
            (0.050, 0.020, 0.360, 0.42),
            (0.120, 0.014, 0.460, 0.61),
            (0.240, 0.012, 0.620, 0.79),
            (0.380, 0.002, 0.830, 0.905),
            (0.520, 0.004, 0.960, 0.970),
            (0.660, 0.020, 1.000, 1.000),
            (0.790, 0.075, 0.970, 0.940),
            (0.890, 0.180, 0.865, 0.760),
            (0.955, 0.315, 0.730, 0.500),
            (0.988, 0.430, 0.620, 0.240),
            (1.000, 0.490, 0.560, 0.080),
        ]
    )
    z = chin_z + head_rows[:, 0] * (top_z - chin_z)
    sections = np.column_stack(
        [
            np.zeros(len(z)),
            face + head_rows[:, 1] * length,
            face + head_rows[:, 2] * length,
            head_rows[:, 3] * head_a,
            np.full(len(z), 2.2),
            np.full(len(z), 0.54),
        ]
    )
    return Union((make_loft(z, sections), neck), (0.030,))

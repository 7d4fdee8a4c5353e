# SPDX-License-Identifier: GPL-3.0-or-later
"""Hem and sleeve ends on the body before any drape: rings where the flat measures put them.

An estimate, like all of `buying`: cloth is taken to hang straight, in a ring as long as it is cut.
"""

import math
from dataclasses import dataclass

import numpy as np

from .arrays import FloatArray
from .buying import FlatFit, flat_fit
from .cut_line import Allowances
from .landing import sleeve_end_words
from .mannequin import PosedBody
from .pattern import Cut
from .phrases import phrase
from .sections import plane_axes
from .tape import Measures
from .telling import Telling

__all__ = ["Ring", "flat_rings"]

CORNERS = 64
LEAST_HEM_M = 0.005
LEAST_DEPTH_SHARE = 0.4
ARM_JOINTS = ("shoulder", "elbow", "wrist", "knuckles")


@dataclass(frozen=True, slots=True)
class Ring:
    """A closed ring of points (k, 3) in metres, and what it means."""

    name: str
    points: FloatArray
    words: str


def flat_rings(
    body: PosedBody,
    measures: Measures,
    cut: Cut,
    allowances: Allowances,
    outer_thickness_m: float,
    lining_thickness_m: float,
    tell: Telling,
) -> tuple[Ring, ...]:
    """Hem and both sleeve ends on a body that stands upright."""
    fit = flat_fit(measures, cut, allowances, outer_thickness_m, lining_thickness_m)
    end = sleeve_end_words(fit.past_wrist_m, fit.hand_m, tell.length)
    return (
        Ring(
            "hem",
            _hem(body, fit.hem.height_m, 2 * cut.body_width_m),
            phrase("hem, flat estimate: {place}", place=fit.hem.words(tell.length)),
        ),
        *(
            Ring(
                f"{side} sleeve end",
                _sleeve_end(body, side, fit, cut.sleeve_opening_m),
                phrase("sleeve end, flat estimate: {place}", place=end),
            )
            for side in ("left", "right")
        ),
    )


def _hem(body: PosedBody, height_m: float, girth_m: float) -> FloatArray:
    """An ellipse as long as the hem, as deep for its breadth as the body is there."""
    level_m = float(np.clip(height_m, LEAST_HEM_M, body.landmarks["back_neck_point"][2]))
    outline = body.trunk_slice(level_m)
    middle = (outline.min(axis=0) + outline.max(axis=0)) / 2
    breadth, depth = np.ptp(outline, axis=0)
    share = min(max(float(depth / breadth), LEAST_DEPTH_SHARE), 1.0)
    turn = np.linspace(0.0, 2 * math.pi, CORNERS + 1)
    ellipse = np.stack([np.cos(turn), share * np.sin(turn)], axis=1)
    ellipse *= girth_m / np.linalg.norm(np.diff(ellipse, axis=0), axis=1).sum()
    return np.column_stack([middle + ellipse, np.full(len(turn), level_m)])


def _sleeve_end(body: PosedBody, side: str, fit: FlatFit, girth_m: float) -> FloatArray:
    """A circle as long as the sleeve's end, across the arm where it ends."""
    joints = np.stack([body.joints[f"{joint}_{side}"] for joint in ARM_JOINTS])
    steps = np.diff(joints, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    marks = np.concatenate([[0.0], np.cumsum(lengths)])
    mark_m = max(float(marks[2]) + fit.past_wrist_m, 0.0)
    part = min(int(np.searchsorted(marks[1:], mark_m)), len(steps) - 1)
    along = steps[part] / lengths[part]
    centre = joints[part] + (mark_m - marks[part]) * along
    turn = np.linspace(0.0, 2 * math.pi, CORNERS + 1)
    circle = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    circle *= girth_m / np.linalg.norm(np.diff(circle, axis=0), axis=1).sum()
    ring: FloatArray = centre + circle @ plane_axes(along)
    return ring

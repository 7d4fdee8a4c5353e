# SPDX-License-Identifier: GPL-3.0-or-later
"""Going on from an earlier drape: the same wrap after one changed number.

The mesh of the earlier drape is moved to the new cut, and its layers are carried along with the
body, so that both start in their order and nearly in place.
"""

import numpy as np

from ..arrays import FloatArray
from ..mannequin import BodyDistance, PosedBody
from ..panels import PanelMesh
from ..pattern import Pattern
from ..recut import recut
from .result import Drape

__all__ = ["Start", "start_from"]

LIKE_BODY_M = 0.1
"""A body with a joint farther from where the earlier one had it is another body or pose."""

SAME_BODY_M = 1e-6
"""Bodies nearer to each other than this are one; rounding on the way to a pose is far less."""

Start = tuple[PanelMesh, FloatArray, FloatArray]
"""A panel mesh, and the positions (n, 3) of its outer and its lining to start from."""


def start_from(
    earlier: Drape,
    pattern: Pattern,
    body: PosedBody,
    distance: BodyDistance,
    edge_length_m: float,
) -> Start | None:
    """Where to go on from an earlier drape; None where wrap or body have become too unlike it.

    ``distance`` is one to the body; it is put into its pose.
    """
    if earlier.panel.edge_length_m != edge_length_m or not earlier.converged:
        return None
    before = earlier.body
    if len(before.supports) != len(body.supports):
        return None
    joints = (body.joints[name] - joint for name, joint in before.joints.items())
    if max(float(np.abs(moved).max()) for moved in joints) > LIKE_BODY_M:
        return None
    panel = recut(earlier.panel, pattern)
    if panel is None:
        return None
    outer, lining = earlier.outer, earlier.lining
    if not _same(before.vertices, body.vertices):
        old = BodyDistance(before)
        distance.set_pose(body)
        outer, lining = (_carried(layer, old, distance) for layer in (outer, lining))
    return panel, outer, lining


def _same(before: FloatArray, now: FloatArray) -> bool:
    return before.shape == now.shape and bool(np.abs(before - now).max() < SAME_BODY_M)


def _carried(points: FloatArray, old: BodyDistance, new: BodyDistance) -> FloatArray:
    """Points (n, 3) moved as far as the skin under them has to move to lie on the new body."""
    under = old.nearest(points).point
    carried: FloatArray = points + new.nearest(under).point - under
    return carried

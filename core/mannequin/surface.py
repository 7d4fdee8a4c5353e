# SPDX-License-Identifier: GPL-3.0-or-later
"""The body as one implicit surface: trunk, neck and head, arms and legs, smoothly joined.

The trunk and the pair of legs are not joined but turn one into the other between crotch and hip:
their fields are mixed, so that no seam shows. Arms and head are joined by a smooth minimum. The
reliefs (breasts, seat, shoulder blades) are raised from what results.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import ALONG_ARM, Frame
from .head import make_face, make_head
from .limbs import ARMPIT_JOINT_M, LEAST_ARMPIT_M, make_arm, make_leg
from .reliefs import make_reliefs
from .shapes import Loft, Reliefs, Union, ramp, smooth_minimum
from .torso import make_trunk

__all__ = ["BodyShapes", "make_shapes"]

HEAD_JOINT_M = 0.050
LEGS_JOINT_M = 0.024
# Over the shoulder and before and behind it flesh flows into the arm; in the armpit it is tight.
SHOULDER_JOINT_M, TOP_JOINT_M = 0.080, 0.070
ARM_JOINT_M = 0.020  # along the arm, clear of the trunk
JOINT_REACH_M = (0.05, 0.12)
ARM_DEPTH = 1.4  # the arm's half depth over its mean radius, at most
STANDS_OUT_M = 0.05  # of reliefs and joints
FAR_M = 0.16  # farther than any joint is wide
BEGIN_ABOVE_CROTCH_M = -0.012  # where legs begin to turn into trunk
END_ABOVE_HIP_M = 0.055
GROIN_SLOPE, GROIN_LEAN = 0.55, 0.35  # the groin rises outwards, and falls backwards


@dataclass(frozen=True, slots=True)
class BodyShapes:
    """The joined shapes; every field is even in x."""

    trunk: Loft
    head: Loft
    head_bottom_m: float
    arm: Union
    leg: Union
    reliefs: Reliefs
    shoulder: FloatArray
    begin_m: float
    end_m: float
    armpit_m: float
    fold_bottom_m: float
    side_m: float  # no part but the arm reaches farther to the side
    arm_length_m: float
    arm_radius_m: float
    groin: FloatArray  # (3,), where the groin's plane crosses the axis of the thigh

    def parts(self, points: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Fields of trunk with neck and head, of the arm and of the leg.

        Trunk and leg are parted by the plane of the groin.
        """
        folded = _folded(points)
        body, arm = self._torso(folded), self.arm.field(folded)
        offset = folded - self.groin
        above = offset[:, 2] - GROIN_SLOPE * offset[:, 0] + GROIN_LEAN * offset[:, 1]
        return body + np.maximum(-above, 0.0), arm, body + np.maximum(above, 0.0)

    def field(self, points: FloatArray) -> FloatArray:
        """Field of the whole body at ``points`` (n, 3)."""
        folded = _folded(points)
        offset = folded - self.shoulder
        # where one of both is too far off to be felt, a bound of its distance will do
        torso, arm = folded[:, 0] - self.side_m, self._off_arm(offset)
        near_torso, near_arm = np.flatnonzero(torso < FAR_M), np.flatnonzero(arm < FAR_M)
        torso[near_torso] = self._torso(folded[near_torso])
        arm[near_arm] = self.arm.field(folded[near_arm])
        low, high = JOINT_REACH_M
        clear = ramp((offset @ ALONG_ARM - low) / (high - low))
        under = ramp((-0.010 - offset[:, 2]) / 0.050)
        # wide in the folds before and behind the armpit, but not at the bust
        fold = ramp((np.abs(offset[:, 1]) - 0.015) / 0.045) * ramp(
            (folded[:, 2] - self.fold_bottom_m) / 0.06
        )
        under *= 1.0 - fold
        radius = SHOULDER_JOINT_M + under * (self.armpit_m - SHOULDER_JOINT_M)
        radius += ramp(offset[:, 2] / 0.06) * (TOP_JOINT_M - radius)
        radius += clear * (ARM_JOINT_M - radius)
        return smooth_minimum(torso, arm, radius)

    def _off_arm(self, offset: FloatArray) -> FloatArray:
        """At most the distance to the arm, from points (n, 3) relative to the shoulder."""
        along = np.clip(offset @ ALONG_ARM, 0.0, self.arm_length_m)
        away = offset - along[:, None] * ALONG_ARM
        result: FloatArray = np.sqrt((away**2).sum(axis=1)) - self.arm_radius_m
        return result

    def without_arms(self, points: FloatArray) -> FloatArray:
        """Field of trunk, head and legs: what a tape under the arms goes round."""
        return self._torso(_folded(points))

    def _torso(self, folded: FloatArray) -> FloatArray:
        """Trunk, head and leg."""
        z = folded[:, 2]
        share = ramp((z - self.begin_m) / (self.end_m - self.begin_m))
        result = np.zeros(len(folded))
        upper, lower = np.flatnonzero(share > 0.0), np.flatnonzero(share < 1.0)
        result[upper] = share[upper] * self.trunk.field(folded[upper])
        result[lower] += (1.0 - share[lower]) * self._legs(folded[lower])
        high = np.flatnonzero(z > self.head_bottom_m)
        result[high] = smooth_minimum(result[high], self.head.field(folded[high]), HEAD_JOINT_M)
        return result - self.reliefs.height(folded)

    def _legs(self, folded: FloatArray) -> FloatArray:
        """Both legs, joined softly where they meet in the middle."""
        result = self.leg.field(folded)
        inner = np.flatnonzero(folded[:, 0] < LEGS_JOINT_M)
        other = self.leg.field(folded[inner] * np.array([-1.0, 1.0, 1.0]))
        result[inner] = smooth_minimum(result[inner], other, LEGS_JOINT_M)
        return result


def _folded(points: FloatArray) -> FloatArray:
    """Points carried to the wearer's left side."""
    result = points.copy()
    result[:, 0] = np.abs(result[:, 0])
    return result


def make_shapes(m: Measures, frame: Frame, scale: Mapping[str, float]) -> BodyShapes:
    """Shapes for the measures; ``scale`` holds the factors and shifts that the fitting tunes."""
    crotch = frame.levels["crotch"]
    trunk, leg = make_trunk(m, frame, scale), make_leg(m, frame, scale)
    arm_radius = m.value("upper_arm_girth") * scale.get("upper_arm", 1.0) / (2.0 * math.pi)
    return BodyShapes(
        trunk,
        make_head(m, frame),
        frame["chin"][2] - 2.0 * HEAD_JOINT_M,
        make_arm(m, frame, scale),
        leg,
        Reliefs.on_both_sides((*make_reliefs(m, frame, scale), *make_face(m, frame))),
        frame["shoulder"],
        crotch + BEGIN_ABOVE_CROTCH_M + scale.get("crotch", 0.0),
        frame.levels["hip"] + END_ABOVE_HIP_M,
        max(scale.get("armpit", ARMPIT_JOINT_M), LEAST_ARMPIT_M),
        max(frame["shoulder"][2] - 0.10, frame.levels["bust"] + 0.012),
        max(trunk.reach_m, 2.0 * frame["hip"][0]) + STANDS_OUT_M,
        float(np.linalg.norm(frame["finger_tip"] - frame["shoulder"])),
        ARM_DEPTH * arm_radius,
        np.array([frame["hip"][0], 0.02, crotch + 0.040]),
    )

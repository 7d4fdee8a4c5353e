# SPDX-License-Identifier: GPL-3.0-or-later
"""The body as one implicit surface: trunk, neck and head, arms and legs, smoothly joined."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..tape import Measures
from .frame import ALONG_ARM, Frame
from .head import make_neck_and_head
from .limbs import make_arm, make_leg
from .sections import thigh_section
from .shapes import Union, ramp, smooth_minimum
from .torso import make_trunk

__all__ = ["BodyShapes", "make_shapes"]

NECK_JOINT_M = 0.045
# Joints are rounded widely where surfaces meet at an angle (armpit, crotch) and little where they
# run side by side (outer hip, along the arm), where rounding would only swell the body.
ARMPIT_JOINT_M, ARM_JOINT_M = 0.055, 0.025
CROTCH_JOINT_M, HIP_JOINT_M = 0.020, 0.012
ARMPIT_REACH_M = (0.02, 0.11)


@dataclass(frozen=True, slots=True)
class BodyShapes:
    """The joined shapes; every field is even in x."""

    trunk: Union
    neck_head: Union
    arm: Union
    leg: Union
    shoulder: FloatArray
    thigh_x: float

    def parts(self, points: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Fields of trunk with neck and head, of the arm and of the leg."""
        points = _folded(points)
        trunk = smooth_minimum(self.trunk.field(points), self.neck_head.field(points), NECK_JOINT_M)
        return trunk, self.arm.field(points), self.leg.field(points)

    def field(self, points: FloatArray) -> FloatArray:
        """Field of the whole body at ``points`` (n, 3)."""
        return self._whole(points)[0]

    def without_arm(self, points: FloatArray) -> FloatArray:
        """Field of the body up to where the arm begins to be nearer than the trunk."""
        whole, torso, arm = self._whole(points)
        return np.maximum(whole, torso - arm)

    def _whole(self, points: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        torso, arm, leg = self.parts(points)
        offset = _folded(points) - self.shoulder
        low, high = ARMPIT_REACH_M
        armpit = 1.0 - ramp((offset @ ALONG_ARM - low) / (high - low))
        armpit *= 1.0 - ramp((offset[:, 2] + 0.035) / 0.060)
        radius = ARM_JOINT_M + armpit * (ARMPIT_JOINT_M - ARM_JOINT_M)
        torso = self._with_leg(torso, leg, points)
        return smooth_minimum(torso, arm, radius), torso, arm

    def _with_leg(self, torso: FloatArray, leg: FloatArray, points: FloatArray) -> FloatArray:
        inner = ramp((self.thigh_x - np.abs(points[:, 0])) / 0.06)
        return smooth_minimum(torso, leg, HIP_JOINT_M + inner * (CROTCH_JOINT_M - HIP_JOINT_M))


def _folded(points: FloatArray) -> FloatArray:
    """Points carried to the wearer's left side."""
    result = points.copy()
    result[:, 0] = np.abs(result[:, 0])
    return result


def make_shapes(m: Measures, frame: Frame, scale: Mapping[str, float]) -> BodyShapes:
    """Shapes for the measures; ``scale`` holds the factors and shifts that the fitting tunes."""
    return BodyShapes(
        make_trunk(m, frame, scale),
        make_neck_and_head(m, frame, scale),
        make_arm(m, frame, scale),
        make_leg(m, frame, scale),
        frame["shoulder"],
        thigh_section(m, scale)[2],
    )

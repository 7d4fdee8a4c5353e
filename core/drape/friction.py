# SPDX-License-Identifier: GPL-3.0-or-later
"""Coulomb friction as springs that give way: stick up to a sway, slide beyond it.

Each contact holds a place, its anchor. The tangential spring to it pulls with at most the
coefficient times the pressing force; at every look for contacts the anchor is drawn after a place
that slid (return mapping: Simo and Laursen 1992, Computers and Structures 42:97).
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from .sums import lengths

__all__ = ["PileFriction", "drawn_after", "share_held"]


@dataclass(frozen=True, slots=True)
class PileFriction:
    """Coulomb coefficients of a surface whose pile leans.

    Attributes
    ----------
    with_nap, against_nap
        Where something is drawn over it the way the pile strokes smooth, and against that.
    """

    with_nap: float
    against_nap: float

    def coefficients(self, stroke: FloatArray, length: FloatArray) -> FloatArray:
        """Coefficients (k,) of things drawn over the pile.

        Parameters
        ----------
        stroke, length
            (k,) how far each is drawn with the nap, and how far in all; same unit.

        Between with, across and against the nap the coefficient goes as the cosine of the angle (an
        assumption: it is measured in the two directions only). Nothing drawn counts as across.
        """
        cosine = stroke / np.maximum(length, 1e-30)
        middle, half = self.against_nap + self.with_nap, self.against_nap - self.with_nap
        result: FloatArray = (middle - half * cosine) / 2
        return result

    def shares(self, stroke: FloatArray, length: FloatArray) -> FloatArray:
        """The same over the mean of both ways, (k,): how the nap counts against another surface.

        That its two ways differ there in the same proportion is an assumption.
        """
        middle = (self.with_nap + self.against_nap) / 2
        if middle == 0.0:
            return np.ones_like(length)
        return self.coefficients(stroke, length) / middle


def share_held(slide_m: FloatArray, sway_m: FloatArray) -> FloatArray:
    """Share (k,) of the tangential spring that acts at slides (k, 3), with sways (k,) allowed."""
    length = lengths(slide_m)
    share: FloatArray = np.minimum(1.0, sway_m / np.maximum(length, 1e-12))
    return share


def drawn_after(slide_m: FloatArray, sway_m: FloatArray) -> FloatArray:
    """What is left (k, 3) of slides when the anchors are drawn after them."""
    left: FloatArray = slide_m * share_held(slide_m, sway_m)[:, None]
    return left

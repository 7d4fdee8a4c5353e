# SPDX-License-Identifier: GPL-3.0-or-later
"""What a nap that runs down both halves, or across, would cost in cloth.

One length folded over the shoulders carries its nap down one half and up the other. With a seam on
the shoulders each half is a piece of its own and can be cut nap down; with the cloth laid
crosswise the nap runs from wrist to wrist, alike in front and behind.
"""

from dataclasses import dataclass

from .cloth import Cloth
from .cut_line import Allowances
from .pattern import Cut

__all__ = ["Crosswise", "ShoulderSeam", "crosswise", "has_nap", "shoulder_seam"]

_LEAST_LEAN_RAD = 0.05


@dataclass(frozen=True, slots=True)
class ShoulderSeam:
    """The wrap cut apart along the shoulder fold, each layer in two pieces.

    Attributes
    ----------
    more_length_m
        Cloth to add to the length of each layer: an allowance on both sides of the seam, metres.
    seam_m
        Length of the seams over both shoulders, in each layer, metres.
    """

    more_length_m: float
    seam_m: float


@dataclass(frozen=True, slots=True)
class Crosswise:
    """The wrap laid across the bolt, its length over the bolt's width.

    Attributes
    ----------
    width_needed_m
        Usable width that the bolt must have: the wrap's length, metres.
    length_m
        Length to cut for each layer: the wrap's width, metres.
    more_length_m
        The same less what is cut lengthwise, metres; negative where it saves cloth.
    """

    width_needed_m: float
    length_m: float
    more_length_m: float


def has_nap(cloth: Cloth) -> bool:
    """Whether the pile leans, so that it strokes smooth one way."""
    return cloth.pile_height_m > 0 and cloth.nap_lean_rad > _LEAST_LEAN_RAD


def shoulder_seam(cut: Cut, allowances: Allowances) -> ShoulderSeam:
    """The cost of a seam on the shoulders, sewn with the allowance of the underarm."""
    return ShoulderSeam(2 * allowances.underarm_m, cut.cloth_width_m - cut.neck_width_m)


def crosswise(cut: Cut) -> Crosswise:
    """The cost of laying the wrap across the bolt."""
    return Crosswise(cut.length_m, cut.cloth_width_m, cut.cloth_width_m - cut.length_m)

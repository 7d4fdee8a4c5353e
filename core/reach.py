# SPDX-License-Identifier: GPL-3.0-or-later
"""How far the arms can be raised before the wrap is pulled up.

Both arms are raised forward, and the wrap is draped at several angles on a coarse mesh. The limit is
where its hem has risen anywhere by more than 3 cm, or its side line, from the underarm corner to the
hem, is stretched by more than 2 % (our own bounds). Between two drapes a measure is taken to change
evenly. Uncertainty: about 10 degrees, from folds and mesh.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from .drape import Drape
from .hem_curve import hem_line
from .mannequin.poses import POSES, Pose, symmetric
from .sleeve_room import SIDES, corner_vertex

__all__ = [
    "EDGE_M",
    "Raised",
    "Reach",
    "find_reach",
    "raised",
    "raised_pose",
    "reach_told",
    "reach_words",
    "side_stretch",
]

EDGE_M = 0.03
MOST_LIFT_M = 0.03
MOST_SIDE_STRETCH = 0.02
LOWEST, HIGHEST = 0.0, 160.0
HALVINGS = 4


@dataclass(frozen=True, slots=True)
class Raised:
    """One drape with raised arms: degrees from hanging, the hem's largest rise over its height with
    hanging arms in metres, and how much the side line is stretched (0.01 is a percent)."""

    degrees: float
    lift_m: float
    stretch: float

    @property
    def strain(self) -> float:
        """The larger of lift and stretch over its bound: from 1 on the wrap is pulled up."""
        return max(self.lift_m / MOST_LIFT_M, self.stretch / MOST_SIDE_STRETCH)


@dataclass(frozen=True, slots=True)
class Reach:
    """The largest raise.

    Attributes
    ----------
    degrees
        From hanging; 90 is level. None if the wrap is not pulled up as far as it was tried.
    stopped_by
        What comes first there.
    tried
        The drapes, by angle.
    """

    degrees: float | None
    stopped_by: Literal["lift", "stretch"] | None
    tried: tuple[Raised, ...]


def raised_pose(degrees: float) -> Pose:
    """Standing with both arms raised forward."""
    if degrees == LOWEST:
        return POSES["standing"]
    return symmetric(shoulder_abduction=18.0, shoulder_flexion=degrees, elbow_flexion=10.0)


def raised(degrees: float, drape: Drape, hanging: Drape) -> Raised:
    """Compare a drape with raised arms and one of the same cut with hanging arms."""
    line, along = hem_line(drape)
    before, before_along = hem_line(hanging)
    height = np.interp(before_along, along, drape.outer[line, 2])
    lift_m = float((height - hanging.outer[before, 2]).max())
    return Raised(degrees, max(lift_m, 0.0), max(side_stretch(drape), 0.0))


def side_stretch(drape: Drape) -> float:
    """Stretch of the side line from the underarm corner to the hem, the larger of both sides."""
    found = []
    for side in SIDES:
        chain = np.asarray(drape.panel.edges[f"underarm_front_{side}"])
        chain = chain[np.argsort(np.abs(drape.panel.flat[chain, 0]))]
        corner = corner_vertex(drape, side)
        down = np.abs(drape.panel.flat[chain, 1])
        line = chain[down >= down[chain == corner][0]]
        line = line[np.argsort(np.abs(drape.panel.flat[line, 1]))]
        lengths = (
            float(np.sqrt((np.diff(places[line], axis=0) ** 2).sum(axis=1)).sum())
            for places in (drape.outer, drape.panel.flat)
        )
        hung_m, flat_m = lengths
        found.append(hung_m / flat_m - 1)
    return max(found)


def find_reach(measure: Callable[[float], Raised]) -> Reach:
    """Halve the way between hanging and high a few times; ``measure`` drapes at an angle."""
    low, high = Raised(LOWEST, 0.0, 0.0), None
    tried: list[Raised] = []
    for _ in range(HALVINGS):
        top = HIGHEST if high is None else high.degrees
        here = measure((low.degrees + top) / 2)
        tried.append(here)
        if here.strain < 1:
            low = here
        else:
            high = here
    tried.sort(key=lambda one: one.degrees)
    if high is None:
        return Reach(None, None, tuple(tried))
    share = (1 - low.strain) / (high.strain - low.strain)
    degrees = low.degrees + share * (high.degrees - low.degrees)
    lifted = high.lift_m / MOST_LIFT_M >= high.stretch / MOST_SIDE_STRETCH
    return Reach(degrees, "lift" if lifted else "stretch", tuple(tried))


RAISES: tuple[tuple[float, str], ...] = (
    (0.0, "hardly: a hand's reach in front of the body"),
    (30.0, "as far as a table"),
    (60.0, "nearly level"),
    (80.0, "level, as to reach across a table"),
    (100.0, "above the shoulders, as to a shelf"),
    (130.0, "over the head"),
)


def reach_words(reach: Reach) -> str:
    """How far the arms go up, in words."""
    if reach.degrees is None:
        return "as high as was tried, over the head"
    return max(entry for entry in RAISES if entry[0] <= reach.degrees)[1]


def reach_told(reach: Reach) -> str:
    """The angle to 5 degrees, and in words."""
    if reach.degrees is None:
        return reach_words(reach)
    return f"to {5 * round(reach.degrees / 5)} degrees, {reach_words(reach)},"

# SPDX-License-Identifier: GPL-3.0-or-later
"""One sleeve on its arm: opening, room, air, where it ends and how deep it hangs."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from .drape import Drape
from .sections import smoothed_lengths
from .sleeve_air import SleeveAir, SleeveHang, sleeve_air, sleeve_hang
from .sleeve_room import (
    STATIONS,
    Arm,
    Side,
    SleeveRoom,
    Station,
    arm_coordinate,
    corner_vertex,
    sleeve_room,
)

__all__ = ["Sleeve", "measure_sleeve"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sleeve:
    """One sleeve on its arm.

    Attributes
    ----------
    opening_m
        Length of the sleeve's end all round, on the outer cloth, metres.
    past_wrist_m
        How far the top of the sleeve's end lies past the wrist, along the arm towards the
        fingers, metres; negative: short of it.
    hand_m
        Wrist to knuckles along the hand, metres.
    underarm_below_armpit_m
        Height of the armpit over the rounded inner corner of the garment, metres.
    room
        By station; ``None`` where the sleeve does not reach.
    air
        Air between arm and sleeve; ``None`` where no section stays within the sleeve.
    hang
        How deep it hangs below a level forearm.
    """

    opening_m: float
    past_wrist_m: float
    hand_m: float
    underarm_below_armpit_m: float
    room: Mapping[Station, SleeveRoom | None]
    air: SleeveAir | None
    hang: SleeveHang


def measure_sleeve(drape: Drape, side: Side) -> Sleeve:
    """Measure one sleeve of a drape."""
    arm = Arm.of(drape.body, side)
    end = drape.panel.edges[f"sleeve_end_{side}"]
    steps = np.stack([end[:-1], end[1:]], axis=1)
    top = end[[np.argmin(np.abs(drape.panel.flat[end, 1]))]]
    marks = arm.marks_m
    return Sleeve(
        opening_m=float(smoothed_lengths(drape.outer[steps], drape.panel.flat[steps]).sum()),
        past_wrist_m=float(arm_coordinate(drape.outer[top], arm.joints)[0] - marks[2]),
        hand_m=float(marks[3] - marks[2]),
        underarm_below_armpit_m=float(
            drape.body.landmarks["axilla"][2] - drape.outer[corner_vertex(drape, side), 2]
        ),
        room={station: sleeve_room(drape, side, station) for station in STATIONS},
        air=sleeve_air(drape, side),
        hang=sleeve_hang(drape, side),
    )

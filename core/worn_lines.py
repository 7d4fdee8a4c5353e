# SPDX-License-Identifier: GPL-3.0-or-later
"""Lines on a draped wrap, to be drawn: the hem, rings that show the room in a sleeve, a section.

All are bags of segments in metres where they lie in space; nothing is measured here.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from .arrays import FloatArray
from .drape import Drape
from .hem_curve import hem_line
from .sections import level_crossing
from .sleeve_room import SIDES, STATIONS, Side, Station, room_lines, sewn

__all__ = ["RoomRing", "hem_segments", "room_rings", "section"]


@dataclass(frozen=True, slots=True)
class RoomRing:
    """Arm and lining at one station of one sleeve: segments (k, 2, 3) and (c, 2, 3), metres."""

    side: Side
    station: Station
    skin: FloatArray
    cloth: FloatArray


def hem_segments(drape: Drape) -> FloatArray:
    """The outer cloth's hem (k, 2, 3), from the left front edge round to the right one."""
    line, _ = hem_line(drape)
    points = drape.outer[line]
    return np.stack([points[:-1], points[1:]], axis=1)


def room_rings(drape: Drape) -> tuple[RoomRing, ...]:
    """Where the room in both sleeves is measured; stations that a sleeve does not reach are left out."""
    found = []
    for side in SIDES:
        for station in STATIONS:
            lines = room_lines(drape, side, station)
            if lines is not None:
                found.append(RoomRing(side, station, lines.skin, lines.cloth))
    return tuple(found)


def section(drape: Drape, height_m: float) -> Mapping[str, FloatArray]:
    """Segments (k, 2, 3) in which a level plane cuts body, lining and outer cloth."""
    triangles = sewn(drape)
    parts = {
        "body": (drape.body.vertices, drape.body.triangles),
        "lining": (drape.lining, triangles),
        "outer": (drape.outer, triangles),
    }
    return {
        name: level_crossing(points[:, 2] - height_m, faces).points(points)
        for name, (points, faces) in parts.items()
    }

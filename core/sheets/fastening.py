# SPDX-License-Identifier: GPL-3.0-or-later
"""Where fronts that overlap are fastened."""

import math
from dataclasses import dataclass

from .sheet_job import SheetJob

__all__ = ["ABOVE_HEM_M", "Fastening", "fastening"]

BELOW_CORNER_M, AT_LEAST_M, APART_M, ABOVE_HEM_M = 0.02, 0.12, 0.15, 0.10
"""The first hook under the front's upper corner; how far on the last one lies, and the others between."""
IN_M = 0.010


@dataclass(frozen=True, slots=True)
class Fastening:
    """Hooks along the edge of a front, metres.

    ``corner_m`` is how far its upper corner lies under the shoulder line, ``first_m`` how far under
    that corner the first hook, ``step_m`` how far it is from each to the next; all lie ``in_m`` inside
    the edge.
    """

    corner_m: float
    first_m: float
    step_m: float
    count: int
    in_m: float

    @property
    def depths_m(self) -> tuple[float, ...]:
        """Depth of each under the shoulder line, metres."""
        first_m = self.corner_m + self.first_m
        return tuple(first_m + number * self.step_m for number in range(self.count))


def fastening(sheet: SheetJob) -> Fastening:
    """From under the neck to the waist, a hand's length from hook to hook, told in whole steps."""
    measures, tell = sheet.measures, sheet.tell
    edge = sheet.garment.mark.stitch["front_left"]
    corner_m = -max(end[1] for piece in edge for end in (piece.start, piece.end))
    first_m = tell.halvable_m(BELOW_CORNER_M)
    waist_m = measures.value("side_neck_point_height") - measures.value("waist_height")
    most_m = sheet.job.cut.side_end_m - ABOVE_HEM_M - corner_m - first_m
    reach_m = min(max(waist_m - corner_m - first_m, AT_LEAST_M), most_m)
    spaces = max(math.ceil(reach_m / APART_M - 1e-9), 1)
    step_m = tell.halvable_m(reach_m / spaces)
    if spaces * step_m > most_m:
        # told in whole steps, it would reach past the last place above the hem
        step_m = tell.halvable_down_m(most_m / spaces)
    if step_m <= 0:
        return Fastening(corner_m, first_m, 0.0, 1, IN_M)
    return Fastening(corner_m, first_m, step_m, spaces + 1, IN_M)

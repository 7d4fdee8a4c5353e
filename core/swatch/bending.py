# SPDX-License-Identifier: GPL-3.0-or-later
"""Let a strip jut out, or hang it up as a loop: bending length (Peirce 1930; ASTM D1388)."""

import math
from dataclasses import dataclass

from ..heavy_strip import LOOP_SHARES, bending_length_of_loop_m, elastic_share
from ..units import require_range
from .readings import Measured, averaged
from .record import Swatch

__all__ = ["DIRECTIONS", "BendingLength", "bending_length"]

DIRECTIONS = ("along", "across")

# Our estimates of how a maker reads: the tip against the line, the lowest point of a loop
_OVERHANG_SD_M, _LOOP_SD_M = 0.001, 0.001
_SCATTER = 0.05
_MOST_APART = 1.6
_OTHER_FACE_SHARE = 0.033
"""Deviation of the mean of both faces where one alone was read: a tenth of the rigidity."""


@dataclass(frozen=True, slots=True)
class BendingLength:
    """Bending length of one direction in metres.

    Attributes
    ----------
    mean
        Its cube is the mean of both faces' cubes, as rigidity is: cloth in a garment bends both
        ways. The difference of the faces is part of its deviation.
    pile_up_over_down
        Rigidity with the pile on the outside of the bend over that with the pile inside; None
        where not both were read.
    """

    mean: Measured
    pile_up_over_down: Measured | None


def bending_length(
    swatch: Swatch, direction: str, friction_share: float = 0.0
) -> BendingLength | None:
    """Bending length of strips cut "along" or "across"; None where none was read.

    A loop bends one way and back, so that inner friction holds one part of it up and another down
    and shows hardly at all: it tells of the elastic part alone, where a strip that juts out tells
    of both. So loops are told as the overhang of the same cloth, with its friction moment H:
    ``friction_share`` is H over W g c². (Loops on the drape's solver come out within 5 % of the
    rigidity so, and a third below it without: ``build.py validate swatch``.)

    Readings that name a face are averaged for each face, and the mean of the faces stands beside
    the overhangs that name none and the loops, each weighted by its certainty.

    Raises
    ------
    InputError
        Readings of one kind contradict one another, or a loop says nothing.
    """
    up, down = (
        _overhangs(swatch, f"overhang_{direction}_{face}") for face in ("pile_up", "pile_down")
    )
    parts = [
        _overhangs(swatch, f"overhang_{direction}"),
        _loops(swatch, direction, friction_share),
    ]
    ratio = None
    if up and down:
        parts.append(_both_faces(up, down))
        value = (up.value / down.value) ** 3
        share = 3 * math.hypot(up.share, down.share)
        ratio = Measured(value, share * value, up.count + down.count)
    elif face := up or down:
        sd = face.value * math.hypot(face.share, _OTHER_FACE_SHARE)
        parts.append(Measured(face.value, sd, face.count))
    found = [part for part in parts if part]
    return BendingLength(_weighted(found), ratio) if found else None


def _overhangs(swatch: Swatch, key: str) -> Measured | None:
    """Half the overhang at which the tip reaches the 41.5 degree line."""
    halves = [overhang_m / 2 for overhang_m in swatch.many(key)]
    if not halves:
        return None
    return averaged(
        key, halves, scatter=_SCATTER, reading_sd=_OVERHANG_SD_M / 2, most_apart=_MOST_APART
    )


def _loops(swatch: Swatch, direction: str, friction_share: float) -> Measured | None:
    key = f"loop_height_{direction}"
    strip_m = swatch.one("loop_strip")
    heights = swatch.many(key)
    if not heights:
        return None
    low, high = (share * strip_m for share in LOOP_SHARES)
    for height_m in heights:
        require_range(
            f"cloth.swatch.{key}",
            height_m,
            low,
            high,
            "measure from the clamp down to the lowest point; if it is right, take a longer strip "
            "for stiff cloth and a shorter one for limp cloth, and write it as loop_strip",
            quantity="length",
        )
    lengths = [bending_length_of_loop_m(strip_m, height_m) for height_m in heights]
    middle = min(max(math.fsum(heights) / len(heights), low + _LOOP_SD_M), high - _LOOP_SD_M)
    ends = [bending_length_of_loop_m(strip_m, middle + sign * _LOOP_SD_M) for sign in (-1, 1)]
    found = averaged(
        key,
        lengths,
        scatter=_SCATTER,
        reading_sd=abs(ends[1] - ends[0]) / 2,
        most_apart=_MOST_APART,
    )
    longer, least, most = (
        elastic_share(share * friction_share) ** (-1 / 3) for share in (1.0, 0.5, 1.5)
    )
    value = longer * found.value
    # inner friction is an estimate: it may be half or one and a half times that
    return Measured(
        value, value * math.hypot(found.share, (most - least) / 2 / longer), found.count
    )


def _both_faces(up: Measured, down: Measured) -> Measured:
    """The length whose cube is the mean of both; their difference counts as an even spread."""
    value = ((up.value**3 + down.value**3) / 2) ** (1 / 3)
    apart = abs(up.value - down.value) / math.sqrt(12)
    return Measured(value, math.hypot(up.sd / 2, down.sd / 2, apart), up.count + down.count)


def _weighted(parts: list[Measured]) -> Measured:
    """The mean of several tests, weighted by one over the square of each deviation."""
    weights = [part.sd**-2 for part in parts]
    total = math.fsum(weights)
    value = math.fsum(w * part.value for w, part in zip(weights, parts, strict=True)) / total
    return Measured(value, total**-0.5, sum(part.count for part in parts))

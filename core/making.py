# SPDX-License-Identifier: GPL-3.0-or-later
"""What two layers mean at the sewing table: bulk, turning, needle and stitch, warmth.

Thicknesses are those of the cloths, so they are as good as these; the rules are geometry where they
say so, and habits of the trade otherwise.
"""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from types import MappingProxyType
from typing import Literal

from .cloth import Cloth
from .pattern import Cut

__all__ = [
    "FILLED",
    "PLIES",
    "Bulk",
    "Making",
    "Place",
    "Sewing",
    "TurnOfCloth",
    "Turning",
    "making",
    "sewing_for",
    "turn_of_cloth",
    "turning",
]

Place = Literal["edge", "crossing"]
PLIES: Mapping[Place, int] = MappingProxyType({"edge": 4, "crossing": 8})
"""Plies of cloth: a bagged-out edge is two layers and their two allowances; where such an edge meets
a seam of both layers it is twice that."""

FILLED = (0.5, 0.65, 0.8)
"""Share of an opening that bunched cloth fills when it is pulled through: least, likely, most. An
estimate: folds leave about a third open."""

MEDIUM_PILE_M, LONG_PILE_M = 0.006, 0.015
_GIVES_N_PER_M = 2000.0
"""Cloth that stretches by 5 % or more under 500 g on 5 cm is sewn as a knit."""

_WARMTH: tuple[tuple[float, str], ...] = (
    (0.0, "like a shirt"),
    (0.002, "like a sweatshirt"),
    (0.005, "like a fleece jacket"),
    (0.010, "like a thick wool blanket"),
    (0.018, "like a padded jacket"),
    (0.030, "like a winter quilt"),
)


@dataclass(frozen=True, slots=True)
class Bulk:
    """How thick a seam lies under a hard press, metres.

    ``with_pile_m`` has all plies with their pile; for ``shorn_m`` the pile is shorn from the
    allowances, half of the plies, down to the ground.
    """

    plies: int
    with_pile_m: float
    shorn_m: float


@dataclass(frozen=True, slots=True)
class TurnOfCloth:
    """How much farther the outer goes than the lining where cloth turns a corner.

    Attributes
    ----------
    apart_m
        Distance of the layers' middle surfaces: half of each thickness, metres.
    round_m
        Once round body or arm, metres.
    fold_m
        Over an edge that is folded back on itself, or over the shoulder, metres.
    """

    apart_m: float
    round_m: float
    fold_m: float


@dataclass(frozen=True, slots=True)
class Turning:
    """Whether the sewn wrap goes through the end of a sleeve.

    Attributes
    ----------
    opening_m
        Girth of the sleeve's end, metres.
    least_m, needed_m, most_m
        Smallest girth of an opening through which the wrap goes: if it bunches well, as it
        likely does, and if it bunches badly, metres.
    bunch_m2
        Cross-section of the bunched wrap, cloth alone, square metres.
    """

    opening_m: float
    least_m: float
    needed_m: float
    most_m: float
    bunch_m2: float

    @property
    def goes(self) -> Literal["easily", "with patience", "not"]:
        """Whether it goes through."""
        if self.opening_m >= self.most_m:
            return "easily"
        return "with patience" if self.opening_m >= self.needed_m else "not"

    @property
    def gap_m(self) -> float:
        """Gap in the hem that is as wide as the opening needed: its two sides are half its girth."""
        return self.needed_m / 2


@dataclass(frozen=True, slots=True)
class Sewing:
    """Habits of the trade for the more demanding of two cloths.

    Attributes
    ----------
    needle, stitch
        In words, with sizes.
    stitch_m
        Least and greatest stitch length, metres.
    pins_m
        Least and greatest distance between pins, metres.
    """

    needle: str
    stitch: str
    stitch_m: tuple[float, float]
    pins_m: tuple[float, float]

    @property
    def stitch_length(self) -> str:
        """In millimetres whatever the units: so sewing machines count everywhere."""
        low_m, high_m = self.stitch_m
        return f"{1000 * low_m:g} to {1000 * high_m:g} mm"


@dataclass(frozen=True, slots=True)
class Making:
    """Both layers together.

    Attributes
    ----------
    mass_kg_m2, thickness_m, pressed_m
        Of both layers on each other: mass, thickness lightly pressed and pressed hard.
    bulk
        By place.
    turn_of_cloth
        How much farther the outer goes than the lining.
    turning, sewing
        How it is turned and sewn.
    warmth
        Words for the thickness of cloth and pile over the body: an estimate.
    """

    mass_kg_m2: float
    thickness_m: float
    pressed_m: float
    bulk: Mapping[Place, Bulk]
    turn_of_cloth: TurnOfCloth
    turning: Turning
    sewing: Sewing
    warmth: str

    def to_dict(self) -> dict[str, object]:
        """Plain numbers and words for ``fit.json``."""
        plain = asdict(self)
        plain["turning"] |= {"goes": self.turning.goes, "gap_m": self.turning.gap_m}
        return plain


def making(cut: Cut, outer: Cloth, lining: Cloth) -> Making:
    """What the two cloths mean for sewing this cut."""
    thickness_m = outer.thickness_m + lining.thickness_m
    return Making(
        mass_kg_m2=outer.mass_kg_m2 + lining.mass_kg_m2,
        thickness_m=thickness_m,
        pressed_m=outer.compressed_thickness_m + lining.compressed_thickness_m,
        bulk={place: _bulk(plies, outer, lining) for place, plies in PLIES.items()},
        turn_of_cloth=turn_of_cloth(outer, lining),
        turning=turning(cut, outer, lining),
        sewing=sewing_for(outer, lining),
        warmth=max(entry for entry in _WARMTH if entry[0] <= thickness_m)[1],
    )


def _bulk(plies: int, outer: Cloth, lining: Cloth) -> Bulk:
    """Half of the plies are of each cloth, and half of these are allowances."""
    with_pile_m = outer.compressed_thickness_m + lining.compressed_thickness_m
    ground_m = outer.ground_thickness_m + lining.ground_thickness_m
    return Bulk(plies, plies / 2 * with_pile_m, plies / 4 * (with_pile_m + ground_m))


def turn_of_cloth(outer: Cloth, lining: Cloth) -> TurnOfCloth:
    """Angle turned times distance apart: 2 pi round body or arm, pi over a fold (geometry).

    The distance is that of lightly pressed layers in touch, so it is the most that is needed.
    """
    apart_m = (outer.thickness_m + lining.thickness_m) / 2
    return TurnOfCloth(apart_m, 2 * math.pi * apart_m, math.pi * apart_m)


def turning(cut: Cut, outer: Cloth, lining: Cloth) -> Turning:
    """Whether the wrap, sewn inside out, can be pulled through the end of a sleeve.

    Pulled by the other sleeve it passes the opening section by section. The thickest section is
    the body's: the whole length of both layers, pressed as hard as a hand squeezes. Bunched, its
    area fills a share of a round opening (`FILLED`), whose girth is the square root of 4 pi times
    its area.
    """
    pressed_m = outer.compressed_thickness_m + lining.compressed_thickness_m
    bunch_m2 = cut.length_m * pressed_m
    least, likely, most = (math.sqrt(4 * math.pi * bunch_m2 / filled) for filled in FILLED[::-1])
    return Turning(cut.sleeve_opening_m, least, likely, most, bunch_m2)


def sewing_for(outer: Cloth, lining: Cloth) -> Sewing:
    """Needle, stitch and pins: habits of home sewing with plush, fleece and fur cloth."""
    pile_m = max(outer.pile_height_m, lining.pile_height_m)
    heavy = max(outer.mass_kg_m2, lining.mass_kg_m2) >= 0.6
    gives = min(outer.stretch_across_n_per_m, lining.stretch_across_n_per_m) < _GIVES_N_PER_M
    tip = "stretch or ball-point needle" if gives else "universal needle"
    seam = "stretch stitch or narrow zigzag" if gives else "straight stitch"
    if pile_m >= LONG_PILE_M or heavy:
        sizes = "90/14 to 110/18, 120/19 for a heavy ground"
        return Sewing(
            f"{tip} {sizes}", "straight or narrow zigzag", (0.0035, 0.0045), (0.013, 0.025)
        )
    if pile_m >= MEDIUM_PILE_M:
        return Sewing(f"{tip} 80/12 to 90/14", seam, (0.003, 0.004), (0.013, 0.025))
    if pile_m > 0:
        return Sewing(f"{tip} 75/11 to 90/14", seam, (0.0025, 0.0035), (0.025, 0.038))
    sizes = (
        "90/14 to 110/18" if max(outer.mass_kg_m2, lining.mass_kg_m2) >= 0.35 else "70/10 to 90/14"
    )
    return Sewing(f"{tip} {sizes}", seam, (0.0025, 0.003), (0.05, 0.10))

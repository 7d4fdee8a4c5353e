# SPDX-License-Identifier: GPL-3.0-or-later
"""Cloth: the mechanical figures of one material, and a library of pile cloth classes.

"Along" is the cloth's length (the wale of a knit, v on the pattern), "across" its width (the
course, x on the pattern).

Bending rigidity follows from the bending length c that a cantilever test reads (F. T. Peirce,
"The 'handle' of cloth as a measurable quantity", J. Text. Inst. 21, 1930; ASTM D1388, ISO 9073-7):
G = W g c³, with W the mass per area.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from .errors import InputError
from .units import Quantity, require_range

__all__ = ["STANDARD_GRAVITY_M_S2", "Cloth", "ClothChoice", "bending_rigidity_n_m", "library"]

STANDARD_GRAVITY_M_S2 = 9.80665

# Least and greatest believable value of each figure: tulle to fur coat, with room on both sides
_RANGES: Mapping[str, tuple[Quantity, float, float]] = MappingProxyType(
    {
        "mass_kg_m2": ("mass per area", 0.03, 2.5),
        "thickness_m": ("length", 0.0001, 0.05),
        "pile_height_m": ("length", 0.0, 0.12),
        "bending_along_n_m": ("bending rigidity", 1e-9, 0.01),
        "bending_across_n_m": ("bending rigidity", 1e-9, 0.01),
        "stretch_along_n_per_m": ("force per length", 10.0, 100_000.0),
        "stretch_across_n_per_m": ("force per length", 10.0, 100_000.0),
        "shear_n_per_m": ("force per length", 1.0, 10_000.0),
        "friction_cloth": ("number", 0.0, 2.0),
        "friction_body": ("number", 0.0, 2.0),
    }
)
_BENDING_LENGTH_RANGE_M = (0.002, 0.060)

# The figures in the words of a job file
_WORDS: Mapping[str, str] = MappingProxyType(
    {
        field: field.removesuffix(suffix)
        for field, suffix in {
            "mass_kg_m2": "_kg_m2",
            "thickness_m": "_m",
            "pile_height_m": "_m",
            "bending_along_n_m": "_n_m",
            "bending_across_n_m": "_n_m",
            "stretch_along_n_per_m": "_n_per_m",
            "stretch_across_n_per_m": "_n_per_m",
            "shear_n_per_m": "_n_per_m",
            "friction_cloth": "",
            "friction_body": "",
        }.items()
    }
)
_COLOUR = re.compile("#[0-9a-fA-F]{6}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """One material, in SI units.

    Parameters
    ----------
    name
        What the maker calls it, for example "light plush".
    mass_kg_m2
        Mass per area.
    thickness_m
        Ground and pile together under about 0.2 kPa, the pressure of a hand's weight.
    pile_height_m
        Height of the free pile over the ground; 0 for cloth without pile.
    bending_along_n_m, bending_across_n_m
        Bending rigidity per width (N·m²/m = N·m) when the length, or the width, is bent.
    stretch_along_n_per_m, stretch_across_n_per_m
        Force per width over strain, as a secant up to about 98 N/m.
    shear_n_per_m
        Shear force per width over shear angle in radians.
    friction_cloth, friction_body
        Coulomb coefficients of cloth on cloth and of cloth on a body or its clothes.
    colour
        sRGB components from 0 to 1.
    estimated
        Names of the fields that are estimates, not measured or given.

    Raises
    ------
    InputError
        A figure is outside the believable range, or ``estimated`` names no figure.
    """

    name: str
    mass_kg_m2: float
    thickness_m: float
    pile_height_m: float
    bending_along_n_m: float
    bending_across_n_m: float
    stretch_along_n_per_m: float
    stretch_across_n_per_m: float
    shear_n_per_m: float
    friction_cloth: float
    friction_body: float
    colour: tuple[float, float, float]
    estimated: frozenset[str]

    def __post_init__(self) -> None:
        for field, (quantity, low, high) in _RANGES.items():
            require_range(
                f"cloth.{_WORDS[field]}",
                getattr(self, field),
                low,
                high,
                "weigh or measure a swatch, or take a kind from the library",
                quantity=quantity,
            )
        if len(self.colour) != 3 or not all(0 <= part <= 1 for part in self.colour):
            raise InputError(
                "cloth.colour", self.colour, "three numbers from 0 to 1", "write an sRGB colour"
            )
        unknown = sorted(self.estimated - _RANGES.keys())
        if unknown:
            raise InputError(
                "cloth.estimated", unknown[0], ", ".join(_RANGES), "name figures of the cloth"
            )


def bending_rigidity_n_m(mass_kg_m2: float, bending_length_m: float) -> float:
    """Bending rigidity per width in N·m of a cloth that a cantilever test found this limp.

    G = W g c³ (Peirce 1930): c is half the overhang at which a strip reaches 41.5 degrees.
    """
    return float(mass_kg_m2 * STANDARD_GRAVITY_M_S2 * bending_length_m**3)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothChoice:
    """A class of the library, with the figures that the maker knows better.

    Parameters
    ----------
    kind
        A class of :func:`library`.
    mass_kg_m2, thickness_m, pile_height_m
        Figures of the maker's own cloth; None keeps the class's estimate.
    bending_length_along_m, bending_length_across_m
        Bending length of a cantilever test: half the overhang. None keeps the class's, so that a
        heavier cloth of a class is stiffer in the same measure.
    colour
        ``"#rrggbb"``; None keeps the class's.

    Raises
    ------
    InputError
        An unknown kind, a figure out of range, or a colour that is not written so.
    """

    kind: str
    mass_kg_m2: float | None = None
    thickness_m: float | None = None
    pile_height_m: float | None = None
    bending_length_along_m: float | None = None
    bending_length_across_m: float | None = None
    colour: str | None = None

    def __post_init__(self) -> None:
        if self.kind not in _CLASSES:
            raise InputError(
                "cloth.kind",
                f'"{self.kind}"',
                ", ".join(_CLASSES),
                "choose the nearest of these kinds",
            )
        for direction in ("along", "across"):
            length_m = getattr(self, f"bending_length_{direction}_m")
            if length_m is not None:
                require_range(
                    f"cloth.bending_length_{direction}",
                    length_m,
                    *_BENDING_LENGTH_RANGE_M,
                    "write half the overhang of the cantilever test",
                    quantity="length",
                )
        if self.colour is not None and _COLOUR.fullmatch(self.colour) is None:
            raise InputError(
                "cloth.colour",
                f'"{self.colour}"',
                '"#000000" to "#ffffff"',
                'write it like "#e6dcc8"',
            )
        self.cloth()

    def cloth(self) -> Cloth:
        """The cloth with all its figures; those that were not given stay marked as estimates."""
        kind = library()[self.kind]
        mass_kg_m2 = kind.mass_kg_m2 if self.mass_kg_m2 is None else self.mass_kg_m2
        # G is proportional to W at equal bending length
        heavier = mass_kg_m2 / kind.mass_kg_m2
        along = (
            kind.bending_along_n_m * heavier
            if self.bending_length_along_m is None
            else bending_rigidity_n_m(mass_kg_m2, self.bending_length_along_m)
        )
        across = (
            kind.bending_across_n_m * heavier
            if self.bending_length_across_m is None
            else bending_rigidity_n_m(mass_kg_m2, self.bending_length_across_m)
        )
        colour = kind.colour
        if self.colour is not None:
            red, green, blue = bytes.fromhex(self.colour[1:])
            colour = (red / 255, green / 255, blue / 255)
        given = {
            "mass_kg_m2": self.mass_kg_m2,
            "thickness_m": self.thickness_m,
            "pile_height_m": self.pile_height_m,
            "bending_along_n_m": self.bending_length_along_m,
            "bending_across_n_m": self.bending_length_across_m,
        }
        return replace(
            kind,
            mass_kg_m2=mass_kg_m2,
            thickness_m=kind.thickness_m if self.thickness_m is None else self.thickness_m,
            pile_height_m=kind.pile_height_m if self.pile_height_m is None else self.pile_height_m,
            bending_along_n_m=along,
            bending_across_n_m=across,
            colour=colour,
            estimated=frozenset(name for name in _RANGES if given.get(name) is None),
        )


# One row per class, each the middle of the range that the trade gives for its kind:
# mass g/m², pile mm, thickness mm, bending length along and across mm, stretch stiffness along and
# across N/m, shear N/m, cloth on cloth friction, colour.
# Two figures are judgements rather than middles. Raised fleece has no sheared pile: the height of
# its nap is put at about a third of its thickness. Long pile is 12 to 30 mm thick and soft: its
# thickness is put at 15 mm, since under 0.2 kPa long fibres lie down on one another.
_CLASSES: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "microfleece": (180, 1.5, 2.0, 16, 13, 1500, 400, 30, 0.5, 0.72, 0.77, 0.80),
        "light plush": (260, 3.0, 3.5, 18, 14, 3000, 700, 40, 0.5, 0.90, 0.86, 0.78),
        "flannel fleece": (270, 4.0, 3.8, 18, 15, 2000, 600, 40, 0.5, 0.78, 0.62, 0.52),
        "medium fleece": (220, 1.0, 3.0, 20, 16, 1500, 400, 40, 0.5, 0.45, 0.55, 0.62),
        "heavy fleece": (310, 1.5, 4.5, 25, 20, 2000, 600, 55, 0.5, 0.35, 0.40, 0.48),
        "curly pile": (340, 7.0, 7.0, 23, 18, 1500, 500, 45, 0.6, 0.93, 0.90, 0.84),
        "velour knit": (270, 1.2, 1.6, 17, 14, 1200, 350, 30, 0.45, 0.50, 0.30, 0.34),
        "short pile": (480, 10.0, 10.0, 28, 23, 3000, 1200, 80, 0.6, 0.56, 0.47, 0.38),
        "long pile": (850, 45.0, 15.0, 33, 27, 4000, 1800, 100, 0.6, 0.36, 0.43, 0.31),
    }
)
# Pile or knit ground on cotton or dry skin: 0.3 to 0.6
_FRICTION_BODY = 0.4


def library() -> Mapping[str, Cloth]:
    """Classes of pile cloth by kind and weight, all figures estimates.

    The figures are middles of what the trade quotes for mass, pile and thickness, and of what
    bending length, stretch and shear such knits can be expected to show; no measured table for
    pile cloth stands behind them. Bending rigidity is uncertain by a factor of two to three.
    Measure a swatch where it matters.
    """
    return MappingProxyType({name: _from_row(name, row) for name, row in _CLASSES.items()})


def _from_row(name: str, row: tuple[float, ...]) -> Cloth:
    mass_g, pile_mm, thick_mm, c_along_mm, c_across_mm, along, across, shear, friction = row[:9]
    mass_kg_m2 = mass_g / 1000
    return Cloth(
        name=name,
        mass_kg_m2=mass_kg_m2,
        thickness_m=thick_mm / 1000,
        pile_height_m=pile_mm / 1000,
        bending_along_n_m=bending_rigidity_n_m(mass_kg_m2, c_along_mm / 1000),
        bending_across_n_m=bending_rigidity_n_m(mass_kg_m2, c_across_mm / 1000),
        stretch_along_n_per_m=along,
        stretch_across_n_per_m=across,
        shear_n_per_m=shear,
        friction_cloth=friction,
        friction_body=_FRICTION_BODY,
        colour=(row[9], row[10], row[11]),
        estimated=frozenset(_RANGES),
    )

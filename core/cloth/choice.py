# SPDX-License-Identifier: GPL-3.0-or-later
"""The maker's choice of a cloth: a kind of the library, and what the maker knows better."""

import re
from dataclasses import dataclass, replace

from ..errors import InputError
from ..units import require_range
from .bending import bending_rigidity_n_m
from .figures import Origin
from .library import library
from .material import Cloth

__all__ = ["ClothChoice"]

_BENDING_LENGTH_RANGE_M = (0.002, 0.060)
_COLOUR = re.compile("#[0-9a-fA-F]{6}")

# Standard deviations of what is stated: lots of cloth are traded at 5 % of mass; a maker reads
# thickness, pile and half an overhang to a tenth or so
_STATED_SHARE = {"mass_kg_m2": 0.05, "thickness_m": 0.1, "pile_height_m": 0.1}
_STATED_BENDING_SHARE = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothChoice:
    """A class of the library, with the figures that the maker knows better.

    Parameters
    ----------
    kind
        A class of :func:`library`.
    mass_kg_m2, thickness_m, pile_height_m
        Figures of the maker's own cloth; None keeps the class's estimate. A thickness takes the
        pressed thickness along in proportion.
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
        if self.kind not in library():
            raise InputError(
                "cloth.kind",
                f'"{self.kind}"',
                ", ".join(library()),
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
        cloth = library()[self.kind]
        if self.colour is not None:
            red, green, blue = bytes.fromhex(self.colour[1:])
            cloth = replace(cloth, colour=(red / 255, green / 255, blue / 255))
        if self.mass_kg_m2 is not None:
            cloth = _weighing(cloth, self.mass_kg_m2)
        for direction in ("along", "across"):
            length_m = getattr(self, f"bending_length_{direction}_m")
            if length_m is not None:
                cloth = _bending_at(cloth, direction, length_m)
        if self.thickness_m is not None:
            cloth = _thick(cloth, self.thickness_m)
        if self.pile_height_m is not None:
            cloth = replace(cloth, pile_height_m=self.pile_height_m)
        return replace(cloth, origins=self._origins(cloth))

    def _origins(self, cloth: Cloth) -> tuple[Origin, ...]:
        """Stated figures as stated, all others as the class has them."""
        stated = {
            figure: share * getattr(cloth, figure)
            for figure, share in _STATED_SHARE.items()
            if getattr(self, figure) is not None
        } | {
            figure: _STATED_BENDING_SHARE * getattr(cloth, figure)
            for direction in ("along", "across")
            if getattr(self, f"bending_length_{direction}_m") is not None
            for figure in (f"bending_{direction}_n_m",)
        }
        return tuple(
            Origin(origin.figure, "shop", stated[origin.figure], "stated")
            if origin.figure in stated
            else origin
            for origin in cloth.origins
        )


def _weighing(cloth: Cloth, mass_kg_m2: float) -> Cloth:
    """The cloth at another mass: it bends at the same lengths, so stiffness and mass grow alike."""
    heavier = mass_kg_m2 / cloth.mass_kg_m2
    return _scaled(
        cloth,
        heavier,
        "bending_along_n_m",
        "bending_across_n_m",
        "bending_friction_along_n",
        "bending_friction_across_n",
        mass_kg_m2=mass_kg_m2,
    )


def _bending_at(cloth: Cloth, direction: str, length_m: float) -> Cloth:
    """The cloth with another bending length; the share of inner friction stays."""
    figure = f"bending_{direction}_n_m"
    rigidity = bending_rigidity_n_m(cloth.mass_kg_m2, length_m)
    longer = (rigidity / getattr(cloth, figure)) ** (1 / 3)
    stiffer = _scaled(cloth, longer**2, f"bending_friction_{direction}_n")
    return _scaled(stiffer, longer**3, figure, **{figure: rigidity})


def _thick(cloth: Cloth, thickness_m: float) -> Cloth:
    """The cloth at another thickness: pressed, as great a share of it is left."""
    thicker = thickness_m / cloth.thickness_m
    return _scaled(
        cloth,
        thicker,
        "compressed_thickness_m",
        thickness_m=thickness_m,
        ground_thickness_m=min(cloth.ground_thickness_m, thicker * cloth.compressed_thickness_m),
    )


def _scaled(cloth: Cloth, factor: float, *figures: str, **others: float) -> Cloth:
    """Some figures times a factor, their deviations too, and others set."""
    return replace(
        cloth,
        origins=tuple(
            replace(origin, sd=origin.sd * factor) if origin.figure in figures else origin
            for origin in cloth.origins
        ),
        **{figure: factor * getattr(cloth, figure) for figure in figures} | others,
    )

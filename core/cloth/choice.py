# SPDX-License-Identifier: GPL-3.0-or-later
"""The maker's choice of a cloth: a kind of the library, and what the maker knows better."""

from dataclasses import dataclass, field, replace

from ..errors import InputError
from ..swatch import DIRECTIONS, Swatch, drape_coefficient
from ..units import require_range
from .changes import bending_at, known, thick, weighing
from .figures import Origin
from .library import library
from .material import Cloth
from .measured import measured
from .printed import COLOUR, Photograph, Print

__all__ = ["ClothChoice"]

_BENDING_LENGTH_RANGE_M = (0.002, 0.060)

# Standard deviations of what is stated, over the value (our estimates, but for mass: lots of cloth
# are traded within 5 % of it)
_STATED_SHARES = {
    "mass_kg_m2": 0.05,
    "thickness_m": 0.1,
    "pile_height_m": 0.1,
    "bolt_width_m": 0.01,
    "shrinkage_along": 0.3,
    "shrinkage_across": 0.3,
}
_STATED_BENDING_SHARE = 0.2
_STATED_PLAINLY = (
    "pile_height_m",
    "bolt_width_m",
    "shrinkage_along",
    "shrinkage_across",
    "price_per_m",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothChoice:
    """A class of the library, with the figures that the maker knows better.

    Parameters
    ----------
    kind
        A class of :func:`library`.
    mass_kg_m2, thickness_m, pile_height_m, bolt_width_m, shrinkage_along, shrinkage_across
        Figures of the maker's own cloth as stated by shop or label; None keeps the class's
        estimate. A thickness takes the pressed thickness along in proportion.
    bending_length_along_m, bending_length_across_m
        Bending length of a cantilever test: half the overhang. None keeps the class's, so that a
        heavier cloth of a class is stiffer in the same measure.
    price_per_m
        Price of a metre off the bolt; None if it is not known.
    colour
        ``"#rrggbb"``; None takes that of the photograph or of the print's picture, else the class's.
    swatch
        What the maker read off a piece.
    print
        What is printed on the cloth; None for plain cloth.
    photograph
        A photograph of the cloth, which gives its colour.

    Raises
    ------
    InputError
        An unknown kind, a figure out of range, readings that are impossible, a colour that is not
        written so, or both a print and a photograph to be shown.
    """

    kind: str
    mass_kg_m2: float | None = None
    thickness_m: float | None = None
    pile_height_m: float | None = None
    bending_length_along_m: float | None = None
    bending_length_across_m: float | None = None
    bolt_width_m: float | None = None
    shrinkage_along: float | None = None
    shrinkage_across: float | None = None
    price_per_m: float | None = None
    colour: str | None = None
    swatch: Swatch = field(default_factory=Swatch)
    print: Print | None = None
    photograph: Photograph | None = None

    def __post_init__(self) -> None:
        if self.kind not in library():
            raise InputError(
                "cloth.kind",
                f'"{self.kind}"',
                ", ".join(library()),
                "choose the nearest of these kinds",
            )
        for direction in DIRECTIONS:
            length_m = getattr(self, f"bending_length_{direction}_m")
            if length_m is not None:
                require_range(
                    f"cloth.bending_length_{direction}",
                    length_m,
                    *_BENDING_LENGTH_RANGE_M,
                    "write half the overhang of the cantilever test",
                    quantity="length",
                )
        if self.colour is not None and COLOUR.fullmatch(self.colour) is None:
            raise InputError(
                "cloth.colour",
                f'"{self.colour}"',
                '"#000000" to "#ffffff"',
                'write it like "#e6dcc8"',
            )
        if self.print is not None and self.photograph is not None and self.photograph.tiled:
            raise InputError(
                "cloth.photograph.tiled",
                "true",
                "either a print or the photograph itself",
                "leave the print out, or take the photograph for its colour alone",
            )
        # both refuse what is impossible
        self.cloth()
        drape_coefficient(self.swatch)

    def cloth(self) -> Cloth:
        """The cloth with all its figures.

        A swatch's readings go before what is stated, and that before the class's estimates.
        """
        cloth = replace(library()[self.kind], print=self.shown_print)
        colour = self.colour or self._seen_colour()
        if colour is not None:
            red, green, blue = bytes.fromhex(colour[1:])
            cloth = replace(cloth, colour=(red / 255, green / 255, blue / 255))
        if self.mass_kg_m2 is not None:
            cloth = weighing(cloth, self.mass_kg_m2)
        for direction in DIRECTIONS:
            length_m = getattr(self, f"bending_length_{direction}_m")
            if length_m is not None:
                cloth = bending_at(cloth, direction, length_m)
        if self.thickness_m is not None:
            cloth = thick(cloth, self.thickness_m)
        for figure in _STATED_PLAINLY:
            value = getattr(self, figure)
            if value is not None:
                cloth = replace(cloth, **{figure: value})
        return measured(known(cloth, *self._stated(cloth)), self.swatch)

    @property
    def shown_print(self) -> Print | None:
        """The print, or the photograph shown as one."""
        return self.print if self.photograph is None else self.photograph.print or self.print

    def _seen_colour(self) -> str | None:
        """The colour that a picture shows."""
        if self.photograph is not None:
            return self.photograph.picture.colour
        if self.print is not None and self.print.picture is not None:
            return self.print.picture.colour
        return None

    def _stated(self, cloth: Cloth) -> list[Origin]:
        """The origins of what is stated."""
        shares = {
            figure: share
            for figure, share in _STATED_SHARES.items()
            if getattr(self, figure) is not None
        } | {
            f"bending_{direction}_n_m": _STATED_BENDING_SHARE
            for direction in DIRECTIONS
            if getattr(self, f"bending_length_{direction}_m") is not None
        }
        return [
            Origin(figure, "shop", share * abs(getattr(cloth, figure)), "stated")
            for figure, share in shares.items()
        ]

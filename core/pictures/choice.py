# SPDX-License-Identifier: GPL-3.0-or-later
"""What a job wants of its set of pictures."""

import re
from dataclasses import dataclass

from ..cloth.printed import MOST_COLOURS
from ..errors import InputError
from .shots import USUAL_SHOTS

__all__ = [
    "BACKGROUNDS",
    "MANNEQUINS",
    "MOST_COLOURWAYS",
    "SIZES_PX",
    "Colourway",
    "PictureChoice",
]

SIZES_PX = {
    "square": (1000, 1000),
    "large square": (2000, 2000),
    "portrait": (1080, 1350),
    "small square": (300, 300),
}
"""Sizes of pictures: width and height in pixels; portrait is 4:5."""

BACKGROUNDS = ("white", "grey", "transparent", "room", "paper")
MANNEQUINS = ("shown", "plain", "hidden")
MOST_COLOURWAYS = 12

_COLOUR = re.compile("#[0-9a-fA-F]{6}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Colourway:
    """The wrap in other colours.

    Parameters
    ----------
    name
        What it is called.
    outer, lining
        Colour of the cloth, behind the figures of its print; None keeps it.
    outer_print, lining_print
        Colours of the figures, up to three; none keeps them.

    Raises
    ------
    InputError
        A colour that is not written ``"#rrggbb"``, or too many.
    """

    name: str
    outer: str | None = None
    lining: str | None = None
    outer_print: tuple[str, ...] = ()
    lining_print: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for key, colours in (
            ("outer", (self.outer,)),
            ("lining", (self.lining,)),
            ("outer_print", self.outer_print),
            ("lining_print", self.lining_print),
        ):
            self._check(f"pictures.colourway.{key}", colours)

    @staticmethod
    def _check(key: str, colours: tuple[str | None, ...]) -> None:
        if len(colours) > MOST_COLOURS:
            most = f"up to {MOST_COLOURS} colours"
            raise InputError(key, f"a list of {len(colours)}", most, "leave some out")
        for colour in colours:
            if colour is not None and _COLOUR.fullmatch(colour) is None:
                raise InputError(
                    key, f'"{colour}"', '"#000000" to "#ffffff"', 'write it like "#e6dcc8"'
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureChoice:
    """Which pictures a set has: every shot on every background in every size.

    Parameters
    ----------
    shots
        Names of `SHOTS`.
    sizes
        Names of `SIZES_PX`.
    backgrounds
        Out of `BACKGROUNDS`.
    mannequin
        ``shown`` as in a shop; ``plain``, in the grey of the background; ``hidden``, so that the
        inside of the back neck is seen. Where it sits or lies, a hidden one is plain.
    turntable
        Number of frames of one turn; 0 for none.
    comparison
        Whether the first two variants also stand side by side beside a height ruler.
    colourways
        Each variant in each of these; none for the colours of its cloths.
    """

    shots: tuple[str, ...] = USUAL_SHOTS
    sizes: tuple[str, ...] = ("square",)
    backgrounds: tuple[str, ...] = ("white",)
    mannequin: str = "shown"
    turntable: int = 0
    comparison: bool = True
    colourways: tuple[Colourway, ...] = ()

# SPDX-License-Identifier: GPL-3.0-or-later
"""What is printed on a cloth, to scale; and a photograph of the cloth itself.

A print lies on the flat cloth seen from its right side: x across to the right, v along, up. In the
wrap v grows from the front hem over the shoulder fold to the back hem, so a print that has an upright
way stands upright in front and on its head behind.
"""

import math
import re
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..errors import InputError
from ..picture_file import PictureFile
from ..units import require_range

__all__ = ["MOST_COLOURS", "PICTURE", "PLAIN", "PRINTS", "Photograph", "Print"]

PLAIN, PICTURE = "plain", "picture"
PRINTS = ("fern", "dapple", "stripe", "check", PICTURE)
"""Our own motifs, and a picture from a file."""
UPRIGHT = ("fern", PICTURE)
"""Motifs with an upright way, unless it is said otherwise."""

REPEAT_RANGE_M = (0.005, 3.0)
MOST_OFFSET_M = 3.0
MOST_TURN_RAD = 2 * math.pi
MOST_COLOURS = 3
COLOUR = re.compile("#[0-9a-fA-F]{6}")
SQUARE_RAD = 1e-6
"""A print turned by a quarter within this comes again along the cloth."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """A motif that comes again and again.

    Parameters
    ----------
    kind
        Out of `PRINTS`.
    repeat_m
        Width of one repeat, metres on the flat cloth; its height follows from the motif.
    offset_m
        How far the print lies across to the right (below 0 to the left) and along the cloth from where
        the middle of a repeat is at the middle of the shoulder fold, metres. A whole repeat more or less
        looks the same.
    turn_rad
        How far it is turned counter-clockwise.
    colours
        ``"#rrggbb"`` of the figures, up to three; none takes paler and deeper shades of the cloth's
        colour, which is that of what lies behind them.
    one_way
        Whether it has an upright way; None: as its kind has.
    picture
        The picture of the kind "picture".
    mirrored
        Whether every second repeat is its mirror image, so that edges meet.

    Raises
    ------
    InputError
        An unknown kind, a length out of range, a colour that is not written so, or a picture that is
        missing or too much.
    """

    kind: str
    repeat_m: float
    offset_m: tuple[float, float] = (0.0, 0.0)
    turn_rad: float = 0.0
    colours: tuple[str, ...] = ()
    one_way: bool | None = None
    picture: PictureFile | None = None
    mirrored: bool = False

    def __post_init__(self) -> None:
        if self.kind not in PRINTS:
            known = ", ".join((PLAIN, *PRINTS))
            raise InputError("cloth.print.kind", f'"{self.kind}"', known, "choose one of these")
        require_range(
            "cloth.print.repeat",
            self.repeat_m,
            *REPEAT_RANGE_M,
            "write how wide one repeat of the print is on the cloth",
            quantity="length",
        )
        for offset_m in self.offset_m:
            require_range(
                "cloth.print.offset",
                offset_m,
                -MOST_OFFSET_M,
                MOST_OFFSET_M,
                "write how far the print is moved across and along; below 0 is to the left and down",
                quantity="length",
            )
        require_range(
            "cloth.print.turn",
            self.turn_rad,
            0.0,
            MOST_TURN_RAD,
            "write how far the print is turned",
            quantity="angle",
        )
        self._check_colours()
        if (self.kind == PICTURE) != (self.picture is not None):
            raise InputError(
                "cloth.print.file",
                "missing" if self.picture is None else f'"{self.picture.path.name}"',
                f'a file with kind = "{PICTURE}", and with no other kind',
                "write both, or leave the file out",
            )

    def _check_colours(self) -> None:
        if len(self.colours) > MOST_COLOURS or (self.colours and self.kind == PICTURE):
            most = f"up to {MOST_COLOURS} colours, none for a picture"
            raise InputError(
                "cloth.print.colours", f"a list of {len(self.colours)}", most, "leave some out"
            )
        for colour in self.colours:
            if COLOUR.fullmatch(colour) is None:
                raise InputError(
                    "cloth.print.colours",
                    f'"{colour}"',
                    '"#000000" to "#ffffff"',
                    'write it like "#e6dcc8"',
                )

    @property
    def upright(self) -> bool:
        """Whether the print has an upright way."""
        return self.kind in UPRIGHT if self.one_way is None else self.one_way

    @property
    def height_m(self) -> float:
        """Height of one repeat, metres: that of a motif is as large as its width."""
        if self.picture is None:
            return self.repeat_m
        return self.repeat_m * self.picture.height_px / self.picture.width_px

    @property
    def aslant(self) -> bool:
        """Whether it is turned by anything but quarters."""
        quarters = self.turn_rad / (math.pi / 2)
        return abs(quarters - round(quarters)) >= SQUARE_RAD

    @property
    def repeat_along_m(self) -> float | None:
        """After which length of cloth it comes again, metres; None where it is aslant or alike everywhere."""
        return self._repeats_m[1]

    @property
    def repeat_across_m(self) -> float | None:
        """After which width of cloth it comes again, metres; None likewise."""
        return self._repeats_m[0]

    @property
    def _repeats_m(self) -> tuple[float | None, float | None]:
        """Across and along the cloth."""
        if self.aslant:
            return None, None
        # stripes are alike everywhere along themselves
        repeats_m = (self.repeat_m, None if self.kind == "stripe" else self.height_m)
        return repeats_m if round(self.turn_rad / (math.pi / 2)) % 2 == 0 else repeats_m[::-1]

    def place(self, flat: FloatArray, *, inside: bool = False) -> FloatArray:
        """Where in the motif places (n, 2) m of the flat pattern lie, in repeats (n, 2).

        The whole part says which repeat. ``inside`` is a lining, whose right side is seen from the
        other side, so that left and right change places.
        """
        seen = flat * np.array([-1.0 if inside else 1.0, 1.0]) - np.asarray(self.offset_m)
        cos, sin = math.cos(self.turn_rad), math.sin(self.turn_rad)
        turned = seen @ np.array([[cos, -sin], [sin, cos]])
        place: FloatArray = turned / np.array([self.repeat_m, self.height_m]) + 0.5
        return place


@dataclass(frozen=True, slots=True, kw_only=True)
class Photograph:
    """A photograph of the cloth, taken straight from above, which gives its colour.

    Parameters
    ----------
    picture
        The picture.
    width_m
        How wide the stretch of cloth in it is, metres.
    tiled
        Whether the picture itself is shown all over the cloth, at true scale.

    Raises
    ------
    InputError
        The width is out of range.
    """

    picture: PictureFile
    width_m: float
    tiled: bool = False

    def __post_init__(self) -> None:
        require_range(
            "cloth.photograph.width",
            self.width_m,
            0.01,
            3.0,
            "write how wide the stretch of cloth in the photograph is",
            quantity="length",
        )

    @property
    def print(self) -> Print | None:
        """The photograph as a print whose edges meet; None where only its colour is wanted."""
        if not self.tiled:
            return None
        return Print(
            kind=PICTURE,
            repeat_m=self.width_m,
            one_way=False,
            picture=self.picture,
            mirrored=True,
        )

# SPDX-License-Identifier: GPL-3.0-or-later
"""Our own motifs as square pictures that repeat without a seam, and a print at places of the cloth."""

from collections.abc import Callable, Mapping
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray, IntArray
from ..cloth import Print
from ..picture_file import from_light, pixels_of, to_light

__all__ = ["printed_at", "repeat_of", "shades"]

MOTIF_PX = 512
FINER = 2
"""Motifs are drawn so much finer and averaged, so that edges are smooth."""
GROUND = -1
STRIPE_SHARE = 0.5
FROND_LEAFLETS = 11
FROND_HEIGHT, FROND_REACH = 0.86, 0.21
"""Height of a frond and length of its longest leaflets, in repeats."""
DAPPLES, DAPPLE_RADII = 34, (0.022, 0.075)

Colour = tuple[float, float, float]
_Ids = IntArray


def shades(ground: Colour) -> tuple[Colour, ...]:
    """Colours (sRGB) for figures on a ground where none are chosen: one that stands out, and one between."""
    light = to_light(np.asarray(ground))
    bright = float(light @ np.array([0.2126, 0.7152, 0.0722]))
    far = light * 0.28 if bright > 0.25 else light + (1.0 - light) * 0.55
    between = (light + far) / 2
    return tuple(
        (float(red), float(green), float(blue))
        for red, green, blue in (from_light(one) for one in (far, between))
    )


def repeat_of(motif: Print, ground: Colour) -> FloatArray:
    """One repeat (height, width, 3) sRGB from 0 to 1, the first row at the bottom.

    Parameters
    ----------
    motif
        The print; one that is mirrored gives its picture four times, so that edges meet: two repeats
        wide and high.
    ground
        The cloth's colour, behind the figures.

    Raises
    ------
    FileError
        Its picture cannot be read.
    """
    if motif.picture is not None:
        pixels = pixels_of(motif.picture)
        if not motif.mirrored:
            return pixels
        row = np.concatenate([pixels, pixels[:, ::-1]], axis=1)
        return np.concatenate([row, row[::-1]], axis=0)
    chosen = [tuple(byte / 255 for byte in bytes.fromhex(one[1:])) for one in motif.colours]
    figures = chosen or list(shades(ground))
    colours = to_light(np.array([*figures, ground]))
    figure = _figures(motif.kind)
    drawn = colours[np.where(figure == GROUND, len(figures), figure % len(figures))]
    return from_light(_averaged(drawn))


def printed_at(
    motif: Print, ground: Colour, flat: FloatArray, *, inside: bool = False
) -> FloatArray:
    """The colours (n, 3) sRGB of places (n, 2) m of the flat pattern; see `Print.place`."""
    pixels = repeat_of(motif, ground)
    share = (motif.place(flat, inside=inside) / (2 if motif.mirrored else 1)) % 1.0
    height, width = pixels.shape[:2]
    column = np.minimum((share[:, 0] * width).astype(np.int64), width - 1)
    row = np.minimum((share[:, 1] * height).astype(np.int64), height - 1)
    colours: FloatArray = pixels[row, column]
    return colours


def _averaged(fine: FloatArray) -> FloatArray:
    means: FloatArray = fine.reshape(MOTIF_PX, FINER, MOTIF_PX, FINER, 3).mean(axis=(1, 3))
    return means


@lru_cache(maxsize=8)
def _figures(kind: str) -> _Ids:
    """Which figure (n, n) is where, the first row at the bottom; `GROUND` where there is none."""
    centre = (np.arange(MOTIF_PX * FINER) + 0.5) / (MOTIF_PX * FINER)
    x, y = np.meshgrid(centre, centre)
    return _DRAWN[kind](x, y)


def _stripe(x: FloatArray, _y: FloatArray) -> _Ids:
    """A stripe along the cloth, as broad as what is between."""
    return np.where(np.abs(x - 0.5) < STRIPE_SHARE / 2, 0, GROUND)


def _check(x: FloatArray, y: FloatArray) -> _Ids:
    """Stripes across stripes: where both meet, the first figure; where one is, the second."""
    count = (np.abs(x - 0.5) < STRIPE_SHARE / 2).astype(np.int64)
    count += np.abs(y - 0.5) < STRIPE_SHARE / 2
    figure: _Ids = np.array([GROUND, 1, 0])[count]
    return figure


def _dapple(x: FloatArray, y: FloatArray) -> _Ids:
    """Round spots of light and shade, as under leaves."""
    chance = np.random.default_rng(11)
    figure = np.full(x.shape, GROUND)
    across = round(DAPPLES**0.5)
    cell = np.stack(np.divmod(np.arange(across**2), across), axis=1)
    centres = (cell + chance.uniform(0.1, 0.9, cell.shape)) / across
    radii = chance.uniform(*DAPPLE_RADII, len(centres))
    squash = chance.uniform(0.7, 1.4, len(centres))
    # spots are few; each is drawn over the whole motif
    for number, (centre, radius, flat) in enumerate(zip(centres, radii, squash, strict=True)):
        off_x, off_y = (_nearest(axis - at) for axis, at in zip((x, y), centre, strict=True))
        figure[(off_x / flat) ** 2 + (off_y * flat) ** 2 < radius**2] = number % 2
    return figure


def _fern(x: FloatArray, y: FloatArray) -> _Ids:
    """Two fronds, the second half a repeat aside and half a repeat up, leaflets in pairs to the tip."""
    figure = np.full(x.shape, GROUND)
    for number, (root_x, root_y, sway) in enumerate(((0.25, 0.06, 0.05), (0.75, 0.56, -0.05))):
        along = np.linspace(0.0, 1.0, FROND_LEAFLETS * 6)
        for share in along:
            at = (root_x + sway * np.sin(np.pi * share), root_y + FROND_HEIGHT * share)
            near = _nearest(x - at[0]) ** 2 + _nearest(y - at[1]) ** 2
            figure[near < (0.009 * (1.15 - share)) ** 2] = number
        for share in (np.arange(FROND_LEAFLETS) + 0.7) / FROND_LEAFLETS:
            at = (root_x + sway * np.sin(np.pi * share), root_y + FROND_HEIGHT * share)
            reach = FROND_REACH * np.sin(np.pi * (0.12 + 0.86 * share) ** 0.8) + 0.02
            for side in (-1.0, 1.0):
                figure[_leaflet(x, y, at, side, float(reach))] = number
    return figure


def _leaflet(
    x: FloatArray, y: FloatArray, at: tuple[float, float], side: float, reach: float
) -> FloatArray:
    """Where a leaflet is that grows aside and up from a place, broadest before its middle."""
    across, up = _nearest(x - at[0]) * side, _nearest(y - at[1])
    rise = 0.62
    along = (across + rise * up) / (1 + rise**2) ** 0.5
    aside = (up - rise * across) / (1 + rise**2) ** 0.5
    share = np.clip(along / reach, 0.0, 1.0)
    half = 0.13 * reach * np.sin(np.pi * share**0.7) + 0.002
    inside: FloatArray = (along > 0) & (along < reach) & (np.abs(aside) < half)
    return inside


def _nearest(off: FloatArray) -> FloatArray:
    """A way in the motif to the nearest of all repeats, from -0.5 to 0.5."""
    way: FloatArray = (off + 0.5) % 1.0 - 0.5
    return way


_DRAWN: Mapping[str, Callable[[FloatArray, FloatArray], _Ids]] = MappingProxyType(
    {"stripe": _stripe, "check": _check, "dapple": _dapple, "fern": _fern}
)

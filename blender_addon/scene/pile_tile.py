# SPDX-License-Identifier: GPL-3.0-or-later
"""Pile as square pictures that repeat without a seam: what stands in a surface without strands.

Colour, height of the tips and slopes of one square of cloth, for programs that draw no hair. A
likeness like the strands; none of its figures is a measurement.
"""

import math
from dataclasses import dataclass

import numpy as np

from ...core.arrays import FloatArray
from ...core.picture_file import from_light, to_light
from .pile_styles import PileStyle

__all__ = ["TILE_PX", "PileTile", "pile_tile", "printed_tile", "shade_of"]

TILE_M, TILE_PX = 0.05, 512
FINER = 2.5
"""Tips in a tile over strands: a strand stands for a tuft, of which a surface shows several tips."""
COVER = 0.75
"""Radius of a tip over the distance between tips: they overlap, so that no ground is bald."""
LEVELS = 24
"""Heights are told in so many steps; more only makes larger files."""
SLOPE = 0.35
"""Slopes of the normal map over those of the tips, which are steeper than a flat surface can show."""
RINGLETS, RINGLET_THICK = 2.2, 0.5
"""Ringlets in the square of a tuft; half of how thick each is, over the radius of its ring."""
CLUMPED = 0.28
"""How far tips move together where a pile clings as much as it can."""
ROOT_SHADE = 0.55
PRINT_PIXEL_M = 0.0005
LEAST_PRINT_PX, MOST_PRINT_PX = 128, 1024
COLOUR_STEPS = 48
"""Of a printed pile's colours in a channel."""


@dataclass(frozen=True, slots=True)
class PileTile:
    """One square of cloth, its first row at the bottom.

    Attributes
    ----------
    side_m
        Of the square, metres.
    colour
        (n, n, 3) sRGB from 0 to 1, deeper between the tips.
    height
        (n, n) from 0 at the ground to 1 at the longest tips.
    normals
        (n, n, 3) unit, x across and y along the cloth, z out of it.
    """

    side_m: float
    colour: FloatArray
    height: FloatArray
    normals: FloatArray


def pile_tile(
    style: PileStyle, colour: tuple[float, float, float], depth_m: float, *, seed: int = 0
) -> PileTile:
    """The square of a pile that stands ``depth_m`` high, whose mean colour in light is ``colour``."""
    height = _tips(style, np.random.default_rng(seed))
    pixel_m = TILE_M / TILE_PX
    slope = [SLOPE * depth_m / pixel_m * _rise(height, axis) for axis in (1, 0)]
    normals = np.stack([-slope[0], -slope[1], np.ones_like(height)], axis=2)
    normals /= np.linalg.norm(normals, axis=2, keepdims=True)
    return PileTile(TILE_M, shaded(np.asarray(colour), shade_of(style, height)), height, normals)


def shade_of(style: PileStyle, height: FloatArray) -> FloatArray:
    """The light on tips (n, n) of these heights, deeper between them."""
    shade = ROOT_SHADE * style.root_shade
    return shade + (1 - shade) * height


def shaded(colour: FloatArray, shade: FloatArray) -> FloatArray:
    """Colours, sRGB (3,) or (n, n, 3), under light and shade (n, n), of which the mean is taken as full light."""
    light = to_light(colour) * (shade / shade.mean())[..., None]
    return from_light(np.clip(light, 0.0, 1.0))


def printed_tile(
    tile: PileTile, shade: FloatArray, print_px: FloatArray, size_m: tuple[float, float]
) -> PileTile:
    """A pile over one repeat of a print, so that both repeat without a seam.

    Parameters
    ----------
    tile
        The pile of plain cloth.
    shade
        (n, n), the light in it.
    print_px
        (height, width, 3) sRGB, one repeat, the first row at the bottom.
    size_m
        Width and height of that repeat.
    """
    width_px, height_px = (
        min(max(2 ** round(math.log2(side_m / PRINT_PIXEL_M)), LEAST_PRINT_PX), MOST_PRINT_PX)
        for side_m in size_m
    )
    row, column = (
        # whole squares of pile fit in a repeat, each a little larger or smaller than in truth
        (np.arange(size_px) * max(round(side_m / tile.side_m), 1) / size_px % 1.0 * TILE_PX).astype(
            np.int64
        )
        for size_px, side_m in ((height_px, size_m[1]), (width_px, size_m[0]))
    )
    place = np.ix_(row, column)
    at = (
        (np.arange(size_px) + 0.5) / size_px * length
        for size_px, length in zip((height_px, width_px), print_px.shape[:2], strict=True)
    )
    colours = print_px[np.ix_(*(one.astype(np.int64) for one in at))]
    return PileTile(
        size_m[0],
        stepped(shaded(colours, shade[place])),
        tile.height[place],
        tile.normals[place],
    )


def stepped(colours: FloatArray) -> FloatArray:
    """Colours in few steps, which a PNG file holds in a third of the room."""
    few: FloatArray = np.round(colours * COLOUR_STEPS) / COLOUR_STEPS
    return few


def _rise(height: FloatArray, axis: int) -> FloatArray:
    """By how much the height changes to the next pixel; the square goes on beyond its sides."""
    rise: FloatArray = (np.roll(height, -1, axis) - np.roll(height, 1, axis)) / 2
    return rise


def _tips(style: PileStyle, chance: np.random.Generator) -> FloatArray:
    """Heights (n, n) of tips, or of ringlets, that overlap; they run on over the sides."""
    density = style.strands_per_m2 * FINER
    if style.curl_m:
        density = RINGLETS / style.tuft_m**2
    across = max(round(density**0.5 * TILE_M), 4)
    pixel_m = TILE_M / TILE_PX
    cell = np.stack(np.divmod(np.arange(across**2), across), axis=1)
    place_m = (cell + chance.random((across**2, 2))) / across * TILE_M
    place_m += _drawn_together(place_m, style, chance)
    place_px = place_m / pixel_m
    if style.curl_m:
        size_px = style.curl_m * chance.uniform(0.7, 1.2, (len(place_px), 1)) / pixel_m
        reach = math.ceil(1.2 * (1 + RINGLET_THICK) * style.curl_m / pixel_m)
    else:
        size_px = np.full((len(place_px), 1), COVER * TILE_M / across / pixel_m)
        reach = math.ceil(size_px[0, 0])
    long = chance.uniform(style.shortest, 1.0, (len(place_px), 1))
    step = np.arange(-reach, reach + 1)
    near = np.stack(np.meshgrid(step, step, indexing="ij"), axis=-1).reshape(-1, 2)
    pixel = np.floor(place_px)[:, None].astype(np.int64) + near
    away = np.linalg.norm(pixel - place_px[:, None], axis=2) / size_px
    if style.curl_m:  # a ring as round as a cord
        rise = np.maximum(1.0 - ((away - 1.0) / RINGLET_THICK) ** 2, 0.0) ** 0.5
    else:
        rise = np.maximum(1.0 - away, 0.0) ** 0.7
    height = np.zeros((TILE_PX, TILE_PX))
    pixel %= TILE_PX
    np.maximum.at(height, (pixel[..., 0], pixel[..., 1]), long * rise)
    levels: FloatArray = np.round(height / height.max() * LEVELS) / LEVELS
    return levels


def _drawn_together(
    place_m: FloatArray, style: PileStyle, chance: np.random.Generator
) -> FloatArray:
    """How far tips (n, 2) move to the middles of their tufts, as far as these cling."""
    if style.curl_m:
        return np.zeros_like(place_m)
    count = max(round((TILE_M / style.tuft_m) ** 2), 1)
    middle = chance.random((count, 2)) * TILE_M
    way = (middle - place_m[:, None] + TILE_M / 2) % TILE_M - TILE_M / 2  # the square goes on
    nearest = np.linalg.norm(way, axis=2).argmin(axis=1)
    moved: FloatArray = CLUMPED * style.cling * way[np.arange(len(way)), nearest]
    return moved

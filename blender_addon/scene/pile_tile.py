# SPDX-License-Identifier: GPL-3.0-or-later
"""Pile as square pictures that repeat without a seam: what stands in a surface without strands.

Colour, height of the tips and slopes of one square of cloth, for programs that draw no hair. A
likeness like the strands; none of its figures is a measurement.
"""

from dataclasses import dataclass

import numpy as np

from ...core.arrays import FloatArray
from .pile import PileStyle

__all__ = ["TILE_PX", "PileTile", "pile_tile"]

TILE_M, TILE_PX = 0.05, 512
FINER = 2.5
"""Tips in a tile over strands: a strand stands for a tuft, of which a surface shows several tips."""
COVER = 0.75
"""Radius of a tip over the distance between tips: they overlap, so that no ground is bald."""
LEVELS = 24
"""Heights are told in so many steps; more only makes larger files."""
SLOPE = 0.35
"""Slopes of the normal map over those of the tips, which are steeper than a flat surface can show."""
ROOT_SHADE = 0.55


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
    shade = ROOT_SHADE * style.root_shade
    return PileTile(
        TILE_M, shaded(np.asarray(colour), shade + (1 - shade) * height), height, normals
    )


def shaded(colour: FloatArray, shade: FloatArray) -> FloatArray:
    """A colour, sRGB (3,), under light and shade (n, n), of which the mean is taken as full light."""
    light = _to_light(colour) * (shade / shade.mean())[..., None]
    return _from_light(np.clip(light, 0.0, 1.0))


def _to_light(colour: FloatArray) -> FloatArray:
    """sRGB as linear light (IEC 61966-2-1)."""
    light: FloatArray = np.where(
        colour <= 0.04045, colour / 12.92, ((colour + 0.055) / 1.055) ** 2.4
    )
    return light


def _from_light(light: FloatArray) -> FloatArray:
    colour: FloatArray = np.where(
        light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055
    )
    return colour


def _rise(height: FloatArray, axis: int) -> FloatArray:
    """By how much the height changes to the next pixel; the square goes on beyond its sides."""
    rise: FloatArray = (np.roll(height, -1, axis) - np.roll(height, 1, axis)) / 2
    return rise


def _tips(style: PileStyle, chance: np.random.Generator) -> FloatArray:
    """Heights (n, n) of tips that overlap as pointed domes; they run on over the sides."""
    count = max(round(style.strands_per_m2 * FINER * TILE_M**2), 16)
    pixel_m = TILE_M / TILE_PX
    radius_px = COVER * (TILE_M / count**0.5) / pixel_m
    across = round(count**0.5)
    cell = np.stack(np.divmod(np.arange(across**2), across), axis=1)
    place_px = (cell + chance.random((across**2, 2))) / across * TILE_PX
    long = chance.uniform(style.shortest, 1.0, len(place_px))
    reach = int(np.ceil(radius_px))
    step = np.arange(-reach, reach + 1)
    near = np.stack(np.meshgrid(step, step, indexing="ij"), axis=-1).reshape(-1, 2)
    pixel = np.floor(place_px)[:, None].astype(np.int64) + near
    away = np.linalg.norm(pixel - place_px[:, None], axis=2) / radius_px
    dome = long[:, None] * np.maximum(1.0 - away, 0.0) ** 0.7
    height = np.zeros((TILE_PX, TILE_PX))
    pixel %= TILE_PX
    np.maximum.at(height, (pixel[..., 0], pixel[..., 1]), dome)
    stepped: FloatArray = np.round(height / height.max() * LEVELS) / LEVELS
    return stepped

# SPDX-License-Identifier: GPL-3.0-or-later
"""Prints as images of Blender's, and pictures unpacked by it."""

from pathlib import Path

import bpy
import numpy as np

from ...core.arrays import FloatArray
from ...core.cloth import Cloth
from ...core.picture_file import from_light
from ...core.pictures.motifs import repeat_of

__all__ = ["LINING", "place_of", "print_image", "unpacked"]

LINING = "Lining"
"""How the names of layers begin whose right side is seen from within."""


def unpacked(path: Path) -> FloatArray:
    """The pixels of a picture (height, width, 3), sRGB from 0 to 1, first row at the bottom.

    Raises
    ------
    ValueError
        Blender cannot read it.
    """
    try:
        image = bpy.data.images.load(str(path))
    except RuntimeError as error:
        raise ValueError(" ".join(str(error).split())) from error
    try:
        width, height = image.size
        if not width * height or not image.channels:
            raise ValueError("there are no pixels in it")
        values = np.zeros(width * height * image.channels, dtype=np.float32)
        image.pixels.foreach_get(values)
        deep = image.is_float
    finally:
        bpy.data.images.remove(image)
    pixels = values.reshape(height, width, -1).astype(np.float64)
    if deep:  # what has more than 8 bits is handed over as light
        pixels = from_light(pixels)
    return pixels[..., :3] if pixels.shape[2] >= 3 else np.repeat(pixels[..., :1], 3, axis=2)


def print_image(name: str, cloth: Cloth) -> bpy.types.Image | None:
    """One repeat of a cloth's print, packed into the file; None for plain cloth."""
    if cloth.print is None:
        return None
    pixels = repeat_of(cloth.print, cloth.colour)
    height, width = pixels.shape[:2]
    image = bpy.data.images.new(f"{name} print", width, height)
    padded = np.pad(pixels, ((0, 0), (0, 0), (0, 1)), constant_values=1.0)
    image.pixels.foreach_set(np.ascontiguousarray(padded, dtype=np.float32).reshape(-1))
    image.pack()
    return image


def place_of(cloth: Cloth, flat: FloatArray, *, inside: bool) -> FloatArray | None:
    """Where places (n, 2) m of the flat pattern lie on `print_image`; None for plain cloth."""
    motif = cloth.print
    if motif is None:
        return None
    return motif.place(flat, inside=inside) / (2 if motif.mirrored else 1)

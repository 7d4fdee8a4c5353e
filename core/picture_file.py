# SPDX-License-Identifier: GPL-3.0-or-later
"""A picture of cloth from a file: how large it is, its colour, its pixels; read as data, with bounds.

PNG and JPEG. The header tells the size before anything is unpacked. What unpacks the pixels is not
core's own: Pillow where it is installed, else whatever `decode_by` was given, such as Blender.
"""

import hashlib
import io
import struct
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from .arrays import FloatArray
from .errors import FileError
from .files import read_bytes

__all__ = [
    "PictureFile",
    "decode_by",
    "from_light",
    "mean_colour",
    "open_picture",
    "pixels_of",
    "to_light",
]

MOST_BYTES = 60_000_000
LEAST_SIDE_PX, MOST_SIDE_PX = 8, 12_000
MOST_PIXELS = 60_000_000
KEPT_SIDE_PX = 1024
"""Longest side of the pixels that are kept: finer than strands of pile."""
BLOCKS = 48
"""Blocks along the longer side whose means tell the colour: larger than a tuft, smaller than a shadow."""
SHADOW, GLARE = 0.72, 1.45
"""Light of a block over the median of all, beyond which it lies in a shadow or a gleam (estimates)."""

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
JPEG_SIGNATURE = b"\xff\xd8\xff"
JPEG_FRAMES = (*range(0xC0, 0xC4), *range(0xC5, 0xC8), *range(0xC9, 0xCC), *range(0xCD, 0xD0))
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])  # of linear sRGB (IEC 61966-2-1)

Decoder = Callable[[Path], FloatArray]
_decoders: list[Decoder] = []


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureFile:
    """A picture that was looked at.

    Parameters
    ----------
    path
        Where it lies.
    digest
        Changes with its content.
    width_px, height_px
        Its size.
    colour
        ``"#rrggbb"``, see `mean_colour`.
    """

    path: Path
    digest: str
    width_px: int
    height_px: int
    colour: str


def decode_by(decoder: Decoder | None) -> None:
    """Have pictures unpacked by a function where Pillow is missing; None ends that.

    It gives (height, width, 3) sRGB from 0 to 1, the first row at the bottom, and raises OSError or
    ValueError.
    """
    _decoders.clear()
    if decoder is not None:
        _decoders.append(decoder)


def open_picture(path: Path) -> PictureFile:
    """Look at a picture's size and colour.

    Raises
    ------
    FileError
        It cannot be read, is no PNG or JPEG file, too small, too large, or broken.
    """
    content = read_bytes(path, MOST_BYTES)
    digest = hashlib.sha256(content).hexdigest()[:24]
    width_px, height_px = _size(path, content)
    return PictureFile(
        path=path,
        digest=digest,
        width_px=width_px,
        height_px=height_px,
        colour=_written(mean_colour(_pixels(path, digest))),
    )


def pixels_of(picture: PictureFile) -> FloatArray:
    """Its pixels (height, width, 3) sRGB from 0 to 1, first row at the bottom, averaged to fewer.

    Raises
    ------
    FileError
        The file is not there any more, or is another one.
    """
    digest = hashlib.sha256(read_bytes(picture.path, MOST_BYTES)).hexdigest()[:24]
    if digest != picture.digest:
        raise FileError(f"{picture.path} has changed meanwhile. Load the job again.")
    return _pixels(picture.path, digest)


def mean_colour(pixels: FloatArray) -> FloatArray:
    """The colour of the cloth in a picture (height, width, 3): sRGB (3,) from 0 to 1.

    The mean of light, as an eye at a distance sees it, not of numbers in a file. Blocks much darker
    or brighter than the median are left out: a shadow or a gleam over less than half of the picture
    does not count. Within a block all counts, so the dark between strands does.
    """
    light = to_light(pixels)
    side = max(1, max(light.shape[:2]) // BLOCKS)
    blocks = _blocks(light, side).reshape(-1, 3)
    bright = blocks @ LUMINANCE
    middle = np.percentile(bright, 50, method="lower")  # of two halves it is one
    kept = (bright >= SHADOW * middle) & (bright <= GLARE * middle)
    colour: FloatArray = from_light(blocks[kept].mean(axis=0))
    return colour


def to_light(colour: FloatArray) -> FloatArray:
    """sRGB as linear light (IEC 61966-2-1)."""
    light: FloatArray = np.where(
        colour <= 0.04045, colour / 12.92, ((colour + 0.055) / 1.055) ** 2.4
    )
    return light


def from_light(light: FloatArray) -> FloatArray:
    """Linear light as sRGB."""
    colour: FloatArray = np.where(
        light <= 0.0031308, light * 12.92, 1.055 * np.maximum(light, 0.0) ** (1 / 2.4) - 0.055
    )
    return colour


def _written(colour: FloatArray) -> str:
    return "#" + "".join(f"{round(float(channel) * 255):02x}" for channel in colour)


def _blocks(values: FloatArray, side: int) -> FloatArray:
    """Means of square blocks of so many pixels; what does not fill one at the far ends is left out."""
    height, width = (size // side for size in values.shape[:2])
    cut = values[: height * side, : width * side]
    means: FloatArray = cut.reshape(height, side, width, side, 3).mean(axis=(1, 3))
    return means


@lru_cache(maxsize=8)
def _pixels(path: Path, digest: str) -> FloatArray:
    """The pixels of a file with this digest."""
    try:
        pixels = _decoder()(path)
    except (OSError, ValueError, SyntaxError) as error:
        raise FileError(
            f"{path} is not a picture that can be read: {error}. Save it again as PNG or JPEG."
        ) from error
    side = -(-max(pixels.shape[:2]) // KEPT_SIDE_PX)
    if side > 1:
        pixels = from_light(_blocks(to_light(pixels), side))
    pixels.setflags(write=False)
    return pixels


def _decoder() -> Decoder:
    try:
        import PIL  # noqa: F401
    except ImportError:
        return _decoders[0] if _decoders else _none
    return _by_pillow


def _none(path: Path) -> FloatArray:
    raise OSError("Pillow, which reads pictures, is not installed for this Python")


def _by_pillow(path: Path) -> FloatArray:
    from PIL import Image, ImageOps

    with Image.open(io.BytesIO(read_bytes(path, MOST_BYTES)), formats=("PNG", "JPEG")) as image:
        upright = ImageOps.exif_transpose(image)
        return np.asarray(upright.convert("RGB"), dtype=np.float64)[::-1] / 255.0


def _size(path: Path, content: bytes) -> tuple[int, int]:
    """Width and height as the header states them, within bounds."""
    if content.startswith(PNG_SIGNATURE) and len(content) >= 24:
        width_px, height_px = struct.unpack_from(">II", content, 16)
    elif content.startswith(JPEG_SIGNATURE):
        width_px, height_px = _jpeg_size(path, content)
    else:
        raise FileError(f"{path} is neither a PNG nor a JPEG picture. Save it as one of these.")
    sides = (width_px, height_px)
    if (
        min(sides) < LEAST_SIDE_PX
        or max(sides) > MOST_SIDE_PX
        or width_px * height_px > MOST_PIXELS
    ):
        raise FileError(
            f"{path} has {width_px} x {height_px} pixels; allowed are {LEAST_SIDE_PX} to "
            f"{MOST_SIDE_PX} a side and {MOST_PIXELS // 1_000_000} million in all. Save it in "
            "another size."
        )
    return sides


def _jpeg_size(path: Path, content: bytes) -> tuple[int, int]:
    """Width and height from the frame header (ITU-T T.81), turned as the camera was held or not."""
    place = 2
    while place + 9 < len(content) and content[place] == 0xFF:
        marker = content[place + 1]
        if marker in JPEG_FRAMES:
            height_px, width_px = struct.unpack_from(">HH", content, place + 5)
            return width_px, height_px
        if marker == 0xFF:  # a fill byte
            place += 1
            continue
        place += 2 + struct.unpack_from(">H", content, place + 2)[0]
    raise FileError(f"{path} is a JPEG picture without a size: it is cut off or broken.")

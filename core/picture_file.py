# SPDX-License-Identifier: GPL-3.0-or-later
"""A picture of cloth from a file: how large it is, its colour, its pixels; read as data, with bounds.

PNG and JPEG. The header tells the size before anything is unpacked. What unpacks the pixels is not
core's own: Pillow where it is installed, else whatever `decode_by` was given, such as Blender.
"""

import hashlib
import io
import struct
from collections.abc import Callable, Iterable, Iterator
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
    "written_colour",
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
EXIF_MARKER, EXIF_HEADER, ORIENTATION_TAG = 0xE1, b"Exif\0\0", 0x0112
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

    It gives (height, width, 3) sRGB from 0 to 1 as they are stored, the first row at the bottom, and
    raises OSError or ValueError.
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
        colour=written_colour(mean_colour(_pixels(path, digest))),
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


def written_colour(colour: Iterable[float]) -> str:
    """A colour (sRGB from 0 to 1) as job files have it, ``"#rrggbb"``."""
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
        pixels = _upright(_decoder()(path), _orientation(read_bytes(path, MOST_BYTES)))
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
    from PIL import Image

    with Image.open(io.BytesIO(read_bytes(path, MOST_BYTES)), formats=("PNG", "JPEG")) as image:
        return np.asarray(image.convert("RGB"), dtype=np.float64)[::-1] / 255.0


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
    """Width and height from the frame header (ITU-T T.81), as the camera was held."""
    for marker, data in _jpeg_segments(content):
        if marker in JPEG_FRAMES and len(data) >= 5:
            height_px, width_px = struct.unpack_from(">HH", data, 1)
            lies = _orientation(content) >= 5
            return (height_px, width_px) if lies else (width_px, height_px)
    raise FileError(f"{path} is a JPEG picture without a size: it is cut off or broken.")


def _jpeg_segments(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Marker and data of each segment before the pixels."""
    place = 2
    while place + 4 <= len(content) and content[place] == 0xFF:
        marker = content[place + 1]
        if marker == 0xFF:  # a fill byte
            place += 1
            continue
        (length,) = struct.unpack_from(">H", content, place + 2)
        yield marker, content[place + 4 : place + 2 + length]
        place += 2 + length


def _orientation(content: bytes) -> int:
    """How the camera was held, 1 to 8 (Exif 2.3, tag 0x0112); 1, upright, where that is not told."""
    if not content.startswith(JPEG_SIGNATURE):
        return 1
    for marker, data in _jpeg_segments(content):
        if marker == EXIF_MARKER and data.startswith(EXIF_HEADER):
            return _exif_orientation(data[len(EXIF_HEADER) :])
    return 1


def _exif_orientation(exif: bytes) -> int:
    order = {b"II": "<", b"MM": ">"}.get(exif[:2])
    if order is None or len(exif) < 10:
        return 1
    (first,) = struct.unpack_from(f"{order}I", exif, 4)
    if first + 2 > len(exif):
        return 1
    (count,) = struct.unpack_from(f"{order}H", exif, first)
    for entry in range(first + 2, min(first + 2 + 12 * count, len(exif) - 11), 12):
        tag, _, _, value = struct.unpack_from(f"{order}HHIH", exif, entry)
        if tag == ORIENTATION_TAG:
            return int(value) if 1 <= value <= 8 else 1
    return 1


def _upright(pixels: FloatArray, orientation: int) -> FloatArray:
    """Pixels, first row at the bottom, turned as the camera was held."""
    top_down = pixels[::-1]
    if orientation in (5, 6, 7, 8):
        top_down = top_down.transpose(1, 0, 2)
    if orientation in (3, 4, 7, 8):
        top_down = top_down[::-1]
    if orientation in (2, 3, 6, 7):
        top_down = top_down[:, ::-1]
    return np.ascontiguousarray(top_down[::-1])

# SPDX-License-Identifier: GPL-3.0-or-later
"""What a PNG file says about itself: texts and colour space as chunks (ISO/IEC 15948)."""

import struct
import zlib
from collections.abc import Iterator, Mapping

from ..errors import FileError

__all__ = ["annotated", "texts_of"]

SIGNATURE = b"\x89PNG\r\n\x1a\n"
SRGB_PERCEPTUAL = b"\x00"
REPLACED = (b"iTXt", b"tEXt", b"zTXt", b"sRGB", b"gAMA", b"cHRM", b"iCCP", b"tIME")


def _chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Kind and data of each chunk.

    Raises
    ------
    FileError
        It is no PNG file, or it is cut off.
    """
    if not content.startswith(SIGNATURE):
        raise FileError("A picture is not a PNG file.")
    place, kind = len(SIGNATURE), b""
    while place < len(content):
        if place + 12 > len(content):
            raise FileError("A PNG file is cut off.")
        (length,) = struct.unpack_from(">I", content, place)
        kind = content[place + 4 : place + 8]
        data = content[place + 8 : place + 8 + length]
        if len(data) < length:
            raise FileError("A PNG file is cut off.")
        yield kind, data
        place += 12 + length
    if kind != b"IEND":
        raise FileError("A PNG file is cut off.")


def _chunk(kind: bytes, data: bytes) -> bytes:
    check = zlib.crc32(kind + data)
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)


def annotated(content: bytes, texts: Mapping[str, str]) -> bytes:
    """A PNG file with these texts, in sRGB; what it said before is left out.

    Parameters
    ----------
    texts
        By keyword: 1 to 79 letters, such as "Title", "Description" and "Comment".

    Raises
    ------
    FileError
        It is no PNG file.
    """
    written = [SIGNATURE]
    for kind, data in _chunks(content):
        if kind in REPLACED:
            continue
        written.append(_chunk(kind, data))
        if kind == b"IHDR":
            written.append(_chunk(b"sRGB", SRGB_PERCEPTUAL))
            written += [
                # keyword, not compressed, no language, no translated keyword
                _chunk(b"iTXt", keyword.encode("latin-1") + b"\0\0\0\0\0" + text.encode())
                for keyword, text in texts.items()
            ]
    return b"".join(written)


def texts_of(content: bytes) -> dict[str, str]:
    """The texts that `annotated` wrote, by keyword.

    Raises
    ------
    FileError
        It is no PNG file, or it is cut off.
    """
    texts = {}
    for kind, data in _chunks(content):
        if kind == b"iTXt" and b"\0" in data:
            keyword, _, rest = data.partition(b"\0")
            plain = rest[2:].split(b"\0", 2)
            if rest[:1] == b"\0" and len(plain) == 3:
                texts[keyword.decode("latin-1")] = plain[2].decode("utf-8", "replace")
    return texts

# SPDX-License-Identifier: GPL-3.0-or-later
"""One picture to be taken: of what, from where, how large, and what it says about itself."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from ..errors import FileError
from ..files import read_bytes, write_text
from .framing import Camera

__all__ = ["Sheet", "Take", "Wrap", "read_sheet", "read_takes", "write_sheet", "write_takes"]

MOST_BYTES = 100_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrap:
    """One wrap in a picture.

    Parameters
    ----------
    job_text
        Its job, as the text of a job file; gives cloths and cut.
    drape
        The file of its drape; empty where it lies.
    caption
        What is written under it beside a ruler.
    shift_m
        How far it stands to the wearer's left of the middle.
    """

    job_text: str
    drape: str = ""
    caption: str = ""
    shift_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """One picture.

    Parameters
    ----------
    path
        The file to write.
    shot
        A name of `SHOTS`.
    wraps
        What is in it; several stand beside one another with a ruler.
    camera, background, mannequin, width_px, height_px
        How it is taken; see `Camera` and `PictureChoice`.
    quick
        Fewer samples, for a first look.
    key
        Changes with whatever the picture depends on.
    texts
        What the file says about itself, by keyword.
    ruler
        Words for marks on a height ruler, by height in metres; none without one.
    """

    path: str
    shot: str
    wraps: tuple[Wrap, ...]
    camera: Camera
    background: str
    mannequin: str
    width_px: int
    height_px: int
    quick: bool = False
    key: str = ""
    texts: Mapping[str, str] = field(default_factory=dict)
    ruler: tuple[tuple[float, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A contact sheet: the file to write, and each picture with its two lines of words."""

    path: str
    entries: tuple[tuple[str, str, str], ...]
    texts: Mapping[str, str] = field(default_factory=dict)


def write_sheet(path: Path, sheet: Sheet) -> None:
    """Write a contact sheet's description as JSON, whole or not at all."""
    write_text(path, json.dumps(asdict(sheet), indent=1))


def read_sheet(path: Path) -> Sheet:
    """Read what `write_sheet` wrote.

    Raises
    ------
    FileError
        The file cannot be read or does not describe a sheet.
    """
    try:
        words = json.loads(read_bytes(path, MOST_BYTES))
        entries = tuple((file, first, second) for file, first, second in words["entries"])
        return Sheet(**words | {"entries": entries})
    except (ValueError, KeyError, TypeError) as error:
        raise FileError(f"{path} does not describe a contact sheet: {error}.") from error


def write_takes(path: Path, takes: Sequence[Take]) -> None:
    """Write takes as JSON, whole or not at all."""
    write_text(path, json.dumps([asdict(take) for take in takes], indent=1))


def read_takes(path: Path) -> tuple[Take, ...]:
    """Read takes written by `write_takes`.

    Raises
    ------
    FileError
        The file cannot be read or does not hold takes.
    """
    try:
        return tuple(_take(words) for words in json.loads(read_bytes(path, MOST_BYTES)))
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise FileError(f"{path} does not hold pictures to be taken: {error}.") from error


def _take(words: dict[str, Any]) -> Take:
    camera = words["camera"]
    return Take(
        **words
        | {
            "camera": Camera(**camera | {"target": tuple(camera["target"])}),
            "wraps": tuple(Wrap(**one) for one in words["wraps"]),
            "ruler": tuple((height_m, text) for height_m, text in words["ruler"]),
        }
    )

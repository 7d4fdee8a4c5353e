# SPDX-License-Identifier: GPL-3.0-or-later
"""The list of a set of pictures: what each file shows and says, as JSON and as CSV."""

import csv
import io
import json
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path

from .errors import FileError
from .files import read_bytes, write_text
from .job import Job
from .picture_plan import LeftOut, Picture
from .picture_words import IN_A_LISTING, estimates
from .pictures.png_file import texts_of

__all__ = ["is_taken", "write_manifest"]

MOST_PICTURE_BYTES = 100_000_000


def is_taken(picture: Picture) -> bool:
    """Whether the file is there, whole, and of just this plan: it carries its own key."""
    path = Path(picture.take.path)
    if not path.is_file():
        return False
    try:
        return texts_of(read_bytes(path, MOST_PICTURE_BYTES)).get("Key") == picture.take.key
    except FileError:
        return False


def write_manifest(
    out: Path, job: Job, pictures: Sequence[Picture], left_out: Sequence[LeftOut]
) -> None:
    """Write ``manifest.json`` and ``manifest.csv`` of the pictures that are there.

    Raises
    ------
    FileError
        A file cannot be written.
    """
    rows = [
        {
            **picture.facts,
            "width_px": picture.take.width_px,
            "height_px": picture.take.height_px,
            "colour_space": "sRGB",
            "quality": "quick" if picture.take.quick else "full",
            "key": picture.take.key,
        }
        for picture in pictures
    ]
    content = {
        "job": job.name,
        "made_by": "Napfold",
        "in_a_listing": IN_A_LISTING,
        "estimated_cloth_figures": estimates(job),
        "pictures": rows,
        "left_out": [asdict(one) for one in left_out],
    }
    write_text(out / "manifest.json", json.dumps(content, indent=2, ensure_ascii=False) + "\n")
    stream = io.StringIO()
    if rows:
        writer = csv.DictWriter(stream, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    write_text(out / "manifest.csv", stream.getvalue())

# SPDX-License-Identifier: GPL-3.0-or-later
"""A short job file to change and to read, and what is told where it has a mistake."""

from pathlib import Path

import pytest
from napfold.core.errors import InputError
from napfold.core.job import Job, load_job

PLAIN = """\
name = "Wrap"
units = "in"
[tape]
height = "168 cm"
bust_girth = "38 in"
hip_girth = "41 in"
[cloth.outer]
kind = "long pile"
mass = "640 g/m2"
[cloth.lining]
kind = "light plush"
[cut]
cloth_width = "58 in"
length = "1 1/2 yd"
body_width = "26 in"
sleeve_drop = "8 in"
"""
OWN = PLAIN.replace("[cloth.outer]", '[body]\nfile = "scans/guest.ply"\n[cloth.outer]')
"""The same for a body of the wearer's own."""


def read(folder: Path, text: str) -> Job:
    """The job of a text, written into a folder."""
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    return load_job(path)


def refusal(folder: Path, text: str) -> InputError:
    """What is told of a text that is no job."""
    with pytest.raises(InputError) as caught:
        read(folder, text)
    return caught.value

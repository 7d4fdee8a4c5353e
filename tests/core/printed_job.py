# SPDX-License-Identifier: GPL-3.0-or-later
"""A short job whose outer cloth takes a print."""

from pathlib import Path

from napfold.core.job import Job, load_job

JOB = """\
name = "Wrap"
units = "cm"
[tape]
height = "168 cm"
bust_girth = "96 cm"
[cloth.outer]
kind = "light plush"
colour = "#5a6b4e"
[cloth.lining]
kind = "light plush"
[cut]
cloth_width = "148 cm"
length = "137 cm"
body_width = "66 cm"
sleeve_drop = "20 cm"
"""


def read(folder: Path, *lines: str) -> Job:
    """The job with these lines behind those of its outer cloth."""
    path = folder / "job.toml"
    path.write_text(JOB.replace("[cloth.lining]", "\n".join((*lines, "[cloth.lining]"))), "utf-8")
    return load_job(path)

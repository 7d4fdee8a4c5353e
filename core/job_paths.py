# SPDX-License-Identifier: GPL-3.0-or-later
"""Files that a job names: written from the folder of the job's own file, kept as whole paths."""

import os
from pathlib import Path

from .document import Table, shown
from .errors import InputError

__all__ = ["read_path", "whole_path", "written_path"]

MOST_PATH_CHARACTERS = 1000


def read_path(table: Table, what: str, folder: Path) -> Path:
    """The whole path of the ``file`` that a table names from a folder; ``what`` it should be is told.

    Raises
    ------
    InputError
        There is no such line, or it names something that is not on this computer.
    """
    text = table.text("file", MOST_PATH_CHARACTERS)
    if "://" in text or text.startswith(("//", "\\\\")):
        raise InputError(
            f"{table.path}.file",
            shown(text),
            f"{what} on this computer, its path from the job file's folder",
            "copy the file beside the job file and write its name",
        )
    return Path(whole_path(text, folder))


def whole_path(text: str, folder: Path) -> str:
    """A path that is written from a folder, as a whole one."""
    return os.path.abspath(folder / text)


def written_path(path: Path, folder: Path | None) -> str:
    """A path as it is written from a folder; without one, whole."""
    if folder is None:
        return path.as_posix()
    try:
        return Path(os.path.relpath(path, folder)).as_posix()
    except ValueError:  # on another drive there is no way from here to there
        return path.as_posix()

# SPDX-License-Identifier: GPL-3.0-or-later
"""Files are written whole or not at all, and read only up to a stated size."""

import os
import re
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from .errors import FileError

__all__ = [
    "folder_names",
    "read_bytes",
    "remove_file",
    "slug",
    "whole_file",
    "whole_files",
    "write_text",
]


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """Give a temporary path beside ``path`` and put it in its place on success.

    The temporary name keeps the suffix, so writers that look at it behave. On any error the
    temporary file is removed and an earlier ``path`` is left as it was.

    Raises
    ------
    FileError
        The folder cannot be made or the file cannot be put in its place.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(
            prefix=f".{path.stem}-", suffix=path.suffix, dir=path.parent
        )
        os.close(handle)
    except OSError as error:
        raise FileError(f"{path} cannot be written: {error.strerror}.") from error
    temporary = Path(name)
    try:
        yield temporary
        # mkstemp makes private files; a result is for whoever may read the folder
        mask = os.umask(0)
        os.umask(mask)
        temporary.chmod(0o666 & ~mask)
        temporary.replace(path)
    except OSError as error:
        raise FileError(f"{path} cannot be written: {error.strerror or error}.") from error
    finally:
        temporary.unlink(missing_ok=True)


@contextmanager
def whole_files(folder: Path) -> Iterator[Path]:
    """Give a temporary folder beside ``folder`` and move the files in it there on success.

    For files that name one another. On any error none is moved.

    Raises
    ------
    FileError
        A folder cannot be made or a file cannot be put in its place.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=f".{folder.name}-", dir=folder.parent) as name:
            yield Path(name)
            for file in sorted(Path(name).iterdir()):
                file.replace(folder / file.name)
    except FileError:
        raise
    except OSError as error:
        raise FileError(f"{folder} cannot be written: {error.strerror or error}.") from error


def write_text(path: Path, text: str) -> None:
    """Write ``text`` as UTF-8, whole or not at all."""
    with whole_file(path) as temporary:
        temporary.write_text(text, encoding="utf-8", newline="\n")


def read_bytes(path: Path, most_bytes: int) -> bytes:
    """Read a file of at most ``most_bytes`` bytes.

    Raises
    ------
    FileError
        The file is missing, unreadable or larger.
    """
    try:
        with path.open("rb") as stream:
            content = stream.read(most_bytes + 1)
    except OSError as error:
        raise FileError(f"{path} cannot be read: {error.strerror}.") from error
    if len(content) > most_bytes:
        raise FileError(
            f"{path} is larger than {most_bytes} bytes. Check that it is the file you meant."
        )
    return content


def remove_file(path: Path) -> None:
    """Remove a file that may be there.

    Raises
    ------
    FileError
        It is there and stays.
    """
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise FileError(f"{path} cannot be removed: {error.strerror}.") from error


def slug(name: str) -> str:
    """A name as a plain folder name: letters, digits and single hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "variant"


def folder_names(names: Iterable[str]) -> list[str]:
    """Plain folder names for things so called, none twice."""
    taken: list[str] = []
    for name in names:
        folder, number = slug(name), 2
        while folder in taken:
            folder, number = f"{slug(name)}-{number}", number + 1
        taken.append(folder)
    return taken

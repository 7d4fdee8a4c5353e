# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures without a window: ``python -m napfold.blender_addon.pictures``.

``FOLDER [FOLDER ...]``: each holds ``drape.npz`` and ``job.toml``; ``scene.blend`` and one PNG for each of
the job's views are written beside them. ``--takes FILE``: the pictures that the file lists. ``--contact FILE``: the sheet
of small pictures that the file describes. ``--film FOLDER``: the PNG files in it as a film beside it.
``--models FILE``: the models to turn about that the file lists. Progress goes to
standard output. Exit status 1 and one sentence on standard error when something fails.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from ..core.errors import NapfoldError
from ..core.job import load_job
from ..core.pictures.model import read_models
from ..core.pictures.take import read_sheet, read_takes

__all__ = ["main"]


def main(arguments: Sequence[str], tell: Callable[[str], None]) -> int:
    """Take pictures, telling each step; returns the exit status."""
    parser = argparse.ArgumentParser(
        prog="python -m napfold.blender_addon.pictures",
        description="Take the pictures of settled wraps.",
    )
    parser.add_argument("folders", metavar="FOLDER", nargs="*", type=Path)
    parser.add_argument("--takes", metavar="FILE", type=Path, help="a list of pictures to take")
    parser.add_argument("--contact", metavar="FILE", type=Path, help="a sheet of small pictures")
    parser.add_argument("--film", metavar="FOLDER", type=Path, help="frames to join to a film")
    parser.add_argument("--models", metavar="FILE", type=Path, help="a list of models to make")
    options = parser.parse_args(arguments)
    try:
        if options.takes is not None:
            _take(options.takes, tell)
        if options.contact is not None:
            _lay_out(options.contact)
        if options.film is not None:
            _join(options.film)
        if options.models is not None:
            _shape(options.models, tell)
        _view(options.folders, tell)
    except NapfoldError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    return 0


def _take(path: Path, tell: Callable[[str], None]) -> None:
    """Take the pictures of a list."""
    takes = read_takes(path)
    from .scene.photograph import take_all  # Blender starts, and talks, on import

    counter = _Counter(len(takes), tell)
    take_all(takes, lambda take: counter.announce(Path(take.path).stem))


def _lay_out(path: Path) -> None:
    """Write a sheet of small pictures."""
    sheet = read_sheet(path)
    from .scene.photograph import write_contact_sheet

    write_contact_sheet(sheet)


def _join(folder: Path) -> None:
    """Write the frames of a folder as a film beside it."""
    from .scene.film import write_film

    write_film(sorted(folder.glob("*.png")), folder.with_suffix(".mp4"))


def _shape(path: Path, tell: Callable[[str], None]) -> None:
    """Make the models of a list."""
    models = read_models(path)
    from ..core.drape import load_drape
    from .scene.model import make_models

    make_models(models, load_drape, lambda model: tell(f"writing {Path(model.folder).name}"))


def _view(folders: Sequence[Path], tell: Callable[[str], None]) -> None:
    """Take the views of each folder's job, all with the same cameras."""
    if not folders:
        return
    from .scene.views import take_views

    jobs = [load_job(folder / "job.toml") for folder in folders]
    counter = _Counter(sum(len(job.views) for job in jobs), tell)
    take_views(folders, jobs, lambda name: tell(f"setting the scene of {name}"), counter.announce)


class _Counter:
    """Counts the pictures and says which one is being rendered."""

    def __init__(self, total: int, tell: Callable[[str], None]) -> None:
        self._total = total
        self._tell = tell
        self._number = 0

    def announce(self, view: str) -> None:
        self._number += 1
        self._tell(f"rendering {view} ({self._number} of {self._total})")


def _own_output() -> Callable[[str], None]:
    """Take standard output for the lines told here.

    Blender writes its chatter to it below Python and buffers it until the process ends, so from
    now on that goes nowhere.
    """
    sys.stdout.flush()
    own = os.dup(1)
    with open(os.devnull, "w", encoding="utf-8") as nowhere:
        os.dup2(nowhere.fileno(), 1)

    def tell(line: str) -> None:
        os.write(own, f"{line}\n".encode())

    return tell


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:], _own_output()))

# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures without a window: ``python -m napfold.blender_addon.pictures FOLDER [FOLDER ...]``.

Each folder holds ``drape.npz`` and ``job.toml``; ``scene.blend`` and one PNG a view are written
beside them. Progress goes to standard output. Exit status 1 and one sentence on standard error
when something fails.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from ..core.errors import NapfoldError
from ..core.job import load_job

__all__ = ["main"]


def main(arguments: Sequence[str], tell: Callable[[str], None]) -> int:
    """Take the pictures of every folder, telling each step; returns the exit status."""
    parser = argparse.ArgumentParser(
        prog="python -m napfold.blender_addon.pictures",
        description="Take the pictures of settled wraps.",
    )
    parser.add_argument("folders", metavar="FOLDER", nargs="+", type=Path)
    folders = parser.parse_args(arguments).folders
    from .scene.photograph import take_pictures  # Blender starts, and talks, on import

    try:
        jobs = [load_job(folder / "job.toml") for folder in folders]
        counter = _Counter(sum(len(job.views) for job in jobs), tell)
        for folder, job in zip(folders, jobs, strict=True):
            tell(f"setting the scene of {job.name}")
            take_pictures(folder, job, counter.announce)
    except NapfoldError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    return 0


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

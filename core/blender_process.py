# SPDX-License-Identifier: GPL-3.0-or-later
"""Blender's part of the pictures, in a process of its own."""

import importlib.util
import subprocess
import sys
from collections.abc import Callable, Sequence

__all__ = ["NO_BLENDER", "has_blender", "photograph"]

PICTURES_MODULE = "napfold.blender_addon.pictures"
NO_BLENDER = (
    "There are no pictures: Blender's Python module (bpy) is not installed for this Python. "
    "Everything else is complete."
)


def has_blender() -> bool:
    """Whether Blender's module is installed for this Python."""
    return importlib.util.find_spec("bpy") is not None


def photograph(arguments: Sequence[str], hear: Callable[[str], None]) -> str:
    """Run the module that takes pictures, each line it tells heard; why it failed, if it did.

    Whatever stops this stops the process as well.
    """
    command = [sys.executable, "-m", PICTURES_MODULE, *arguments]
    last = ""
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8"
    ) as process:
        try:
            for line in process.stdout or ():
                if line.strip():
                    last = line.strip()
                    hear(last)
        except BaseException:
            process.terminate()
            raise
    if process.returncode == 0:
        return ""
    return f"Not all pictures could be made: {last or f'exit status {process.returncode}'}"

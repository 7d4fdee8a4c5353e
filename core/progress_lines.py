# SPDX-License-Identifier: GPL-3.0-or-later
"""Progress as lines on a stream."""

import time
from typing import TextIO

__all__ = ["ProgressLines"]


class ProgressLines:
    """Tells steps on a stream: one line that is written over on a terminal, else one line each.

    Parameters
    ----------
    stream
        Where to write.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._live = stream.isatty()
        self._start = time.monotonic()
        self._step = ""
        self._width = 0

    def __call__(self, step: str, fraction: float | None = None) -> None:
        """Tell a step and how far it is, 0 to 1."""
        new = step != self._step
        self._step = step
        if self._live:
            share = "" if fraction is None else f" {fraction:4.0%}"
            line = f"{self._clock()} {step}{share}"[:118]
            self._stream.write(f"\r{line:<{self._width}}")
            self._width = len(line)
        elif new:
            self._stream.write(f"{self._clock()} {step}\n")
        self._stream.flush()

    def close(self) -> None:
        """Wipe the live line, so that what follows starts on a clean one."""
        if self._live and self._width:
            self._stream.write(f"\r{' ' * self._width}\r")
            self._stream.flush()

    def _clock(self) -> str:
        return f"[{time.monotonic() - self._start:5.0f} s]"

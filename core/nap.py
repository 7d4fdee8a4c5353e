# SPDX-License-Identifier: GPL-3.0-or-later
"""Which way the nap of a wrap runs: one choice, from which drape, drawings and pictures take it.

One length of cloth is folded over the shoulders, so its pile, which strokes smooth one way along
the cloth, runs down one half and up the other.
"""

from enum import StrEnum

__all__ = ["NapDown"]


class NapDown(StrEnum):
    """The half down which the nap strokes smooth; up the other half it goes on the same way."""

    IN_FRONT = "down in front"
    BEHIND = "down behind"

    @property
    def stroke(self) -> tuple[float, float]:
        """Direction (x, v) on the flat pattern in which the pile strokes smooth, of length 1.

        v is negative in front of the shoulder fold and positive behind it.
        """
        return (0.0, -1.0) if self is NapDown.IN_FRONT else (0.0, 1.0)

    def runs(self, half: str) -> str:
        """How the nap runs on a half, ``front`` or ``back``: "down" or "up"."""
        return "down" if (half == "front") == (self is NapDown.IN_FRONT) else "up"

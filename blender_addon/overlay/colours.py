# SPDX-License-Identifier: GPL-3.0-or-later
"""Colours of lines and words, those of the user's theme where it has them."""

from bpy.types import Context

from ..compat import text_colour

__all__ = ["of"]

Colour = tuple[float, float, float, float]

OWN: dict[str, Colour] = {
    "nap": (0.45, 0.75, 0.95, 1.0),
    "estimate": (0.98, 0.70, 0.22, 1.0),
    "hem": (0.98, 0.45, 0.35, 1.0),
}
SHARES = {"text": 1.0, "soft": 0.55, "faint": 0.28}


def of(context: Context, name: str) -> Colour:
    """The colour of a style."""
    if name in OWN:
        return OWN[name]
    return *text_colour(context.preferences), SHARES[name]

# SPDX-License-Identifier: GPL-3.0-or-later
"""Texts in the language of the interface: our own, and what core says.

All stand under a context of our own: Blender's words for "Cut" or "Fit" are of other trades.
"""

from bpy.app.translations import pgettext_iface

from ..core.phrases import said

__all__ = ["CONTEXT", "spoken", "titled", "translated"]

CONTEXT = "Napfold"
SMALL = frozenset({"in", "the", "to"})


def translated(text: str) -> str:
    """One of our own texts."""
    return pgettext_iface(text, CONTEXT)


def spoken(text: str) -> str:
    """What core says, its gaps filled."""
    return said(text, translated)


def titled(words: str) -> str:
    """Words of the core as a label: "edge to edge" as "Edge to Edge", the way Blender writes its own."""
    first, *others = words.split()
    return " ".join([first.title(), *(one if one in SMALL else one.title() for one in others)])

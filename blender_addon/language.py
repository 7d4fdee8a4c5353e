# SPDX-License-Identifier: GPL-3.0-or-later
"""Texts in the language of the interface: our own, and what core says.

All stand under a context of our own: Blender's words for "Cut" or "Fit" are of other trades.
"""

from bpy.app.translations import pgettext_iface

from ..core.phrases import said

__all__ = ["CONTEXT", "spoken", "translated"]

CONTEXT = "Napfold"


def translated(text: str) -> str:
    """One of our own texts."""
    return pgettext_iface(text, CONTEXT)


def spoken(text: str) -> str:
    """What core says, its gaps filled."""
    return said(text, translated)

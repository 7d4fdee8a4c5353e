# SPDX-License-Identifier: GPL-3.0-or-later
"""German and French by Blender's own mechanism; the sources speak English.

What core works out about a drape, in sentences with numbers in them, stays English.
"""

import bpy

from .french import WORDS as FRENCH
from .german import WORDS as GERMAN

__all__ = ["LANGUAGES", "register", "unregister"]

LANGUAGES = {"de_DE": GERMAN, "fr_FR": FRENCH}
# Buttons are looked up under their own heading
CONTEXTS = ("*", "Operator")


def register() -> None:
    bpy.app.translations.register(
        __package__,
        {
            language: {
                (context, text): told for text, told in words.items() for context in CONTEXTS
            }
            for language, words in LANGUAGES.items()
        },
    )


def unregister() -> None:
    bpy.app.translations.unregister(__package__)

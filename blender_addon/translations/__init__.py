# SPDX-License-Identifier: GPL-3.0-or-later
"""German and French by Blender's own mechanism; the sources and core speak English."""

import bpy

from ..language import CONTEXT
from .french import WORDS as FRENCH
from .french_of_core import WORDS as FRENCH_OF_CORE
from .german import WORDS as GERMAN
from .german_of_core import WORDS as GERMAN_OF_CORE

__all__ = ["LANGUAGES", "register", "unregister"]

LANGUAGES = {"de_DE": GERMAN | GERMAN_OF_CORE, "fr_FR": FRENCH | FRENCH_OF_CORE}
# Buttons are looked up under their own heading
CONTEXTS = ("*", "Operator", CONTEXT)


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

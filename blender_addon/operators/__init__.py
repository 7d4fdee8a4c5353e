# SPDX-License-Identifier: GPL-3.0-or-later
"""What the buttons do; each operator is a thin shell round plain functions and classes."""

from . import (
    assets,
    drape,
    files,
    model,
    onward,
    picture_set,
    pictures,
    presets,
    sheets,
    start,
    variants,
)

__all__ = ["register", "unregister"]

PARTS = (
    drape,
    start,
    variants,
    files,
    presets,
    pictures,
    picture_set,
    model,
    assets,
    sheets,
    onward,
)


def register() -> None:
    for part in PARTS:
        part.register()


def unregister() -> None:
    for part in reversed(PARTS):
        part.unregister()

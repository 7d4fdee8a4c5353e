# SPDX-License-Identifier: GPL-3.0-or-later
"""Napfold inside Blender: the only part that imports bpy.

The user interface is imported on registration, so that parts without it (the slicing of a task,
the making of pictures) can be imported on their own.
"""

__all__ = ["register", "unregister"]


def register() -> None:
    from ..core.picture_file import decode_by
    from . import bench, operators, overlay, panels, settings, translations
    from .scene.prints import unpacked

    decode_by(unpacked)
    for part in (translations, settings, bench, operators, panels, overlay):
        part.register()


def unregister() -> None:
    from ..core.picture_file import decode_by
    from . import bench, operators, overlay, panels, settings, translations

    for part in (overlay, panels, operators, bench, settings, translations):
        part.unregister()
    decode_by(None)

# SPDX-License-Identifier: GPL-3.0-or-later
"""What all panels of the tab share."""

from bpy.types import Context

from .. import bodies
from ..language import CONTEXT

__all__ = ["Tab"]


class Tab:
    """A panel of the Napfold tab that is there once a wrap was set up."""

    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = "Napfold"
    bl_translation_context = CONTEXT

    @classmethod
    def poll(cls, context: Context) -> bool:
        return bodies.shown(context.scene)

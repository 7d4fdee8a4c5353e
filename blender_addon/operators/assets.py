# SPDX-License-Identifier: GPL-3.0-or-later
"""The cloths as assets, for other scenes and files."""

import bpy
from bpy.types import Context, Operator

from ...core.telling import Telling
from .. import bench
from ..lengths import units_of
from .variants import draped, idle

__all__ = ["NAPFOLD_OT_cloth_assets"]


class NAPFOLD_OT_cloth_assets(Operator):
    """Mark the materials of both cloths as assets, with their figures in the description"""

    bl_idname = "napfold.cloth_assets"
    bl_label = "Keep Cloths as Assets"
    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012  (the form that Blender reads)

    @classmethod
    def poll(cls, context: Context) -> bool:
        return idle(cls, context) and draped(cls, context)

    def execute(self, context: Context) -> set[str]:
        figure, tell = bench.present(context.scene), Telling(units_of(context.scene))
        drape = figure.drape
        for kind, cloth in (("outer", drape.outer_cloth), ("lining", drape.lining_cloth)):
            thing = figure.part(kind)
            if thing is None or thing.active_material is None:
                continue
            material = thing.active_material
            material.asset_mark()
            mass = tell.quantity("mass per area", cloth.mass_kg_m2)
            told = f"{cloth.name}, {mass}, pile {tell.thickness(cloth.pile_height_m)}"
            estimated = " (estimates)" if cloth.estimated else ""
            material.asset_data.description = told + estimated
            if "Napfold" not in material.asset_data.tags:
                material.asset_data.tags.new("Napfold")
        return {"FINISHED"}


register, unregister = bpy.utils.register_classes_factory((NAPFOLD_OT_cloth_assets,))

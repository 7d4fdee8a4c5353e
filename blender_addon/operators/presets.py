# SPDX-License-Identifier: GPL-3.0-or-later
"""Presets of wearers and cloths in Blender's own preset folders; those that come along are read-only.

Lengths are kept as words with their unit, so a preset means the same in every scene.
"""

from pathlib import Path

import bpy
from bl_operators.presets import AddPresetBase
from bl_ui.utils import PresetPanel
from bpy.types import Menu, Operator, Panel

from ..lengths import WORDS
from ..sidebar_lengths import STATED, TAPE

__all__ = [
    "NAPFOLD_PT_lining_presets",
    "NAPFOLD_PT_outer_presets",
    "NAPFOLD_PT_wearer_presets",
]

FACTORY = str(Path(__file__).parents[1] / "factory")
WEARERS, CLOTHS = "napfold/wearer", "napfold/cloth"


class AddPreset(AddPresetBase):
    """Shared by all presets."""

    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012  (the form that Blender reads)


def values(*names: str) -> list[str]:
    return [f"preset.{name}" for name in names]


class NAPFOLD_MT_wearer_presets(Menu):
    """The wearers that were kept."""

    bl_label = "Wearer Presets"
    preset_subdir = WEARERS
    preset_operator = "script.execute_preset"
    draw = Menu.draw_preset


class NAPFOLD_OT_wearer_preset_add(AddPreset, Operator):
    """Keep this wearer for other jobs, or take the chosen one away"""

    bl_idname = "napfold.wearer_preset_add"
    bl_label = "Add Wearer Preset"
    preset_menu = "NAPFOLD_MT_wearer_presets"
    preset_subdir = WEARERS
    preset_defines = ["preset = bpy.context.scene.napfold.wearer"]  # noqa: RUF012
    preset_values = values("sex", *(key + WORDS for key in TAPE))


class NAPFOLD_MT_outer_presets(Menu):
    """The cloths that were kept."""

    bl_label = "Cloth Presets"
    preset_subdir = CLOTHS + "_outer"
    preset_operator = "script.execute_preset"
    draw = Menu.draw_preset


class NAPFOLD_OT_outer_preset_add(AddPreset, Operator):
    """Keep this outer cloth for other jobs, or take the chosen one away"""

    bl_idname = "napfold.outer_preset_add"
    bl_label = "Add Cloth Preset"
    preset_menu = "NAPFOLD_MT_outer_presets"
    preset_subdir = CLOTHS + "_outer"
    preset_defines = ["preset = bpy.context.scene.napfold.outer"]  # noqa: RUF012
    preset_values = values("kind", "colour", "mass", *(key + WORDS for key in STATED))


class NAPFOLD_MT_lining_presets(Menu):
    """The linings that were kept."""

    bl_label = "Lining Presets"
    preset_subdir = CLOTHS + "_lining"
    preset_operator = "script.execute_preset"
    draw = Menu.draw_preset


class NAPFOLD_OT_lining_preset_add(AddPreset, Operator):
    """Keep this lining for other jobs, or take the chosen one away"""

    bl_idname = "napfold.lining_preset_add"
    bl_label = "Add Lining Preset"
    preset_menu = "NAPFOLD_MT_lining_presets"
    preset_subdir = CLOTHS + "_lining"
    preset_defines = ["preset = bpy.context.scene.napfold.lining"]  # noqa: RUF012
    preset_values = values("kind", "colour", "mass", *(key + WORDS for key in STATED))


class NAPFOLD_PT_wearer_presets(PresetPanel, Panel):
    """Wearers that were kept."""

    bl_label = "Wearer Presets"
    preset_subdir = WEARERS
    preset_operator = "script.execute_preset"
    preset_add_operator = NAPFOLD_OT_wearer_preset_add.bl_idname


class NAPFOLD_PT_outer_presets(PresetPanel, Panel):
    """Cloths that were kept."""

    bl_label = "Cloth Presets"
    preset_subdir = CLOTHS + "_outer"
    preset_operator = "script.execute_preset"
    preset_add_operator = NAPFOLD_OT_outer_preset_add.bl_idname


class NAPFOLD_PT_lining_presets(PresetPanel, Panel):
    """Linings that were kept."""

    bl_label = "Lining Presets"
    preset_subdir = CLOTHS + "_lining"
    preset_operator = "script.execute_preset"
    preset_add_operator = NAPFOLD_OT_lining_preset_add.bl_idname


CLASSES = (
    NAPFOLD_MT_wearer_presets,
    NAPFOLD_OT_wearer_preset_add,
    NAPFOLD_MT_outer_presets,
    NAPFOLD_OT_outer_preset_add,
    NAPFOLD_MT_lining_presets,
    NAPFOLD_OT_lining_preset_add,
    NAPFOLD_PT_wearer_presets,
    NAPFOLD_PT_outer_presets,
    NAPFOLD_PT_lining_presets,
)


def register() -> None:
    for part in CLASSES:
        bpy.utils.register_class(part)
    bpy.utils.register_preset_path(FACTORY)


def unregister() -> None:
    bpy.utils.unregister_preset_path(FACTORY)
    for part in reversed(CLASSES):
        bpy.utils.unregister_class(part)

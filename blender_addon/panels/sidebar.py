# SPDX-License-Identifier: GPL-3.0-or-later
"""The Napfold tab of the 3D view: wearer, cloth, cut, drape."""

import textwrap

import bpy
from bpy.types import Context, Panel, PropertyGroup, UILayout

from ...core.cautions import cautions
from ...core.errors import InputError
from ...core.tape import CHILD_HEIGHT_M
from ..operators.drape import NAPFOLD_OT_cancel, NAPFOLD_OT_drape, NAPFOLD_OT_stop
from ..settings import job_of, metres

__all__ = ["NAPFOLD_PT_wrap"]

# Rough width of a letter in a label, in pixels at a user interface scale of 1.
LETTER_PX = 7


class NAPFOLD_PT_wrap(Panel):
    """Numbers of the wrap and the button that drapes it."""

    bl_label = "Wrap"
    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = "Napfold"

    def draw(self, context: Context) -> None:
        settings = context.scene.napfold
        column = self.layout.column()
        column.use_property_split = True
        column.use_property_decorate = False
        column.enabled = not context.window_manager.napfold.running
        section(column, "Wearer", settings.wearer, ("sex", "height", "bust_girth"))
        section(
            column,
            "More Measures",
            settings.wearer,
            ("waist_girth", "hip_girth", "back_neck_point_to_wrist"),
            closed=True,
        )
        section(column, "Cloth", settings, ("outer", "lining"))
        section(
            column,
            "Cut",
            settings.cut,
            ("cloth_width", "length", "body_width", "sleeve_drop", "corner_radius"),
        )
        section(
            column,
            "Neck, Front, Nap",
            settings.cut,
            ("neck", "neck_width", "neck_front_depth", "neck_back_depth", "front", "nap"),
            closed=True,
        )
        section(column, "Pose", settings, ("pose",))
        section(column, "Computation", settings, ("edge_length",), closed=True)
        draw_drape(self.layout, context)
        header, body = self.layout.panel("napfold_cautions", default_closed=True)
        header.label(text="Cautions")
        if body is not None:
            child_sized = metres(settings.wearer, "height") < CHILD_HEIGHT_M
            for caution in cautions(child_sized):
                draw_text(body, context, caution)


def section(
    layout: UILayout,
    title: str,
    group: PropertyGroup,
    names: tuple[str, ...],
    *,
    closed: bool = False,
) -> None:
    """A part of the panel that can be folded away."""
    name = f"napfold_{title.lower().replace(' ', '_')}"
    header, body = layout.panel(name, default_closed=closed)
    header.label(text=title)
    if body is not None:
        for property_name in names:
            body.prop(group, property_name)


def draw_drape(layout: UILayout, context: Context) -> None:
    """The button with what stands in its way, or the progress; below, what was measured."""
    progress = context.window_manager.napfold
    if progress.running:
        layout.progress(factor=progress.fraction, text=progress.text, type="BAR")
        row = layout.row(align=True)
        row.operator(NAPFOLD_OT_stop.bl_idname)
        row.operator(NAPFOLD_OT_cancel.bl_idname)
        return
    try:
        job_of(context.scene)
    except InputError as error:
        draw_text(layout, context, str(error), icon="ERROR")
    layout.operator(NAPFOLD_OT_drape.bl_idname)
    for line in context.scene.napfold.findings.splitlines():
        draw_text(layout, context, line)


def draw_text(layout: UILayout, context: Context, text: str, *, icon: str = "NONE") -> None:
    """A sentence over as many lines as the sidebar's width asks for."""
    scale = context.preferences.system.ui_scale
    letters = max(int(context.region.width / (LETTER_PX * scale)) - 6, 20)
    column = layout.column(align=True)
    for number, line in enumerate(textwrap.wrap(text, letters)):
        column.label(text=line, icon=icon if number == 0 else "BLANK1" if icon != "NONE" else icon)


register, unregister = bpy.utils.register_classes_factory((NAPFOLD_PT_wrap,))

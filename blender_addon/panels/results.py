# SPDX-License-Identifier: GPL-3.0-or-later
"""The panels after the numbers: drape, fit, comparison, view, pictures, sheets."""

from bpy.types import Context, Panel, UILayout, UIList

from ...core.cautions import cautions
from ...core.phrases import recalled
from ...core.tape import CHILD_HEIGHT_M
from .. import bench
from ..figures import figures
from ..jobs import complaint_of
from ..language import spoken, translated
from ..lengths import metres, units_of
from ..operators.assets import NAPFOLD_OT_cloth_assets
from ..operators.drape import NAPFOLD_OT_drape
from ..operators.model import NAPFOLD_OT_model
from ..operators.onward import NAPFOLD_OT_animate
from ..operators.picture_set import NAPFOLD_OT_picture_set
from ..operators.pictures import NAPFOLD_OT_picture
from ..operators.sheets import NAPFOLD_OT_report, NAPFOLD_OT_sheets
from ..operators.variants import (
    NAPFOLD_OT_turn,
    NAPFOLD_OT_variant_add,
    NAPFOLD_OT_variant_remove,
    NAPFOLD_OT_variant_restore,
)
from ..settings import VIEW
from ..sidebar_lengths import CUT, SECTION, TAPE
from ..telling import findings_in
from .base import Tab
from .lines import draw_lengths, draw_progress, draw_text, split

__all__ = ["CLASSES"]


class NAPFOLD_PT_drape(Tab, Panel):
    """The button with what stands in its way."""

    bl_label = "Drape"

    def draw(self, context: Context) -> None:
        layout, settings = self.layout, context.scene.napfold
        if context.window_manager.napfold.running:
            draw_progress(layout, context)
            return
        split(layout).prop(settings, "pose")
        wrong, complaint = complaint_of(context.scene)
        if complaint and wrong not in {length.name for length in CUT.values()}:
            draw_text(layout, context, complaint, icon="ERROR")
        row = layout.row()
        row.scale_y = 1.6
        row.operator(NAPFOLD_OT_drape.bl_idname, icon="PLAY")
        draw_state(layout, context)
        icon = "CHECKBOX_HLT" if settings.turned else "CHECKBOX_DEHLT"
        layout.operator(NAPFOLD_OT_turn.bl_idname, icon=icon, depress=settings.turned)


def draw_state(layout: UILayout, context: Context) -> None:
    """What the figure in view is of."""
    figure = bench.present(context.scene)
    if figure is None:
        told = translated("This pose and side are not draped yet.")
    elif not figure.job_text:
        told = translated("Stopped before it came to rest: nothing was measured")
    elif bench.stale(context.scene):
        told = translated("What you see was draped with earlier numbers.")
    else:
        return
    draw_text(layout, context, told, icon="INFO")


class NAPFOLD_PT_mesh(Tab, Panel):
    """How finely it is computed."""

    bl_label = "Computation"
    bl_parent_id = "NAPFOLD_PT_drape"
    bl_options = {"DEFAULT_CLOSED"}  # noqa: RUF012  (the form that Blender reads)

    def draw(self, context: Context) -> None:
        settings, column = context.scene.napfold, split(self.layout)
        column.enabled = not context.window_manager.napfold.running
        draw_lengths(column, settings, ("edge_length",), typed=settings.typed)


class NAPFOLD_PT_fit(Tab, Panel):
    """What was measured on the figure in view."""

    bl_label = "Fit"

    @classmethod
    def poll(cls, context: Context) -> bool:
        figure = bench.present(context.scene) if super().poll(context) else None
        return figure is not None and bool(figure.job_text)

    def draw(self, context: Context) -> None:
        told, units = bench.present(context.scene).told, units_of(context.scene)
        for line in findings_in(told, units).splitlines():
            draw_text(self.layout, context, line)
        for words in told["words"][units].get("failing", ()):
            draw_text(self.layout, context, spoken(recalled(words)), icon="ERROR")


class NAPFOLD_PT_cautions(Tab, Panel):
    """The safety words."""

    bl_label = "Cautions"
    bl_parent_id = "NAPFOLD_PT_fit"
    bl_options = {"DEFAULT_CLOSED"}  # noqa: RUF012

    def draw(self, context: Context) -> None:
        wearer = context.scene.napfold.wearer
        for caution in cautions(metres(wearer, TAPE, "height") < CHILD_HEIGHT_M):
            draw_text(self.layout, context, translated(caution), icon="DOT")


class NAPFOLD_UL_variants(UIList):
    """The variants by name; a double click renames one."""

    def draw_item(
        self,
        context: Context,
        layout: UILayout,
        _data: object,
        item: object,
        _icon: int,
        _active: object,
        _name: str,
    ) -> None:
        draped = bool(figures(context.scene, item.number))
        icon = "OUTLINER_OB_ARMATURE" if draped else "DOT"
        layout.prop(item, "title", text="", emboss=False, icon=icon)
        if not draped:
            layout.operator(NAPFOLD_OT_drape.bl_idname, text="Drape").number = item.number


class NAPFOLD_PT_compare(Tab, Panel):
    """Variants in a row, and one table of them all."""

    bl_label = "Compare"

    def draw(self, context: Context) -> None:
        layout, settings = self.layout, context.scene.napfold
        layout.operator(NAPFOLD_OT_variant_add.bl_idname, icon="ADD")
        if not settings.variants:
            return
        row = layout.row()
        row.template_list(
            "NAPFOLD_UL_variants", "", settings, "variants", settings, "variant", rows=3
        )
        buttons = row.column(align=True)
        buttons.operator(NAPFOLD_OT_variant_restore.bl_idname, icon="LOOP_BACK", text="")
        buttons.operator(NAPFOLD_OT_variant_remove.bl_idname, icon="REMOVE", text="")
        if len(bench.undraped(context.scene)) > 1:
            every = translated("Drape All Variants")
            layout.operator(NAPFOLD_OT_drape.bl_idname, text=every, translate=False).every = True
        draw_table(layout, context)


def draw_table(layout: UILayout, context: Context) -> None:
    """Every measure with the words of each wrap in view; once where all say the same."""
    units = units_of(context.scene)
    shown = [
        (name, figure.told["words"][units]["rows"])
        for name, figure in bench.compared(context.scene)
        if "words" in figure.told
    ]
    if len(shown) < 2:
        return
    box = layout.box()
    for measure in shown[0][1]:
        column = box.column(align=True)
        told = [(name, spoken(recalled(rows[measure]))) for name, rows in shown]
        if len({words for _, words in told}) == 1:
            draw_text(column, context, f"{translated(measure)}: {told[0][1]}")
            continue
        column.label(text=translated(measure), translate=False)
        for name, words in told:
            draw_text(column, context, f"{name}: {words}", icon="DOT")


class NAPFOLD_PT_view(Tab, Panel):
    """What is drawn over the viewport."""

    bl_label = "In the Viewport"
    bl_options = {"DEFAULT_CLOSED"}  # noqa: RUF012

    def draw(self, context: Context) -> None:
        settings = context.scene.napfold
        split(self.layout).prop(settings, "colouring")
        column = self.layout.column()
        for name in VIEW:
            column.prop(settings, name)
        if settings.show_section:
            draw_lengths(split(self.layout), settings, SECTION, typed=settings.typed)


class NAPFOLD_PT_pictures(Tab, Panel):
    """Pictures with pile."""

    bl_label = "Pictures"

    def draw(self, context: Context) -> None:
        layout = self.layout
        column = split(layout)
        column.prop(context.scene.napfold, "picture_size")
        column.prop(context.scene.napfold, "picture_by")
        row = layout.row(align=True)
        for view, label in (
            ("FRONT", translated("Front")),
            ("SIDE", translated("Side")),
            ("BACK", translated("Back")),
        ):
            row.operator(NAPFOLD_OT_picture.bl_idname, text=label, translate=False).view = view
        draw_text(
            layout,
            context,
            translated("The Image menu saves a picture; it also stays in this file."),
        )
        layout.operator(NAPFOLD_OT_picture_set.bl_idname, icon="RENDER_STILL")
        layout.operator(NAPFOLD_OT_model.bl_idname, icon="EXPORT")
        progress = context.window_manager.napfold
        if progress.pictures_told:
            icon = "ERROR" if progress.pictures_failed else "CHECKMARK"
            draw_text(layout, context, progress.pictures_told, icon=icon)
        layout.operator(NAPFOLD_OT_cloth_assets.bl_idname, icon="ASSET_MANAGER")


class NAPFOLD_PT_sheets(Tab, Panel):
    """What is printed, and what goes on to others."""

    bl_label = "Sheets"
    bl_options = {"DEFAULT_CLOSED"}  # noqa: RUF012

    def draw(self, _context: Context) -> None:
        layout = self.layout
        layout.operator(NAPFOLD_OT_sheets.bl_idname, icon="FILE_TEXT")
        layout.operator(NAPFOLD_OT_report.bl_idname, icon="FILE_BLANK")


class NAPFOLD_PT_onward(Tab, Panel):
    """Blender's own cloth."""

    bl_label = "Animate"
    bl_options = {"DEFAULT_CLOSED"}  # noqa: RUF012

    def draw(self, _context: Context) -> None:
        self.layout.operator(NAPFOLD_OT_animate.bl_idname, icon="MOD_CLOTH")


CLASSES = (
    NAPFOLD_UL_variants,
    NAPFOLD_PT_drape,
    NAPFOLD_PT_mesh,
    NAPFOLD_PT_fit,
    NAPFOLD_PT_cautions,
    NAPFOLD_PT_compare,
    NAPFOLD_PT_view,
    NAPFOLD_PT_pictures,
    NAPFOLD_PT_sheets,
    NAPFOLD_PT_onward,
)

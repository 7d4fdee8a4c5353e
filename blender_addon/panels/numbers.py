# SPDX-License-Identifier: GPL-3.0-or-later
"""The first panels: job, wearer, cloth, cut; what fails stands beside its number."""

import re

from bpy.types import Context, Panel, PropertyGroup, UILayout

from ...core.checks import State
from ...core.cloth import PICTURE, PLAIN
from .. import bodies
from ..checked import failing, landing
from ..figures import is_studio
from ..jobs import complaint_of, label_of
from ..language import CONTEXT, spoken, translated
from ..operators.files import NAPFOLD_OT_job_open, NAPFOLD_OT_job_save
from ..operators.presets import (
    NAPFOLD_PT_lining_presets,
    NAPFOLD_PT_outer_presets,
    NAPFOLD_PT_wearer_presets,
)
from ..operators.start import NAPFOLD_OT_start
from ..sidebar_lengths import CUT, SEWING, STATED, TAPE
from .base import Tab
from .lines import draw_lengths, draw_progress, draw_text, split

__all__ = ["CLASSES"]

BODY_KEYS = ("height", "bust_girth")
CUT_KEYS = ("cloth_width", "length", "body_width", "sleeve_drop")
WELCOME = "See how a fold-over wrap of pile cloth hangs on a body before you cut it."


class NAPFOLD_PT_start(Panel):
    """The first button."""

    bl_label = "First Wrap"
    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = "Napfold"
    bl_translation_context = CONTEXT

    @classmethod
    def poll(cls, context: Context) -> bool:
        return not bodies.shown(context.scene) and not is_studio(context.scene)

    def draw(self, context: Context) -> None:
        layout = self.layout
        draw_text(layout, context, translated(WELCOME))
        layout.label(text="Set up a first wrap:")
        row = layout.row(align=True)
        row.scale_y = 1.6
        for units, label in (
            ("CENTIMETRES", translated("In Centimetres")),
            ("INCHES", translated("In Inches")),
        ):
            row.operator(NAPFOLD_OT_start.bl_idname, text=label, translate=False).units = units
        layout.operator(NAPFOLD_OT_job_open.bl_idname, icon="FILE_FOLDER")


class NAPFOLD_PT_job(Tab, Panel):
    """Name and file of the job; at the top, where it is seen at once, how far a drape is."""

    bl_label = "Job"

    def draw(self, context: Context) -> None:
        settings, running = context.scene.napfold, context.window_manager.napfold.running
        if running:
            draw_progress(self.layout, context)
        layout = self.layout.column()
        layout.enabled = not running
        layout.prop(settings, "title", text="")
        row = layout.row(align=True)
        row.operator(NAPFOLD_OT_job_open.bl_idname, icon="FILE_FOLDER", text="Open")
        row.operator(NAPFOLD_OT_job_save.bl_idname, icon="FILE_TICK", text="Save")
        layout.prop(settings, "typed", icon="SYNTAX_OFF", toggle=True)
        if settings.complaint:
            draw_text(layout, context, settings.complaint, icon="ERROR")


class Numbers(Tab):
    """A panel of numbers, which rest while a drape is computed."""

    def draw(self, context: Context) -> None:
        column = split(self.layout)
        column.enabled = not context.window_manager.napfold.running
        self.draw_numbers(column, context)


class NAPFOLD_PT_wearer(Numbers, Panel):
    """The wearer's tape."""

    bl_label = "Wearer"

    def draw_header_preset(self, _context: Context) -> None:
        NAPFOLD_PT_wearer_presets.draw_panel_header(self.layout)

    def draw_numbers(self, column: UILayout, context: Context) -> None:
        settings = context.scene.napfold
        column.prop(settings.wearer, "sex")
        draw_lengths(column, settings.wearer, BODY_KEYS, typed=settings.typed)


class NAPFOLD_PT_measures(Numbers, Panel):
    """Measures that are estimated unless they are given."""

    bl_label = "More Measures"
    bl_parent_id = "NAPFOLD_PT_wearer"
    bl_options = {"DEFAULT_CLOSED"}  # noqa: RUF012  (the form that Blender reads)

    def draw_numbers(self, column: UILayout, context: Context) -> None:
        settings = context.scene.napfold
        keys = (key for key in TAPE if key not in BODY_KEYS)
        draw_lengths(column, settings.wearer, keys, typed=settings.typed)
        draw_text(column, context, translated("What is 0 or empty is estimated from the others."))


class NAPFOLD_PT_cloth(Numbers, Panel):
    """The choice of both cloths."""

    bl_label = "Cloth"

    def draw_numbers(self, column: UILayout, context: Context) -> None:
        settings = context.scene.napfold
        for group, label in (
            (settings.outer, translated("Outer")),
            (settings.lining, translated("Lining")),
        ):
            row = column.row(align=True)
            row.prop(group, "kind", text=label)
            colour = row.row(align=True)
            colour.use_property_split = False
            colour.scale_x = 0.3
            colour.prop(group, "colour", text="")


class OneCloth(Numbers):
    """A panel of numbers of one layer's cloth."""

    bl_parent_id = "NAPFOLD_PT_cloth"
    bl_options = {"DEFAULT_CLOSED"}  # noqa: RUF012
    layer = ""

    def draw_numbers(self, column: UILayout, context: Context) -> None:
        settings = context.scene.napfold
        self.draw_cloth(column, context, getattr(settings, self.layer), typed=settings.typed)


class Printed(OneCloth):
    """What a cloth looks like."""

    def draw_cloth(
        self, column: UILayout, _context: Context, group: PropertyGroup, *, typed: bool
    ) -> None:
        column.prop(group, "print")
        if group.print == PICTURE:
            column.prop(group, "print_file")
        if group.print != PLAIN:
            draw_lengths(column, group, ("print_repeat",), typed=typed)
            column.prop(group, "print_turn")
            if group.print != PICTURE:
                column.prop(group, "print_colour")
        column.prop(group, "photograph")
        if group.photograph:
            draw_lengths(column, group, ("photograph_width",), typed=typed)
            column.prop(group, "photograph_tiled")


class NAPFOLD_PT_outer_print(Printed, Panel):
    """Print of the outer cloth."""

    bl_label = "Outer, Print and Photograph"
    layer = "outer"


class NAPFOLD_PT_lining_print(Printed, Panel):
    """Print of the lining."""

    bl_label = "Lining, Print and Photograph"
    layer = "lining"


class Stated(OneCloth):
    """Figures that shop or label state."""

    def draw_cloth(
        self, column: UILayout, context: Context, group: PropertyGroup, *, typed: bool
    ) -> None:
        column.prop(group, "mass", text="Mass, g/m²")
        draw_lengths(column, group, STATED, typed=typed)
        draw_text(
            column, context, translated("What is 0 or empty is that of the kind, an estimate.")
        )


class NAPFOLD_PT_outer(Stated, Panel):
    """Figures of the outer cloth."""

    bl_label = "Outer, as the Shop States"
    layer = "outer"

    def draw_header_preset(self, _context: Context) -> None:
        NAPFOLD_PT_outer_presets.draw_panel_header(self.layout)


class NAPFOLD_PT_lining(Stated, Panel):
    """Figures of the lining."""

    bl_label = "Lining, as the Shop States"
    layer = "lining"

    def draw_header_preset(self, _context: Context) -> None:
        NAPFOLD_PT_lining_presets.draw_panel_header(self.layout)


class NAPFOLD_PT_cut(Numbers, Panel):
    """The cut, and what a workroom would say to it."""

    bl_label = "Cut"

    def draw_numbers(self, column: UILayout, context: Context) -> None:
        draw_checked(column, context, CUT_KEYS)
        landed = landing(context.scene)
        if landed:
            column.label(text="Estimate by flat measures:")
        for about, words in landed:
            draw_text(column, context, f"{translated(about)}: {spoken(words)}")


class NAPFOLD_PT_checks(Tab, Panel):
    """What does not pass, with its numbers and what would mend it."""

    bl_label = "Workroom Checks"
    bl_parent_id = "NAPFOLD_PT_cut"
    bl_options = {"DEFAULT_CLOSED"}  # noqa: RUF012

    @classmethod
    def poll(cls, context: Context) -> bool:
        return super().poll(context) and bool(failing(context.scene))

    def draw(self, context: Context) -> None:
        for check in (one for checks in failing(context.scene).values() for one in checks):
            icon = "ERROR" if check.state is State.TOO_SMALL else "INFO"
            words = (
                f"{spoken(check.name)}, {translated(str(check.state))}: {spoken(check.numbers)}. "
                f"{in_labels(spoken(check.remedy))}."
            )
            draw_text(self.layout, context, words, icon=icon)


class Part(Numbers):
    """A closed part of the cut."""

    bl_parent_id = "NAPFOLD_PT_cut"
    bl_options = {"DEFAULT_CLOSED"}  # noqa: RUF012


class NAPFOLD_PT_neck(Part, Panel):
    """Neck and fronts."""

    bl_label = "Neck and Front"

    def draw_numbers(self, column: UILayout, context: Context) -> None:
        cut = context.scene.napfold.cut
        column.prop(cut, "neck")
        behind = () if cut.neck == "high back" else ("neck_back_depth",)
        draw_checked(column, context, ("neck_width", "neck_front_depth", *behind))
        column.prop(cut, "front")
        if cut.front == "overlapping":
            draw_checked(column, context, ("front_overlap",))


class NAPFOLD_PT_shoulder(Part, Panel):
    """Shoulders, sleeves, the corner under the arm."""

    bl_label = "Shoulder, Sleeve, Corner"

    def draw_numbers(self, column: UILayout, context: Context) -> None:
        cut = context.scene.napfold.cut
        column.prop(cut, "shoulder")
        if cut.shoulder == "seamed":
            draw_checked(column, context, ("shoulder_drop",))
        draw_checked(column, context, ("wrist_opening", "sleeve_shortened", "cuff_depth"))
        column.prop(cut, "corner")
        if cut.corner != "square":
            draw_checked(column, context, ("corner_radius",))


class NAPFOLD_PT_hem(Part, Panel):
    """Hem, sides, nap."""

    bl_label = "Hem, Sides, Nap"

    def draw_numbers(self, column: UILayout, context: Context) -> None:
        draw_checked(column, context, ("hem_curve", "back_longer", "side_flare", "side_split"))
        column.prop(context.scene.napfold.cut, "nap")


class NAPFOLD_PT_sewing(Part, Panel):
    """Seam allowances."""

    bl_label = "Seam Allowances"

    def draw_numbers(self, column: UILayout, context: Context) -> None:
        settings = context.scene.napfold
        draw_lengths(column, settings.sewing, SEWING, typed=settings.typed)


def in_labels(remedy: str) -> str:
    """A remedy with the labels of the panel for the names of the job file."""
    told = re.sub(r"cut\.\w+", lambda found: _label(found[0]), remedy)
    return told[:1].upper() + told[1:]


def _label(key: str) -> str:
    label = label_of(key)
    return translated(label)


def draw_checked(layout: UILayout, context: Context, keys: tuple[str, ...]) -> None:
    """Lengths of the cut, each with what does not pass beside it."""
    settings, found = context.scene.napfold, failing(context.scene)
    wrong, complaint = complaint_of(context.scene)
    for key in keys:
        checks = found.get(f"cut.{key}", ())
        row = layout.row()
        refused = wrong == CUT[key].name
        row.alert = refused or any(check.state is State.TOO_SMALL for check in checks)
        draw_lengths(row, settings.cut, (key,), typed=settings.typed)
        if refused:
            draw_text(layout, context, complaint, icon="ERROR")
        for check in checks:
            icon = "ERROR" if check.state is State.TOO_SMALL else "INFO"
            words = f"{spoken(check.name)}: {translated(str(check.state))}"
            draw_text(layout, context, words, icon=icon)


CLASSES = (
    NAPFOLD_PT_start,
    NAPFOLD_PT_job,
    NAPFOLD_PT_wearer,
    NAPFOLD_PT_measures,
    NAPFOLD_PT_cloth,
    NAPFOLD_PT_outer_print,
    NAPFOLD_PT_lining_print,
    NAPFOLD_PT_outer,
    NAPFOLD_PT_lining,
    NAPFOLD_PT_cut,
    NAPFOLD_PT_checks,
    NAPFOLD_PT_neck,
    NAPFOLD_PT_shoulder,
    NAPFOLD_PT_hem,
    NAPFOLD_PT_sewing,
)

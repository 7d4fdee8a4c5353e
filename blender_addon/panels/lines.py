# SPDX-License-Identifier: GPL-3.0-or-later
"""How the panels write: sentences over several lines, lengths as numbers or as words, progress."""

import textwrap
from collections.abc import Iterable

from bpy.types import Context, PropertyGroup, UILayout

from ..language import translated
from ..lengths import WORDS
from ..operators.drape import NAPFOLD_OT_cancel, NAPFOLD_OT_stop

__all__ = ["draw_lengths", "draw_progress", "draw_text", "split"]

# Rough width of a letter in a label, in pixels at a user interface scale of 1.
LETTER_PX = 6.6
MARGIN_LETTERS = 8


def draw_text(layout: UILayout, context: Context, text: str, *, icon: str = "NONE") -> None:
    """A sentence over as many lines as the sidebar's width asks for."""
    scale = context.preferences.system.ui_scale
    letters = max(int(context.region.width / (LETTER_PX * scale)) - MARGIN_LETTERS, 20)
    column = layout.column(align=True)
    column.scale_y = 0.8
    for number, line in enumerate(textwrap.wrap(text, letters)):
        shown = icon if number == 0 or icon == "NONE" else "BLANK1"
        column.label(text=line, icon=shown, translate=False)


def split(layout: UILayout) -> UILayout:
    """A column in which labels stand left of their values."""
    column = layout.column()
    column.use_property_split = True
    column.use_property_decorate = False
    return column


def draw_lengths(
    layout: UILayout, group: PropertyGroup, keys: Iterable[str], *, typed: bool
) -> None:
    """Lengths one under another, as words where these are to be typed."""
    for key in keys:
        layout.prop(group, key + WORDS if typed else key)


def draw_progress(layout: UILayout, context: Context) -> None:
    """How far a drape or a set of pictures is, and the buttons that end it."""
    progress = context.window_manager.napfold
    layout.progress(factor=progress.fraction, text=progress.text, type="BAR")
    left = translated("About {} s left").format(progress.seconds_left)
    layout.label(text=left if progress.seconds_left else "", translate=False)
    row = layout.row(align=True)
    row.operator(NAPFOLD_OT_stop.bl_idname)
    row.operator(NAPFOLD_OT_cancel.bl_idname)

# SPDX-License-Identifier: GPL-3.0-or-later
"""Where it pulls and where it stands off, as colours of the outer cloth in the viewport."""

from dataclasses import dataclass

import bpy
from bpy.types import Scene

from ..core.colour_scale import colours
from ..core.fields import STAND_OFF_SHOWN_M, STRETCH_SHOWN
from ..core.telling import Telling
from .figures import FIELDS, figures
from .language import translated
from .lengths import units_of
from .scene.bridge import paint, values_of

__all__ = ["Scale", "colour_figures", "scale_of", "show_textures"]

SHOWN = dict(zip(("ACROSS", "ALONG", "STAND_OFF"), FIELDS, strict=True))


@dataclass(frozen=True, slots=True)
class Scale:
    """What colours mean: their ends, and these in words."""

    title: str
    low: float
    high: float
    words: tuple[str, str]


def scale_of(scene: Scene) -> Scale | None:
    """The scale of the colours in view; None where cloths have their own."""
    kind = scene.napfold.colouring
    if kind == "CLOTH":
        return None
    name = scene.napfold.bl_rna.properties["colouring"].enum_items[kind].name
    title = translated(name)
    if kind != "STAND_OFF":
        low, high = STRETCH_SHOWN
        return Scale(title, low, high, (f"{low:.0%}", f"{high:.0%}"))
    units = units_of(scene)
    low, high = STAND_OFF_SHOWN_M[units]
    tell = Telling(units)
    return Scale(title, low, high, (tell.chosen(low), tell.chosen(high)))


def colour_figures(scene: Scene) -> None:
    """Colour every figure as the panel says."""
    scale = scale_of(scene)
    for figure in figures(scene):
        outer = figure.part("outer")
        if outer is None:
            continue
        values = None if scale is None else values_of(outer.data, SHOWN[scene.napfold.colouring])
        paint(outer.data, None if values is None else colours(values, scale.low, scale.high))
    _show_vertex_colours(scale is not None)


def show_textures() -> None:
    """Have solid shading show pictures on cloth, where it shows its colour."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D" and area.spaces.active.shading.color_type == "MATERIAL":
                area.spaces.active.shading.color_type = "TEXTURE"


def _show_vertex_colours(wanted: bool) -> None:
    """Have solid shading show the colours, or the cloths again."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                shading = area.spaces.active.shading
                if wanted:
                    shading.color_type = "VERTEX"
                elif shading.color_type == "VERTEX":
                    shading.color_type = "MATERIAL"

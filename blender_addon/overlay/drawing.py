# SPDX-License-Identifier: GPL-3.0-or-later
"""Draws lines and words over every 3D view of a window."""

from dataclasses import dataclass
from typing import Any

import bpy
from bpy.types import Context, Scene, SpaceView3D

from ...core.arrays import FloatArray
from .. import bench, bodies, settings
from ..jobs import numbers_of
from . import colours, legend
from .content import Content, content_of

__all__ = ["redraw", "register", "unregister"]

LINE_PX = {"room": 2.0, "cut": 2.0, "ring": 2.5, "hem": 2.5, "bolt": 1.5}
STYLES = {
    "cut": "text",
    "stitch": "soft",
    "fold": "text",
    "nap": "nap",
    "size": "soft",
    "bolt": "text",
    "piece": "nap",
    "offcut": "soft",
    "ring": "estimate",
    "hem": "hem",
    "level": "faint",
    "ruler": "soft",
    "flat": "text",
    "name": "text",
    "skin": "soft",
    "room": "estimate",
}
TEXT_PX = 11
# Words nearer to each other than this, in heights of a letter, are left out: the later gives way
CROWDED = 1.2


@dataclass(slots=True)
class _Drawn:
    """The handlers, and what was last made ready to draw."""

    handles: tuple[Any, ...] = ()
    key: Any = None
    content: Content | None = None
    batches: tuple[tuple[str, Any], ...] = ()
    quiet: Any = None


_drawn = _Drawn()


def redraw(_scene: Scene | None = None, _what: str = "") -> None:
    """Have every 3D view drawn again."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                area.tag_redraw()


def _key(scene: Scene) -> Any:
    """All that the drawing depends on."""
    own = scene.napfold
    shown = tuple(
        (
            name,
            figure.collection.session_uid,
            *(thing.location.x for thing in figure.collection.objects),
        )
        for name, figure in bench.in_view(scene)
    )
    return (
        scene.session_uid,
        numbers_of(scene),
        *(getattr(own, name) for name in settings.VIEW),
        own.section_height,
        bodies.stamp(scene),
        shown,
        scene.unit_settings.scale_length,
        bpy.app.translations.locale,
    )


def _ready(scene: Scene) -> Content:
    """The content of a scene, made again only when something changed."""
    key = _key(scene)
    if _drawn.content is None or _drawn.key != key:
        _drawn.key, _drawn.content = key, content_of(scene)
        scale = scene.unit_settings.scale_length
        _drawn.batches = tuple(
            (kind, _batch(segments / scale)) for kind, segments in _drawn.content.segments()
        )
    return _drawn.content


def _batch(segments: FloatArray) -> Any:
    import gpu
    from gpu_extras.batch import batch_for_shader

    shader = gpu.shader.from_builtin("POLYLINE_UNIFORM_COLOR")
    points = segments.reshape(-1, 3).astype("float32")
    return batch_for_shader(shader, "LINES", {"pos": points})


def _wanted(context: Context) -> bool:
    space = context.space_data
    if not space.overlay.show_overlays or not bodies.shown(context.scene):
        return False
    return not context.window_manager.napfold.running


def draw_lines() -> None:
    """Draw all lines; Blender calls this for every 3D view."""
    import gpu

    context = bpy.context
    if not _wanted(context):
        return
    _ready(context.scene)
    shader = gpu.shader.from_builtin("POLYLINE_UNIFORM_COLOR")
    region = context.region
    pixel = context.preferences.system.pixel_size
    gpu.state.blend_set("ALPHA")
    gpu.state.depth_test_set("LESS_EQUAL")
    shader.uniform_float("viewportSize", (region.width, region.height))
    for kind, batch in _drawn.batches:
        shader.uniform_float("lineWidth", pixel * LINE_PX.get(kind, 1.0))
        shader.uniform_float("color", colours.of(context, STYLES[kind]))
        batch.draw(shader)
    gpu.state.depth_test_set("NONE")
    gpu.state.blend_set("NONE")


def draw_words() -> None:
    """Write all words; Blender calls this for every 3D view."""
    import blf
    from bpy_extras.view3d_utils import location_3d_to_region_2d

    context = bpy.context
    if not _wanted(context):
        return
    content = _ready(context.scene)
    legend.draw(context)
    scale = context.scene.unit_settings.scale_length
    size = TEXT_PX * context.preferences.system.ui_scale
    blf.size(0, size)
    taken: list[tuple[float, float, float]] = []
    for label in content.labels:
        place = tuple(part / scale for part in label.at)
        spot = location_3d_to_region_2d(context.region, context.region_data, place)
        if spot is None:
            continue
        width, height = blf.dimensions(0, label.text)
        left = spot.x - {"level": width + 6, "hem": -6}.get(label.kind, width / 2)
        if any(
            abs(spot.y - y) < CROWDED * height and left < right and left + width > x
            for x, right, y in taken
        ):
            continue
        taken.append((left, left + width, spot.y))
        blf.position(0, left, spot.y - height / 2, 0)
        blf.color(0, *colours.of(context, STYLES[label.kind]))
        blf.draw(0, label.text)


def register() -> None:
    add = SpaceView3D.draw_handler_add
    _drawn.handles = (
        add(draw_lines, (), "WINDOW", "POST_VIEW"),
        add(draw_words, (), "WINDOW", "POST_PIXEL"),
    )
    _drawn.quiet = settings.listen(redraw)


def unregister() -> None:
    for handle in _drawn.handles:
        SpaceView3D.draw_handler_remove(handle, "WINDOW")
    _drawn.quiet()
    _drawn.handles, _drawn.content, _drawn.batches, _drawn.key = (), None, (), None

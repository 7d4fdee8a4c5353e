# SPDX-License-Identifier: GPL-3.0-or-later
"""Where the 3D views of a window look from."""

import math

from bpy.types import Scene, Window
from mathutils import Euler, Vector

__all__ = ["look_at_bench"]

FROM_ABOVE = math.radians(74)
FROM_THE_SIDE = math.radians(-12)
HEIGHT_M, BEFORE_M = 0.72, -0.5
NEAREST_M, PER_FIGURE_M = 4.4, 1.0
FARTHEST_M = 100.0


def look_at_bench(window: Window | None, scene: Scene, figures: int = 1) -> None:
    """Turn every 3D view of a window to a row of figures, the pattern at their feet."""
    scale = scene.unit_settings.scale_length
    beside_m = (figures - 1) * PER_FIGURE_M / 2
    for area in () if window is None else window.screen.areas:
        if area.type != "VIEW_3D":
            continue
        space = area.spaces.active
        space.clip_end = max(space.clip_end, FARTHEST_M / scale)
        view = space.region_3d
        view.view_perspective = "PERSP"
        view.view_location = Vector((beside_m, BEFORE_M, HEIGHT_M)) / scale
        view.view_rotation = Euler((FROM_ABOVE, 0.0, FROM_THE_SIDE)).to_quaternion()
        view.view_distance = (NEAREST_M + (figures - 1) * PER_FIGURE_M) / scale

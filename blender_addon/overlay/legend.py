# SPDX-License-Identifier: GPL-3.0-or-later
"""The legend of the colours, at the foot of a 3D view."""

import numpy as np
from bpy.types import Context

from ...core.colour_scale import colours as scale_colours
from ..colouring import scale_of
from . import colours

__all__ = ["draw"]

LEFT_PX, UP_PX, WIDE_PX, HIGH_PX = 70, 34, 240, 12
STEPS = 32
TEXT_PX = 11


def draw(context: Context) -> None:
    """Draw the scale with its ends and its name; nothing where cloths have their own colours."""
    scale = scale_of(context.scene)
    if scale is None:
        return
    import blf

    size = context.preferences.system.ui_scale
    left, up, wide, high = (size * part for part in (LEFT_PX, UP_PX, WIDE_PX, HIGH_PX))
    _bar(left, up, wide, high)
    blf.size(0, TEXT_PX * size)
    blf.color(0, *colours.of(context, "text"))
    low, top = scale.words
    for words, x in ((low, left), (top, left + wide - blf.dimensions(0, top)[0])):
        blf.position(0, x, up - 14 * size, 0)
        blf.draw(0, words)
    blf.position(0, left, up + high + 6 * size, 0)
    blf.draw(0, scale.title)


def _bar(left: float, up: float, wide: float, high: float) -> None:
    """A strip in the colours of the scale."""
    import gpu
    from gpu_extras.batch import batch_for_shader

    share = np.linspace(0.0, 1.0, STEPS)
    painted = np.pad(scale_colours(share, 0.0, 1.0), ((0, 0), (0, 1)), constant_values=1.0)
    x = np.repeat(left + share * wide, 2)
    y = np.tile([up, up + high], STEPS)
    points = np.stack([x, y], axis=1).astype(np.float32)
    rgba = np.repeat(painted, 2, axis=0).astype(np.float32)
    shader = gpu.shader.from_builtin("SMOOTH_COLOR")
    batch = batch_for_shader(shader, "TRI_STRIP", {"pos": points, "color": rgba})
    batch.draw(shader)

# SPDX-License-Identifier: GPL-3.0-or-later
"""A height ruler behind wraps that are compared, and what is told below each."""

import bpy

from ...core.pictures.take import Take
from .backgrounds import PLAIN
from .lettering import put_line, put_words

__all__ = ["put_ruler"]

LINE_M, LETTERS_M, CAPTION_M, MARGIN_M = 0.0025, 0.032, 0.038, 0.03
STRIP_M, BEHIND_M = 0.09, 1.0
FAINT = (0.72, 0.72, 0.72)


def put_ruler(collection: bpy.types.Collection, take: Take) -> None:
    """Put level lines with heights behind the figures, and a caption below each; without perspective
    it does not matter how far behind."""
    camera = take.camera
    width_m, height_m = camera.frame_m(take.width_px, take.height_px)
    x, y, z = camera.target
    left, right = x - width_m / 2 + MARGIN_M, x + width_m / 2 - MARGIN_M
    for height, words in take.ruler:
        put_line(collection, left, right, height, y + BEHIND_M, LINE_M, FAINT)
        put_words(collection, words, (left, y + BEHIND_M, height + LINE_M + 0.006), LETTERS_M)
    bottom = z - height_m / 2
    shade = PLAIN[take.background]
    strip = (left - 1.0, right + 1.0, bottom + STRIP_M / 2 - 0.5, y - 0.9, STRIP_M + 1.0)
    put_line(collection, *strip, shade)
    for wrap in take.wraps:
        place = (wrap.shift_m, y - 1.0, bottom + MARGIN_M)
        put_words(
            collection, wrap.caption, place, CAPTION_M, align="CENTER", within_m=0.46 * width_m
        )

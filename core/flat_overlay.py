# SPDX-License-Identifier: GPL-3.0-or-later
"""The flat patterns of several cuts laid on each other, to one scale (SVG 1.1)."""

from collections.abc import Sequence
from html import escape

from .flat_drawing import outline_path
from .pattern import Pattern

__all__ = ["STYLES", "flat_overlay"]

STYLES: tuple[tuple[str, str], ...] = (
    ("#2f5443", ""),
    ("#8c3f22", "26 14"),
    ("#37507a", "40 12 8 12"),
    ("#8a6d1a", "8 10"),
    ("#5a2f5f", "60 16"),
    ("#2b2723", "30 8 8 8 8 8"),
)
"""Colour and dashes of each outline: told apart in grey as well."""

MARGIN, TEXT, ROW = 60.0, 46.0, 64.0


def flat_overlay(patterns: Sequence[tuple[str, Pattern]]) -> str:
    """Draw outlines on each other, the fold on the fold, with a key of names.

    Parameters
    ----------
    patterns
        Name and pattern of each, the first undermost.

    Returns
    -------
    str
        An ``svg`` element that needs nothing else, in millimetres of cloth.
    """
    half_wide = max(pattern.cut.cloth_width_m for _, pattern in patterns) * 500
    half_high = max(pattern.cut.back_m for _, pattern in patterns) * 1000
    left, top = -half_wide - MARGIN, -half_high - MARGIN
    wide = 2 * (half_wide + MARGIN)
    high = 2 * (half_high + MARGIN) + ROW * len(patterns)
    names = ", ".join(name for name, _ in patterns)
    parts = [
        f'<svg class="flat" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'viewBox="{left:.1f} {top:.1f} {wide:.1f} {high:.1f}" font-size="{TEXT}">',
        f"<title>{escape(f'Flat patterns laid on each other, to one scale: {names}')}</title>",
        f'<line class="fold" x1="{-half_wide:.1f}" y1="0" x2="{half_wide:.1f}" y2="0"/>',
    ]
    for number, (name, pattern) in enumerate(patterns):
        colour, dashes = STYLES[number % len(STYLES)]
        look = f'fill="none" stroke="{colour}" stroke-width="7" stroke-dasharray="{dashes}"'
        level = half_high + MARGIN + ROW * (number + 0.5)
        parts += [
            f'<path {look} d="{outline_path(pattern)}"/>',
            f'<line {look} x1="{-half_wide:.1f}" y1="{level:.1f}" x2="{180 - half_wide:.1f}" '
            f'y2="{level:.1f}"/>',
            f'<text x="{210 - half_wide:.1f}" y="{level + TEXT / 3:.1f}">{escape(name)}</text>',
        ]
    return "\n".join([*parts, "</svg>"])

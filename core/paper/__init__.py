# SPDX-License-Identifier: GPL-3.0-or-later
"""Pages at true size: composed once, written as SVG and as PDF."""

from .page import PAPERS, Line, Mark, Page, Words, held_together, moved, text_width_mm, wrapped
from .svg import page_svg

__all__ = [
    "PAPERS",
    "Line",
    "Mark",
    "Page",
    "Words",
    "held_together",
    "moved",
    "page_svg",
    "text_width_mm",
    "wrapped",
]

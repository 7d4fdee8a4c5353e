# SPDX-License-Identifier: GPL-3.0-or-later
"""Every option of the cut with its key, its limits and a drawing, on one page."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Any

from .files import write_text
from .flat_drawing import flat_drawing
from .option_words import HEADING, INTRODUCTION, LIMITS, WORDS
from .pattern import Corner, Cut, Front, Neck, Shoulder, build_pattern, fitted
from .report_pattern import SCALE_BAR_M
from .report_style import STYLE
from .telling import Telling
from .units import UnitSystem

__all__ = ["OPTIONS", "Option", "write_options"]

LARGE = ".flats { grid-template-columns:repeat(auto-fit,minmax(min(100%,34rem),1fr)); }"
"""Drawings so large that a neckline can be told from another."""
PLAIN = Cut(cloth_width_m=1.47, length_m=1.37, body_width_m=0.68, sleeve_drop_m=0.24)
_SEAMED = {"shoulder": Shoulder.SEAMED}


@dataclass(frozen=True, slots=True)
class Option:
    """One option: its words' name, what it changes in the plain cut, and the key told with limits."""

    name: str
    changes: Mapping[str, Any]
    limited: str = ""

    @property
    def cut(self) -> Cut:
        return fitted(PLAIN, **self.changes)

    def lines(self, tell: Telling) -> Iterator[str]:
        """The lines of the job file."""
        for field, value in self.changes.items():
            key = field.removesuffix("_m")
            told = tell.chosen(value) if field.endswith("_m") else value
            yield f'{key} = "{told}"'


OPTIONS = (
    Option("plain", {}),
    Option("round", {"neck": Neck.ROUND, "neck_width_m": 0.20}, "neck_width"),
    Option("oval", {"neck": Neck.OVAL, "neck_front_depth_m": 0.12}, "neck_front_depth"),
    Option("V", {"neck": Neck.V, "neck_front_depth_m": 0.22}, "neck_front_depth"),
    Option("high back", {"neck": Neck.HIGH_BACK}),
    Option(
        "overlapping",
        {"front": Front.OVERLAPPING, **_SEAMED, "front_overlap_m": 0.12},
        "front_overlap",
    ),
    Option("closed", {"front": Front.CLOSED, "neck_width_m": 0.24, "neck_front_depth_m": 0.15}),
    Option("seamed", _SEAMED),
    Option("shoulder_drop", {**_SEAMED, "shoulder_drop_m": 0.08}, "shoulder_drop"),
    Option("wrist_opening", {"wrist_opening_m": 0.34}, "wrist_opening"),
    Option("sleeve_shortened", {"sleeve_shortened_m": 0.15}, "sleeve_shortened"),
    Option("cuff_depth", {"wrist_opening_m": 0.36, "cuff_depth_m": 0.08}, "cuff_depth"),
    Option("diagonal", {"corner": Corner.DIAGONAL, "corner_radius_m": 0.12}, "corner_radius"),
    Option("square", {"corner": Corner.SQUARE}),
    Option("hem_curve", {"hem_curve_m": 0.08}, "hem_curve"),
    Option("back_longer", {"back_longer_m": 0.10}, "back_longer"),
    Option("side_flare", {"side_flare_m": 0.10}, "side_flare"),
    Option("side_split", {"side_split_m": 0.15}, "side_split"),
)


def write_options(folder: Path, units: UnitSystem) -> Path:
    """Write ``options.html``, whole or not at all; gives the page.

    Raises
    ------
    FileError
        The file cannot be written.
    """
    tell = Telling(units)
    figures = "\n".join(_figure(option, tell) for option in OPTIONS)
    page = folder / "options.html"
    write_text(
        page,
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{HEADING}</title>'
        f"<style>{STYLE}\n{LARGE}</style></head><body><main><h1>{HEADING}</h1>"
        f"<p>{escape(INTRODUCTION)}</p><p><code>neck_ease</code>: {escape(WORDS['neck_ease'])}</p>"
        f'<div class="flats">{figures}</div></main></body></html>\n',
    )
    return page


def _figure(option: Option, tell: Telling) -> str:
    drawing = flat_drawing(
        build_pattern(option.cut),
        tell.chosen,
        frame_m=(PLAIN.cloth_width_m, PLAIN.length_m),
        scale_bar_m=SCALE_BAR_M[tell.units],
    )
    lines = "".join(f"<br><code>{escape(line)}</code>" for line in option.lines(tell))
    limits = ""
    if option.limited:
        low, high = (tell.chosen(value_m) for value_m in option.cut.limits[option.limited])
        limits = f" {option.limited} " + LIMITS.format(low=low, high=high) + "."
    words = escape(WORDS[option.name] + limits)
    return f"<figure>{drawing}<figcaption>{words}{lines}</figcaption></figure>"

# SPDX-License-Identifier: GPL-3.0-or-later
"""The flat patterns on the page: every cut drawn to one scale."""

from collections.abc import Iterator, Sequence
from html import escape

from .comparison import Outcome, Telling
from .flat_drawing import flat_drawing
from .pattern import build_pattern

__all__ = ["patterns_told"]

SCALE_BAR_M = {"cm": 0.20, "in": 0.254}


def patterns_told(outcomes: Sequence[Outcome], tell: Telling) -> Iterator[str]:
    """The drawing of each different cut, under the variants that share it."""
    cuts = {outcome.cut: outcome for outcome in reversed(outcomes)}
    frame_width_m = max(cut.cloth_width_m for cut in cuts)
    frame_length_m = max(cut.length_m for cut in cuts)
    figures = []
    for cut in reversed(cuts):
        users = [outcome.heading for outcome in outcomes if outcome.cut == cut]
        drawing = flat_drawing(
            build_pattern(cut),
            tell.chosen,
            frame_m=(frame_width_m, frame_length_m),
            scale_bar_m=SCALE_BAR_M[tell.units],
        )
        neck = (
            f"Neck opening {cut.neck}: {tell.chosen(cut.neck_width_m)} wide, "
            f"{tell.chosen(cut.neck_front_depth_m)} deep in front, "
            f"{tell.chosen(cut.neck_back_depth_m)} behind."
        )
        figures.append(
            f"<figure>{drawing}<figcaption><strong>{escape('; '.join(users))}.</strong> "
            f"{escape(neck)}</figcaption></figure>"
        )
    note = (
        '<p class="note">One layer, laid flat, outside up: cut two alike, one of each cloth. The '
        "wearer's left is on the right. Hems and sleeve ends are turned in from the edges drawn "
        "here, and so they are on the drape; underarm and neck are sewn on these lines. The sheets "
        "mark where to cut and where to stitch. All drawings are to the same scale.</p>"
    )
    yield note
    yield f'<div class="flats">{"".join(figures)}</div>'

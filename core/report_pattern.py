# SPDX-License-Identifier: GPL-3.0-or-later
"""The flat patterns on the page: every cut drawn to one scale."""

from collections.abc import Callable, Iterator, Sequence
from html import escape

from .comparison import Outcome
from .flat_drawing import flat_drawing
from .pattern import Cut, Front, Neck, build_pattern
from .telling import Telling

__all__ = ["patterns_told"]

SCALE_BAR_M = {"cm": 0.20, "in": 0.254}


def _options(cut: Cut, length: Callable[[float], str]) -> Iterator[str]:
    """What the drawing does not measure, in sentences."""
    behind = "straight" if cut.neck is Neck.HIGH_BACK else f"{length(cut.neck_back_depth_m)} deep"
    eased = f", {length(cut.neck_ease_m)} over the neck base" if cut.neck_ease_m is not None else ""
    yield (
        f"Neck opening {cut.neck}: {length(cut.neck_width_m)} wide{eased}, "
        f"{length(cut.neck_front_depth_m)} deep in front, {behind} behind."
    )
    if cut.front is Front.OVERLAPPING:
        yield f"The fronts overlap by {length(cut.front_overlap_m)}, right over left."
    if cut.front is Front.CLOSED:
        yield "The front is closed: it goes on over the head."
    for value_m, words in (
        (cut.shoulder_drop_m, "The shoulder seams fall by {} from neck to sleeve end."),
        (cut.sleeve_shortened_m, "Each sleeve is {} shorter than the cloth."),
        (
            cut.cuff_depth_m,
            "Cuffs of {} are turned back; the drape shows the sleeve up to their fold, without their "
            "weight and thickness (an estimate).",
        ),
        (cut.hem_curve_m, "The hem rises by {} to the side seams."),
        (cut.back_longer_m, "The back is {} longer than the front."),
        (cut.side_flare_m, "Each side is {} wider at the hem than under the arm."),
        (cut.side_split_m, "The sides are open for {} from the hem up."),
    ):
        if value_m:
            yield words.format(length(value_m))


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
        neck = " ".join(_options(cut, tell.chosen))
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

# SPDX-License-Identifier: GPL-3.0-or-later
"""Ranges in words: how far hem and sleeve can be off because of the cloths, and what to do about it."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from html import escape

from .cloth import FIGURES
from .cloth_doubt import DEVIATIONS, Doubt, Layer, Way
from .comparison import Outcome
from .fit_range import Cause, Span
from .next_test import best_test
from .phrases import joined, phrase
from .report_tables import Cell, table
from .roominess import sleeve_class
from .telling import Telling

__all__ = ["certainty", "doubts_told"]

MATTERS_M = 0.02
"""A range narrower than this needs no test: it is hardly wider than what lengths are told to."""

SHOWN_M = 0.0025
"""Moves below half the step in which lengths are told are not shown."""


def certainty(outcome: Outcome, tell: Telling) -> str:
    """How sure hem and sleeve are, as far as the cloths go, and which test would help."""
    told = outcome.range
    height = phrase("{height} over the floor", height=tell.length(told.hem.value_m))
    hem = _told(height, told.hem, tell, draped=told.draped)
    parts = [phrase("hem {hem}: {test}", hem=hem, test=_remedy(outcome, "hem"))]
    if told.sleeve is not None:
        low, high = sleeve_class(told.sleeve.low_m), sleeve_class(told.sleeve.high_m)
        wide = low != high and told.sleeve.width_m > MATTERS_M
        value = tell.length(told.sleeve.value_m)
        room = _told(value, told.sleeve, tell, draped=told.draped)
        test = _remedy(outcome, "sleeve")
        between = phrase("{room}, between “{low}” and “{high}”", room=room, low=low, high=high)
        room = between if wide else room
        parts.append(phrase("sleeve room {room}: {test}", room=room, test=test))
    words = joined("; ", parts)
    if told.draped:
        return words
    return phrase("an estimate, as far as the cloths go: {ranges}", ranges=words)


def _told(value: str, span: Span, tell: Telling, *, draped: bool) -> str:
    """A value in words with how far it may be off."""
    if draped:
        return joined(", ", (value, tell.between(span.low_m, span.high_m)))
    half = tell.length(max(span.width_m / 2, 0.005))
    return phrase("{value}, give or take {half}", value=value, half=half)


def _remedy(outcome: Outcome, way: Way) -> str:
    span = outcome.range.hem if way == "hem" else outcome.range.sleeve
    if span is None or span.width_m <= MATTERS_M:
        return phrase("no need to test")
    best = best_test(tuple(_measured(cause) for cause in outcome.range.causes), way)
    if best is None:
        return phrase("no single test would narrow it much")
    test, layer = best
    return phrase("{test} ({cloth})", test=phrase(test), cloth=_whose(outcome, layer))


def _measured(cause: Cause) -> Doubt:
    """The doubt with its moves as they were found."""
    hem_m, sleeve_m = ((move[1] - move[0]) / 2 for move in (cause.hem_m, cause.sleeve_m))
    return replace(cause.doubt, hem_m=hem_m, sleeve_m=sleeve_m)


def _whose(outcome: Outcome, layer: Layer) -> str:
    if layer == "both":
        return phrase(outcome.outer_cloth.name)
    cloth = outcome.outer_cloth if layer == "outer" else outcome.lining_cloth
    return joined(", ", (phrase(cloth.name), phrase(layer)))


def doubts_told(outcomes: Sequence[Outcome], tell: Telling) -> Iterable[str]:
    """What each figure that is not known does to hem and sleeve."""
    named = {
        _name(cause): None
        for outcome in outcomes
        for cause in outcome.range.causes
        if max(map(abs, (*cause.hem_m, *cause.sleeve_m))) >= SHOWN_M
    }
    if not named:
        return
    yield "<h3>What is not known of the cloths</h3>"
    draped = any(outcome.range.draped for outcome in outcomes)
    how = (
        "Figures that matter most were draped at both ends of where they may lie; the others are "
        "estimated from trial drapes of other wraps."
        if draped
        else "These are estimates from trial drapes of other wraps. Put ranges = true under "
        "[drape] in the job, or --ranges to the command, and this wrap is draped at both ends."
    )
    text = (
        f"{how} Between the ends lie 19 of 20 cloths ({DEVIATIONS:g} standard deviations to both "
        "sides). The body, the sewing and the way folds fall are not in these ranges."
    )
    yield f'<p class="note">{escape(text)}</p>'
    rows = [(name, [_cell(outcome, name, tell) for outcome in outcomes]) for name in named]
    yield table(
        [outcome.heading for outcome in outcomes],
        "How hem and sleeve room move with a figure at its low end and at its high end.",
        rows,
    )


def _name(cause: Cause) -> str:
    layer = "both layers" if cause.doubt.layer == "both" else cause.doubt.layer
    return f"{FIGURES[cause.doubt.figure].words}, {layer}"


def _cell(outcome: Outcome, name: str, tell: Telling) -> Cell:
    for cause in outcome.range.causes:
        if _name(cause) == name:
            hem, sleeve = (
                " and ".join(_signed(move, tell) for move in moves)
                for moves in (cause.hem_m, cause.sleeve_m)
            )
            how = "draped" if cause.draped else "estimate"
            return f"hem {hem}; sleeve {sleeve}", f"± {100 * cause.doubt.share:.0f} %, {how}"
    return "known", ""


def _signed(move_m: float, tell: Telling) -> str:
    told = tell.small(abs(move_m))
    if tell.small(0.0) == told:
        return told
    return f"{'+' if move_m > 0 else '−'}{told}"

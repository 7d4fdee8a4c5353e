# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks of each drape, and changes that were tried where one does not hold."""

from collections.abc import Iterator, Sequence
from html import escape

from .advice import Advice
from .comparison import Outcome, effects
from .fit_checks import FitCheck, number_m
from .telling import Telling

__all__ = ["advice_told"]

HOW = (
    "Put advice = true under [drape] in the job, or --advice behind the command, and changes that "
    "would mend it are draped and told here with what they do."
)


def advice_told(outcomes: Sequence[Outcome], tell: Telling) -> Iterator[str]:
    """Every variant's checks, those that do not hold first, and what was tried."""
    seen: set[str] = set()
    untried = False
    for outcome in outcomes:
        wrong = [check for check in outcome.checks if not check.holds]
        # in its other poses a variant is told what does not hold
        shown = wrong if outcome.variant in seen else outcome.checks
        if not shown:
            continue
        seen |= {outcome.variant} - {""}
        if len(outcomes) > 1:
            yield f"<h3>{escape(outcome.heading)}</h3>"
        yield _checks(shown)
        if outcome.advice:
            yield "<p>Tried on a drape, least cloth first:</p><ol>"
            for advice in outcome.advice:
                yield f"<li>{escape(_advice(outcome, advice, tell))}</li>"
            yield "</ol>"
        untried |= not outcome.advice and any(check.cut is not None for check in wrong)
    if untried:
        yield f'<p class="note">{escape(HOW)}</p>'


def _checks(checks: Sequence[FitCheck]) -> str:
    lines = []
    for check in sorted(checks, key=lambda one: one.holds):
        mark = "holds" if check.holds else "does not hold"
        words = f"{check.found}. Rule: {check.rule}."
        lines.append(
            f'<li class="{"holds" if check.holds else "fails"}"><strong>{escape(check.name.capitalize())} '
            f"{mark}:</strong> {escape(words)}</li>"
        )
    return f'<ul class="checks">{"".join(lines)}</ul>'


def _advice(outcome: Outcome, advice: Advice, tell: Telling) -> str:
    check = advice.change.check
    name = check.key.replace("_", " ")
    before, after = (number_m(cut, check.key) for cut in (outcome.cut, advice.change.cut))
    done = (
        "; ".join(effects(outcome.fit, advice.fit, tell)) or "nothing else that can be told apart"
    )
    result = "mends it" if advice.mended else "is not enough"
    spoilt = f" But then this does not hold: {', '.join(advice.broken)}." if advice.broken else ""
    unsure = "" if advice.sound else " (That drape did not pass all its own checks.)"
    return (
        f"{check.name.capitalize()}: {name} {tell.chosen(after)} instead of {tell.chosen(before)} "
        f"({_cost(advice.change.cloth_m, tell)}) {result}. Then: {done}.{spoilt}{unsure}"
    )


def _cost(cloth_m: float, tell: Telling) -> str:
    if abs(cloth_m) < 1e-6:
        return "no more cloth to buy"
    return f"{tell.chosen(abs(cloth_m))} {'more' if cloth_m > 0 else 'less'} to buy, all cloths together"

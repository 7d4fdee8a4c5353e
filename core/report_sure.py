# SPDX-License-Identifier: GPL-3.0-or-later
"""How sure the report is: whether drapes are sound, how things are measured, what words mean."""

from collections.abc import Iterable, Sequence
from html import escape

from .comparison import Outcome
from .landing import AT_M
from .roominess import BODY_CLASSES, SLEEVE_CLASSES, class_bounds
from .telling import Telling

__all__ = ["listed", "rules_told", "soundness_told"]


def listed(items: Iterable[str]) -> str:
    """A list of plain sentences."""
    return "<ul>" + "".join(f"<li>{escape(item)}</li>" for item in items) + "</ul>"


def soundness_told(outcomes: Sequence[Outcome], tell: Telling) -> Iterable[str]:
    """Whether each drape came to rest and passed its checks."""
    yield "<h3>Did the cloth come to rest, and is the drape sound?</h3>"
    items = []
    for outcome in outcomes:
        reasons = tell.sentence(" ".join(outcome.reasons))
        if not outcome.converged:
            items.append(f"{outcome.heading}: not quite. {reasons or 'No reason was given.'}")
        elif reasons:
            items.append(f"{outcome.heading}: yes, but for small faults. {reasons}")
        else:
            items.append(f"{outcome.heading}: yes, it passed all its checks.")
    yield listed(items)


def rules_told(tell: Telling) -> Iterable[str]:
    """How things are measured, and the words for room."""
    yield "<h3>How things are measured</h3>"
    yield listed(
        (
            f"Levels of the body that were not measured scatter by about {tell.length(AT_M)} from "
            f"person to person. Within {tell.length(AT_M)} of a level the hem is called “at” it.",
            "Room in the sleeve is taken on a plane across the arm: the way round the outer, less what "
            "both layers take inwards, against the way round the bare arm. Where that plane would run "
            "into the body of the garment, the ring of cloth over that place is taken instead, outside "
            "the rounded corner.",
            "Ease is the cloth round the body at that level as it was cut, open fronts closed, less the "
            "body's girth. Where arms and body share the cloth, it is as wide as the garment is flat, "
            "under the arms. How far apart the fronts hang is told beside it.",
            "Where the length goes: beside the neck, from the top of the shoulder to the hem. Air in the "
            "sleeve: sections across the arm, the lining's inside less the arm. The depth to which a "
            "sleeve hangs is measured where the forearm lies level; else it is worked out from the "
            "flat sleeve. What shoulders carry and how it presses are estimates.",
            "The same wrap, shaken and put on again, falls into other folds. Lengths agree to "
            "about a finger's breadth.",
        )
    )
    yield "<h3>Words for room</h3>"
    yield listed(
        (
            "Body, by ease at the bust, as for a coat: " + _bounds(BODY_CLASSES, tell) + ".",
            "Sleeve, by what is to spare round the upper arm: "
            + _bounds(SLEEVE_CLASSES, tell)
            + ".",
            "These are habits of the trade, not a standard.",
        )
    )


def _bounds(classes: tuple[tuple[float, str], ...], tell: Telling) -> str:
    words = []
    for low, high, name in class_bounds(classes):
        if low is None and high is not None:
            words.append(f"{name} under {tell.length(high)}")
        elif low is not None:
            words.append(f"{name} from {tell.length(low)}")
    return "; ".join(words)

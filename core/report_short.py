# SPDX-License-Identifier: GPL-3.0-or-later
"""The three questions, answered in a few lines at the top of the page."""

from collections.abc import Iterator, Sequence
from html import escape

from .comparison import Outcome, changes
from .least_room import bulk_in_sleeve_m
from .roominess import sleeve_class
from .telling import Telling

__all__ = ["short_answers"]


def short_answers(outcomes: Sequence[Outcome], tell: Telling) -> Iterator[str]:
    """Long enough, roomy enough, and what the pile does."""
    yield '<dl class="short">'
    for question, answers in (
        ("Long enough?", _each(outcomes, [_length(one, tell) for one in outcomes])),
        ("Roomy sleeves?", _each(outcomes, [_sleeve(one, tell) for one in outcomes])),
        ("What does the pile do?", list(_pile(outcomes, tell))),
    ):
        yield f"<dt>{question}</dt>"
        yield from (f"<dd>{escape(answer)}</dd>" for answer in answers)
    yield "</dl>"


def _each(outcomes: Sequence[Outcome], told: Sequence[str]) -> list[str]:
    """One line for all variants of which the same is told."""
    if len(outcomes) == 1:
        return [told[0][:1].upper() + told[0][1:] + "."]
    groups: dict[str, list[str]] = {}
    for outcome, words in zip(outcomes, told, strict=True):
        groups.setdefault(words, []).append(outcome.name)
    lines = (f"{'; '.join(names)}: {words}." for words, names in groups.items())
    return [line[:1].upper() + line[1:] for line in lines]


def _length(outcome: Outcome, tell: Telling) -> str:
    back = outcome.fit.hem.centre_back
    if back.nearest == "the floor":
        return f"the back hem lands {tell.length(back.height_m)} over the floor"
    return (
        f"the back hem lands {tell.length(back.height_m)} over the floor, {back.words(tell.length)}"
    )


def _sleeve(outcome: Outcome, tell: Telling) -> str:
    room = outcome.fit.sleeves["left"].room["upper arm"]
    if room is None:
        return "the sleeve does not reach the middle of the upper arm"
    spare = f"{tell.length(room.extra_girth_m)} to spare round the upper arm"
    return f"{sleeve_class(room.extra_girth_m)}, {spare}"


def _pile(outcomes: Sequence[Outcome], tell: Telling) -> Iterator[str]:
    """What another cloth changes, where two were tried; else what this one does."""
    found = [one for one in changes(outcomes, tell) if one.choice.startswith("cloths ")]
    for change in found:
        effects = "; ".join(change.effects) or "nothing that can be told apart"
        line = f"{change.after.name} against {change.before.name}: {effects}."
        yield line[:1].upper() + line[1:]
    if not found:
        outcome = outcomes[0]
        outer, lining = outcome.outer_cloth, outcome.lining_cloth
        bulk_m = bulk_in_sleeve_m(outer.thickness_m, lining.thickness_m)
        yield (
            f"{outer.name} over {lining.name}".capitalize()
            + f": it takes {tell.length(bulk_m)} of each sleeve's girth, "
            f"stands {tell.small(outcome.fit.stand_off.outer_face_m)} off the body and weighs "
            f"{tell.mass(outcome.fit.mass.garment_kg)}."
        )

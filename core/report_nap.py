# SPDX-License-Identifier: GPL-3.0-or-later
"""The nap in words: how it runs on a folded length, and what it costs to have it otherwise."""

from collections.abc import Iterator, Sequence
from html import escape

from .cloth import Cloth
from .comparison import Outcome, Telling
from .lay import usable_width_m
from .nap_remedies import crosswise, has_nap, shoulder_seam

__all__ = ["nap_told"]


def nap_told(outcomes: Sequence[Outcome], tell: Telling) -> Iterator[str]:
    """The nap of every cut with its cloths."""
    told = [(outcome, _parts(outcome, tell)) for outcome in outcomes]
    for parts in dict.fromkeys(parts for _, parts in told):
        alike = [outcome.heading for outcome, own in told if own == parts]
        if len(alike) < len(outcomes):
            yield f"<h3>{escape('; '.join(alike))}</h3>"
        way, remedies = parts
        yield f"<p>{escape(way)}</p>"
        if remedies:
            yield "<p>To have it otherwise:</p>"
            yield "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in remedies) + "</ul>"


def _parts(outcome: Outcome, tell: Telling) -> tuple[str, tuple[str, ...]]:
    """How the nap runs, and the remedies."""
    nap = outcome.cut.nap
    cloths = (outcome.outer_cloth, outcome.lining_cloth)
    print_words = (
        "A one-way print or a figure stands upright on the half where the cloth runs down from "
        "the fold and on its head on the other."
    )
    if not any(has_nap(cloth) for cloth in cloths):
        return (
            f"Neither cloth has a nap to speak of, so both halves look and feel alike. {print_words}",
            (),
        )
    halves = {nap.runs("front"): "front", nap.runs("back"): "back"}
    way = (
        f"One length is folded over the shoulders, so the pile strokes smooth down the "
        f"{halves['down']} and up the {halves['up']}: stroked downwards, the {halves['up']} feels "
        f"rough and looks darker or lighter. The choice nap of the cut says which half runs down. "
        f"{print_words}"
    )
    return way, (_seam(outcome, tell), _across(outcome, tell))


def _seam(outcome: Outcome, tell: Telling) -> str:
    seam = shoulder_seam(outcome.cut, outcome.allowances)
    price = _price(outcome, seam.more_length_m)
    return (
        f"A seam on the shoulders: cut each layer apart at the fold and lay both halves nap down. "
        f"It takes {tell.small(seam.more_length_m)} more length of each cloth for the two "
        f"allowances{price}, {tell.chosen(seam.seam_m)} of seam in each layer, and a ridge of four "
        "plies more where the wrap rests on the shoulders. A print stands upright on both halves."
    )


def _across(outcome: Outcome, tell: Telling) -> str:
    laid = crosswise(outcome.cut)
    if laid.more_length_m > 0:
        more = f"{tell.small(laid.more_length_m)} more of each cloth"
    else:
        more = f"{tell.small(-laid.more_length_m)} less of each cloth"
    price = _price(outcome, laid.more_length_m)
    return (
        f"Laid crosswise: the nap runs from one wrist to the other, alike in front and behind, and "
        f"a print lies on its side. Cloth width and length change roles: the bolt must be "
        f"{tell.chosen(laid.width_needed_m)} wide at least ({_fits(outcome, tell)}), and "
        f"{tell.chosen(laid.length_m)} of length is cut for each layer, {more}{price}. The cloth's "
        "stretch turns along: what gave round the body then gives from shoulder to hem."
    )


def _fits(outcome: Outcome, tell: Telling) -> str:
    cloths = dict.fromkeys((outcome.outer_cloth, outcome.lining_cloth))
    return "; ".join(_fit(cloth, outcome, tell) for cloth in cloths)


def _fit(cloth: Cloth, outcome: Outcome, tell: Telling) -> str:
    width_m = usable_width_m(cloth, outcome.lay)
    origin = cloth.origin("bolt_width_m")
    guess = "an estimate of " if origin is not None and origin.source == "estimate" else ""
    enough = "is enough" if width_m >= outcome.cut.length_m else "is too narrow"
    washed = " after the wash" if outcome.lay.wash_first else ""
    return f"{cloth.name}: {guess}{tell.chosen(width_m)}{washed} {enough}"


def _price(outcome: Outcome, length_m: float) -> str:
    """What a length of both cloths costs, where both prices are known."""
    prices = [cloth.price_per_m for cloth in (outcome.outer_cloth, outcome.lining_cloth)]
    known = [price for price in prices if price is not None]
    if len(known) < len(prices):
        return ""
    return f" ({sum(known) * abs(length_m):.2f} for both)"

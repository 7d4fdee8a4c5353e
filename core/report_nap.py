# SPDX-License-Identifier: GPL-3.0-or-later
"""The nap in words: how it runs on a folded length, and what it costs to have it otherwise."""

from collections.abc import Iterator, Sequence
from html import escape

from .cloth import Cloth
from .comparison import Outcome
from .lay import usable_width_m
from .nap_remedies import crosswise, has_nap, shoulder_seam
from .pattern import Cut
from .telling import Telling

__all__ = ["nap_told"]


def nap_told(outcomes: Sequence[Outcome], tell: Telling) -> Iterator[str]:
    """The nap of every cut, with all cloths that it is cut from."""
    groups: dict[object, list[Outcome]] = {}
    for outcome in outcomes:
        napped = any(map(has_nap, _cloths([outcome])))
        key = (outcome.cut, outcome.allowances, outcome.lay, napped)
        groups.setdefault(key, []).append(outcome)
    for group in groups.values():
        if len(groups) > 1:
            yield f"<h3>{escape('; '.join(one.heading for one in group))}</h3>"
        if not any(map(has_nap, _cloths(group))):
            yield f"<p>{escape(f'Neither cloth has a nap to speak of. {PRINT}')}</p>"
            continue
        yield f"<p>{escape(_way(group))}</p>"
        yield "<p>To have it otherwise:</p>"
        remedies = (_seam(group, tell), _across(group, tell))
        yield "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in remedies) + "</ul>"


PRINT = (
    "A one-way print stands upright on the half where the cloth runs down from the fold, and on its "
    "head on the other."
)


def _cloths(group: Sequence[Outcome]) -> tuple[Cloth, ...]:
    """The different cloths of a group, in order."""
    pairs = ((outcome.outer_cloth, outcome.lining_cloth) for outcome in group)
    return tuple(dict.fromkeys(cloth for pair in pairs for cloth in pair))


def _way(group: Sequence[Outcome]) -> str:
    """How the nap runs."""
    nap = group[0].cut.nap
    whose = " and ".join(dict.fromkeys(one.name for one in _cloths(group) if has_nap(one)))
    halves = {nap.runs("front"): "front", nap.runs("back"): "back"}
    return (
        f"{_lies(group[0].cut)}, so the nap of {whose} strokes smooth down "
        f"the {halves['down']} and up the {halves['up']}: stroked downwards, the {halves['up']} feels "
        f"rough, and it looks darker or lighter. Turn the cloth end for end to have it the other "
        f"way round (nap, under [cut] in the job). {PRINT}"
    )


def _lies(cut: Cut) -> str:
    if cut.seamed:
        return "Front and back are cut one behind the other, as one length would lie"
    return "One length is folded over the shoulders"


def _seam(group: Sequence[Outcome], tell: Telling) -> str:
    if group[0].cut.seamed:
        turned = "back" if group[0].cut.nap.runs("back") == "up" else "front"
        return (
            f"The shoulders are seamed already: turn the {turned} piece of each layer end for end when "
            "it is laid, and the nap runs down both halves, for no more cloth. A print then stands "
            "upright on both. Sheets and drapes show it unturned."
        )
    seam = shoulder_seam(group[0].cut, group[0].allowances)
    return (
        f"A seam on the shoulders: cut each layer apart at the fold and lay both halves nap down. "
        f"It takes {tell.small(seam.more_length_m)} more length of each cloth for the two "
        f"allowances{_price(group, seam.more_length_m)}, {tell.chosen(seam.seam_m)} of seam in each "
        "layer, and a ridge of up to four plies more where the wrap rests on the shoulders. A "
        "print stands upright on both halves. The drapes here have no such seam."
    )


def _across(group: Sequence[Outcome], tell: Telling) -> str:
    laid = crosswise(group[0].cut)
    more = f"{tell.small(abs(laid.more_length_m))} {'more' if laid.more_length_m > 0 else 'less'}"
    fits = "; ".join(dict.fromkeys(_fit(cloth, group[0], tell) for cloth in _cloths(group)))
    return (
        f"Laid crosswise: the nap runs from one wrist to the other, alike in front and behind, and "
        f"a print lies on its side. Cloth width and length change roles: the bolt must be "
        f"{tell.chosen(laid.width_needed_m)} wide at least ({fits}), and "
        f"{tell.chosen(laid.length_m)} of length is cut for each layer, {more} of each cloth"
        f"{_price(group, laid.more_length_m)}. The cloth's stretch turns along: what gave round the "
        "body then gives from shoulder to hem, and it may hang longer. The drapes here are laid lengthwise."
    )


def _fit(cloth: Cloth, outcome: Outcome, tell: Telling) -> str:
    width_m = usable_width_m(cloth, outcome.lay)
    enough = "enough" if width_m >= outcome.cut.length_m else "too narrow"
    washed = " after the wash" if outcome.lay.wash_first else ""
    origin = cloth.origin("bolt_width_m")
    guess = ", an estimate" if origin is not None and origin.source == "estimate" else ""
    return f"{cloth.name}: {tell.chosen(width_m)}{washed}{guess}: {enough}"


def _price(group: Sequence[Outcome], length_m: float) -> str:
    """What a length of both cloths costs, where all prices are known."""
    costs = []
    for outcome in group:
        prices = (outcome.outer_cloth.price_per_m, outcome.lining_cloth.price_per_m)
        if prices[0] is None or prices[1] is None:
            return ""
        costs.append(f"{(prices[0] + prices[1]) * abs(length_m):.2f}")
    return f" ({', '.join(dict.fromkeys(costs))} for both)"

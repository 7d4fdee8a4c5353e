# SPDX-License-Identifier: GPL-3.0-or-later
"""What the cutting plan tells of prints: after what they come again, and which way they hang."""

from collections.abc import Iterator

from ..cloth import Print
from ..lay import Bolt, Lay, Layer
from ..pattern import Cut
from ..telling import Telling
from .making_words import WORDS
from .plan_words import PLAN

__all__ = ["prints_told"]


def prints_told(lay: Lay, tell: Telling) -> str:
    """Which layers have a print, which way it stands, and by which length along the cloth they are laid."""
    return " ".join(words for bolt in lay.bolts for words in _of_bolt(bolt, lay, tell))


def _of_bolt(bolt: Bolt, lay: Lay, tell: Telling) -> Iterator[str]:
    motif, along = bolt.cloth.print, bolt.shrinkage[0]
    alike = [other for other in lay.bolts if other.layers == bolt.layers]
    # several wraps on cloths of their own
    named = WORDS["cloth for"] if len(alike) > 1 else "{layers}"
    layers = named.format(cloth=bolt.cloth.name, layers=bolt.layers)
    if motif is not None and not motif.mirrored:
        yield from _across(motif, bolt, layers, tell)
        if motif.upright and not motif.turn_rad:
            yield WORDS["print way"]
            yield from _upright(bolt)
    # the lay's own: a written one goes before that of the print as it is drawn
    if bolt.repeat_m:
        lying, bought = _repeat(bolt.repeat_m / (1 - along), along, tell)
        yield WORDS["print along"].format(layers=layers, length=lying, bought=bought)


def _across(motif: Print, bolt: Bolt, layers: str, tell: Telling) -> Iterator[str]:
    """After which width it comes again, unless it is aslant or wider than the cloth."""
    across, repeat_m = bolt.shrinkage[1], motif.repeat_across_m
    if motif.aslant:
        yield WORDS["print aslant"].format(layers=layers)
    if repeat_m is None:
        return
    lying, bought = _repeat(repeat_m, across, tell)
    comes_again = repeat_m * (1 - across) < bolt.usable_width_m
    yield WORDS["print width" if comes_again else "print wide"].format(
        layers=layers, width=lying, bought=bought, usable=tell.chosen(bolt.usable_width_m)
    )


def _repeat(repeat_m: float, shrinks: float, tell: Telling) -> tuple[str, str]:
    """A print's repeat as the cloth lies, and what it was before the wash if that is told otherwise."""
    lying, bought = tell.chosen(repeat_m * (1 - shrinks)), tell.chosen(repeat_m)
    return lying, "" if lying == bought else WORDS["print bought"].format(length=bought)


def _upright(bolt: Bolt) -> Iterator[str]:
    """Which way an upright print hangs on the wraps of a bolt, those of one kind together."""
    found: dict[str, dict[str, None]] = {}
    for piece in bolt.placed:
        if isinstance(piece.source, Layer):
            order = piece.source.order
            found.setdefault(_hanging(order.cut), {})[order.name] = None
    for words, wraps in found.items():
        if len(found) == 1:
            yield words
        else:
            yield WORDS["print of wraps"].format(
                wraps=", ".join(wraps), words=words[:1].lower() + words[1:]
            )


def _hanging(cut: Cut) -> str:
    """Before and behind a fold, or on a back and fronts of their own."""
    if not cut.seamed:
        return WORDS["print upright"]
    turned = "print back turned" if cut.nap.runs("back") == "up" else "print fronts stay"
    return WORDS["print upright apart"].format(
        turned=WORDS[turned].format(turned=PLAN["turned"][0])
    )

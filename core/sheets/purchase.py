# SPDX-License-Identifier: GPL-3.0-or-later
"""What to buy, what it costs, what other lengths and wishes would take, and the checks."""

from collections.abc import Iterator, Sequence

from ..buying import FlatFit, wished_past_wrist_m
from ..check_words import NAMES
from ..checks import State
from ..landing import sleeve_end_words
from ..lay import Bolt, Grid
from ..money import cost
from ..purchasing import (
    Purchase,
    best_purchase,
    lengths_compared,
    lengths_to_compare,
    purchase_for,
)
from ..telling import Telling
from .flow import Block, Heading, Items, Paragraph, Rows
from .making_words import CHECKS_HEAD, COST_HEAD, FIT_HEAD, HAND_HEAD, WORDS
from .sheet_job import SheetJob
from .supplies import supplies, tools

__all__ = [
    "bought_told",
    "checks_blocks",
    "doubts_told",
    "in_hand_blocks",
    "lengths_blocks",
    "shopping_blocks",
    "wish_blocks",
]


def bought_told(length_m: float, tell: Telling) -> str:
    """A bought length as a shop measures it: metres, or yards and eighths."""
    if tell.units == "cm":
        return f"{length_m:.1f} m"
    eighths = round(length_m / 0.1143)
    whole, rest = divmod(eighths, 8)
    fraction = {0: "", 2: "1/4", 4: "1/2", 6: "3/4"}.get(rest, f"{rest}/8")
    return " ".join(part for part in (str(whole) if whole else "", fraction, "yd") if part)


def shopping_blocks(sheet: SheetJob, wraps: Sequence[SheetJob] = ()) -> Iterator[Block]:
    """What to buy and what it costs; ``wraps`` are the garments where several lie on the cloth."""
    tell, job = sheet.tell, sheet.job
    yield Heading(WORDS["shopping"])
    items = [_cloth_told(bolt, tell) for bolt in sheet.lay.bolts]
    yield Items((*items, *supplies(wraps or (sheet,))), boxes=True)
    yield Heading(WORDS["at hand"])
    yield Items(tools(wraps or (sheet,)), boxes=True)
    bill = cost(sheet.lay, job.money)
    yield Heading(WORDS["cost"])
    if all(line.amount is None for line in bill.lines):
        yield Paragraph(WORDS["unpriced all"])
        return
    rows = [
        (line.name, WORDS["unpriced"] if line.amount is None else job.money.told(line.amount))
        for line in bill.lines
    ]
    rows.append((WORDS["total"], job.money.told(bill.total) if bill.total else "-"))
    if bill.garments > 1:
        rows.append((WORDS["each of"].format(count=bill.garments), job.money.told(bill.each)))
    yield Rows(head=COST_HEAD, rows=tuple(rows), shares=(0.7, 0.3))
    if not bill.complete:
        yield Paragraph(WORDS["incomplete"])


def _cloth_told(bolt: Bolt, tell: Telling) -> str:
    """What to buy of a cloth, and why so much."""
    up, along = Grid.of(tell.units).up, bolt.shrinkage[0]
    told = WORDS["shopping cloth"].format(
        bought=bought_told(bolt.bought_m, tell),
        cloth=bolt.cloth.name,
        layers=bolt.layers,
        width=tell.chosen(up(bolt.shop_width_m)),
        exact=tell.chosen(up(bolt.exact_m)),
        shrinkage=_shrinkage_told(bolt, tell),
    )
    more_m = up(bolt.exact_m) - up(bolt.unmatched_m)
    if more_m < Grid.of(tell.units).step_m / 2:
        return told
    repeat = tell.chosen(bolt.repeat_m / (1 - along))
    return told + WORDS["repeat takes"].format(repeat=repeat, more=tell.chosen(more_m))


def _shrinkage_told(bolt: Bolt, tell: Telling) -> str:
    """What is counted in for the wash; a figure that nobody stated or measured is an estimate."""
    shares = [
        WORDS[f"shrinks {way}"].format(share=tell.quantity("share", share))
        + (WORDS["by estimate"] if f"shrinkage_{way}" in bolt.cloth.estimated else "")
        for way, share in zip(("along", "across"), bolt.shrinkage, strict=True)
        if share
    ]
    return WORDS["shrinkage"].format(shares=", ".join(shares)) if shares else ""


def _fit_row(words: str, purchase: Purchase, sheet: SheetJob) -> tuple[str, ...]:
    fit, tell = purchase.fit, sheet.tell
    return (
        words,
        " + ".join(bought_told(bolt.bought_m, tell) for bolt in purchase.lay.bolts),
        WORDS["hem at"].format(
            landing=fit.hem.words(tell.length), height=tell.length(fit.hem.height_m)
        ),
        _sleeve(fit, tell),
        sheet.job.money.told(purchase.cost.total) if purchase.cost.complete else "-",
    )


def _sleeve(fit: FlatFit, tell: Telling) -> str:
    return sleeve_end_words(fit.past_wrist_m, fit.hand_m, tell.length)


SHORT_M = 0.01
"""Sleeves shorter than wished by less than this are as wished."""
_FIT_SHARES = (0.18, 0.17, 0.3, 0.22, 0.13)


def lengths_blocks(sheet: SheetJob) -> Iterator[Block]:
    job = sheet.job
    lengths = (
        lengths_compared(sheet.measures, sheet.order, job.money, job.units)
        if sheet.draped is None
        else sheet.draped.lengths
    )
    rows = [_fit_row(words, purchase, sheet) for words, purchase in lengths]
    yield Heading(WORDS["lengths" if sheet.draped is None else "lengths draped"])
    yield Rows(head=FIT_HEAD, rows=tuple(rows), shares=_FIT_SHARES)
    told = {words for words, _ in lengths}
    if short := [words for words in lengths_to_compare(job.units) if words not in told]:
        yield Paragraph(WORDS["too short"].format(lengths=WORDS["or"].join(short)))


def wish_blocks(sheet: SheetJob) -> Iterator[Block]:
    job, tell = sheet.job, sheet.tell
    if job.wish is None:
        return
    draped = sheet.draped
    if draped is None:
        granted = purchase_for(sheet.measures, sheet.order, job.wish, job.money, job.units)
        yield Heading(WORDS["wish"])
    else:
        granted = draped.granted
        yield Heading(WORDS["wish draped"])
        words = WORDS["drapes sound" if draped.sound else "drapes doubtful"]
        yield Paragraph(words.format(count=draped.drapes), bold=not draped.sound)
        if job.cut.cuff_depth_m:
            yield Paragraph(WORDS["cuffs undraped"])
    found = {
        "wished": granted.wished,
        "one step less": granted.less,
        "all used": granted.used_up,
    }
    rows = [
        _fit_row(f"{tell.chosen(one.order.cut.length_m)}: {WORDS[name]}", one, sheet)
        for name, one in found.items()
        if one is not None
    ]
    yield Rows(head=FIT_HEAD, rows=tuple(rows), shares=_FIT_SHARES)
    if granted.used_up is not None:
        yield Paragraph(WORDS["all used words"])
    fit = granted.wished.fit
    yield Paragraph(
        WORDS["room"].format(
            ease=tell.length(fit.body_ease_m),
            body=fit.body_words,
            extra=tell.length(fit.sleeve_extra_m),
            sleeve=fit.sleeve_words,
        )
    )
    cut = granted.wished.order.cut
    wished_m = wished_past_wrist_m(sheet.measures, job.wish)
    if wished_m is not None and granted.wished.fit.past_wrist_m < wished_m - SHORT_M:
        yield Paragraph(WORDS["too narrow"].format(end=job.wish.sleeve_end), bold=True)
    yield Paragraph(
        WORDS["sheets anew"].format(
            length=tell.chosen(cut.length_m),
            cloth_width=tell.chosen(cut.cloth_width_m),
            body_width=tell.chosen(cut.body_width_m),
            sleeve_drop=tell.chosen(cut.sleeve_drop_m),
        )
    )


def in_hand_blocks(sheet: SheetJob) -> Iterator[Block]:
    job = sheet.job
    if not job.lay.in_hand_m:
        return
    best = best_purchase(sheet.measures, sheet.order, job.lay.in_hand_m, job.money, job.units)
    yield Heading(WORDS["in hand"])
    row = _fit_row(sheet.tell.chosen(best.order.cut.length_m), best, sheet)
    used = " + ".join(bought_told(length_m, sheet.tell) for length_m in job.lay.in_hand_m)
    yield Rows(head=HAND_HEAD, rows=((row[0], used, *row[2:4]),), shares=_HAND_SHARES)


_HAND_SHARES = (0.2, 0.2, 0.33, 0.27)


def checks_blocks(sheet: SheetJob) -> Iterator[Block]:
    yield Heading(WORDS["checks"])
    yield Rows(
        head=CHECKS_HEAD,
        rows=tuple(
            (one.name, str(one.state), one.numbers, one.told_remedy) for one in sheet.checks
        ),
        shares=(0.18, 0.11, 0.42, 0.29),
    )


def doubts_told(sheet: SheetJob, *, by_key: bool = False) -> tuple[str, ...]:
    """A sentence for each check that does not pass: what has to be known before cutting.

    ``by_key`` names numbers as the job file does, for whoever is editing it.
    """
    return tuple(
        # a wrap too thick for a sleeve is turned through its hem, as the steps say
        WORDS["doubt tight" if one.name == NAMES["turning"] else f"doubt {one.state}"].format(
            name=one.name,
            state=one.state,
            numbers=one.numbers[:1].upper() + one.numbers[1:],
            remedy=one.remedy if by_key else one.told_remedy,
        )
        for one in sheet.checks
        if one.state is not State.PASS
    )

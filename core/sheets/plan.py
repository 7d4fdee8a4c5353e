# SPDX-License-Identifier: GPL-3.0-or-later
"""The cutting plan: the cloth on the table, step by step, with all that is to be bought."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..buying import (
    FlatFit,
    Purchase,
    lengths_compared,
    purchase_for,
    wished_past_wrist_m,
)
from ..cautions import cautions
from ..checks import checks
from ..cloth import Cloth
from ..cut_line import build_cut_line, finished_cut
from ..job import Job
from ..landing import sleeve_end_words
from ..lay import Bolt, Lay, Layer, Nap, Offcut, lay_orders
from ..making import Making, making
from ..money import cost
from ..nap import NapDown
from ..pattern import build_pattern
from ..tape import CHILD_HEIGHT_M, Measures, complete
from ..telling import Telling
from .flow import Block, Heading, Items, Paragraph, Picture, Rows, Step
from .making_pictures import Garment
from .making_words import LONG_PILE_M, PLAN, WORDS

__all__ = ["SheetJob", "cutting_plan", "sheet_job", "step"]

SQUARE_STEP_M = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetJob:
    """A job with all that its sheets are drawn from."""

    job: Job
    measures: Measures
    lay: Lay
    tell: Telling
    garment: Garment

    @property
    def longest_pile(self) -> Cloth:
        """The cloth whose pile decides how both are handled."""
        return max(
            (self.job.outer_cloth, self.job.lining_cloth), key=lambda cloth: cloth.pile_height_m
        )

    @property
    def sewn(self) -> Making:
        """What both cloths together mean at the sewing table."""
        return making(self.job.cut, self.job.outer_cloth, self.job.lining_cloth)

    @property
    def handling(self) -> Mapping[str, str]:
        """Needle, stitch and how to hold the pile, in words."""
        sewing = self.sewn.sewing
        stitch, pins = (
            " to ".join(self.tell.small(value_m) for value_m in pair)
            for pair in (sewing.stitch_m, sewing.pins_m)
        )
        return {
            "needle": sewing.needle,
            "stitch": f"{sewing.stitch}, {stitch} long, with a walking foot",
            "holding": f"pins or clips every {pins}",
        }

    @property
    def long_pile(self) -> bool:
        return self.longest_pile.pile_height_m >= LONG_PILE_M


def sheet_job(job: Job, *, text_mm: float = 3.0) -> SheetJob:
    """Lay a job and make ready to draw it.

    Raises
    ------
    InputError
        The cloth is too narrow, or an allowance does not suit the cut.
    """
    tell = Telling(job.units)
    line = build_cut_line(build_pattern(job.cut), job.allowances)
    measures, _ = complete(job.tape)
    return SheetJob(
        job=job,
        measures=measures,
        lay=lay_orders([job.order], job.units),
        tell=tell,
        garment=Garment(job.cut, job.allowances, line, tell, text_mm=text_mm),
    )


def step(
    words: Mapping[str, tuple[str, ...]],
    name: str,
    number: int,
    values: Mapping[str, str],
    picture: Picture | None = None,
) -> Step:
    """One step of a list of steps, its values filled in."""
    title, *lines = words[name]
    return Step(
        number=number,
        title=title,
        lines=tuple(line.format_map(values) for line in lines),
        picture=picture,
    )


def cutting_plan(sheet: SheetJob, heading: str) -> list[Block]:
    """The whole plan."""
    return [
        Heading(f"{WORDS['cutting plan']}: {heading}", 1),
        *_head(sheet),
        *_table(sheet),
        Heading(WORDS["steps"]),
        *_steps(sheet),
        *_offcuts(sheet),
        *_shopping(sheet),
        *_wish(sheet),
        *_lengths(sheet),
        *_checks(sheet),
        Heading(WORDS["cautions"]),
        Items(cautions(sheet.measures.value("height") < CHILD_HEIGHT_M)),
    ]


def allowances_told(sheet: SheetJob) -> dict[str, str]:
    """Each edge's allowance in words."""
    return {
        edge: sheet.tell.chosen(getattr(sheet.job.allowances, f"{edge}_m"))
        for edge in ("underarm", "hem", "sleeve_end", "front", "neck")
    }


def _head(sheet: SheetJob) -> Iterator[Block]:
    job, tell = sheet.job, sheet.tell
    sewn = finished_cut(job.cut, job.allowances)
    units = "inches" if job.units == "in" else "centimetres"
    yield Paragraph(WORDS["for"].format(wrap=job.name, units=units))
    yield Paragraph(WORDS["lines"].format_map(allowances_told(sheet)))
    yield Paragraph(
        WORDS["finished"].format(
            length=tell.chosen(sewn.length_m),
            width=tell.chosen(sewn.cloth_width_m),
            gap=tell.chosen(2 * job.allowances.front_m),
        )
    )
    plies = WORDS["plies long" if sheet.long_pile else "plies short"]
    yield Paragraph(WORDS["plies"].format(plies=plies), bold=True)


def _table(sheet: SheetJob) -> Iterator[Block]:
    tell = sheet.tell
    yield Heading(WORDS["lay"])
    for bolt in sheet.lay.bolts:
        yield Paragraph(
            f"{bolt.cloth.name} for {bolt.layers}: buy {bought_told(bolt.bought_m, tell)}; "
            f"{tell.quantity('share', bolt.waste)} of it is in no piece."
        )
        yield sheet.garment.bolt(bolt)
    pieces = [
        (
            piece.name,
            tell.chosen(piece.box.width_m),
            tell.chosen(piece.box.length_m),
            tell.chosen(piece.box.y_m),
            tell.chosen(piece.box.x_m),
            f"corner {piece.corner} of {piece.corner_of.layer}" if piece.corner_of else "",
        )
        for bolt in sheet.lay.bolts
        for piece in bolt.placed
    ]
    yield Rows(
        head=("piece", "wide", "long", "begins at", "from the edge", "cut from"),
        rows=tuple(pieces),
        shares=(0.26, 0.14, 0.14, 0.14, 0.14, 0.18),
    )


def bought_told(length_m: float, tell: Telling) -> str:
    """A bought length as a shop measures it: metres, or yards and eighths."""
    if tell.units == "cm":
        return f"{length_m:.1f} m"
    eighths = round(length_m / 0.1143)
    whole, rest = divmod(eighths, 8)
    fraction = {0: "", 2: "1/4", 4: "1/2", 6: "3/4"}.get(rest, f"{rest}/8")
    return " ".join(part for part in (str(whole) if whole else "", fraction, "yd") if part)


def _steps(sheet: SheetJob) -> Iterator[Block]:
    cut, tell, garment = sheet.job.cut, sheet.tell, sheet.garment
    shrinks = sheet.job.lay.wash_first
    wash = (
        "Wash the cloth cold and tumble it low, as the wrap will be washed; do not press pile."
        if shrinks
        else "The cloth is cut unwashed: it will shrink afterwards."
    )
    values = {
        "wash": wash,
        "nap": str(cut.nap),
        "lying": (
            "All pieces are laid with the arrow the same way."
            if sheet.job.lay.nap is Nap.ONE_WAY
            else "Extra pieces may point either way."
        ),
        "towards": "at you" if cut.nap is NapDown.IN_FRONT else "away from you",
        "cuts": _cuts(sheet.lay, tell),
        "half": tell.chosen(cut.length_m / 2),
        "centre": tell.chosen(cut.cloth_width_m / 2),
        "drop": tell.chosen(garment.drop_m),
        "sleeve": tell.chosen(garment.wrist_m - garment.side_m),
        "begin_fold": tell.chosen(garment.drop_m + garment.radius_m),
        "begin_side": tell.chosen(garment.wrist_m - garment.side_m - garment.radius_m),
        "radius": tell.chosen(garment.radius_m),
        "front_length": tell.chosen(garment.mark.front.length_m),
        "notch": tell.small(0.005),
        "count": "one ply, four corners on each layer"
        if sheet.long_pile
        else "both plies at once, on both sides",
    }
    pictures = {
        "middle": garment.flat_layer(),
        "fold": garment.folded_rectangle(),
        "corners": garment.marked(),
        "neck": garment.neck_marked(),
    }
    names = ["prepare", "apart", "middle", "fold", "corners", "cut corners", "neck", "front"]
    if sheet.long_pile:
        names[3] = "fold long"
    for number, name in enumerate([*names, "notches"], start=1):
        yield step(PLAN, name, number, values, pictures.get(name))


def _cuts(lay: Lay, tell: Telling) -> str:
    """Where the cloth is cut across."""
    told = []
    for bolt in lay.bolts:
        ends = sorted({piece.box.top_m for piece in bolt.whole if isinstance(piece.source, Layer)})
        places = ", then ".join(tell.chosen(end) for end in ends)
        told.append(f"{bolt.cloth.name} for {bolt.layers} at {places} from the square end")
    return "; ".join(told)


def _offcuts(sheet: SheetJob) -> Iterator[Block]:
    tell = sheet.tell
    rows = []
    for bolt in sheet.lay.bolts:
        for offcut in bolt.offcuts:
            rows.append(
                (
                    f"{offcut.count} x {offcut.name}",
                    f"{tell.chosen(offcut.width_m)} by {tell.chosen(offcut.length_m)}"
                    + (
                        f", one corner round ({tell.chosen(offcut.rounding_m)})"
                        if offcut.rounding_m
                        else ""
                    ),
                    _uses(offcut, tell),
                )
            )
    yield Heading(WORDS["left"])
    yield Rows(
        head=("piece", "size, across by along", "each holds"),
        rows=tuple(rows),
        shares=(0.28, 0.36, 0.36),
    )


POCKET_M = (0.18, 0.20)
"""A patch pocket for a hand, with its allowances."""


def _uses(offcut: Offcut, tell: Telling) -> str:
    """What could be cut out of one of them."""
    told = []
    pockets, square_m = offcut.holds(*POCKET_M), offcut.largest_square_m(SQUARE_STEP_M)
    if pockets:
        told.append(
            f"{pockets} patch pocket{'s' if pockets > 1 else ''} "
            f"{tell.chosen(POCKET_M[0])} by {tell.chosen(POCKET_M[1])}"
        )
    if square_m > 0:
        told.append(f"a square of {tell.chosen(square_m)}")
    return ", or ".join(told) or "test pieces"


def _shopping(sheet: SheetJob) -> Iterator[Block]:
    tell, job = sheet.tell, sheet.job
    yield Heading(WORDS["shopping"])
    items = [
        WORDS["shopping cloth"].format(
            bought=bought_told(bolt.bought_m, tell),
            cloth=bolt.cloth.name,
            layers=bolt.layers,
            width=tell.chosen(_width_to_buy_m(bolt)),
            exact=tell.chosen(bolt.exact_m),
        )
        for bolt in sheet.lay.bolts
    ]
    items += [WORDS["shopping thread"]]
    items += [
        WORDS[f"shopping {name}"].format_map(sheet.handling)
        for name in ("needles", "holding", "marking")
    ]
    yield Items(tuple(items), boxes=True)
    bill = cost(sheet.lay, job.money)
    yield Heading(WORDS["cost"])
    rows = [
        (line.name, WORDS["unpriced"] if line.amount is None else job.money.told(line.amount))
        for line in bill.lines
    ]
    rows.append(("total", job.money.told(bill.total)))
    if bill.garments > 1:
        rows.append((f"each of {bill.garments}", job.money.told(bill.each)))
    yield Rows(head=("what", "amount"), rows=tuple(rows), shares=(0.7, 0.3))
    if not bill.complete:
        yield Paragraph(WORDS["incomplete"])


def _width_to_buy_m(bolt: Bolt) -> float:
    """Least usable width in the shop that still holds the pieces after the wash."""
    widest_m = max(piece.box.right_m for piece in bolt.whole)
    return widest_m * bolt.cloth.bolt_width_m / bolt.usable_width_m


def _fit_row(words: str, purchase: Purchase, sheet: SheetJob) -> tuple[str, ...]:
    fit, tell = purchase.fit, sheet.tell
    return (
        words,
        " + ".join(bought_told(bolt.bought_m, tell) for bolt in purchase.lay.bolts),
        f"{fit.hem.words(tell.length)} ({tell.length(fit.hem.height_m)} high)",
        _sleeve(fit, tell),
        sheet.job.money.told(purchase.cost.total) if purchase.cost.complete else "-",
    )


def _sleeve(fit: FlatFit, tell: Telling) -> str:
    return sleeve_end_words(fit.past_wrist_m, fit.hand_m, tell.length)


SHORT_M = 0.01
"""Sleeves shorter than wished by less than this are as wished."""
_FIT_HEAD = ("length of each layer", "to buy", "hem, centre back", "sleeve ends", "cost")
_FIT_SHARES = (0.18, 0.17, 0.3, 0.22, 0.13)


def _lengths(sheet: SheetJob) -> Iterator[Block]:
    job = sheet.job
    rows = [
        _fit_row(words, purchase, sheet)
        for words, purchase in lengths_compared(sheet.measures, job.order, job.money, job.units)
    ]
    yield Heading(WORDS["lengths"])
    yield Rows(head=_FIT_HEAD, rows=tuple(rows), shares=_FIT_SHARES)


def _wish(sheet: SheetJob) -> Iterator[Block]:
    job, tell = sheet.job, sheet.tell
    if job.wish is None:
        return
    full, less = purchase_for(sheet.measures, job.order, job.wish, job.money, job.units)
    yield Heading(WORDS["wish"])
    rows = [_fit_row(tell.chosen(full.order.cut.length_m), full, sheet)]
    if less is not None:
        rows.append(_fit_row(tell.chosen(less.order.cut.length_m), less, sheet))
    yield Rows(head=_FIT_HEAD, rows=tuple(rows), shares=_FIT_SHARES)
    cut = full.order.cut
    wished_m = wished_past_wrist_m(sheet.measures, job.wish)
    if wished_m is not None and full.fit.past_wrist_m < wished_m - SHORT_M:
        yield Paragraph(WORDS["too narrow"].format(end=job.wish.sleeve_end), bold=True)
    yield Paragraph(
        f"In the job file: length {tell.chosen(cut.length_m)}, cloth_width "
        f"{tell.chosen(cut.cloth_width_m)}, body_width {tell.chosen(cut.body_width_m)}, sleeve_drop "
        f"{tell.chosen(cut.sleeve_drop_m)}. The second row is one step less of cloth."
    )


def _checks(sheet: SheetJob) -> Iterator[Block]:
    job = sheet.job
    found = checks(
        sheet.measures, job.cut, job.allowances, job.outer_cloth, job.lining_cloth, sheet.tell
    )
    yield Heading(WORDS["checks"])
    yield Rows(
        head=("check", "result", "numbers", "what would mend it"),
        rows=tuple((one.name, str(one.state), one.numbers, one.told_remedy) for one in found),
        shares=(0.18, 0.11, 0.42, 0.29),
    )

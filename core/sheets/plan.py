# SPDX-License-Identifier: GPL-3.0-or-later
"""The cutting plan: the cloth on the table, step by step, with all that is to be bought."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from ..cut_line import finished_cut
from ..lay import Bolt, Grid, Kind, Lay, Offcut
from ..lay.packing import Box
from ..telling import Telling
from ..units import UnitSystem
from .flow import Block, Heading, Items, Paragraph, Rows
from .lay_picture import bolt_picture
from .legend import legend
from .making_words import OFFCUTS_HEAD, PIECES_HEAD, WORDS
from .plan_steps import allowances_told, batch_steps, plan_steps, sheet_cautions
from .purchase import (
    bought_told,
    checks_blocks,
    doubts_told,
    in_hand_blocks,
    lengths_blocks,
    shopping_blocks,
    wish_blocks,
)
from .sheet_job import SheetJob

__all__ = ["batch_plan", "cutting_plan"]


def cutting_plan(sheet: SheetJob, heading: str, *, batch: str = "") -> list[Block]:
    """The whole plan; of a wrap of a ``batch`` without what is told of the cloth that all share."""
    begins: list[Block] = [
        Heading(f"{WORDS['cutting plan']}: {heading}", 1),
        *(Paragraph(words, bold=True) for words in doubts_told(sheet)),
        *_head(sheet),
        *checks_blocks(sheet),
        # before the work, where they never stand alone on a last page
        Heading(WORDS["cautions"]),
        Items(sheet_cautions(sheet)),
    ]
    if batch:
        return [
            *begins,
            Paragraph(WORDS["batch has"].format(batch=batch), bold=True),
            Heading(WORDS["steps"]),
            *plan_steps(sheet, in_batch=True),
        ]
    return [
        *begins,
        *shopping_blocks(sheet),
        *wish_blocks(sheet),
        *in_hand_blocks(sheet),
        *lengths_blocks(sheet),
        *_table(sheet),
        Heading(WORDS["steps"]),
        *plan_steps(sheet),
        *_offcuts(sheet),
    ]


def batch_plan(wraps: Mapping[str, SheetJob], lay: Lay, heading: str) -> list[Block]:
    """Several wraps (by their names) laid together: the cloth, how it is cut apart, what to buy."""
    sheet = replace(next(iter(wraps.values())), lay=lay)
    cautions = dict.fromkeys(one for wrap in wraps.values() for one in sheet_cautions(wrap))
    return [
        Heading(f"{WORDS['together']}: {heading}", 1),
        Paragraph(WORDS["batch for"].format(wraps=", ".join(wraps))),
        Heading(WORDS["cautions"]),
        Items(tuple(cautions)),
        *shopping_blocks(sheet, tuple(wraps.values())),
        *_table(sheet),
        Heading(WORDS["steps"]),
        *batch_steps(sheet, seamed=any(wrap.job.cut.seamed for wrap in wraps.values())),
        *_offcuts(sheet),
    ]


def _head(sheet: SheetJob) -> Iterator[Block]:
    job, tell = sheet.job, sheet.tell
    sewn = finished_cut(job.cut, job.allowances)
    units = WORDS[f"units {job.units}"]
    yield Paragraph(WORDS["for"].format(wrap=job.name, units=units))
    yield Paragraph(WORDS["lines"].format_map(allowances_told(sheet)))
    yield legend(sheet.garment)
    fronts = WORDS[f"fronts {job.cut.front}"].format(
        gap=tell.chosen(2 * job.allowances.front_m), overlap=tell.chosen(job.cut.front_overlap_m)
    )
    cuffs = WORDS["cuffs turned"].format(cuff=tell.chosen(job.cut.cuff_depth_m))
    yield Paragraph(
        WORDS["finished"].format(
            length=tell.chosen(sewn.length_m),
            width=tell.chosen(2 * sewn.wrist_m),
            fronts=fronts + (cuffs if job.cut.cuff_depth_m else ""),
        )
    )
    folded = "plies seamed" if job.cut.seamed else "plies short"
    plies = WORDS["plies long" if sheet.long_pile else folded]
    yield Paragraph(WORDS["plies"].format(plies=plies), bold=True)


def _table(sheet: SheetJob) -> Iterator[Block]:
    tell = sheet.tell
    yield Heading(WORDS["lay"])
    draw, number = sheet.garment, 1
    pieces: list[tuple[str, ...]] = []
    for bolt in sheet.lay.bolts:
        yield Paragraph(
            WORDS["bolt"].format(
                cloth=bolt.cloth.name,
                layers=bolt.layers,
                bought=bought_told(bolt.bought_m, tell),
                waste=tell.quantity("share", bolt.waste),
            )
        )
        yield bolt_picture(bolt, number, draw.cut.nap, tell, draw.wide_mm, draw.text_mm)
        pieces += _piece_rows(bolt, number, tell)
        number += len(bolt.placed)
    if any(row[-1] for row in pieces):
        shares: tuple[float, ...] = (0.26, 0.14, 0.14, 0.14, 0.14, 0.18)
    else:  # no piece lies in a corner that is cut away
        shares = (0.44, 0.14, 0.14, 0.14, 0.14)
    yield Rows(
        head=PIECES_HEAD[: len(shares)],
        rows=tuple(row[: len(shares)] for row in pieces),
        shares=shares,
    )
    if len(shares) == len(PIECES_HEAD):
        yield Paragraph(WORDS["in corners"])


def _piece_rows(bolt: Bolt, first: int, tell: Telling) -> Iterator[tuple[str, ...]]:
    """Each piece of a bolt by its number in the picture: sizes, place, what it is cut from.

    A piece from a corner is placed on its layer, which is cut apart before. Starts are rounded down,
    as the lay keeps room for.
    """
    down = Grid.of(tell.units).down
    boxes = {id(piece.source): piece.box for piece in bolt.placed}
    numbers = {id(piece.source): n for n, piece in enumerate(bolt.placed, first)}
    for number, piece in enumerate(bolt.placed, first):
        box, layer = piece.box, boxes.get(id(piece.corner_of))
        along_m, across_m = (box.y_m, box.x_m) if layer is None else _inside(box, layer)
        yield (
            WORDS["numbered"].format(number=number, name=piece.name),
            *(tell.chosen(one_m) for one_m in (box.width_m, box.length_m)),
            *(tell.chosen(down(one_m)) for one_m in (along_m, across_m)),
            WORDS["corner of"].format(number=numbers[id(piece.corner_of)])
            if piece.corner_of
            else "",
        )


def _inside(box: Box, layer: Box) -> tuple[float, float]:
    """A box's place along and across the cloth, from its layer's left end and lower edge, metres."""
    return box.y_m - layer.y_m, box.x_m - layer.x_m


def _offcuts(sheet: SheetJob) -> Iterator[Block]:
    tell, pocket_m = sheet.tell, _pocket_m(sheet)
    rows = []
    for bolt in sheet.lay.bolts:
        for offcut in sorted(bolt.offcuts, key=lambda one: -one.width_m * one.length_m):
            rows.append(
                (
                    WORDS["cloth for"].format(cloth=bolt.cloth.name, layers=bolt.layers),
                    WORDS["count of"].format(count=offcut.count, name=offcut.name),
                    WORDS["size"].format(
                        width=tell.chosen(offcut.width_m), length=tell.chosen(offcut.length_m)
                    )
                    + (
                        WORDS["one round"].format(radius=tell.chosen(offcut.rounding_m))
                        if offcut.rounding_m
                        else ""
                    )
                    + _cut_out_of(offcut),
                    _uses(offcut, pocket_m, tell),
                )
            )
    yield Heading(WORDS["left"])
    yield Rows(
        head=OFFCUTS_HEAD,
        rows=tuple(rows),
        shares=(0.2, 0.22, 0.29, 0.29),
    )


def _cut_out_of(offcut: Offcut) -> str:
    """How many small pieces came out of each."""
    count = len(offcut.taken)
    if not count:
        return ""
    return WORDS["cut out of it" if count > 1 else "one cut out of it"].format(count=count)


POCKET_M: Mapping[UnitSystem, tuple[float, float]] = {"cm": (0.18, 0.20), "in": (0.1778, 0.2032)}
"""A patch pocket for a hand, with its allowances, where the wrap has none."""
SQUARE_STEP_M: Mapping[UnitSystem, float] = {"cm": 0.01, "in": 0.0127}
"""Sizes in which squares are told."""


def _pocket_m(sheet: SheetJob) -> tuple[float, float]:
    """The size of a pocket: the wrap's own, if it has one."""
    own = (extra.size_m for extra in sheet.extras if extra.kind is Kind.POCKET)
    return next(own, POCKET_M[sheet.tell.units])


def _uses(offcut: Offcut, pocket_m: tuple[float, float], tell: Telling) -> str:
    """What could be cut out of one of them."""
    told = []
    pockets, square_m = offcut.holds(*pocket_m), offcut.largest_square_m(SQUARE_STEP_M[tell.units])
    if pockets:
        told.append(
            WORDS["pockets"].format(
                count=pockets, width=tell.chosen(pocket_m[0]), length=tell.chosen(pocket_m[1])
            )
        )
    if square_m > 0:
        told.append(WORDS["square"].format(side=tell.chosen(square_m)))
    return WORDS["or"].join(told) or WORDS["test pieces"]

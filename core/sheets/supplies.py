# SPDX-License-Identifier: GPL-3.0-or-later
"""What the steps of a cutting plan and a sewing order use, step by step: for the shopping list."""

import math
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from ..pattern import Front
from .fastening import fastening
from .making_words import SUPPLIES, TOOLS, WORDS
from .plan_steps import plan_names
from .sewing import sewing_names
from .sheet_job import SheetJob

__all__ = ["USED", "supplies", "tools"]

_MARKED = ("chalk", "ruler")
_MARKED_BY_TEMPLATE = (*_MARKED, "paper")
_SEWN = ("thread", "needle", "holding")
_BASTED = (*_SEWN, "hand needle", "basting thread")
_BY_HAND = ("thread", "hand needle")

USED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "prepare": (*_MARKED, "scissors"),
        "apart": (*_MARKED, "scissors"),
        "sort": ("chalk",),
        "corner pieces": _MARKED_BY_TEMPLATE,
        "middle": _MARKED,
        "middle longer": _MARKED,
        "fold": ("weights",),
        "fold longer": ("weights",),
        "fold long": _MARKED,
        "turned": (),
        "rectangles": _MARKED,
        "slope": _MARKED,
        "corners": _MARKED_BY_TEMPLATE,
        "corners slanted": _MARKED_BY_TEMPLATE,
        "cuff": (*_MARKED, "hand needle", "basting thread"),
        "cut corners": ("scissors", "weights"),
        "cut parts": ("scissors", "weights"),
        "hem": ("chalk", "paper", "scissors"),
        "neck": ("chalk", "paper", "scissors"),
        "necks": ("chalk", "paper", "scissors"),
        "front": ("scissors", "ruler"),
        "pieces": (*_MARKED_BY_TEMPLATE, "scissors"),
        "notches": ("scissors",),
        "try": _SEWN,
        "clear": ("comb",),
        "outer sides": _SEWN,
        "outer sides split": _SEWN,
        "lining sides": (*_SEWN, "scissors"),
        "clip": ("scissors",),
        "clip square": ("thread", "needle", "scissors"),
        "clip diagonal": ("scissors",),
        "shoulders": (*_SEWN, "shoulder tape"),
        "patch pocket": (*_BASTED, "ruler"),
        "hood": (*_BASTED, "scissors"),
        "collar band": _BASTED,
        "cuff band": _BASTED,
        "tie belt": (*_SEWN, "hand needle", "blunt"),
        "plain": (),
        "square": (),
        "together": ("holding",),
        "together closed": ("holding",),
        "gap": ("holding", "chalk", "ruler"),
        "rim": _SEWN,
        "rim gap": _SEWN,
        "split": ("scissors",),
        "neck ring": _SEWN,
        "trim": ("scissors",),
        "trim neck": ("scissors",),
        "turn": ("blunt",),
        "turn gap": ("blunt",),
        "turn closed": ("blunt",),
        "hem ring": (*_SEWN, "hand needle"),
        "close gap": _BY_HAND,
        "ends": (*_SEWN, "hand needle"),
        "topstitch": _SEWN,
        "cuffs": _BY_HAND,
        "overlap": ("fastening", "thread", "hand needle"),
        "last": ("labels", "thread", "hand needle"),
    }
)
"""Each step with what it uses, by the names in `SUPPLIES` and `TOOLS`."""


def supplies(sheets: Iterable[SheetJob]) -> tuple[str, ...]:
    """What is to be bought besides cloth for these garments."""
    return _told(sheets, SUPPLIES)


def tools(sheets: Iterable[SheetJob]) -> tuple[str, ...]:
    """What is to be at hand for these garments."""
    return _told(sheets, TOOLS)


def _told(sheets: Iterable[SheetJob], words: Mapping[str, str]) -> tuple[str, ...]:
    """What the steps use of these, in the words' order, each once."""
    found: dict[str, dict[str, None]] = {name: {} for name in words}
    for sheet in sheets:
        overlaps = sheet.job.cut.front is Front.OVERLAPPING
        hooks = sheet.job.lay.garments * fastening(sheet).count if overlaps else 0
        values = {**sheet.handling, "tape": _tape_told(sheet), "hooks": str(hooks)}
        used = {one for name in (*plan_names(sheet), *sewing_names(sheet)) for one in USED[name]}
        for name in used & set(words):
            found[name][words[name].format_map(values)] = None
    return tuple(one for told in found.values() for one in told)


def _tape_told(sheet: SheetJob) -> str:
    """Tape for the shoulder seams of both layers, a hand's breadth over."""
    stitch = sheet.garment.mark.stitch
    seams_m = math.fsum(
        piece.length_m
        for name in ("shoulder_front_left", "shoulder_front_right")
        for piece in stitch.get(name, ())
    )
    garments = sheet.job.lay.garments
    length_m = sheet.tell.halvable_m(garments * 2 * seams_m + 0.10)
    return WORDS["in all"].format(length=sheet.tell.chosen(length_m))

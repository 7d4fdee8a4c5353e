# SPDX-License-Identifier: GPL-3.0-or-later
"""The sewing order: numbered steps, each with a picture of this job's pattern."""

import math
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from ..check_words import NAMES
from ..checks import State
from ..cut_line import NECK_FOLD, finished_cut
from ..lay import Kind
from ..lay.pieces import HOOD_FACE_M, POCKET_HEM_M
from ..pattern import Corner, Front, Neck
from .corner_pictures import corner_clipped
from .fastening import fastening
from .flow import Block, Heading, Items, Paragraph, Picture
from .legend import legend
from .making_words import WORDS
from .mark_pictures import hem_gap, split_sewn
from .neck_pictures import neck_clipped
from .picture_words import PICTURE
from .piece_pictures import band_folded, hood_sewn, piece_kept, pockets_placed
from .plan_steps import allowances_told, counted, sheet_cautions, step
from .seam_picture import seam_section
from .sewing_words import SEWING
from .sheet_job import SheetJob
from .worn_pictures import fronts_fastened, worn

__all__ = ["sewing_names", "sewing_order"]

FITS_M, ALIKE_M, BAR_M = 0.001, 0.0005, 0.010
UNDERARMS = ("underarm_front_left", "underarm_front_right")
SHOULDERS = ("shoulder_front_left", "shoulder_front_right")


def sewing_order(sheet: SheetJob, heading: str) -> list[Block]:
    """The whole order."""
    handling = sheet.handling
    return [
        Heading(f"{WORDS['sewing order']}: {heading}", 1),
        Paragraph(WORDS["lines"].format_map(allowances_told(sheet))),
        legend(sheet.garment),
        Heading(WORDS["tools"]),
        Items((WORDS["thread"], *(f"{name}: {words}" for name, words in handling.items()))),
        Heading(WORDS["cautions"]),
        Items(sheet_cautions(sheet)),
        Heading(WORDS["steps"]),
        *_steps(sheet),
    ]


def _steps(sheet: SheetJob) -> Iterator[Block]:
    tell, stitch, cut = sheet.tell, sheet.garment.mark.stitch, sheet.job.cut
    crossing = sheet.sewn.bulk["crossing"]

    def sewn_m(*kinds: str) -> float:
        """Length of all stitch lines of these kinds."""
        return math.fsum(
            piece.length_m
            for name, pieces in stitch.items()
            if name.startswith(kinds)
            for piece in pieces
        )

    def told(*kinds: str) -> str:
        return tell.chosen(sewn_m(*kinds))

    front = "closed" if cut.front is Front.CLOSED else "open"
    shoulder = "seam" if cut.seamed else "fold"
    split = WORDS["splits too"] if cut.side_split_m else ""
    # the point of a V is no corner where the front is cut open from there
    cornered = cut.neck is Neck.HIGH_BACK or (cut.neck is Neck.V and cut.front is Front.CLOSED)
    values = {
        **sheet.handling,
        **allowances_told(sheet),
        "bulk": tell.small(crossing.with_pile_m),
        "sheared": tell.small(crossing.shorn_m),
        "seam": told("underarm_front_left"),
        "shoulder_seam": told("shoulder_front_left"),
        "ring": tell.chosen(sewn_m("hem", "front", "neck", "split") - sheet.hem_gap_m),
        "gap": tell.chosen(sheet.hem_gap_m),
        "half_gap": tell.chosen(sheet.hem_gap_m / 2),
        "neck_ring": told("neck"),
        "hem_ring": told("hem"),
        "split": tell.chosen(cut.side_split_m),
        "sewn_split": tell.chosen(finished_cut(cut, sheet.job.allowances).side_split_m),
        "splits_too": split,
        "split_turns": WORDS["split turns"] if cut.side_split_m else "",
        "split_corners": WORDS["split corners"] if cut.side_split_m else "",
        "split_bar": WORDS["split bar"].format(bar=tell.small(BAR_M)) if cut.side_split_m else "",
        "shoulders_uneven": _shoulders_uneven(sheet),
        "into_corner": WORDS["into corner"] if cornered else "",
        "neck_turns": WORDS[f"neck turns {cut.neck}"] if cornered else "",
        "spread_neck": WORDS["spread neck"],
        "corner": WORDS["corner notched" if cut.corner is not Corner.SQUARE else "corner plain"],
        "point": WORDS["at the point"] if cut.corner is Corner.SQUARE else "",
        "cuff": tell.chosen(_sleeve_end_m(sheet)),
        "cuff_depth": tell.chosen(cut.cuff_depth_m),
        "cuffs_slope": _cuffs_slope(sheet),
        "side_allowances": WORDS["part allowances" if cut.side_split_m else "turn allowances"],
        **_overlap_words(sheet),
        **_topstitch_words(sheet, front),
        **_hood_words(sheet, front, sewn_m("neck")),
        **_collar_words(sheet, front, sewn_m("neck")),
        "plain_pieces": counted(
            [one.name for one in sheet.extras if one.kind is Kind.PLAIN for _ in range(one.count)]
        ),
        "belt_joined": WORDS["belt joined"] if _joined(sheet) else "",
        "pocket_line": WORDS["chalked line"] if cut.shoulder_drop_m else "",
        "shoulders": WORDS[f"shoulders {shoulder}"],
        "shoulders_neck": _at_the_neck(sheet, "shoulders neck"),
        "hood_notches": _at_the_neck(sheet, "hood notches"),
        "laid": WORDS[f"laid {shoulder}"],
        "turning": "" if cut.front is Front.CLOSED else _turning_words(sheet),
        "pocket_hem": tell.chosen(POCKET_HEM_M),
        "pocket_down": tell.chosen(_pocket_m(sheet)[0]),
        "pocket_across": tell.chosen(_pocket_m(sheet)[1]),
    }
    pictures = _pictures(sheet)
    for number, name in enumerate(sewing_names(sheet), start=1):
        picture = pictures[name]() if name in pictures else None
        yield step(SEWING, name, number, values, picture)


def _cuffs_slope(sheet: SheetJob) -> str:
    """How far a cuff's seams come to lie below a sloping sleeve's; nothing where the sleeve is level.

    The fold is square to the centre line: what lies a cuff's depth beyond it comes to lie as far before
    it, where the shoulder is higher.
    """
    cut = sheet.job.cut
    fold_m = cut.wrist_m - sheet.job.allowances.sleeve_end_m - cut.cuff_depth_m
    before_m, beyond_m = (cut.shoulder_fall_m(fold_m + sign * cut.cuff_depth_m) for sign in (-1, 1))
    if beyond_m - before_m < ALIKE_M:
        return ""
    return WORDS["cuffs slope"].format(below=sheet.tell.small(beyond_m - before_m))


def _overlap_words(sheet: SheetJob) -> dict[str, str]:
    """Where overlapping fronts meet and are fastened."""
    cut, tell = sheet.job.cut, sheet.tell
    if cut.front is not Front.OVERLAPPING:
        return {}
    found = fastening(sheet)
    return {
        "overlap": tell.chosen(cut.front_overlap_m),
        "overlap_half": tell.chosen(cut.overlap_half_m),
        "hook_places": WORDS["hooks" if found.count > 1 else "hook"].format(
            count=found.count, first=tell.chosen(found.first_m), step=tell.chosen(found.step_m)
        ),
        "hook_in": tell.small(found.in_m),
        "hook_eye": tell.rest(cut.front_overlap_m, found.in_m),
    }


def _at_the_neck(sheet: SheetJob, words: str) -> str:
    """What is matched at the sides of the neck; nothing where the fold does not meet its cut edge."""
    notches = (notch.name for part in sheet.garment.mark.parts for notch in part.notches)
    seamed = sheet.job.cut.seamed
    if not seamed and NECK_FOLD not in notches:
        return ""
    return WORDS[words].format(shoulders=WORDS["shoulders seam" if seamed else "shoulders fold"])


def _topstitch_words(sheet: SheetJob, front: str) -> dict[str, str]:
    """Which edges are topstitched: a neck that something is sewn to is none."""
    sewn_on = next((str(kind) for kind in (Kind.HOOD, Kind.COLLAR) if sheet.has(kind)), "")
    topstitch = sheet.tell.small(0.006)
    edges = [WORDS[f"topstitched {front}"]]
    if sheet.job.cut.side_split_m:
        edges.append(WORDS["topstitched splits"])
    if not sewn_on:
        edges.append(WORDS["topstitched neck"])
    below = WORDS["topstitched below"].format(piece=sewn_on, topstitch=topstitch)
    return {
        "topstitch": topstitch,
        "topstitched": "".join(edges) + WORDS["topstitched ends"],
        "topstitched_neck": below if sewn_on else "",
    }


def _shoulders_uneven(sheet: SheetJob) -> str:
    """By how much one cut edge of a shoulder reaches beyond the other; nothing where they are alike."""
    found = {
        part.name.partition(" ")[0]: math.fsum(piece.length_m for piece in chain)
        for part in sheet.garment.mark.parts
        for name, chain in part.cut.items()
        if name.startswith("shoulder") and name.endswith("left")
    }
    if not found or abs(found["front"] - found["back"]) < ALIKE_M:
        return ""
    shorter, longer = sorted(found, key=lambda half: found[half])
    more = sheet.tell.small(found[longer] - found[shorter])
    return WORDS["shoulders uneven"].format(longer=longer, shorter=shorter, more=more)


def _hood_words(sheet: SheetJob, front: str, neck_m: float) -> dict[str, str]:
    """How a hood goes on; one whose written width is too small for the neck leaves some of it free."""
    hood = next((one for one in sheet.extras if one.kind is Kind.HOOD), None)
    if hood is None or hood.neck_edge_m is None:
        return {}
    tell, allowances = sheet.tell.chosen, sheet.job.allowances
    edge_m = 2 * (hood.neck_edge_m - HOOD_FACE_M - allowances.underarm_m)
    short = WORDS["hood short"].format(less=tell(neck_m - edge_m))
    return {
        "hood_front": WORDS[f"hood {front}"].format(front=tell(allowances.front_m)),
        "hood_face": tell(HOOD_FACE_M),
        "hood_edge": tell(edge_m),
        "hood_short": short if neck_m - edge_m > FITS_M else "",
    }


def _collar_words(sheet: SheetJob, front: str, neck_m: float) -> dict[str, str]:
    """Where a collar band ends, and how high it stands when it is sewn on."""
    band = next((one for one in sheet.extras if one.kind is Kind.COLLAR), None)
    if band is None:
        return {}
    tell, allowances = sheet.tell.chosen, sheet.job.allowances
    less_m = neck_m - (max(band.size_m) - 2 * allowances.underarm_m)
    ends = WORDS["collar short" if less_m > FITS_M else f"collar {front}"]
    return {
        "collar_ends": ends.format(less=tell(less_m), front=tell(allowances.front_m)),
        "collar_high": tell(min(band.size_m) / 2 - allowances.neck_m),
    }


def _joined(sheet: SheetJob) -> bool:
    """Whether the belt is of more than one strip."""
    return any(one.kind is Kind.BELT and one.count > 1 for one in sheet.extras)


def _sleeve_end_m(sheet: SheetJob) -> float:
    """Round the sewn sleeve end, metres."""
    return math.fsum(piece.length_m for piece in sheet.garment.mark.stitch["sleeve_end_left"])


def sewing_names(sheet: SheetJob) -> Iterator[str]:
    """The names of the steps that this cut and its small pieces need, in their order."""
    cut = sheet.job.cut
    closed = cut.front is Front.CLOSED
    yield from ("try", "clear")
    yield from _pieces(sheet, Kind.POCKET)
    if cut.seamed:
        yield "shoulders"
    yield "outer sides split" if cut.side_split_m else "outer sides"
    yield "clip" if cut.corner is Corner.ROUND else f"clip {cut.corner}"
    yield "lining sides"
    yield from _pieces(sheet, Kind.HOOD, Kind.COLLAR)
    if closed:
        yield from ("together closed", "neck ring", "trim neck", "turn closed", "hem ring")
    else:
        gap = " gap" if sheet.hem_gap_m else ""
        yield "together"
        if gap:
            yield "gap"
        yield f"rim{gap}"
        if cut.side_split_m:
            yield "split"
        yield from ("trim", f"turn{gap}")
        if gap:
            yield "close gap"
    yield from tuple(_pieces(sheet, Kind.CUFF)) or ("ends",)
    yield "topstitch"
    if cut.cuff_depth_m:
        yield "cuffs"
    if cut.front is Front.OVERLAPPING:
        yield "overlap"
    yield from _pieces(sheet, Kind.BELT, Kind.PLAIN, Kind.SQUARE)
    yield "last"


def _pieces(sheet: SheetJob, *kinds: Kind) -> Iterator[str]:
    """The steps of small pieces of these kinds, if there are any."""
    return (str(kind) for kind in kinds if sheet.has(kind))


def _pocket_m(sheet: SheetJob) -> tuple[float, float]:
    """Where a pocket's upper edge and its middle lie: from the shoulder line, from the centre line."""
    cut, measures = sheet.job.cut, sheet.measures
    wanted_m = measures.value("side_neck_point_height") - measures.value("waist_height") + 0.05
    pocket = next((one for one in sheet.extras if one.kind is Kind.POCKET), None)
    length_m = pocket.size_m[1] if pocket is not None else 0.0
    return min(wanted_m, cut.side_end_m - length_m - 0.05), 0.55 * cut.body_width_m / 2


def _turning_words(sheet: SheetJob) -> str:
    """What the check of the turning opening says."""
    one = next(check for check in sheet.checks if check.name == NAMES["turning"])
    words = one.numbers[:1].upper() + one.numbers[1:] + WORDS["estimate"]
    return (
        words
        if one.state is State.PASS or sheet.hem_gap_m
        else WORDS["turning not"].format(words=words, state=one.state, remedy=one.told_remedy)
    )


def _piece_pictures(sheet: SheetJob) -> dict[str, Callable[[], Picture]]:
    """How the step of each small piece is drawn."""
    draw = sheet.garment
    first = {extra.kind: extra for extra in reversed(sheet.extras)}
    found: dict[str, Callable[[], Picture]] = {}
    if pocket := first.get(Kind.POCKET):
        place_m = _pocket_m(sheet)
        found[str(Kind.POCKET)] = lambda: pockets_placed(draw, pocket, place_m)
    if hood := first.get(Kind.HOOD):
        found[str(Kind.HOOD)] = lambda: hood_sewn(draw, hood)
    for kind in (Kind.COLLAR, Kind.BELT, Kind.CUFF):
        if kind in first:
            found[str(kind)] = partial(band_folded, draw, first[kind])
    for kind in (Kind.SQUARE, Kind.PLAIN):
        if kind in first:
            found[str(kind)] = partial(piece_kept, draw, first[kind])
    return found


def _pictures(sheet: SheetJob) -> dict[str, Callable[[], Picture]]:
    """How each step that has a picture is drawn."""
    draw = sheet.garment
    stitch = draw.mark.stitch
    kinds = ("hem_front", "front", "neck", "split_front")
    ring = tuple(name for name in stitch if name.startswith(kinds))
    hems = tuple(name for name in stitch if name.startswith(("hem_front", "split_front")))
    ends = ("sleeve_end_left", "sleeve_end_right")

    def shown(name: str, **how: Any) -> Callable[[], Picture]:
        return lambda: worn(draw, PICTURE[name], **how)

    plies = (PICTURE["outer"], PICTURE["lining"])
    clipped = partial(corner_clipped, draw)
    label = (draw.arm.hem[0] - 0.06, -0.8 * draw.cut.side_end_m, 0.04, 0.06)
    sides = shown("outer sides", sewn=UNDERARMS, words=PICTURE["outer out"])
    together = shown("together", inner=True, words=PICTURE["inside"])
    return _piece_pictures(sheet) | {
        "try": lambda: seam_section(draw, plies, PICTURE["trial"]),
        "clear": lambda: seam_section(draw, plies, PICTURE["shorn"], shorn=True),
        "shoulders": shown("shoulders", sewn=SHOULDERS, words=PICTURE["outer out"]),
        "outer sides": sides,
        "outer sides split": sides,
        "clip": clipped,
        "clip square": clipped,
        "clip diagonal": clipped,
        "lining sides": shown("lining sides", sewn=UNDERARMS, words=PICTURE["lining out"]),
        "together": together,
        "together closed": together,
        "gap": lambda: hem_gap(draw, sheet.hem_gap_m),
        "rim": shown("rim", sewn=ring, open_ends=True, inner=True),
        "rim gap": shown("rim gap", sewn=ring, open_ends=True, inner=True),
        "neck ring": shown("neck ring", sewn=("neck",), open_ends=True, inner=True),
        "trim": partial(neck_clipped, draw),
        "trim neck": partial(neck_clipped, draw),
        "turn": shown("turn", out_of="sleeve", inner=True),
        "turn gap": shown("turn gap", out_of="hem", inner=True),
        "turn closed": shown("turn neck", out_of="neck", inner=True),
        "close gap": lambda: hem_gap(draw, sheet.hem_gap_m, closing=True),
        "split": partial(split_sewn, draw),
        "last": shown(
            "labels", inner=True, right_side=True, boxes=(label,), words=PICTURE["label"]
        ),
        "hem ring": shown(
            "hem ring", sewn=hems, inner=True, right_side=True, words=PICTURE["right out"]
        ),
        "ends": shown("ends", sewn=ends, inner=True, right_side=True, words=PICTURE["right out"]),
        "topstitch": shown("topstitch", sewn=(*ring, *ends), inner=True, right_side=True),
        "cuffs": shown("cuffs", inner=True, right_side=True, cuffs=True),
        "overlap": lambda: fronts_fastened(draw, fastening(sheet)),
    }

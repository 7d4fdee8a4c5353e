# SPDX-License-Identifier: GPL-3.0-or-later
"""The steps of the cutting plan, as this job's cut asks for them."""

from collections.abc import Callable, Iterator, Mapping, Sequence

from ..cautions import cautions
from ..cut_line import EDGES, finished_cut
from ..lay import Bolt, Kind, Lay, Layer, Placed
from ..pattern import Corner, Cut, Front
from ..tape import CHILD_HEIGHT_M
from ..telling import Telling
from .corner_pictures import corners_marked
from .flow import Picture, Step
from .making_words import WORDS
from .mark_pictures import hem_marked, notched, slope_marked
from .neck_pictures import neck_marked
from .neck_words import neck_measures
from .plan_words import FRONT_CENTRE, FRONT_NECKS, NOTCH_PLACES, PLAN
from .print_words import prints_told
from .sheet_job import SheetJob
from .table_pictures import flat_layer, folded_rectangle, rectangles

__all__ = [
    "allowances_told",
    "batch_steps",
    "counted",
    "plan_names",
    "plan_steps",
    "sheet_cautions",
    "step",
]

SLACK_M = 1e-6
AT_A_CUT_M = 0.0035
"""Where a print decides where a layer begins, its end is told in whole steps."""


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
        title=title.format_map(values),
        lines=tuple(told for line in lines if (told := line.format_map(values))),
        picture=picture,
    )


def allowances_told(sheet: SheetJob) -> dict[str, str]:
    """Each edge's allowance in words."""
    told = {edge: sheet.tell.chosen(getattr(sheet.job.allowances, f"{edge}_m")) for edge in EDGES}
    cut = sheet.job.cut
    return told | {
        "fronts": "" if cut.front is Front.CLOSED else WORDS["lines fronts"].format_map(told),
        "seamed": WORDS["lines seamed"].format_map(told) if cut.seamed else "",
    }


def sheet_cautions(sheet: SheetJob) -> tuple[str, ...]:
    """The cautions, those of small pieces included."""
    always = cautions(sheet.measures.value("height") < CHILD_HEIGHT_M)
    return (*always, WORDS["belt caution"]) if sheet.has(Kind.BELT) else always


_ON_THE_BOLT = ("prepare", "apart", "turned", "corner pieces", "pieces")
"""Steps that are done on the whole cloth: once for several wraps on it."""


def batch_steps(sheet: SheetJob, *, seamed: bool) -> Iterator[Step]:
    """The steps on a cloth that several wraps share, some of them with ``seamed`` shoulders."""
    needed = {
        "turned": seamed,
        "corner pieces": bool(_from_corners(sheet.lay)),
        "pieces": bool(_cut_later(sheet.lay)),
    }
    names = [name for name in _ON_THE_BOLT if needed.get(name, True)]
    yield from _steps(sheet, [*names, "sort"])


def plan_steps(sheet: SheetJob, *, in_batch: bool = False) -> Iterator[Step]:
    """All steps, numbered; without those that are done for a whole batch where it is one of it."""
    names = plan_names(sheet)
    yield from _steps(sheet, [name for name in names if not in_batch or name not in _ON_THE_BOLT])


def _steps(sheet: SheetJob, names: Sequence[str]) -> Iterator[Step]:
    garment = sheet.garment
    values = _measures(sheet) | _words(sheet)
    pictures: dict[str, Callable[[], Picture]] = {
        "middle": lambda: flat_layer(garment),
        "middle longer": lambda: flat_layer(garment),
        "rectangles": lambda: rectangles(garment),
        "fold": lambda: folded_rectangle(garment),
        "fold longer": lambda: folded_rectangle(garment),
        "corners": lambda: corners_marked(garment),
        "corners slanted": lambda: corners_marked(garment),
        "slope": lambda: slope_marked(garment),
        "hem": lambda: hem_marked(garment),
        "notches": lambda: notched(garment),
        "neck": lambda: neck_marked(garment),
        "necks": lambda: neck_marked(garment),
    }
    for number, name in enumerate(names, start=1):
        picture = pictures[name]() if name in pictures else None
        yield step(PLAN, name, number, values, picture)


def plan_names(sheet: SheetJob) -> Iterator[str]:
    """The names of the steps that this cut needs, in their order."""
    cut, garment = sheet.job.cut, sheet.garment
    longer = " longer" if cut.back_longer_m else ""
    yield from ("prepare", "apart")
    if cut.seamed:
        yield "turned"
    if _from_corners(sheet.lay):
        yield "corner pieces"
    if cut.seamed:
        yield "rectangles"
        if cut.shoulder_drop_m:
            yield "slope"
    else:
        yield f"middle{longer}"
        yield "fold long" if sheet.long_pile else f"fold{longer}"
    yield "corners slanted" if garment.arm.slanted else "corners"
    yield "cut parts" if cut.seamed else "cut corners"
    if cut.hem_curve_m or cut.back_longer_m:
        yield "hem"
    yield "necks" if cut.seamed else "neck"
    if garment.slit is not None:
        yield "front"
    if _cut_later(sheet.lay):
        yield "pieces"
    if cut.cuff_depth_m:
        yield "cuff"
    yield "notches"


def _measures(sheet: SheetJob) -> dict[str, str]:
    """Lengths to be measured, told."""
    cut, arm, garment = sheet.job.cut, sheet.garment.arm, sheet.garment
    allowances = sheet.job.allowances
    lengths_m = {
        "half": cut.length_m / 2,
        "front_half": cut.front_m,
        "back_half": cut.back_m,
        "longer": cut.back_longer_m,
        "centre": cut.wrist_m,
        "drop": arm.end[1],
        "sleeve": cut.wrist_m - arm.hem[0],
        "begin_fold": arm.side[1],
        "begin_side": cut.wrist_m - arm.under[0],
        "radius": arm.radius_m,
        "knee_depth": arm.knee[1],
        "knee_across": arm.knee[0],
        "hem_across": arm.hem[0],
        "hem_depth": arm.hem[1],
        "straight_end": cut.wrist_m - arm.straight_from[0],
        "cuff_at": cut.cuff_depth_m + allowances.sleeve_end_m,
        "shoulder": allowances.shoulder_m,
        "slope": cut.shoulder_drop_m,
        "neck_point": cut.neck_width_m / 2,
        "beyond": cut.overlap_half_m + allowances.front_m,
        "front_length": garment.slit.length_m if garment.slit is not None else 0.0,
        "split": cut.side_split_m,
        "sewn_split": finished_cut(cut, allowances).side_split_m,
        "half_gap": sheet.hem_gap_m / 2,
        "shoulder_middle": garment.shoulder_notch_m,
    }
    told = {name: sheet.tell.chosen(length_m) for name, length_m in lengths_m.items()}
    return told | {"notch": sheet.tell.small(0.005)}


def _words(sheet: SheetJob) -> dict[str, str]:
    """What is said in one way or another."""
    cut, tell, measures = sheet.job.cut, sheet.tell, _measures(sheet)
    line = WORDS["shoulder line seam" if cut.seamed else "shoulder line fold"]
    corner = Corner.SQUARE if sheet.garment.arm.sharp else cut.corner
    rises = {
        "front": cut.hem_curve_m,
        "back": cut.hem_curve_m + cut.back_longer_m,
    }
    behind = "behind" if not cut.hem_curve_m else "halves"
    hem_words = WORDS[f"hem {behind}" if cut.back_longer_m else "hem alike"]
    folded = not (cut.seamed or sheet.long_pile)
    parallel = WORDS["slope"] if cut.shoulder_drop_m else line
    at_edge = cut.front_m - sheet.garment.arm.hem[1] < SLACK_M
    alike = "on back and front" if cut.front is Front.CLOSED else "on every piece"
    on_pieces = WORDS[alike] if cut.seamed else ""
    notched = [notch.name for part in sheet.garment.mark.parts for notch in part.notches]
    folded_notches = [name for name in notched if folded and name in _ON_BOTH_PLIES]
    slanted = WORDS["square to"].format(shoulder_line=line) if sheet.garment.arm.slanted else ""
    layer = "layer" if not cut.seamed else "closed" if cut.front is Front.CLOSED else "parts"
    return {
        "wash": WORDS["wash"] if sheet.job.lay.wash_first else WORDS["unwashed"],
        "nap": WORDS["nap runs"].format(front=cut.nap.runs("front"), back=cut.nap.runs("back")),
        "pace": WORDS[f"pace {tell.units}"],
        "printed": prints_told(sheet.lay, tell),
        "lying": WORDS[f"laid {sheet.job.lay.nap}"],
        "towards": WORDS[f"arrow {cut.nap}"],
        "nap_front": cut.nap.runs("front"),
        "nap_back": cut.nap.runs("back"),
        "nap_up": next(half for half in ("front", "back") if cut.nap.runs(half) == "up"),
        "pieces_turned": WORDS["pieces turned"] if _from_corners(sheet.lay) else "",
        "cuts": _cuts(sheet.lay, tell),
        "across_first": _across_first(sheet.lay),
        "chalk_beside": _chalk_beside(sheet.lay),
        "left_end": WORDS[f"left end {cut.nap}"],
        "widths": _widths(sheet.lay, tell),
        "lengths": _lengths(sheet.lay, tell),
        "opened": WORDS["opened"] if folded else "",
        "hem_plies": WORDS["hem plies" if cut.hem_curve_m else "hem plies behind"],
        "no_selvedge": "" if sheet.job.lay.selvedge_m else WORDS["no selvedge"],
        "hem_other": WORDS[_hem_other(cut)],
        "hem_overlap": WORDS["hem overlap"] if cut.overlap_half_m and cut.hem_curve_m else "",
        "back_reach": WORDS["back reach"].format_map(measures) if cut.back_longer_m else "",
        "longer_too": WORDS["longer too"] if cut.back_longer_m and folded else "",
        "shoulder_line": line,
        "corner": WORDS[f"corner {corner}"].format_map(
            measures | {"shoulder_line": line, "square_to": slanted}
        ),
        "sleeve_plies": WORDS["sleeve plies"].format(parts=WORDS[f"sleeve plies {layer}"]),
        "each_ply": WORDS["each ply folded" if folded else "each ply"],
        "corner_pieces": counted(_from_corners(sheet.lay)),
        "corner_pieces_out": WORDS["corner pieces out"] if _from_corners(sheet.lay) else "",
        "snipped": WORDS["snip folded"].format(
            notch=measures["notch"], places=_places(folded_notches, measures)
        )
        if folded_notches
        else "",
        "sleeve_line": WORDS["sleeve tapered" if cut.straight_end_m else "sleeve plain"].format_map(
            measures | {"shoulder_line": line, "parallel": parallel}
        ),
        "hem_line": WORDS["hem at edge" if at_edge else "hem above"].format_map(
            measures | {"shoulder_line": line}
        ),
        "on_pieces": on_pieces,
        "shoulders_too": WORDS["shoulders too"] if cut.shoulder_drop_m else "",
        "lining_sides": WORDS["lining mirrored"] if cut.front is Front.OVERLAPPING else "",
        "hem_halves": hem_words.format(
            **{half: tell.chosen(rise_m) for half, rise_m in rises.items()}
        ),
        "front_centre": FRONT_CENTRE[cut.front].format_map(measures),
        "front_necks": FRONT_NECKS[cut.front],
        "neck_measures": neck_measures(sheet.garment, line),
        "places": _places([name for name in notched if name not in folded_notches], measures),
        "count": WORDS["count long" if sheet.long_pile else "count short"],
        "count_parts": WORDS["one ply"],
        "pieces": counted(_cut_later(sheet.lay)),
    }


_ON_BOTH_PLIES = (
    "side, curve begins",
    "underarm, curve begins",
    "side left open from here to the hem",
)
"""Notches that lie on one another while a layer is folded."""


def _places(names: Sequence[str], measures: Mapping[str, str]) -> str:
    """Where notches are snipped, each place once."""
    return "; ".join(dict.fromkeys(NOTCH_PLACES[name].format_map(measures) for name in names))


def _hem_other(cut: Cut) -> str:
    """What a hem template is turned over for."""
    if not cut.seamed or cut.front is Front.CLOSED or not cut.hem_curve_m:
        return "hem other half"
    return "hem both others"


def _cuts(lay: Lay, tell: Telling) -> str:
    """Where the cloth is cut across."""
    told = []
    for bolt in lay.bolts:
        places = WORDS["then"].join(tell.chosen(cut_m) for cut_m in bolt.cuts_m)
        told.append(WORDS["cuts"].format(cloth=bolt.cloth.name, layers=bolt.layers, places=places))
    return "; ".join(told)


def _across_first(lay: Lay) -> str:
    """Small pieces that a cut across the bolt would cut in two: they are cut out before."""
    names = [piece.name for bolt in lay.bolts for piece in bolt.placed if _is_across(piece, bolt)]
    if not names:
        return ""
    return WORDS["across first"].format(pieces=counted(names))


def _chalk_beside(lay: Lay) -> str:
    """Small pieces beside the layers: their places are told on the whole cloth."""
    names = _cut_later(lay)
    return WORDS["chalk beside"].format(pieces=counted(names)) if names else ""


def _is_across(piece: Placed, bolt: Bolt) -> bool:
    """Whether a small piece lies across a line on which the cloth is cut apart."""
    if isinstance(piece.source, Layer) or piece.corner_of is not None:
        return False
    low_m, top_m = piece.box.y_m + SLACK_M, piece.box.top_m - SLACK_M
    return any(low_m < cut_m < top_m for cut_m in bolt.cuts_m)


def _cut_later(lay: Lay) -> list[str]:
    """Names of the small pieces that are cut beside the layers, after them."""
    return [
        piece.name
        for bolt in lay.bolts
        for piece in bolt.placed
        if not isinstance(piece.source, Layer)
        and piece.corner_of is None
        and not _is_across(piece, bolt)
    ]


def _from_corners(lay: Lay) -> list[str]:
    """Names of the small pieces that come out of corners which are cut away."""
    return [
        piece.name for bolt in lay.bolts for piece in bolt.placed if piece.corner_of is not None
    ]


def counted(names: Sequence[str]) -> str:
    """Names that come several times, each once with its count."""
    return ", ".join(
        WORDS["count of"].format(count=names.count(name), name=name)
        for name in dict.fromkeys(names)
    )


def _widths(lay: Lay, tell: Telling) -> str:
    """How wide each layer is cut: once for all, or piece by piece where they differ."""
    found = {
        piece.name: piece.box.width_m
        for bolt in lay.bolts
        for piece in bolt.whole
        if isinstance(piece.source, Layer)
    }
    told = {name: tell.chosen(width_m) for name, width_m in found.items()}
    if len(set(told.values())) == 1:
        return WORDS["width all"].format(width=next(iter(told.values())))
    return ", ".join(
        WORDS["width of"].format(piece=name, width=wide) for name, wide in told.items()
    )


def _lengths(lay: Lay, tell: Telling) -> str:
    """Layers that are shorter than the piece of cloth which the cuts across leave, each with its length."""
    told = [
        WORDS["width of"].format(piece=piece.name, width=tell.chosen(piece.box.length_m))
        for bolt in lay.bolts
        for piece in bolt.whole
        if isinstance(piece.source, Layer) and _is_shorter(piece, bolt)
    ]
    return WORDS["lengths too"].format(lengths=", ".join(told)) if told else ""


def _is_shorter(piece: Placed, bolt: Bolt) -> bool:
    """Whether no cut across goes along both ends of a layer; the cloth's left end is one."""
    cuts_m = (0.0, *bolt.cuts_m)
    ends_m = (piece.box.y_m, piece.box.top_m)
    return not all(any(abs(end_m - cut_m) < AT_A_CUT_M for cut_m in cuts_m) for end_m in ends_m)

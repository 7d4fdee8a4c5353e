# SPDX-License-Identifier: GPL-3.0-or-later
"""The page's part on making: bulk, turning, needle and stitch, warmth."""

from collections.abc import Iterator, Sequence
from html import escape

from .comparison import Outcome
from .layer_lengths import Place
from .making import Bulk, Making, making
from .pattern import Front
from .report_tables import Cell, table
from .telling import Telling

__all__ = ["making_of", "making_told"]

NOTE = (
    "Thicknesses are the cloths', so estimates where these are. Bulk: a finished edge is both "
    "layers and their two allowances, and twice that where it crosses a seam, pressed hard. "
    "Turning: the thickest part to pass is the body, as long as the cloth and two layers thick; "
    "pressed hard and bunched it fills about two thirds (half to four fifths) of a round opening. "
    "Turn of cloth: what lies outside has the longer way, 2 pi times the distance of the layers' middles "
    "for each turn; what the drape shows holds the push of folds and arms besides, so it can be more. Where both layers are cut alike, the inside wrinkles, or the edge rolls to the inside. "
    "For a wrap that is always worn with the same side out, the lining may be cut smaller: by what "
    "was measured to begin with, and at most by what the turn asks for. Of what a girth loses, a flat width or "
    "the depth of a sleeve loses half. Worn with the other side out, a smaller layer would pull, "
    "so a wrap for both sides is cut alike and wrinkles a little inside. "
    "Needle, stitch and pins are habits of home sewing with such cloth: try them on scraps of both "
    "layers. Warmth is told by thickness alone, an estimate: open fronts and wide sleeves let it out."
)
TURNED: tuple[tuple[Place, str], ...] = (
    ("waist", "at the waist"),
    ("hip", "at the hip"),
    ("hem", "near the hem"),
)
STEPS = (
    "Cut single, through the ground only, with the nap marked on the wrong side; weights hold "
    "better than pins while cutting.",
    "Shear the pile out of the allowances before sewing, or comb it inwards and tape it back; then "
    "tease it out of the finished seam.",
    "Hold both ends of a seam first, then its middle: nap makes layers creep. A walking foot helps; "
    "the more slippery layer lies below, on the feed.",
    "Do not iron pile: it melts or flattens. Finger-press, or press the ground from behind with a "
    "cloth between and little heat, after a trial.",
)


def making_of(outcome: Outcome) -> Making:
    """What the two cloths of an outcome mean for sewing it."""
    return making(outcome.cut, outcome.outer_cloth, outcome.lining_cloth)


def making_told(outcomes: Sequence[Outcome], tell: Telling) -> Iterator[str]:
    """Everything about sewing the two layers together."""
    found = [making_of(outcome) for outcome in outcomes]
    rows: list[tuple[str, list[Cell]]] = [
        ("Both layers together", [_layers(one, tell) for one in found]),
        ("Outside off the skin, as it hangs", [_stand_off(one, tell) for one in outcomes]),
        ("Warm, by its thickness", [(one.warmth, "an estimate") for one in found]),
        ("Finished edges", [_bulk(one.bulk["edge"], tell) for one in found]),
        ("Where edges cross seams", [_bulk(one.bulk["crossing"], tell) for one in found]),
        ("Turn of cloth", [_turn(*pair, tell) for pair in zip(outcomes, found, strict=True)]),
        (
            "Turning through a sleeve",
            [_turning(outcome, one, tell) for outcome, one in zip(outcomes, found, strict=True)],
        ),
        ("Needle", [(one.sewing.needle, "polyester thread") for one in found]),
        ("Stitch", [_stitch(one) for one in found]),
        ("Pins or clips every", [(_between(one.sewing.pins_m, tell), "") for one in found]),
    ]
    yield table([outcome.heading for outcome in outcomes], "Two layers at the sewing table", rows)
    yield f'<p class="note">{escape(NOTE)}</p>'
    yield "<ul>" + "".join(f"<li>{escape(step)}</li>" for step in STEPS) + "</ul>"


def _layers(one: Making, tell: Telling) -> Cell:
    return (
        f"{tell.thickness(one.thickness_m)} thick, {tell.thickness(one.pressed_m)} pressed hard",
        tell.quantity("mass per area", one.mass_kg_m2),
    )


def _stand_off(outcome: Outcome, tell: Telling) -> Cell:
    return tell.small(outcome.fit.stand_off.outer_face_m), "shoulders and chest, measured"


def _bulk(bulk: Bulk, tell: Telling) -> Cell:
    return (
        f"{bulk.plies} plies, {tell.thickness(bulk.with_pile_m)}",
        f"{tell.thickness(bulk.shorn_m)} with the pile shorn from the allowances",
    )


def _turn(outcome: Outcome, one: Making, tell: Telling) -> Cell:
    """What geometry asks for, and what the drape shows of it."""
    lines, shown = outcome.fit.layers, []
    for place, words in TURNED:
        if place in lines:
            shown.append(f"{_wrinkled(lines[place].more_m, tell)} {words}")
    sleeves_m = (lines["left sleeve"].more_m + lines["right sleeve"].more_m) / 2
    shown.append(f"{_wrinkled(sleeves_m, tell)} round a sleeve")
    shown.append(f"{_wrinkled(lines['over the shoulder'].more_m, tell)} over the shoulder")
    return (
        f"asks the outer for {tell.length(one.turn_of_cloth.round_m)} more round body and arm, "
        f"{tell.length(one.turn_of_cloth.fold_m)} over the shoulder",
        f"cut alike, the lining is pushed together: measured {', '.join(shown)}",
    )


def _wrinkled(more_m: float, tell: Telling) -> str:
    return tell.small(max(more_m, 0.0))


def _turning(outcome: Outcome, one: Making, tell: Telling) -> Cell:
    if outcome.cut.front is Front.CLOSED:
        return "not needed", "a closed front is turned at the neck, and its hem closed from outside"
    turning = one.turning
    ends = tell.between(turning.least_m, turning.most_m)
    opening = (
        f"its end is {tell.length(turning.opening_m)} round; the wrap needs "
        f"{tell.length(turning.needed_m)} ({ends})"
    )
    match turning.goes:
        case "easily":
            return "goes through easily", opening
        case "with patience":
            return "goes through with patience", opening
        case "not":
            gap = tell.chosen(tell.halvable_m(turning.gap_m))
            return (
                f"does not go through: leave a gap of {gap} in the hem and close it by hand",
                opening,
            )


def _stitch(one: Making) -> Cell:
    return one.sewing.stitch, f"{one.sewing.stitch_length} long"


def _between(ends_m: tuple[float, float], tell: Telling) -> str:
    low, high = (tell.small(end_m) for end_m in ends_m)
    return f"{low} to {high}"

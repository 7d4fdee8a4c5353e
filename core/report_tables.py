# SPDX-License-Identifier: GPL-3.0-or-later
"""The tables of the report: variants compared, the body, the cloths."""

from collections.abc import Iterable, Sequence
from html import escape

from .cloth import FIGURES, Cloth
from .comparison import Outcome, choices, differing, wearer
from .fit_range import Span
from .landing import Landing, sleeve_end_words
from .phrases import phrase
from .roominess import body_class, sleeve_class
from .tape import Measures
from .telling import Telling
from .units import Quantity

__all__ = [
    "RESTS_M",
    "Cell",
    "body_table",
    "cloth_table",
    "comparison_table",
    "landing_cell",
    "measured_rows",
    "sleeve_end",
    "table",
]

# Nearer than this the sleeve touches, as far as the mesh can tell
RESTS_M = 0.002
Cell = tuple[str, str]  # what to read, and a smaller line under it; both plain text


def comparison_table(outcomes: Sequence[Outcome], tell: Telling) -> str:
    """The table for page one: what differs, where it ends, how roomy, how heavy."""
    chosen = [choices(outcome, tell) | wearer(outcome, tell) for outcome in outcomes]
    rows: list[tuple[str, list[Cell]]] = [
        (name.capitalize(), [(one.get(name, "estimated"), "") for one in chosen])
        for name in differing(chosen)
    ]
    measured = [measured_rows(outcome, tell) for outcome in outcomes]
    rows += [(name, [one[name] for one in measured]) for name in measured[0]]
    return table([one.heading for one in outcomes], "Side by side", rows)


def measured_rows(outcome: Outcome, tell: Telling) -> dict[str, Cell]:
    """What page one tells of one variant: where it ends, how roomy, how heavy."""
    fit = outcome.fit
    return {
        "Hem, centre back": _ranged_hem(outcome, tell),
        "Hem, sides": landing_cell(fit.hem.left_side, tell),
        "Hem, centre front": landing_cell(fit.hem.front_left, tell),
        "Sleeve round the upper arm": _roominess(outcome, tell),
        "Sleeve ends": (sleeve_end(outcome, tell), _turn_back(outcome, tell)),
        "Body at the bust": _body_room(outcome, tell),
        "Weight": (tell.mass(fit.mass.garment_kg), "both layers"),
    }


def landing_cell(landing: Landing, tell: Telling) -> Cell:
    """A height in words, and over the floor."""
    words, over = landing.words(tell.length), f"{tell.length(landing.height_m)} over the floor"
    if words.startswith("between"):
        over += f", {landing.from_nearest(tell.length)}"
    return words, over


def _ranged_hem(outcome: Outcome, tell: Telling) -> Cell:
    words, over = landing_cell(outcome.fit.hem.centre_back, tell)
    return words, over + _ends(outcome, outcome.range.hem, tell)


def _ends(outcome: Outcome, span: Span, tell: Telling) -> str:
    """The range of a measure, where the ends were draped."""
    return f" ({tell.between(span.low_m, span.high_m)})" if outcome.range.draped else ""


def _roominess(outcome: Outcome, tell: Telling) -> Cell:
    span = outcome.range.sleeve
    if span is None:
        return phrase("not reached"), ""
    more = f"{tell.length(span.value_m)} more than the arm"
    return sleeve_class(span.value_m), more + _ends(outcome, span, tell)


def sleeve_end(outcome: Outcome, tell: Telling) -> str:
    """Where the left sleeve ends, in words."""
    sleeve = outcome.fit.sleeves["left"]
    return sleeve_end_words(sleeve.past_wrist_m, sleeve.hand_m, tell.length)


def _turn_back(outcome: Outcome, tell: Telling) -> str:
    past_m = outcome.fit.sleeves["left"].past_wrist_m
    return f"turn back {tell.length(past_m)} to bare the hand" if past_m > 0.02 else ""


def _body_room(outcome: Outcome, tell: Telling) -> Cell:
    ease = outcome.fit.ease["bust"]
    if ease is None:
        return phrase("not reached"), ""
    return body_class(ease.ease_m), f"{tell.length(ease.ease_m)} more than the body"


def table(columns: Sequence[str], caption: str, rows: Iterable[tuple[str, Sequence[Cell]]]) -> str:
    """A table of rows by name, each with one cell a column."""
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in columns)
    body = "\n".join(_row(name, cells, len(columns)) for name, cells in rows)
    return (
        f'<div class="scroll" tabindex="0" role="group" aria-label="{escape(caption)}">'
        f"<table><caption>{escape(caption)}</caption>"
        f"<thead><tr><td></td>{head}</tr></thead>\n<tbody>{body}</tbody></table></div>"
    )


def _row(name: str, cells: Sequence[Cell], columns: int) -> str:
    if not cells:
        return f'<tr class="part"><th scope="rowgroup" colspan="{columns + 1}">{escape(name)}</th></tr>'
    data = "".join(
        f"<td>{escape(words)}"
        + (f'<span class="soft">{escape(small)}</span>' if small else "")
        + "</td>"
        for words, small in cells
    )
    return f'<tr><th scope="row">{escape(name)}</th>{data}</tr>'


# Estimates that a maker can check with a tape, from the top down; all others stand in fit.json
SHOWN_ESTIMATES = (
    "body_mass",
    "neck_base_girth",
    "shoulder_length",
    "shoulder_slope",
    "bust_girth",
    "waist_girth",
    "hip_girth",
    "upper_arm_girth",
    "elbow_girth",
    "wrist_girth",
    "hand_girth",
    "back_neck_point_to_wrist",
    "back_neck_point_to_waist",
    "back_neck_point_height",
    "bust_height",
    "waist_height",
    "hip_height",
    "inside_leg_height",
    "knee_height",
)


def body_table(measures: Measures, tell: Telling) -> str:
    """The tape: what was given first, then estimates with plus or minus one SD."""
    given = [name for name, measure in measures.items() if measure.given]
    estimated = [name for name in SHOWN_ESTIMATES if not measures[name].given]
    rows = []
    for name in (*given, *estimated):
        measure = measures[name]
        value = escape(tell.measure(name, measure.value_m))
        spread = escape(tell.measure(name, measure.sd_m))
        source = "given" if measure.given else f'<span class="tag">estimate</span> ± {spread}'
        words = escape(name.replace("_", " ").capitalize())
        rows.append(f'<tr><th scope="row">{words}</th><td>{value}</td><td>{source}</td></tr>')
    return (
        '<div class="scroll" tabindex="0" role="group" aria-label="The body">'
        "<table><caption>Estimates: what bodies with these given measures have on average; about "
        "two in three lie within ±. The full list is in fit.json.</caption>"
        '<thead><tr><th scope="col">Measure</th><th scope="col">Value</th>'
        '<th scope="col">From</th></tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table></div>"
    )


def cloth_table(cloths: Sequence[Cloth], tell: Telling) -> str:
    """The figures of each cloth; those that are estimates say so."""

    def heading(cloth: Cloth) -> str:
        colour = "#" + "".join(f"{round(part * 255):02x}" for part in cloth.colour)
        swatch = f'<span class="swatch" style="background:{colour}"></span>'
        return f'<th scope="col">{swatch}{escape(cloth.name)}</th>'

    def cell(cloth: Cloth, field: str, quantity: Quantity) -> str:
        tag = '<span class="tag">estimate</span>' if field in cloth.estimated else ""
        value = getattr(cloth, field)
        thin = quantity == "length" and field != "bolt_width_m"
        words = tell.thickness(value) if thin else tell.quantity(quantity, value)
        return f"<td>{escape(words)}{tag}</td>"

    rows = []
    for field, figure in FIGURES.items():
        cells = "".join(cell(cloth, field, figure.quantity) for cloth in cloths)
        rows.append(f'<tr><th scope="row">{figure.words}</th>{cells}</tr>')
    return (
        '<div class="scroll" tabindex="0" role="group" aria-label="The cloths">'
        "<table><caption>Along is the cloth's length, across its width.</caption>"
        f"<thead><tr><td></td>{''.join(heading(cloth) for cloth in cloths)}</tr></thead>"
        f"<tbody>{''.join(rows)}</tbody></table></div>"
    )

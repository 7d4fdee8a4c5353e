# SPDX-License-Identifier: GPL-3.0-or-later
"""The report of a job: ``fit.json`` for programs, ``report.html`` for people.

The page is one file: pictures are embedded, nothing is fetched. It answers first, shows second
and explains last.
"""

import base64
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from html import escape
from pathlib import Path

from .cautions import cautions
from .cloth import Cloth
from .comparison import (
    NONE,
    STRAIGHT,
    Change,
    Outcome,
    changes,
    choices,
    differing,
    wearer,
)
from .files import read_bytes, write_text
from .flat_overlay import flat_overlay
from .pattern import Cut, build_pattern
from .phrases import joined, phrase
from .picture_words import IN_A_LISTING
from .plots.plate import Plate
from .reach import reach_told
from .report_advice import advice_told
from .report_differences import differences_told
from .report_making import making_of, making_told
from .report_measures import figures_table
from .report_nap import nap_told
from .report_pattern import patterns_told
from .report_plates import plates_of
from .report_poses import poses_told
from .report_ranges import certainty, doubts_told
from .report_short import short_answers
from .report_style import STYLE
from .report_sure import listed, rules_told, soundness_told
from .report_tables import (
    body_table,
    cloth_table,
    comparison_table,
    sleeve_end,
)
from .report_why import reasons
from .roominess import body_class, sleeve_class
from .sleeve_air import DIPS_M
from .tape import CHILD_HEIGHT_M, Measures
from .telling import Telling
from .units import UnitSystem

__all__ = ["Report", "report_html", "verdict", "write_fit", "write_report"]

MEASURE_UNIT = {"body_mass": "kg", "shoulder_slope": "rad"}
MOST_PICTURE_BYTES = 20_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What a report is made from.

    Attributes
    ----------
    title
        The job's name.
    units
        Unit system in which the reader is told lengths and masses.
    views
        The sides that pictures are taken from.
    outcomes
        The variants in the job's order, at least one.
    no_pictures
        Why pictures are missing, as a sentence; empty if they are not.
    plates
        Plots and drawn wraps.
    no_plates
        Why these are missing, as a sentence; empty if they are not.
    """

    title: str
    units: UnitSystem
    views: tuple[str, ...]
    outcomes: tuple[Outcome, ...]
    no_pictures: str = ""
    plates: tuple[Plate, ...] = ()
    no_plates: str = ""

    @property
    def child_sized(self) -> bool:
        return any(one.measures["height"].value_m < CHILD_HEIGHT_M for one in self.outcomes)


def write_fit(path: Path, report: Report) -> None:
    """Write every figure of every variant as JSON, whole or not at all.

    Names end in their units (SI); ``estimated`` lists the cloth figures that are estimates.
    """
    content = {
        "job": report.title,
        "variants": [_variant(outcome) for outcome in report.outcomes],
        "cautions": list(cautions(report.child_sized)),
    }
    write_text(path, json.dumps(content, indent=2, ensure_ascii=False) + "\n")


def _variant(outcome: Outcome) -> dict[str, object]:
    cloths = {"outer": outcome.outer_cloth, "lining": outcome.lining_cloth}
    return {
        "name": outcome.name,
        "folder": outcome.slug,
        "pose": outcome.pose,
        "tape": {
            f"{name}_{MEASURE_UNIT.get(name, 'm')}": {
                "value": measure.value_m,
                "standard_deviation": measure.sd_m,
                "given": measure.given,
            }
            for name, measure in outcome.measures.items()
        },
        "cut": asdict(outcome.cut),
        "cloth": {layer: cloth.words() for layer, cloth in cloths.items()},
        "drape_sound": outcome.converged,
        "drape_faults": list(outcome.reasons),
        "drape_statistics": dict(outcome.statistics),
        "fit": outcome.fit.to_dict(),
        "range": outcome.range.to_dict(),
        "making": making_of(outcome).to_dict(),
        "checks": [
            {"name": check.name, "holds": check.holds, "rule": check.rule, "found": check.found}
            for check in outcome.checks
        ],
        "advice": [advice.to_dict() for advice in outcome.advice],
        "reach": None if outcome.reach is None else asdict(outcome.reach),
    }


def write_report(path: Path, report: Report) -> None:
    """Write the page, whole or not at all."""
    write_text(path, report_html(report))


def report_html(report: Report) -> str:
    """Make the page."""
    # figures and their unit stay on one line
    tell = Telling(report.units, space="\u00a0")
    sections = (
        _answer(report, tell),
        _maybe("Checks and advice", *advice_told(report.outcomes, tell)),
        _pictures(report, tell),
        _maybe("Pose by pose", *poses_told(report.outcomes, tell)),
        _maybe("The hem all round", *plates_of(report.plates, "hem")),
        _maybe("Where it pulls and where it stands off", *_pulls(report)),
        _section("The flat pattern", *patterns_told(report.outcomes, tell), *_overlaid(report)),
        _section("The nap", *nap_told(report.outcomes, tell)),
        _section("Making", *making_told(report.outcomes, tell)),
        _section("Take care", listed(cautions(report.child_sized)), kind="care"),
        _section("All measures", figures_table(report.outcomes, tell)),
        _section("The body", *_bodies(report.outcomes, tell)),
        _section("The cloths", _cloth_note(), cloth_table(_cloths(report.outcomes), tell)),
        _section(
            "How sure is this",
            *soundness_told(report.outcomes, tell),
            *doubts_told(report.outcomes, tell),
            *rules_told(tell),
            kind="sure",
        ),
    )
    title = escape(report.title)
    return "\n".join(
        (
            "<!doctype html>",
            '<html lang="en-GB"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{title}: how it will hang</title>",
            f"<style>{STYLE}</style></head><body>",
            f'<header><h1>{title}</h1><p class="soft lead">{escape(_subtitle(report, tell))}</p>',
            '<p class="note">Pile cloth burns quickly: read '
            '<a href="#care">Take care</a> before you wear or sell it.</p>'
            '<hr class="stitch"></header><main>',
            *sections,
            "</main><footer><p class='soft'>Worked out by Napfold. A preview of shape, not a "
            "promise and not a safety test.</p></footer></body></html>",
            "",
        )
    )


def _section(heading: str, *parts: str, kind: str = "") -> str:
    name = f' class="{kind}" id="{kind}"' if kind else ""
    return f"<section{name}><h2>{escape(heading)}</h2>\n" + "\n".join(parts) + "\n</section>"


def _maybe(heading: str, *parts: str) -> str:
    """A section, if there is anything in it."""
    return _section(heading, *parts) if parts else ""


def _overlaid(report: Report) -> Iterable[str]:
    """All cuts on each other, where there are several."""
    cuts: dict[Cut, list[str]] = {}
    for outcome in report.outcomes:
        cuts.setdefault(outcome.cut, []).append(outcome.heading)
    if len(cuts) > 1:
        named = [("; ".join(names), build_pattern(cut)) for cut, names in cuts.items()]
        yield (
            f'<figure class="overlaid">{flat_overlay(named)}<figcaption>All on each other, fold on '
            "fold.</figcaption></figure>"
        )


def _pulls(report: Report) -> Iterable[str]:
    plates = list(plates_of(report.plates, "pulls"))
    if plates:
        left_out = len(report.outcomes) - len(plates)
        first = f" The first {len(plates)} variants are shown." if left_out > 0 else ""
        yield (
            '<p class="note">Darker is more. Where stretch is dark, the cloth pulls there; pale cloth '
            "is pushed together. Where it stands far off the skin, it hangs free."
            f"{first}</p>"
        )
        yield from plates


def _subtitle(report: Report, tell: Telling) -> str:
    body = _alike([wearer(outcome, tell) for outcome in report.outcomes])
    poses = list(dict.fromkeys(outcome.pose for outcome in report.outcomes))
    on = f"On a body with {', '.join(body)}" if body else "On different bodies"
    return f"{on}; {', '.join(poses)}."


def _alike(told: Sequence[Mapping[str, str]]) -> list[str]:
    """What is the same in all, as "name words"."""
    apart = differing(told)
    alike = ((name, words) for name, words in told[0].items() if name not in apart)
    return [f"{name} {words}" for name, words in alike if words not in (NONE, STRAIGHT)]


def _answer(report: Report, tell: Telling) -> str:
    verdicts = "".join(
        f"<li><h3>{escape(one.heading)}</h3>"
        + "".join(
            f"<p><strong>{escape(about)}:</strong> {escape(words)}</p>"
            for about, words in verdict(one, tell).items()
        )
        + "</li>"
        for one in report.outcomes
    )
    parts = [*short_answers(report.outcomes, tell), f'<ul class="verdicts">{verdicts}</ul>']
    if any(outcome.reasons or not outcome.converged for outcome in report.outcomes):
        parts.append(
            '<p class="note">What was not right with a drape is told under '
            '<a href="#sure">How sure is this</a>.</p>'
        )
    found = changes(report.outcomes, tell)
    if found:
        parts.append("<h3>What each choice changes</h3>")
        parts.extend(_changelisted(found, tell))
    parts.append(comparison_table(report.outcomes, tell))
    parts.extend(differences_told(report.outcomes, tell))
    parts.extend(plates_of(report.plates, "choices"))
    alike = _alike([choices(outcome, tell) for outcome in report.outcomes])
    before = "The same in all" if len(report.outcomes) > 1 else "Made with"
    parts.append(f'<p class="note">{before}: {escape("; ".join(alike))}.</p>')
    return _section("What to expect", *parts)


def verdict(outcome: Outcome, tell: Telling) -> dict[str, str]:
    """One variant in a few words: how long, how roomy, how heavy."""
    fit = outcome.fit
    room, ease = fit.sleeves["left"].room["upper arm"], fit.ease["bust"]
    end = phrase("ends {place}", place=sleeve_end(outcome, tell))
    length = phrase(
        "the back hem lands {place}; one sits on it"
        if fit.worn.seat.sat_on
        else "the back hem lands {place}",
        place=fit.hem.centre_back.words(tell.length),
    )
    words: dict[str, str] = {"Length": length}
    if room is None:
        words["Sleeve"] = phrase("does not reach the middle of the upper arm; {end}", end=end)
    else:
        words["Sleeve"] = phrase(
            "{room}, {length} to spare round the upper arm; {end}",
            room=sleeve_class(room.extra_girth_m),
            length=tell.length(room.extra_girth_m),
            end=end,
        )
    if ease is not None:
        words["Body"] = body_class(ease.ease_m)
    if outcome.reach is not None:
        words["Reach"] = f"the arms go up {reach_told(outcome.reach)} before the wrap is pulled up"
    words["Weight"] = tell.mass(fit.mass.garment_kg)
    hang_m = max(sleeve.hang.below_m for sleeve in fit.sleeves.values())
    if hang_m > DIPS_M:
        words["Mind"] = phrase(
            "the sleeve hangs {length} below a level forearm: keep it from cups, candles and cooker "
            "rings, or turn it back",
            length=tell.length(hang_m),
        )
    words["How sure"] = certainty(outcome, tell)
    if outcome.warnings:
        words["Check the body"] = joined(" ", outcome.warnings)
    # last, since its reasons may follow
    if not outcome.converged:
        words["Beware"] = phrase("the drape did not pass all its own checks")
    elif outcome.reasons:
        words["Note"] = phrase("the drape has small faults that hardly touch its figures")
    return words


def _changelisted(found: Sequence[Change], tell: Telling) -> Iterable[str]:
    """Group the changes by what was chosen before and after."""
    by_choice: dict[str, list[Change]] = {}
    for change in found:
        by_choice.setdefault(change.choice, []).append(change)
    for heading, group in by_choice.items():
        yield f"<p><strong>{escape(heading[0].upper() + heading[1:])}</strong></p>"
        yield listed(
            f"{change.before.heading} → {change.after.name}: "
            + ("; ".join(change.effects) or "nothing that can be told apart")
            for change in group
        )
        if heading.startswith("cloths "):
            for change in group:
                why = " ".join(reasons(change.before, change.after, tell))
                yield f'<p class="note">Why, {escape(change.after.name)}: {escape(why)}</p>'


def _pictures(report: Report, tell: Telling) -> str:
    missing = filter(None, (report.no_pictures, report.no_plates))
    parts = [f'<p class="note">{escape(why)}</p>' for why in missing]
    parts.extend(plates_of(report.plates, "looks"))
    poses = {outcome.pose for outcome in report.outcomes}
    which = "All" if len(poses) == 1 else "Those in the same pose"
    scale = f"{which} are taken by the same cameras, to the same scale. "
    parts.append(
        f'<p class="note">{scale}The pile is drawn from the cloth figures; its colour and gloss '
        f"are an impression. {IN_A_LISTING}</p>"
    )
    for outcome in report.outcomes:
        if report.no_pictures and not outcome.pictures:
            continue
        figures = "".join(_picture(outcome, view, tell) for view in report.views)
        parts.append(f'<h3>{escape(outcome.heading)}</h3><div class="row">{figures}</div>')
    return _section("How it looks", *parts)


def _picture(outcome: Outcome, view: str, tell: Telling) -> str:
    words = f"{outcome.heading}, seen from the {view}"
    path = outcome.pictures.get(view)
    if path is None:
        return f'<figure><div class="none">No picture from the {view} was made.</div></figure>'
    hem = outcome.fit.hem.centre_back.words(tell.length)
    kind = "jpeg" if path.suffix in (".jpg", ".jpeg") else "png"
    data = base64.b64encode(read_bytes(path, MOST_PICTURE_BYTES)).decode("ascii")
    alt = f"{words}: wrap on a shop mannequin; its back hem lands {hem}"
    return (
        f'<figure><img src="data:image/{kind};base64,{data}" alt="{escape(alt)}">'
        f"<figcaption>{escape(view.capitalize())}</figcaption></figure>"
    )


def _bodies(outcomes: Sequence[Outcome], tell: Telling) -> Iterable[str]:
    """Each different tape once, under the variants that share it."""
    seen: list[Measures] = []
    for outcome in outcomes:
        if outcome.measures in seen:
            continue
        seen.append(outcome.measures)
        sharing = [one.heading for one in outcomes if one.measures == outcome.measures]
        if len(sharing) < len(outcomes):
            yield f"<h3>{escape('; '.join(sharing))}</h3>"
        yield body_table(outcome.measures, tell)


def _cloths(outcomes: Sequence[Outcome]) -> list[Cloth]:
    found: list[Cloth] = []
    for outcome in outcomes:
        for cloth in (outcome.outer_cloth, outcome.lining_cloth):
            if cloth not in found:
                found.append(cloth)
    return found


def _cloth_note() -> str:
    return (
        '<p class="note">Figures marked as estimates are what cloth of this kind usually has; '
        "bending can be out by a factor of two or three. A swatch test at home replaces them.</p>"
    )

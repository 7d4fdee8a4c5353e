# SPDX-License-Identifier: GPL-3.0-or-later
"""The report: what the page says, in what order, and the file of figures."""

import json
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from napfold.core.cautions import ALWAYS, CHILD, CHILD_UNKNOWN, cautions
from napfold.core.cloth import library
from napfold.core.cloth_doubt import doubts
from napfold.core.comparison import Outcome, changes, choices, differing
from napfold.core.cut_line import Allowances
from napfold.core.fit import measure_fit
from napfold.core.fit_range import Reading, fit_range
from napfold.core.flat_drawing import outline_path
from napfold.core.flat_overlay import flat_overlay
from napfold.core.lay import LayChoice
from napfold.core.pattern import build_pattern
from napfold.core.reach import Raised, Reach
from napfold.core.report import Report, report_html, verdict, write_fit, write_report
from napfold.core.report_tables import SHOWN_ESTIMATES
from napfold.core.report_why import reasons
from napfold.core.tape import Tape, complete
from napfold.core.telling import Telling

VOID = {"meta", "img", "br", "hr", "line", "rect", "path"}
PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c4890000000d49444154789c6360606060"
    "00000005000157cdd9d30000000049454e44ae426082"
)


class Page(HTMLParser):
    """Checks that tags nest, and keeps what the tests look at."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(text)
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open[-1:] != ["style"]:
            self.words.append(data)

    @property
    def text(self) -> str:
        return re.sub(r"[ \n]+", " ", " ".join(self.words))


@pytest.fixture(scope="module")
def outcomes(make_tubes: Callable[..., Any]) -> tuple[Outcome, ...]:
    """Two lengths, two outer cloths: four drapes."""
    measures, warnings = complete(Tape(given={"height": 1.68, "bust_girth": 0.96}))
    found = []
    for length, length_name in ((1.0, "Short"), (1.4, "Long")):
        for kind, pile in (("light plush", "light"), ("long pile", "heavy")):
            tubes = make_tubes(cut=replace(make_tubes().cut, length_m=length))
            tubes.drape.outer_cloth = library()[kind]
            fit = measure_fit(tubes.drape, measures, tubes.skin_distance)
            cloths = library()[kind], library()["light plush"]
            found.append(
                Outcome(
                    name=f"{length_name} & {pile}",
                    slug=f"{length_name}-{pile}".lower(),
                    measures=measures,
                    warnings=warnings,
                    cut=tubes.cut,
                    allowances=Allowances(),
                    lay=LayChoice(),
                    outer_cloth=cloths[0],
                    lining_cloth=cloths[1],
                    pose="standing",
                    fit=fit,
                    range=fit_range(fit, *cloths),
                    converged=True,
                    reasons=(),
                    statistics={"largest_gap_m": 0.0},
                    pictures={},
                )
            )
    return tuple(found)


def report_of(outcomes: tuple[Outcome, ...], **changed: Any) -> Report:
    values = {
        "title": "Larch Hut <wrap>",
        "units": "cm",
        "views": ("front", "side", "back"),
        "outcomes": outcomes,
    }
    return Report(**(values | changed))


def test_what_each_choice_changes_is_the_difference_of_the_fits(
    outcomes: tuple[Outcome, ...],
) -> None:
    found = {(c.before.slug, c.after.slug): c for c in changes(outcomes, Telling("cm"))}
    assert set(found) == {
        ("short-light", "short-heavy"),
        ("short-light", "long-light"),
        ("short-heavy", "long-heavy"),
        ("long-light", "long-heavy"),
    }
    longer = found["short-light", "long-light"]
    assert longer.choice == "length 100 cm → 140 cm"
    # half of the 40 cm hangs behind
    assert longer.effects[0] == "the hem at the centre back lands 20 cm lower"
    heavier = found["long-light", "long-heavy"]
    area = outcomes[2].fit.mass.layer_area_m2
    assert heavier.effects[-1] == f"it is {area * (850 - 260):.0f} g heavier"
    # 15 mm against 3.5 mm thick: the outer face lies half the difference further out
    assert "its outside stands 0.6 cm further from the body" in heavier.effects


def test_only_what_differs_is_named(outcomes: tuple[Outcome, ...]) -> None:
    told = [choices(outcome, Telling("in")) for outcome in outcomes]
    assert differing(told) == ["length", "cloths"]
    assert differing([{"height": "168 cm"}, {}]) == ["height"]


def test_options_that_were_not_taken_are_not_told(outcomes: tuple[Outcome, ...]) -> None:
    told = choices(outcomes[0], Telling("cm"))
    assert told["front overlap"] == "none"
    assert told["wrist opening"] == "as wide as the sleeve"
    page = Page(report_html(report_of(outcomes[:1]))).text
    for words in ("front overlap", "wrist opening", "cuff depth"):
        assert words not in page
    tapered = replace(outcomes[0], cut=replace(outcomes[0].cut, wrist_opening_m=0.36))
    changed = [choices(one, Telling("cm")) for one in (outcomes[0], tapered)]
    assert differing(changed) == ["wrist opening"]


def test_the_page_answers_before_it_explains(outcomes: tuple[Outcome, ...]) -> None:
    page = Page(report_html(report_of(outcomes)))
    headings = re.findall(r"<h2>(.*?)</h2>", report_html(report_of(outcomes)))
    assert headings[:2] == ["What to expect", "How it looks"]
    for outcome in outcomes:
        for words in verdict(outcome, Telling("cm", space="\u00a0")).values():
            assert words in page.text
    assert "Larch Hut <wrap>" in page.text
    levels = [int(tag[1]) for tag, _ in page.tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_the_page_fetches_nothing_and_runs_nothing(
    outcomes: tuple[Outcome, ...], tmp_path: Path
) -> None:
    picture = tmp_path / "front.png"
    picture.write_bytes(PIXEL)
    shown = replace(outcomes[0], pictures={"front": picture})
    html = report_html(report_of((shown, *outcomes[1:])))
    page = Page(html)
    names = {tag for tag, _ in page.tags}
    assert not names & {"script", "link", "iframe", "object"}
    for _, attributes in page.tags:
        for name in ("src", "href"):
            value = attributes.get(name)
            assert value is None or value.startswith(("data:image/png;base64,", "#"))
    assert "url(" not in html
    assert "@import" not in html


def test_every_picture_has_words_and_a_missing_one_is_owned_up_to(
    outcomes: tuple[Outcome, ...], tmp_path: Path
) -> None:
    picture = tmp_path / "side.png"
    picture.write_bytes(PIXEL)
    shown = replace(outcomes[0], pictures={"side": picture})
    page = Page(report_html(report_of((shown,))))
    alternatives = [attributes["alt"] for tag, attributes in page.tags if tag == "img"]
    assert len(alternatives) == 1
    assert "seen from the side" in str(alternatives[0])
    assert "No picture from the front was made." in page.text
    reason = "There are no pictures: the camera is at the hut."
    page = Page(report_html(report_of(outcomes, no_pictures=reason)))
    assert reason in page.text
    assert not [tag for tag, _ in page.tags if tag == "img"]


def test_a_drape_that_did_not_come_to_rest_says_why(outcomes: tuple[Outcome, ...]) -> None:
    restless = replace(outcomes[1], converged=False, reasons=("A sleeve still swings.",))
    page = Page(report_html(report_of((outcomes[0], restless))))
    assert f"{restless.name}: not quite. A sleeve still swings." in page.text
    links = [attributes.get("href") for tag, attributes in page.tags if tag == "a"]
    assert "#sure" in links
    assert "#sure" in {f"#{attributes.get('id')}" for _, attributes in page.tags}
    assert "Beware" in verdict(restless, Telling("cm"))
    nearly = replace(outcomes[1], reasons=("Outer and lining pass through each other.",))
    told = verdict(nearly, Telling("cm"))
    assert "Note" in told
    assert "Beware" not in told
    assert "Beware" not in verdict(outcomes[0], Telling("cm"))


def test_estimates_are_marked_on_body_and_cloth(outcomes: tuple[Outcome, ...]) -> None:
    html = report_html(report_of(outcomes))
    measures = outcomes[0].measures
    estimated_measures = sum(not measures[name].given for name in SHOWN_ESTIMATES)
    assert estimated_measures == len(SHOWN_ESTIMATES) - 1  # bust girth is given
    estimated_figures = sum(len(library()[name].estimated) for name in ("light plush", "long pile"))
    assert html.count(">estimate</span>") == estimated_measures + estimated_figures
    assert html.count("<td>given</td>") == 2


def test_all_cautions_stand_on_the_page(outcomes: tuple[Outcome, ...]) -> None:
    grown = Page(report_html(report_of(outcomes))).text
    for caution in (*ALWAYS, CHILD_UNKNOWN):
        assert caution in grown
    assert CHILD not in grown
    measures, warnings = complete(Tape(given={"height": 1.20, "bust_girth": 0.62}))
    child = replace(outcomes[0], measures=measures, warnings=warnings)
    page = Page(report_html(report_of((child,)))).text
    assert CHILD in page
    assert warnings
    assert all(warning in page for warning in warnings)
    # the command and the sidebar tell the verdict only
    assert verdict(child, Telling("in"))["Check the body"] == " ".join(warnings)
    assert "Check the body" not in verdict(outcomes[0], Telling("in"))
    assert cautions(True)[0] == CHILD


def test_fit_file_holds_every_variant_with_units(
    outcomes: tuple[Outcome, ...], tmp_path: Path
) -> None:
    write_fit(tmp_path / "fit.json", report_of(outcomes))
    content = json.loads((tmp_path / "fit.json").read_text())
    assert [one["name"] for one in content["variants"]] == [one.name for one in outcomes]
    for plain, outcome in zip(content["variants"], outcomes, strict=True):
        assert plain["fit"]["mass"]["garment_kg"] == outcome.fit.mass.garment_kg
        assert plain["cut"]["length_m"] == outcome.cut.length_m
        assert plain["tape"]["height_m"] == {
            "value": 1.68,
            "standard_deviation": 0.0,
            "given": True,
        }
        assert "mass_kg_m2" in plain["cloth"]["outer"]["estimated"]

    def numbers(name: str, value: object) -> list[str]:
        if isinstance(value, dict):
            return [n for key, inner in value.items() for n in numbers(key, inner)]
        return [name] if isinstance(value, float) else []

    names = {name for one in content["variants"] for name in numbers("fit", one["fit"])}
    assert all(name.endswith(("_m", "_m2", "_m3", "_kg", "_pa")) for name in names)


def test_report_is_the_same_each_time(outcomes: tuple[Outcome, ...], tmp_path: Path) -> None:
    write_report(tmp_path / "a.html", report_of(outcomes))
    write_report(tmp_path / "b.html", report_of(outcomes))
    assert (tmp_path / "a.html").read_bytes() == (tmp_path / "b.html").read_bytes()


def test_the_first_screen_says_how_sure_hem_and_sleeve_are(outcomes: tuple[Outcome, ...]) -> None:
    tell = Telling("cm")
    light, heavy = outcomes[:2]
    words = verdict(light, tell)["How sure"]
    assert words.startswith("an estimate")
    assert words.count("no need to test") == 2
    words = verdict(heavy, tell)["How sure"]
    assert "hem " in words
    assert words.endswith("stack plies under a board (long pile, outer)")
    # by hand: long pile within 9 mm of thickness, pi of that round the arm, and little else
    assert "give or take 3 cm" in words


def test_draped_ranges_are_told_with_their_ends(outcomes: tuple[Outcome, ...]) -> None:
    tell = Telling("cm")
    heavy = outcomes[1]
    doubt = doubts(heavy.outer_cloth, heavy.lining_cloth)[0]
    base = Reading(heavy.range.hem.value_m, 0.10)
    ends = (Reading(base.hem_m - 0.01, 0.13), Reading(base.hem_m + 0.01, 0.06))
    ranged = replace(
        heavy,
        range=fit_range(heavy.fit, heavy.outer_cloth, heavy.lining_cloth, base, {doubt: ends}),
    )
    span = ranged.range.sleeve
    assert span is not None
    between = f"{tell.length(span.value_m)}, {tell.between(span.low_m, span.high_m)}"
    words = verdict(ranged, tell)["How sure"]
    assert "estimate" not in words
    assert between in words
    page = Page(report_html(report_of((outcomes[0], ranged)))).text
    assert "sleeve +3 cm and −4 cm" in page.replace("\u00a0", " ")
    assert "± 60 %, draped" in page.replace("\u00a0", " ")


def test_the_page_tells_how_to_sew_the_layers(
    outcomes: tuple[Outcome, ...], tmp_path: Path
) -> None:
    page = Page(report_html(report_of(outcomes))).text.replace("\u00a0", " ")
    # 140 cm of 5.25 + 1.75 mm are 98 cm²: 0.65 of a round opening of 43.5 cm
    assert "goes through with patience its end is 44 cm round; the wrap needs 43.5 cm" in page
    assert "4 plies, 14 mm" in page
    narrow = replace(outcomes[3], cut=replace(outcomes[3].cut, sleeve_drop_m=0.2))
    page = Page(report_html(report_of((narrow,)))).text.replace("\u00a0", " ")
    assert "does not go through: leave a gap of 22 cm in the hem and close it by hand" in page
    write_fit(tmp_path / "fit.json", report_of(outcomes))
    told = json.loads((tmp_path / "fit.json").read_text())["variants"]
    assert [one["making"]["turning"]["goes"] for one in told] == [
        "easily",
        "easily",
        "easily",
        "with patience",
    ]


def test_another_cloth_is_explained_by_its_figures(outcomes: tuple[Outcome, ...]) -> None:
    tell = Telling("cm")
    words = " ".join(reasons(outcomes[0], outcomes[1], tell))
    # pi times 3.5 + 7 mm is 33 mm, and times 15 + 7 mm 69 mm
    assert "which is 3.5 cm before and 7 cm now" in words
    # a sleeve is as long round as its outer lets it: pi times 11.5 mm less
    assert "Measured: 3.5 cm less room." in words
    # tubes are bent, not draped: nothing moves but the outside, by half of it
    assert "11.5 mm thicker together. The outside stands 0.6 cm further off." in words
    assert "hem" not in words.split("Stiffness")[0]
    # ((7 + 7) / (0.52 g))^(1/3) is 14 mm; ((164 + 7) / (1.11 g))^(1/3) is 25 mm; twice that juts out
    assert "overhangs 2.8 cm before, 5 cm now" in words
    back = " ".join(reasons(outcomes[1], outcomes[0], tell))
    assert "closer and sharper" in back
    assert "thinner together" in back
    page = Page(report_html(report_of(outcomes))).text
    assert page.count("Why, ") == 2  # one for each length
    assert "Why, Long & heavy" in page


def test_a_hem_that_moved_has_its_reasons(outcomes: tuple[Outcome, ...]) -> None:
    before, after = outcomes[:2]
    hem = after.fit.hem
    raised = replace(hem.centre_back, height_m=hem.centre_back.height_m + 0.02)
    moved = replace(after, fit=replace(after.fit, hem=replace(hem, centre_back=raised)))
    words = " ".join(reasons(before, moved, Telling("cm")))
    # 0.6 of the 11.5 mm that the outer cloth is thicker
    assert "should lift the hem by 0.7 cm" in words
    # 1.11 kg/m² x g x (0.5 m)² / (2 x 7000 N/m) is 0.2 mm
    assert "weight, by stretching it, hardly moves it" in words
    assert "Measured: 2 cm higher" in words


def test_the_page_tells_the_turn_of_cloth(outcomes: tuple[Outcome, ...], tmp_path: Path) -> None:
    page = Page(report_html(report_of(outcomes[1:2]))).text.replace("\u00a0", " ")
    # long pile on light plush: 2 pi and pi times 9.25 mm; the stand-in's layers lie on each other
    assert "asks the outer for 6 cm more round body and arm, 3 cm over the shoulder" in page
    assert "measured 0 cm at the waist" in page
    write_fit(tmp_path / "fit.json", report_of(outcomes[1:2]))
    told = json.loads((tmp_path / "fit.json").read_text())["variants"][0]
    assert told["making"]["turn_of_cloth"]["round_m"] == pytest.approx(0.0581, abs=1e-4)
    assert told["fit"]["layers"]["left sleeve"]["more_m"] == pytest.approx(0.0, abs=1e-9)


def test_cuts_lie_on_each_other_to_one_scale(outcomes: tuple[Outcome, ...]) -> None:
    cuts = [("short", outcomes[0].cut), ("long", outcomes[2].cut)]
    root = ET.fromstring(flat_overlay([(name, build_pattern(cut)) for name, cut in cuts]))
    space = "{http://www.w3.org/2000/svg}"
    drawn = [path.get("d", "") for path in root.iter(f"{space}path")]
    assert drawn == [outline_path(build_pattern(cut)) for _, cut in cuts]
    looks = {path.get("stroke-dasharray") for path in root.iter(f"{space}path")}
    assert len(looks) == 2
    assert {text.text for text in root.iter(f"{space}text")} == {"short", "long"}
    assert "All on each other" in report_html(report_of(outcomes))
    assert "All on each other" not in report_html(report_of(outcomes[:1]))


def test_a_deep_sleeve_is_cautioned_of_on_the_first_screen(
    outcomes: tuple[Outcome, ...],
) -> None:
    fit = outcomes[0].fit
    hang = replace(fit.sleeves["left"].hang, below_m=0.11)
    sleeves = {**fit.sleeves, "left": replace(fit.sleeves["left"], hang=hang)}
    deep = replace(outcomes[0], fit=replace(fit, sleeves=sleeves))
    assert "11 cm below a level forearm" in verdict(deep, Telling("cm"))["Mind"]
    assert "Mind" not in verdict(outcomes[0], Telling("cm"))


def test_reach_and_seat_are_told_on_the_first_screen(outcomes: tuple[Outcome, ...]) -> None:
    reach = Reach(93.0, "lift", (Raised(80.0, 0.02, 0.0), Raised(100.0, 0.04, 0.0)))
    told = verdict(replace(outcomes[0], reach=reach), Telling("cm"))
    assert told["Reach"] == (
        "the arms go up to 95 degrees, level, as to reach across a table, before the wrap is pulled up"
    )
    assert "Reach" not in verdict(outcomes[0], Telling("cm"))
    # the seat ends at 77 cm, the short hem at 90 and the long one at 70
    assert not verdict(outcomes[0], Telling("cm"))["Length"].endswith("one sits on it")
    assert verdict(outcomes[2], Telling("cm"))["Length"].endswith("one sits on it")


def test_the_page_answers_three_questions_first(outcomes: tuple[Outcome, ...]) -> None:
    page = Page(report_html(report_of(outcomes))).text.replace("\u00a0", " ")
    long, sleeve, pile = (
        page.index(question)
        for question in ("Long enough?", "Roomy sleeves?", "What does the pile do?")
    )
    assert long < sleeve < pile < page.index("What each choice changes")
    # both short wraps hang alike, and so do both long ones
    between = page[long:sleeve]
    assert "Short & light; Short & heavy: the back hem lands 90 cm over the floor" in between
    assert "Long & light; Long & heavy: the back hem lands 70 cm over the floor" in between
    assert (
        "Long & heavy against Long & light: the sleeve has 3.5 cm less room round the upper arm; its "
        "outside stands 0.6 cm further" in page
    )
    alone = Page(report_html(report_of(outcomes[:1]))).text.replace("\u00a0", " ")
    # pi times 3.5 + 7 mm of plush
    assert "Light plush over light plush: it takes 3.5 cm of each sleeve's girth" in alone

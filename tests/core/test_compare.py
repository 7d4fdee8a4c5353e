# SPDX-License-Identifier: GPL-3.0-or-later
"""Variants against numbers, against poses and against each other, on tubes of known size."""

import csv
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from napfold.core.body_levels import body_levels
from napfold.core.cloth import library
from napfold.core.comparison import Outcome
from napfold.core.cut_line import Allowances
from napfold.core.errors import NapfoldError
from napfold.core.fields import measure_fields
from napfold.core.fit import measure_fit
from napfold.core.fit_range import fit_range
from napfold.core.lay import LayChoice
from napfold.core.measures_file import write_measures
from napfold.core.plots.canvas import figure
from napfold.core.plots.hems import hem_plot
from napfold.core.plots.lines import sweep_plot
from napfold.core.plots.pulls import pull_plate
from napfold.core.plots.solids import seen_wrap
from napfold.core.report import Report, report_html
from napfold.core.report_differences import differences_told
from napfold.core.report_plates import plates_of
from napfold.core.report_poses import poses_told
from napfold.core.roominess import SLEEVE_CLASSES
from napfold.core.sweep import sweeps
from napfold.core.tape import Tape, complete
from napfold.core.telling import Telling

MEASURES, WARNINGS = complete(Tape(given={"height": 1.68, "bust_girth": 0.96}))
DROPS_M = (0.19, 0.22, 0.25)


@pytest.fixture(scope="module")
def make_outcome(make_tubes: Callable[..., Any]) -> Callable[..., Outcome]:
    """An outcome of tubes of a cut."""

    def make(
        name: str = "Wrap", pose: str = "standing", rise_m: float = 0.0, **cut: Any
    ) -> Outcome:
        tubes = make_tubes(cut=replace(make_tubes().cut, **cut))
        tubes.drape.outer[:, 2] += rise_m
        fit = measure_fit(tubes.drape, MEASURES, tubes.skin_distance)
        cloths = library()["long pile"], library()["light plush"]
        return Outcome(
            name=f"{name}, {pose}",
            slug="wrap",
            measures=MEASURES,
            warnings=WARNINGS,
            cut=tubes.cut,
            allowances=Allowances(),
            lay=LayChoice(),
            outer_cloth=cloths[0],
            lining_cloth=cloths[1],
            pose=pose,
            fit=fit,
            range=fit_range(fit, *cloths),
            converged=True,
            reasons=(),
            statistics={},
            pictures={},
            variant=name,
            levels=body_levels(tubes.drape),
        )

    return make


def test_room_against_drop_flips_where_the_straight_line_meets_the_class(
    make_outcome: Callable[..., Outcome],
) -> None:
    outcomes = [make_outcome(f"drop {drop}", sleeve_drop_m=drop) for drop in DROPS_M]
    found = {(sweep.number, sweep.measure): sweep for sweep in sweeps(outcomes)}
    (line,) = found["sleeve drop", "sleeve room round the upper arm"].lines
    assert [point[0] for point in line.points] == list(DROPS_M)
    rooms = [point[1] for point in line.points]
    # twice the drop goes round, whatever is inside
    np.testing.assert_allclose(np.diff(rooms), 0.06, atol=0.003)
    for flip in line.flips:
        at = np.interp(flip.measure, rooms, DROPS_M)
        assert flip.number == pytest.approx(at, abs=1e-9)
        assert rooms[0] < flip.measure < rooms[-1]
    classes = {flip.words for flip in line.flips}
    assert classes == {name for low, name in SLEEVE_CLASSES if rooms[0] < low < rooms[-1]}
    assert len(classes) >= 2
    # nothing else was changed, and a hem that stays makes no plot
    assert {number for number, _ in found} == {"sleeve drop"}
    assert ("sleeve drop", "hem at the centre back over the floor") not in found


def test_two_points_make_no_plot_and_other_cloths_another_line(
    make_outcome: Callable[..., Outcome],
) -> None:
    lengths = (1.0, 1.2, 1.4)
    outcomes = [make_outcome(f"{length} m", length_m=length) for length in lengths]
    assert sweeps(outcomes[:2]) == []
    heavy = library()["heavy fleece"]
    others = [replace(outcome, outer_cloth=heavy) for outcome in outcomes]
    found = {sweep.measure: sweep for sweep in sweeps([*outcomes, *others])}
    hem = found["hem at the centre back over the floor"]
    assert len(hem.lines) == 2
    for line in hem.lines:
        # half of what is bought hangs behind, from 1.40 m
        for number, height, _ in line.points:
            assert height == pytest.approx(1.40 - number / 2)
        flips = {flip.words: flip.number for flip in line.flips}
        # the fullest hip lies at 0.86 m
        assert flips["the fullest hip"] == pytest.approx(2 * (1.40 - 0.86))


def test_a_plot_holds_its_words_and_is_the_same_each_time(
    make_outcome: Callable[..., Outcome],
) -> None:
    outcomes = [make_outcome(f"{length} m", length_m=length) for length in (1.0, 1.2, 1.4)]
    sweep = next(one for one in sweeps(outcomes) if one.measure.startswith("hem"))
    plate = sweep_plot(sweep, "in")
    assert plate.data == sweep_plot(sweep, "in").data
    words = " ".join(ET.fromstring(plate.data).itertext())
    assert "length, in" in words
    assert "the fullest hip: 42 1/2 in" in words
    assert "the fullest hip: 42 1/2 in" in plate.alt
    curve = hem_plot(outcomes, {"the waist": 1.05, "the fullest hip": 0.86}, "cm")
    drawn = " ".join(ET.fromstring(curve.data).itertext())
    for place in ("left front", "centre back", "the fullest hip"):
        assert place in drawn
    (figure,) = plates_of([plate, curve], "hem")
    assert figure.startswith('<figure class="plate"><img src="data:image/svg+xml;base64,')


def test_a_wrap_is_seen_as_large_as_it_is(make_tubes: Callable[..., Any]) -> None:
    tubes = make_tubes()
    drape = tubes.drape
    front, side = (seen_wrap(drape, view) for view in ("front", "side"))
    thickness = drape.outer_cloth.thickness_m
    # from wrist to wrist, and as deep as the body part, pile on both sides
    assert np.ptp(front.corners[..., 0]) == pytest.approx(1.48, abs=thickness + 1e-6)
    deep = 2 * tubes.girth_radius_m + thickness
    assert np.ptp(side.corners[..., 0]) == pytest.approx(deep, abs=0.003)
    back = seen_wrap(drape, "back")
    np.testing.assert_allclose(
        np.sort(back.corners[..., 0].ravel()), np.sort(-front.corners[..., 0].ravel())
    )


def test_fields_make_a_picture_with_words(
    make_tubes: Callable[..., Any], make_outcome: Callable[..., Outcome]
) -> None:
    tubes = make_tubes()
    tubes.drape.body.furniture = ()
    # like a tent, where nothing pulls
    x, v = tubes.drape.panel.flat.T
    tubes.drape.outer[:] = np.stack([x, 0.6 * v, 1.40 - 0.8 * np.abs(v)], axis=1)
    fields = measure_fields(tubes.drape, tubes.skin_distance)
    plate = pull_plate(make_outcome(), tubes.drape, fields, "cm")
    assert plate.data.startswith(b"\x89PNG")
    assert "stretched by 0 % or more across, 0 % or more along" in plate.alt


def test_poses_stand_side_by_side_with_the_rise_of_the_hem(
    make_outcome: Callable[..., Outcome],
) -> None:
    outcomes = [make_outcome(), make_outcome(pose="reaching up", rise_m=0.08)]
    text = " ".join(poses_told(outcomes, Telling("cm")))
    assert "Wrap, pose by pose" in text
    assert "the hem rises: behind +8 cm, side +8 cm, front +8 cm" in text
    assert list(poses_told(outcomes[:1], Telling("cm"))) == []


def test_every_variant_is_told_against_the_first(make_outcome: Callable[..., Outcome]) -> None:
    first = make_outcome("First")
    other = make_outcome("Other", length_m=1.2, sleeve_drop_m=0.25)
    (text,) = differences_told([first, other], Telling("cm"))
    # half of 20 cm shorter hangs behind; 3 cm deeper is 6 cm more round
    assert "length 120 cm; sleeve drop 25 cm" in text
    assert "<td>10 cm higher</td>" in text
    assert "<td>6 cm more</td>" in text
    assert "g lighter" in text
    assert "<td>alike</td>" in text
    assert list(differences_told([first], Telling("cm"))) == []


def test_the_table_for_programs_carries_units(
    make_outcome: Callable[..., Outcome], tmp_path: Path
) -> None:
    outcome = make_outcome()
    write_measures(tmp_path / "measures.csv", (outcome,))
    with (tmp_path / "measures.csv").open(newline="", encoding="utf-8") as file:
        rows = {row["measure"]: row for row in csv.DictReader(file)}
    hem = rows["hem, centre back, height"]
    assert (hem["unit"], hem["variant"], hem["pose"]) == ("m", "Wrap", "standing")
    assert float(hem["value"]) == pytest.approx(outcome.fit.hem.centre_back.height_m)
    assert rows["mass, garment"]["unit"] == "kg"
    assert rows["worn, pressure"]["unit"] == "Pa"
    assert rows["sleeves, left, air, air"]["unit"] == "m3"
    assert rows["folds, count"]["unit"] == ""
    assert "hem curve, height" not in rows


def test_without_matplotlib_there_are_no_plots_and_the_page_says_so(
    make_outcome: Callable[..., Outcome], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    with pytest.raises(NapfoldError, match="need matplotlib"), figure(1.0, 1.0):
        pass
    report = Report(
        title="Wrap",
        units="cm",
        views=("front",),
        outcomes=(make_outcome(),),
        no_plates="There are no plots. Plots need matplotlib, which this Python has not.",
    )
    assert report.no_plates in report_html(report)

# SPDX-License-Identifier: GPL-3.0-or-later
"""The cloth tables of a job: swatch readings as a maker writes them, and back."""

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from napfold.core.cloth import ClothChoice
from napfold.core.errors import InputError
from napfold.core.job import load_job, save_job
from napfold.core.swatch import READINGS, Swatch

from .plain_job import read

JOB = """\
name = "Wrap"
units = "in"
[tape]
height = "168 cm"
bust_girth = "38 in"
[cloth.outer]
kind = "light plush"
price = "12.50 per yd"
bolt_width = "58 in"
shrinkage_along = "2 %"
[cloth.outer.swatch]
piece = "8 x 8 in"
piece_mass = ["11 g", "0.39 oz"]
overhang_along = ["3.6 cm", "1 7/16 in"]
overhang_across_pile_up = "3.0 cm"
marks_across = ["11.4 cm"]
stack_plies = 6
stack_board = "4 in x 4 in"
stack_light = "2.1 cm"
tilt_with_nap = ["24 deg", "25 cm on 60 cm"]
[cloth.lining]
kind = "light plush"
[cut]
cloth_width = "58 in"
length = "1 1/2 yd"
body_width = "26 in"
sleeve_drop = "8 in"
"""


def test_readings_are_read_in_any_unit(tmp_path: Path) -> None:
    choice = read(tmp_path, JOB).outer
    given = choice.swatch.given
    assert given["piece"] == (pytest.approx(0.2032), pytest.approx(0.2032))
    assert given["piece_mass"] == (0.011, pytest.approx(0.39 * 0.028349523125))
    assert given["overhang_along"] == (0.036, pytest.approx(0.0365125))
    assert given["overhang_across_pile_up"] == (0.030,)
    assert given["stack_plies"] == 6
    assert given["tilt_with_nap"] == (
        pytest.approx(math.radians(24)),
        pytest.approx(math.asin(25 / 60)),
    )
    assert choice.price_per_m == pytest.approx(12.5 / 0.9144)
    assert choice.shrinkage_along == 0.02
    cloth = choice.cloth()
    assert cloth.mass_kg_m2 == pytest.approx((0.011 + 0.39 * 0.028349523125) / 2 / 0.2032**2)
    assert cloth.bolt_width_m == pytest.approx(1.4732)
    assert cloth.thickness_m == pytest.approx(0.0035)


def test_a_saved_swatch_reads_the_same(tmp_path: Path) -> None:
    job = read(tmp_path, JOB)
    save_job(tmp_path / "again.toml", job)
    text = (tmp_path / "again.toml").read_text(encoding="utf-8")
    assert load_job(tmp_path / "again.toml") == job
    assert "[cloth.outer.swatch]" in text
    assert 'piece = "8 in x 8 in"' in text
    assert 'price = "12.5 /yd"' in text


def reading(key: str) -> st.SearchStrategy[object]:
    """Any readings of a key, within a narrow band so that they agree."""
    kind = READINGS[key]
    one = st.floats(0.10, 0.11).map(lambda share: kind.low + share * (kind.high - kind.low))
    match kind.form:
        case "one":
            return one
        case "count":
            return st.integers(2, 8)
        case "sides":
            return st.tuples(one, one)
        case "points":
            point = st.tuples(st.floats(-900, 900), st.floats(-900, 900))
            return st.lists(point, min_size=12, max_size=20).map(tuple)
        case _:
            return st.lists(one, min_size=1, max_size=3).map(tuple)


@settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_any_record_survives_saving(data: st.DataObject, tmp_path: Path) -> None:
    keys = data.draw(
        st.sets(
            st.sampled_from(
                [
                    "scale_step",
                    "overhang_along",
                    "overhang_across_pile_down",
                    "stack_plies",
                    "stack_board",
                    "stack_light",
                    "tilt_backs",
                    "tilt_cotton",
                    "wash_marks",
                ]
            )
        )
    )
    given = {key: data.draw(reading(key), label=key) for key in sorted(keys)}
    job = read(tmp_path, JOB)
    # a sleeve for the thickest cloth that the readings may tell of
    cut = replace(job.cut, sleeve_drop_m=0.4)
    lining = ClothChoice(kind="curly pile", swatch=Swatch(given=given))
    job = replace(job, cut=cut, lining=lining)
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job


def test_a_traced_outline_is_points_of_a_picture(tmp_path: Path) -> None:
    points = [
        [round(500 + 300 * math.cos(turn), 1), round(400 + 300 * math.sin(turn), 1)]
        for turn in (2 * math.pi * part / 12 for part in range(12))
    ]
    lines = f"round_outline = {points}\nround_ruler = [[0, 0], [250, 0]]\n"
    job = read(tmp_path, JOB.replace("[cloth.lining]", f"{lines}[cloth.lining]"))
    assert job.outer.swatch.points("round_ruler") == ((0.0, 0.0), (250.0, 0.0))
    assert len(job.outer.swatch.points("round_outline")) == 12
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job


def test_variants_change_a_reading_and_another_kind_leaves_the_swatch_behind(
    tmp_path: Path,
) -> None:
    variants = (
        "[[variant]]\nname = 'stiff'\ncloth.outer.swatch.overhang_along = ['5 cm', '5.1 cm']\n"
        "[[variant]]\nname = 'other'\ncloth.outer.kind = 'curly pile'\n"
    )
    job = read(tmp_path, JOB + variants)
    (_, stiff), (_, other) = job.expand()
    assert stiff.outer.swatch.many("overhang_along") == (0.05, 0.051)
    assert stiff.outer.swatch.many("piece_mass") == job.outer.swatch.many("piece_mass")
    assert other.outer == ClothChoice(kind="curly pile")
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job


@pytest.mark.parametrize(
    ("line", "changed", "key", "value", "remedy"),
    [
        ('"3.6 cm"', '"36 cm"', "overhang_along", "14 1/8 in", "unit"),
        ('"3.6 cm"', '"7.6 cm"', "overhang_along", "0.018", "slip"),
        ('"3.6 cm"', "3.6", "overhang_along", "a list of 2", "quotes"),
        ('"3.6 cm"', '"3.6"', "overhang_along", '"3.6"', "unit"),
        ('"8 x 8 in"', '"8 in"', "piece", '"8 in"', "both"),
        ('"8 x 8 in"', '"8 x 8"', "piece", '"8 x 8"', "unit"),
        ('"8 x 8 in"', "['8 x 8 in', '8 x 8 in']", "piece", "a list of 2", "one"),
        ('"25 cm on 60 cm"', '"60 cm on 25 cm"', "tilt_with_nap", "60 cm on 25", "how high"),
        ('"25 cm on 60 cm"', '"75 deg"', "tilt_with_nap", "75", "unit"),
        ("stack_plies = 6", "stack_plies = 6.5", "stack_plies", "6.5", "range"),
        ("overhang_along", "overhang_long", "overhang_long", "not a key", "overhang_along"),
        ('piece = "8 x 8 in"\n', "", "piece", "missing", "add a line"),
    ],
)
def test_a_mistake_in_a_reading_is_told_by_its_key(
    line: str, changed: str, key: str, value: str, remedy: str, tmp_path: Path
) -> None:
    assert line in JOB
    with pytest.raises(InputError) as caught:
        read(tmp_path, JOB.replace(line, changed, 1))
    assert caught.value.key == f"cloth.outer.swatch.{key}"
    assert value in str(caught.value.value)
    assert remedy in caught.value.remedy


@pytest.mark.parametrize(
    ("added", "value"),
    [
        ("round_outline = 3", "3"),
        ("round_outline = [[1, 2, 3]]", "a list of 1"),
        ("round_outline = [['1', 2]]", "a list of 1"),
        ("round_outline = [[true, 2]]", "a list of 1"),
    ],
)
def test_points_that_are_none_are_told(added: str, value: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, JOB.replace("[cloth.lining]", f"{added}\n[cloth.lining]"))
    assert caught.value.key == "cloth.outer.swatch.round_outline"
    assert caught.value.value == value

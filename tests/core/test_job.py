# SPDX-License-Identifier: GPL-3.0-or-later
"""The job file: what it says is what is read and what is saved."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from napfold.core.cloth import ClothChoice, library
from napfold.core.job import AS_IT_STANDS, VIEWS, Job, load_job, save_job
from napfold.core.least_room import require_room
from napfold.core.mannequin.own_body import BodyChoice
from napfold.core.pattern import Cut
from napfold.core.pictures.choice import (
    BACKGROUNDS,
    MANNEQUINS,
    SIZES_PX,
    Colourway,
    PictureChoice,
)
from napfold.core.pictures.shots import SHOTS
from napfold.core.tape import Tape, complete
from napfold.core.units import UNIT_SYSTEMS, RangeError
from napfold.core.variants import Variant

from .plain_job import OWN, PLAIN, read, refusal

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"


def test_a_plain_job_says_what_it_says(tmp_path: Path) -> None:
    job = read(tmp_path, PLAIN)
    assert job.tape.given == {"height": 1.68, "bust_girth": 0.9652, "hip_girth": 1.0414}
    assert job.cut == Cut(
        cloth_width_m=1.4732, length_m=1.3716, body_width_m=0.6604, sleeve_drop_m=0.2032
    )
    assert job.outer == ClothChoice(kind="long pile", mass_kg_m2=0.64)
    assert job.outer_cloth.mass_kg_m2 == 0.64
    assert job.lining_cloth == library()["light plush"]
    assert (job.poses, job.picture_size_px, job.views) == (("standing",), 800, VIEWS)
    assert job.expand() == (("Wrap", job),)


def test_the_demo_compares_two_lengths_and_two_piles() -> None:
    job = load_job(JOBS / "larch_hut.toml")
    drapes = dict(job.expand())
    assert len(drapes) == 4
    figures = {
        (drape.cut.length_m, drape.outer.kind, drape.lining.kind) for drape in drapes.values()
    }
    assert figures == {
        (yards * 0.9144, *kinds)
        for yards in (1, 1.5)
        for kinds in (("light plush", "light plush"), ("long pile", "curly pile"))
    }
    for drape in drapes.values():
        assert drape.cut.sleeve_drop_m == 0.2032
        assert drape.cut.cloth_width_m == 1.4732
        assert drape.outer.colour == "#5a6b4e"
        assert drape.variants == ()


def test_the_metric_job_compares_two_lengths() -> None:
    drapes = dict(load_job(JOBS / "larch_hut_metric.toml").expand())
    assert {name: drape.cut.length_m for name, drape in drapes.items()} == {
        "150 cm": 1.5,
        "180 cm": 1.8,
    }


@pytest.mark.parametrize("name", ["larch_hut", "larch_hut_metric", "larch_hut_options"])
def test_sample_jobs_are_saved_as_they_were_read(name: str, tmp_path: Path) -> None:
    job = load_job(JOBS / f"{name}.toml")
    save_job(tmp_path / "job.toml", job)
    assert load_job(tmp_path / "job.toml") == job


def some_of(words: Iterable[str]) -> st.SearchStrategy[tuple[str, ...]]:
    return st.lists(st.sampled_from(list(words)), min_size=1, unique=True).map(tuple)


hexes = st.integers(0, 0xFFFFFF).map("#{:06x}".format)
colours = st.none() | hexes
figures = st.lists(hexes, max_size=3).map(tuple)
picture_sets = st.builds(
    PictureChoice,
    shots=some_of(SHOTS),
    sizes=some_of(SIZES_PX),
    backgrounds=some_of(BACKGROUNDS),
    mannequin=st.sampled_from(MANNEQUINS),
    turntable=st.just(0) | st.integers(8, 120),
    comparison=st.booleans(),
    colourways=st.lists(
        st.builds(
            Colourway,
            name=st.sampled_from(["moss", "dusk"]),
            outer=colours,
            lining=colours,
            outer_print=figures,
            lining_print=figures,
        ),
        max_size=2,
        unique_by=lambda way: way.name,
    ).map(tuple),
)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Jobs of wearers near the survey's middle, with figures to the last bit."""

    def between(low: float, high: float) -> float:
        return low + draw(st.floats(0, 1)) * (high - low)

    def maybe(low: float, high: float) -> float | None:
        return between(low, high) if draw(st.booleans()) else None

    def choice() -> ClothChoice:
        return ClothChoice(
            kind=draw(st.sampled_from(sorted(library()))),
            mass_kg_m2=maybe(0.1, 1.5),
            thickness_m=maybe(0.001, 0.02),
            pile_height_m=maybe(0.0, 0.08),
            bending_length_along_m=maybe(0.01, 0.05),
            bending_length_across_m=maybe(0.01, 0.05),
            bolt_width_m=maybe(1.0, 2.3),
            shrinkage_along=maybe(0.0, 0.1),
            price_per_m=maybe(1.0, 80.0),
            colour=draw(st.none() | st.from_regex("#[0-9a-f]{6}", fullmatch=True)),
        )

    line = st.text(st.characters(blacklist_categories=("C", "Z")), min_size=1, max_size=20).filter(
        str.isprintable
    )
    changes = st.fixed_dictionaries(
        {},
        optional={
            "cut.length": st.sampled_from(["1.6 m", "70 in", "1 3/4 yd"]),
            "cloth.outer.kind": st.sampled_from(sorted(library())),
            "cloth.lining.mass": st.just("300 g/m2"),
            "tape.hip_girth": st.just("104 cm"),
            "drape.poses": st.just(("standing",)),
            "drape.ranges": st.booleans(),
            "drape.advice": st.booleans(),
            "drape.reach": st.booleans(),
        },
    )
    names = draw(st.lists(line, max_size=3, unique=True))
    return Job(
        name=draw(line),
        units=draw(st.sampled_from(UNIT_SYSTEMS)),
        tape=Tape(
            sex=draw(st.sampled_from(["female", "male", "unstated"])),
            given={
                "height": between(1.6, 1.8),
                "bust_girth": between(0.9, 1.1),
                "body_mass": between(65, 85),
                "shoulder_slope": between(0.35, 0.5),
            },
        ),
        outer=choice(),
        lining=choice(),
        cut=Cut(
            cloth_width_m=between(1.4, 1.6),
            length_m=between(1.2, 1.6),
            body_width_m=between(0.7, 0.9),
            sleeve_drop_m=between(0.27, 0.32),
            corner_radius_m=between(0.01, 0.15),
        ),
        picture_size_px=draw(st.integers(64, 4096)),
        ranges=draw(st.booleans()),
        advice=draw(st.booleans()),
        reach=draw(st.booleans()),
        views=tuple(draw(st.lists(st.sampled_from(VIEWS), min_size=1, unique=True))),
        pictures=draw(picture_sets),
        variants=tuple(Variant(name=name, changes=draw(changes)) for name in names),
    )


@settings(
    deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(job=jobs())
def test_load_save_load_is_identical(job: Job, tmp_path: Path) -> None:
    first, second = tmp_path / "first.toml", tmp_path / "second.toml"
    save_job(first, job)
    loaded = load_job(first)
    assert loaded == job
    save_job(second, loaded)
    assert second.read_bytes() == first.read_bytes()


def test_another_kind_of_cloth_leaves_the_first_ones_figures_behind(tmp_path: Path) -> None:
    text = f"{PLAIN}[[variant]]\nname = 'same'\n[[variant]]\nname = 'other'\n"
    same, other = read(tmp_path, f'{text}cloth.outer.kind = "short pile"\n').expand()
    assert same[1].outer_cloth.mass_kg_m2 == 0.64
    assert other[1].outer_cloth == library()["short pile"]


def test_a_variant_may_leave_out_what_the_job_gives(tmp_path: Path) -> None:
    told = (
        '[[variant]]\nname = "estimated"\ntape.hip_girth = "left out"\n'
        'cloth.outer.mass = "left out"\n'
    )
    ((_, varied),) = read(tmp_path, PLAIN + told).expand()
    assert "hip_girth" not in varied.tape.given
    assert varied.outer == ClothChoice(kind="long pile")
    needed = refusal(tmp_path, PLAIN + '[[variant]]\nname = "no"\ncut.length = "left out"\n')
    assert needed.key == 'variant "no", cut.length'
    nowhere = '[[variant]]\nname = "no"\ntape.waist_girth = "left out"\n'
    assert refusal(tmp_path, PLAIN + nowhere).key == 'variant "no", tape.waist_girth'


def test_room_is_half_of_girths_given_or_estimated() -> None:
    measures, _ = complete(Tape(given={"height": 1.68, "bust_girth": 0.96, "hip_girth": 1.04}))
    arm = measures.value("upper_arm_girth")
    assert not measures["upper_arm_girth"].given
    least = (arm + np.pi * 0.02) / 2  # the middle of 2 cm of cloth lies 1 cm off the arm
    cut = Cut(cloth_width_m=1.5, length_m=1.4, body_width_m=0.52, sleeve_drop_m=least)
    require_room(cut, measures, 0.02)
    with pytest.raises(RangeError, match="upper arm") as caught:
        require_room(replace(cut, sleeve_drop_m=least - 0.001), measures, 0.02)
    np.testing.assert_allclose(caught.value.low_si, least, rtol=1e-12)
    with pytest.raises(RangeError, match="largest girth") as caught:
        require_room(replace(cut, body_width_m=0.519), measures, 0.02)
    np.testing.assert_allclose(caught.value.low_si, 0.52, rtol=1e-12)


def test_a_byte_order_mark_is_no_mistake(tmp_path: Path) -> None:
    marked = tmp_path / "marked.toml"
    marked.write_text(PLAIN, encoding="utf-8-sig")
    assert load_job(marked) == read(tmp_path, PLAIN)


def test_a_body_of_ones_own_is_a_file_beside_the_job(tmp_path: Path) -> None:
    job = read(tmp_path, OWN)
    assert job.body == BodyChoice(path=tmp_path / "scans" / "guest.ply")
    assert job.poses == (AS_IT_STANDS,)
    told = read(tmp_path, OWN.replace('guest.ply"', "guest.ply\"\nunit = 'mm'\nup = 'y'"))
    assert told.body == BodyChoice(path=tmp_path / "scans" / "guest.ply", unit="mm", up="y")


def test_the_tape_may_be_left_out_beside_a_body(tmp_path: Path) -> None:
    start, end = OWN.index("[tape]"), OWN.index("[body]")
    job = read(tmp_path, OWN[:start] + OWN[end:])
    assert dict(job.tape.given) == {}
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job


def test_a_saved_job_finds_its_body_from_its_own_folder(tmp_path: Path) -> None:
    job = read(tmp_path, OWN + "[[variant]]\nname = 'long'\ncut.length = '1.8 m'\n")
    ((name, long),) = job.expand()
    assert long.body == job.body
    save_job(tmp_path / "out" / name / "job.toml", long)
    text = (tmp_path / "out" / name / "job.toml").read_text(encoding="utf-8")
    assert 'file = "../../scans/guest.ply"' in text
    assert load_job(tmp_path / "out" / name / "job.toml").body == job.body


def test_a_cut_is_not_held_against_a_tape_that_the_body_overrules(tmp_path: Path) -> None:
    narrow = OWN.replace('body_width = "26 in"', 'body_width = "20 in"')
    assert read(tmp_path, narrow).cut.body_width_m == pytest.approx(20 * 0.0254)

# SPDX-License-Identifier: GPL-3.0-or-later
"""The job file: what it says is what is read, what is saved, and what a mistake is told as."""

import math
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from napfold.core.cloth import ClothChoice, library
from napfold.core.errors import FileError, InputError
from napfold.core.job import AS_IT_STANDS, VIEWS, Job, load_job, save_job
from napfold.core.least_room import require_room
from napfold.core.mannequin.own_body import BodyChoice
from napfold.core.pattern import Cut, neck_length_m
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

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"
PLAIN = """\
name = "Wrap"
units = "in"
[tape]
height = "168 cm"
bust_girth = "38 in"
hip_girth = "41 in"
[cloth.outer]
kind = "long pile"
mass = "640 g/m2"
[cloth.lining]
kind = "light plush"
[cut]
cloth_width = "58 in"
length = "1 1/2 yd"
body_width = "26 in"
sleeve_drop = "8 in"
"""


def read(folder: Path, text: str) -> Job:
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    return load_job(path)


def refusal(folder: Path, text: str) -> InputError:
    with pytest.raises(InputError) as caught:
        read(folder, text)
    return caught.value


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


@pytest.mark.parametrize(
    ("line", "changed", "key", "value", "allowed", "remedy"),
    [
        # impossible cuts, in the job's units and the maker's own writing
        (
            'sleeve_drop = "8 in"',
            'sleeve_drop = "28 in"',
            "cut.sleeve_drop",
            '"28 in"',
            "3 1/4 in to 25 in",  # half of 54 in, less 5 cm of side
            "less deep than half the length",
        ),
        (
            'body_width = "26 in"',
            'body_width = "5 ft"',
            "cut.body_width",
            '"5 ft"',
            "11 7/8 in to 54 in",
            "narrower than the cloth",
        ),
        (
            'body_width = "26 in"',
            'body_width = "20 in"',
            "cut.body_width",
            '"20 in"',
            "20 1/2 in to 54 in",  # half of the hip girth of 41 in
            "largest girth",
        ),
        (
            'sleeve_drop = "8 in"',
            'sleeve_drop = "8 in"\ncorner_radius = "50 cm"',
            "cut.corner_radius",
            '"50 cm"',
            "1/2 in to 16 in",
            "small enough",
        ),
        (
            'sleeve_drop = "8 in"',
            'sleeve_drop = "8 in"\nneck_width = "27 in"',
            "cut.neck_width",
            '"27 in"',
            "4 in to 15 5/8 in",
            "narrower than the body",
        ),
        ("58 in", "580 in", "cut.cloth_width", '"580 in"', "23 5/8 in to 125 7/8 in", "bolt"),
        ('"640 g/m2"', '"640 kg/m2"', "cloth.outer.mass", '"640 kg/m2"', "oz/yd²", "swatch"),
        # the wearer
        ('"38 in"', '"38 cm"', "tape.bust_girth", '"38 cm"', "to", "unit"),
        # words and keys
        ("sleeve_drop", "sleeve_drip", "cut.sleeve_drip", "not a key", "drop", "write sleeve_drop"),
        ("hip_girth", "hip_grith", "tape.hip_grith", "not a key", "hip", "write hip_girth"),
        ('"light plush"', '"lite plush"', "cloth.lining.kind", "lite", "long", '"light plush"'),
        ('units = "in"', 'units = "yd"', "units", '"yd"', "cm, in", "choose"),
        ('length = "1 1/2 yd"', "", "cut.length", "missing", "a length", "add a line"),
        ('bust_girth = "38 in"', "", "tape.bust_girth", "missing", "a length", "add a line"),
        ('kind = "light plush"', "", "cloth.lining.kind", "missing", "plush", "add a line"),
        # values of the wrong kind
        ('"58 in"', "58", "cut.cloth_width", "58", "with its unit", "quotes"),
        ('"58 in"', '"58"', "cut.cloth_width", '"58"', '"60 in"', "add the unit"),
        ('"58 in"', "true", "cut.cloth_width", "true", "with its unit", "quotes"),
        ('"58 in"', "['58 in']", "cut.cloth_width", "a list of 1", "with its unit", "quotes"),
        ('"Wrap"', '"two\\nlines"', "name", "\\n", "80 characters", "one line"),
        ('"Wrap"', f'"{"x" * 81}"', "name", "xxx...", "80 characters", "one line"),
        ("[cut]", "[[cut]]", "cut", "a list of 1", "a table", '"[cut]"'),
    ],
)
def test_a_mistake_is_told_with_key_value_range_and_remedy(
    line: str, changed: str, key: str, value: str, allowed: str, remedy: str, tmp_path: Path
) -> None:
    assert line in PLAIN
    error = refusal(tmp_path, PLAIN.replace(line, changed, 1))
    assert error.key == key
    assert value in str(error.value)
    assert allowed in error.allowed
    assert remedy in error.remedy


@pytest.mark.parametrize(
    ("added", "key", "remedy"),
    [
        ("[drape]\nposes = ['standin']", "drape.poses", '"standing"'),
        ("[drape]\nposes = 'standing'", "drape.poses", "between [ and ]"),
        ("[drape]\nposes = []", "drape.poses", "between [ and ]"),
        ("[drape]\nposes = ['standing', 'standing']", "drape.poses", "second"),
        ("[pictures]\nsize = 800.0", "pictures.size", "in this range"),
        ("[pictures]\nsize = 100000", "pictures.size", "in this range"),
        ("[pictures]\nviews = ['top']", "pictures.views", "choose"),
        ("[pictures]\nshots = ['frontt']", "pictures.shots", 'write "front"'),
        ("[pictures]\nshots = []", "pictures.shots", "between"),
        ("[pictures]\nsizes = ['1000']", "pictures.sizes", "choose"),
        ("[pictures]\nbackgrounds = ['green']", "pictures.backgrounds", "grey"),
        ("[pictures]\nmannequin = 'none'", "pictures.mannequin", "choose"),
        ("[pictures]\nturntable = 3", "pictures.turntable", "in this range"),
        ("[pictures]\ncomparison = 1", "pictures.comparison", "without quotes"),
        ("[[pictures.colourway]]\nname = 'a'\nouter = 'blue'", "pictures.colourway.outer", "#"),
        (
            "[[pictures.colourway]]\nname = 'a'\nouter_print = ['blue']",
            "pictures.colourway.outer_print",
            "#",
        ),
        (
            "[[pictures.colourway]]\nname = 'a'\nlining_print = ['#000000','#000001','#000002','#000003']",
            "pictures.colourway.lining_print",
            "leave some out",
        ),
        ("[[pictures.colourway]]\nouter = '#001122'", "pictures.colourway.name", "add a line"),
        ("[[variant]]\ncut.length = '2 m'", "variant.name", "add a line"),
        ("[[variant]]\nname = 'a'\n[[variant]]\nname = 'a'", "variant.name", "rename"),
        ("[variant]\nname = 'a'", "variant", '"[[variant]]"'),
        ("[[variant]]\nname = 'a'\npictures.size = 90", "variant.pictures", "leave it out"),
        ("[[variant]]\nname = 'a'\ncut.lenght = '2 m'", 'variant "a", cut.lenght', "write length"),
        ("[[variant]]\nname = 'a'\ncut.length.x = 1", 'variant "a", cut.length', "quotes"),
        ("[[variant]]\nname = 'a'\ncut = 1", 'variant "a", cut', '"[cut]"'),
        ("[[variant]]\nname = 'a'\ncut" + ".a" * 5000 + " = 1", 'variant "a", cut.a', "leave"),
        ("\n".join(f"[[variant]]\nname = '{k}'" for k in range(25)), "variant", "several files"),
    ],
)
def test_mistakes_in_the_rest_of_the_file(
    added: str, key: str, remedy: str, tmp_path: Path
) -> None:
    error = refusal(tmp_path, f"{PLAIN}{added}\n")
    assert error.key == key
    assert remedy in error.remedy


def test_a_variant_that_cannot_be_cut_is_named_in_its_own_writing(tmp_path: Path) -> None:
    error = refusal(tmp_path, f"{PLAIN}[[variant]]\nname = 'cape'\ncut.length = '14 in'\n")
    assert error.key == 'variant "cape", cut.length'
    assert error.value == '"14 in"'
    assert error.allowed == "23 5/8 in to 157 3/8 in"


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


def test_a_word_is_guessed_only_from_a_slip_of_the_fingers(tmp_path: Path) -> None:
    poses = "[drape]\nposes = [{}]\n"
    slip = refusal(tmp_path, PLAIN + poses.format('"standng"'))
    assert slip.remedy == 'write "standing" if that is what you mean'
    other = refusal(tmp_path, PLAIN + poses.format('"dancing"'))
    assert other.remedy == "choose one of these"


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


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"name = ", "not a TOML file"),
        (b"\xff\xfe", "not plain text in UTF-8: byte 1 "),
        ('name = "Lärch"'.encode("latin-1"), "byte 10 .* Save it from a text editor"),
        (b"a = " + b"[" * 100_000, "not a TOML file"),
        (b"a = " + b"9" * 5000, "not a TOML file"),
        (b"#" * 1_000_001, "larger than 1000000 bytes"),
    ],
)
def test_a_file_that_is_no_job_is_refused_by_name(
    content: bytes, words: str, tmp_path: Path
) -> None:
    path = tmp_path / "no_job.toml"
    path.write_bytes(content)
    with pytest.raises(FileError, match=words) as caught:
        load_job(path)
    assert "no_job.toml" in str(caught.value)


def test_a_list_of_other_things_than_variants_is_told(tmp_path: Path) -> None:
    error = refusal(tmp_path, f"variant = ['long']\n{PLAIN}")
    assert (error.key, error.value) == ("variant", "a list of 1")
    assert '"[[variant]]"' in error.remedy


def test_a_byte_order_mark_is_no_mistake(tmp_path: Path) -> None:
    marked = tmp_path / "marked.toml"
    marked.write_text(PLAIN, encoding="utf-8-sig")
    assert load_job(marked) == read(tmp_path, PLAIN)


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"missing\.toml cannot be read"):
        load_job(tmp_path / "missing.toml")


OWN = PLAIN.replace("[cloth.outer]", '[body]\nfile = "scans/guest.ply"\n[cloth.outer]')


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


@pytest.mark.parametrize(
    ("written", "changed", "key", "allowed", "remedy"),
    [
        ("guest.ply", "guest.fbx", "body.file", ".glb, .obj, .ply, .stl", "export"),
        ("scans/guest.ply", "https://hut/guest.ply", "body.file", "on this computer", "copy"),
        ("scans/guest.ply", "//hut/guest.ply", "body.file", "on this computer", "copy"),
        ('file = "scans/guest.ply"', "unit = 'm'", "body.file", "a text", "add a line for file"),
        ('guest.ply"', "guest.ply\"\nunit = 'ell'", "body.unit", "m, cm, mm, in", "choose"),
        ('guest.ply"', "guest.ply\"\nup = 'x'", "body.up", "y, z", "choose"),
        ('guest.ply"', 'guest.ply"\nmesh = 1', "body.mesh", "file, unit, up", "use one"),
        ("[body]\n", "[[body]]\n", "body", "a table", '"[body]"'),
        ("[cut]", "[drape]\nposes = ['standing']\n[cut]", "drape.poses", "as it stands", "leave"),
    ],
)
def test_mistakes_about_a_body(
    written: str, changed: str, key: str, allowed: str, remedy: str, tmp_path: Path
) -> None:
    assert written in OWN
    error = refusal(tmp_path, OWN.replace(written, changed, 1))
    assert error.key == key
    assert allowed in error.allowed
    assert remedy in error.remedy


def test_only_a_body_of_ones_own_is_draped_as_it_stands(tmp_path: Path) -> None:
    error = refusal(tmp_path, f"{PLAIN}[drape]\nposes = ['as it stands']\n")
    assert error.key == "drape.poses"
    assert "[body]" in error.remedy


OPTIONS = """
neck = "oval"
neck_ease = "18 cm"
front = "overlapping"
front_overlap = "12 cm"
shoulder = "seamed"
shoulder_drop = "1 cm"
wrist_opening = "34 cm"
sleeve_shortened = "3 cm"
cuff_depth = "6 cm"
corner = "diagonal"
hem_curve = "4 cm"
back_longer = "6 cm"
side_flare = "5 cm"
side_split = "10 cm"
"""


def with_options(tmp_path: Path, options: str = OPTIONS) -> Job:
    text = PLAIN.replace("[cut]", "[cut]" + options)
    return read(tmp_path, text)


def test_every_option_of_the_cut_is_read_and_written_back(tmp_path: Path) -> None:
    job = with_options(tmp_path)
    cut = job.cut
    assert (str(cut.neck), str(cut.front)) == ("oval", "overlapping")
    assert (str(cut.shoulder), str(cut.corner)) == ("seamed", "diagonal")
    assert cut.side_split_m == pytest.approx(0.10)
    measures, _ = complete(job.tape)
    assert neck_length_m(cut) == pytest.approx(measures.value("neck_base_girth") + 0.18)
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job


def test_a_neck_has_either_an_ease_or_a_width(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="either neck_ease or neck_width"):
        with_options(tmp_path, '\nneck_ease = "18 cm"\nneck_width = "20 cm"\n')


def test_a_closed_front_lets_the_head_through_where_nothing_is_said_of_the_neck(tmp_path) -> None:
    closed = PLAIN.replace("[cut]", '[cut]\nfront = "closed"\n')
    plain = read(tmp_path, PLAIN)
    # the lining lies inside the seam
    head_m = complete(plain.tape)[0].value("head_girth") + math.pi * plain.lining_cloth.thickness_m
    for neck in ("", 'neck = "V"\n', 'neck = "oval"\n', 'neck = "high back"\n'):
        cut = read(tmp_path, closed.replace("[cut]", f"[cut]\n{neck}")).cut
        assert head_m + 0.02 <= neck_length_m(cut) < head_m + 0.025
        # both grew alike
        assert cut.neck_width_m / cut.neck_front_depth_m == pytest.approx(2, abs=0.02)
    chosen = read(tmp_path, closed.replace("[cut]", '[cut]\nneck_width = "18 cm"\n')).cut
    assert chosen.neck_width_m == pytest.approx(0.18)
    assert head_m + 0.02 <= neck_length_m(chosen) < head_m + 0.025
    both = '[cut]\nneck_width = "18 cm"\nneck_front_depth = "9 cm"\n'
    assert neck_length_m(read(tmp_path, closed.replace("[cut]", both)).cut) < head_m
    # a variant of an open front closes it: it is sized then, and only then
    text = (
        PLAIN + '\n[[variant]]\nname = "open"\n[[variant]]\nname = "closed"\ncut.front = "closed"\n'
    )
    cuts = {name: one.cut for name, one in read(tmp_path, text).expand()}
    assert cuts["open"].neck_width_m == pytest.approx(0.18)
    assert head_m + 0.02 <= neck_length_m(cuts["closed"]) < head_m + 0.025


def test_a_variant_may_size_the_neck_in_the_other_way(tmp_path: Path) -> None:
    variants = """
[[variant]]
name = "by width"
cut.neck_width = "20 cm"
[[variant]]
name = "another wearer"
tape.bust_girth = "99 cm"
"""
    text = PLAIN.replace("[cut]", '[cut]\nneck_ease = "12 cm"\n') + variants
    base = read(tmp_path, text)
    drapes = dict(base.expand())
    assert drapes["by width"].cut.neck_width_m == pytest.approx(0.20)
    assert drapes["by width"].cut.neck_ease_m is None
    # a larger neck base widens the opening
    assert drapes["another wearer"].cut.neck_width_m > base.cut.neck_width_m


def test_an_overlap_on_the_fold_is_refused_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(InputError, match='Write shoulder = "seamed"'):
        with_options(tmp_path, '\nfront = "overlapping"\n')

# SPDX-License-Identifier: GPL-3.0-or-later
"""What is told of a mistake in a job file: key, value as written, what is allowed, what to do."""

from pathlib import Path

import pytest
from napfold.core.errors import FileError
from napfold.core.job import load_job

from .plain_job import OWN, PLAIN, refusal


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


def test_a_word_is_guessed_only_from_a_slip_of_the_fingers(tmp_path: Path) -> None:
    poses = "[drape]\nposes = [{}]\n"
    slip = refusal(tmp_path, PLAIN + poses.format('"standng"'))
    assert slip.remedy == 'write "standing" if that is what you mean'
    other = refusal(tmp_path, PLAIN + poses.format('"dancing"'))
    assert other.remedy == "choose one of these"


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


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"missing\.toml cannot be read"):
        load_job(tmp_path / "missing.toml")


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

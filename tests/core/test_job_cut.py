# SPDX-License-Identifier: GPL-3.0-or-later
"""Options of the cut in a job file, and how its neck is sized."""

import math
from pathlib import Path

import pytest
from napfold.core.errors import InputError
from napfold.core.job import Job, load_job, save_job
from napfold.core.pattern import neck_length_m
from napfold.core.tape import complete

from .plain_job import PLAIN, read

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

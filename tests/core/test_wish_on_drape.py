# SPDX-License-Identifier: GPL-3.0-or-later
"""A wish granted on drapes: the hem hangs where it was wished, and the bill is that of the cut."""

from pathlib import Path

import pytest
from napfold.core.buying import HEMS, levels
from napfold.core.errors import InputError
from napfold.core.job import Job, load_job, save_job
from napfold.core.purchasing import purchased
from napfold.core.tape import complete
from napfold.core.wish_on_drape import grant_on_drapes

JOB = """
name = "Larch Hut wrap"
units = "cm"
[tape]
height = "168 cm"
bust_girth = "96.5 cm"
[cloth.outer]
kind = "light plush"
bolt_width = "160 cm"
price = "14 per m"
[cloth.lining]
kind = "light plush"
colour = "#445566"
bolt_width = "160 cm"
price = "9 per m"
[cut]
cloth_width = "147 cm"
length = "137 cm"
body_width = "70 cm"
sleeve_drop = "24 cm"
[wish]
hem = "mid-thigh"
draped = true
"""


def job(tmp_path: Path, text: str = JOB) -> Job:
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    return load_job(tmp_path / "job.toml")


def test_the_hem_hangs_where_it_was_wished(tmp_path: Path) -> None:
    read = job(tmp_path)
    steps: list[str] = []
    granted = grant_on_drapes(read, lambda step, _: steps.append(step))
    measures, _ = complete(read.tape)
    wished_m = levels(measures)[HEMS["mid-thigh"]]
    found = granted.granted
    # to a step of what is proposed, and what a warm start leaves open
    assert found.wished.fit.hem.height_m == pytest.approx(wished_m, abs=0.01)
    assert found.less is not None
    assert found.less.fit.hem.height_m > found.wished.fit.hem.height_m
    # what is bought beyond the need is at most a step of 10 cm of cloth, half of it behind
    if found.used_up is not None:
        assert -0.065 < found.used_up.fit.hem.height_m - found.wished.fit.hem.height_m < 0.01
    hems_m = [purchase.fit.hem.height_m for _, purchase in granted.lengths]
    assert hems_m == sorted(hems_m, reverse=True)
    assert [purchase.cost.total for _, purchase in granted.lengths] == sorted(
        purchase.cost.total for _, purchase in granted.lengths
    )
    # cut, cloth and cost are those of the same cut bought by flat measures
    flat = purchased(measures, found.wished.order, read.money, read.units).wished
    assert flat.order.cut == found.wished.order.cut
    assert flat.cost == found.wished.cost
    # flat measures are an estimate good to a few centimetres
    assert found.wished.fit.hem.height_m == pytest.approx(flat.fit.hem.height_m, abs=0.05)
    assert granted.drapes <= 3 + 3 + 3
    assert steps[0].startswith("wish, drape 1")


def test_the_choice_is_kept_in_the_job_file(tmp_path: Path) -> None:
    read = job(tmp_path)
    assert read.wish is not None
    assert read.wish.draped
    save_job(tmp_path / "again.toml", read)
    assert load_job(tmp_path / "again.toml") == read
    by_flat = job(tmp_path, JOB.replace("draped = true\n", ""))
    assert by_flat.wish is not None
    assert not by_flat.wish.draped


def test_without_a_wish_nothing_is_granted(tmp_path: Path) -> None:
    text = JOB[: JOB.index("[wish]")]
    with pytest.raises(InputError, match="wish is missing"):
        grant_on_drapes(job(tmp_path, text), lambda *_: None)

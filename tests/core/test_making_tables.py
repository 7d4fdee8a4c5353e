# SPDX-License-Identifier: GPL-3.0-or-later
"""Sewing, lay and money in a job file, and the bill."""

import re
from pathlib import Path

import pytest
from napfold.core.buying import Wish
from napfold.core.cloth import ClothChoice
from napfold.core.errors import InputError
from napfold.core.job import load_job, save_job
from napfold.core.lay import Nap, Order, lay_orders
from napfold.core.money import Money, cost
from napfold.core.units import RangeError

from .plain_job import read

JOB = """
name = "Larch Hut wrap"
units = "in"
[tape]
height = "168 cm"
bust_girth = "38 in"
[cloth.outer]
kind = "light plush"
price = "12 per yd"
shrinkage_along = "0 %"
[cloth.lining]
kind = "light plush"
price = "12 per yd"
shrinkage_along = "0 %"
[cut]
cloth_width = "58 in"
length = "1 yd"
body_width = "26 in"
sleeve_drop = "8 in"
"""
MAKING = """
[sewing]
allowance = "1/2 in"
hem_allowance = "1 in"
[lay]
nap = "either way"
selvedge = "1/4 in"
garments = 3
wash_first = false
[[lay.piece]]
name = "patch pocket"
width = "7 in"
length = "8 in"
count = 2
cloth = "lining"
any_grain = true
[money]
currency = "$"
thread = 3.50
[wish]
hem = "31 1/2 in"
sleeve_end = "wrist"
body = "loose"
sleeve = "4 in"
"""


def test_tables_are_read_and_written_back(tmp_path: Path) -> None:
    job = read(tmp_path, JOB + MAKING)
    assert job.allowances.hem_m == pytest.approx(0.0254)
    assert job.allowances.neck_m == pytest.approx(0.0127)
    assert job.lay.nap is Nap.EITHER_WAY
    assert job.lay.garments == 3
    assert not job.lay.wash_first
    (pocket,) = job.lay.extras
    assert (pocket.width_m, pocket.count, pocket.layer) == (pytest.approx(0.1778), 2, "lining")
    assert job.money == Money(currency="$", thread=3.5)
    assert job.wish == Wish(hem=0.8001, sleeve_end="wrist", body="loose", sleeve=0.1016)
    save_job(tmp_path / "again.toml", job)
    assert load_job(tmp_path / "again.toml") == job


def test_a_variant_may_change_the_lay(tmp_path: Path) -> None:
    variant = '[[variant]]\nname = "six"\nlay.garments = 6\n'
    ((_, six),) = read(tmp_path, JOB + MAKING + variant).expand()
    assert six.lay.garments == 6
    assert len(six.lay.extras) == 1


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('[lay]\nnap = "sideways"\n', r"lay\.nap is .*one way, either way"),
        ("[lay]\ngarments = 99\n", r"lay\.garments is 99; allowed: a whole number from 1 to 24"),
        ('[lay]\nwash_first = "no"\n', r"lay\.wash_first is \"no\"; allowed: true, false"),
        ("[money]\nthread = -1\n", r"money\.thread is -1; allowed: a number from 0"),
        ('[money]\nthread = "3.50"\n', r"without quotes and unit"),
        ('[wish]\nhem = "hips"\n', r'wish\.hem is "hips".*Write "hip"'),
        ('[sewing]\nallowance = "6 cm"\n', r"sewing\.underarm_allowance is .*allowed: 1/4 in to"),
    ],
)
def test_mistakes_are_told(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        read(tmp_path, JOB + text)


def test_bill_for_three(tmp_path: Path) -> None:
    job = read(tmp_path, JOB + MAKING)
    bill = cost(lay_orders([job.order], job.units), job.money)
    # six layers of a yard at 12 a yard, and thread for three
    assert bill.total == pytest.approx(6 * 12 + 3 * 3.5)
    assert bill.each == pytest.approx(24 + 3.5)
    assert bill.complete
    assert job.money.told(bill.each) == "$27.50"


def test_an_unknown_price_is_not_zero(tmp_path: Path) -> None:
    job = read(tmp_path, JOB.replace('price = "12 per yd"', "", 1) + MAKING)
    bill = cost(lay_orders([job.order], job.units), job.money)
    assert [line.amount for line in bill.lines] == [None, pytest.approx(36), pytest.approx(10.5)]
    assert not bill.complete


@pytest.mark.parametrize(
    ("currency", "told"), [("€", "€4.50"), ("kr", "4.50 kr"), ("", "4.50"), ("CHF", "4.50 CHF")]
)
def test_currency_stands_where_people_write_it(currency: str, told: str) -> None:
    assert Money(currency=currency).told(4.5) == told


def test_cloth_of_another_colour_is_another_bolt(tmp_path: Path) -> None:
    job = read(tmp_path, JOB)
    other = Order(
        name="two colours",
        cut=job.cut,
        allowances=job.allowances,
        outer=ClothChoice(kind="light plush", colour="#112233"),
        lining=ClothChoice(kind="light plush", colour="#445566"),
        choice=job.lay,
    )
    assert len(lay_orders([other], "in").bolts) == 2


def test_too_wide_is_told_in_the_words_of_the_job(tmp_path: Path) -> None:
    job = read(tmp_path, JOB.replace('"58 in"', '"62 in"'))
    with pytest.raises(RangeError, match=r"cut\.cloth_width"):
        lay_orders([job.order], job.units)


def test_the_readme_tells_tables_that_can_be_read_and_laid(tmp_path: Path) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"```toml\n(.*?)```", readme, flags=re.DOTALL)
    (making,) = (block for block in blocks if "[sewing]" in block)
    job = read(tmp_path, JOB + making)
    (bolt,) = lay_orders([job.order], job.units).bolts
    # two layers, two pockets and two mats for each of three wraps
    assert len(bolt.placed) == 3 * (2 + 2 + 2)
    assert job.wish == Wish(hem="knee", sleeve_end="wrist", body="loose", sleeve="coat")

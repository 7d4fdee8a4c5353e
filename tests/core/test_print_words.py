# SPDX-License-Identifier: GPL-3.0-or-later
"""What a print asks of the lay, and what the cutting plan tells of it."""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from napfold.core.cloth import Print
from napfold.core.job import Job
from napfold.core.lay import Nap, lay_orders
from napfold.core.pattern import Shoulder
from napfold.core.sheets.plan import batch_plan, cutting_plan
from napfold.core.sheets.purchase import shopping_blocks
from napfold.core.sheets.sheet_job import sheet_job
from napfold.core.telling import Telling
from napfold.core.units import parse_quantity

from .printed_job import read


def test_the_lay_takes_repeat_and_way_from_the_print(tmp_path: Path) -> None:
    told = ("[cloth.outer.print]", 'repeat = "12 cm"')
    job = read(tmp_path, *told, 'kind = "fern"')
    either = replace(job, lay=replace(job.lay, nap=Nap.EITHER_WAY))
    assert either.order.choice.print_repeat_m == pytest.approx(0.12)
    assert either.order.choice.nap is Nap.ONE_WAY
    written = replace(job, lay=replace(job.lay, print_repeat_m=0.2))
    assert written.order.choice.print_repeat_m == 0.2
    # stripes along the cloth come again anywhere, and have no way up
    striped = read(tmp_path, *told, 'kind = "stripe"')
    either = replace(striped, lay=replace(job.lay, nap=Nap.EITHER_WAY))
    assert either.order.choice.print_repeat_m == 0.0
    assert either.order.choice.nap is Nap.EITHER_WAY
    across = read(tmp_path, *told, 'kind = "stripe"', 'turn = "90 deg"')
    assert across.order.choice.print_repeat_m == pytest.approx(0.12)
    aslant = read(tmp_path, *told, 'kind = "check"', 'turn = "45 deg"')
    assert aslant.order.choice.print_repeat_m == 0.0


def test_the_cutting_plan_tells_way_and_repeat(tmp_path: Path) -> None:
    def told(kind: str) -> str:
        lines = ("[cloth.outer.print]", f'kind = "{kind}"', 'repeat = "12 cm"')
        return repr(cutting_plan(sheet_job(read(tmp_path, *lines)), "wrap"))

    cloth = read(tmp_path).outer_cloth
    # as it lies when it is marked: washed
    across, along = (
        f"{12 * (1 - shrinks):.1f} cm"
        for shrinks in (cloth.shrinkage_across, cloth.shrinkage_along)
    )
    assert along != "12.0 cm"
    told_across = (
        f"every {across} across (12 cm before the wash). Across the cloth it is not matched"
    )
    assert f"The print of the outer comes again {told_across}" in told("fern")
    told_along = f"every {along} (12 cm before the wash) along it: begin every layer"
    assert f"For the outer the cloth is laid for a print that comes again {told_along}" in told(
        "fern"
    )
    assert "has an upright way" in told("fern")
    assert "upside down" not in told("check")
    assert "laid for a print" not in told("stripe")
    assert "The print" not in repr(cutting_plan(sheet_job(read(tmp_path)), "wrap"))


@pytest.mark.parametrize("kind", ["fern", "stripe"])
def test_the_cutting_plan_tells_the_repeat_by_which_the_layers_are_laid(
    kind: str, tmp_path: Path
) -> None:
    lines = ("[cloth.outer.print]", f'kind = "{kind}"', 'repeat = "12 cm"')
    job = read(tmp_path, *lines, "[lay]", 'print_repeat = "25 cm"')
    sheet = sheet_job(job)
    bolt = next(bolt for bolt in sheet.lay.bolts if "outer" in bolt.layers)
    lying_m = 0.25 * (1 - job.outer_cloth.shrinkage_along)
    assert bolt.repeat_m == pytest.approx(lying_m)
    told = repr(cutting_plan(sheet, "wrap"))
    along = f"comes again every {100 * lying_m:.1f} cm (25 cm before the wash) along it"
    assert f"For the outer the cloth is laid for a print that {along}" in told
    assert "For the lining" not in told
    # once, and nowhere by the drawn 12 cm
    assert told.count("along it: begin every layer") == 1


def told_of(job: Job) -> str:
    return repr(cutting_plan(sheet_job(job), "wrap"))


def with_print(folder: Path, repeat_m: float, kind: str = "fern", turn_rad: float = 0.0) -> Job:
    job = read(folder)
    motif = Print(kind=kind, repeat_m=repeat_m, turn_rad=turn_rad)
    return replace(job, outer=replace(job.outer, print=motif))


def test_a_repeat_wider_than_the_cloth_is_cut_off_and_cannot_be_matched(tmp_path: Path) -> None:
    (outer, _) = sheet_job(read(tmp_path, 'bolt_width = "150 cm"')).lay.bolts
    usable_m, across = outer.usable_width_m, outer.shrinkage[1]
    for lying_m, wide in ((usable_m - 0.002, False), (usable_m, True), (1.7, True)):
        job = with_print(tmp_path, lying_m / (1 - across))
        job = replace(job, outer=replace(job.outer, bolt_width_m=1.5))
        told = told_of(job)
        assert ("The print of the outer comes again every" in told) is not wide
        assert ("does not come again across, and cannot be matched there" in told) is wide
        if wide:
            tell = Telling("cm").chosen
            assert f"One repeat of the print of the outer is {tell(lying_m)} wide" in told
            assert f"wider than the cloth, whose {tell(usable_m)} cut it off" in told


def test_a_turned_print_is_told_by_what_lies_across_the_cloth(tmp_path: Path) -> None:
    """Stripes across the cloth are alike all over its width; a check turned aslant comes nowhere again."""
    quarter_rad = math.pi / 2
    assert "The print of the outer comes again every" in told_of(
        with_print(tmp_path, 0.12, "stripe")
    )
    across = told_of(with_print(tmp_path, 0.12, "stripe", quarter_rad))
    assert "The print of the outer" not in across
    assert "laid for a print that comes again every" in across
    aslant = told_of(with_print(tmp_path, 0.12, "check", quarter_rad / 2))
    assert "The print of the outer lies aslant. It is not matched" in aslant
    assert "comes again" not in aslant


@pytest.mark.parametrize("units", ["cm", "in"])
def test_a_longer_purchase_is_told_with_the_repeat_that_makes_it_so(
    tmp_path: Path, units: str
) -> None:
    """Two layers of 137 cm on one bolt: the second begins at the next whole repeat."""
    job = replace(read(tmp_path), units=units)
    job = replace(job, lining=job.outer)
    printed = replace(job, lay=replace(job.lay, print_repeat_m=0.6))

    def shopping(one: Job) -> str:
        return next(
            block.items[0] for block in shopping_blocks(sheet_job(one)) if hasattr(block, "items")
        )

    plain, longer = shopping(job), shopping(printed)
    assert "because" not in plain
    found = re.search(
        r"needed.*?\. (.+?) of that are there because every layer begins .* again every (.+?) as",
        longer,
    )
    assert found is not None, longer
    more_m, repeat_m = (parse_quantity("length", "told", words) for words in found.groups())
    assert repeat_m == pytest.approx(0.6, abs=0.0016)
    (bolt,) = sheet_job(printed).lay.bolts
    (second,) = [one.box for one in bolt.whole if one.box.y_m > 0]
    shrinks = bolt.shrinkage[0]
    # 137 cm lie in three repeats of 60 cm less the wash
    assert second.y_m == pytest.approx(3 * 0.6 * (1 - shrinks), abs=0.0032)
    assert more_m == pytest.approx((second.y_m - second.length_m) / (1 - shrinks), abs=0.007)
    exact_m = [
        parse_quantity("length", "told", re.search(r"length (.+?) are needed", words)[1])
        for words in (plain, longer)
    ]
    assert exact_m[1] - exact_m[0] == pytest.approx(more_m)


def test_shrinkage_that_nobody_stated_is_told_as_an_estimate_for_each_cloth(tmp_path: Path) -> None:
    job = read(tmp_path)
    stated = replace(job, outer=replace(job.outer, shrinkage_along=0.04))

    def shopping(one: Job) -> tuple[str, ...]:
        return next(
            block.items for block in shopping_blocks(sheet_job(one)) if hasattr(block, "items")
        )

    cloth = job.lining_cloth
    along, across = (
        f"{100 * share:g}" for share in (cloth.shrinkage_along, cloth.shrinkage_across)
    )
    outer, lining = shopping(stated)[:2]
    assert (
        f"shrinkage included: {along} % along (estimate), {across} % across (estimate)." in lining
    )
    assert f"shrinkage included: 4 % along, {across} % across (estimate)." in outer
    # what is not washed before it is cut is bought as it is
    unwashed = shopping(replace(stated, lay=replace(stated.lay, wash_first=False)))
    assert not any("shrinkage" in words for words in unwashed[:2])


@pytest.mark.parametrize("names", [("folded", "seamed"), ("seamed", "folded")])
def test_a_batch_tells_how_a_print_hangs_on_each_of_its_wraps(
    tmp_path: Path, names: tuple[str, str]
) -> None:
    job = with_print(tmp_path, 0.12)
    cuts = {"folded": job.cut, "seamed": replace(job.cut, shoulder=Shoulder.SEAMED)}

    def told(*wraps: str) -> str:
        sheets = {name: sheet_job(replace(job, cut=cuts[name.split()[0]])) for name in wraps}
        orders = [replace(sheet.order, name=name) for name, sheet in sheets.items()]
        return repr(batch_plan(sheets, lay_orders(orders, job.units), "batch"))

    both = told(*names)
    assert both.count("It has an upright way.") == 1
    assert "For folded: the half on which it stands upright" in both
    assert "For seamed: on the fronts it stands upright" in both
    # alike, it is told of all at once
    assert "For folded" not in told("folded one", "folded two")
    seamed = told("seamed one", "seamed two")
    assert "On the fronts it stands upright" in seamed
    assert "folded over the shoulders" not in seamed

# SPDX-License-Identifier: GPL-3.0-or-later
"""Everything that a step of the sheets uses stands on the lists of what to buy and have at hand."""

import re
from dataclasses import replace
from functools import cache
from itertools import chain
from pathlib import Path

import pytest
from napfold.core.errors import InputError
from napfold.core.job import Job, load_job
from napfold.core.lay import Extra, Kind, lay_orders, sized
from napfold.core.nap import NapDown
from napfold.core.pattern import fitted
from napfold.core.sheets.flow import Heading, Items, Paragraph, Picture, Step
from napfold.core.sheets.picture_words import PICTURE
from napfold.core.sheets.plan import batch_plan, cutting_plan
from napfold.core.sheets.plan_words import PLAN
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sewing_words import SEWING
from napfold.core.sheets.sheet_job import SheetJob, sheet_job
from napfold.core.sheets.supplies import USED, supplies, tools

from .options import CUTS

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"
BATCH = load_job(JOBS / "larch_hut_batch.toml")

# what a reader sees named in a step, and what she looks for on the lists
NAMED = {
    r"chalk|washable": "chalk",
    r"\bruler?\b|rule a line|\bmeasur": "ruler",
    r"trim both ends square|\bcut|\bsnip|\btrim|\bclip the": "scissors",
    r"template": "templates",
    r"needle \d|needle down|\bSew (from|both|round|a |on|neck|the neck)|topstitch": "sewing machine",
    r"by hand|slip stitch|baste|oversew|gathering|sew in the fibre": "sewing by hand",
    r"baste|gathering": "gather",
    r"walking foot": "walking foot",
    r"pins or clips|a pin": "pins or clips",
    r"weights": "weights",
    r"narrow tape": "woven tape",
    r"hooks, buttons or tapes": "hooks, buttons",
    r"labels": "labels",
    r"comb the pile": "comb",
    r"blunt": "blunt",
    r"thread|stitch": "polyester thread",
}


def steps(blocks: list) -> list[Step]:
    return [block for block in blocks if isinstance(block, Step)]


@cache
def jobs() -> dict[str, Job]:
    base = BATCH.expand()[1][1]
    found = {name: replace(base, cut=fitted(cut, cloth_width_m=1.43)) for name, cut in CUTS.items()}
    for kind in Kind:
        if kind is not Kind.PLAIN:
            (measures, order) = sheet_job(base).measures, base.order
            extra = sized(Extra(name=str(kind), kind=kind), order.cut, order.allowances, measures)
            found[str(kind)] = replace(base, lay=replace(base.lay, extras=(extra,)))
    heavy = dict(load_job(JOBS / "larch_hut.toml").expand())
    return found | {"heavy": heavy["one and a half yards, heavy pile"]}


@pytest.mark.parametrize("name", jobs())
def test_what_a_step_uses_is_on_a_list(name: str) -> None:
    sheet = sheet_job(jobs()[name])
    plan = cutting_plan(sheet, "wrap")
    listed = " ".join(
        chain.from_iterable(one.items for one in plan if isinstance(one, Items) and one.boxes)
    )
    done = [
        f"{step.title}. {' '.join(step.lines)}"
        for step in (*steps(plan), *steps(sewing_order(sheet, "wrap")))
    ]
    for words in done:
        for named, thing in NAMED.items():
            if re.search(named, words, flags=re.IGNORECASE):
                assert thing in listed, (words, thing)
    # and nothing that no step asks for
    together = " ".join(done)
    assert ("woven tape" in listed) == ("narrow tape" in together) == sheet.job.cut.seamed
    assert ("hooks" in listed) == ("hooks" in together)
    assert ("gather" in listed) == bool(
        re.search("baste|gathering|tacking", together, re.IGNORECASE)
    )


def test_every_step_says_what_it_uses() -> None:
    assert set(USED) == set(PLAN) | set(SEWING)


def test_tape_for_both_shoulders_of_both_layers() -> None:
    sheet = sheet_job(jobs()["sloped"])
    seam_m = sum(piece.length_m for piece in sheet.garment.mark.stitch["shoulder_front_left"])
    (told,) = (one for one in supplies([sheet]) if "woven tape" in one)
    found = re.search(r"([\d.]+) cm in all", told)
    assert found
    # two shoulders, two layers, two garments, and a hand's breadth
    assert float(found[1]) / 100 == pytest.approx(8 * seam_m + 0.10, abs=0.011)


def test_what_several_wraps_need_is_told_once() -> None:
    wraps = [sheet_job(jobs()[name]) for name in ("plain", "overlapping", "hood")]
    found = supplies(wraps)
    assert len(set(found)) == len(found)
    assert set(chain.from_iterable(supplies([one]) for one in wraps)) == set(found)
    assert set(chain.from_iterable(tools([one]) for one in wraps)) == set(tools(wraps))


def batch() -> tuple[dict[str, SheetJob], list]:
    wraps = {name: sheet_job(one) for name, one in BATCH.expand()}
    orders = [replace(sheet.job.order, name=name) for name, sheet in wraps.items()]
    return wraps, batch_plan(wraps, lay_orders(orders, "cm"), BATCH.name)


def test_a_batch_is_cut_apart_on_its_own_sheet() -> None:
    _, blocks = batch()
    titles = [step.title for step in steps(blocks)]
    assert titles == [PLAN[name][0] for name in ("prepare", "apart", "corner pieces", "sort")]
    apart, pieces = steps(blocks)[1], steps(blocks)[2]
    # every piece on the cloth, by its name, has its width told, since the sizes differ in length alone
    assert "145 cm" in " ".join(apart.lines)
    # two wraps of each of three sizes, two pockets each: told whose they are
    for size in ("small", "middle", "large"):
        assert f"4 x patch pocket, {size}" in " ".join(pieces.lines)
    headings = [block.text for block in blocks if isinstance(block, Heading)]
    assert {"Shopping list", "To have at hand", "What it costs", "Cautions"} <= set(headings)


def test_a_wrap_of_a_batch_leaves_cloth_and_lay_to_the_batch() -> None:
    wraps, _ = batch()
    for name, sheet in wraps.items():
        blocks = cutting_plan(sheet, name, batch="Larch Hut batch: batch")
        # of pictures but those of the steps the legend alone
        assert [block.summary for block in blocks if isinstance(block, Picture)] == [
            PICTURE["legend"]
        ]
        headings = [block.text for block in blocks if isinstance(block, Heading)]
        assert not {"Shopping list", "What it costs", "The cloth on the table"} & set(headings)
        assert "Cautions" in headings
        bold = [block.text for block in blocks if isinstance(block, Paragraph) and block.bold]
        assert any('the sheet "Larch Hut batch: batch"' in words for words in bold)
        assert steps(blocks)[0].title == PLAN["middle"][0]
        assert steps(blocks)[0].number == 1


def test_wraps_of_one_cloth_have_one_nap() -> None:
    order = sheet_job(BATCH.expand()[0][1]).job.order
    other = replace(order, name="other", cut=replace(order.cut, nap=NapDown.BEHIND))
    with pytest.raises(InputError, match="the same for all wraps of one cloth"):
        lay_orders([order, other], "cm")

# SPDX-License-Identifier: GPL-3.0-or-later
"""The sewing order: numbered steps, each with a picture of this job's pattern."""

import math
from collections.abc import Iterator

from ..cautions import cautions
from ..checks import State, checks
from ..tape import CHILD_HEIGHT_M
from .flow import Block, Heading, Items, Paragraph, Picture
from .making_words import SEWING, WORDS
from .picture_words import PICTURE
from .plan import allowances_told, step
from .sheet_job import SheetJob

__all__ = ["sewing_order"]

RIM = ("hem_front_left", "hem_front_right", "front_left", "front_right", "neck")
UNDERARMS = ("underarm_front_left", "underarm_front_right")


def sewing_order(sheet: SheetJob, heading: str) -> list[Block]:
    """The whole order."""
    handling = sheet.handling
    return [
        Heading(f"{WORDS['sewing order']}: {heading}", 1),
        Paragraph(WORDS["lines"].format_map(allowances_told(sheet))),
        Heading(WORDS["tools"]),
        Items(tuple(f"{name}: {words}" for name, words in handling.items())),
        Heading(WORDS["steps"]),
        *_steps(sheet),
        Heading(WORDS["cautions"]),
        Items(cautions(sheet.measures.value("height") < CHILD_HEIGHT_M)),
    ]


def _steps(sheet: SheetJob) -> Iterator[Block]:
    tell, stitch = sheet.tell, sheet.garment.mark.stitch
    crossing = sheet.sewn.bulk["crossing"]

    def length_m(*names: str) -> float:
        return math.fsum(piece.length_m for name in names for piece in stitch[name])

    values = {
        **sheet.handling,
        **allowances_told(sheet),
        "bulk": tell.small(crossing.with_pile_m),
        "sheared": tell.small(crossing.shorn_m),
        "seam": tell.chosen(length_m("underarm_front_left")),
        "ring": tell.chosen(length_m(*RIM, "hem_back")),
        "cuff": tell.chosen(2 * sheet.job.cut.sleeve_drop_m),
        "topstitch": tell.small(0.006),
        "turning": _turning_words(sheet),
    }
    pictures = _pictures(sheet)
    for number, name in enumerate(SEWING, start=1):
        yield step(SEWING, name, number, values, pictures.get(name))


def _turning_words(sheet: SheetJob) -> str:
    """What the check of the turning opening says."""
    job = sheet.job
    found = checks(
        sheet.measures, job.cut, job.allowances, job.outer_cloth, job.lining_cloth, sheet.tell
    )
    one = next(check for check in found if check.name.startswith("turning"))
    words = one.numbers[:1].upper() + one.numbers[1:] + WORDS["estimate"]
    return (
        words
        if one.state is State.PASS
        else WORDS["turning not"].format(words=words, state=one.state, remedy=one.remedy)
    )


def _pictures(sheet: SheetJob) -> dict[str, Picture]:
    draw = sheet.garment
    return {
        "try": draw.seam_section((PICTURE["outer"], PICTURE["lining"]), PICTURE["trial"]),
        "outer sides": draw.worn(
            PICTURE["outer sides"],
            sewn=UNDERARMS,
            words=PICTURE["outer out"],
        ),
        "clip": draw.corner_clipped(),
        "lining sides": draw.worn(
            PICTURE["lining sides"],
            sewn=UNDERARMS,
            words=PICTURE["lining out"],
        ),
        "together": draw.worn(
            PICTURE["together"],
            inner=True,
            words=PICTURE["inside"],
        ),
        "rim": draw.worn(
            PICTURE["rim"],
            sewn=RIM,
            open_ends=True,
            inner=True,
        ),
        "trim": draw.neck_clipped(),
        "turn": draw.worn(PICTURE["turn"], out_of=True, inner=True),
        "ends": draw.worn(
            PICTURE["ends"],
            sewn=("sleeve_end_left", "sleeve_end_right"),
            inner=True,
            words=PICTURE["right out"],
        ),
        "topstitch": draw.worn(
            PICTURE["topstitch"],
            sewn=(*RIM, "sleeve_end_left", "sleeve_end_right"),
            inner=True,
        ),
    }

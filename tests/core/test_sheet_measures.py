# SPDX-License-Identifier: GPL-3.0-or-later
"""Whoever rules the lines that the cutting plan tells cuts the pattern: drawn again from its words alone."""

import math
import re
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from napfold.core.job import load_job
from napfold.core.sheets.flow import Step
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sheet_job import SheetJob, sheet_job
from napfold.core.units import parse_quantity

from .options import CUTS

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"
# a rounded measure is off by half a millimetre, or by a sixteenth of an inch, at either end of a line
ROUNDED_M = {"cm": 0.0008, "in": 0.0030}
NUMBER = r"([\d/ .]+ (?:cm|in))"
Point = tuple[float, float]


@lru_cache
def sheet_of(name: str, units: str) -> SheetJob:
    plain = load_job(JOBS / "larch_hut_options.toml").expand()[0][1]
    lay = replace(plain.lay, extras=())
    return sheet_job(replace(plain, cut=CUTS[name], lay=lay, units=units))


def told(pattern: str, text: str) -> float | None:
    """The length that stands in a sentence, metres."""
    found = re.search(pattern.replace("#", NUMBER), text)
    return None if found is None else parse_quantity("length", "told", found[1].strip())


def ruled(sheet: SheetJob, text: str) -> list[Point]:
    """The lines that the words ask for, from the sleeve end to the hem: across, depth."""
    wrist_m, front_m = sheet.job.cut.wrist_m, sheet.job.cut.front_m
    drop_m = told("At each sleeve end measure # from", text)
    assert drop_m is not None
    inwards_m = told("At the hem measure # inwards from each side", text)
    if inwards_m is not None:
        across_m = wrist_m - inwards_m
        return [(wrist_m, drop_m), (across_m, drop_m), (across_m, front_m)]
    lines = [(wrist_m, drop_m)]
    straight_m = told("rule a line # inwards, parallel", text)
    if straight_m is not None:
        # as steep as the shoulder there
        cut = sheet.job.cut
        rise_m = cut.shoulder_fall_m(wrist_m) - cut.shoulder_fall_m(wrist_m - straight_m)
        assert ("slope of the shoulder" in text) == (rise_m > 0)
        lines.append((wrist_m - straight_m, drop_m - rise_m))
    depth_m = told(r"point under each arm \(cross\) lies # from", text)
    across_m = told(r"lies [\d/ .]+ \w+ from the [a-z ]+ and # from the centre line", text)
    hem_m = told("measure # from the centre line to each side", text)
    end_m = told("^# from the [a-z ]+ measure", text.split("\n")[1])
    assert None not in (depth_m, across_m, hem_m)
    lines += [(across_m, depth_m), (hem_m, front_m if end_m is None else end_m)]
    return lines


def distance(point: Point, lines: list[Point]) -> float:
    return min(_from_segment(point, a, b) for a, b in pairwise(lines))


def _from_segment(point: Point, a: Point, b: Point) -> float:
    along = np.subtract(b, a)
    share = np.clip(np.dot(np.subtract(point, a), along) / np.dot(along, along), 0, 1)
    return float(np.linalg.norm(np.subtract(point, np.add(a, share * along))))


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("name", CUTS)
def test_ruled_lines_are_the_pattern_but_for_the_corner(name: str, units: str) -> None:
    sheet = sheet_of(name, units)
    steps = [one for one in cutting_plan(sheet, "w") if isinstance(one, Step)]
    (step,) = (one for one in steps if one.title.startswith(("Mark the corners", "Mark sides")))
    text = "\n".join(step.lines)
    lines = ruled(sheet, text)
    part = next(one for one in sheet.garment.mark.parts if "underarm_front_left" in one.cut)
    chain = (*part.cut.get("split_front_left", ()), *part.cut["underarm_front_left"])
    points = np.concatenate([piece.place(np.linspace(0, 1, 33)) for piece in chain])
    # the corner itself is cut by its template, from dot to dot
    arm = sheet.garment.arm
    size_m = max(math.dist(arm.knee, arm.side), math.dist(arm.knee, arm.under))
    ruled_points = [(x, -v) for x, v in points if math.dist((x, -v), arm.knee) >= size_m - 1e-6]
    assert len(ruled_points) > 30
    assert max(distance(point, lines) for point in ruled_points) < ROUNDED_M[units]
    if not arm.sharp:
        begins_m = told("(?:The curve begins|mark) # from", text)
        assert begins_m == pytest.approx(arm.side[1], abs=ROUNDED_M[units])


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("name", [name for name, cut in CUTS.items() if cut.shoulder_drop_m])
def test_the_slope_that_is_ruled_is_the_seam(name: str, units: str) -> None:
    sheet = sheet_of(name, units)
    steps = [one for one in cutting_plan(sheet, "w") if isinstance(one, Step)]
    (step,) = (one for one in steps if one.title.startswith("Mark the slope"))
    text = " ".join(step.lines)
    slope_m, neck_m = (
        told("measure # from the shoulder line towards the hem", text),
        told("neck point, # from", text),
    )
    assert slope_m is not None
    assert neck_m is not None
    line = [(neck_m, 0.0), (sheet.job.cut.wrist_m, slope_m)]
    for piece in sheet.garment.mark.stitch["shoulder_front_left"]:
        for x, v in piece.place(np.linspace(0, 1, 9)):
            assert distance((x, -v), line) < ROUNDED_M[units]

# SPDX-License-Identifier: GPL-3.0-or-later
"""The pictures of the steps draw what is told, and tell what is not drawn."""

import math

import pytest
from napfold.core.making_files import LARGE_PICTURE_TEXT_MM
from napfold.core.nap import NapDown
from napfold.core.paper import Line, Words, text_width_mm
from napfold.core.pattern import Front, Neck
from napfold.core.sheets.clear_words import box_of
from napfold.core.sheets.corner_pictures import corners_marked
from napfold.core.sheets.drawing import pattern_drawings
from napfold.core.sheets.mark_pictures import hem_marked
from napfold.core.sheets.neck_pictures import neck_clipped
from napfold.core.sheets.sheet_job import sheet_job

from .option_sheets import sheet_of, step_of
from .options import CUTS


@pytest.mark.parametrize("nap", NapDown)
def test_the_seamed_back_is_marked_at_the_end_that_the_picture_shows(nap: NapDown) -> None:
    sheet = sheet_of("seamed", nap=nap)
    step = step_of(sheet, "Mark shoulder line")
    text = " ".join(step.lines)
    assert "The back lies with its hem away from you" in text
    up = "back" if nap is NapDown.IN_FRONT else "front"
    assert f"turned the {up} end for end" in text
    chosen = " ".join(step_of(sheet, "Choose how the nap runs").lines)
    assert f"then turn the {up} of outer and lining end for end" in chosen
    assert f"up the {up}" in chosen
    assert step.picture is not None
    words = {mark.text: mark.at for mark in step.picture.marks if isinstance(mark, Words)}
    hems = [mark.at[1] for mark in step.picture.marks if getattr(mark, "text", "") == "hem"]
    # on paper y grows towards the reader: the back's hem lies above its name
    assert min(hems) < words["back"][1] < words["left front"][1] < max(hems)
    shoulders = [
        mark.points[0][1]
        for mark in step.picture.marks
        if isinstance(mark, Line) and mark.dashes_mm == (2, 1)
    ]
    assert len(shoulders) == 3
    assert all(words["back"][1] < y < words["left front"][1] for y in shoulders)


def test_what_lies_wrong_side_up_has_the_wearers_left_on_the_left() -> None:
    step = step_of(sheet_of("seamed"), "Mark shoulder line")
    assert step.picture is not None
    places = {mark.text: mark.at[0] for mark in step.picture.marks if isinstance(mark, Words)}
    assert places["left front"] < places["back"] < places["right front"]
    for _, drawing in pattern_drawings("wrap", sheet_of("seamed").garment.mark):
        assert any("right side of the cloth" in text.words for text in drawing.texts)


@pytest.mark.parametrize("curve_m", [0.0, 0.06])
def test_a_flared_side_is_measured_where_its_seam_ends(curve_m: float) -> None:
    sheet = sheet_of("flared", hem_curve_m=curve_m)
    step = step_of(sheet, "Mark sides and underarms")
    text = " ".join(step.lines)
    part = sheet.garment.mark.parts[0]
    across_m, depth_m = part.cut["underarm_front_left"][0].start
    told = sheet.tell.chosen
    where = f"{told(-depth_m)} from the fold" if curve_m else "At the hem"
    assert f"{where} measure {told(across_m)} from the centre line" in text
    assert step.picture is not None
    drawn = [mark.text for mark in step.picture.marks if isinstance(mark, Words)]
    assert told(-depth_m) in drawn
    assert told(across_m) in drawn
    # the cloth's edge is lower than the end of the side by the curve
    assert sheet.job.cut.front_m + depth_m == pytest.approx(curve_m, abs=1e-6)


@pytest.mark.parametrize("name", ["plain", "seamed", "tapered", "nearly all", "overlapping V"])
def test_the_picture_of_the_corners_draws_what_is_told(name: str) -> None:
    sheet = sheet_of(name)
    garment = sheet.garment
    step = step_of(sheet, "Mark sides" if garment.arm.slanted else "Mark the corners")
    assert step.picture is not None
    words = [mark for mark in step.picture.marks if isinstance(mark, Words)]
    told = sheet.tell.chosen(garment.arm.side[1])
    assert told in " ".join(step.lines)
    assert told in [mark.text for mark in words]
    # "the corner begins and ends at the dots", broken, lies on the wearer's side of the middle
    dots = [mark for mark in words if mark.text.startswith("the corner")]
    assert len(dots) == 1
    wide = text_width_mm(dots[0].text, dots[0].size_mm)
    assert dots[0].at[0] + wide / 2 < step.picture.width_mm / 2
    # "point under the arm", in two lines
    assert any(mark.text == "point under" for mark in words) == garment.arm.slanted


@pytest.mark.parametrize("name", ["high back", "nearly all", "oval neck", "overlapping"])
def test_snips_round_a_neck_lie_apart_along_its_stitches(name: str) -> None:
    sheet = sheet_of(name)
    picture = neck_clipped(sheet.garment)
    snips = [
        mark.points[0]
        for mark in picture.marks
        if isinstance(mark, Line) and mark.width_mm == 0.35 and len(mark.points) == 2
    ]
    assert len(snips) >= 4
    # every 2 cm of the garment, less the chord; a little less where two curves meet
    stitched = [
        x
        for mark in picture.marks
        if isinstance(mark, Line) and mark.dashes_mm == (2, 1.2) and len(mark.points) > 9
        for x, _ in mark.points
    ]
    scale = (max(stitched) - min(stitched)) / sheet.job.cut.neck_width_m
    least = min(math.dist(a, b) for n, a in enumerate(snips) for b in snips[:n])
    assert least > 0.4 * 0.02 * scale
    for x, y in snips:
        assert 0 <= x <= picture.width_mm
        assert 0 <= y <= picture.height_mm


def test_the_point_of_a_closed_v_is_snipped() -> None:
    sheet = sheet_of("closed", neck=Neck.V, neck_front_depth_m=0.18)
    marks = neck_clipped(sheet.garment).marks
    (snip,) = [
        mark
        for mark in marks
        if isinstance(mark, Line) and len(mark.points) == 2 and mark.width_mm == 0.5
    ]
    assert snip.points[0][0] == pytest.approx(snip.points[1][0])
    assert snip.points[0][0] == pytest.approx(sheet.garment.small_mm / 2, abs=0.1)


@pytest.mark.parametrize("name", [name for name, cut in CUTS.items() if cut.seamed])
def test_the_picture_of_seamed_necks_shows_the_back_and_a_front(name: str) -> None:
    sheet = sheet_of(name)
    picture = step_of(sheet, "Cut the necks").picture
    assert picture is not None
    words = {mark.text: mark.at for mark in picture.marks if isinstance(mark, Words)}
    front = "front" if sheet.job.cut.front is Front.CLOSED else "left front"
    assert words["back"][1] < words[front][1]
    lines = [mark for mark in picture.marks if isinstance(mark, Line)]
    pieces = [line for line in lines if line.fill is not None]
    assert len(pieces) == 2
    # neither lies over the other, and nothing leaves the picture
    foot, head = max(y for _, y in pieces[0].points), min(y for _, y in pieces[1].points)
    assert foot < head
    for line in pieces:
        for x, y in line.points:
            assert -1e-6 <= x <= picture.width_mm + 1e-6
            assert -1e-6 <= y <= picture.height_mm + 1e-6
    # the cut line of each neck is thick, and both are as deep as they are cut
    necks = [line for line in lines if line.width_mm == 0.7]
    assert len(necks) == 2


def test_the_hem_of_one_of_two_fronts_is_drawn_from_its_inner_edge_to_its_side() -> None:
    garment = sheet_of("overlapping", hem_curve_m=0.05, back_longer_m=0.04).garment
    picture = hem_marked(garment)
    front, back = (
        mark.points for mark in picture.marks if isinstance(mark, Line) and mark.width_mm == 0.5
    )
    across = [x for x, _ in front]
    # one after the other from edge to edge, nothing drawn twice
    assert across[1:-1] == sorted(across[1:-1])
    wide_mm = max(x for x, _ in back) - min(x for x, _ in back)
    whole_m = 2 * garment.arm.hem[0]
    front_m = garment.arm.hem[0] + garment.inner_m
    assert (max(across) - min(across)) / wide_mm == pytest.approx(front_m / whole_m, rel=0.02)


@pytest.mark.parametrize("text_mm", [3.0, LARGE_PICTURE_TEXT_MM])
@pytest.mark.parametrize("hem_curve_m", [0.0, 0.05])
@pytest.mark.parametrize("name", ["longer back", "overlapping", "flared"])
def test_the_picture_of_the_corners_tells_the_hem_of_a_longer_back(
    name: str, hem_curve_m: float, text_mm: float
) -> None:
    """Both hems end at one height at the sides: the back's rises by what it is longer besides."""
    sheet = sheet_of(name, back_longer_m=0.10, hem_curve_m=hem_curve_m)
    picture = corners_marked(sheet_job(sheet.job, text_mm=text_mm).garment)
    words = [mark for mark in picture.marks if isinstance(mark, Words)]
    (told,) = [mark for mark in words if mark.text.startswith("The back is")]
    rise = "15 cm" if hem_curve_m else "10 cm"
    assert (
        told.text == f"The back is 10 cm longer; the curve of its hem ends {rise} above its edge."
    )
    # inside the picture, under all else that is written, and a line apart
    left, top, right, foot = box_of(told)
    assert 0 <= left < right <= picture.width_mm
    assert foot <= picture.height_mm
    assert all(box_of(mark)[3] < top for mark in words if mark is not told)
    level = corners_marked(sheet_of(name, back_longer_m=0.0, hem_curve_m=hem_curve_m).garment)
    assert not any("The back is" in mark.text for mark in level.marks if isinstance(mark, Words))

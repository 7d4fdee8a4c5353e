# SPDX-License-Identifier: GPL-3.0-or-later
"""What a sewer matches, chalks and turns: it meets, it is told, and it is told before it is too late."""

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from napfold.core.cut_line import SHOULDER_MIDDLE, Part, build_cut_line
from napfold.core.job import load_job
from napfold.core.lay import Extra, Kind
from napfold.core.paper import Line as Stroke
from napfold.core.paper import Words, text_width_mm
from napfold.core.pattern import Corner, build_pattern
from napfold.core.sheets.flow import Heading, Items, Picture, Step
from napfold.core.sheets.lay_picture import bolt_picture
from napfold.core.sheets.legend import legend
from napfold.core.sheets.piece_templates import HOOD_NECK, HOOD_NOTCH, piece_drawings
from napfold.core.sheets.plan import cutting_plan
from napfold.core.sheets.sewing import sewing_order
from napfold.core.sheets.sheet_job import SheetJob, sheet_job
from napfold.core.sheets.sketch import CLOTH_INK, RIGHT_SIDE_INK
from napfold.core.sheets.templates import neck_drawings
from napfold.core.sheets.tiling import tiled
from napfold.core.units import parse_quantity

from .options import CUTS

JOBS = Path(__file__).parents[2] / "sample_avatars" / "jobs"
SMALL = (
    Extra(name="hood", kind=Kind.HOOD, count=2),
    Extra(name="patch pocket", kind=Kind.POCKET, count=2),
)
SEAMED = [name for name, cut in CUTS.items() if cut.seamed]


def sheet_of(name: str, *, extras: tuple[Extra, ...] = (), **changes) -> SheetJob:
    plain = load_job(JOBS / "larch_hut_options.toml").expand()[0][1]
    cut = replace(CUTS[name], **changes)
    return sheet_job(replace(plain, cut=cut, lay=replace(plain.lay, extras=extras)))


def steps(blocks) -> dict[str, Step]:
    return {block.title: block for block in blocks if isinstance(block, Step)}


def words_of(step: Step) -> str:
    return " ".join(step.lines)


def told_m(words: str, pattern: str) -> float:
    found = re.search(pattern.replace("#", r"([\d.]+ (?:cm|mm))"), words)
    assert found is not None, words
    return parse_quantity("length", "told", found[1])


def shoulder(part: Part, half: str) -> tuple[float, float]:
    """How far the middle notch of the left shoulder lies from the sleeve end; how long the cut edge is."""
    (edge,) = part.cut[f"shoulder_{half}_left"]
    (at,) = (one.at for one in part.notches if one.name == SHOULDER_MIDDLE and one.at[0] > 0)
    return math.dist(at, max(edge.start, edge.end)), edge.length_m


@pytest.mark.parametrize("name", SEAMED)
def test_middle_notches_of_shoulders_meet_where_the_seam_has_its_middle(name: str) -> None:
    sheet = sheet_of(name)
    back, front = sheet.garment.mark.parts[:2]
    (behind_m, back_m), (before_m, front_m) = shoulder(back, "back"), shoulder(front, "front")
    assert behind_m == pytest.approx(before_m, abs=1e-9)
    # stitched alike, and the notch square beside the middle of the stitches
    (sewn_front,), (sewn_back,) = (
        front.stitch["shoulder_front_left"],
        back.stitch["shoulder_back_left"],
    )
    assert sewn_front.length_m == pytest.approx(sewn_back.length_m, abs=0.0005)
    (at,) = (one.at for one in back.notches if one.name == SHOULDER_MIDDLE and one.at[0] > 0)
    middle = sewn_back.place(np.array([0.5]))[0]
    assert math.dist(at, middle) == pytest.approx(sheet.job.allowances.shoulder_m, abs=1e-9)
    # where the allowance ends unlike, it is said by how much
    text = words_of(steps(sewing_order(sheet, "w"))["Sew the shoulder seams of both layers"])
    if abs(front_m - back_m) < 0.0005:
        assert "do not end alike" not in text
    else:
        longer = "front" if front_m > back_m else "back"
        more_m = told_m(text, f"the {longer}'s reaches # beyond")
        assert more_m == pytest.approx(abs(front_m - back_m), abs=0.0006)
    place_m = told_m(
        words_of(steps(cutting_plan(sheet, "w"))["Snip the notches"]),
        "middle of each shoulder seam, # from the sleeve end",
    )
    assert place_m == pytest.approx(behind_m, abs=0.0006)


@pytest.mark.parametrize("name", ["overlapping V", "overlapping oval", "overlapping", "nearly all"])
def test_the_centre_front_notch_lies_on_the_cut_edge_of_the_neck(name: str) -> None:
    cut = CUTS[name]
    for part in build_cut_line(build_pattern(cut), sheet_of(name).job.allowances).parts[1:]:
        necks = np.concatenate([piece.place(np.linspace(0, 1, 2001)) for piece in part.neck])
        at = [one.at for one in part.notches if one.name == "centre front" and one.at[1] > -0.5]
        assert len(at) == 1
        assert np.hypot(*(necks - at[0]).T).min() < 0.0003


def test_the_sum_of_a_slanting_neck_is_told_square_to_its_line() -> None:
    # V: half 9 cm wide, 20 cm deep; the line 12.7 mm beside it crosses the centre 3.1 cm higher
    sheet = sheet_of("overlapping V")
    text = words_of(steps(cutting_plan(sheet, "w"))["Cut the necks"])
    cut = sheet.job.cut
    half_m, deep_m = cut.neck_width_m / 2, cut.neck_front_depth_m
    along_m = 0.0127 * math.hypot(half_m, deep_m) / half_m
    assert told_m(text, "Front: .*?along the centre line # from") == pytest.approx(
        deep_m - along_m, abs=0.0006
    )
    assert "measured square to it" in text
    ends_m = told_m(text, "along the inner edge # from")
    front = sheet.garment.mark.parts[1]
    assert ends_m == pytest.approx(-min(one.end[1] for one in front.neck), abs=0.0006)


@pytest.mark.parametrize("name", SEAMED)
def test_neck_templates_of_seamed_shoulders_have_their_shoulder_line(name: str) -> None:
    sheet = sheet_of(name)
    for drawing in neck_drawings(sheet.job.cut, sheet.job.allowances, sheet.garment.mark):
        (line,) = (path for path in drawing.paths if path.name == "shoulder line")
        assert {v for piece in line.pieces for v in (piece.start[1], piece.end[1])} == {0.0}
        assert "shoulder line" in [text.words for text in drawing.texts]
        # it begins before the neck and ends where the drawn shoulder ends
        (piece,) = line.pieces
        assert piece.start[0] < sheet.job.cut.neck_width_m / 2 < piece.end[0]


def test_pieces_out_of_corners_are_chalked_before_the_layer_is_folded() -> None:
    sheet = sheet_of("plain", extras=SMALL)
    assert any(piece.corner_of for bolt in sheet.lay.bolts for piece in bolt.placed)
    found = steps(cutting_plan(sheet, "w"))
    titles = list(found)
    chalk, cut = (
        titles.index("Chalk the small pieces into the corners"),
        titles.index("Cut away the corners"),
    )
    assert chalk < titles.index("Fold") < cut
    assert "chalked in the corners" in words_of(found["Cut away the corners"])
    names = [piece.name for bolt in sheet.lay.bolts for piece in bolt.placed if piece.corner_of]
    told = words_of(found["Chalk the small pieces into the corners"])
    assert all(name in told for name in names)
    later = words_of(found["Cut the small pieces"]) if "Cut the small pieces" in found else ""
    assert not any(f"x {name}," in later for name in names)


def test_a_hood_lies_on_the_cloth_in_its_outline_and_has_a_notch_at_the_shoulder() -> None:
    sheet = sheet_of("plain", extras=SMALL)
    hood = next(one for one in sheet.extras if one.kind is Kind.HOOD)
    bolt = next(one for one in sheet.lay.bolts if "outer" in one.layers)
    picture = bolt_picture(bolt, 1, sheet.job.cut.nap, sheet.tell, 180.0, 3.0)
    drawn = [
        mark.points
        for mark in picture.marks
        if isinstance(mark, Stroke) and mark.closed and mark.width_mm == 0.4
    ]
    assert len(drawn) == hood.count + 2
    # round, not a rectangle
    assert min(len(points) for points in drawn) > 10
    (drawing,) = piece_drawings((hood,), sheet.job.allowances)
    paths = {path.name: path.pieces[0] for path in drawing.paths}
    from_back_m = paths[HOOD_NECK].end[0] - paths[HOOD_NOTCH].start[0]
    # as far from the back seam as the sewn neck has from centre back to the fold
    neck = sheet.garment.mark.stitch["neck"]
    behind_m = math.fsum(piece.length_m for piece in neck if piece.start[1] + piece.end[1] > 1e-6)
    assert from_back_m == pytest.approx(behind_m / 2, abs=1e-6)
    text = words_of(steps(sewing_order(sheet, "w"))["Make the hood"])
    assert "its notches on the shoulder folds" in text


@pytest.mark.parametrize(("name", "parts"), [("cuff", "front half"), ("nearly all", "the front")])
def test_cuffs_are_thread_marked_on_every_ply_and_once(name: str, parts: str) -> None:
    sheet = sheet_of(name)
    plan, order = steps(cutting_plan(sheet, "w")), steps(sewing_order(sheet, "w"))
    text = words_of(plan["Mark the cuffs"])
    assert parts in text
    assert "of the outer layer and of the lining" in text
    assert "tacking" in text
    # when the plies lie single
    titles = list(plan)
    assert titles.index("Mark the cuffs") > max(
        number
        for number, title in enumerate(titles)
        if title.startswith(("Cut the neck", "Cut out"))
    )
    assert "hread-mark" not in words_of(order["Free the allowances of pile"])
    assert "thread-marked line" in words_of(order["Turn back the cuffs"])


def test_notches_of_a_folded_layer_are_snipped_through_both_plies() -> None:
    plan = steps(cutting_plan(sheet_of("split"), "w"))
    folded, single = (
        words_of(plan[title]) for title in ("Cut away the corners", "Snip the notches")
    )
    for place in ("each corner under an arm begins", "each side begins to stay open"):
        assert place in folded
        assert place not in single
    assert "through both plies" in folded
    assert "one ply at a time" in single
    # a sharp corner has none
    square = words_of(
        steps(cutting_plan(sheet_of("plain", corner=Corner.SQUARE), "w"))["Cut away the corners"]
    )
    assert "snip through" not in square


def grounds(picture: Picture) -> set[float]:
    """Inks of the grounds of large outlines."""
    found = set()
    for mark in picture.marks:
        if isinstance(mark, Stroke) and mark.closed and mark.fill is not None:
            xs = [x for x, _ in mark.points]
            if max(xs) - min(xs) > 0.4 * picture.width_mm:
                found.add(mark.fill)
    return found


def test_grey_is_the_wrong_side_and_white_the_right_one() -> None:
    sheet = sheet_of("overlapping V", extras=SMALL)
    assert CLOTH_INK < RIGHT_SIDE_INK == 1.0
    told = [mark.text for mark in legend(sheet.garment).marks if isinstance(mark, Words)]
    assert {"cloth, wrong side up", "cloth, right side up"} <= set(told)
    order = steps(sewing_order(sheet, "w"))
    right = ("Sew the pockets on", "Close the sleeve ends", "Hold the edges", "Look it over")
    wrong = (
        "Sew the shoulder seams of both layers",
        "Lining: the same",
        "Sew neck, fronts and hem as one ring",
    )
    for titles, ink in ((right, RIGHT_SIDE_INK), (wrong, CLOTH_INK)):
        for title in titles:
            picture = order[title].picture
            assert picture is not None
            assert grounds(picture) == {ink}, title


def test_stitches_of_the_under_front_end_where_the_upper_front_lies_on_them() -> None:
    sheet = sheet_of("overlapping V")
    picture = steps(sewing_order(sheet, "w"))["Sew neck, fronts and hem as one ring"].picture
    assert picture is not None
    kinds = [
        "cloth" if mark.fill == CLOTH_INK and mark.closed else "sewn"
        for mark in picture.marks
        if isinstance(mark, Stroke)
        and ((mark.closed and mark.fill == CLOTH_INK) or mark.dashes_mm == (2.0, 1.0))
    ]
    # the upper front is laid over what is sewn on the lower one
    last = len(kinds) - 1 - kinds[::-1].index("cloth")
    assert kinds[0] == "cloth"
    assert "sewn" in kinds[1:last]
    assert "sewn" in kinds[last:]


def test_no_words_hide_a_pocket() -> None:
    sheet = sheet_of("overlapping V", extras=SMALL)
    picture = steps(sewing_order(sheet, "w"))["Sew the pockets on"].picture
    assert picture is not None
    pockets = [
        mark.points for mark in picture.marks if isinstance(mark, Stroke) and mark.width_mm == 0.6
    ]
    assert len(pockets) == 2
    sizes = [mark for mark in picture.marks if isinstance(mark, Words) and not mark.turn_degrees]
    for words in sizes:
        wide = text_width_mm(words.text, words.size_mm)
        left = words.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[words.anchor]
        for points in pockets:
            (x1, x2), (y1, y2) = ((min(side), max(side)) for side in zip(*points, strict=True))
            beside = left > x2 or left + wide < x1
            clear = words.at[1] < y1 or words.at[1] - words.size_mm > y2
            assert beside or clear, words.text


def test_a_split_is_turned_at_its_ends_and_has_a_bar_and_a_hooded_neck_is_not_rolled() -> None:
    sheet = sheet_of("split", extras=SMALL)
    order = steps(sewing_order(sheet, "w"))
    assert "hem corners of each side split" in words_of(
        order["Sew neck, fronts and hem as one ring"]
    )
    assert "corners of each side split" in words_of(order["Trim"])
    hold = words_of(order["Hold the edges"])
    assert "sew a bar" in hold
    rolled, after = hold.split("from it, so that", 1)
    assert "neck" not in rolled
    assert "neck is no edge: lay the hood up" in after
    plain = words_of(steps(sewing_order(sheet_of("plain"), "w"))["Hold the edges"])
    assert "hem, fronts, neck and sleeve ends" in plain
    assert "bar" not in plain


def test_cautions_stand_before_the_work_so_that_no_page_has_them_alone() -> None:
    sheet = sheet_of("plain")
    for blocks in (cutting_plan(sheet, "w"), sewing_order(sheet, "w")):
        heads = [block.text for block in blocks if isinstance(block, Heading)]
        assert heads.index("Cautions") < heads.index("Step by step")
        assert not isinstance(blocks[-1], Items)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_letters_on_a_map_stand_clear_of_the_lines(paper: str) -> None:
    sheet = sheet_of("overlapping V", extras=SMALL)
    drawings = [
        *neck_drawings(sheet.job.cut, sheet.job.allowances, sheet.garment.mark)[1:],
        *piece_drawings(sheet.extras[:1], sheet.job.allowances),
    ]
    for drawing in drawings:
        plan = tiled(drawing, paper)[0]
        letters = [
            mark for mark in plan.marks if isinstance(mark, Words) and mark.anchor == "middle"
        ]
        lines = [
            np.linspace(a, b, 60)
            for mark in plan.marks
            if isinstance(mark, Stroke) and mark.ink == 0.55
            for a, b in zip(mark.points[:-1], mark.points[1:], strict=True)
        ]
        points = np.concatenate(lines)
        assert len(letters) >= 2
        for words in letters:
            half = text_width_mm(words.text, words.size_mm, bold=True) / 2
            x, y = words.at
            inside = (np.abs(points[:, 0] - x) < half) & (
                np.abs(points[:, 1] - y + 0.37 * words.size_mm) < 0.37 * words.size_mm
            )
            assert not inside.any(), words.text

# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures of what is marked on the parts of a layer: notches and folds, a sloping shoulder, a hem."""

from collections.abc import Sequence

from ..cut_line import Part
from ..pattern import Front
from .drawing import points_m
from .flow import Picture
from .garment import Garment
from .picture_words import PICTURE
from .sketch import CLOTH_INK, FOLD_DASHES_MM, RIGHT_SIDE_INK, Sketch, rectangle

__all__ = ["hem_gap", "hem_marked", "notched", "slope_marked", "split_sewn"]

GAP_M = 0.08
NOTCH_MM = 3.2


def notched(garment: Garment) -> Picture:
    """Every part as cut, its notches drawn long, its folds and the arrow of the nap."""
    up_m = 2 * garment.top_m + GAP_M if garment.cut.seamed else 0.0
    apart_m, low_m, top_m = garment.apart_m, -garment.front_m, garment.back_m + up_m
    sketch, height_mm = garment.sketch(
        garment.small_mm, margin_mm=6.0, low_m=low_m, top_m=top_m, half_m=garment.wrist_m + apart_m
    )
    for part in garment.mark.parts:
        # overlapping fronts are drawn side by side
        moved = {"front left": apart_m, "front right": -apart_m}.get(part.name, 0.0)
        _part(sketch, part, moved, up_m if part.name == "back" else 0.0)
    aside_m = 0.5 * garment.arm.hem[0]
    sketch.word(PICTURE["BACK"], (aside_m, up_m + 0.55 * garment.back_m))
    # between the foot of the nap's arrow and a hem that rises to the side
    under_m = (0.775 * garment.front_m + garment.cut.side_end_m) / 2
    sketch.word(PICTURE["FRONT"], (aside_m + apart_m, -under_m), down_mm=1.0)
    return sketch.picture(garment.small_mm, height_mm, PICTURE["notched"])


def _part(sketch: Sketch, part: Part, right_m: float, up_m: float) -> None:
    def moved(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        return [(x + right_m, v + up_m) for x, v in points]

    sketch.line(moved(points_m(part.outline)), closed=True, fill=CLOTH_INK, width_mm=0.35)
    if part.whole:
        sketch.line(moved(points_m(part.neck)), closed=True, fill=1.0, width_mm=0.35)
    if part.front is not None:
        sketch.line(moved([part.front.start, part.front.end]), width_mm=0.35)
    for _, fold in part.folds:
        sketch.line(moved([fold.start, fold.end]), width_mm=0.25, dashes_mm=FOLD_DASHES_MM)
    for notch in part.notches:
        reach = NOTCH_MM / sketch.scale
        end = (notch.at[0] + reach * notch.towards[0], notch.at[1] + reach * notch.towards[1])
        sketch.line(moved([notch.at, end]), width_mm=0.9)
    tail, head = moved([part.nap.start, part.nap.end])
    sketch.arrow(tail, head, width_mm=0.3)


def slope_marked(garment: Garment) -> Picture:
    """Half of the upper end of front or back: shoulder line, the sloping line that is sewn, the line to cut."""
    cut, tell, wrist_m = garment.cut, garment.tell.chosen, garment.wrist_m
    neck_m, drop_m = cut.neck_width_m / 2, cut.shoulder_drop_m
    low_m, margin_mm = -drop_m - 0.10, 11.0
    # beside it stands how far the slope falls
    scale = (garment.small_mm - margin_mm - 17.0) / wrist_m
    sketch = Sketch(scale, -margin_mm / scale, garment.top_m + margin_mm / scale, garment.text_mm)
    rectangle(sketch, 0.0, low_m, wrist_m, garment.top_m - low_m, fill=CLOTH_INK, width_mm=0.2)
    sketch.fold((0.0, 0.0), (wrist_m, 0.0), width_mm=0.25)
    sketch.fold((0.0, low_m), (0.0, garment.top_m), width_mm=0.25)
    sketch.line([(neck_m, 0.0), (wrist_m, -drop_m)], width_mm=0.7, dashes_mm=(2.0, 1.0))
    front = next(part for part in garment.mark.parts if "shoulder_front_left" in part.cut)
    sketch.path(front.cut["shoulder_front_left"], width_mm=0.7)
    sketch.dot((neck_m, 0.0))
    sketch.along(-drop_m, 0.0, wrist_m, tell(drop_m), off_mm=2)
    sketch.across(0.0, neck_m, 0.0, tell(neck_m), off_mm=6)
    sketch.word(PICTURE["shoulder line"], (wrist_m, 0.0), anchor="end", down_mm=-5)
    sketch.word(PICTURE["centre line"], (0.0, low_m), down_mm=4.5)
    height_mm = (garment.top_m - low_m) * scale + 2 * margin_mm
    return sketch.picture(garment.small_mm, height_mm, PICTURE["slope"])


def hem_marked(garment: Garment) -> Picture:
    """The hem's curve against the edge of the cloth, front and back where they differ."""
    cut, tell, arm = garment.cut, garment.tell.chosen, garment.arm
    halves = [("front", garment.front_m, cut.hem_curve_m)]
    if cut.back_longer_m:
        halves.append(("back", garment.back_m, cut.hem_curve_m + cut.back_longer_m))
    deep_m = max(rise_m for _, _, rise_m in halves) + 0.10
    margin_mm, side_m = 15.0, arm.hem[0]
    scale = (garment.small_mm - 2 * margin_mm) / (2 * side_m)
    step_m = deep_m + 8.0 / scale
    sketch = Sketch(scale, -side_m - margin_mm / scale, 6.0 / scale, garment.text_mm)
    for number, (half, edge_m, rise_m) in enumerate(halves):
        if not rise_m:
            continue
        two_fronts = half == "front" and cut.seamed and cut.front is not Front.CLOSED
        floor_m = -number * step_m - deep_m
        points = _hem_points(garment, "front left" if two_fronts else half, floor_m + edge_m)
        top_m = floor_m + deep_m
        ends = [(min(points)[0], top_m), *points, (max(points)[0], top_m)]
        sketch.line(ends, closed=True, fill=CLOTH_INK, width_mm=0.5)
        sketch.line([(-side_m, floor_m), (side_m, floor_m)], width_mm=0.25, dashes_mm=(3.0, 2.0))
        sketch.along(floor_m, floor_m + rise_m, side_m, tell(rise_m), off_mm=3)
        if two_fronts:
            # the cloth lies wrong side up: what is seen is the right one's shape
            sketch.fold((0.0, floor_m), (0.0, top_m), width_mm=0.25)
            sketch.word(PICTURE["front right"], (side_m / 2, top_m), down_mm=5)
        else:
            sketch.word(PICTURE[half], (0.0, top_m), down_mm=5)
    return sketch.picture(
        garment.small_mm, len(halves) * step_m * scale + 10.0, PICTURE["hem marked"]
    )


def _hem_points(garment: Garment, half: str, raised_m: float) -> list[tuple[float, float]]:
    """The hem of a half or of one front from side to side, upwards towards the shoulder."""
    name = "hem_" + half.replace(" ", "_")
    sign = -1 if half == "back" else 1
    return sorted(
        (x, raised_m + sign * v)
        for part in garment.mark.parts
        for edge, chain in part.cut.items()
        if edge.startswith(name)
        for x, v in points_m(chain)
    )


def hem_gap(garment: Garment, gap_m: float, *, closing: bool = False) -> Picture:
    """The lower end of the back, its hem sewn but for the middle, or that middle being closed."""
    side_m, hem_m, margin_mm = garment.arm.hem[0], garment.allowances.hem_m, 8.0
    scale = (garment.small_mm - 2 * margin_mm) / (2 * side_m)
    high_m = 15.0 / scale
    sketch = Sketch(scale, -side_m - margin_mm / scale, high_m + margin_mm / scale, garment.text_mm)
    ground = RIGHT_SIDE_INK if closing else CLOTH_INK
    rectangle(sketch, -side_m, 0.0, 2 * side_m, high_m, fill=ground)
    sketch.fold((0.0, 0.0), (0.0, high_m), width_mm=0.25)
    # drawn clear of the edge however small the scale
    stitch_m, half_m = max(hem_m, 2.0 / scale), gap_m / 2
    for sign in (1, -1):
        if not closing:
            ends = [(sign * half_m, stitch_m), (sign * side_m, stitch_m)]
            sketch.line(ends, width_mm=0.8, dashes_mm=(2.0, 1.0))
        sketch.line([(sign * half_m, 0.0), (sign * half_m, 2 * stitch_m)], width_mm=0.9)
    if closing:
        # turned and closed: by hand, on the very edge
        sketch.line([(-half_m, 0.0), (half_m, 0.0)], width_mm=1.2, dashes_mm=(0.8, 1.0))
    sketch.word(PICTURE["centre back"], (0.0, high_m), down_mm=-1.5)
    sketch.word(PICTURE["back"], (-side_m / 2, high_m / 2))
    for start, end in ((-half_m, 0.0), (0.0, half_m)):
        sketch.across(start, end, 0.0, garment.tell.chosen(half_m), off_mm=5)
    told = PICTURE["closed by hand" if closing else "left open"]
    sketch.word(told.format(gap=garment.tell.chosen(gap_m)), (0.0, 0.0), down_mm=10)
    summary = PICTURE["gap closed" if closing else "gap"]
    return sketch.picture(garment.small_mm, high_m * scale + 20.0, summary)


def split_sewn(garment: Garment) -> Picture:
    """The foot of one side: stitches up the edge of the back and down that of the front, to one point."""
    split_m, beside_m = garment.cut.side_split_m, garment.allowances.underarm_m
    margin_mm, high_mm = 12.0, 44.0
    scale = high_mm / (split_m + 0.05)
    wide_m = (garment.small_mm - 2 * margin_mm) / scale / 2
    top_m = split_m + 0.05
    sketch = Sketch(scale, -wide_m - margin_mm / scale, top_m + 3.0 / scale, garment.text_mm)
    # the allowances, parted above and beside the split, end at the seam
    in_m = max(beside_m, 2.0 / scale)
    for sign, left_m in ((-1, -wide_m), (1, 0.0)):
        rectangle(sketch, left_m, 0.0, wide_m, top_m, fill=CLOTH_INK, width_mm=0.05)
        sketch.line([(sign * wide_m, 0.0), (0.0, 0.0), (0.0, split_m)], width_mm=0.35)
        edge = [(sign * in_m, 0.0), (sign * in_m, top_m)]
        sketch.line(edge, width_mm=0.2, dashes_mm=(0.5, 0.8))
        # drawn clear of one another, to the same point
        near_m = sign * 0.8 / scale
        row = [(sign * wide_m, in_m), (near_m, in_m), (near_m, split_m - 0.5 / scale)]
        sketch.line(row, width_mm=0.8, dashes_mm=(2.0, 1.0))
    sketch.line([(0.0, split_m), (0.0, top_m)], width_mm=0.5, dashes_mm=(1.0, 1.0))
    sketch.dot((0.0, split_m))
    for half, x in (("front", -wide_m / 2), ("back", wide_m / 2)):
        sketch.word(PICTURE[half], (x, 0.6 * split_m))
    sketch.word(PICTURE["ends here"], (0.0, split_m), down_mm=1.0, right_mm=2.5, anchor="start")
    sketch.word(PICTURE["side seam"], (0.0, top_m), down_mm=3.5, right_mm=2.5, anchor="start")
    sketch.along(0.0, split_m, wide_m, garment.tell.chosen(split_m), off_mm=7)
    return sketch.picture(garment.small_mm, high_mm + 8.0, PICTURE["split sewn"])

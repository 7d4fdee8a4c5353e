# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures of what is marked on the parts of a layer: notches and folds, a sloping shoulder, a hem."""

from collections.abc import Sequence

from ..cut_line import Part
from ..pattern import Piece
from .drawing import points_mm
from .flow import Picture
from .making_pictures import Garment
from .picture_words import PICTURE
from .sketch import CLOTH_INK, Sketch, rectangle

__all__ = ["hem_gap", "hem_marked", "notched", "slope_marked"]

GAP_M = 0.08
NOTCH_MM = 3.2
FOLD_DASHES_MM = (5.0, 1.5, 1.0, 1.5)


def notched(garment: Garment) -> Picture:
    """Every part as cut, its notches drawn long, its folds and the arrow of the nap."""
    parts = garment.mark.parts
    up_m = 2 * garment.top_m + GAP_M if garment.cut.seamed else 0.0
    beside_m = GAP_M if garment.cut.overlap_half_m else 0.0
    wide_m = 2 * (garment.wrist_m + garment.cut.overlap_half_m) + beside_m
    low_m, top_m = -garment.front_m, garment.back_m + up_m
    margin_mm = 6.0
    scale = (garment.small_mm - 2 * margin_mm) / wide_m
    sketch = Sketch(
        scale, -wide_m / 2 - margin_mm / scale, top_m + margin_mm / scale, garment.text_mm
    )
    for part in parts:
        # overlapping fronts are drawn side by side
        across = {"front left": 1, "front right": -1}.get(part.name, 0)
        moved = across * (garment.cut.overlap_half_m + beside_m / 2)
        _part(sketch, part, moved if beside_m else 0.0, up_m if part.name == "back" else 0.0)
    height_mm = (top_m - low_m) * scale + 2 * margin_mm
    return sketch.picture(garment.small_mm, height_mm, PICTURE["notched"])


def _part(sketch: Sketch, part: Part, right_m: float, up_m: float) -> None:
    def moved(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        return [(x + right_m, v + up_m) for x, v in points]

    sketch.line(moved(_points(part.outline)), closed=True, fill=CLOTH_INK, width_mm=0.35)
    if part.whole:
        sketch.line(moved(_points(part.neck)), closed=True, fill=1.0, width_mm=0.35)
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
    """The upper half of the back: shoulder line, and the sloping line that is sewn."""
    cut, tell = garment.cut, garment.tell.chosen
    low_m = -cut.shoulder_drop_m - 0.12
    margin_mm, wrist_m = 12.0, garment.wrist_m
    scale = (garment.small_mm - 2 * margin_mm) / (2 * wrist_m)
    sketch = Sketch(
        scale, -wrist_m - margin_mm / scale, garment.top_m + margin_mm / scale, garment.text_mm
    )
    rectangle(
        sketch, -wrist_m, low_m, 2 * wrist_m, garment.top_m - low_m, fill=CLOTH_INK, width_mm=0.2
    )
    sketch.line([(-wrist_m, 0.0), (wrist_m, 0.0)], width_mm=0.25, dashes_mm=FOLD_DASHES_MM)
    neck_m, drop_m = cut.neck_width_m / 2, cut.shoulder_drop_m
    for sign in (1, -1):
        sketch.line(
            [(sign * neck_m, 0.0), (sign * wrist_m, -drop_m)], width_mm=0.7, dashes_mm=(2.0, 1.0)
        )
    sketch.along(-drop_m, 0.0, wrist_m, tell(drop_m), off_mm=2)
    sketch.across(0.0, neck_m, 0.0, tell(neck_m), off_mm=6)
    sketch.word(PICTURE["shoulder line"], (-wrist_m, 0.0), anchor="start", down_mm=-1, right_mm=1)
    height_mm = (garment.top_m - low_m) * scale + 2 * margin_mm
    return sketch.picture(garment.small_mm, height_mm, PICTURE["slope"])


def hem_marked(garment: Garment) -> Picture:
    """The hem's curve against the edge of the cloth, front and back where they differ."""
    cut, tell, arm = garment.cut, garment.tell.chosen, garment.arm
    halves = [("front", garment.front_m, cut.hem_curve_m)]
    if cut.back_longer_m:
        halves.append(("back", garment.back_m, cut.hem_curve_m + cut.back_longer_m))
    deep_m = max(rise_m for _, _, rise_m in halves) + 0.10
    margin_mm, side_m = 14.0, arm.hem[0]
    scale = (garment.small_mm - 2 * margin_mm) / (2 * side_m)
    step_m = deep_m + 8.0 / scale
    sketch = Sketch(scale, -side_m - margin_mm / scale, 6.0 / scale, garment.text_mm)
    for number, (half, edge_m, rise_m) in enumerate(halves):
        if not rise_m:
            continue
        name = "hem_back" if half == "back" else "hem_front"
        sign = -1 if half == "back" else 1
        floor_m = -number * step_m - deep_m
        points = [
            (x, floor_m + sign * v + edge_m)
            for part in garment.mark.parts
            for edge, chain in part.cut.items()
            if edge.startswith(name)
            for x, v in _points(chain)
        ]
        points.sort()
        top_m = floor_m + deep_m
        sketch.line(
            [(-side_m, top_m), *points, (side_m, top_m)], closed=True, fill=CLOTH_INK, width_mm=0.5
        )
        sketch.line([(-side_m, floor_m), (side_m, floor_m)], width_mm=0.25, dashes_mm=(3.0, 2.0))
        sketch.along(floor_m, floor_m + rise_m, side_m, tell(rise_m), off_mm=3)
        sketch.word(PICTURE[half], (0.0, top_m), down_mm=5)
    return sketch.picture(
        garment.small_mm, len(halves) * step_m * scale + 10.0, PICTURE["hem marked"]
    )


def hem_gap(garment: Garment, gap_m: float) -> Picture:
    """The lower end of the back: its hem sewn but for the middle, a mark at each end of that."""
    side_m, hem_m, margin_mm = garment.arm.hem[0], garment.allowances.hem_m, 8.0
    scale = (garment.small_mm - 2 * margin_mm) / (2 * side_m)
    high_m = 15.0 / scale
    sketch = Sketch(scale, -side_m - margin_mm / scale, high_m + margin_mm / scale, garment.text_mm)
    rectangle(sketch, -side_m, 0.0, 2 * side_m, high_m, fill=CLOTH_INK)
    sketch.line([(0.0, 0.0), (0.0, high_m)], width_mm=0.25, dashes_mm=FOLD_DASHES_MM)
    # drawn clear of the edge however small the scale
    stitch_m, half_m = max(hem_m, 2.0 / scale), gap_m / 2
    for sign in (1, -1):
        sketch.line(
            [(sign * half_m, stitch_m), (sign * side_m, stitch_m)],
            width_mm=0.8,
            dashes_mm=(2.0, 1.0),
        )
        sketch.line([(sign * half_m, 0.0), (sign * half_m, 2 * stitch_m)], width_mm=0.9)
    sketch.word(PICTURE["centre back"], (0.0, high_m), down_mm=-1.5)
    sketch.word(PICTURE["back"], (-side_m / 2, high_m / 2))
    for start, end in ((-half_m, 0.0), (0.0, half_m)):
        sketch.across(start, end, 0.0, garment.tell.chosen(half_m), off_mm=5)
    told = PICTURE["left open"].format(gap=garment.tell.chosen(gap_m))
    sketch.word(told, (0.0, 0.0), down_mm=10)
    return sketch.picture(garment.small_mm, high_m * scale + 20.0, PICTURE["gap"])


def _points(pieces: Sequence[Piece]) -> list[tuple[float, float]]:
    return [(x / 1000, v / 1000) for x, v in points_mm(pieces)]

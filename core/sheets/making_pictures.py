# SPDX-License-Identifier: GPL-3.0-or-later
"""The pictures of the cutting plan and the sewing order, drawn from the job's own pattern."""

import math
from collections.abc import Sequence

from ..cut_line import Allowances, CutLine, corner_radius_m
from ..pattern import Arc, Cut, Line
from ..telling import Telling
from .flow import Picture
from .picture_words import PICTURE
from .sketch import CLOTH_INK, Sketch, corner_points, rectangle

__all__ = ["Garment"]

Pieces = Sequence[Line | Arc]


class Garment:
    """Draws one garment; `wide_mm` is the width of its large pictures, `small_mm` of the small."""

    def __init__(
        self,
        cut: Cut,
        allowances: Allowances,
        line: CutLine,
        tell: Telling,
        *,
        wide_mm: float = 180.0,
        small_mm: float = 84.0,
        text_mm: float = 3.0,
    ) -> None:
        self.cut, self.allowances, self.mark, self.tell = cut, allowances, line, tell
        self.wide_mm, self.small_mm, self.text_mm = wide_mm, small_mm, text_mm
        self.half_m = cut.length_m / 2
        self.wrist_m = cut.cloth_width_m / 2
        self.side_m = cut.body_width_m / 2 + allowances.underarm_m
        self.drop_m = cut.sleeve_drop_m + allowances.underarm_m
        self.radius_m = corner_radius_m(cut, allowances)

    def _sketch(
        self, width_mm: float, *, margin_mm: float, low_m: float, top_m: float
    ) -> tuple[Sketch, float]:
        """A sketch as wide as the cloth, and its height in mm."""
        scale = (width_mm - 2 * margin_mm) / self.cut.cloth_width_m
        sketch = Sketch(
            scale, -self.wrist_m - margin_mm / scale, top_m + margin_mm / scale, self.text_mm
        )
        return sketch, (top_m - low_m) * scale + 2 * margin_mm

    def flat_layer(self) -> Picture:
        """One layer opened out, wrong side up: fold line, nap, sizes."""
        sketch, height = self._sketch(
            self.small_mm, margin_mm=10.0, low_m=-self.half_m, top_m=self.half_m
        )
        rectangle(
            sketch, -self.wrist_m, -self.half_m, 2 * self.wrist_m, 2 * self.half_m, fill=CLOTH_INK
        )
        _fold(sketch, -self.wrist_m, self.wrist_m)
        sketch.word(PICTURE["fold"], (0.0, 0.0), down_mm=-1.5)
        sketch.word(PICTURE["BACK"], (0.0, self.half_m / 2))
        sketch.word(PICTURE["FRONT"], (0.0, -self.half_m / 2))
        nap_x = -0.8 * self.wrist_m
        nap_v = 0.7 * self.half_m * self.cut.nap.stroke[1]
        sketch.arrow((nap_x, -nap_v), (nap_x, nap_v))
        sketch.word(PICTURE["nap"], (nap_x, -0.3 * self.half_m), turn_degrees=-90, right_mm=-1.5)
        sketch.across(
            -self.wrist_m, self.wrist_m, self.half_m, self.tell.chosen(2 * self.wrist_m), off_mm=-2
        )
        sketch.along(
            -self.half_m, self.half_m, -self.wrist_m, self.tell.chosen(2 * self.half_m), off_mm=-2
        )
        return sketch.picture(self.small_mm, height, PICTURE["flat layer"])

    def folded_rectangle(self) -> Picture:
        """The layer folded once, front half on top."""
        sketch, height = self._sketch(self.small_mm, margin_mm=10.0, low_m=-self.half_m, top_m=0.06)
        step = 0.012
        rectangle(
            sketch, -self.wrist_m + step, -self.half_m - step, 2 * self.wrist_m, self.half_m + step
        )
        rectangle(
            sketch, -self.wrist_m, -self.half_m, 2 * self.wrist_m, self.half_m, fill=CLOTH_INK
        )
        _fold(sketch, -self.wrist_m, self.wrist_m)
        sketch.word(PICTURE["fold away"], (0.0, 0.0), down_mm=-1.5)
        sketch.word(PICTURE["front on top"], (0.0, -self.half_m / 2))
        sketch.along(-self.half_m, 0.0, -self.wrist_m, self.tell.chosen(self.half_m), off_mm=-2)
        return sketch.picture(self.small_mm, height, PICTURE["folded"])

    def marked(self) -> Picture:
        """Where the corners are measured and cut, on the folded layer."""
        sketch, height = self._sketch(self.wide_mm, margin_mm=17.0, low_m=-self.half_m, top_m=0.0)
        rectangle(sketch, -self.wrist_m, -self.half_m, 2 * self.wrist_m, self.half_m, fill=1.0)
        self._outline(sketch, fill=CLOTH_INK, width_mm=0.7)
        _fold(sketch, -self.wrist_m, self.wrist_m)
        tell = self.tell.chosen
        sleeve_m = self.wrist_m - self.side_m
        sketch.across(-self.wrist_m, self.wrist_m, 0.0, tell(2 * self.wrist_m), off_mm=-9)
        sketch.across(-self.wrist_m, -self.side_m, -self.half_m, tell(sleeve_m), off_mm=8)
        sketch.across(-self.side_m, self.side_m, -self.half_m, tell(2 * self.side_m), off_mm=8)
        sketch.across(self.side_m, self.wrist_m, -self.half_m, tell(sleeve_m), off_mm=8)
        sketch.along(-self.drop_m, 0.0, -self.wrist_m, tell(self.drop_m), off_mm=-2)
        sketch.along(-self.half_m, 0.0, self.wrist_m, tell(self.half_m), off_mm=8)
        curve_v = -self.drop_m - self.radius_m
        sketch.along(
            -self.half_m,
            curve_v,
            self.side_m,
            tell(self.half_m - self.drop_m - self.radius_m),
            off_mm=9,
        )
        sketch.across(
            self.side_m + self.radius_m,
            self.wrist_m,
            -self.drop_m,
            tell(sleeve_m - self.radius_m),
            off_mm=7,
        )
        for sign in (1, -1):
            for point in (
                (sign * self.side_m, curve_v),
                (sign * (self.side_m + self.radius_m), -self.drop_m),
            ):
                _dot(sketch, point)
        sketch.word(PICTURE["curve"], (0.0, curve_v), down_mm=1)
        sketch.word(
            PICTURE["cut away"],
            (-(self.side_m + self.wrist_m) / 2, (-self.half_m - self.drop_m) / 2),
        )
        sketch.word(
            PICTURE["cut away"], ((self.side_m + self.wrist_m) / 2, -self.half_m), down_mm=-2
        )
        sketch.word(PICTURE["no cut"], (0.0, 0.0), down_mm=4.2)
        return sketch.picture(self.wide_mm, height, PICTURE["marked"])

    def neck_marked(self) -> Picture:
        """The neck template on the fold, the layer opened out."""
        reach = self.cut.neck_width_m * 0.85
        low, top = -self.cut.neck_front_depth_m - 0.09, self.cut.neck_back_depth_m + 0.06
        scale = self.small_mm / (2 * reach)
        sketch = Sketch(scale, -reach, top, self.text_mm)
        rectangle(sketch, -reach, low, 2 * reach, top - low, fill=CLOTH_INK, width_mm=0.05)
        sketch.path(self.mark.neck, width_mm=0.7, fill=1.0)
        sketch.path(self.mark.stitch["neck"], dashes_mm=(2, 1.2))
        _fold(sketch, -reach, reach)
        sketch.line([(0.0, self.mark.front.end[1]), (0.0, low)], width_mm=0.7)
        sketch.word(PICTURE["back"], (0.0, self.cut.neck_back_depth_m), down_mm=-2)
        sketch.word(PICTURE["cut front"], (0.0, low), right_mm=2, down_mm=-3, anchor="start")
        sketch.word(PICTURE["on fold"], (-reach, 0.0), right_mm=2, down_mm=-1, anchor="start")
        neck = self.cut.neck_width_m / 2
        sketch.across(
            -neck, neck, 0.0, PICTURE["sewn"].format(width=self.tell.chosen(2 * neck)), off_mm=8
        )
        return sketch.picture(self.small_mm, (top - low) * scale, PICTURE["neck"])

    def corner_clipped(self) -> Picture:
        """The sewn curve under one arm with its snips."""
        reach = self.cut.corner_radius_m + 0.06
        side, drop = self.cut.body_width_m / 2, self.cut.sleeve_drop_m
        scale = min(self.small_mm, 60.0) / reach
        left, top = side - 0.04, -drop + 0.03
        sketch = Sketch(scale, left, top, self.text_mm)
        a, r = self.allowances.underarm_m, self.radius_m
        rectangle(sketch, left, top - reach, reach, reach, width_mm=0.05, fill=CLOTH_INK)
        curve = [
            (side + a + r * (1 - math.sin(turn)), -drop - a - r * (1 - math.cos(turn)))
            for turn in (math.pi / 2 * step / 16 for step in range(17))
        ]
        away = [
            (left + reach, -drop - a),
            *curve,
            (side + a, top - reach),
            (left + reach, top - reach),
        ]
        sketch.line(away, closed=True, fill=1.0, width_mm=0.4)
        stitch = self.mark.stitch["underarm_front_left"]
        arcs = [piece for piece in stitch if isinstance(piece, Arc)]
        sketch.line(
            [(side, top - reach), (side, -drop - self.cut.corner_radius_m)],
            width_mm=0.7,
            dashes_mm=(2, 1),
        )
        sketch.path(arcs, width_mm=0.7, dashes_mm=(2, 1))
        sketch.line(
            [(side + self.cut.corner_radius_m, -drop), (left + reach, -drop)],
            width_mm=0.7,
            dashes_mm=(2, 1),
        )
        # the seam is walked from the hem up: the allowance lies on its right
        sketch.clips(arcs, 0.02, -max(a - 0.003, 0.002))
        sketch.word(
            PICTURE["underarm"], (left + reach, -drop), anchor="end", down_mm=-2, right_mm=-2
        )
        sketch.word(
            PICTURE["side"], (side, top - reach), turn_degrees=-90, down_mm=-10, right_mm=-2
        )
        return sketch.picture(reach * scale, reach * scale, PICTURE["corner clipped"])

    def neck_clipped(self) -> Picture:
        """The sewn neck with its snips, and the corners of the fronts cut off."""
        reach = self.cut.neck_width_m * 0.85
        low, top = -self.cut.neck_front_depth_m - 0.07, self.cut.neck_back_depth_m + 0.04
        scale = self.small_mm / (2 * reach)
        sketch = Sketch(scale, -reach, top, self.text_mm)
        rectangle(sketch, -reach, low, 2 * reach, top - low, fill=CLOTH_INK, width_mm=0.05)
        sketch.path(self.mark.neck, width_mm=0.5, fill=1.0)
        stitch = self.mark.stitch["neck"]
        sketch.path(stitch, width_mm=0.6, dashes_mm=(2, 1.2))
        # the neck is walked clockwise, its opening on the right
        curves = [piece for piece in stitch if isinstance(piece, Arc)]
        sketch.clips(curves, 0.02, -0.8 * self.allowances.neck_m)
        beside, corner = self.allowances.front_m, self.mark.front.end[1]
        begins = self.mark.stitch["front_left"][0].start[1]
        sketch.line([(0.0, corner), (0.0, low)], width_mm=0.5)
        for sign in (1, -1):
            sketch.line(
                [(sign * beside, begins), (sign * beside, low)],
                width_mm=0.6,
                dashes_mm=(2, 1.2),
            )
            sketch.line(
                [(sign * 0.002, corner - 0.017), (sign * 0.017, corner - 0.004)], width_mm=0.9
            )
        sketch.word(PICTURE["cut corners"], (0.0, low), right_mm=4, down_mm=-3, anchor="start")
        return sketch.picture(self.small_mm, (top - low) * scale, PICTURE["neck clipped"])

    def _outline(self, sketch: Sketch, *, fill: float | None, width_mm: float) -> None:
        """The folded layer's front half."""
        points = [(-self.wrist_m, 0.0), (self.wrist_m, 0.0), (self.wrist_m, -self.drop_m)]
        right = list(corner_points(self.side_m, self.drop_m, self.radius_m, self.half_m, 1))
        left = list(corner_points(self.side_m, self.drop_m, self.radius_m, self.half_m, -1))
        points += right[1:] + left[::-1][:-1] + [(-self.wrist_m, -self.drop_m)]
        sketch.line(points, closed=True, width_mm=width_mm, fill=fill)

    def worn(
        self,
        summary: str,
        *,
        sewn: Sequence[str] = (),
        out_of: bool = False,
        open_ends: bool = False,
        words: str = "",
        inner: bool = False,
    ) -> Picture:
        """The garment folded and cut, the named stitch lines drawn strongly."""
        sketch, height = self._sketch(
            self.small_mm, margin_mm=9.0, low_m=-self.half_m, top_m=self.cut.neck_back_depth_m
        )
        self._outline(sketch, fill=CLOTH_INK, width_mm=0.35)
        back_neck = [piece for piece in self.mark.neck if piece.start[1] >= 0]
        front_neck = [piece for piece in self.mark.neck if piece.start[1] <= 0]
        sketch.path(front_neck, width_mm=0.3, fill=1.0)
        if back_neck:
            sketch.path(back_neck, width_mm=0.25, ink=0.5, dashes_mm=(1, 1))
        sketch.line([(0.0, self.mark.front.end[1]), (0.0, -self.half_m)], width_mm=0.3)
        if inner:
            for name in ("underarm_front_left", "underarm_front_right"):
                sketch.path(self.mark.stitch[name], width_mm=0.2, ink=0.5)
        for name in sewn:
            for piece in self.mark.stitch[name]:
                if (shown := _front_half(piece)) is not None:
                    sketch.path((shown,), width_mm=0.8, dashes_mm=(2.0, 1.0))
        if open_ends:
            for sign in (1, -1):
                sketch.word(
                    PICTURE["open"],
                    (sign * self.wrist_m, -self.drop_m / 2),
                    turn_degrees=-90,
                    right_mm=4.4 if sign > 0 else -2.2,
                )
            self._way_round(sketch)
        if out_of:
            sketch.arrow(
                (0.3 * self.wrist_m, -self.drop_m / 2),
                (self.wrist_m + 0.10, -self.drop_m / 2),
                width_mm=1.0,
            )
        if words:
            sketch.word(words, (0.0, -self.half_m), down_mm=5)
        return sketch.picture(self.small_mm, height, summary)

    def _way_round(self, sketch: Sketch) -> None:
        """Arrows along hem, front, front and hem: the way in which the ring is sewn."""
        below, beside = -self.half_m - 3.5 / sketch.scale, 5.0 / sketch.scale
        upper, lower = -0.55 * self.half_m, -0.92 * self.half_m
        for start, end in (
            ((0.9 * self.side_m, below), (0.2 * self.side_m, below)),
            ((beside, lower), (beside, upper)),
            ((-beside, upper), (-beside, lower)),
            ((-0.2 * self.side_m, below), (-0.9 * self.side_m, below)),
        ):
            sketch.arrow(start, end, width_mm=0.3)

    def seam_section(self, layers: Sequence[str], summary: str) -> Picture:
        """Plies in section, edges together, with the stitch; pile as short hairs."""
        sketch = Sketch(1.0, 0.0, 0.0, self.text_mm)
        for row, (name, pile_up) in enumerate(_plies(layers)):
            y = -8.0 - 9.0 * row
            sketch.line([(4, y), (62, y)], width_mm=0.8)
            way = 3.0 if pile_up else -3.0
            for hair in range(28):
                x = 5.0 + 2.05 * hair
                sketch.line([(x, y), (x + 0.8, y + way)], width_mm=0.12)
            sketch.word(name, (64.0, y), anchor="start", down_mm=1)
        foot = -8.0 - 9.0 * (len(layers) - 1)
        sketch.line([(50, -2.5), (50, foot - 5.5)], width_mm=0.6, dashes_mm=(2, 1))
        sketch.across(50, 62, foot - 5.5, self.tell.chosen(self.allowances.underarm_m), off_mm=3)
        return sketch.picture(self.small_mm + 10, 17.0 - foot, summary)


def _plies(layers: Sequence[str]) -> list[tuple[str, bool]]:
    """Name and whether the pile points up; the pile of both lies inside, face on face."""
    return [(name, row == 1) for row, name in enumerate(layers)]


def _front_half(piece: Line | Arc) -> Line | Arc | None:
    """What of a stitch line lies on the front half; None if nothing does."""
    low, high = sorted((piece.start, piece.end), key=lambda point: point[1])
    if low[1] >= 0:
        return None
    if high[1] > 0:
        return Line(start=low, end=(high[0], 0.0))
    return piece


def _fold(sketch: Sketch, x1: float, x2: float) -> None:
    sketch.line([(x1, 0.0), (x2, 0.0)], width_mm=0.35, dashes_mm=(5, 1.5, 1, 1.5))


def _dot(sketch: Sketch, point: tuple[float, float]) -> None:
    radius = 0.9 / sketch.scale
    turns = [math.pi * step / 6 for step in range(12)]
    sketch.line(
        [(point[0] + radius * math.cos(t), point[1] + radius * math.sin(t)) for t in turns],
        closed=True,
        fill=0.0,
    )

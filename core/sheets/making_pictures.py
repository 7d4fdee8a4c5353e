# SPDX-License-Identifier: GPL-3.0-or-later
"""The pictures of the cutting plan and the sewing order, drawn from the job's own pattern."""

import math
from collections.abc import Sequence
from itertools import pairwise

from ..cut_line import Allowances, CutLine, Part, build_cut_line, under_arm
from ..paper import wrapped
from ..pattern import (
    Arc,
    Cut,
    Front,
    Line,
    Neck,
    Piece,
    Point,
    Shoulder,
    build_pattern,
    fitted,
)
from ..telling import Telling
from .drawing import points_mm, within
from .flow import Picture
from .picture_words import PICTURE
from .sketch import CLOTH_INK, Sketch, rectangle

__all__ = ["Garment"]


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
        self.front_m, self.back_m, self.wrist_m = cut.front_m, cut.back_m, cut.wrist_m
        self.arm = under_arm(cut, allowances)
        self.top_m = allowances.shoulder_m if cut.seamed else 0.0

    @property
    def neck(self) -> Part:
        """The whole neck as if the shoulders were on the fold and the front closed."""
        whole = fitted(
            self.cut, shoulder=Shoulder.ON_THE_FOLD, shoulder_drop_m=0.0, front=Front.CLOSED
        )
        return build_cut_line(build_pattern(whole), self.allowances).parts[0]

    @property
    def slit(self) -> Line | None:
        """The cut down the centre front of a whole layer."""
        return self.mark.parts[0].front

    def _sketch(
        self, width_mm: float, *, margin_mm: float, low_m: float, top_m: float
    ) -> tuple[Sketch, float]:
        """A sketch as wide as the garment, and its height in mm."""
        scale = (width_mm - 2 * margin_mm) / (2 * self.wrist_m)
        sketch = Sketch(
            scale, -self.wrist_m - margin_mm / scale, top_m + margin_mm / scale, self.text_mm
        )
        return sketch, (top_m - low_m) * scale + 2 * margin_mm

    def _fronts(self) -> list[list[Point]]:
        """The cut outline of what lies in front of the shoulders, the upper front last."""
        if self.cut.seamed:
            return [_points(part.outline) for part in self.mark.parts if part.name != "back"]
        cut = self.mark.parts[0].cut
        halves = []
        for side in ("left", "right"):
            names = ("hem_front", "split_front", "underarm_front", "sleeve_end")
            if side == "right":
                names = names[::-1]
            pieces = [
                piece
                for name in names
                for piece in cut.get(f"{name}_{side}", ())
                if max(piece.start[1], piece.end[1]) <= 1e-9
            ]
            halves.append(_points(pieces))
        return [[*halves[0], *halves[1]]]

    def flat_layer(self) -> Picture:
        """One layer opened out, wrong side up: fold line, nap, sizes."""
        front, back = self.front_m, self.back_m
        sketch, height = self._sketch(self.small_mm, margin_mm=10.0, low_m=-front, top_m=back)
        rectangle(sketch, -self.wrist_m, -front, 2 * self.wrist_m, front + back, fill=CLOTH_INK)
        _fold(sketch, -self.wrist_m, self.wrist_m)
        sketch.word(PICTURE["fold"], (0.0, 0.0), down_mm=-1.5)
        sketch.word(PICTURE["BACK"], (0.0, back / 2))
        sketch.word(PICTURE["FRONT"], (0.0, -front / 2))
        nap_x = -0.8 * self.wrist_m
        nap_v = 0.7 * front * self.cut.nap.stroke[1]
        sketch.arrow((nap_x, -nap_v), (nap_x, nap_v))
        sketch.word(PICTURE["nap"], (nap_x, -0.3 * front), turn_degrees=-90, right_mm=-1.5)
        sketch.across(
            -self.wrist_m, self.wrist_m, back, self.tell.chosen(2 * self.wrist_m), off_mm=-2
        )
        sketch.along(-front, back, -self.wrist_m, self.tell.chosen(front + back), off_mm=-2)
        if self.cut.back_longer_m:
            sketch.along(-front, 0.0, self.wrist_m, self.tell.chosen(front), off_mm=2)
        return sketch.picture(self.small_mm, height, PICTURE["flat layer"])

    def folded_rectangle(self) -> Picture:
        """The layer folded once, the back half under the front one; an arrow shows the way."""
        front = self.front_m
        sketch, height = self._sketch(self.small_mm, margin_mm=10.0, low_m=-self.back_m, top_m=0.06)
        step = 0.012
        rectangle(
            sketch,
            -self.wrist_m + step,
            -self.back_m - step,
            2 * self.wrist_m,
            self.back_m + step,
        )
        rectangle(sketch, -self.wrist_m, -front, 2 * self.wrist_m, front, fill=CLOTH_INK)
        _fold(sketch, -self.wrist_m, self.wrist_m)
        sketch.word(PICTURE["fold away"], (0.0, 0.0), down_mm=-1.5)
        sketch.word(PICTURE["front on top"], (0.0, -front / 2))
        sketch.word(PICTURE["pile inside"], (0.0, -front / 2), down_mm=1.5 * sketch.text_mm)
        _folded_under(sketch, 0.72 * self.wrist_m, 0.35 * front)
        sketch.along(-front, 0.0, -self.wrist_m, self.tell.chosen(front), off_mm=-2)
        return sketch.picture(self.small_mm, height, PICTURE["folded"])

    def marked(self) -> Picture:
        """Where the corners are measured and cut, on the folded layer or on the fronts."""
        front, wrist, arm, tell = self.front_m, self.wrist_m, self.arm, self.tell.chosen
        sketch, height = self._sketch(self.wide_mm, margin_mm=17.0, low_m=-front, top_m=self.top_m)
        rectangle(sketch, -wrist, -front, 2 * wrist, front + self.top_m, fill=1.0)
        for points in self._fronts():
            sketch.line(points, closed=True, width_mm=0.7, fill=CLOTH_INK)
        _fold(sketch, -wrist, wrist)
        sketch.across(-wrist, wrist, self.top_m, tell(2 * wrist), off_mm=-9)
        hem = arm.hem[0]
        if arm.slanted:
            sketch.across(0.0, hem, -arm.hem[1], tell(hem))
            sketch.along(-arm.hem[1], 0.0, 0.12 * hem, tell(arm.hem[1]))
        else:
            for x1, x2 in ((-wrist, -hem), (-hem, hem), (hem, wrist)):
                sketch.across(x1, x2, -front, tell(x2 - x1), off_mm=8)
        sketch.along(-arm.end[1], 0.0, -wrist, tell(arm.end[1]), off_mm=-2)
        sketch.along(-front, 0.0, wrist, tell(front), off_mm=8)
        if arm.slanted:
            self._point_under_the_arm(sketch)
        if not arm.sharp:
            sketch.along(-arm.side[1], 0.0, arm.side[0], tell(arm.side[1]))
            sketch.across(arm.under[0], wrist, -arm.under[1], tell(wrist - arm.under[0]), off_mm=7)
            for sign in (1, -1):
                for x, depth in (arm.side, arm.under):
                    _dot(sketch, (sign * x, -depth))
            self._dots_told(sketch)
        away = (arm.knee[0] + wrist) / 2
        sketch.word(PICTURE["cut away"], (-away, (-front - arm.knee[1]) / 2))
        sketch.word(PICTURE["cut away"], (away, -front), down_mm=-2)
        # beside the neck
        inner = arm.knee[0] if arm.slanted else self.cut.neck_width_m / 2
        beside = -(inner + wrist) / 2
        sketch.word(
            PICTURE["no cut" if not self.cut.seamed else "shoulder line"],
            (beside, -self.cut.shoulder_fall_m(-beside)),
            down_mm=4.2,
        )
        summary = PICTURE["marked" if not self.cut.seamed else "marked seamed"]
        return sketch.picture(self.wide_mm, height, summary)

    def _point_under_the_arm(self, sketch: Sketch) -> None:
        """A cross where the lines from sleeve end and hem meet, and what is measured to it."""
        arm, tell = self.arm, self.tell.chosen
        for sign in (1, -1):
            knee = (sign * arm.knee[0], -arm.knee[1])
            for x, depth in (arm.straight_from, arm.hem):
                sketch.line([(sign * x, -depth), knee], width_mm=0.15)
            reach = 1.8 / sketch.scale
            for dx, dv in ((reach, reach), (reach, -reach)):
                ends = [(knee[0] - dx, knee[1] - dv), (knee[0] + dx, knee[1] + dv)]
                sketch.line(ends, width_mm=0.5)
        sketch.along(-arm.knee[1], 0.0, -arm.knee[0], tell(arm.knee[1]))
        sketch.across(-arm.knee[0], 0.0, -arm.knee[1], tell(arm.knee[0]))
        sketch.word(
            PICTURE["point"], (-arm.knee[0], -arm.knee[1]), anchor="end", down_mm=5, right_mm=-7
        )

    def _dots_told(self, sketch: Sketch) -> None:
        """What the dots are, in lines on the left half of the body, clear of neck and front edges."""
        inner, outer = self.cut.overlap_half_m, self.arm.side[0]
        room_mm = (outer - inner) * sketch.scale - 6
        depth = (self.arm.side[1] + self.arm.hem[1]) / 2
        for row, line in enumerate(wrapped(PICTURE["curve"], self.text_mm, room_mm)):
            at = (-(inner + outer) / 2, -depth)
            sketch.word(line, at, down_mm=1.4 * self.text_mm * row)

    def rectangles(self) -> Picture:
        """The back and the front of a seamed layer as cut apart, wrong side up, with their lines.

        Patterns are seen from the right side: here the wearer's left lies on the left.
        """
        tell, wrist = self.tell.chosen, self.wrist_m
        gap = 0.10
        low, top = -self.front_m, self.back_m + 2 * self.top_m + gap
        sketch, height = self._sketch(self.small_mm, margin_mm=11.0, low_m=low, top_m=top)
        for part in self.mark.parts:
            low_x, high_x, foot, head = part.bounds_m
            left, right = -high_x, -low_x
            up = 2 * self.top_m + gap if part.name == "back" else 0.0
            rectangle(sketch, left, foot + up, right - left, head - foot, fill=CLOTH_INK)
            sketch.line([(left, up), (right, up)], width_mm=0.25, dashes_mm=(2, 1))
            middle = (foot + head) / 2 + up
            if part.name == "back":
                sketch.along(foot + up, head + up, -wrist, tell(head - foot), off_mm=-2)
            elif part.name != "front right":
                sketch.along(foot, head, -wrist, tell(head - foot), off_mm=-2)
            sketch.word(PICTURE[part.name], (0.55 * (left + right), middle))
            # the nap's arrow, and what lies at either end of the piece
            stroke = 0.3 * (head - foot) * self.cut.nap.stroke[1]
            nap_x = 0.85 * (left if part.name != "front right" else right)
            sketch.arrow((nap_x, middle - stroke), (nap_x, middle + stroke), width_mm=0.35)
            hem = (0.55 * (left + right), head + up if part.name == "back" else foot)
            sketch.word(PICTURE["hem"], hem, down_mm=4.0 if part.name == "back" else -1.2)
        sketch.line([(0.0, low), (0.0, top)], width_mm=0.25, dashes_mm=(5, 1.5, 1, 1.5))
        sketch.across(-wrist, wrist, top, tell(2 * wrist), off_mm=-2)
        return sketch.picture(self.small_mm, height, PICTURE["rectangles"])

    def _neck_window(self, below_m: float, above_m: float) -> tuple[Sketch, float, float, float]:
        """A sketch round the neck: itself, its half width, its lower and its upper end."""
        reach = self.cut.neck_width_m * 0.85
        low, top = -self.cut.neck_front_depth_m - below_m, self.cut.back_neck_m + above_m
        sketch = Sketch(self.small_mm / (2 * reach), -reach, top, self.text_mm)
        rectangle(sketch, -reach, low, 2 * reach, top - low, fill=CLOTH_INK, width_mm=0.05)
        return sketch, reach, low, top

    def neck_marked(self) -> Picture:
        """The neck template on the shoulder line, the layer opened out."""
        sketch, reach, low, top = self._neck_window(0.09, 0.06)
        sketch.path(self.neck.neck, width_mm=0.7, fill=1.0)
        sketch.path(self.neck.stitch["neck"], dashes_mm=(2, 1.2))
        _fold(sketch, -reach, reach)
        if self.slit is not None:
            sketch.line([(0.0, self.slit.end[1]), (0.0, low)], width_mm=0.7)
            sketch.word(PICTURE["cut front"], (0.0, low), right_mm=2, down_mm=-3, anchor="start")
        sketch.word(PICTURE["back"], (0.0, self.cut.back_neck_m), down_mm=-2)
        sketch.word(
            PICTURE["on seam" if self.cut.seamed else "on fold"],
            (-reach, 0.0),
            right_mm=2,
            down_mm=-1,
            anchor="start",
        )
        neck = self.cut.neck_width_m / 2
        sketch.across(
            -neck, neck, 0.0, PICTURE["sewn"].format(width=self.tell.chosen(2 * neck)), off_mm=8
        )
        return sketch.picture(self.small_mm, (top - low) * sketch.scale, PICTURE["neck"])

    def corner_clipped(self) -> Picture:
        """The sewn corner under one arm with its snips."""
        arm, side, drop = self.arm, self.cut.body_width_m / 2, self.cut.sleeve_drop_m
        size = max(math.dist(arm.knee, arm.side), math.dist(arm.knee, arm.under), 0.03)
        reach = size + 0.075
        scale = min(self.small_mm, 60.0) / reach
        left, top = side - 0.04, -drop + 0.03
        sketch = Sketch(scale, left, top, self.text_mm)
        middle = (side, -drop)
        part = next(part for part in self.mark.parts if "underarm_front_left" in part.cut)
        rectangle(sketch, left, top - reach, reach, reach, width_mm=0.05, fill=CLOTH_INK)
        cut = _points(within(part.cut["underarm_front_left"], middle, reach - 0.045))
        right, low = left + reach, top - reach
        rim = [(right, cut[-1][1]), (right, low), (cut[0][0], low)]
        sketch.line([*cut, *rim], closed=True, fill=1.0, width_mm=0.05)
        sketch.line(cut, width_mm=0.4)
        stitch = within(part.stitch["underarm_front_left"], middle, reach - 0.045)
        sketch.path(stitch, width_mm=0.7, dashes_mm=(2, 1))
        snip_m = max(self.allowances.underarm_m - 0.003, 0.002)
        arcs = [piece for piece in stitch if isinstance(piece, Arc)]
        # the seam is walked from the hem up: the allowance lies on its right
        sketch.clips(arcs, 0.02, -snip_m)
        if not arcs:
            for before, after in pairwise(stitch):
                (x, v), (x2, v2) = before.directions[1], after.directions[0]
                away = math.hypot(v + v2, x + x2)
                at = after.start
                end = (at[0] + snip_m * (v + v2) / away, at[1] - snip_m * (x + x2) / away)
                sketch.line([at, end], width_mm=0.5)
        sketch.word(
            PICTURE["underarm"], (left + reach, -drop), anchor="end", down_mm=-4, right_mm=-2
        )
        sketch.word(
            PICTURE["side"], (side, top - reach), turn_degrees=-90, down_mm=-10, right_mm=-4
        )
        return sketch.picture(reach * scale, reach * scale, PICTURE["corner clipped"])

    def neck_clipped(self) -> Picture:
        """The sewn neck with its snips, and the corners of the fronts cut off."""
        fronts = {
            sign: max(
                (end for piece in self.mark.stitch[name] for end in (piece.start, piece.end)),
                key=lambda end: end[1],
            )
            for name, sign in (("front_left", 1), ("front_right", -1))
            if name in self.mark.stitch
        }
        # overlapping fronts begin under the neck's middle
        deepest_m = min((v for _, v in fronts.values()), default=0.0)
        below_m = 0.05 + max(0.02, -deepest_m - self.cut.neck_front_depth_m)
        sketch, _, low, top = self._neck_window(below_m, 0.04)
        sketch.path(self.neck.neck, width_mm=0.5, fill=1.0)
        stitch = self.neck.stitch["neck"]
        sketch.path(stitch, width_mm=0.6, dashes_mm=(2, 1.2))
        # the neck is walked clockwise, its opening on the right
        curves = [piece for piece in stitch if not isinstance(piece, Line)]
        sketch.clips(curves, 0.02, -0.8 * self.allowances.neck_m)
        if self.cut.neck is Neck.V and self.cut.front is Front.CLOSED:
            # into the point, as deep as the snips of a curve
            point = min((piece.start for piece in stitch), key=lambda end: end[1])
            deep_m = 0.8 * self.allowances.neck_m
            sketch.line([point, (point[0], point[1] + deep_m)], width_mm=0.5)
        if self.cut.overlap_half_m:
            for part in self.mark.parts[1:]:
                sketch.path(part.stitch["neck"], width_mm=0.6, dashes_mm=(2, 1.2))
        for sign, (x, begins) in fronts.items():
            sketch.line([(x, begins), (x, low)], width_mm=0.6, dashes_mm=(2, 1.2))
            # the corner beyond the stitches, on the side of the other front
            out = -sign if self.cut.overlap_half_m else -sign * min(1.0, abs(x) / 0.013)
            sketch.line([(x + out * 0.011, begins + 0.003), (x - out * 0.003, begins + 0.014)],
                        width_mm=0.9)  # fmt: skip
        if self.slit is not None:
            sketch.line([(0.0, self.slit.end[1]), (0.0, low)], width_mm=0.5)
        if self.cut.front is not Front.CLOSED:
            # between overlapping fronts there is room, beside fronts that meet there is
            between = bool(self.cut.overlap_half_m)
            sketch.word(
                PICTURE["cut corners"],
                (0.0, low),
                right_mm=0 if between else 8,
                down_mm=-3,
                anchor="middle" if between else "start",
            )
        return sketch.picture(self.small_mm, (top - low) * sketch.scale, PICTURE["neck clipped"])

    def worn(
        self,
        summary: str,
        *,
        sewn: Sequence[str] = (),
        out_of: bool = False,
        open_ends: bool = False,
        words: str = "",
        inner: bool = False,
        cuffs: bool = False,
        boxes: Sequence[tuple[float, float, float, float]] = (),
        sizes: Sequence[tuple[str, float, float, float, str]] = (),
    ) -> Picture:
        """The garment folded and cut, the named stitch lines drawn strongly.

        ``boxes`` are rectangles on it (left, low, wide, high); ``sizes`` dimensions: "along" or
        "across", from, to, at, and their words.
        """
        sketch, height = self._sketch(
            self.small_mm, margin_mm=9.0, low_m=-self.back_m, top_m=max(self.cut.back_neck_m, 0.01)
        )
        for points in self._fronts():
            sketch.line(points, closed=True, width_mm=0.35, fill=CLOTH_INK)
        neck = self.mark.parts[0].neck
        if not self.cut.seamed:
            front_neck = [piece for piece in neck if piece.start[1] <= 0]
            sketch.path(front_neck, width_mm=0.3, fill=1.0)
        if back_neck := [piece for piece in neck if piece.start[1] >= 0]:
            sketch.path(back_neck, width_mm=0.25, ink=0.5, dashes_mm=(1, 1))
        if self.slit is not None:
            sketch.line([(0.0, self.slit.end[1]), (0.0, -self.front_m)], width_mm=0.3)
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
                    (sign * self.wrist_m, -self.arm.end[1] / 2),
                    turn_degrees=-90,
                    right_mm=4.4 if sign > 0 else -2.2,
                )
            if self.cut.front is not Front.CLOSED:
                self._way_round(sketch)
        if out_of:
            sketch.arrow(
                (0.3 * self.wrist_m, -self.arm.end[1] / 2),
                (self.wrist_m + 0.10, -self.arm.end[1] / 2),
                width_mm=1.0,
            )
        if cuffs:
            self._cuffs(sketch)
        for box in boxes:
            rectangle(sketch, *box, width_mm=0.6)
        for way, first, last, at, told in sizes:
            (sketch.along if way == "along" else sketch.across)(first, last, at, told)
        if words:
            sketch.word(words, (0.0, -self.back_m), down_mm=5)
        return sketch.picture(self.small_mm, height, summary)

    def _cuffs(self, sketch: Sketch) -> None:
        """Both cuffs folded back."""
        fold = self.wrist_m - self.allowances.sleeve_end_m - self.cut.cuff_depth_m
        top = -self.cut.shoulder_fall_m(fold)
        foot = top - self.cut.sleeve_opening_m / 2
        for sign in (1, -1):
            inner = sign * (fold - self.cut.cuff_depth_m)
            corners = [(sign * fold, top), (sign * fold, foot), (inner, foot), (inner, top)]
            sketch.line(corners, closed=True, width_mm=0.7, fill=1.0)
            # nothing is left beyond the fold
            edge, outer = sign * (fold + 0.003), sign * (self.wrist_m + 0.03)
            beyond = [(edge, top + 0.05), (outer, top + 0.05), (outer, foot - 0.08)]
            beyond.append((edge, foot - 0.08))
            sketch.line(beyond, closed=True, width_mm=0.1, fill=1.0, ink=1.0)

    def _way_round(self, sketch: Sketch) -> None:
        """Arrows along hem, front, front and hem: the way in which the ring is sewn."""
        below, beside = -self.front_m - 3.5 / sketch.scale, 5.0 / sketch.scale
        beside += self.cut.overlap_half_m
        upper, lower = -0.55 * self.front_m, -0.92 * self.front_m
        for start, end in (
            ((0.9 * self.arm.hem[0], below), (0.2 * self.arm.hem[0], below)),
            ((beside, lower), (beside, upper)),
            ((-beside, upper), (-beside, lower)),
            ((-0.2 * self.arm.hem[0], below), (-0.9 * self.arm.hem[0], below)),
        ):
            sketch.arrow(start, end, width_mm=0.3)


def _points(pieces: Sequence[Piece]) -> list[Point]:
    """A chain as points in metres."""
    return [(x / 1000, v / 1000) for x, v in points_mm(pieces)]


def _front_half(piece: Piece) -> Piece | None:
    """What of a stitch line lies on the front half; None if nothing does."""
    low, high = sorted((piece.start, piece.end), key=lambda point: point[1])
    if low[1] >= 0 and high[1] > 0:
        return None
    if high[1] > 0:
        return Line(start=low, end=(high[0], 0.0))
    return piece


def _fold(sketch: Sketch, x1: float, x2: float) -> None:
    sketch.line([(x1, 0.0), (x2, 0.0)], width_mm=0.35, dashes_mm=(5, 1.5, 1, 1.5))


def _folded_under(sketch: Sketch, x: float, deep_m: float) -> None:
    """A bent arrow from beyond the fold to under the cloth, dashed where it is under it."""
    above_m, bow_m = 8.0 / sketch.scale, 5.0 / sketch.scale
    low_m, high_m = -deep_m, above_m
    bend = [
        (
            x + bow_m * math.sin(math.pi * step / 24),
            high_m + (low_m - high_m) * step / 24,
        )
        for step in range(25)
    ]
    sketch.line([point for point in bend if point[1] >= 0], width_mm=0.5)
    under = [point for point in bend if point[1] <= 0]
    sketch.line(under, width_mm=0.5, dashes_mm=(1.5, 1.0))
    sketch.arrow(under[-2], under[-1])


def _dot(sketch: Sketch, point: tuple[float, float]) -> None:
    radius = 0.9 / sketch.scale
    turns = [math.pi * step / 6 for step in range(12)]
    sketch.line(
        [(point[0] + radius * math.cos(t), point[1] + radius * math.sin(t)) for t in turns],
        closed=True,
        fill=0.0,
    )

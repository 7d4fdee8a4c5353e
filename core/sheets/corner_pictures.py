# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures of the corner under the arm: where it is marked and cut, and how it is clipped."""

import math
from itertools import pairwise

from ..paper import wrapped
from ..pattern import Arc
from .drawing import points_m, within
from .flow import Picture
from .garment import Garment, front_half
from .picture_words import PICTURE
from .sketch import CLOTH_INK, FOLD_DASHES_MM, Sketch, rectangle

__all__ = ["corner_clipped", "corners_marked"]

SAME_M = 1e-6
POINT_ROOM = 6.5
"""Width of the words beside the cross under an arm, in heights of the type."""


def corners_marked(garment: Garment) -> Picture:
    """Where the corners are measured and cut, on the folded layer or on the fronts.

    Fronts that overlap lie apart, each with its own centre line.
    """
    return _Marked(garment).picture()


class _Marked:
    """The picture of the corners while it is drawn."""

    def __init__(self, garment: Garment) -> None:
        self._garment, self._arm, self._tell = garment, garment.arm, garment.tell.chosen
        self._front, self._wrist, self._apart = garment.front_m, garment.wrist_m, garment.apart_m
        self._sketch, self._height = garment.sketch(
            garment.wide_mm,
            margin_mm=17.0,
            low_m=-garment.front_m,
            top_m=garment.top_m,
            half_m=garment.wrist_m + garment.apart_m,
        )

    def picture(self) -> Picture:
        garment, sketch = self._garment, self._sketch
        self._cloth()
        self._edges()
        if self._arm.slanted:
            self._point_under_the_arm()
        if not self._arm.sharp:
            self._dots()
        if garment.cut.cuff_depth_m:
            self._cuff_folds()
        self._words()
        summary = PICTURE["marked" if not garment.cut.seamed else "marked seamed"]
        return sketch.picture(garment.wide_mm, self._height, summary)

    def _x(self, across: float) -> float:
        """A place of the garment in the picture, away from the middle where fronts lie apart."""
        return across + math.copysign(self._apart, across)

    def _cloth(self) -> None:
        garment, sketch, apart = self._garment, self._sketch, self._apart
        top, inner = garment.top_m, garment.inner_m if apart else 0.0
        for sign in (-1, 1):
            edges = sorted((sign * (self._wrist + apart), sign * (apart - inner)))
            rectangle(
                sketch, edges[0], -self._front, edges[1] - edges[0], self._front + top, fill=1.0
            )
        for number, points in enumerate(garment.fronts()):
            # the wearer's left front comes first, and lies where x is positive
            moved = (apart, -apart)[number] if apart else 0.0
            sketch.line(
                [(x + moved, v) for x, v in points], closed=True, width_mm=0.7, fill=CLOTH_INK
            )
        sketch.fold((-self._wrist - apart, 0.0), (self._wrist + apart, 0.0))
        for centre in dict.fromkeys((-apart, apart)):
            sketch.line(
                [(centre, -self._front), (centre, 0.0)], dashes_mm=FOLD_DASHES_MM, width_mm=0.2
            )

    def _edges(self) -> None:
        """What is measured along the edges of the cloth."""
        sketch, arm, tell = self._sketch, self._arm, self._tell
        wrist, front, hem = self._x(self._wrist), self._front, arm.hem[0]
        if self._apart:
            inner = self._apart - self._garment.inner_m
            for sign in (-1, 1):
                start, end = sorted((sign * wrist, sign * inner))
                sketch.across(start, end, self._garment.top_m, tell(end - start), off_mm=-9)
        else:
            sketch.across(-wrist, wrist, self._garment.top_m, tell(2 * wrist), off_mm=-9)
        if not arm.slanted and not self._apart:
            side = wrist - hem
            middle = self._garment.tell.rest(2 * wrist, side, side)
            for x1, x2, told in (
                (-wrist, -hem, tell(side)),
                (-hem, hem, middle),
                (hem, wrist, tell(side)),
            ):
                sketch.across(x1, x2, -front, told, off_mm=8)
        elif not arm.slanted:
            for x1, x2 in ((-wrist, self._x(-hem)), (self._x(hem), wrist)):
                sketch.across(x1, x2, -front, tell(x2 - x1), off_mm=8)
        elif front - arm.hem[1] < SAME_M:
            sketch.across(self._apart, self._x(hem), -front, tell(hem), off_mm=8)
        else:
            sketch.across(self._apart, self._x(hem), -arm.hem[1], tell(hem))
            sketch.along(-arm.hem[1], 0.0, self._apart + 0.12 * hem, tell(arm.hem[1]))
        sketch.along(-arm.end[1], 0.0, -wrist, tell(arm.end[1]), off_mm=-2)
        sketch.along(-front, 0.0, wrist, tell(front), off_mm=8)

    def _point_under_the_arm(self) -> None:
        """A cross where the lines from sleeve end and hem meet, and what is measured to it."""
        arm, sketch, tell = self._arm, self._sketch, self._tell
        for sign in (1, -1):
            knee = (self._x(sign * arm.knee[0]), -arm.knee[1])
            for x, depth in (arm.straight_from, arm.hem):
                sketch.line([(self._x(sign * x), -depth), knee], width_mm=0.15)
            sketch.cross(knee)
        knee_x = self._x(-arm.knee[0])
        sketch.along(-arm.knee[1], 0.0, knee_x, tell(arm.knee[1]))
        sketch.across(knee_x, -self._apart, -arm.knee[1], tell(arm.knee[0]))
        for row, line in enumerate(
            wrapped(PICTURE["point"], sketch.text_mm, POINT_ROOM * sketch.text_mm)
        ):
            sketch.word(
                line,
                (knee_x, -arm.knee[1]),
                anchor="start",
                down_mm=(1.2 + 1.3 * row) * sketch.text_mm,
                right_mm=3,
                ground=CLOTH_INK,
            )
        straight = self._wrist - arm.straight_from[0]
        if straight > SAME_M:
            edge = -self._x(self._wrist)
            sketch.across(edge, edge + straight, -arm.end[1], tell(straight), off_mm=7)

    def _dots(self) -> None:
        """Where the corner begins and ends."""
        arm, sketch, tell = self._arm, self._sketch, self._tell
        for sign in (1, -1):
            for x, depth in (arm.side, arm.under):
                sketch.dot((self._x(sign * x), -depth))
        side = self._x(arm.side[0])
        # beside the cross under the arm and the line to it
        inside = min(side, self._x(arm.knee[0]))
        off_mm = (inside - side) * sketch.scale - 5.0 if arm.slanted else 0.0
        sketch.along(-arm.side[1], 0.0, side, tell(arm.side[1]), off_mm=off_mm)
        if arm.slanted:
            sketch.line(
                [(side, -arm.side[1]), (inside - 6.0 / sketch.scale, -arm.side[1])], width_mm=0.15
            )
        under, edge = self._x(arm.under[0]), self._x(self._wrist)
        sketch.across(under, edge, -arm.under[1], tell(self._wrist - arm.under[0]), off_mm=7)
        # told in lines on the left half of the body, clear of neck and front edges
        inner = self._apart
        room_mm = (side - inner) * sketch.scale - 6
        depth = 0.75 * arm.side[1] + 0.25 * arm.hem[1]
        if arm.slanted:  # under the words beside the cross
            depth = max(depth, arm.knee[1] + 4.5 * sketch.text_mm / sketch.scale)
        for row, line in enumerate(wrapped(PICTURE["curve"], sketch.text_mm, room_mm)):
            at = (-(inner + side) / 2, -depth)
            sketch.word(line, at, down_mm=1.4 * sketch.text_mm * row)

    def _cuff_folds(self) -> None:
        """Where cuffs fold back, and how far that is from the sleeve end."""
        garment, sketch = self._garment, self._sketch
        lines = [
            fold for part in garment.mark.parts for name, fold in part.folds if name == "cuff fold"
        ]
        for fold in lines:
            shown = front_half(fold)
            if shown is None:
                continue
            x = self._x(shown.start[0])
            sketch.fold((x, shown.start[1]), (x, shown.end[1]))
        fold_x, edge = self._x(max(fold.start[0] for fold in lines)), self._x(self._wrist)
        above = garment.top_m
        for x in (fold_x, edge):
            sketch.line([(x, above), (x, above + 5.0 / sketch.scale)], width_mm=0.15)
        sketch.across(fold_x, edge, above, self._tell(edge - fold_x), off_mm=-3.5)

    def _words(self) -> None:
        garment, sketch, arm = self._garment, self._sketch, self._arm
        longer_m = garment.cut.back_longer_m
        if longer_m:
            # the front alone is drawn
            words = PICTURE["back longer"].format(
                longer=self._tell(longer_m), rise=self._tell(longer_m + garment.cut.hem_curve_m)
            )
            edge = -self._x(self._wrist)
            sketch.word(words, (edge, -self._front), anchor="start", down_mm=9.5 + sketch.text_mm)
        away = self._x((arm.knee[0] + self._wrist) / 2)
        sketch.word(PICTURE["cut away"], (-away, (-self._front - arm.knee[1]) / 2), down_mm=4)
        sketch.word(PICTURE["cut away"], (away, -self._front), down_mm=-2)
        # beside the neck
        inner = arm.knee[0] if arm.slanted else garment.cut.neck_width_m / 2
        beside = -(inner + self._wrist) / 2
        sketch.word(
            PICTURE["no cut" if not garment.cut.seamed else "shoulder line"],
            (self._x(beside), -garment.cut.shoulder_fall_m(-beside)),
            down_mm=1.4 * sketch.text_mm,
            ground=CLOTH_INK,
        )
        if self._apart:
            # wrong side up the wearer's left lies on the left
            for name, sign in (("front left", -1), ("front right", 1)):
                # above a hem that rises, and what is measured along it
                rises = self._front - arm.hem[1] > SAME_M
                at = (self._x(sign * 0.55 * arm.hem[0]), -arm.hem[1])
                sketch.word(PICTURE[name], at, down_mm=-2.2 * sketch.text_mm if rises else -2.0)


def corner_clipped(garment: Garment) -> Picture:
    """The sewn corner under one arm with its snips."""
    arm, side, drop = garment.arm, garment.cut.body_width_m / 2, garment.cut.sleeve_drop_m
    size = max(math.dist(arm.knee, arm.side), math.dist(arm.knee, arm.under), 0.03)
    reach = size + 0.075
    scale = min(garment.small_mm, 60.0) / reach
    middle = (side, -drop)
    part = next(part for part in garment.mark.parts if "underarm_front_left" in part.cut)
    stitch = within(part.stitch["underarm_front_left"], middle, reach - 0.045)
    # the word stands over the stitches, which rise towards a narrow sleeve end
    over = max(max(v for _, v in points_m(stitch)), -drop)
    low, left = -drop + 0.03 - reach, side - 0.04
    top = max(-drop + 0.03, over + (garment.text_mm + 4.0) / scale)
    sketch = Sketch(scale, left, top, garment.text_mm)
    rectangle(sketch, left, low, reach, top - low, width_mm=0.05, fill=CLOTH_INK)
    cut = points_m(within(part.cut["underarm_front_left"], middle, reach - 0.045))
    right = left + reach
    rim = [(right, cut[-1][1]), (right, low), (cut[0][0], low)]
    sketch.line([*cut, *rim], closed=True, fill=1.0, width_mm=0.05)
    sketch.line(cut, width_mm=0.4)
    sketch.path(stitch, width_mm=0.7, dashes_mm=(2, 1))
    arcs = [piece for piece in stitch if isinstance(piece, Arc)]
    allowance_m = garment.allowances.underarm_m
    if arcs:
        # the seam is walked from the hem up: the allowance lies on its right
        sketch.clips(arcs, 0.02, -max(allowance_m - 0.003, 0.002))
    else:
        for before, after in pairwise(stitch):
            _corner_snip(
                sketch, after.start, before.directions[1], after.directions[0], allowance_m
            )
    sketch.word(
        PICTURE["underarm"],
        (left + reach, over),
        anchor="end",
        down_mm=-2.5,
        right_mm=-2,
    )
    begin = min(stitch[0].start[0], side)
    sketch.word(PICTURE["side"], (begin, low), turn_degrees=-90, down_mm=-10, right_mm=-4)
    return sketch.picture(reach * scale, (top - low) * scale, PICTURE["corner clipped"])


def _corner_snip(
    sketch: Sketch,
    at: tuple[float, float],
    before: tuple[float, float],
    after: tuple[float, float],
    allowance_m: float,
) -> None:
    """A snip from the edge of the allowance nearly to the point where the stitches turn."""
    # half way between both lines, on the right of the way
    across = (before[1] + after[1], -(before[0] + after[0]))
    length = math.hypot(*across)
    way = (across[0] / length, across[1] / length)
    # the edge's own corner lies farther than the allowance, by the turn
    edge_m = allowance_m * 2 / length
    start_m = min(0.15 * edge_m, 0.002)
    sketch.line(
        [
            (at[0] + start_m * way[0], at[1] + start_m * way[1]),
            (at[0] + edge_m * way[0], at[1] + edge_m * way[1]),
        ],
        width_mm=0.5,
    )

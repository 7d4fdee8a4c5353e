# SPDX-License-Identifier: GPL-3.0-or-later
"""One garment with all that its pictures are drawn from: its cut, its lines, its outlines."""

import math

from ..cut_line import SHOULDER_MIDDLE, Allowances, CutLine, Part, cut_line_of, under_arm
from ..pattern import Cut, Front, Line, Piece, Point, Shoulder, fitted
from ..telling import Telling
from .drawing import points_m
from .sketch import Sketch

__all__ = ["Garment", "front_half"]


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
        return cut_line_of(whole, self.allowances).parts[0]

    @property
    def slit(self) -> Line | None:
        """The cut down the centre front of a whole layer."""
        return self.mark.parts[0].front

    @property
    def shoulder_notch_m(self) -> float:
        """From the sleeve end to the notch in the middle of a shoulder seam, along the cut edge; else 0."""
        notches = self.mark.parts[0].notches
        at = next(
            (one.at for one in notches if one.name == SHOULDER_MIDDLE and one.at[0] > 0), None
        )
        if at is None:
            return 0.0
        edge = self.mark.parts[0].cut["shoulder_back_left"]
        return math.dist(at, max(end for piece in edge for end in (piece.start, piece.end)))

    @property
    def inner_m(self) -> float:
        """How far the cloth of a front reaches beyond the centre line."""
        return -min(part.bounds_m[0] for part in self.mark.parts if part.name == "front left")

    @property
    def apart_m(self) -> float:
        """How far fronts that overlap are drawn to either side, so that both are seen whole."""
        return self.cut.overlap_half_m + APART_M if self.cut.overlap_half_m else 0.0

    def sketch(
        self, width_mm: float, *, margin_mm: float, low_m: float, top_m: float, half_m: float = 0.0
    ) -> tuple[Sketch, float]:
        """A sketch as wide as the garment, or twice ``half_m``, and its height in mm."""
        half_m = half_m or self.wrist_m
        scale = (width_mm - 2 * margin_mm) / (2 * half_m)
        sketch = Sketch(scale, -half_m - margin_mm / scale, top_m + margin_mm / scale, self.text_mm)
        return sketch, (top_m - low_m) * scale + 2 * margin_mm

    def fronts(self) -> list[list[Point]]:
        """The cut outline of what lies in front of the shoulders, the upper front last."""
        if self.cut.seamed:
            return [points_m(part.outline) for part in self.mark.parts if part.name != "back"]
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
            halves.append(points_m(pieces))
        return [[*halves[0], *halves[1]]]


APART_M = 0.04


def front_half(piece: Piece) -> Piece | None:
    """What of a line lies on the front half; None if nothing does."""
    low, high = sorted((piece.start, piece.end), key=lambda point: point[1])
    if low[1] >= 0 and high[1] > 0:
        return None
    if high[1] > 0:
        return Line(start=low, end=(high[0], 0.0))
    return piece

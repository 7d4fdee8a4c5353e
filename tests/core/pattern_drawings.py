# SPDX-License-Identifier: GPL-3.0-or-later
"""A cut, its line and its drawings, and what chains of points measure."""

import math
from itertools import pairwise

from napfold.core.cut_line import Allowances, CutLine, Part, build_cut_line
from napfold.core.pattern import Cut, build_pattern
from napfold.core.sheets.drawing import Drawing, pattern_drawings

SVG = "{http://www.w3.org/2000/svg}"
CUT = Cut(cloth_width_m=1.4732, length_m=0.9144, body_width_m=0.6604, sleeve_drop_m=0.2032)


def line_of(cut: Cut = CUT):
    return build_cut_line(build_pattern(cut), Allowances())


def pattern_drawing(name: str, line: CutLine) -> Drawing:
    """The drawing of a layer in one piece."""
    ((_, drawing),) = pattern_drawings(name, line)
    return drawing


def parts_of(cut: Cut) -> list[tuple[Part, Drawing]]:
    line = line_of(cut)
    drawings = pattern_drawings("wrap", line)
    return [(part, drawing) for part, (_, drawing) in zip(line.parts, drawings, strict=True)]


def polygon_area(points) -> float:
    return abs(math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*points, points[0]]))) / 2


def length(points) -> float:
    return math.fsum(math.dist(a, b) for a, b in pairwise(points))

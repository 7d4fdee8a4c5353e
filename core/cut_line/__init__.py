# SPDX-License-Identifier: GPL-3.0-or-later
"""What is marked on the cloth: the lines to cut, the lines to stitch, notches, folds, grain and nap.

The pattern's outline is where the seams lie and where the cloth ends. At hem, sleeve ends and at
fronts that meet edge to edge, the cut line is the edge of the cloth and the stitch line lies inside
it; at every other edge the stitch line is the outline and the cut line leaves the allowance beside
it. A layer on the fold is one part; seamed shoulders make it a back and a front or two fronts.
Coordinates are the pattern's, in metres.
"""

from .allowances import EDGES, Allowances, finished_cut
from .marks import NECK_FOLD, SHOULDER_MIDDLE, Notch, middle_m
from .parts import CutLine, Part, build_cut_line, cut_line_of
from .under_arm import UnderArm, under_arm

__all__ = [
    "EDGES",
    "NECK_FOLD",
    "SHOULDER_MIDDLE",
    "Allowances",
    "CutLine",
    "Notch",
    "Part",
    "UnderArm",
    "build_cut_line",
    "cut_line_of",
    "finished_cut",
    "middle_m",
    "under_arm",
]

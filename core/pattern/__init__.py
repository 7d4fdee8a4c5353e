# SPDX-License-Identifier: GPL-3.0-or-later
"""The cut (a maker's choices) and the flat pattern that follows from it.

Flat coordinates in metres: x across the cloth, positive to the wearer's left; v along the cloth,
0 at the shoulder, negative on the front half, positive on the back half. Both layers of the garment
are cut alike. Curves are exact, so lengths and areas carry no sampling error.
"""

from .choices import Corner, Front, Neck, Shoulder
from .curves import Arc, Cubic, Edge, Line, Piece, Point, arc_through, reverse, until_across
from .cut import Cut, fitted
from .neck import HEAD_EASE_M, neck_length_m, sized_to_head, sized_to_neck
from .outline import Pattern, Quarter, build_pattern, sewn
from .parallel import inside, meeting, parallel
from .ranges import LEAST_LENGTH_M, LEAST_SIDE_M, LEAST_SLEEVE_M, largest_overlap_m

__all__ = [
    "HEAD_EASE_M",
    "LEAST_LENGTH_M",
    "LEAST_SIDE_M",
    "LEAST_SLEEVE_M",
    "Arc",
    "Corner",
    "Cubic",
    "Cut",
    "Edge",
    "Front",
    "Line",
    "Neck",
    "Pattern",
    "Piece",
    "Point",
    "Quarter",
    "Shoulder",
    "arc_through",
    "build_pattern",
    "fitted",
    "inside",
    "largest_overlap_m",
    "meeting",
    "neck_length_m",
    "parallel",
    "reverse",
    "sewn",
    "sized_to_head",
    "sized_to_neck",
    "until_across",
]

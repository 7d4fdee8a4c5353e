# SPDX-License-Identifier: GPL-3.0-or-later
"""The words of the page of options, in one place."""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["HEADING", "INTRODUCTION", "LIMITS", "WORDS"]

HEADING = "Options of the cut"
INTRODUCTION = (
    "What may stand under [cut] in a job file beside the four numbers that every cut has. All drawings "
    "are of one layer of the same wrap and to the same scale, with one thing changed; the limits are those "
    "that this wrap leaves. The wearer's left is on the right."
)
LIMITS = "from {low} to {high}"

WORDS: Mapping[str, str] = MappingProxyType(
    {
        "plain": "The plain cut: all that follows left out.",
        "round": "Half an ellipse in front and behind.",
        "oval": "Fuller than a round neck of the same width and depth.",
        "V": "Straight sides in front, round behind.",
        "high back": "Behind straight along the shoulder line; neck_back_depth has no effect.",
        "neck_ease": "Sizes the neck's width to the wearer: so much longer than the neck base. Stands in the "
        "place of neck_width.",
        "overlapping": "Two fronts that lie over one another, right over left. Asks for seamed shoulders: two "
        "fronts wider than half do not come out of one folded length.",
        "closed": "Goes on over the head; the neck has to let it through.",
        "seamed": "Front and back are cut apart and sewn on the shoulders.",
        "shoulder_drop": "How far a seamed shoulder falls from the neck to the sleeve end.",
        "wrist_opening": "How far round the sleeve end is, sewn; the sleeve narrows from the body to it and runs "
        "straight for its last 5 cm (2 in).",
        "sleeve_shortened": "By how much each sleeve ends before the edge of the cloth.",
        "cuff_depth": "How much of the sleeve is turned back to the outside; straight that far and again.",
        "diagonal": "Under the arm cut off straight, corner_radius from the point on both lines.",
        "square": "A sharp corner under the arm.",
        "hem_curve": "How far the hem rises from its middle to the side seams.",
        "back_longer": "By how much the back hangs lower than the front, in the middle.",
        "side_flare": "By how much each side is wider at the hem than under the arm.",
        "side_split": "How far the side seams are left open from the hem up.",
    }
)

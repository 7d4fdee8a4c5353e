# SPDX-License-Identifier: GPL-3.0-or-later
"""The page that says how each swatch test is made."""

from collections.abc import Iterator

from ..cautions import cautions
from ..paper import Mark
from .layout import SMALL_MM, TOP_MM, WIDE_MM, heading, paragraph
from .pictograms import PICTURE_HEIGHT_MM, pictograms

__all__ = ["how_page"]

PICTURES_MM = TOP_MM + 10

_HOW = (
    (
        "Before",
        "Let the cloth lie flat indoors for a day after washing it the way you will. Keep away from "
        "selvedges and creases. Along is the length of the bolt, across its width. Mark the way the "
        "nap strokes smooth on the wrong side. Test every cloth of the garment by itself.",
    ),
    (
        "Weigh a piece",
        "Cut a piece 20 x 20 cm (8 x 8 in) or larger and weigh it; weigh two if you can. A kitchen "
        "scale that shows whole grams needs 30 x 30 cm (12 x 12 in), or several pieces on it "
        "together with the area of all.",
    ),
    (
        "Overhang",
        "Page 1. Curling cloth: cut the strips 5 cm (2 in) wide. Pile up and pile down differ: write "
        "them apart.",
    ),
    (
        "Loop, for cloth too limp or too curly to jut out",
        "Mark 20 cm (8 in) on a strip 2.5 cm (1 in) wide. Lay both marks on one another and grip "
        "them in a flat clip so that the strip leaves the clip upwards and falls round it on both "
        "sides: a heart, the clip in its notch. Measure from the clip's upper edge straight down to "
        "the lowest point. If it hangs as two plies, take a shorter strip and write its length as "
        "loop_strip.",
    ),
    (
        "Hang a weight on a strip",
        "Strips 5 cm (2 in) wide and 25 cm (10 in) long: along, across, and at 45 degrees. Two marks "
        "10 cm (4 in) apart, the lower one 5 cm (2 in) above the lower clip. Clip the strip up, hang "
        "500 g (18 oz, clip included) on those cut along and across and 25 g (1 oz) on the one at 45 "
        "degrees, wait half a minute, and measure between the marks.",
    ),
    (
        "Stack",
        "Four pieces 10 x 10 cm (4 x 4 in) on one another, pile up, a stiff board of that size on "
        "top with 200 g (7 oz, board included): height of the stack without the board. Then with 10 "
        "kg (22 lb), for example a full bucket steadied by hand.",
    ),
    (
        "Tilt",
        "Cloth taped flat on a board; a book-sized block wrapped in the same cloth on it. Raise one "
        "end slowly until the block slides off. Write the angle, or the rise and the board's length "
        '("25 cm on 60 cm"). Pile on pile, the nap of both stroking smooth downhill (with the nap), '
        "then uphill (against it); wrong side on wrong side; pile on a cotton shirt.",
    ),
    (
        "Round piece",
        "A round piece 30 cm (11 3/4 in) wide centred on a plate or tin 18 cm (7 in) wide, a second "
        "plate on top. Lift and drop it three times. Photograph it from straight above, at least 1.5 "
        "m (5 ft) high, a ruler beside the rim; follow the edge of the ground, not the tips of the "
        "pile. Or trace its shadow and read the radius at twelve or more equal turns.",
    ),
    (
        "Wash",
        "Two marks 50 cm (20 in) apart before the first wash; their distance after it.",
    ),
)
_CARE = (
    "While testing: keep feet and children from under hung weights and raised boards, and cut on a "
    "surface that may be cut."
)


def how_page(left: float) -> Iterator[Mark]:
    """Marks of the page, its print beginning so far from the left."""
    yield from heading(left, "Swatch tests 2: how")
    yield from pictograms(left, PICTURES_MM)
    half = (WIDE_MM - 8) / 2
    columns = (_HOW[:7], _HOW[7:])
    for x, paragraphs in zip((left, left + half + 8), columns, strict=True):
        y = PICTURES_MM + PICTURE_HEIGHT_MM + 7
        for lead, text in paragraphs:
            marks, y = paragraph(x, y, half, text, lead=lead)
            yield from marks
        if paragraphs is columns[1]:
            for number, text in enumerate((_CARE, *cautions(child_sized=False))):
                lead = "Cautions" if number == 0 else ""
                marks, y = paragraph(x, y + 0.4, half, text, SMALL_MM, lead)
                yield from marks

# SPDX-License-Identifier: GPL-3.0-or-later
"""The words of the templates, in one place so that they can be put into another language."""

__all__ = [
    "BARE",
    "CENTRE_FRONT",
    "CLOTH_HERE",
    "CORNER",
    "CORNER_NAME",
    "FOLD",
    "HALF_NECK",
    "HALF_NECK_NAME",
    "HEM_NAMES",
    "HEM_SIDE",
    "HOOD",
    "HOOD_FACE",
    "HOOD_NECK",
    "HOOD_NOTCH",
    "MAP",
    "NECK",
    "NECK_NAME",
    "NECK_NAMES",
    "ONE_PAGE",
    "PATTERN_NAME",
    "POCKET_HEM",
    "SQUARE_CM",
    "SQUARE_IN",
    "hem_words",
    "included",
    "joins",
    "map_heading",
    "map_words",
    "part_neck",
    "piece_name",
    "piece_words",
    "template_heading",
    "tile_head",
]

PATTERN_NAME, NECK_NAME, CORNER_NAME = "pattern of one layer", "neck template", "corner template"
HALF_NECK_NAME = "half neck template"
BARE = (NECK_NAME, HALF_NECK_NAME, CORNER_NAME)
"""Templates that serve without their stitch lines where paper is small."""
NECK_NAMES = {
    "back": "back neck template",
    "front": "front neck template",
    "front left": "front neck template",
}
HEM_NAMES = {
    "both": "hem template, front and back",
    "front": "front hem template",
    "back": "back hem template",
}
HEM_SIDE, CLOTH_HERE = "side seam", "The cloth lies on this side of the line."
ONE_PAGE, MAP = "one sheet", "map"
SQUARE_CM, SQUARE_IN = "10 cm: measure it before you cut", "4 in"
FOLD = "lay this line on the shoulder fold"
CENTRE_FRONT = "centre front"
NECK = ("BACK above the fold line, FRONT below it.", "Cut the cloth on the full line.")
CORNER = "Keep the part with the words, lay its straight edges on both ruled lines."
POCKET_HEM = "upper edge: turn in on this line, 3 cm (1 1/8 in)"
HOOD = ("A pair, mirrored: turn it over for the", "other half. Unlined.")
HOOD_NECK = "neck edge: sewn on the dashed line"
HOOD_NOTCH = "notch: shoulder"
HOOD_FACE = "face edge: turn in on this line, 2.5 cm (1 in)"
HALF_NECK = (
    "Half of the neck: this side on the centre line,",
    "turned over for the other half.",
)


def included(metric: str, inches: str) -> str:
    """How much allowance a template has in it, in both units."""
    return f"Allowance included: {metric} ({inches})."


def part_neck(part: str) -> tuple[str, ...]:
    """What stands on the neck template of a back or a front."""
    if part == "front left":
        return (
            "Cloth wrong side up, its hem near you: printed",
            "side up on the front whose sleeve points right,",
            "turned over on the other. Centre line and",
            "shoulder line are marked. The cloth lies on",
            "this side. Cut full lines, sew dashes.",
        )
    return (
        "Lay the marked lines on shoulder line and centre line;",
        "turn over for the other half.",
        "The cloth lies on this side. Cut full lines, sew dashes.",
    )


def hem_words(serves: str, *, two_fronts: bool) -> str:
    """What is said of the hem template of a half; ``two_fronts`` are cut apart from one another."""
    other = {
        "both": "for the other half of the back and for the other front",
        "front": "for the other front",
    }
    turned = other.get(serves, "for the other half") if two_fronts else "for the other half"
    return (
        "Half of the hem: the upright line on the centre line, the curve to the edge of the cloth; "
        f"turned over {turned}."
    )


def piece_name(piece: str) -> str:
    """Name of the template of a small piece."""
    return f"{piece} template"


def piece_words(piece: str, count: int, layer: str) -> tuple[str, ...]:
    """What stands on the template of a small piece."""
    return f"{piece}: cut {count} of the {layer} cloth,", "the arrow with the nap."


def tile_head(number: int, sheets: int) -> str:
    """What stands at the head of each sheet of a tiled drawing, under its name."""
    return (
        f"Sheet {number} of {sheets}. Print at 100 %. Trim two sides, lay trim line on trim line."
    )


def joins(name: str) -> str:
    """Along a trim line: which sheet is joined there."""
    return f"joins {name}"


def map_heading(name: str) -> str:
    """Heading of the map."""
    return f"Map of the sheets: {name}"


def map_words(sheets: int, overlap_mm: float) -> str:
    """What the map says."""
    return (
        f"{sheets} sheets, at true size. Print at 100 % (not fitted to the page) and measure the "
        "square below on the first one. Cut the right and the lower side of each sheet along the "
        f"dashed trim line and lay it on its neighbour, trim line on trim line; they overlap by "
        f"{overlap_mm:g} mm. Sheets on which no line falls are left out. Full lines are cut, dashed "
        "lines are sewn, short thick strokes are notches."
    )


def template_heading(name: str) -> str:
    """Heading of the page with the templates."""
    return f"Templates at true size: {name}. Print at 100 %."

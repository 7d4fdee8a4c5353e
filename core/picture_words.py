# SPDX-License-Identifier: GPL-3.0-or-later
"""What is told about a picture: alt text, and that it is a preview that stands on estimates."""

import colorsys
from collections.abc import Mapping

from .cloth import FIGURES, PICTURE, Cloth
from .job import Job
from .picture_file import written_colour
from .pictures.shots import SHOTS, Subject
from .telling import Telling
from .units import UnitSystem

__all__ = [
    "IN_A_LISTING",
    "PREVIEW",
    "alt_text",
    "cloth_facts",
    "cloth_words",
    "colour_words",
    "estimates",
    "notice",
    "print_words",
]

IN_A_LISTING = (
    "If you show these pictures in a listing, say there that they are previews made by simulation, "
    "not photographs, and that the sewn wrap may differ in shape, colour and pile."
)
PREVIEW = "Preview made by simulation with Napfold, not a photograph of a sewn garment."
CUFFS = "The turned-back cuffs are plain geometry on a settled drape, not simulated."
TILED = "The cloth shows a photograph of itself, every second time as its mirror image."

_HUES = (
    (0.03, "red"),
    (0.10, "orange"),
    (0.17, "yellow"),
    (0.45, "green"),
    (0.53, "turquoise"),
    (0.70, "blue"),
    (0.80, "violet"),
    (0.93, "pink"),
    (1.01, "red"),
)
_BROWN_BELOW, _GREY_BELOW = 0.55, 0.10


def colour_words(colour: tuple[float, float, float]) -> str:
    """A colour (sRGB, 0 to 1) in a word or two."""
    hue, saturation, value = colorsys.rgb_to_hsv(*colour)
    if saturation < _GREY_BELOW:
        for low, words in (
            (0.93, "white"),
            (0.72, "light grey"),
            (0.35, "grey"),
            (0.16, "dark grey"),
        ):
            if value >= low:
                return words
        return "black"
    name = next(words for below, words in _HUES if hue < below)
    if name in ("orange", "yellow", "red") and saturation < 0.3 and value > 0.75:
        return "cream"
    if name in ("orange", "yellow") and value < _BROWN_BELOW + 0.2 and hue < 0.13:
        return "brown" if value > 0.35 else "dark brown"
    if value < 0.35:
        return f"dark {name}"
    if value > 0.75 and saturation < 0.45:
        return f"pale {name}"
    return name


def cloth_words(cloth: Cloth, units: UnitSystem) -> str:
    """Colour, kind and print of a cloth."""
    motif = print_words(cloth, units)
    return f"{colour_words(cloth.colour)} {cloth.name}" + (f" with {motif}" if motif else "")


def print_words(cloth: Cloth, units: UnitSystem) -> str:
    """What is printed on a cloth, and how wide its repeat is; empty for plain cloth."""
    motif = cloth.print
    if motif is None or motif.mirrored:  # a photograph of the cloth shows the cloth as it is
        return ""
    width = Telling(units).chosen(motif.repeat_m)
    way = ", upright in front and upside down behind" if motif.upright else ""
    if motif.kind == PICTURE:
        return f"a printed picture that repeats every {width}{way}"
    figures = [_colour(colour) for colour in motif.colours]
    colours = " and ".join(dict.fromkeys(colour_words(one) for one in figures))
    named = f"{colours} {motif.kind}" if colours else motif.kind
    return f"a {named} print that repeats every {width}{way}"


def cloth_facts(job: Job) -> Mapping[str, str]:
    """What a list of pictures tells of each cloth: kind, colour, print, and the print's colours."""
    facts: dict[str, str] = {}
    for layer, cloth in (("outer", job.outer_cloth), ("lining", job.lining_cloth)):
        figures = cloth.print.colours if cloth.print else ()
        facts |= {
            f"{layer}_cloth": cloth.name,
            f"{layer}_colour": written_colour(cloth.colour),
            f"{layer}_print": print_words(cloth, job.units),
            f"{layer}_print_colours": " ".join(figures),
        }
    return facts


def _colour(written: str) -> tuple[float, float, float]:
    red, green, blue = bytes.fromhex(written[1:])
    return red / 255, green / 255, blue / 255


def alt_text(job: Job, shot_name: str, *, mannequin: str) -> str:
    """The picture in words for who cannot see it.

    Parameters
    ----------
    job
        The wrap as it is worn: its outer cloth is outside.
    shot_name
        A name of `SHOTS`.
    mannequin
        One of ``choice.MANNEQUINS``.
    """
    shot = SHOTS[shot_name]
    length = Telling(job.units).chosen(job.cut.length_m)
    told = (
        f"Fold-over wrap cut from {length} of cloth, {cloth_words(job.outer_cloth, job.units)} outside and "
        f"{cloth_words(job.lining_cloth, job.units)} inside, "
    )
    if shot.subject in (Subject.FLAT, Subject.FOLDED):
        return told + shot.words + "."
    furniture = shot.pose == "reading in bed"
    if mannequin == "hidden" and not furniture:
        who = "standing as if worn, nobody in it, "
    else:
        who = "on a shop mannequin, "
    return told + who + shot.words + "."


def estimates(job: Job) -> Mapping[str, tuple[str, ...]]:
    """Which cloth figures are estimates, in words, by layer."""
    return {
        layer: tuple(
            FIGURES[figure].words.lower() for figure in FIGURES if figure in cloth.estimated
        )
        for layer, cloth in (("outer", job.outer_cloth), ("lining", job.lining_cloth))
    }


def notice(job: Job, laid: str = "", *, worn: bool = True) -> str:
    """That a picture is a preview, how it was laid for it, and which cloth figures are estimates.

    ``worn`` is whether it shows a drape, with its cuffs if it has any.
    """
    told = [PREVIEW] + ([laid] if laid else [])
    if worn and job.cut.cuff_depth_m:
        told.append(CUFFS)
    if any(cloth.print and cloth.print.mirrored for cloth in (job.outer_cloth, job.lining_cloth)):
        told.append(TILED)
    for layer, words in estimates(job).items():
        if words:
            told.append(f"Estimates in the {layer} cloth: {', '.join(words)}.")
    return " ".join(told)

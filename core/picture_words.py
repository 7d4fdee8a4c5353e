# SPDX-License-Identifier: GPL-3.0-or-later
"""What is told about a picture: alt text, and that it is a preview that stands on estimates."""

import colorsys
from collections.abc import Mapping

from .cloth import FIGURES, Cloth
from .job import Job
from .pictures.shots import SHOTS, Subject
from .telling import Telling

__all__ = [
    "IN_A_LISTING",
    "PREVIEW",
    "alt_text",
    "cloth_words",
    "colour_words",
    "estimates",
    "notice",
]

IN_A_LISTING = (
    "If you show these pictures in a listing, say there that they are previews made by simulation, "
    "not photographs, and that the sewn wrap may differ in shape, colour and pile."
)
PREVIEW = "Preview made by simulation with Napfold, not a photograph of a sewn garment."

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


def cloth_words(cloth: Cloth) -> str:
    """Colour and kind of a cloth."""
    return f"{colour_words(cloth.colour)} {cloth.name}"


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
        f"Fold-over wrap cut from {length} of cloth, {cloth_words(job.outer_cloth)} outside and "
        f"{cloth_words(job.lining_cloth)} inside, "
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


def notice(job: Job, laid: str = "") -> str:
    """That a picture is a preview, how it was laid for it, and which cloth figures are estimates."""
    told = [PREVIEW] + ([laid] if laid else [])
    for layer, words in estimates(job).items():
        if words:
            told.append(f"Estimates in the {layer} cloth: {', '.join(words)}.")
    return " ".join(told)

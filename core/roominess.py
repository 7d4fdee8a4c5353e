# SPDX-License-Identifier: GPL-3.0-or-later
"""Room in the trade's words.

The bounds are habits of the trade, not a standard: the body's are the five ease classes printed
for coats in home-sewing pattern catalogues (total ease at the bust), the sleeve's the usual ease
round the upper arm by kind of garment.
"""

from itertools import pairwise

from .phrases import phrase

__all__ = [
    "BODY_CLASSES",
    "SLEEVE_CLASSES",
    "body_class",
    "class_bounds",
    "sleeve_class",
]

# From this much ease upwards, metres
BODY_CLASSES: tuple[tuple[float, str], ...] = (
    (float("-inf"), "too small to wear over clothes"),
    (0.051, "close-fitting"),
    (0.133, "fitted"),
    (0.173, "semi-fitted"),
    (0.205, "loose"),
    (0.305, "very loose"),
)
SLEEVE_CLASSES: tuple[tuple[float, str], ...] = (
    (float("-inf"), "too tight to wear"),
    (0.0, "tight"),
    (0.040, "close, like a fitted sleeve"),
    (0.060, "like a shirt sleeve"),
    (0.080, "like a jacket sleeve"),
    (0.100, "like a coat sleeve"),
    (0.150, "wide, like a kimono-cut sleeve"),
)


def body_class(ease_m: float) -> str:
    """Name the ease at the bust, metres, as if the wrap were a coat over clothes."""
    return _class(ease_m, BODY_CLASSES)


def sleeve_class(extra_girth_m: float) -> str:
    """Name the extra girth round the upper arm, metres."""
    return _class(extra_girth_m, SLEEVE_CLASSES)


def class_bounds(
    classes: tuple[tuple[float, str], ...],
) -> tuple[tuple[float | None, float | None, str], ...]:
    """(from, to, name) of each class, metres; ``None`` where it is open."""
    bounds = [None, *(low for low, _ in classes[1:]), None]
    return tuple(
        (low, high, name) for (low, high), (_, name) in zip(pairwise(bounds), classes, strict=True)
    )


def _class(value_m: float, classes: tuple[tuple[float, str], ...]) -> str:
    return phrase(max(entry for entry in classes if entry[0] <= value_m)[1])

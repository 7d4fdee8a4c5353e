# SPDX-License-Identifier: GPL-3.0-or-later
"""What a cloth's figures mean in words: each scale with the rule behind it.

The bounds and the likenesses are ours, put where the trade would put them; the figures of the
likenesses are round ones of such things (cloth between thin lining and fur coat bends over 10 to
40 mm; Peirce 1930 orders cloth by this length).
"""

import math

__all__ = [
    "LIKENESSES",
    "bias_words",
    "drape_words",
    "friction_words",
    "hanging_words",
    "likeness",
    "lofty_words",
    "stretch_words",
]

LIKENESSES: tuple[tuple[str, float, float], ...] = (
    ("a thin silk scarf", 0.009, 0.05),
    ("a T-shirt", 0.0115, 0.16),
    ("a satin lining", 0.0135, 0.10),
    ("a soft plush throw", 0.016, 0.26),
    ("a pair of wool trousers", 0.019, 0.18),
    ("a fleece jacket", 0.019, 0.24),
    ("a flannel sheet", 0.021, 0.16),
    ("a bath towel", 0.020, 0.45),
    ("a winter blanket", 0.023, 0.32),
    ("a heavy curtain", 0.025, 0.45),
    ("a crisp shirt", 0.028, 0.12),
    ("a fur coat", 0.031, 0.85),
    ("a pair of jeans", 0.038, 0.40),
    ("a felt mat", 0.055, 1.20),
)
"""A thing, its bending length in metres and its mass in kg/m²."""

_MASS_COUNTS = 0.35
"""What a change of mass counts beside the same change of bending length."""


def _told(value: float, scale: tuple[tuple[float, str], ...]) -> str:
    """The words of the first bound that the value is below."""
    return next(words for bound, words in scale if value < bound)


def likeness(bending_length_m: float, mass_kg_m2: float) -> str:
    """What the cloth hangs like.

    The nearest of `LIKENESSES` by the ratio of bending lengths, and a third as much by that of
    masses: bending length sets the folds, mass the pull.
    """

    def apart(one: tuple[str, float, float]) -> float:
        return math.hypot(
            math.log(bending_length_m / one[1]), _MASS_COUNTS * math.log(mass_kg_m2 / one[2])
        )

    return min(LIKENESSES, key=apart)[0]


def hanging_words(bending_length_m: float) -> str:
    """How it falls: by bending length, 12, 17, 23 and 32 mm."""
    return _told(
        bending_length_m,
        (
            (0.012, "very limp: fine, close folds"),
            (0.017, "limp: soft folds"),
            (0.023, "full: round folds"),
            (0.032, "firm: few, wide folds"),
            (math.inf, "stiff: hardly any folds"),
        ),
    )


def stretch_words(share: float) -> str:
    """How it gives under 500 g on 5 cm: by the share it grows longer, 2, 5, 12 and 30 %."""
    return _told(
        share,
        (
            (0.02, "does not give"),
            (0.05, "hardly gives"),
            (0.12, "gives a little"),
            (0.30, "stretches"),
            (math.inf, "stretches a lot"),
        ),
    )


def bias_words(share: float) -> str:
    """How it gives at 45 degrees under 25 g on 5 cm: by the share it grows longer, 2, 4 and 8 %."""
    return _told(
        share,
        (
            (0.02, "holds its shape on the bias"),
            (0.04, "gives a little on the bias"),
            (0.08, "gives on the bias"),
            (math.inf, "very soft on the bias"),
        ),
    )


def friction_words(coefficient: float) -> str:
    """How it slides: by the coefficient, 0.3, 0.5 and 0.7 (17, 27 and 35 degrees of tilt)."""
    return _told(
        coefficient,
        (
            (0.3, "slides easily"),
            (0.5, "slides when pulled"),
            (0.7, "holds"),
            (math.inf, "clings"),
        ),
    )


def lofty_words(share_left: float) -> str:
    """How it yields to pressure: by what a hard press leaves of its thickness, 45 and 70 %."""
    return _told(
        share_left,
        (
            (0.45, "lofty: flattens under a hand"),
            (0.70, "springy"),
            (math.inf, "firm: pressing changes little"),
        ),
    )


def drape_words(percent: float) -> str:
    """How a round piece of 30 cm on 18 cm falls: by drape coefficient, 30, 50, 70 and 85 %."""
    return _told(
        percent,
        (
            (30.0, "limp: falls close to the plate"),
            (50.0, "soft: many folds"),
            (70.0, "full: few folds"),
            (85.0, "firm: wide waves"),
            (math.inf, "stiff: hardly bends"),
        ),
    )

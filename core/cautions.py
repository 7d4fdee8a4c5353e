# SPDX-License-Identifier: GPL-3.0-or-later
"""The safety words, in one place, for every report and sheet.

General advice, not legal advice: no rule is named, because which rules apply depends on the
country, the wearer and the use, and rules change.
"""

__all__ = ["cautions"]

ALWAYS = (
    "Fire: brushed and pile cloth can catch light in a flash, and a loose, wide garment reaches "
    "a flame sooner than its wearer notices. Synthetic pile melts and sticks to skin. Keep it "
    "away from open fires, stoves, cookers, candles, heaters and cigarettes.",
    "Wide sleeves and long hems: a wide sleeve dips into cups, candles and cooker rings, and a hem "
    "near the floor trips. Turn sleeves back at the stove and shorten what trails. No long ties "
    "or belts on small children's garments.",
    "What this preview is: it works out shape only. It tests nothing and certifies nothing, "
    "neither fire behaviour nor fibre content nor any other requirement of law.",
    "Rules: they differ from place to place, and are stricter for nightwear and for children. "
    "Before you sell, lend or give the garment away, or make it for a child, look up the rules in "
    "force where it will be worn, and ask the cloth's supplier for test results. This tool does "
    "not know which rules apply to you.",
    "Labels: keep the fibre and care details of both cloths. On a garment for sale, state them for "
    "each layer.",
    "Cutting: cut pile sheds fibre. Air the room, vacuum afterwards, and keep the fluff away from "
    "infants.",
    "Cloth figures: the built-in ones are estimates. Weigh and test a swatch of your own cloth "
    "before you rely on a result.",
)
CHILD = (
    "Child's size: this tape is in the range of a child. Do not use a pile wrap as a child's "
    "nightwear or robe unless the cloth is certified for that use; even a pattern for it may need "
    "a printed warning. The body figures come from adults and are less sure for a child."
)
CHILD_UNKNOWN = (
    "Children: do not use a pile wrap as a child's nightwear or robe unless the cloth is certified "
    "for that use; even a pattern for it may need a printed warning."
)


def cautions(child_sized: bool) -> tuple[str, ...]:
    """All cautions, the most urgent first; the one for children is sharper for a child's tape."""
    return (CHILD, *ALWAYS) if child_sized else (*ALWAYS, CHILD_UNKNOWN)

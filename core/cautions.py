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
    "What this preview is: a shape, and no more. No cloth was burnt, no fibre looked at and no law "
    "consulted for it; it approves nothing and certifies nothing.",
    "Rules: what the law asks depends on the place, and it asks more of what is worn in bed and of "
    "what a child wears. Find out what holds where the garment will be used before you sell it, "
    "lend it, give it away or put it on a child, and have whoever sold you the cloth show you test "
    "results. Napfold cannot tell you which rules bind you.",
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

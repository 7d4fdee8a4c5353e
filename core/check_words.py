# SPDX-License-Identifier: GPL-3.0-or-later
"""The words of the checks before cutting, in one place; names in braces are filled in."""

import re
from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["NAMES", "NUMBERS", "REMEDIES", "spoken"]

NAMES: Mapping[str, str] = MappingProxyType(
    {
        "body": "body",
        "hip": "hip, sitting",
        "arm": "upper arm",
        "depth": "depth under the arm, reaching",
        "hand": "hand through the sleeve end",
        "sleeve": "sleeve end against the wrist",
        "turning": "turning through a sleeve",
        "neck": "neck",
        "head": "head through the neck",
        "hem": "hem over the floor",
        "hood": "hood, put up",
        "hood round": "hood, round the head",
        "stride": "hem against the stride",
    }
)

NUMBERS: Mapping[str, str] = MappingProxyType(
    {
        "body": "{round} round inside, {ease} more than the largest girth: {words}",
        "body, open": "{round} round inside without the {gap} between the fronts, {ease} more than the largest girth: "
        "{words}",
        "hip": "{ease} more than the hip girth; sitting takes up to {sitting} and more",
        "hip, open": "{ease} more than the hip girth without the {gap} between the fronts; sitting takes up to "
        "{sitting} and more",
        "arm": "{round} round inside, {extra} more than the arm: {words}; the pile of both layers takes {bulk}",
        "depth": "{drop} deep; a sleeve cut in one with the body is usually {kimono} deep, and {least} at the least",
        "hand": "{sewn} round sewn, {round} inside for a hand of {hand}",
        "sleeve": "{short} short of the wrist; the width of the cloth ends the sleeve there",
        "sleeve, shortened": "{short} short of the wrist, {wanted} of it as chosen; the width of the cloth ends the sleeve there",
        "turning": "the sleeve is {opening} round at its end; the bunched wrap goes through {needed} with patience "
        "and {easily} easily",
        "neck": "{round} round, closed at the centre, for a neck base of {base}; the front opens, so the head needs no room",
        "head": "{sewn} round sewn, {round} inside for a head of {head}: a closed front goes on over it",
        "hood": "its face edge is {edge} long, sewn; from the end of the sewn neck, {depth} below the shoulder line, up over "
        "the crown takes {needed}",
        "hem": "{height} over the floor, {landing}; {stride}",
        "hood, high": "its face edge is {edge} long, sewn; from {most} on the hood of such a head hangs as a bag",
        "hood round": "each half is {deep} from face edge to back seam, sewn; round a head of {head}, the face left free, "
        "takes {needed}",
        "hood round, estimated": "each half is {deep} from face edge to back seam, sewn; round a head estimated at {head}, "
        "the face left free, takes {needed}",
        "stride": "{round} round inside at {height} over the floor; a step of {step} takes {needed} "
        "there",
        "edge to edge": "the open front leaves the stride free",
        "overlapping": "the overlapping fronts part for the stride",
        "closed": "for the stride see below",
    }
)

REMEDIES: Mapping[str, str] = MappingProxyType(
    {
        "make": "make cut.{key} {value}",
        "depth": "make cut.sleeve_drop {value}, or take the hem's rise when reaching",
        "sleeve": "make cut.cloth_width {value}, or take the sleeves as short as that",
        "sleeve, most": "make cut.cloth_width {value}, the most that these cloths give: that closes {gain} of the "
        "{short}; or choose wider ones",
        "sleeve, cuff": "make cut.cuff_depth {cuff}, so that less of the sleeve is turned back",
        "sleeve, both": "make cut.cloth_width {value}, the most that these cloths give, and cut.cuff_depth {cuff}",
        "sleeve, no cuff": "leave out cut.cuff_depth and make cut.cloth_width {value}, the most that these cloths give: that "
        "closes {gain} of the {short}; or choose wider ones",
        "sleeve, no cuff alone": "leave out cut.cuff_depth: that closes {gain} of the {short}; or choose wider cloths",
        "sleeve, none": "take the sleeves as short as that, or choose wider cloths: these give no more",
        "turning": "leave {gap} of the back hem open for turning, and close it by hand",
        "turning slowly": "take time over it, a hand's breadth after the other",
        "neck": "make cut.neck_width {value}, or cut.neck_front_depth larger",
        "head": "make cut.neck_width {value}, or cut.neck_front_depth larger, or leave the front open",
        "neck, wide": "make cut.neck_width or cut.neck_front_depth larger",
        "head, wide": "make cut.neck_width or cut.neck_front_depth larger, or leave the front open",
        "hood": "make lay.piece.length of the hood {value}, allowances included",
        "hood, both": "make lay.piece.length of the hood {value}, allowances included, and cut.neck_front_depth {depth}",
        "hood, wide": "make lay.piece.width of the hood {value}, allowances included",
        "hood, neck": "make cut.neck_front_depth {value}, or leave the hood out",
        "hood, shallower": "make cut.neck_front_depth smaller, or leave the hood out",
        "hem": "shorten cut.length by {less}",
        "stride": "make cut.side_flare {flare}, or leave the sides open with cut.side_split {split}",
    }
)

_SPOKEN: Mapping[str, str] = MappingProxyType(
    {
        "length": "the length",
        "width": "the width",
        "cloth_width": "the width of the cloth from sleeve end to sleeve end",
        "body_width": "the body width",
        "sleeve_drop": "the sleeve drop (shoulder to underarm)",
        "wrist_opening": "the sleeve opening",
        "cuff_depth": "the depth of the cuffs",
        "neck_width": "the neck width",
        "neck_front_depth": "the front neck depth",
        "side_flare": "the flare of each side",
        "side_split": "side splits of",
    }
)


def spoken(remedy: str) -> str:
    """A remedy for paper: the trade's words in the place of the job file's keys."""
    return re.sub(r"(?:cut|lay\.piece)\.(\w+)", lambda found: _SPOKEN[found[1]], remedy)

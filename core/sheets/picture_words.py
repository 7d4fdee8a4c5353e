# SPDX-License-Identifier: GPL-3.0-or-later
"""The words in pictures, and what is said of a picture to those who do not see it."""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["LEGEND", "PART_NAMES", "PICTURE"]

PART_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "layer": "whole layer",
        "back": "back",
        "front": "front",
        "front left": "front, wearer's left",
        "front right": "front, wearer's right",
    }
)
"""The pieces of cloth of a layer."""

LEGEND: Mapping[str, str] = MappingProxyType(
    {
        "cut": "cut",
        "sewn": "sew",
        "fold": "fold, or centre line",
        "notch": "notch: a short snip",
        "nap": "the way the nap strokes smooth",
        "cloth": "cloth, wrong side up",
        "right side": "cloth, right side up",
    }
)
"""The kinds of lines, in the order in which they are shown."""

PICTURE: Mapping[str, str] = MappingProxyType(
    {
        "back": "back",
        "front": "front",
        "front left": "left front",
        "front right": "right front",
        "fold": "shoulder fold",
        "BACK": "BACK",
        "FRONT": "FRONT",
        "nap": "nap",
        "legend": "Samples of the lines for cutting, sewing, folds, notches, nap and both sides of the cloth",
        "centre line": "centre line",
        "closed by hand": "{gap} closed by hand",
        "gap closed": "The middle of the back hem closed between the two marks",
        "split sewn": "Stitches up the edge of the back and down that of the front, both to the end of the side seam",
        "side seam": "side seam",
        "ends here": "both rows end here",
        "shorn": "Two plies, the pile taken out of the allowance",
        "turn gap": "An arrow out of the back hem",
        "turn neck": "An arrow out of the neck",
        "square": "A plain square of cloth",
        "own piece": "A piece of your own",
        "turned": "if turned",
        "labels": "The finished wrap, a label inside the side seam",
        "label": "label",
        "lying": "cloth as it lies: {length}",
        "flat layer": "One layer opened out, wrong side up",
        "fold away": "fold, away from you",
        "front on top": "front on top, wrong side up",
        "pile inside": "pile inside",
        "folded": "The back folded under along the shoulder, towards you: front on top, wrong side up, "
        "pile inside",
        "point": "point under the arm",
        "curve": "the corner begins and ends at the dots",
        "cut away": "cut away",
        "back longer": "The back is {longer} longer; the curve of its hem ends {rise} above its edge.",
        "no cut": "shoulder fold: do not cut",
        "shoulder line": "shoulder line",
        "marked seamed": "The fronts with the lines to cut under both arms",
        "rectangles": "Back and fronts as they are cut apart, wrong side up, shoulder line, centre line, "
        "hems and the nap's arrows marked",
        "hem": "hem",
        "right side": "seen from the right side of the cloth",
        "on seam": "shoulder line",
        "shoulders": "Both shoulder seams dashed",
        "notched": "Every piece of a layer as it is cut, its notches drawn long",
        "slope": "Half of front or back: the sloping shoulder line under the straight one, the line to cut above it",
        "hem marked": "The curve of the hem above the edge of the cloth",
        "pockets": "Where the pockets lie on the front",
        "hood": "One half of the hood on the other, its seam dashed, the face edge turned in, the nap running down",
        "face": "face",
        "turned in": "turned in {depth}",
        "neck edge": "neck edge",
        "shoulder notch": "shoulder",
        "band": "The band folded lengthwise, its seams dashed",
        "split": "open",
        "cuffs": "Both sleeve ends turned back",
        "neck ring": "The neck dashed, sleeve ends and hem open",
        "hem ring": "The hem dashed",
        "right over left": "right over left",
        "overlap": "The fronts closed, right over left",
        "marked": "The folded layer with the lines to cut under both arms",
        "cut front": "cut the centre front",
        "necks": "The necks of the back and of a front, wrong side up, cut and stitch line",
        "neck": "The neck opening on the fold, cut and stitch line",
        "corner clipped": "Short snips in the allowance of the curve under the arm",
        "cut corners": "cut the corners off",
        "cut corner": "cut the corner off",
        "one front": "one front; the other alike",
        "one clipped": "The back and one front from the right side: snips round the neck, the front's corner cut off aslant",
        "neck clipped": "Snips round the neck, corners cut off aslant",
        "on fold": "fold",
        "underarm": "underarm",
        "side": "side",
        "open": "open",
        "sewn": "sewn {width}",
        "stroke": "nap strokes smooth this way",
        "wrong side": "wrong side up; nap strokes smooth this way",
        "bolt": "{cloth}, {length} long and {width} wide, with {count} pieces on it",
        "trial": "Two plies, right sides together, sewn",
        "outer sides": "The outer layer folded, its underarm and side seams dashed",
        "outer out": "outer, wrong side out",
        "lining sides": "The lining folded, its underarm and side seams dashed",
        "lining out": "lining, wrong side out",
        "together": "Outer inside lining, right sides together",
        "inside": "lining outside, outer inside it",
        "rim": "Hem, fronts and neck dashed, both sleeve ends open",
        "rim gap": "Fronts, neck and hem dashed; behind, the middle of the hem stays open",
        "gap": "The back hem dashed, its middle open between two marks",
        "centre back": "centre back",
        "left open": "open: {gap}",
        "turn": "An arrow out of one sleeve end",
        "ends": "Both sleeve ends dashed",
        "right out": "right side out",
        "topstitch": "Hem, fronts, neck and sleeve ends stitched",
        "outer": "outer",
        "lining": "lining",
        "length": "length of the cloth",
        "centre front": "centre front",
        "cuff fold": "cuff folds back here",
    }
)

# SPDX-License-Identifier: GPL-3.0-or-later
"""The words in pictures, and what is said of a picture to those who do not see it."""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["PART_NAMES", "PICTURE"]

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
        "flat layer": "One layer opened out, wrong side up",
        "fold away": "fold, away from you",
        "front on top": "front on top, wrong side up",
        "pile inside": "pile inside",
        "folded": "The back folded under along the shoulder, towards you: front on top, wrong side up, "
        "pile inside",
        "point": "point under the arm",
        "curve": "the corner begins and ends at the dots",
        "cut away": "cut away",
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
        "slope": "The sloping shoulder line under the straight one",
        "hem marked": "The curve of the hem above the edge of the cloth",
        "pockets": "Where the pockets lie on the front",
        "hood": "One half of the hood on the other, its seam dashed",
        "face": "face",
        "neck edge": "neck edge",
        "band": "The band folded lengthwise, its seams dashed",
        "split": "open",
        "cuffs": "Both sleeve ends turned back",
        "neck ring": "The neck dashed, sleeve ends and hem open",
        "hem ring": "The hem dashed",
        "right over left": "right over left",
        "overlap": "The fronts closed, right over left",
        "marked": "The folded layer with the lines to cut under both arms",
        "cut front": "cut the centre front",
        "neck": "The neck opening on the fold, cut and stitch line",
        "corner clipped": "Short snips in the allowance of the curve under the arm",
        "cut corners": "cut the corners off",
        "neck clipped": "Snips round the neck, corners cut off aslant",
        "on fold": "fold",
        "underarm": "underarm",
        "side": "side",
        "open": "open",
        "sewn": "sewn {width}",
        "stroke": "nap strokes smooth this way",
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

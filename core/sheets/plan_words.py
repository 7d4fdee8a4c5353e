# SPDX-License-Identifier: GPL-3.0-or-later
"""The words of the cutting plan's steps, in one place; names in braces are filled in."""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["FRONT_CENTRE", "FRONT_NECKS", "NECK_MEASURES", "NOTCH_PLACES", "PLAN"]

NOTCH_PLACES: Mapping[str, str] = MappingProxyType(
    {
        "shoulder fold": "the fold at both sleeve ends",
        "shoulder fold at the neck": "the fold at both sides of the neck",
        "centre back": "centre back at the hem",
        "centre back neck": "centre back at the neck",
        "centre front": "centre front at neck and hem",
        "middle of the shoulder": "the middle of each shoulder seam, {shoulder_middle} from the sleeve end along the edge, on "
        "front and back alike",
        "side, curve begins": "where each corner under an arm begins and ends",
        "underarm, curve begins": "where each corner under an arm begins and ends",
        "middle of the front edge": "half way down each front edge",
        "end of the opening for turning": "both ends of the opening in the back hem, {half_gap} to either "
        "side of centre back: between them the hem stays open for turning",
        "side left open from here to the hem": "where each side begins to stay open, {split} from the edge of the cloth "
        "at the hem ({sewn_split} long when the hem is sewn)",
    }
)

FRONT_CENTRE: Mapping[str, str] = MappingProxyType(
    {
        "edge to edge": "The inner edge of each front is its centre line.",
        "overlapping": "On each front chalk the centre line {beyond} from its inner edge.",
        "closed": "So do on the front.",
    }
)
FRONT_NECKS: Mapping[str, str] = MappingProxyType(
    {
        "edge to edge": "each front, its marked line on the inner edge: printed side up on the front whose "
        "sleeve points right as it lies wrong side up with its hem near you, turned over on the other",
        "overlapping": "each front, centre line on centre line: printed side up on the front whose sleeve "
        "points right as it lies wrong side up with its hem near you, turned over on the other",
        "closed": "the front",
    }
)
NECK_MEASURES: Mapping[str, str] = MappingProxyType(
    {
        "whole": "To check the template, or to draw the neck by hand, lay a ruler on it: {wide}; on the centre line it "
        "lies {front} from the {line} in front and, for the back, {behind}.",
        "on the line": "along the {line} the cut line lies {half} from the centre line on either side",
        "corners": "each upper corner of the cut line lies {half} from the centre line",
        "parts": "To check the templates, or to draw the necks by hand, lay a ruler on them. Back: {back}. Front: {front}.",
        "across": "along the {line} it is {across} from the centre line to the cut line, ",
        "along": "along the centre line {depth}",
        "inner edge": "along the inner edge {depth}",
        "from line": "{depth} from the {line} to the cut line",
        "beyond": "In front it goes on beyond the centre line to the inner edge of the front, {depth} from the {line}.",
        "behind": "{depth} behind the {line}, towards the back hem",
        "before": "{depth} before the {line}, away from the back hem",
        "level": "on the {line}",
        "round": "{half} it is an arc with a radius of {radius} round the place where {line} and centre line cross{ends}.",
        "arc ends": ", up to {off} {way} the {line} and {out} from the centre line; from there it runs in to {across} on "
        "the {line}",
        "arc ends front": "before",
        "arc ends back": "behind",
        "front": "In front",
        "back": "Behind",
        "sewn": "The seam lies {allowance} outside this line, in the cloth, measured square to it: so much allowance is "
        "included. Where the line slants, that is more along the {line} or the centre line.",
    }
)

# title, then paragraphs
PLAN: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "prepare": (
            "Wash, square, mark the nap",
            "{wash} Open it out to its full width: cloth is often sold folded along its length. Trim both ends "
            "square to the selvedge.",
            "Lay the cloth wrong side up, pile down. Stroke the pile: the way it lies smooth, chalk an "
            "arrow on the wrong side, every {pace}. {lying} In the wrap the nap runs {nap}.",
            "The left end, in the picture of the cloth, its table and below, is the end {left_end}: the hem "
            "of a front lies towards it.",
            "{printed}",
        ),
        "apart": (
            "Cut the layers apart, to their width",
            "Trim the selvedge off the lower side of the picture, straight along the cloth. Measure all that lies across "
            "the cloth from this cut edge; the usable width is told without selvedges.{no_selvedge}",
            "{chalk_beside}{across_first}Measure along both edges, join the marks with the ruler, and cut straight across, one ply: "
            "{cuts}. Chalk on each its name and the arrow.",
            "Then cut each to its width, the allowances included: {widths}. Measure the width from the "
            "cut edge at several places, join the marks with the ruler and cut along them, one ply.{lengths}",
        ),
        "turned": (
            "Choose how the nap runs on the other half",
            "As the pieces lie, the nap runs {nap_front} the front and {nap_back} the back. Leave it so, or let it run "
            "down both: then turn the {nap_up} of outer and lining end for end on the table now, wrong side up as before, "
            "so that its arrow points the other way. It takes no more cloth. From here on it lies so: its left end is the "
            "one that now lies left.{pieces_turned}",
        ),
        "sort": (
            "Sort what belongs together",
            "Chalk on every piece the name of its wrap, outer or lining. Lay each wrap's layers and small "
            "pieces together, and go on with that wrap's own cutting plan.",
        ),
        "corner pieces": (
            "Chalk the small pieces into the corners",
            "{corner_pieces}: these lie where a corner under an arm is going to be cut away. Now, while each layer is a "
            "whole rectangle of one ply, lay it as in the picture of the cloth, wrong side up, and chalk them on it: "
            "places and sizes stand in the table, measured from that layer's own left end and lower edge; the shape is "
            "that of the template, if there is one. Write its name and the nap's arrow in each. They are cut out "
            "when the corner has fallen, one ply: the one with the chalk on it.",
        ),
        "middle": (
            "Mark the middle of each layer",
            "Opened out, wrong side up, the nap arrow pointing {towards}: the half near you is the front. "
            "Chalk the shoulder fold straight across at {half} from either end, and the centre line at "
            "{centre} from either cut edge.",
        ),
        "fold": (
            "Fold",
            "Fold the back half under, towards you, on the shoulder line, so that pile lies on pile: the "
            "front half stays on top, wrong side up, and the fold lies away from you. "
            "All edges lie on one another; the folded layer is {half} deep.",
        ),
        "fold long": (
            "Do not cut this pile folded",
            "Leave the layer open. Mark what follows on the front half, then the same on the back half, "
            "measuring from the shoulder line.{back_reach}",
        ),
        "corners": (
            "Mark the corners under the arms",
            "{on_pieces}At each sleeve end measure {drop} from the {shoulder_line} and rule a line inwards, parallel "
            "to the {shoulder_line}. At the hem measure {sleeve} inwards from each side and rule a line up, square to the "
            "hem. The two lines meet under the arm.",
            "{corner}",
        ),
        "corners slanted": (
            "Mark sides and underarms",
            "{on_pieces}The point under each arm (cross) lies {knee_depth} from the {shoulder_line} and "
            "{knee_across} from the centre line. {sleeve_line}",
            "{hem_line}",
            "{corner}",
        ),
        "middle longer": (
            "Mark the shoulder line of each layer",
            "Opened out, wrong side up, the nap arrow pointing {towards}: the half near you is the front. "
            "Chalk the shoulder fold straight across at {front_half} from the front end and {back_half} "
            "from the back end, and the centre line at {centre} from either cut edge.",
        ),
        "fold longer": (
            "Fold",
            "Fold the back half under, towards you, on the shoulder line, so that pile lies on pile: the "
            "front half stays on top, wrong side up, and the fold lies away from you. "
            "The sleeve ends lie on one another; the back half reaches {longer} beyond the front one.",
        ),
        "rectangles": (
            "Mark shoulder line and centre line",
            "Opened out, wrong side up, the nap arrow pointing {towards}. The fronts lie with their hem near you: "
            "chalk the shoulder line straight across, {shoulder} inside the end away from you. The back lies "
            "with its hem away from you: chalk the shoulder line {shoulder} inside the end near you.",
            "If you have turned the {nap_up} end for end, its arrow points the other way: dotted in the picture.",
            "On the back chalk the centre line {centre} from either cut edge. {front_centre} {lining_sides}",
        ),
        "slope": (
            "Mark the slope of the shoulders",
            "At each sleeve end measure {slope} from the shoulder line towards the hem, and rule a line from "
            "there to the neck point, {neck_point} from the centre line. This line is sewn; cut {shoulder} outside "
            "it, away from the hem.",
        ),
        "hem": (
            "Mark and cut the hem",
            "{opened}Lay the hem template with its marked line on the centre line and the curve on the edge "
            "of the cloth, {hem_other}.{hem_overlap} At the side seams the {hem_halves}.",
            "Chalk it on the wrong side and cut on the full line, one ply at a time: {hem_plies}.",
        ),
        "cuff": (
            "Mark the cuffs",
            "Chalk a line straight across each sleeve, from edge to edge, on {sleeve_plies}, {cuff_at} from its end: the "
            "cuff folds back there (the picture of the corners shows where). Go over the chalk with long tacking "
            "stitches through that one ply: a thread mark, which is seen on the right side too.",
        ),
        "cut parts": (
            "Cut out",
            "Cut every piece from the sleeve end round the corner to the hem, {count_parts}.{shoulders_too} "
            "Before a corner falls chalk the nap's arrow on it.{corner_pieces_out} Keep what falls off: see below.",
        ),
        "necks": (
            "Cut the necks",
            "Lay the back neck template on the back, its marked line on the centre line, and the front neck "
            "template on {front_necks}. Chalk round it and cut one ply on the full line.",
            "{neck_measures}",
        ),
        "pieces": (
            "Cut the small pieces",
            "Cut them out of what was cut off beside and behind the layers, one ply, where they are chalked, "
            "their arrows with the nap: {pieces}. Those with a template are cut round it, mirrored ones "
            "with the template turned over. All sizes have their allowance in them.",
        ),
        "cut corners": (
            "Cut away the corners",
            "Cut from the sleeve end round the corner to the hem, {count}.{longer_too} Do not cut the fold. "
            "Before a corner falls chalk the nap's arrow on {each_ply}.{corner_pieces_out} Keep the pieces: see below.",
            "{snipped}",
        ),
        "neck": (
            "Cut the neck",
            "Open the layer out, wrong side up. Lay the neck template on the shoulder line, its centre on "
            "the centre line, the deep half to the front. Chalk round it and cut one ply on the full line.",
            "{neck_measures}",
        ),
        "front": (
            "Cut the front open",
            "From the neck to the front hem along the centre line, {front_length} long, one ply. The back "
            "stays whole.",
        ),
        "notches": (
            "Snip the notches",
            "{notch} deep, into the allowance only, one ply at a time: {places}.",
            "Then cut the next layer alike. Outer and lining are cut with the same lines.",
        ),
    }
)

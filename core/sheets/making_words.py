# SPDX-License-Identifier: GPL-3.0-or-later
"""The words of the cutting plan and the sewing order, in one place; names in braces are filled in."""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = [
    "CHECKS_HEAD",
    "COST_HEAD",
    "FIT_HEAD",
    "HAND_HEAD",
    "LONG_PILE_M",
    "OFFCUTS_HEAD",
    "PIECES_HEAD",
    "SUPPLIES",
    "TOOLS",
    "WORDS",
]

LONG_PILE_M = 0.006
"""From this pile height on cloth is cut in single plies and only through its ground."""

WORDS: Mapping[str, str] = MappingProxyType(
    {
        "cutting plan": "Cutting plan",
        "sewing order": "Sewing order",
        "for": "{wrap}: lengths in {units}. Width runs from wrist to wrist, length over the shoulder "
        "from hem to hem. Left is the wearer's left.",
        "lines": "All sizes to cut have their seam allowance in them: {underarm} at underarm and side, {hem} "
        "at the hem, {sleeve_end} at the sleeve ends{fronts}, {neck} at the neck{seamed}.",
        "lines fronts": ", {front} at the fronts",
        "lines seamed": ", {shoulder} at the shoulders",
        "finished": "Sewn, the wrap is {length} long from hem to hem over the shoulder and {width} "
        "wide from wrist to wrist. {fronts}",
        "fronts edge to edge": "The allowance of the two fronts leaves them {gap} apart at the centre "
        "when it lies flat.",
        "fronts overlapping": "The fronts overlap by {overlap}, the right one on top.",
        "fronts closed": "The front is closed: the wrap goes on over the head.",
        "cuffs turned": " Cuffs {cuff} deep are turned back at the sleeve ends; the width is told up to "
        "their fold.",
        "plies": "How many plies: cut {plies}.",
        "plies long": "one ply at a time, opened out, with the tips of the scissors through the "
        "ground only, so that the pile is not cut",
        "plies short": "only the corners under the arms, and the snips at them, through both plies of the folded layer; "
        "hold them with weights or clips, since pile creeps. All else is cut one ply at a time",
        "plies seamed": "one ply at a time, wrong side up. Two plies would creep on their pile, and only one would have "
        "the chalk on it",
        "lay": "The cloth on the table",
        "steps": "Step by step",
        "left": "What is left over, and what it could become",
        "unpriced all": "No price is stated. Write the price of each cloth with it, and the cost stands here.",
        "shopping": "Shopping list",
        "cost": "What it costs",
        "unpriced": "no price stated",
        "incomplete": "Without the cloth whose price is not stated.",
        "checks": "Checks before you cut (by flat measures: estimates)",
        "doubt too small": "Do not cut yet: {name} ({state}). {numbers} (estimate). What would mend it: "
        "{remedy}.",
        "doubt tight": "Before you cut, think of this: {name} ({state}). {numbers} (estimate). What would mend it: "
        "{remedy}.",
        "doubt too large": "Before you cut, think of this: {name} ({state}). {numbers} (estimate). What would mend it: "
        "{remedy}.",
        "lengths": "One length, one and a half, or two (by flat measures: estimates)",
        "wish": "For what you wish (by flat measures: estimates)",
        "wish draped": "For what you wish (hem and sleeve ends as they hang on drapes)",
        "drapes sound": "{count} drapes were made for this; they hang on a mesh of 2.4 cm, and a length is "
        "good to a centimetre or two.",
        "drapes doubtful": "{count} drapes were made for this, and not all of them are sound: drape the wrap "
        "with napfold preview and read what it says before you buy.",
        "lengths draped": "One length, one and a half, or two (hem and sleeve ends as they hang on drapes)",
        "in hand": "The longest wrap out of the cloth in hand (by flat measures: estimates)",
        "batch": "batch",
        "together": "All of these wraps on the same cloth",
        "batch has": 'This wrap is laid and cut with others: the sheet "{batch}" has the cloth to buy, how all '
        "of them lie on it, and how they are cut apart. What follows begins with this wrap's pieces, each "
        "cut to its rectangle.",
        "batch for": "Wraps, each with its own cutting plan and sewing order: {wraps}.",
        "too short": "This wrap cannot be cut out of {lengths} for each layer.",
        "too narrow": "The cloth is not wide enough for sleeves to the {end}.",
        "cautions": "Cautions",
        "belt caution": "Belt: for grown people alone. Keep its ends off the floor, off the stove and out "
        "of doors and machines; take it off before the wrap goes to a child.",
        "units in": "inches",
        "units cm": "centimetres",
        "no selvedge": " No selvedge is stated, so the whole width of the cloth is taken as usable: measure it between "
        "the selvedges before you cut.",
        "wash": "Wash the cloth cold and tumble it low, as the wrap will be washed; do not press "
        "pile.",
        "unwashed": "The cloth is cut unwashed: it will shrink afterwards.",
        "laid one way": "All pieces are laid with the arrow the same way.",
        "laid either way": "Extra pieces may point either way.",
        "print width": "The print of the {layers} comes again every {width} across{bought}. Across the cloth it is "
        "not matched: it may miss itself at seams and where fronts meet.",
        "print wide": "One repeat of the print of the {layers} is {width} wide{bought}, wider than the cloth, whose "
        "{usable} cut it off: it does not come again across, and cannot be matched there. Decide before you cut which "
        "part of it is to lie where on the wrap.",
        "print aslant": "The print of the {layers} lies aslant. It is not matched: it may miss itself at seams and where "
        "fronts meet.",
        "print way": "It has an upright way.",
        "print of wraps": "For {wraps}: {words}",
        "print upright": "The half on which it stands upright with the hem near you "
        "becomes the front; behind it hangs upside down, since the cloth is folded over the shoulders. "
        "Turn no piece end for end.",
        "print upright apart": "On the fronts it stands upright with their hem near you; on the "
        "back it hangs upside down{turned}. Turn nothing else.",
        "print back turned": ', unless you turn the back (see "{turned}")',
        "print fronts stay": '. Leave the fronts as they lie (see "{turned}"): turned, they would hang upside down too',
        "print along": "For the {layers} the cloth is laid for a print that comes again every {length}{bought} along it: "
        "begin every layer at the same place of the print.",
        "print bought": " ({length} before the wash)",
        "arrow down in front": "at you",
        "arrow down behind": "away from you",
        "count long": "one ply, four corners on each layer",
        "count short": "both plies at once, on both sides",
        "corner round": "Lay the corner template into that angle, its full line on both lines. The curve "
        "begins {begin_fold} from the {shoulder_line} on the side line and {begin_side} from the sleeve "
        "end on the underarm line (dots){square_to}. Radius of the curve to cut: {radius}.",
        "corner diagonal": "The corner is cut off straight: mark {begin_fold} from the {shoulder_line} on "
        "the side line and {begin_side} from the sleeve end on the underarm line (dots){square_to}, and join the "
        "two, or lay the corner template on both lines.",
        "square to": "; both are measured straight across the cloth, square to the {shoulder_line} and to the sleeve end, "
        "not along the slanting lines",
        "corner square": "The corner stays sharp: cut exactly to the point and no farther.",
        "shoulder line fold": "fold",
        "shoulder line seam": "shoulder line",
        "sleeve tapered": "At each sleeve end measure {drop} from the {shoulder_line} and rule a line {straight_end} "
        "inwards, parallel to the {parallel}; from its inner end rule a line to the point.",
        "sleeve plain": "At each sleeve end measure {drop} from the {shoulder_line}, and rule a line from there to "
        "the point.",
        "slope": "slope of the shoulder",
        "hem at edge": "At the hem measure {hem_across} from the centre line to each side, and rule a line from there "
        "to the point.",
        "hem above": "{hem_depth} from the {shoulder_line} measure {hem_across} from the centre line to each side: "
        "there the side line meets the hem. Rule a line from there to the point under the arm, and below it straight on "
        "to the edge of the cloth.",
        "on every piece": "On the back and on both fronts alike; the picture shows the fronts. ",
        "on back and front": "On the back and on the front alike; the picture shows the front. ",
        "shoulders too": " Along the shoulders cut on the line above the one that is sewn.",
        "lining mirrored": "That is the outer layer. The lining lies the other way round in the wrap, its right side to the "
        "body: the front that lies left here is its right one.",
        "splits too": " Close the edges of both side splits alike: to their top the allowances of the front turn to the "
        "front, those of the back to the back, outer and lining, and nothing is snipped.",
        "one ply": "one ply at a time",
        "hem alike": "curve ends {front} above the edge",
        "hem behind": "curve ends {back} above the back's edge",
        "hem plies": "the front's hem, then the back's",
        "hem plies behind": "the back's alone; the front's hem stays straight",
        "hem other half": "turn it over for the other half",
        "hem both others": "turn it over for the other half of the back and for the other front",
        "hem overlap": " On each front the hem is straight from the centre line to the inner edge.",
        "opened": "Open the layer out, wrong side up. ",
        "back reach": " The back half is {longer} longer than the picture of the next step shows: its hem lies "
        "{back_half} from the shoulder line, not {front_half}.",
        "longer too": " Below the end of the front go straight on through the longer back to its edge.",
        "across first": "Before you cut the cloth across, cut out {pieces}, as the picture of the cloth shows: "
        "they lie beside the layers. ",
        "chalk beside": "Before you cut the cloth across, chalk on it, where the picture of the cloth and its table show them, "
        "with name and arrow, what is cut out later: {pieces}. ",
        "left end down in front": "to which the arrows point",
        "left end down behind": "from which the arrows point",
        "in corners": "A piece from a corner is measured on that layer alone: from the layer's own left end and "
        "lower edge, as it lies in the picture of the cloth.",
        "corner pieces out": " Cut the small pieces that are chalked in the corners out of what has fallen.",
        "snip folded": "Before you open it snip through both plies, {notch} deep, into the allowance only: {places}.",
        "each ply folded": "each of its plies",
        "each ply": "it",
        "sleeve plies": "{parts}, of the outer layer and of the lining",
        "sleeve plies layer": "the front half and on through to the back half",
        "sleeve plies parts": "the back and on both fronts",
        "sleeve plies closed": "the back and on the front",
        "width all": "{width}",
        "width of": "{piece} {width}",
        "pace cm": "half metre",
        "pace in": "half yard",
        "nap runs": "{front} in front and {back} behind",
        "topstitched open": "hem, fronts",
        "topstitched closed": "hem",
        "topstitched splits": ", side splits",
        "topstitched neck": ", neck",
        "topstitched ends": " and sleeve ends",
        "topstitched below": " The seam at the neck is no edge: lay the {piece} up, the allowances down into the wrap, and "
        "topstitch the wrap below the seam, {topstitch} from it.",
        "split bar": " Across the top of each side split sew a bar of close zigzag through all plies, {bar} wide, back "
        "and forth: it keeps the split from tearing on.",
        "split turns": " Turn in the same way at the two hem corners of each side split. At the top of each split the "
        "seam ends and begins anew: see the next step.",
        "turn allowances": " Turn the allowances of the two side seams opposite ways.",
        "part allowances": " Part the allowances of both side seams, outer and lining, from the top of the split a hand's "
        "breadth up: the front's lie to the front, the back's to the back. Above that turn those of the outer and those "
        "of the lining opposite ways.",
        "hook": "one {first} under it",
        "hooks": "{count} of them, the first {first} under it, each {step} under the one before",
        "cuffs slope": " The sleeve slopes, so the seams of the cuff come to lie below those of the sleeve, by {below} at "
        "the cuff's edge. That is as it is cut: lay the cuff flat and do not pull its seams up.",
        "split corners": "; so too the two corners of each side split at the hem",
        "shoulders uneven": " The cut edges do not end alike there: the {longer}'s reaches {more} beyond the "
        "{shorter}'s, since their necks slant unlike. The stitch lines are as long as one another.",
        "hood notches": ", its notches on the {shoulders}",
        "hood open": "its face edges {front} from both front edges, where the fronts are sewn",
        "hood closed": "its face edges meeting at the notch at centre front",
        "collar open": " Its ends come {front} inside both front edges, where the fronts are sewn.",
        "collar closed": " Its ends meet at the notch at centre front.",
        "collar short": " It is {less} shorter than the sewn neck: leave half of that free at each end, in front.",
        "belt joined": "Join the strips at their short ends. ",
        "chalked line": ", the chalked one, not the seam",
        "hood short": " It is {less} shorter: leave half of that free at each end, in front.",
        "corner notched": "both notches of the corner",
        "corner plain": "the corner",
        "at the point": " In the corner stop with the needle down and turn the work.",
        "thread": "thread: polyester",
        "shoulders fold": "shoulder folds",
        "shoulders seam": "shoulder seams",
        "shoulders neck": ", {shoulders} at the neck",
        "neck turns high back": " At the two corners of the neck, where its straight back begins, stop with the "
        "needle down and turn the work.",
        "neck turns V": " At the point of the neck stop with the needle down and turn the work.",
        "spread neck": "Snip the neck of the outer layer every 2 cm (3/4 in), to 3 mm (1/8 in) from its seam "
        "line, so that its edge can be spread.",
        "pieces turned": " Small pieces out of its corners keep their places; their arrows go with its nap.",
        "lengths too": " Then to its length, which is shorter than the piece of cloth: {lengths}.",
        "into corner": ", into each corner right to 2 mm (1/16 in) from the stitches",
        "laid fold": "Fold on the shoulder line, right sides together.",
        "laid seam": "Front on back, right sides together.",
        "hem halves": "curve ends {front} above the front's edge and {back} above the back's",
        "cuts": "{cloth} for {layers} at {places} from the left end",
        "square": "a square of {side}",
        "test pieces": "test pieces",
        "count of": "{count} x {name}",
        "size": "{width} by {length}",
        "one round": ", one corner round ({radius})",
        "cut out of it": ", {count} small pieces cut out of it",
        "one cut out of it": ", a small piece cut out of it",
        "or": ", or ",
        "then": ", then ",
        "cloth for": "{cloth} for {layers}",
        "corner of": "a corner of {number}",
        "hem at": "{landing} ({height} high)",
        "between": "{least} to {most}",
        "numbered": "{number} {name}",
        "bolt": "{cloth} for {layers}: buy {bought}; {waste} of it is left over.",
        "pockets": "patch pockets, {width} by {length}: {count}",
        "sheets anew": "The steps below cut the wrap as it is chosen, not this one. To cut this one, have the sheets made "
        "anew with: length over the shoulder from hem to hem {length}, width of the cloth from sleeve end to sleeve end "
        "{cloth_width}, body width {body_width}, sleeve drop (shoulder to underarm) {sleeve_drop}.",
        "wished": "as wished",
        "one step less": "out of one step less",
        "room": "Round the body it has {ease} more than the largest girth ({body}), round the upper arm {extra} more "
        "than the arm ({sleeve}).",
        "all used": "if all bought is used",
        "all used words": "The wish is granted by the first row; the last one is longer than wished, out of "
        "the same cloth.",
        "cuffs undraped": "Turned-back cuffs are not draped: sleeve ends are told up to their fold, without "
        "the cuffs' weight and thickness (an estimate).",
        "each of": "each of {count}",
        "total": "total",
        "estimate": " (estimate).",
        "turning not": "{words} It is {state}: {remedy}.",
        "stitch": "{stitch}, {length} long, with a walking foot",
        "pins": "pins or clips every {distance}",
        "tools": "Needle, thread, stitch",
        "shopping cloth": "{bought} of {cloth} for {layers}, usable width at least {width}. Of the length {exact} are "
        "needed{shrinkage}.",
        "shrinkage": ", shrinkage included: {shares}",
        "shrinks along": "{share} along",
        "shrinks across": "{share} across",
        "by estimate": " (estimate)",
        "repeat takes": " {more} of that are there because every layer begins at the same place of the print, which comes "
        "again every {repeat} as bought.",
        "at hand": "To have at hand",
        "in all": "{length} in all",
    }
)

SUPPLIES: Mapping[str, str] = MappingProxyType(
    {
        "thread": "polyester thread in the colours of the cloths",
        "basting thread": "thread to baste and to gather with, in a colour that shows",
        "needle": "needles for the sewing machine: {needle}",
        "hand needle": "needles for sewing by hand",
        "shoulder tape": "narrow woven tape that does not stretch, for the shoulder seams: {tape}",
        "fastening": "{hooks} hooks with eyes for the overlapping front (or buttons, or tapes)",
        "labels": "labels for the fibre and the care of both cloths",
    }
)
"""What the steps use up."""
TOOLS: Mapping[str, str] = MappingProxyType(
    {
        "holding": "{holding}",
        "needle": "a walking foot for the sewing machine",
        "scissors": "sharp scissors for cloth, and small pointed ones for snips",
        "chalk": "chalk or a washable pen",
        "ruler": "a long ruler, a measuring tape, a set square",
        "weights": "weights to hold the cloth",
        "paper": "the printed templates; scissors and sticky tape for paper",
        "comb": "a fine comb or shears for the pile in the allowances",
        "blunt": "something blunt to push corners out with",
    }
)
"""What the steps are done with."""

# Heads of tables
PIECES_HEAD = ("piece", "wide", "long", "from the left end", "from the lower edge", "cut from")
OFFCUTS_HEAD = ("cloth", "piece", "size, across by along", "each holds")
COST_HEAD = ("what", "amount")
FIT_HEAD = ("length of each layer", "to buy", "hem, centre back", "sleeve ends", "cost")
HAND_HEAD = ("length of each layer", "in hand", "hem, centre back", "sleeve ends")
CHECKS_HEAD = ("check", "result", "numbers", "what would mend it")

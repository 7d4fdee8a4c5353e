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
    "PLAN",
    "SEWING",
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
        "lines": "Full lines are cut. Dashed lines are sewn. Lines of long and short strokes are folds. "
        "All sizes to cut have their seam allowance in them: {underarm} at underarm and side, {hem} "
        "at the hem, {sleeve_end} at the sleeve ends, {front} at the fronts, {neck} at the neck.",
        "finished": "Sewn, the wrap is {length} long from hem to hem over the shoulder and {width} "
        "wide from wrist to wrist. The allowance of the two fronts leaves them {gap} apart at the "
        "centre when it lies flat.",
        "plies": "How many plies: cut {plies}.",
        "plies long": "one ply at a time, opened out, with the tips of the scissors through the "
        "ground only, so that the pile is not cut",
        "plies short": "the folded layer through two plies; hold them with weights or clips, since "
        "pile creeps",
        "lay": "The cloth on the table",
        "steps": "Step by step",
        "left": "What is left over, and what it could become",
        "shopping": "Shopping list",
        "cost": "What it costs",
        "unpriced": "no price stated",
        "incomplete": "Without the cloth whose price is not stated.",
        "checks": "Checks before you cut (by flat measures: estimates)",
        "lengths": "One length, one and a half, or two (by flat measures: estimates)",
        "wish": "For what you wish (by flat measures: estimates)",
        "in hand": "The longest wrap out of the cloth in hand (by flat measures: estimates)",
        "together": "All of these wraps on the same cloth",
        "too narrow": "The cloth is not wide enough for sleeves to the {end}.",
        "cautions": "Cautions",
        "units in": "inches",
        "units cm": "centimetres",
        "wash": "Wash the cloth cold and tumble it low, as the wrap will be washed; do not press "
        "pile.",
        "unwashed": "The cloth is cut unwashed: it will shrink afterwards.",
        "laid one way": "All pieces are laid with the arrow the same way.",
        "laid either way": "Extra pieces may point either way.",
        "arrow down in front": "at you",
        "arrow down behind": "away from you",
        "count long": "one ply, four corners on each layer",
        "count short": "both plies at once, on both sides",
        "cuts": "{cloth} for {layers} at {places} from the square end",
        "square": "a square of {side}",
        "test pieces": "test pieces",
        "corner of": "corner {corner} of {layer}",
        "bolt": "{cloth} for {layers}: buy {bought}; {waste} of it is in no piece.",
        "pockets": "patch pockets, {width} by {length}: {count}",
        "job file": "In the job file: length {length}, cloth_width {cloth_width}, body_width "
        "{body_width}, sleeve_drop {sleeve_drop}. The second row is one step less of cloth.",
        "each of": "each of {count}",
        "total": "total",
        "estimate": " (estimate).",
        "turning not": "{words} It is {state}: {remedy}.",
        "stitch": "{stitch}, {length} long, with a walking foot",
        "pins": "pins or clips every {distance}",
        "tools": "Needle, thread, stitch",
        "shopping cloth": "{bought} of {cloth} for {layers}, usable width at least {width}"
        " ({exact} are needed, shrinkage included)",
        "shopping thread": "polyester thread in the colour of the cloth, and one to tell the fold by",
        "shopping needles": "needles: {needle}",
        "shopping holding": "{holding}",
        "shopping marking": "chalk or a washable pen, long ruler or tape, weights, paper for the templates",
    }
)

# Heads of tables
PIECES_HEAD = ("piece", "wide", "long", "from the left end", "from the lower edge", "cut from")
OFFCUTS_HEAD = ("piece", "size, across by along", "each holds")
COST_HEAD = ("what", "amount")
FIT_HEAD = ("length of each layer", "to buy", "hem, centre back", "sleeve ends", "cost")
HAND_HEAD = ("length of each layer", "in hand", "hem, centre back", "sleeve ends")
CHECKS_HEAD = ("check", "result", "numbers", "what would mend it")

# title, then paragraphs
PLAN: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "prepare": (
            "Wash, square, mark the nap",
            "{wash} Trim both ends square to the selvedge.",
            "Lay the cloth wrong side up, pile down. Stroke the pile: the way it lies smooth, chalk an "
            "arrow on the wrong side, every half metre. {lying} In the wrap the nap runs {nap}.",
        ),
        "apart": (
            "Cut the layers apart",
            "Measure along both edges, join the marks with the ruler, and cut straight across, one ply: "
            "{cuts}. Chalk on each its name and the arrow.",
        ),
        "middle": (
            "Mark the middle of each layer",
            "Opened out, wrong side up, the nap arrow pointing {towards}: the half near you is the front. "
            "Chalk the shoulder fold straight across at {half} from either end, and the centre line at "
            "{centre} from either edge.",
        ),
        "fold": (
            "Fold",
            "Fold on the shoulder line, right sides together, front half on top, the fold away from you. "
            "All edges lie on one another; the folded layer is {half} deep.",
        ),
        "fold long": (
            "Do not cut this pile folded",
            "Leave the layer open. Mark what follows on the front half, then the same on the back half, "
            "measuring from the shoulder line.",
        ),
        "corners": (
            "Mark the corners under the arms",
            "At each sleeve end measure {drop} from the fold and rule a line inwards, parallel to the "
            "fold. At the hem measure {sleeve} inwards from each side and rule a line up, square to the "
            "hem. The two lines meet under the arm.",
            "Lay the corner template into that angle, its full line on both lines. The curve begins "
            "{begin_fold} from the fold on the side line and {begin_side} from the sleeve end on the "
            "underarm line (dots). Radius of the curve to cut: {radius}.",
        ),
        "cut corners": (
            "Cut away the corners",
            "Cut from the sleeve end round the curve to the hem, {count}. Do not cut the fold. Keep the "
            "pieces: see below.",
        ),
        "neck": (
            "Cut the neck",
            "Open the layer out, wrong side up. Lay the neck template on the shoulder line, its centre on "
            "the centre line, the deep half to the front. Chalk round it and cut one ply on the full line.",
        ),
        "front": (
            "Cut the front open",
            "From the neck to the front hem along the centre line, {front_length} long, one ply. The back "
            "stays whole.",
        ),
        "notches": (
            "Snip the notches",
            "{notch} deep, into the allowance only: the fold at both sleeve ends and at the neck, centre "
            "back at neck and hem, and where each curve begins and ends.",
            "Then cut the next layer alike. Outer and lining are cut with the same lines.",
        ),
    }
)

SEWING: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "try": (
            "Sew a trial seam",
            "On two scraps, pile to pile, with {needle}, {stitch}. The seam must give when you pull along "
            "it and must not pucker.",
        ),
        "clear": (
            "Free the allowances of pile",
            "Shear or comb the pile out of the allowance on every edge. A seam left whole is {bulk} thick "
            "where it crosses another, sheared about {sheared} (estimates).",
        ),
        "outer sides": (
            "Outer layer: sew both underarm and side seams",
            "Fold on the shoulder line, right sides together. Match the sleeve end, both notches of the "
            "curve, the hem; hold them ({holding}), then what lies between.",
            "Sew from the sleeve end round the curve to the hem, {underarm} from the edge, in one go: "
            "{seam} long on each side. Sew the curve a second time on the same line.",
        ),
        "clip": (
            "Clip the curves",
            "Snip the allowance of the curve about every 2 cm (3/4 in), to 3 mm (1/8 in) from the "
            "stitches, so that it lies flat when turned.",
        ),
        "lining sides": (
            "Lining: the same",
            "Sew and clip both seams of the lining in the same way. Leave the lining wrong side out, turn "
            "the outer layer right side out.",
        ),
        "together": (
            "Put the layers together, right sides facing",
            "Push the outer layer into the lining: sleeve in sleeve, front on front. Match centre back at "
            "neck and hem, side seams at the hem, the fold notches at the neck, then the corners of the "
            "fronts. Turn the allowances of the two side seams opposite ways.",
        ),
        "rim": (
            "Sew neck, fronts and hem as one ring",
            "Begin at the centre back of the hem: along the hem to the front corner, up the front, round "
            "the neck, down the other front, back along the hem. {front} from the edge at the fronts, "
            "{neck} at the neck, {hem} at the hem. Leave both sleeve ends open. The ring is {ring} long.",
            "At the four corners of the fronts stop with the needle down and turn the work.",
        ),
        "trim": (
            "Trim",
            "Cut the corners of the fronts off aslant, 3 mm (1/8 in) from the stitches. Snip the neck "
            "about every 2 cm (3/4 in). Cut one of the two allowances back by half where it is thick.",
        ),
        "turn": (
            "Turn through a sleeve",
            "Reach between the two layers through one sleeve end, take hold of the far hem, and draw the "
            "whole wrap out through that sleeve. {turning}",
            "Push the corners out with something blunt. Draw the linings of both sleeves into the sleeves.",
        ),
        "ends": (
            "Close the sleeve ends",
            "At each sleeve end turn both allowances ({sleeve_end}) inwards, towards one another. Match "
            "the fold notches and the underarm seams. Sew round by hand with slip stitches, or by machine "
            "close to the edge. Each end is {cuff} round.",
        ),
        "topstitch": (
            "Hold the edges",
            "Roll the seam to the very edge and topstitch hem, fronts and neck {topstitch} from it, so that "
            "the layers do not roll. Draw caught pile out of the seams with a pin.",
        ),
        "last": (
            "Look it over",
            "Pull at every seam, above all under the arms. Remove loose fibre: shake it outdoors, vacuum. "
            "Sew in the fibre and care labels of both cloths.",
        ),
    }
)

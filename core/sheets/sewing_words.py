# SPDX-License-Identifier: GPL-3.0-or-later
"""The words of the sewing order's steps, in one place; names in braces are filled in."""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["SEWING"]

# title, then paragraphs
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
            "{laid} Match the sleeve end, {corner}, the hem; hold them ({holding}), then what lies between.",
            "Sew from the sleeve end round the corner to the hem, {underarm} from the edge, in one go: "
            "{seam} long on each side; sew back and forth at both ends.{point} Sew the corner a second time "
            "on the same line.",
        ),
        "patch pocket": (
            "Sew the pockets on",
            "Turn the upper edge of each pocket in by {pocket_hem} and stitch it. Turn the other edges in by "
            "{underarm}; draw the round corners in with a gathering thread.",
            "Measure their places on the wrong side and thread-mark them (long tacking stitches through to the "
            "right side, pulled out afterwards). Lay each pocket on the front of the outer layer, its arrow with the nap, its upper edge "
            "{pocket_down} from the shoulder line{pocket_line}, its middle {pocket_across} from the centre line. Stitch "
            "it on close to its edge, back and forth at both upper corners.",
        ),
        "hood": (
            "Make the hood",
            "Both halves right sides together: sew from the face edge over the top, round the curve and down "
            "the back, {underarm} from the edge. Snip the curves. Turn the face edge in by {hood_face}, on "
            "the line of dashes and dots, and stitch it. The hood has no lining.",
            "{spread_neck} Lay the hood's lower edge, the one with the notches, on the neck of the outer layer, right sides "
            "together, the hood's back seam on centre back{hood_notches}, {hood_front}. That edge of the hood is {hood_edge} round, the sewn neck {neck_ring}.{hood_short} "
            "Baste it inside the allowance: it is caught when the neck is sewn.",
        ),
        "collar band": (
            "Make the collar band",
            "Fold it lengthwise, right sides together, sew both short ends, {underarm} from the edge, turn. "
            "{spread_neck} Lay its open edges on the neck of the outer layer, middle on centre back, and baste them inside "
            "the allowance: it is caught when the neck is sewn.{collar_ends} Finished it stands {collar_high} high.",
        ),
        "cuff band": (
            "Sew the cuff bands on",
            "Close each band to a ring, right sides together, {underarm} from the edge; fold it lengthwise, "
            "wrong sides together.",
            "Baste outer and lining together at each sleeve end. Slip the band over it, its seam on the "
            "underarm seam, open edges on the edge of the sleeve; sew round through all plies, {sleeve_end} "
            "from the edge, and oversew the edges. Fold the band down.",
        ),
        "tie belt": (
            "Make the belt",
            "{belt_joined}Fold lengthwise, right sides together, sew the long side "
            "and one end, {underarm} from the "
            "edge, turn, close the other end by hand. For grown people alone.",
        ),
        "plain": (
            "Your own pieces",
            "{plain_pieces}: they are cut with the rest and are yours to use. No other step needs them.",
        ),
        "square": (
            "The squares",
            "Keep them for trial seams and washing tests, or sew something small from them.",
        ),
        "shoulders": (
            "Sew the shoulder seams of both layers",
            "Front on back, right sides together. Match the sleeve ends, the middle notches and, at the neck, the stitch "
            "lines.{shoulders_uneven} Sew from the neck "
            "to the sleeve end, {shoulder} from the edge: {shoulder_seam} long on each side. Sew a narrow "
            "tape into these seams: the weight of the wrap hangs from them.",
        ),
        "outer sides split": (
            "Outer layer: sew both underarm and side seams",
            "{laid} Match the sleeve end, {corner}, the notch where the side stays open; hold them ({holding}), then what lies between.",
            "Sew from the sleeve end round the corner to that notch, {underarm} from the edge, in one go: "
            "{seam} long on each side; sew back and forth at its end. {split} from there to the edge of the "
            "hem stay open: {sewn_split} when the hem is sewn.{point} Sew the corner a second time on the same line.",
        ),
        "clip square": (
            "Clip the corners",
            "Sew a short third row round the point. Then snip the allowance into each corner under the arm, to "
            "2 mm (1/16 in) from the stitches.",
        ),
        "clip diagonal": (
            "Clip the corners",
            "Snip the allowance at both ends of the slanting part of each seam, to 3 mm (1/8 in) from the "
            "stitches, so that it lies flat when turned.",
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
            "neck and hem, side seams at the hem{shoulders_neck}, then the corners of the "
            "fronts and the notches half way down them.{side_allowances}",
        ),
        "rim": (
            "Sew neck, fronts and hem as one ring",
            "Begin at the centre back of the hem: along the hem to the front corner, up the front, round "
            "the neck, down the other front, back along the hem. {front} from the edge at the fronts, "
            "{neck} at the neck, {hem} at the hem. Leave both sleeve ends open. The ring is {ring} long.",
            "At the four corners of the fronts stop with the needle down and turn the work.{neck_turns}{split_turns}",
        ),
        "gap": (
            "Mark what stays open for turning",
            "This wrap is too thick to be turned through a sleeve: {gap} of the back hem stay open. Set a "
            "pin or chalk a line through both layers {half_gap} to either side of centre back (the two "
            "notches cut for it). Do not sew between them.",
        ),
        "rim gap": (
            "Sew neck, fronts and hem, {gap} of the back hem left open",
            "Begin {half_gap} to one side of the centre back of the hem, at the mark: away from centre back "
            "along the hem to the front corner, up the front, round the neck, down the other front, back "
            "along the hem to the other mark, {half_gap} short of centre back. {front} from the edge at the "
            "fronts, {neck} at the neck, {hem} at the hem. Sew back and forth at both ends. Leave both "
            "sleeve ends open. The seam is {ring} long.",
            "At the four corners of the fronts stop with the needle down and turn the work.{neck_turns}{split_turns}",
        ),
        "split": (
            "At the side splits",
            "From the hem corner go up the edge of the back, {underarm} from it, outer and lining alone under the needle: "
            "to the last stitch of the two side seams and not beyond. Sew back and forth there and cut the thread.",
            "Fold the back away and begin anew at that same point on the front: outer and lining of the front alone, "
            "{underarm} from the edge, down to the hem corner and on. At the other side go up the front and down the back.",
            "Nothing is snipped at the top of a split: each allowance turns in with its own edge, since those of the side "
            "seams are parted there.",
        ),
        "together closed": (
            "Put the necks together, right sides facing",
            "Push the outer layer into the lining: sleeve in sleeve, front on front. Match "
            "centre front, centre back{shoulders_neck}.",
        ),
        "neck ring": (
            "Sew the neck",
            "Round the neck, {neck} from the edge: {neck_ring} long. Hem and sleeve ends stay open.{neck_turns}",
        ),
        "trim neck": (
            "Trim",
            "Snip the neck about every 2 cm (3/4 in){into_corner}. "
            "Cut one of the two allowances back by half where it is thick.",
        ),
        "turn closed": (
            "Turn at the neck",
            "Draw the outer layer out through the neck and over the lining, so that both lie wrong side on "
            "wrong side. Draw the linings of both sleeves into the sleeves.",
        ),
        "hem ring": (
            "Close the hem",
            "Turn both allowances of the hem ({hem}) inwards, towards one another. Match side seams, "
            "centre front and centre back. Sew by hand with slip stitches, or by machine close to the edge. It is "
            "{hem_ring} round.{splits_too}",
        ),
        "trim": (
            "Trim",
            "Cut the four corners of the fronts off aslant, two at the neck and two at the hem, 3 mm (1/8 in) from "
            "the stitches{split_corners}. Snip the neck "
            "about every 2 cm (3/4 in){into_corner}. Cut one of the two allowances back by half where it is thick.",
        ),
        "turn": (
            "Turn through a sleeve",
            "Reach between the two layers through one sleeve end, take hold of the far hem, and draw the "
            "whole wrap out through that sleeve. {turning}",
            "Push the corners out with something blunt. Draw the linings of both sleeves into the sleeves.",
        ),
        "turn gap": (
            "Turn through the opening in the hem",
            "Reach between the two layers through the opening, take hold of the far shoulder, and draw "
            "the whole wrap out through the opening, a little at a time: no sleeve end will let it "
            "through. {turning}",
            "Push the corners out with something blunt. Draw the linings of both sleeves into the sleeves.",
        ),
        "close gap": (
            "Close the hem by hand",
            "Turn both allowances of the {gap} that were left open ({hem}) inwards, towards one another, "
            "and close them with slip stitches from mark to mark.",
        ),
        "ends": (
            "Close the sleeve ends",
            "At each sleeve end turn both allowances ({sleeve_end}) inwards, towards one another. Match "
            "{shoulders} and the underarm seams. Sew round by hand with slip stitches, or by machine "
            "close to the edge. Each end is {cuff} round.",
        ),
        "topstitch": (
            "Hold the edges",
            "Roll the seam to the very edge and topstitch {topstitched} {topstitch} from it, so that "
            "the layers do not roll.{topstitched_neck}{split_bar} Draw caught pile out of the seams with a pin.",
        ),
        "cuffs": (
            "Turn back the cuffs",
            "Fold {cuff_depth} of each sleeve end back to the outside on the thread-marked line, so that the lining "
            "shows; pull the tacking thread out. Hold the cuff with a few stitches by hand at the underarm seam and at the "
            "shoulder.{cuffs_slope}",
        ),
        "overlap": (
            "Lay the fronts over one another",
            "Right over left, centre front on centre front: the notch at the hem of each front, {overlap_half} from its "
            "sewn edge. They overlap by {overlap}.",
            "To fasten them sew on hooks with their eyes, measured down from the upper corner of each front: {hook_places}. "
            "The hooks lie inside the right front, {hook_in} from its edge; the eyes outside on the left front, {hook_eye} "
            "from its edge. Buttons or tapes go in the same places.",
        ),
        "last": (
            "Look it over",
            "Pull at every seam, above all under the arms. Remove loose fibre: shake it outdoors, vacuum. "
            "Sew in the fibre and care labels of both cloths, by hand, at a side seam of the lining.",
        ),
    }
)

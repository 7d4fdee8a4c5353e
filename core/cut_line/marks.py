# SPDX-License-Identifier: GPL-3.0-or-later
"""What is marked beside the lines: notches where things meet, folds, grain and nap."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from ..pattern import Corner, Cut, Edge, Front, Line, Piece, Point
from .allowances import Allowances

__all__ = [
    "NECK_FOLD",
    "SHOULDER_MIDDLE",
    "Notch",
    "arrows",
    "folds",
    "front_notches",
    "middle_m",
    "notches",
    "opening_notches",
]

Pieces = tuple[Piece, ...]
LEVEL_M = 1e-9
NECK_FOLD, SHOULDER_MIDDLE = "shoulder fold at the neck", "middle of the shoulder"
OPENING_STEP_M = 0.002
"""Places on a curved hem lie so close that straight lines between them stay on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A short snip from the cut edge inwards, and what meets there."""

    at: Point
    towards: Point
    name: str


def arrows(cut: Cut, name: str) -> dict[str, Line]:
    """Grain and nap on a part, the nap's arrow on the wearer's right of the grain's."""
    low = -cut.front_m if name != "back" else 0.0
    high = cut.back_m if name in ("layer", "back") else 0.0
    middle, reach = (low + high) / 2, 0.275 * (high - low)
    x = 0.36 * cut.body_width_m
    grain_x, nap_x = {"front left": (x, 0.6 * x), "front right": (-0.6 * x, -x)}.get(name, (x, -x))
    stroke = reach * cut.nap.stroke[1]
    return {
        "grain": Line(start=(grain_x, middle + reach), end=(grain_x, middle - reach)),
        "nap": Line(start=(nap_x, middle - stroke), end=(nap_x, middle + stroke)),
    }


def middle_m(neck: Pieces, *, front: bool) -> float:
    """Where a neck's cut line crosses the centre line, or begins on it."""
    points = np.concatenate([piece.place(np.linspace(0, 1, 65)) for piece in neck])
    (x1, v1), (x2, v2) = points[:-1].T, points[1:].T
    met = (np.minimum(x1, x2) <= LEVEL_M) & (np.maximum(x1, x2) >= -LEVEL_M) & (x1 != x2)
    share = np.clip(x1[met] / (x1[met] - x2[met]), 0.0, 1.0)
    crossed = v1[met] + share * (v2[met] - v1[met])
    return float(crossed.min() if front else crossed.max())


def folds(cut: Cut, allowances: Allowances, name: str, neck: Pieces) -> Iterator[tuple[str, Line]]:
    """Lines to fold on or to match by, with their names."""
    if name == "layer":
        neck_m = cut.neck_width_m / 2
        for sign in (1, -1):
            yield (
                "shoulder fold",
                Line(start=(sign * neck_m, 0.0), end=(sign * cut.wrist_m, 0.0)),
            )
    if cut.overlap_half_m and name.startswith("front"):
        yield (
            "centre front",
            Line(start=(0.0, -cut.front_m), end=(0.0, middle_m(neck, front=True))),
        )
    if cut.cuff_depth_m:
        fold_m = cut.wrist_m - allowances.sleeve_end_m - cut.cuff_depth_m
        top_m = cut.shoulder_fall_m(fold_m)
        bottom_m = top_m + cut.sleeve_opening_m / 2
        ways = {"layer": (-bottom_m, bottom_m), "back": (top_m, bottom_m)}
        low, high = ways.get(name, (-bottom_m, -top_m))
        for side, sign in (("left", 1), ("right", -1)):
            if side in name or not name.startswith("front "):
                yield "cuff fold", Line(start=(sign * fold_m, low), end=(sign * fold_m, high))


def notches(
    cut: Cut, name: str, marks: Mapping[str, Pieces], sewn: Mapping[str, Pieces], neck: Pieces
) -> Iterator[Notch]:
    """Snips where layers meet: on folds, at the middle of back and shoulders, where curves begin.

    ``marks`` and ``sewn`` are the cut lines and the stitch lines of the edges.
    """
    if name in ("layer", "back"):
        yield Notch(at=(0.0, cut.back_m), towards=(0.0, -1.0), name="centre back")
        yield Notch(
            at=(0.0, middle_m(neck, front=False)), towards=(0.0, 1.0), name="centre back neck"
        )
    closed = cut.front is Front.CLOSED and name == "layer"
    if closed or (name.startswith("front") and cut.front is not Front.EDGE_TO_EDGE):
        for at, towards in ((-cut.front_m, 1.0), (middle_m(neck, front=True), -1.0)):
            yield Notch(at=(0.0, at), towards=(0.0, towards), name="centre front")
    if name == "layer":
        for sign in (1.0, -1.0):
            yield Notch(at=(sign * cut.wrist_m, 0.0), towards=(-sign, 0.0), name="shoulder fold")
        for x in _on_the_fold(neck):
            yield Notch(at=(x, 0.0), towards=(math.copysign(1.0, x), 0.0), name=NECK_FOLD)
    for edge, chain in marks.items():
        if edge.startswith("shoulder"):
            # front and back are cut off unlike at the neck: the middle is that of the seam
            yield _snip(chain, _beside_the_middle(chain, sewn[edge]), SHOULDER_MIDDLE)
        if edge.startswith("underarm"):
            yield from _corner_notches(cut, chain)
            if cut.side_split_m:
                hem_first = abs(chain[0].start[1]) > abs(chain[-1].end[1])
                yield _snip(chain, 0.0 if hem_first else 1.0, "side left open from here to the hem")


def front_notches(marks: Mapping[str, Pieces], slit: Line | None) -> Iterator[Notch]:
    """Half way down each front edge, where outer and lining meet; both sides of a whole layer's cut."""
    name = "middle of the front edge"
    if slit is not None:
        middle = (0.0, (slit.start[1] + slit.end[1]) / 2)
        yield from (Notch(at=middle, towards=(sign, 0.0), name=name) for sign in (1.0, -1.0))
    for edge in ("front_left", "front_right"):
        if edge in marks:
            yield _snip(marks[edge], 0.5, name)


def opening_notches(marks: Mapping[str, Pieces], opening_m: float) -> Iterator[Notch]:
    """Both ends of what stays open of the back hem, centre back in its middle."""
    if not opening_m or "hem_back" not in marks:
        return
    edge = Edge(name="hem_back", pieces=marks["hem_back"])
    along_m = np.linspace(0.0, edge.length_m, 1 + math.ceil(edge.length_m / OPENING_STEP_M))
    across_m = edge.at(along_m)[:, 0]
    order = np.argsort(across_m)
    for side_m in (-opening_m / 2, opening_m / 2):
        at_m = float(np.interp(side_m, across_m[order], along_m[order]))
        yield _snip(edge.pieces, at_m / edge.length_m, "end of the opening for turning")


def _on_the_fold(neck: Pieces) -> Iterator[float]:
    """Where a neck's cut line crosses the shoulder fold; nowhere for a high back."""
    points = np.concatenate([piece.place(np.linspace(0, 1, 65)) for piece in neck])
    v, following = points[:, 1], np.roll(points, -1, axis=0)
    for at in np.flatnonzero((v < 0) != (following[:, 1] < 0)):
        share = v[at] / (v[at] - following[at, 1]) if v[at] != following[at, 1] else 0.0
        yield float(points[at, 0] + share * (following[at, 0] - points[at, 0]))


def _corner_notches(cut: Cut, chain: Pieces) -> Iterator[Notch]:
    """Where the corner under the arm begins and ends on the cut line."""
    if cut.corner is Corner.SQUARE:
        return
    names = ("side, curve begins", "underarm, curve begins")
    steep = [abs(piece.directions[0][1]) > abs(piece.directions[0][0]) for piece in chain]
    turning = [number for number, piece in enumerate(chain) if not isinstance(piece, Line)]
    if cut.corner is Corner.DIAGONAL:
        slants = [number for number, piece in enumerate(chain) if 0 < number < len(chain) - 1]
        turning = slants[:1] if steep[0] else slants[-1:]
    if turning:
        first, last = chain[turning[0]].start, chain[turning[-1]].end
        before, after = chain[turning[0]].directions[0], chain[turning[-1]].directions[1]
    else:
        # the allowance takes up the whole rounding: the two lines meet sharply
        knee = next(n for n in range(len(chain) - 1) if steep[n] != steep[n + 1])
        first = last = chain[knee].end
        before, after = chain[knee].directions[1], chain[knee + 1].directions[0]
    for at, along in ((first, before), (last, after)):
        # the cloth lies on the left of a line walked counter-clockwise
        towards = (-along[1], along[0])
        yield Notch(
            at=at, towards=towards, name=names[0] if abs(along[1]) > abs(along[0]) else names[1]
        )


def _beside_the_middle(chain: Pieces, seam: Pieces) -> float:
    """The share of a cut edge that lies square beside the middle of its straight seam."""
    # where a neck slants away steeply, a short piece joins the edge to it
    lengths_m = [piece.length_m for piece in chain]
    longest = int(np.argmax(lengths_m))
    cut, (sewn,) = chain[longest], seam
    middle, along = sewn.place(np.array([0.5]))[0], cut.directions[0]
    reach_m = np.dot(middle - np.array(cut.start), np.array(along))
    return float((math.fsum(lengths_m[:longest]) + reach_m) / math.fsum(lengths_m))


def _snip(chain: Pieces, share: float, name: str) -> Notch:
    """A notch so far along a cut edge."""
    edge = Edge(name=name, pieces=chain)
    at_m = share * edge.length_m
    near = np.clip([at_m - 1e-4, at_m + 1e-4], 0.0, edge.length_m)
    (x1, v1), (x2, v2) = edge.at(near)
    x, v = edge.at(np.array([at_m]))[0]
    length_m = math.hypot(x2 - x1, v2 - v1)
    return Notch(
        at=(float(x), float(v)),
        towards=(float(-(v2 - v1) / length_m), float((x2 - x1) / length_m)),
        name=name,
    )

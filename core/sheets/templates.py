# SPDX-License-Identifier: GPL-3.0-or-later
"""The curves of a wrap at true size: its neck, its corner under the arm, a hem that is not straight.

All other lines are straight and given by measure, so most makers need no more than these.
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from ..cut_line import Allowances, CutLine, Notch, Part, middle_m, under_arm
from ..pattern import Cut, Front, Line, Piece, Point, until_across
from ..telling import Telling
from ..units import UNIT_SYSTEMS
from . import wording
from .drawing import Drawing, Path, Text, notch_line, within
from .picture_words import PICTURE

__all__ = [
    "BEYOND_M",
    "LEGS_M",
    "corner_drawing",
    "hem_drawings",
    "neck_drawings",
    "template_drawings",
]

Pieces = tuple[Piece, ...]
LEAST_CORNER_M = 0.05
"""So much of both lines is drawn at the least."""

BEYOND_M = 0.010
LEGS_M = (0.05, 0.04, 0.03, 0.02)
"""So much of the straight lines is drawn beyond a corner, and, longest first, where paper has room."""
SHOULDER_M = 0.05
"""So much of the shoulder seams is drawn beside a neck."""
BESIDE_NECK_M = 0.02
HEM_TEXT_M = 0.03
"""So far inside the cloth its words stand."""
NOTCH_M = 0.005
SAME_M, NEAR_M = 1e-6, 5e-4


def neck_drawings(
    cut: Cut, allowances: Allowances, line: CutLine, *, halved: bool = False
) -> tuple[Drawing, ...]:
    """The neck, laid on the shoulder fold; of a seamed layer that of the back and that of a front.

    ``halved`` draws one half of a neck on the fold, to be turned over for the other.
    """
    if cut.seamed:
        return tuple(_part_neck(cut, part, _included(allowances.neck_m)) for part in line.parts[:2])
    drawn = _half_neck if halved else _whole_neck
    return (drawn(cut, line.parts[0], _included(allowances.neck_m)),)


def _included(allowance_m: float) -> str:
    """How much allowance is in it, in both units as the square on the page."""
    return wording.included(*(Telling(units).chosen(allowance_m) for units in UNIT_SYSTEMS))


def _whole_neck(cut: Cut, part: Part, included: str) -> Drawing:
    """Cut and stitch line, fold and centre front."""
    half_m = cut.neck_width_m / 2
    # a high back is cut below the fold
    below_m = min(-0.016, middle_m(part.neck, front=False) - 0.007)
    reach_m = max(abs(end) for piece in part.neck for end in (piece.start[0], piece.end[0]))
    fold = Line(start=(-reach_m - NOTCH_M, 0.0), end=(reach_m + NOTCH_M, 0.0))
    texts = [
        Text(words=wording.FOLD, at=(-0.6 * half_m, 0.002), size_mm=3.2),
        *(
            Text(words=words, at=(-0.6 * half_m, below_m - 0.006 * row), size_mm=2.8)
            for row, words in enumerate((*wording.NECK, included))
        ),
    ]
    paths = [
        *_neck_lines(part.neck, part.stitch["neck"]),
        Path(layer="GRAIN", pieces=(fold,), name="fold"),
        *_notches_near(part, (0.0, 0.0), cut.neck_width_m),
    ]
    if part.front is not None:
        paths.append(_centre_cut(cut, part.front))
        at = (-0.002, part.front.end[1] + 0.016)
        texts.append(Text(words=wording.CENTRE_FRONT, at=at, size_mm=2.8, turn_degrees=90))
    return Drawing(wording.NECK_NAME, tuple(paths), tuple(texts))


def _half_neck(cut: Cut, part: Part, included: str) -> Drawing:
    """What of the neck lies on the wearer's left."""
    neck, stitch = _on_the_left(part.neck), _on_the_left(part.stitch["neck"])
    ends = [end for piece in neck for end in (piece.start, piece.end)]
    reach_m = max(x for x, _ in ends)
    depths = [v for x, v in ends if abs(x) < SAME_M]
    below_m = min(-0.010, max(depths) - 0.007)
    fold = Line(start=(0.0, 0.0), end=(reach_m + NOTCH_M, 0.0))
    centre = Line(start=(0.0, min(depths)), end=(0.0, max(depths)))
    texts = [
        Text(words=wording.FOLD, at=(0.004, 0.002), size_mm=3.2),
        *(
            Text(words=words, at=(0.004, below_m - 0.005 * row), size_mm=2.8)
            for row, words in enumerate((*wording.HALF_NECK, *wording.NECK, included))
        ),
    ]
    paths = [
        *_neck_lines(neck, stitch),
        Path(layer="GRAIN", pieces=(fold,), name="fold"),
        Path(layer="GRAIN", pieces=(centre,), name="centre"),
        *(
            notch
            for notch in _notches_near(part, (0.0, 0.0), cut.neck_width_m)
            if notch.pieces[0].end[0] > -SAME_M
        ),
    ]
    if part.front is not None:
        paths.append(_centre_cut(cut, part.front))
    return Drawing(wording.HALF_NECK_NAME, tuple(paths), tuple(texts))


def _neck_lines(neck: Pieces, stitch: Pieces) -> tuple[Path, Path]:
    return (
        Path(layer="CUT", pieces=neck, name="neck"),
        Path(layer="STITCH", pieces=stitch, name="neck"),
    )


def _centre_cut(cut: Cut, slit: Line) -> Path:
    """Where the cut down the centre front begins."""
    begins = Line(start=slit.end, end=(0.0, -cut.neck_front_depth_m))
    return Path(layer="CUT", pieces=(begins,), name="centre front")


def _part_neck(cut: Cut, part: Part, included: str) -> Drawing:
    """The neck of a back or a front with the beginning of its shoulder seams and its centre line."""
    back = part.name == "back"
    reach_m = cut.neck_width_m / 2 + SHOULDER_M
    low_m = cut.back_neck_m if back else cut.neck_front_depth_m
    sign = 1 if back else -1
    centre = Line(start=(0.0, sign * (low_m - 0.012)), end=(0.0, sign * (low_m + 0.03)))
    # a back, or a front in one piece, is turned over for its other half
    halved = part.name in ("back", "front")
    neck, stitch = part.neck, part.stitch["neck"]
    paths = [
        *(
            _neck_lines(_on_the_left(neck), _on_the_left(stitch))
            if halved
            else _neck_lines(neck, stitch)
        ),
        Path(layer="GRAIN", pieces=(centre,), name="centre"),
    ]
    for name in part.cut:
        if name.startswith("shoulder") and name.endswith("left"):
            near, sewn = (
                within(lines[name], (0.0, 0.0), reach_m) for lines in (part.cut, part.stitch)
            )
            paths.append(Path(layer="CUT", pieces=near, name="shoulder"))
            paths.append(Path(layer="STITCH", pieces=sewn, name="shoulder"))
    begins_m = 0.0 if halved else cut.neck_width_m / 2 - BESIDE_NECK_M
    shoulder = Line(start=(begins_m, 0.0), end=(reach_m, 0.0))
    paths.append(Path(layer="GRAIN", pieces=(shoulder,), name="shoulder line"))
    drawn = [piece for path in paths if path.layer == "CUT" for piece in path.pieces]
    paths += [_notch(notch) for notch in part.notches if _lies_on(notch.at, drawn)]
    left_m = 0.0 if halved else max(part.bounds_m[0], -0.055)
    lines = (*wording.part_neck(part.name), included)
    # read downwards, beyond the end of the centre line
    top = low_m + 0.036 + 0.005 * (len(lines) - 1) if back else -(low_m + 0.042)
    if cut.overlap_half_m and not back:
        # under the shoulder: a slanted neck goes on across the centre line
        left_m, top = cut.neck_width_m / 2 + 0.005, -0.03
    texts = [
        Text(words=words, at=(left_m + 0.003, top - 0.005 * row), size_mm=2.8)
        for row, words in enumerate(lines)
    ]
    # in the allowance, at the end of the line
    at = (reach_m - 0.019, -0.0045 if back else 0.0015)
    texts.append(Text(words=PICTURE["shoulder line"], at=at, size_mm=2.6))
    return Drawing(wording.NECK_NAMES[part.name], tuple(paths), tuple(texts))


def corner_drawing(
    cut: Cut, allowances: Allowances, line: CutLine, legs_m: float = BEYOND_M
) -> Drawing:
    """The corner under the wearer's left arm, front; turned over it serves the other three.

    ``legs_m`` is how much of both straight lines is drawn beyond the corner's own.
    """
    part = next(part for part in line.parts if "underarm_front_left" in part.cut)
    arm = under_arm(cut, allowances)
    knee = (arm.knee[0], -arm.knee[1])
    size_m = max(math.dist(arm.knee, arm.side), math.dist(arm.knee, arm.under), LEAST_CORNER_M)
    reach_m = size_m + legs_m
    drop = cut.sleeve_drop_m

    def chain(lines: Mapping[str, Pieces]) -> Pieces:
        whole = (*lines.get("split_front_left", ()), *lines["underarm_front_left"])
        return within(whole, knee, reach_m)

    stitch = chain(part.stitch)
    low, under = stitch[0].start, stitch[-1].end
    # the words stand inside the cloth, beside the stitch line
    side = min(min(piece.start[0], piece.end[0]) for piece in stitch)
    return Drawing(
        wording.CORNER_NAME,
        (
            Path(layer="CUT", pieces=chain(part.cut), name="corner"),
            Path(layer="STITCH", pieces=stitch, name="corner"),
            *_notches_near(part, knee, reach_m),
        ),
        (
            Text(
                words=PICTURE["underarm"],
                at=(under[0] - 0.022, max(under[1], -drop) + 0.003),
                size_mm=3.2,
            ),
            Text(
                words=PICTURE["side"],
                at=(min(low[0], side) - 0.002, low[1] + 0.004),
                size_mm=3.2,
                turn_degrees=90,
            ),
        ),
        notes=(f"{wording.CORNER} {_included(allowances.underarm_m)}",),
    )


def hem_drawings(cut: Cut, line: CutLine) -> tuple[Drawing, ...]:
    """Half of each hem that is not straight, from the centre line to the side."""
    found = []
    for half, rise_m in (("front", cut.hem_curve_m), ("back", cut.back_longer_m + cut.hem_curve_m)):
        if not rise_m or (half == "back" and rise_m == cut.hem_curve_m):
            continue
        name = "hem_front_left" if half == "front" else "hem_back"
        part = next(part for part in line.parts if name in part.cut)
        middle_m = cut.front_m if half == "front" else cut.back_m
        sign = -1 if half == "front" else 1
        centre = Line(start=(0.0, sign * middle_m), end=(0.0, sign * (middle_m - rise_m - 0.04)))
        two_fronts = cut.seamed and cut.front is not Front.CLOSED
        serves = half if cut.back_longer_m else "both"
        found.append(
            Drawing(
                wording.HEM_NAMES[serves],
                (
                    Path(layer="CUT", pieces=_on_the_left(part.cut[name]), name="hem"),
                    Path(layer="STITCH", pieces=_on_the_left(part.stitch[name]), name="hem"),
                    Path(layer="GRAIN", pieces=(centre,), name="centre"),
                ),
                _hem_texts(part.cut[name], sign * (middle_m - HEM_TEXT_M), sign),
                notes=(wording.hem_words(serves, two_fronts=two_fronts),),
            )
        )
    return tuple(found)


def _hem_texts(hem: Pieces, level: float, outwards: int) -> tuple[Text, Text]:
    """Which side of a hem template is cloth, and which of its ends is at the side seam."""
    side_x, side_v = max(end for piece in hem for end in (piece.start, piece.end))
    return (
        Text(words=wording.CLOTH_HERE, at=(0.006, level), size_mm=3.2),
        Text(
            words=wording.HEM_SIDE,
            at=(side_x - 0.02, side_v - outwards * HEM_TEXT_M),
            size_mm=3.2,
        ),
    )


def _on_the_left(pieces: Pieces) -> Pieces:
    """What of a chain lies on the wearer's left, end to end; it crosses the centre line there and back."""
    kept = [_left_of(piece) for piece in pieces]
    # a closed chain may begin in the middle of what is kept
    first = next((n for n, here in enumerate(kept) if here and not kept[n - 1]), 0)
    return tuple(piece for piece in (*kept[first:], *kept[:first]) if piece is not None)


def _left_of(piece: Piece) -> Piece | None:
    """The part of a piece on the wearer's left of the centre line."""
    start, end = piece.start[0], piece.end[0]
    if max(start, end) < SAME_M:
        return None
    if min(start, end) > -SAME_M:
        return piece
    if start > 0:
        return until_across(piece, 0.0)
    return until_across(piece.reversed(), 0.0).reversed()


def _notches_near(part: Part, place: Point, reach_m: float) -> list[Path]:
    return [_notch(notch) for notch in part.notches if math.dist(notch.at, place) < reach_m]


def _notch(notch: Notch) -> Path:
    return Path(layer="NOTCH", pieces=(notch_line(notch.at, notch.towards),), name=notch.name)


def _lies_on(place: Point, pieces: Sequence[Piece]) -> bool:
    """Whether a place lies on lines, within half a millimetre."""
    points = np.concatenate([piece.place(np.linspace(0, 1, 513)) for piece in pieces])
    return bool(np.hypot(*(points - place).T).min() < NEAR_M)


def template_drawings(
    cut: Cut,
    allowances: Allowances,
    line: CutLine,
    *,
    halved: bool = False,
    legs_m: float = BEYOND_M,
) -> tuple[Drawing, ...]:
    """All curves of a cut: neck, corner, hem; ``halved`` and ``legs_m`` as of neck and corner alone."""
    return (
        *neck_drawings(cut, allowances, line, halved=halved),
        corner_drawing(cut, allowances, line, legs_m),
        *hem_drawings(cut, line),
    )

# SPDX-License-Identifier: GPL-3.0-or-later
"""The flat pattern as a drawing to scale (SVG 1.1), with its sizes, edges, fold and nap."""

import math
from collections.abc import Callable, Iterable, Sequence
from html import escape

from .pattern import Corner, Cubic, Cut, Front, Line, Pattern, Piece

__all__ = ["flat_drawing", "outline_path", "outline_paths"]

# Drawing units are millimetres on the cloth.
MARGIN = 190.0
TEXT = 52.0
SMALL = 42.0


def flat_drawing(
    pattern: Pattern,
    length: Callable[[float], str],
    *,
    frame_m: tuple[float, float],
    scale_bar_m: float,
) -> str:
    """Draw one layer, laid flat with its outer face up and the front half towards the reader.

    Parameters
    ----------
    pattern
        The pattern; all lengths in metres.
    length
        Writes metres in the reader's unit.
    frame_m
        Cloth width and length that the picture has room for, metres: drawings with the same
        frame are to the same scale.
    scale_bar_m
        Length of the scale bar, metres.

    Returns
    -------
    str
        An ``svg`` element that needs nothing else; the wearer's left is on the right.
    """
    cut = pattern.cut
    hem, wrist = cut.length_m * 500, cut.cloth_width_m * 500
    middle = cut.back_longer_m * 500
    wide, high = (side_m * 1000 + 2 * MARGIN for side_m in frame_m)
    parts = [
        f'<svg class="flat" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'viewBox="{-wide / 2:.1f} {-high / 2 - middle:.1f} {wide:.1f} {high:.1f}" '
        f'font-size="{TEXT}" text-anchor="middle">',
        f"<title>{escape(_summary(cut, length))}</title>",
        _box("bought", -wrist, -hem - middle, 2 * wrist, 2 * hem),
        *(f'<path class="cloth" d="{path}"/>' for path in outline_paths(pattern)),
        *_fold_and_front(cut),
        *_nap(cut),
        *_sizes(cut, length),
        *_names(cut),
        *_scale_bar(cut, length, scale_bar_m),
        "</svg>",
    ]
    return "\n".join(parts)


def _summary(cut: Cut, length: Callable[[float], str]) -> str:
    """The drawing in words."""
    made = "seamed on the shoulders" if cut.seamed else "folded across the middle"
    corner = {
        Corner.ROUND: f"corners rounded with a radius of {length(cut.corner_radius_m)}",
        Corner.DIAGONAL: f"corners cut off {length(cut.corner_radius_m)} from their point",
        Corner.SQUARE: "square corners",
    }[cut.corner]
    front = {
        Front.EDGE_TO_EDGE: "cut open down the centre front",
        Front.OVERLAPPING: f"fronts overlapping by {length(cut.front_overlap_m)}",
        Front.CLOSED: "closed in front",
    }[cut.front]
    return (
        f"Flat pattern of one layer: cloth {length(cut.cloth_width_m)} wide and "
        f"{length(cut.length_m)} long, {made}; body {length(cut.body_width_m)} wide; sleeve drop "
        f"{length(cut.sleeve_drop_m)}; {corner}; {front}."
    )


def outline_path(pattern: Pattern) -> str:
    """All outlines of a layer as one path."""
    return " ".join(outline_paths(pattern))


def outline_paths(pattern: Pattern) -> list[str]:
    """Write the outlines as SVG path data in millimetres: lines, arcs and cubic curves as such.

    A layer on the fold is one outline, and the neck of a closed front is a hole in it; a seamed one
    is a back and one front or two, of which the right one lies on top.
    """
    cut, edges = pattern.cut, pattern.edges
    if not cut.seamed:
        rings = [[name for name in edges if name != "neck"], ["neck"]]
        if cut.front is not Front.CLOSED:
            rings = [list(edges)]
        return [
            " ".join(_closed([p for name in ring for p in edges[name].pieces]) for ring in rings)
        ]

    def half(side: str, *, front: bool) -> list[Piece]:
        quarter = pattern.front if front else pattern.back
        joined = not front or cut.front is Front.CLOSED
        names = [name for name in quarter.parts if not (joined and name == "centre")]
        names = names if (side == "left") == front else names[::-1]
        return [p for name in names for p in quarter.seen(name, side, front=front)]

    back = _closed([*half("left", front=False), *half("right", front=False)])
    fronts = [half(side, front=True) for side in ("left", "right")]
    if cut.front is Front.CLOSED:
        return [back, _closed([*fronts[0], *fronts[1]])]
    return [back, *(_closed(front) for front in fronts)]


def _closed(pieces: Sequence[Piece]) -> str:
    return f"M{_xy(pieces[0].start)} " + " ".join(_piece(piece) for piece in pieces) + " Z"


def _xy(point: tuple[float, float]) -> str:
    # v grows to the back, which lies away from the reader: up
    return f"{point[0] * 1000:.3f} {-point[1] * 1000:.3f}"


def _piece(piece: Piece) -> str:
    if isinstance(piece, Line):
        return f"L{_xy(piece.end)}"
    if isinstance(piece, Cubic):
        return f"C{_xy(piece.first)} {_xy(piece.last)} {_xy(piece.end)}"
    # v points up on paper, so a growing angle turns against the clock: sweep flag 0
    sweep = 0 if piece.end_angle > piece.start_angle else 1
    large = 1 if abs(piece.end_angle - piece.start_angle) > math.pi else 0
    radii = f"{piece.radius_x_m * 1000:.3f} {piece.radius_v_m * 1000:.3f}"
    return f"A{radii} 0 {large} {sweep} {_xy(piece.end)}"


def _box(name: str, x: float, y: float, wide: float, high: float) -> str:
    return f'<rect class="{name}" x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}"/>'


def _line(name: str, x1: float, y1: float, x2: float, y2: float) -> str:
    return f'<line class="{name}" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"/>'


def _text(x: float, y: float, words: str, *, upright: bool = True, name: str = "") -> str:
    turn = "" if upright else f' transform="rotate(-90 {x:.1f} {y:.1f})"'
    kind = f' class="{name}"' if name else ""
    size = f' font-size="{SMALL}"' if name == "edge" else ""
    return f'<text{kind}{size} x="{x:.1f}" y="{y:.1f}"{turn}>{escape(words)}</text>'


def _fold_and_front(cut: Cut) -> Iterable[str]:
    neck, wrist = cut.neck_width_m * 500, cut.wrist_m * 1000
    if not cut.seamed:
        yield _line("fold", -wrist, 0, -neck, 0)
        yield _line("fold", neck, 0, wrist, 0)
        if cut.front is Front.EDGE_TO_EDGE:
            yield _line("cut", 0, cut.neck_front_depth_m * 1000, 0, cut.front_m * 1000)
    if cut.cuff_depth_m:
        for sign in (1, -1):
            x = sign * (wrist - cut.cuff_depth_m * 1000)
            depth = cut.sleeve_opening_m * 500 + cut.shoulder_fall_m(abs(x) / 1000) * 1000
            yield _line("fold", x, -depth, x, depth)


def _nap(cut: Cut) -> Iterable[str]:
    """An arrow on each half, both the same way along the cloth, and what that means when worn."""
    x = -cut.body_width_m * 500 * 0.72
    way = -cut.nap.stroke[1]  # v points up on paper
    for half, hem in (("front", cut.front_m * 1000), ("back", -cut.back_m * 1000)):
        middle, reach = 0.55 * hem, 0.3 * abs(hem)
        tail, head = middle - way * reach, middle + way * reach
        yield _line("nap", x, tail, x, head - 40 * way)
        yield f'<path class="nap-head" d="M{x - 22:.1f} {head - 55 * way:.1f} h44 l-22 {60 * way:.1f} Z"/>'
        words = f"nap runs {cut.nap.runs(half)}"
        yield _text(x - 20, middle, words, upright=False, name="nap-word")


def _sizes(cut: Cut, length: Callable[[float], str]) -> Iterable[str]:
    front, back, wrist = cut.front_m * 1000, cut.back_m * 1000, cut.cloth_width_m * 500
    side, drop = cut.body_width_m * 500, cut.sleeve_drop_m * 1000
    yield from _across(-wrist, wrist, -back - 70, f"cloth width {length(cut.cloth_width_m)}")
    yield from _across(
        -side, side, front + 100, f"body width {length(cut.body_width_m)}", below=True
    )
    yield from _down(-back, front, -wrist - 80, f"length {length(cut.length_m)}")
    yield from _down(0, drop, wrist + 80, f"drop {length(cut.sleeve_drop_m)}", right=True)
    if cut.wrist_opening_m is not None:
        for row, words in enumerate(("sleeve end", f"{length(cut.sleeve_opening_m)} round")):
            yield _text(-(wrist + side) / 2, drop + 60 + row * TEXT, words, name="edge")
    if cut.corner is Corner.SQUARE:
        return
    radius = cut.corner_radius_m * 1000
    x, y = side + radius * 0.2929, drop + radius * 0.2929
    yield _line("size", x, y, x + 60, y + 60)
    words = "radius" if cut.corner is Corner.ROUND else "cut off"
    yield (
        f'<text x="{x + 70:.1f}" y="{y + 95:.1f}" text-anchor="start">'
        f"{words} {escape(length(cut.corner_radius_m))}</text>"
    )


def _across(x1: float, x2: float, y: float, words: str, *, below: bool = False) -> Iterable[str]:
    yield _line("size", x1, y, x2, y)
    for x in (x1, x2):
        yield _line("size", x, y - 22, x, y + 22)
    yield _text((x1 + x2) / 2, y + (TEXT + 8 if below else -16), words)


def _down(y1: float, y2: float, x: float, words: str, *, right: bool = False) -> Iterable[str]:
    yield _line("size", x, y1, x, y2)
    for y in (y1, y2):
        yield _line("size", x - 22, y, x + 22, y)
    yield _text(x + (TEXT + 8 if right else -16), (y1 + y2) / 2, words, upright=False)


def _names(cut: Cut) -> Iterable[str]:
    """Names of the edges, just inside them."""
    front, back, wrist = cut.front_m * 1000, cut.back_m * 1000, cut.wrist_m * 1000
    side, drop = cut.body_width_m * 500, cut.sleeve_drop_m * 1000
    for words, x, y in (
        ("hem, back", 0, -back + 50),
        ("hem, front", -side * 0.5, front - 24 - cut.hem_curve_m * 900),
        ("hem, front", side * 0.5, front - 24 - cut.hem_curve_m * 900),
        ("neck", 0, -cut.back_neck_m * 1000 - 22),
    ):
        yield _text(x, y, words, name="edge")
    middle = (wrist + side) / 2
    (across, fall), (_, down) = cut.underarm_run, cut.side_run
    for x in (-middle, middle):
        fold = cut.shoulder_fall_m(middle / 1000) * 1000
        under = drop + (middle - side) * fall / across
        yield _text(
            x, -fold - 16 if not cut.seamed else -fold - 48, _shoulder_word(cut), name="edge"
        )
        yield _text(x, -under + 48, "underarm, back", name="edge")
        yield _text(x, under - 24, "underarm, front", name="edge")
    end = (cut.shoulder_drop_m + cut.sleeve_end_m) * 500
    for x in (-wrist + 46, wrist - 20):
        yield _text(x, -end, "sleeve end", upright=False, name="edge")
    if cut.side_split_m:
        foot = cut.side_end_m * 1000 - cut.side_split_m * 500
        x = side + cut.side_flare_m * 1000 * (1 - cut.side_split_m / 2 / down)
        for sign in (1, -1):
            yield _text(sign * x - sign * 24, foot, "open side", upright=False, name="edge")
    centre = (cut.neck_front_depth_m * 1000 + front) / 2 - 20
    words = {
        Front.EDGE_TO_EDGE: "front, cut open",
        Front.OVERLAPPING: "centre front, right over left",
        Front.CLOSED: "centre front",
    }[cut.front]
    yield _text(-18, centre, words, upright=False, name="edge")


def _shoulder_word(cut: Cut) -> str:
    return "shoulder seam" if cut.seamed else "shoulder fold"


def _scale_bar(cut: Cut, length: Callable[[float], str], bar_m: float) -> Iterable[str]:
    x, y = -cut.cloth_width_m * 500 + 40, cut.front_m * 1000 - 40
    bar = bar_m * 1000
    yield _box("bar", x, y - 14, bar / 2, 14)
    yield _box("bar-empty", x + bar / 2, y - 14, bar / 2, 14)
    yield _text(x + bar / 2, y - 34, length(bar_m), name="edge")

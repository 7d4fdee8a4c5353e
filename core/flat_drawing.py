# SPDX-License-Identifier: GPL-3.0-or-later
"""The flat pattern as a drawing to scale (SVG 1.1), with its sizes, edges, fold and nap."""

import math
from collections.abc import Callable, Iterable
from html import escape

from .pattern import Arc, Cut, Line, Pattern

__all__ = ["flat_drawing", "outline_path"]

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
    wide, high = (side_m * 1000 + 2 * MARGIN for side_m in frame_m)
    summary = (
        f"Flat pattern of one layer: cloth {length(cut.cloth_width_m)} wide and "
        f"{length(cut.length_m)} long, folded across the middle; body {length(cut.body_width_m)} "
        f"wide; sleeve drop {length(cut.sleeve_drop_m)}; corners rounded with a radius of "
        f"{length(cut.corner_radius_m)}; cut open down the centre front."
    )
    parts = [
        f'<svg class="flat" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'viewBox="{-wide / 2:.1f} {-high / 2:.1f} {wide:.1f} {high:.1f}" '
        f'font-size="{TEXT}" text-anchor="middle">',
        f"<title>{escape(summary)}</title>",
        _box("bought", -wrist, -hem, 2 * wrist, 2 * hem),
        f'<path class="cloth" d="{outline_path(pattern)}"/>',
        *_fold_and_front(cut),
        *_nap(cut),
        *_sizes(cut, length),
        *_names(cut),
        *_scale_bar(cut, length, scale_bar_m),
        "</svg>",
    ]
    return "\n".join(parts)


def outline_path(pattern: Pattern) -> str:
    """Write the outline as SVG path data in millimetres, lines as lines and arcs as arcs."""
    pieces = [piece for edge in pattern.edges.values() for piece in edge.pieces]
    first = pieces[0].start
    return f"M{_xy(first)} " + " ".join(_piece(piece) for piece in pieces) + " Z"


def _xy(point: tuple[float, float]) -> str:
    # v grows to the back, which lies away from the reader: up
    return f"{point[0] * 1000:.3f} {-point[1] * 1000:.3f}"


def _piece(piece: Line | Arc) -> str:
    if isinstance(piece, Line):
        return f"L{_xy(piece.end)}"
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
    neck, wrist = cut.neck_width_m * 500, cut.cloth_width_m * 500
    yield _line("fold", -wrist, 0, -neck, 0)
    yield _line("fold", neck, 0, wrist, 0)
    yield _line("cut", 0, cut.neck_front_depth_m * 1000, 0, cut.length_m * 500)


def _nap(cut: Cut) -> Iterable[str]:
    """An arrow on each half, both the same way along the cloth, and what that means when worn."""
    x, hem = -cut.body_width_m * 500 * 0.72, cut.length_m * 500
    way = -cut.nap.stroke[1]  # v points up on paper
    for half, middle in (("front", 0.55 * hem), ("back", -0.55 * hem)):
        tail, head = middle - way * 0.3 * hem, middle + way * 0.3 * hem
        yield _line("nap", x, tail, x, head - 40 * way)
        yield f'<path class="nap-head" d="M{x - 22:.1f} {head - 55 * way:.1f} h44 l-22 {60 * way:.1f} Z"/>'
        words = f"nap runs {cut.nap.runs(half)}"
        yield _text(x - 20, middle, words, upright=False, name="nap-word")


def _sizes(cut: Cut, length: Callable[[float], str]) -> Iterable[str]:
    hem, wrist = cut.length_m * 500, cut.cloth_width_m * 500
    side, drop = cut.body_width_m * 500, cut.sleeve_drop_m * 1000
    yield from _across(-wrist, wrist, -hem - 70, f"cloth width {length(cut.cloth_width_m)}")
    yield from _across(-side, side, hem + 100, f"body width {length(cut.body_width_m)}", below=True)
    yield from _down(-hem, hem, -wrist - 80, f"length {length(cut.length_m)}")
    yield from _down(0, drop, wrist + 80, f"drop {length(cut.sleeve_drop_m)}", right=True)
    radius = cut.corner_radius_m * 1000
    x, y = side + radius * 0.2929, drop + radius * 0.2929
    yield _line("size", x, y, x + 60, y + 60)
    yield (
        f'<text x="{x + 70:.1f}" y="{y + 95:.1f}" text-anchor="start">'
        f"radius {escape(length(cut.corner_radius_m))}</text>"
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
    hem, wrist = cut.length_m * 500, cut.cloth_width_m * 500
    side, drop = cut.body_width_m * 500, cut.sleeve_drop_m * 1000
    for words, x, y in (
        ("hem, back", 0, -hem + 50),
        ("hem, front", -side * 0.55, hem - 24),
        ("hem, front", side * 0.55, hem - 24),
        ("neck", 0, -cut.neck_back_depth_m * 1000 - 22),
    ):
        yield _text(x, y, words, name="edge")
    middle = (wrist + side) / 2
    for x in (-middle, middle):
        yield _text(x, -16, "shoulder fold", name="edge")
        yield _text(x, -drop + 48, "underarm, back", name="edge")
        yield _text(x, drop - 24, "underarm, front", name="edge")
    for x in (-wrist + 46, wrist - 20):
        yield _text(x, -drop / 2, "sleeve end", upright=False, name="edge")
    centre = (cut.neck_front_depth_m * 1000 + hem) / 2 - 20
    yield _text(-18, centre, "front, cut open", upright=False, name="edge")


def _scale_bar(cut: Cut, length: Callable[[float], str], bar_m: float) -> Iterable[str]:
    x, y = -cut.cloth_width_m * 500 + 40, cut.length_m * 500 - 40
    bar = bar_m * 1000
    yield _box("bar", x, y - 14, bar / 2, 14)
    yield _box("bar-empty", x + bar / 2, y - 14, bar / 2, 14)
    yield _text(x + bar / 2, y - 34, length(bar_m), name="edge")

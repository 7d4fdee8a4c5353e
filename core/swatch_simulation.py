# SPDX-License-Identifier: GPL-3.0-or-later
"""Swatch tests on the drape's own solver: what a maker would read of a cloth with these figures.

Each test is set up as the printed sheet has it, comes to rest on the solver that drapes garments,
and is read as a maker reads it. Readings given to `napfold.core.swatch` must give the figures back:
that closes the loop from the ruler to the drape.
"""

import math

import numpy as np

from .arrays import FloatArray, IntArray
from .cloth import Cloth
from .drape.garment import Garment
from .drape.pieces import (
    Held,
    Pulled,
    come_to_rest,
    filled_rectangle,
    joined,
    mirrored,
    on_line,
    one_layer,
    sheet,
    start_flat,
)
from .heavy_strip import STANDARD_GRAVITY_M_S2, bending_length_m
from .swatch import BELOW_MARK_M, Swatch

__all__ = [
    "hung_marks_m",
    "loop_height_m",
    "overhang_m",
    "piece_mass_kg",
    "stack_height_m",
    "strip_angle",
]

LINE_RAD = math.radians(41.5)
STRIP_WIDTH_M = 0.025
"""Of overhanging strips."""
ANGLES = {"along": math.pi / 2, "across": 0.0, "bias": math.pi / 4}
"""Directions of strips, as angles to the cloth's width."""

_PARTS = 20
"""Edges along an overhang."""
_LOOP_PARTS = 120
"""Edges along a loop: with 80 its rigidity reads 1 to 2 % lower, with 160 hardly higher."""
_CLAMP_N_PER_M = 1e5
"""Springs of a clamp that holds back a moment: softer ones let the strip's ends turn."""
_LOOP_WIDTH = 0.2
"""Least width of a loop's strip over its length: few edges across make it too limp."""


def piece_mass_kg(cloth: Cloth, length_m: float, width_m: float) -> float:
    """What a scale reads of a piece."""
    panel = sheet(*filled_rectangle(length_m, width_m, length_m / _PARTS), length_m / _PARTS)
    return float(one_layer(panel, cloth).mass_kg.sum())


def stack_height_m(cloth: Cloth, plies: int, pressure_pa: float) -> float:
    """Height of a stack under a pressure, by the cloth's own law: the solver does not squeeze."""
    return plies * cloth.thickness_at(pressure_pa)


def overhang_m(cloth: Cloth, direction: str) -> float:
    """Overhang at which a strip cut "along" or "across" hangs to the 41.5 degree line.

    The strip is pushed out in a few steps; between them Peirce's factor of the angle, c ∝ L (cos
    θ/2 / tan θ)^⅓, tells how far. (Near enough for that: the factor itself is 2 % off there.)
    """
    rigidity: float = getattr(cloth, f"bending_{direction}_n_m")
    out_m = 2 * bending_length_m(cloth.mass_kg_m2, rigidity)
    for _ in range(4):
        angle = strip_angle(cloth, direction, out_m)
        if abs(angle - LINE_RAD) < math.radians(0.05):
            break
        out_m *= _peirce(angle) / _peirce(LINE_RAD)
    return out_m


def _peirce(angle: float) -> float:
    return float((math.cos(angle / 2) / math.tan(angle)) ** (1 / 3))


def strip_angle(cloth: Cloth, direction: str, out_m: float) -> float:
    """Angle below level, rad, of the line from the edge to the tip of a strip that juts out.

    It lies over a knife edge and juts out to both sides alike, so that it is level there.
    """
    edge_m = out_m / _PARTS
    flat, triangles = mirrored(*filled_rectangle(out_m, STRIP_WIDTH_M, edge_m))
    garment = _strip(cloth, flat, triangles, edge_m, direction)
    start = _laid(garment, flat)
    start[:, 2] = -1e-3 * np.abs(flat[:, 0])
    knife = np.flatnonzero(on_line(flat, 0.0))
    places = np.concatenate([flat[knife], np.zeros((len(knife), 1))], axis=1)
    positions, _ = come_to_rest(garment, [Held(knife, places)], start)
    tip = positions[on_line(flat, out_m)].mean(axis=0)
    return math.atan2(-tip[2], tip[0])


def loop_height_m(cloth: Cloth, direction: str, strip_m: float) -> float:
    """Height of the heart loop of a strip, from the clamp to its lowest point.

    One percent of height is four of rigidity, and where the strip rises from the clamp it carries
    the loop's weight in compression. There the solver's sheets are soft, since they stand for cloth
    that wrinkles (`drape.membrane`), which takes 2 % of the rigidity of plush and 4 to 5 % of that of
    long pile (`build.py validate`).
    """
    edge_m = strip_m / _LOOP_PARTS
    margin_m = 2 * edge_m
    # a row of nodes half an edge within the clamp, since held rows clamp half an edge behind
    free_m = strip_m - edge_m
    width_m = max(STRIP_WIDTH_M, _LOOP_WIDTH * strip_m)
    parts = []
    for start_m, length_m in ((-margin_m, margin_m), (0.0, free_m), (free_m, margin_m)):
        part, corners = filled_rectangle(length_m, width_m, edge_m)
        parts.append((np.add(part, (start_m, 0.0)), corners))
    flat, triangles = joined(parts)
    middle = flat[:, 0] - free_m / 2
    garment = _strip(cloth, flat, triangles, edge_m, direction)
    turn = 2 * np.pi * middle / strip_m
    radius_m = strip_m / (2 * np.pi)
    start = np.stack([radius_m * np.sin(turn), flat[:, 1], -radius_m * (1 + np.cos(turn))], axis=1)
    # the ends are held back to back and leave the clamp upwards
    held = np.flatnonzero(np.abs(middle) > free_m / 2 - 1e-9)
    places = start.copy()
    places[:, 0] = 1e-4 * np.sign(middle)
    places[:, 2] = strip_m / 2 - np.abs(middle)
    start[held] = places[held]
    positions, _ = come_to_rest(
        garment, [Held(held, places[held], _CLAMP_N_PER_M)], start, rounds=150
    )
    return -float(positions[np.abs(middle) < edge_m, 2].min())


def hung_marks_m(cloth: Cloth, direction: str, load_kg: float) -> float:
    """Distance of the marks on a strip cut "along", "across" or on the "bias" under a weight.

    The strip is clamped at its top; the weight hangs on all of its lower end. The strip keeps to
    its plane, as a taut one does.
    """
    width_m, apart_m = Swatch().one("strip_width"), Swatch().one("marks_apart")
    edge_m = width_m / 10
    length_m = apart_m + 2 * BELOW_MARK_M
    flat, triangles = filled_rectangle(length_m, width_m, edge_m)
    garment = _strip(cloth, flat, triangles, edge_m, direction)
    start = np.stack([flat[:, 1], np.zeros(len(flat)), -flat[:, 0]], axis=1)
    top = np.flatnonzero(on_line(flat, 0.0))
    plane = Held(np.arange(len(start)), start, axes=(False, True, False))
    force = np.zeros_like(start)
    bottom = np.flatnonzero(on_line(flat, length_m))
    bottom = bottom[np.argsort(flat[bottom, 1])]
    half_gaps = np.diff(flat[bottom, 1]) / 2 / width_m
    force[bottom[1:], 2] -= load_kg * STANDARD_GRAVITY_M_S2 * half_gaps
    force[bottom[:-1], 2] -= load_kg * STANDARD_GRAVITY_M_S2 * half_gaps
    positions, _ = come_to_rest(
        garment, [Held(top, start[top], 1e6), plane, Pulled(force)], start, still_m=1e-7, rounds=200
    )
    aside = np.linspace(0.1, 0.9, 9) * width_m
    marks = [
        _carried(flat, triangles, positions, np.stack([np.full(9, place_m), aside], axis=1))
        for place_m in (BELOW_MARK_M, BELOW_MARK_M + apart_m)
    ]
    return float(np.linalg.norm(marks[1].mean(axis=0) - marks[0].mean(axis=0)))


def _strip(
    cloth: Cloth, flat: FloatArray, triangles: IntArray, edge_m: float, direction: str
) -> Garment:
    """A strip whose length, x of the flat mesh, runs in a direction of the cloth."""
    angle = ANGLES[direction]
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    return one_layer(sheet(flat @ turn, triangles, edge_m), cloth)


def _laid(garment: Garment, flat: FloatArray) -> FloatArray:
    """The strip flat on the table, its length along x whatever its direction on the cloth."""
    start = start_flat(garment)
    start[garment.node[0], :2] = flat
    return start


def _carried(
    flat: FloatArray, triangles: IntArray, positions: FloatArray, points: FloatArray
) -> FloatArray:
    """Where points (k, 2) of the flat mesh have gone (k, 3)."""
    corners = flat[triangles]
    edges = np.swapaxes(corners[:, 1:] - corners[:, :1], 1, 2)
    inverse = np.linalg.inv(edges)
    shares = np.einsum("tij,ktj->kti", inverse, points[:, None] - corners[:, 0])
    weights = np.concatenate([1 - shares.sum(axis=2, keepdims=True), shares], axis=2)
    inside = weights.min(axis=2).argmax(axis=1)
    weight = weights[np.arange(len(points)), inside]
    carried: FloatArray = np.einsum("kc,kcx->kx", weight, positions[triangles[inside]])
    return carried

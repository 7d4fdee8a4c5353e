# SPDX-License-Identifier: GPL-3.0-or-later
"""What is not known of a wrap's two cloths, and how far each figure can move hem and sleeve.

The answer is an estimate: how far the hem of the reference wrap and the room of its sleeves go with
each figure was found by draping it with that figure changed (``python -m tests.bench.sensitivity``).
The figures that come out foremost are worth drapes of their own, at both ends of where each may lie.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from .cloth import Cloth, Source, put_at

__all__ = [
    "DEVIATIONS",
    "HEM_PER_THICKNESS",
    "SLEEVE_PER_THICKNESS",
    "SLOPES_M",
    "Doubt",
    "Layer",
    "Pair",
    "Way",
    "doubts",
    "ends",
    "together",
    "worth_draping",
]

Layer = Literal["outer", "lining", "both"]
Way = Literal["hem", "sleeve"]
Pair = tuple[Cloth, Cloth]
"""Outer and lining."""

SLOPES_M: Mapping[str, Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "light": {
            "mass_kg_m2": (-0.005, -0.005),
            "bending_along_n_m": (0.001, 0.001),
            "bending_across_n_m": (0.001, 0.0),
            "stretch_along_n_per_m": (0.0, 0.006),
            "stretch_across_n_per_m": (0.004, -0.001),
            "shear_n_per_m": (0.005, -0.002),
            "friction_body": (-0.004, -0.001),
            "friction_with_nap": (0.001, 0.001),
        },
        "heavy": {
            "mass_kg_m2": (-0.018, -0.001),
            "bending_along_n_m": (-0.002, -0.001),
            "bending_across_n_m": (0.005, 0.0),
            "stretch_along_n_per_m": (0.0, 0.013),
            "stretch_across_n_per_m": (0.006, -0.004),
            "shear_n_per_m": (0.0, -0.001),
            "friction_body": (-0.003, -0.001),
            "friction_with_nap": (0.0, 0.0),
        },
    }
)
"""Rise of the hem, and of the room round the upper arm, in metres for a figure of both layers 2.7
times as large: drapes of the reference wrap in light plush, and in long pile lined with curly pile.
Two drapes of the same cloth differ by 1 to 2 mm in both, so slopes of a few millimetres are hardly
more than none. Bending is of that kind: it makes the folds, and neither hem nor sleeve."""

HEM_PER_THICKNESS, SLEEVE_PER_THICKNESS = 0.6, -math.pi
"""Rise of the hem, and of the room round the upper arm, over the thickness of the outer cloth and
twice that of the lining. Both layers of a sleeve have one flat girth: the lining lies inside the
outer cloth, half of both thicknesses nearer to the arm, and its inside half of its own nearer still,
which makes pi times that sum less round the arm. The trial drapes give 0.5 and -2.4 in light plush,
0.7 and -3.1 in long pile lined with curly pile."""

DEVIATIONS = 2.0
"""Standard deviations to the ends of a range: 19 of 20 such cloths lie between them."""

_HEAVY_KG_M2 = 0.45
"""Mean mass of the layers from which on the slopes of heavy pile hold."""

_MOST_DRAPED = 3
"""Figures that are draped at their ends: six drapes more."""

_DRAPED_FROM_M = 0.0025
"""Estimated move of hem or sleeve from which on a figure is worth two drapes: half the step in
which lengths are told."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """One figure that is not known exactly.

    Attributes
    ----------
    figure
        A figure of the cloth, thickness or one with a slope.
    layer
        Whose figure: of one layer, or of both where both are of one cloth.
    share
        `DEVIATIONS` standard deviations over the value.
    source
        Where the figure came from.
    hem_m, sleeve_m
        Estimated rise of the hem and of the room round the upper arm, in metres, with the figure
        at its high end; at its low end the opposite.
    """

    figure: str
    layer: Layer
    share: float
    source: Source
    hem_m: float
    sleeve_m: float

    @property
    def most_m(self) -> float:
        """The larger of both moves, without its sign."""
        return max(abs(self.hem_m), abs(self.sleeve_m))

    def moves_m(self, way: Way) -> float:
        """Estimated move of hem or sleeve at the high end, metres."""
        return self.hem_m if way == "hem" else self.sleeve_m


def doubts(outer: Cloth, lining: Cloth) -> tuple[Doubt, ...]:
    """Every figure in doubt of two cloths, the one that can move hem or sleeve most first."""
    heavy = (outer.mass_kg_m2 + lining.mass_kg_m2) / 2 >= _HEAVY_KG_M2
    slopes = SLOPES_M["heavy" if heavy else "light"]
    found = [
        doubt
        for figure in ("thickness_m", *slopes)
        for doubt in _doubts(figure, outer, lining, slopes)
    ]
    return tuple(sorted(found, key=lambda doubt: -doubt.most_m))


def worth_draping(found: tuple[Doubt, ...]) -> tuple[Doubt, ...]:
    """The foremost doubts whose estimated move can be told at all."""
    return tuple(one for one in found if one.most_m >= _DRAPED_FROM_M)[:_MOST_DRAPED]


def ends(doubt: Doubt, outer: Cloth, lining: Cloth) -> tuple[Pair, Pair]:
    """Both cloths with the doubtful figure at its low, and at its high end."""
    cloth = lining if doubt.layer == "lining" else outer
    low, high = cloth.range_of(doubt.figure, DEVIATIONS)
    return _at(doubt, outer, lining, low), _at(doubt, outer, lining, high)


def together(moves_m: tuple[float, ...]) -> float:
    """The move of figures that err independently, metres."""
    return math.sqrt(math.fsum(move**2 for move in moves_m))


def _at(doubt: Doubt, outer: Cloth, lining: Cloth, value: float) -> Pair:
    return (
        outer if doubt.layer == "lining" else put_at(outer, doubt.figure, value),
        lining if doubt.layer == "outer" else put_at(lining, doubt.figure, value),
    )


def _doubts(
    figure: str, outer: Cloth, lining: Cloth, slopes: Mapping[str, tuple[float, float]]
) -> Iterator[Doubt]:
    """One figure's doubts: one of each layer, or one of both where both are of one cloth."""
    first, second = _slopes(figure, outer, lining, slopes)
    origins = outer.origin(figure), lining.origin(figure)
    alike = origins[0] == origins[1] and outer.name == lining.name
    if alike and getattr(outer, figure) == getattr(lining, figure):
        both = (first[0] + second[0], first[1] + second[1])
        layers: tuple[tuple[Layer, Cloth, tuple[float, float]], ...] = (("both", outer, both),)
    else:
        layers = (("outer", outer, first), ("lining", lining, second))
    for layer, cloth, (hem_m, sleeve_m) in layers:
        origin, value = cloth.origin(figure), getattr(cloth, figure)
        if origin is not None and origin.sd > 0 and value > 0 and (hem_m or sleeve_m):
            share = DEVIATIONS * origin.sd / value
            yield Doubt(figure, layer, share, origin.source, share * hem_m, share * sleeve_m)


def _slopes(
    figure: str, outer: Cloth, lining: Cloth, slopes: Mapping[str, tuple[float, float]]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """The slopes of a figure for outer and lining, whose sum was found with both changed alike.

    Weight and stiffness of layers that slide on one another add up, so each has its share of them.
    The body meets the lining alone, and it is the pile of the outer that meets itself.
    """
    first, second = getattr(outer, figure), getattr(lining, figure)
    if figure == "thickness_m":
        hem, sleeve = HEM_PER_THICKNESS, SLEEVE_PER_THICKNESS
        return (hem * first, sleeve * first), (2 * hem * second, 2 * sleeve * second)
    hem_m, sleeve_m = slopes[figure]
    parts = {"friction_body": 0.0, "friction_with_nap": 1.0}
    part = parts[figure] if figure in parts else first / (first + second)
    return (part * hem_m, part * sleeve_m), ((1 - part) * hem_m, (1 - part) * sleeve_m)

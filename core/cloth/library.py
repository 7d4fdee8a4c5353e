# SPDX-License-Identifier: GPL-3.0-or-later
"""The library: cloth by kind and weight, every figure an estimate with its range.

Mass, pile and thickness are middles of what the trade gives for a kind, its range taken to hold 19
of 20 such cloths. No measured table of bending, stretch, shear or friction of pile cloth is known
to us: those figures are what such knits can be expected to show, uncertain by a factor.

The plain cloths are there to compare with. Mass, thickness and bending of broadcloth, tropical wool
and faille are those of one published cloth each (M. Matsudaira and others, Journal of Textile
Engineering 61(6), 2015, 69: A, B and F; bending as a ruler would read its rigidity and hysteresis
together); another cloth of that name differs.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from ..heavy_strip import STANDARD_GRAVITY_M_S2, bending_rigidity_n_m
from .figures import Origin
from .material import Cloth

__all__ = ["library"]

_BY_A_FACTOR = math.log(2.5) / 2
"""Relative standard deviation of a figure that is known within a factor of 2.5 (19 of 20)."""

_BENDING_FRICTION = 0.28
"""Friction moment over W g c², c being the ruler's: the median of four published woven cloths
(Matsudaira 2015: 0.19, 0.27, 0.29 and 0.57). Nothing was found for pile cloth."""


@dataclass(frozen=True, slots=True)
class _Kind:
    """One class: millimetres, g/m², N/m, and pairs along and across unless named otherwise.

    ``mass``, ``pile``, ``thickness`` and ``shear`` are the least, the middle and the greatest;
    ``pressed`` is the share of the thickness that is left under 9.8 kPa; ``rubs`` is the friction
    of pile on pile with and against the nap; ``shrinks`` is in percent.
    """

    mass: tuple[float, float, float]
    pile: tuple[float, float, float]
    thickness: tuple[float, float, float]
    pressed: float
    ground: float
    lean_degrees: float
    bending_length: tuple[float, float]
    stretch: tuple[float, float]
    shear: tuple[float, float, float]
    rubs: tuple[float, float]
    colour: tuple[float, float, float]
    shrinks: tuple[float, float] = (2.0, 1.0)
    friction: float = _BENDING_FRICTION
    bolt: float = 1500.0


_NO_PILE = (0.0, 0.0, 0.0)
_NAPPED, _EVEN, _SMOOTH = (0.45, 0.70), (0.55, 0.55), (0.45, 0.45)

# Judgements rather than middles: raised fleece has no sheared pile, and the height of its nap is put
# at about a third of its thickness. Long pile is 12 to 30 mm thick and soft, and is put at 15 mm,
# since under 0.2 kPa long fibres lie down on one another. How far pile leans, what a press leaves of
# it, how thick its ground is and how much it shrinks are guesses throughout.
_KINDS: Mapping[str, _Kind] = MappingProxyType(
    {
        "microfleece": _Kind(
            mass=(160, 180, 200),
            pile=(1, 1.5, 2),
            thickness=(1.5, 2.0, 2.5),
            pressed=0.55,
            ground=0.5,
            lean_degrees=10,
            bending_length=(16, 13),
            stretch=(1500, 400),
            shear=(15, 30, 50),
            rubs=_EVEN,
            colour=(0.72, 0.77, 0.80),
        ),
        "light plush": _Kind(
            mass=(220, 260, 300),
            pile=(2.5, 3.0, 4.0),
            thickness=(3.0, 3.5, 4.0),
            pressed=0.5,
            ground=0.65,
            lean_degrees=20,
            bending_length=(18, 14),
            stretch=(3000, 700),
            shear=(20, 40, 60),
            rubs=_NAPPED,
            colour=(0.90, 0.86, 0.78),
        ),
        "flannel fleece": _Kind(
            mass=(220, 270, 320),
            pile=(2, 4.0, 6),
            thickness=(2.5, 3.8, 5.0),
            pressed=0.5,
            ground=0.65,
            lean_degrees=20,
            bending_length=(18, 15),
            stretch=(2000, 600),
            shear=(20, 40, 60),
            rubs=_NAPPED,
            colour=(0.78, 0.62, 0.52),
        ),
        "medium fleece": _Kind(
            mass=(200, 220, 240),
            pile=(0.7, 1.0, 1.4),
            thickness=(2.5, 3.0, 3.5),
            pressed=0.55,
            ground=0.8,
            lean_degrees=0,
            bending_length=(20, 16),
            stretch=(1500, 400),
            shear=(20, 40, 60),
            rubs=_EVEN,
            colour=(0.45, 0.55, 0.62),
        ),
        "heavy fleece": _Kind(
            mass=(280, 310, 340),
            pile=(1.0, 1.5, 2.0),
            thickness=(4.0, 4.5, 5.0),
            pressed=0.55,
            ground=0.9,
            lean_degrees=0,
            bending_length=(25, 20),
            stretch=(2000, 600),
            shear=(30, 55, 80),
            rubs=_EVEN,
            colour=(0.35, 0.40, 0.48),
        ),
        "curly pile": _Kind(
            mass=(280, 340, 400),
            pile=(4, 7.0, 10),
            thickness=(5, 7.0, 9),
            pressed=0.45,
            ground=0.8,
            lean_degrees=0,
            bending_length=(23, 18),
            stretch=(1500, 500),
            shear=(25, 45, 70),
            rubs=_EVEN,
            colour=(0.93, 0.90, 0.84),
        ),
        "velour knit": _Kind(
            mass=(220, 270, 320),
            pile=(1, 1.2, 1.5),
            thickness=(1.2, 1.6, 2.0),
            pressed=0.65,
            ground=0.65,
            lean_degrees=15,
            bending_length=(17, 14),
            stretch=(1200, 350),
            shear=(15, 30, 50),
            rubs=_NAPPED,
            colour=(0.50, 0.30, 0.34),
            shrinks=(4.0, 4.0),
        ),
        "short pile": _Kind(
            mass=(350, 480, 600),
            pile=(6, 10.0, 15),
            thickness=(6, 10.0, 14),
            pressed=0.4,
            ground=0.9,
            lean_degrees=30,
            bending_length=(28, 23),
            stretch=(3000, 1200),
            shear=(40, 80, 120),
            rubs=_NAPPED,
            colour=(0.56, 0.47, 0.38),
        ),
        "long pile": _Kind(
            mass=(600, 850, 1100),
            pile=(25, 45.0, 70),
            thickness=(12, 15.0, 30),
            pressed=0.35,
            ground=1.1,
            lean_degrees=50,
            bending_length=(33, 27),
            stretch=(4000, 1800),
            shear=(50, 100, 150),
            rubs=_NAPPED,
            colour=(0.36, 0.43, 0.31),
        ),
        "cotton broadcloth": _Kind(
            mass=(105, 123.8, 145),
            pile=_NO_PILE,
            thickness=(0.3, 0.497, 0.6),
            pressed=0.7,
            ground=0.34,
            lean_degrees=0,
            bending_length=(29.6, 29.6),
            stretch=(10000, 10000),
            shear=(40, 70, 100),
            rubs=_SMOOTH,
            colour=(0.88, 0.88, 0.90),
            shrinks=(5.0, 3.0),
            friction=0.57,
        ),
        "tropical wool": _Kind(
            mass=(140, 162.9, 190),
            pile=_NO_PILE,
            thickness=(0.3, 0.407, 0.5),
            pressed=0.75,
            ground=0.3,
            lean_degrees=0,
            bending_length=(18.7, 18.7),
            stretch=(4000, 4000),
            shear=(30, 55, 80),
            rubs=_SMOOTH,
            colour=(0.30, 0.32, 0.38),
            friction=0.29,
        ),
        "polyester faille": _Kind(
            mass=(85, 104.3, 125),
            pile=_NO_PILE,
            thickness=(0.18, 0.226, 0.3),
            pressed=0.8,
            ground=0.18,
            lean_degrees=0,
            bending_length=(13.4, 13.4),
            stretch=(8000, 8000),
            shear=(20, 40, 60),
            rubs=(0.35, 0.35),
            colour=(0.62, 0.58, 0.66),
            friction=0.19,
        ),
        "single jersey": _Kind(
            mass=(120, 160, 200),
            pile=_NO_PILE,
            thickness=(0.4, 0.55, 0.7),
            pressed=0.75,
            ground=0.41,
            lean_degrees=0,
            bending_length=(13, 11),
            stretch=(650, 160),
            shear=(15, 25, 40),
            rubs=_SMOOTH,
            colour=(0.80, 0.82, 0.84),
            shrinks=(5.0, 4.0),
        ),
        "brushed cotton": _Kind(
            mass=(140, 160, 185),
            pile=(0.1, 0.2, 0.4),
            thickness=(0.5, 0.7, 0.9),
            pressed=0.65,
            ground=0.35,
            lean_degrees=0,
            bending_length=(22, 20),
            stretch=(8000, 5000),
            shear=(40, 70, 100),
            rubs=_EVEN,
            colour=(0.70, 0.44, 0.40),
            shrinks=(6.0, 4.0),
            bolt=1460.0,
        ),
        "denim": _Kind(
            mass=(350, 400, 450),
            pile=_NO_PILE,
            thickness=(0.75, 0.9, 1.05),
            pressed=0.8,
            ground=0.7,
            lean_degrees=0,
            bending_length=(40, 36),
            stretch=(20000, 15000),
            shear=(100, 200, 300),
            rubs=_SMOOTH,
            colour=(0.20, 0.26, 0.42),
            shrinks=(5.0, 3.0),
        ),
    }
)
# Ground on ground 0.3 to 0.5; pile on cotton or dry skin 0.3 to 0.6
_FRICTION_BACKS, _FRICTION_BODY = 0.4, 0.4


@cache
def library() -> Mapping[str, Cloth]:
    """Cloth by kind and weight: pile cloth first, then plain cloth to compare with.

    Every figure is an estimate. Measure a swatch where it matters.
    """
    return MappingProxyType({name: _cloth(name, kind) for name, kind in _KINDS.items()})


def _cloth(name: str, kind: _Kind) -> Cloth:
    mass_kg_m2 = kind.mass[1] / 1000
    lengths_m = [length / 1000 for length in kind.bending_length]
    along, across = (bending_rigidity_n_m(mass_kg_m2, length) for length in lengths_m)
    rubbing = [
        kind.friction * mass_kg_m2 * STANDARD_GRAVITY_M_S2 * length**2 for length in lengths_m
    ]
    figures: dict[str, Any] = {
        "mass_kg_m2": mass_kg_m2,
        "thickness_m": kind.thickness[1] / 1000,
        "compressed_thickness_m": kind.pressed * kind.thickness[1] / 1000,
        "ground_thickness_m": kind.ground / 1000,
        "pile_height_m": kind.pile[1] / 1000,
        "nap_lean_rad": math.radians(kind.lean_degrees),
        "bending_along_n_m": along,
        "bending_across_n_m": across,
        "bending_pile_up_over_down": 1.0,
        "bending_friction_along_n": rubbing[0],
        "bending_friction_across_n": rubbing[1],
        "stretch_along_n_per_m": kind.stretch[0],
        "stretch_across_n_per_m": kind.stretch[1],
        "shear_n_per_m": kind.shear[1],
        "friction_with_nap": kind.rubs[0],
        "friction_against_nap": kind.rubs[1],
        "friction_backs": _FRICTION_BACKS,
        "friction_body": _FRICTION_BODY,
        "bolt_width_m": kind.bolt / 1000,
        "shrinkage_along": kind.shrinks[0] / 100,
        "shrinkage_across": kind.shrinks[1] / 100,
    }
    origins = tuple(
        Origin(figure, "estimate", sd, f"expected of {name}") for figure, sd in _deviations(kind)
    )
    return Cloth(name=name, colour=kind.colour, origins=origins, **figures)


def _deviations(kind: _Kind) -> Iterator[tuple[str, float]]:
    """The standard deviation of each figure, in its own unit."""

    def quarter(bounds: tuple[float, float, float]) -> float:
        return (bounds[2] - bounds[0]) / 4

    yield "mass_kg_m2", quarter(kind.mass) / 1000
    yield "thickness_m", quarter(kind.thickness) / 1000
    yield "compressed_thickness_m", 0.25 * kind.pressed * kind.thickness[1] / 1000
    yield "ground_thickness_m", 0.2 * kind.ground / 1000
    yield "pile_height_m", quarter(kind.pile) / 1000
    yield "nap_lean_rad", 0.2 if kind.lean_degrees else 0.1
    for direction, length_mm in zip(("along", "across"), kind.bending_length, strict=True):
        weight = kind.mass[1] / 1000 * STANDARD_GRAVITY_M_S2
        rigidity = weight * (length_mm / 1000) ** 3
        yield f"bending_{direction}_n_m", _BY_A_FACTOR * rigidity
        friction = kind.friction * weight * (length_mm / 1000) ** 2
        yield f"bending_friction_{direction}_n", 0.5 * friction
    yield "bending_pile_up_over_down", 0.2
    for direction, stretch in zip(("along", "across"), kind.stretch, strict=True):
        yield f"stretch_{direction}_n_per_m", 0.35 * stretch
    yield "shear_n_per_m", quarter(kind.shear)
    yield "friction_with_nap", 0.06
    yield "friction_against_nap", 0.10
    yield "friction_backs", 0.05
    yield "friction_body", 0.075
    yield "bolt_width_m", 0.04
    for direction, percent in zip(("along", "across"), kind.shrinks, strict=True):
        yield f"shrinkage_{direction}", 0.5 * percent / 100

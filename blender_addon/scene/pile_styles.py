# SPDX-License-Identifier: GPL-3.0-or-later
"""What pile of each make looks like: how dense, how it stands, clings and curls.

A strand stands for a tuft of many fibres, so it is thicker than a fibre. The figures of a style
make a likeness; none is a measurement of a cloth.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from types import MappingProxyType

from .surface import GROUND_THICKNESS_M

__all__ = ["PileStyle", "pile_style", "standing_share"]

SHORT_PILE_M, LONG_PILE_M = 0.004, 0.030


@dataclass(frozen=True, slots=True, kw_only=True)
class PileStyle:
    """How a pile is drawn.

    Parameters
    ----------
    strands_per_m2, radius_m
        Strands a square metre of flat cloth, and their radius at the root.
    shortest
        Length of the shortest strands over the longest.
    ruffle
        Disorder of the direction, as a share of the length.
    droop
        Pull of the weight at the tip against the stiffness of the strand.
    tuft_m, cling
        Size of the tufts, and how far their tips come together (0 to 1).
    root_shade
        Brightness of the root over that of the tip.
    softness
        How far light is scattered by the pile as one surface (1) or by each strand (0).
    bends
        Straight pieces in a strand.
    curl_m, curls
        Radius of the ringlets that a tuft's strands make together, and how many turns they have.
    sheen
        Shine of strands that are seen along their sides (0 to 1).
    velvet
        How much deeper the colour is where one looks into the pile than where one looks over it
        (0 to 1).
    pebble
        How much lower the pile is between tufts than in their middle, which makes each a small dome (0 to 1).
    stray, stray_reach
        Share of the strands that stand out of the others as a haze, and how many times as long they are.
    """

    strands_per_m2: float
    radius_m: float
    shortest: float
    ruffle: float
    droop: float
    tuft_m: float
    cling: float
    root_shade: float
    softness: float
    bends: float
    curl_m: float = 0.0
    curls: float = 0.0
    sheen: float = 0.25
    velvet: float = 0.0
    pebble: float = 0.0
    stray: float = 0.0
    stray_reach: float = 1.0


_SHORT = PileStyle(
    strands_per_m2=400e3,
    radius_m=0.00042,
    shortest=0.80,
    ruffle=0.12,
    droop=0.0,
    tuft_m=0.0035,
    cling=0.15,
    root_shade=0.92,
    softness=0.9,
    bends=2,
)
_LONG = PileStyle(
    strands_per_m2=120e3,
    radius_m=0.00038,
    shortest=0.65,
    ruffle=0.20,
    droop=1.1,
    tuft_m=0.011,
    cling=0.55,
    root_shade=0.74,
    softness=0.6,
    bends=4,
)
_FLEECE = PileStyle(
    strands_per_m2=300e3,
    radius_m=0.00036,
    shortest=0.6,
    ruffle=0.7,
    droop=0.0,
    tuft_m=0.0065,
    cling=0.3,
    root_shade=0.45,
    softness=0.9,
    bends=3,
    sheen=0.0,
    pebble=0.8,
    stray=0.25,
    stray_reach=4.0,
)

# Kinds of the library whose pile is of its own make: sherpa's knots, the worms of coral fleece,
# velour's cropped shine, the pebbled faces of fleece with their haze, and the fine even one of
# microfleece, which has neither.
_MADE: Mapping[str, PileStyle] = MappingProxyType(
    {
        "curly pile": PileStyle(
            strands_per_m2=210e3,
            radius_m=0.00062,
            shortest=0.85,
            ruffle=0.10,
            droop=0.0,
            tuft_m=0.0065,
            cling=0.9,
            root_shade=0.62,
            softness=0.35,
            bends=8,
            curl_m=0.0024,
            curls=1.9,
            sheen=0.1,
        ),
        "flannel fleece": PileStyle(
            strands_per_m2=300e3,
            radius_m=0.00042,
            shortest=0.85,
            ruffle=0.10,
            droop=0.0,
            tuft_m=0.0048,
            cling=0.85,
            root_shade=0.70,
            softness=0.65,
            bends=3,
            sheen=0.2,
        ),
        "velour knit": PileStyle(
            strands_per_m2=450e3,
            radius_m=0.00034,
            shortest=0.97,
            ruffle=0.04,
            droop=0.0,
            tuft_m=0.002,
            cling=0.0,
            root_shade=0.80,
            softness=0.95,
            bends=2,
            sheen=0.9,
            velvet=0.8,
        ),
        "microfleece": PileStyle(
            strands_per_m2=450e3,
            radius_m=0.00026,
            shortest=0.9,
            ruffle=0.08,
            droop=0.0,
            tuft_m=0.002,
            cling=0.0,
            root_shade=0.96,
            softness=1.0,
            bends=2,
            sheen=0.45,
            velvet=0.15,
        ),
        "medium fleece": _FLEECE,
        "heavy fleece": replace(
            _FLEECE, tuft_m=0.0095, radius_m=0.00044, root_shade=0.38, stray_reach=3.5
        ),
    }
)


def pile_style(pile_height_m: float, kind: str = "") -> PileStyle:
    """The style of a kind of cloth whose pile is made otherwise than by length alone.

    Else the style between velvety short pile and shaggy long pile that a pile height (m) asks for.
    """
    if kind in _MADE:
        return _MADE[kind]
    place = math.log(max(pile_height_m, SHORT_PILE_M) / SHORT_PILE_M)
    share = min(place / math.log(LONG_PILE_M / SHORT_PILE_M), 1.0)
    return PileStyle(
        **{
            field.name: (1 - share) * getattr(_SHORT, field.name)
            + share * getattr(_LONG, field.name)
            for field in fields(PileStyle)
        }
    )


def standing_share(pile_height_m: float, thickness_m: float) -> float:
    """How high a pile stands over how long it is: the rest of it leans."""
    return min(max((thickness_m - GROUND_THICKNESS_M) / pile_height_m, 0.35), 0.92)

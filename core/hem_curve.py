# SPDX-License-Identifier: GPL-3.0-or-later
"""The hem all round: its height over the floor from the wearer's left front edge to the right one."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from .arrays import FloatArray, IntArray
from .drape import Drape

__all__ = ["HemCurve", "HemPlace", "hem_curve", "hem_line"]

HemPlace = Literal["left front", "left side", "centre back", "right side", "right front"]
STEP_M = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class HemCurve:
    """The outer cloth's hem, laid out straight.

    Attributes
    ----------
    along_m
        (k,) distances along the flat hem, about 2 cm apart: 0 at the wearer's left front edge, on
        round the back, metres.
    height_m
        (k,) height over the floor there, metres.
    places_m
        Names of places and where on this line each lies, metres.
    """

    along_m: tuple[float, ...]
    height_m: tuple[float, ...]
    places_m: tuple[tuple[HemPlace, float], ...]

    def at(self, along_m: float) -> float:
        """Height over the floor at a place, metres."""
        return float(np.interp(along_m, self.along_m, self.height_m))


def hem_line(drape: Drape) -> tuple[IntArray, FloatArray]:
    """Vertices (n,) of the hem from the left front edge round to the right, and how far each lies
    along it on the flat cloth (n,), metres; partners sewn at a side seam lie at the same place."""
    flat, edges = drape.panel.flat, drape.panel.edges
    chains = []
    for name, sign in (("hem_front_left", 1), ("hem_back", -1), ("hem_front_right", 1)):
        chain = np.asarray(edges[name])
        chains.append(chain[np.argsort(sign * flat[chain, 0])])
    steps = [np.concatenate([[0.0], np.abs(np.diff(flat[chain, 0]))]) for chain in chains]
    return np.concatenate(chains), np.cumsum(np.concatenate(steps))


def hem_curve(drape: Drape) -> HemCurve:
    """Follow the hem of a drape."""
    line, along = hem_line(drape)
    flat, height = drape.panel.flat, drape.outer[line, 2]
    back = np.flatnonzero(np.isin(line, drape.panel.edges["hem_back"]))
    # along the back x falls from the left side to the right
    centre = float(np.interp(0.0, flat[line[back[::-1]], 0], along[back[::-1]]))
    even = np.linspace(0.0, along[-1], max(round(along[-1] / STEP_M), 2) + 1)
    return HemCurve(
        along_m=tuple(even.tolist()),
        height_m=tuple(np.interp(even, along, height).tolist()),
        places_m=(
            ("left front", 0.0),
            ("left side", float(along[back[0]])),
            ("centre back", centre),
            ("right side", float(along[back[-1]])),
            ("right front", float(along[-1])),
        ),
    )
